//! The refit as a problem of choice: options, relations, bounds and aims, each with the fact that it stands for.

use crate::build::{Build, When};
use crate::choose::answer::ChooseError;
use crate::choose::bench_top::{Apart, BenchTop, NEVER, Stopped, Table};
use crate::choose::narrow::{Narrow, narrowed};
use crate::choose::slots::{EITHER, LeftOut, Open, candidates, open_slots};
use crate::choose::tables::{self, UNKNOWN, is_offered, open_weight, place};
use crate::choose::tabulate::tabulate;
use crate::finding::Verdict;
use crate::pairs::number;
use crate::refit::Refit;
use crate::ride::RideCase;
use crate::rule::Rule;
use crate::rules::RULES;
use crate::set_wish::AimName;
use catalog::{Catalogue, Dimension, Part, Slot};
use frontier::{Aim, Fact, Fold, Problem, ProblemError, Watch};
use quantity::{Money, Quantity};
use std::collections::BTreeMap;

/// Minutes that the exchange of each slot adds to the job, as the shop above knows them. Slots that are not named
/// add nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Labour {
    /// For each slot its minutes.
    pub minutes: BTreeMap<Slot, u32>,
}

/// What a relation or bound stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum FactKind {
    Rule(&'static Rule),
    Stays(Slot),
    Cogs(u32),
    Rings(u32),
    Lowest,
    Highest,
    Step,
    Hands,
    Brakes,
    NoMarginal,
    Days(u32),
    Ready(u32),
    Price(Money),
    Ceiling(Money),
    Weight,
    Minutes(u32),
}

/// Why a refit was not laid out as a problem.
#[derive(Debug)]
pub(crate) enum Unlaid {
    /// The search was stopped.
    Stopped,
    /// It cannot be.
    Error(ChooseError),
}

impl From<Stopped> for Unlaid {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

impl From<ChooseError> for Unlaid {
    fn from(error: ChooseError) -> Self {
        Self::Error(error)
    }
}

impl From<ProblemError> for Unlaid {
    fn from(error: ProblemError) -> Self {
        Self::Error(error.into())
    }
}

/// Cells up to which a rule may be blamed before the wide ones are asked: rules of three slots are below it in a dealer's
/// list, so that what can hurt (a chain that locks) is blamed before what only does not fit.
const BLAME_CELLS: usize = 40_000;

/// How much of a refit is laid out.
#[derive(Clone, Debug)]
pub(crate) enum Extent {
    /// What is asked: what the wish keeps or excludes never enters.
    Asked,
    /// All that could be, with the wish as facts that can be given up, and of the rules those with small tables.
    Small,
    /// The same with every rule.
    Whole,
    /// All that the rules allow, with the wish as facts that can be given up. The small tables may be known.
    Allowed(Vec<Option<Table>>),
}

/// A cost that stands for one that is not known: beyond every known one.
pub(crate) const NOT_KNOWN: i64 = 1 << 41;

/// A refit as a problem.
pub(crate) struct Question<'a> {
    pub refit: &'a Refit,
    pub open: Vec<Open>,
    pub problem: Problem,
    /// What each fact of the problem stands for.
    pub facts: Vec<FactKind>,
    /// The facts that rule anything out.
    pub in_play: Vec<Fact>,
    pub bounds: Vec<(Aim, i64, Fact)>,
    pub aims: Vec<(AimName, Aim)>,
    /// Number of open verdicts.
    pub doubts: Aim,
    /// What each rule says.
    pub rules: Vec<(&'static Rule, Table)>,
    pub left_out: LeftOut,
    pub labour: &'a Labour,
    pub currency: Option<Money>,
    /// The customer's ride, where it is an aim.
    pub ride: Option<RideCase>,
}

impl<'a> Question<'a> {
    /// Lays the problem out. Unless just what is asked is wanted, what the wish keeps or excludes is a relation with its
    /// fact, so that it can be left out.
    pub(crate) fn new(
        refit: &'a Refit,
        catalogue: &Catalogue,
        labour: &'a Labour,
        extent: Extent,
        watch: Watch<'_>,
    ) -> Result<Self, Unlaid> {
        let whole = !matches!(extent, Extent::Asked);
        if catalogue.parts.is_empty() {
            return Err(ChooseError::EmptyCatalogue.into());
        }
        let wish = &refit.wish.set;
        let mut aims =
            if wish.aims.is_empty() { vec![AimName::Price, AimName::Lowest] } else { wish.aims.clone() };
        aims.extend(wish.parts_at_most.or(refit.wish.ceiling).map(|_| AimName::Price));
        aims.extend(wish.heavier_at_most.map(|_| AimName::Weight));
        aims.extend(wish.labour_at_most.map(|_| AimName::Minutes));
        if whole {
            // Ways out are ranked by price, and keep as much as can be had of a figure that they give up.
            aims.push(AimName::Price);
            aims.extend(wish.lowest_at_most.map(|_| AimName::Lowest));
            aims.extend(wish.step_at_most.map(|_| AimName::Step));
        }
        aims.sort();
        aims.dedup();
        let mut asked = refit.clone();
        if whole {
            asked.wish.set.keep.clear();
            asked.wish.set.free.extend(wish.keep.iter().copied());
        }
        let mut left_out = LeftOut::default();
        let weighed = aims.contains(&AimName::Weight);
        let due = due(refit);
        let in_time = |part: &&Part| whole || due.iter().all(|(most, _)| is_in_time(part, *most));
        let open: Vec<Open> = open_slots(&asked)
            .into_iter()
            .map(|slot| {
                let parts = candidates(&asked, catalogue, slot, weighed, &mut left_out).into_iter();
                let parts = parts.filter(in_time).map(|part| Some(part.clone()));
                Open { slot, options: std::iter::once(None).chain(parts).collect() }
            })
            .filter(|open| open.options.len() > 1)
            .collect();
        let currency = one_currency(&open, refit)?;
        let every = matches!(extent, Extent::Whole);
        let narrow = match extent {
            Extent::Asked => narrowed(refit, open, None, watch)?,
            Extent::Allowed(tables) => narrowed(refit, open, Some(tables), watch)?,
            Extent::Small => {
                let tables = tabulate(&Build::new(refit), &open, None, RULES, BLAME_CELLS, watch)?;
                Narrow { open, apart: None, tables }
            }
            Extent::Whole => Narrow::not(open),
        };
        let Narrow { open, apart, mut tables } = narrow;
        if every || apart.is_some() || !whole {
            tables = filled(refit, &open, apart.as_ref(), tables, watch)?;
        }
        let sizes: Vec<usize> = open.iter().map(|open| open.options.len()).collect();
        let sizes = if sizes.is_empty() { vec![1] } else { sizes };
        let mut problem = Problem::new(&sizes)?;
        let doubts = problem.aim(Fold::Sum)?;
        let mut this = Self {
            refit,
            open,
            problem,
            facts: Vec::new(),
            in_play: Vec::new(),
            bounds: Vec::new(),
            aims: Vec::new(),
            doubts,
            rules: Vec::new(),
            left_out,
            labour,
            currency,
            ride: None,
        };
        this.relate(whole, apart.as_ref(), tables, watch)?;
        for aim in aims {
            this.aim(aim, watch)?;
        }
        Ok(this)
    }

    fn fact(&mut self, kind: FactKind) -> Fact {
        self.facts.push(kind);
        self.facts.len() - 1
    }

    /// A relation from a table, under a fact; without a slot it holds for all or for none.
    fn hold(&mut self, table: &Table, fact: Fact, holds: impl Fn(i64) -> bool) -> Result<(), ChooseError> {
        if table.values().all(&holds) {
            return Ok(());
        }
        self.in_play.push(fact);
        if table.scope.is_empty() {
            return Ok(self.problem.relate(&[0], Some(fact), |_| false)?);
        }
        let holds = |classes: &[usize]| {
            let cell = table.cell(classes);
            cell == NEVER || holds(cell)
        };
        Ok(self.problem.relate_classes(&table.scope, &table.class_of, Some(fact), holds)?)
    }

    fn relate(
        &mut self,
        whole: bool,
        apart: Option<&Apart>,
        tables: Vec<Option<Table>>,
        watch: Watch<'_>,
    ) -> Result<(), Unlaid> {
        let (refit, open) = (self.refit, self.open.clone());
        let wish = &refit.wish.set;
        for (a, b) in EITHER {
            let place = |slot| open.iter().position(|open| open.slot == slot);
            if let (Some(a), Some(b)) = (place(*a), place(*b)) {
                // Two classes: what the bike has, and anything new.
                let is_new =
                    |slot: usize| (0..open[slot].options.len()).map(|at| u32::from(at > 0)).collect();
                let classes = [is_new(a), is_new(b)];
                self.problem.relate_classes(&[a, b], &classes, None, |at| at[0] == 0 || at[1] == 0)?;
            }
        }
        self.chain_with_cassette()?;
        let mut top = BenchTop::new(Build::new(refit), &open, watch).knowing(apart);
        // Rules first: of several conflicts the one with the facts named last is told, and those are the wishes.
        for (rule, table) in RULES.iter().copied().zip(tables) {
            let fact = self.fact(FactKind::Rule(rule));
            let Some(table) = table else { continue };
            self.hold(&table, fact, is_offered)?;
            let first = table.values().next().map_or(0, open_weight);
            let varies = table.values().any(|cell| open_weight(cell) != first);
            if !table.scope.is_empty() && varies {
                let classes = table.class_of.iter().cloned().map(Some).collect();
                let open = |at: &[usize]| open_weight(table.cell(at));
                self.problem.cost_of_classes(self.doubts, &table.scope, classes, open)?;
            }
            self.rules.push((rule, table));
        }
        if wish.no_marginal {
            let fact = self.fact(FactKind::NoMarginal);
            for (_, table) in self.rules.clone() {
                self.hold(&table, fact, |cell| cell != place(Verdict::Marginal))?;
            }
        }
        let rollout_known = number(&Build::new(refit), When::Before, Dimension::Rollout).is_some();
        if !rollout_known && (wish.lowest_at_most.is_some() || wish.highest_at_least.is_some()) {
            return Err(ChooseError::Unmeasured(Dimension::Rollout).into());
        }
        let thousandths = |length: quantity::Length| (length.to_mm() * 1000.0).round() as i64;
        if let Some(wanted) = wish.cogs {
            let fact = self.fact(FactKind::Cogs(wanted));
            self.hold(&top.table(tables::cogs)?, fact, |cogs| cogs == i64::from(wanted))?;
        }
        if let Some(wanted) = wish.rings {
            let fact = self.fact(FactKind::Rings(wanted));
            self.hold(&top.table(tables::rings)?, fact, |rings| rings == i64::from(wanted))?;
        }
        if let Some(most) = wish.lowest_at_most.map(thousandths) {
            let fact = self.fact(FactKind::Lowest);
            self.hold(&top.table(tables::lowest)?, fact, |lowest| lowest <= most)?;
        }
        if let Some(least) = wish.highest_at_least.map(thousandths) {
            let fact = self.fact(FactKind::Highest);
            self.hold(&top.table(tables::highest)?, fact, |highest| highest != UNKNOWN && highest >= least)?;
        }
        if let Some(most) = wish.step_at_most.map(|percent| (percent.to_percent() * 1000.0).round() as i64) {
            let fact = self.fact(FactKind::Step);
            self.hold(&top.table(tables::step)?, fact, |step| step <= most)?;
        }
        if let Some(most) = wish.hands_within.map(|length| (length.to_mm() * 100.0).round() as i64) {
            let fact = self.fact(FactKind::Hands);
            self.hold(&top.table(tables::hands)?, fact, |shift| shift <= most)?;
        }
        if wish.brakes_not_weaker {
            let fact = self.fact(FactKind::Brakes);
            self.hold(&top.table(tables::brakes)?, fact, |change| change != UNKNOWN && change >= 0)?;
        }
        for (most, kind) in due(refit) {
            let fact = self.fact(kind);
            self.in_play.push(fact);
            for (slot, open) in open.iter().enumerate() {
                let in_time =
                    |at: &[usize]| open.options[at[0]].as_ref().is_none_or(|part| is_in_time(part, most));
                self.problem.relate(&[slot], Some(fact), in_time)?;
            }
        }
        for slot in wish.keep.iter().filter(|_| whole) {
            if let Some(at) = open.iter().position(|open| open.slot == *slot) {
                let fact = self.fact(FactKind::Stays(*slot));
                self.in_play.push(fact);
                self.problem.relate(&[at], Some(fact), |at| at[0] == 0)?;
            }
        }
        Ok(())
    }

    /// New cogs take a new chain, unless the wish keeps the one on the bike: a worn chain slips on them and wears them
    /// down. Common practice.
    fn chain_with_cassette(&mut self) -> Result<(), ProblemError> {
        let place = |slot| self.open.iter().position(|open| open.slot == slot);
        let (Some(cassette), Some(chain)) = (place(Slot::Cassette), place(Slot::Chain)) else {
            return Ok(());
        };
        if self.refit.wish.set.keep.contains(&Slot::Chain) {
            return Ok(());
        }
        let is_new = |slot: usize| (0..self.open[slot].options.len()).map(|at| u32::from(at > 0)).collect();
        let classes = [is_new(cassette), is_new(chain)];
        self.problem.relate_classes(&[cassette, chain], &classes, None, |at| at[0] == 0 || at[1] == 1)
    }

    fn aim(&mut self, name: AimName, watch: Watch<'_>) -> Result<(), Unlaid> {
        let (wish, open) = (&self.refit.wish.set, self.open.clone());
        let aim = self.problem.aim(Fold::Sum)?;
        let mut by_option = |cost: &dyn Fn(Slot, &Part) -> i64| -> Result<(), ChooseError> {
            for (slot, open) in open.iter().enumerate() {
                let costs: Vec<i64> = open
                    .options
                    .iter()
                    .map(|part| part.as_ref().map_or(0, |part| cost(open.slot, part)))
                    .collect();
                self.problem.cost(aim, slot, &costs)?;
            }
            Ok(())
        };
        match name {
            AimName::Price => by_option(&|_, part| part.price().map_or(NOT_KNOWN, Money::minor))?,
            AimName::Minutes => {
                by_option(&|slot, _| i64::from(self.labour.minutes.get(&slot).copied().unwrap_or(0)))?
            }
            AimName::Weight => {
                let bike = &self.refit.bike;
                by_option(&|slot, part| heavier_mg(bike.get(slot).and_then(|found| found.mass()), part))?;
            }
            AimName::Lowest | AimName::Step | AimName::Ride => {
                if name == AimName::Ride {
                    self.ride = Some(RideCase::of(self.refit).map_err(ChooseError::Ride)?);
                }
                let check = |build: &Build| match (name, &self.ride) {
                    (AimName::Ride, Some(case)) => tables::ride(case, build),
                    (AimName::Lowest, _) => tables::lowest(build),
                    _ => tables::step(build),
                };
                let table = BenchTop::new(Build::new(self.refit), &open, watch).table(check)?;
                if !table.scope.is_empty() {
                    let classes = table.class_of.iter().cloned().map(Some).collect();
                    let cost = |at: &[usize]| match table.cell(at) {
                        NEVER => 0,
                        cell => cell.min(NOT_KNOWN),
                    };
                    self.problem.cost_of_classes(aim, &table.scope, classes, cost)?;
                }
            }
        }
        let bounds: Vec<(i64, FactKind)> = match name {
            AimName::Price => {
                // The work costs something too: parts that alone pass the ceiling are out whatever it is.
                let ceiling = self.refit.wish.ceiling.map(|most| (most.minor(), FactKind::Ceiling(most)));
                wish.parts_at_most
                    .map(|most| (most.minor(), FactKind::Price(most)))
                    .into_iter()
                    .chain(ceiling)
                    .collect()
            }
            AimName::Weight => {
                let most = wish.heavier_at_most.map(|most| (most.base() * 1000.0).round() as i64);
                most.map(|most| (most, FactKind::Weight)).into_iter().collect()
            }
            AimName::Minutes => wish
                .labour_at_most
                .map(|most| (i64::from(most), FactKind::Minutes(most)))
                .into_iter()
                .collect(),
            AimName::Lowest | AimName::Step | AimName::Ride => Vec::new(),
        };
        for (most, kind) in bounds {
            let fact = self.fact(kind);
            self.in_play.push(fact);
            self.bounds.push((aim, most, fact));
        }
        self.aims.push((name, aim));
        Ok(())
    }

    /// The tables of the rules, by the number of the rule.
    pub(crate) fn into_tables(self) -> Vec<Option<Table>> {
        let mut tables: Vec<Option<Table>> = vec![None; RULES.len()];
        for (rule, table) in self.rules {
            if let Some(at) = RULES.iter().position(|other| *other == rule) {
                tables[at] = Some(table);
            }
        }
        tables
    }

    /// All aims in the order in which they are compared, open verdicts last.
    pub(crate) fn order(&self) -> Vec<Aim> {
        self.aims.iter().map(|(_, aim)| *aim).chain([self.doubts]).collect()
    }

    /// Whether the values of a set, in the order of [`Question::order`], stay within the bounds of some facts.
    pub(crate) fn within(&self, values: &[i64], in_force: &dyn Fn(Fact) -> bool) -> bool {
        self.bounds.iter().filter(|(_, _, fact)| in_force(*fact)).all(|(aim, most, _)| {
            let place = self.aims.iter().position(|(_, other)| other == aim);
            place.is_none_or(|place| values[place] <= *most)
        })
    }

    /// The build of a choice of options.
    pub(crate) fn build(&self, options: &[usize]) -> Build {
        let mut build = Build::new(self.refit);
        for (open, option) in self.open.iter().zip(options) {
            if let Some(part) = &open.options[*option] {
                build.swap(open.slot, Some(part.clone()));
            }
        }
        build
    }
}

/// The table of every rule: what is known already is taken as it is.
fn filled(
    refit: &Refit,
    open: &[Open],
    apart: Option<&Apart>,
    mut tables: Vec<Option<Table>>,
    watch: Watch<'_>,
) -> Result<Vec<Option<Table>>, Stopped> {
    tables.resize(RULES.len(), None);
    let missing: Vec<usize> = (0..RULES.len()).filter(|at| tables[*at].is_none()).collect();
    let rules: Vec<&'static Rule> = missing.iter().map(|at| RULES[*at]).collect();
    let found = tabulate(&Build::new(refit), open, apart, &rules, usize::MAX, watch)?;
    missing.into_iter().zip(found).for_each(|(at, table)| tables[at] = table);
    Ok(tables)
}

/// How much heavier a part is than the one that it replaces, in milligrams; what is not weighed counts as no change,
/// and the answer says which parts those are.
pub(crate) fn heavier_mg(found: Option<quantity::Mass>, part: &Part) -> i64 {
    match (found, part.mass()) {
        (Some(old), Some(new)) => ((new.base() - old.base()) * 1000.0).round() as i64,
        _ => 0,
    }
}

/// Working days within which parts have to be here, each with what asks for it.
fn due(refit: &Refit) -> Vec<(u32, FactKind)> {
    let in_stock = refit.wish.set.parts_within_days.map(|most| (most, FactKind::Days(most)));
    let ready = refit.wish.ready_in_days.map(|days| (most_working_days(days), FactKind::Ready(days)));
    in_stock.into_iter().chain(ready).collect()
}

/// The most working days that so many days can have, whatever day they begin on. The work itself takes some of them:
/// the calendar of the shop says how many.
pub(crate) fn most_working_days(days: u32) -> u32 {
    days / 7 * 5 + (days % 7).min(5)
}

fn is_in_time(part: &Part, most: u32) -> bool {
    part.lead_days().is_some_and(|days| days <= most)
}

fn one_currency(open: &[Open], refit: &Refit) -> Result<Option<Money>, ChooseError> {
    let named = |name: &str, money: Option<Money>| money.map(|money| (name.to_owned(), money));
    let most = named("the most that the parts may cost", refit.wish.set.parts_at_most);
    let ceiling = named("the ceiling", refit.wish.ceiling);
    let parts = open.iter().flat_map(|open| open.options.iter().flatten());
    let prices = parts.filter_map(|part| Some((part.id().unwrap_or(part.name()).to_owned(), part.price()?)));
    let mut first: Option<(String, Money)> = None;
    for (name, price) in most.into_iter().chain(ceiling).chain(prices) {
        match &first {
            None => first = Some((name, price)),
            Some((other, money)) if money.currency() != price.currency() => {
                return Err(ChooseError::Currencies {
                    one: other.clone(),
                    in_one: money.currency().to_owned(),
                    other: name,
                    in_other: price.currency().to_owned(),
                });
            }
            Some(_) => {}
        }
    }
    Ok(first.map(|(_, money)| money))
}
