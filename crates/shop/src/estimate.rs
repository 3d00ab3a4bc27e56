//! The estimate: what a job costs, how far it may go, and what it leaves out. Begin with [`estimate`].

use crate::book::BookError;
use crate::labour::{Circumstances, Labour};
use crate::operation::OperationId;
use crate::price::{Carries, HowMuch, PriceError, PriceLine, Totals, totals};
use crate::risk::{Blow, Faced, Outlook, Standing, faced, outlook};
use crate::step::Minutes;
use crate::tax::LineKind;
use crate::wanted::{Wanted, wanted};
use crate::wording::{Said, of_plan};
use crate::workshop::{Deposit, Terms, Workshop};
use catalog::Slot;
use fit::words::{cure_words, tell, verdict_words};
use fit::{Audience, Plan, Verdict, Why};
use jiff::ToSpan;
use jiff::civil::Date;
use quantity::{Money, MoneyError};
use std::fmt;

/// What comes of a plan: an estimate, or the reason why there is none.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// An estimate.
    Estimate(Box<Estimate>),
    /// None: the plan does not work.
    None(Box<NoEstimate>),
}

/// Why a plan has no estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct NoEstimate {
    /// In a sentence.
    pub why: String,
    /// The findings that stand against it.
    pub because: Vec<String>,
    /// Ways out; empty means none.
    pub ways: Vec<String>,
    /// What the inspection costs.
    pub fee: PriceLine,
    /// With tax.
    pub totals: Totals,
}

/// Whether a customer may sign it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signable {
    /// Yes.
    Yes,
    /// Yes, once they have agreed to what is marginal.
    WithAmber,
    /// No: something has to be measured first.
    MeasureFirst,
    /// No: a price is not known.
    PriceFirst,
}

impl Signable {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Yes => "ready to sign",
            Self::WithAmber => "ready to sign, with what is marginal agreed to by name",
            Self::MeasureFirst => "not to be signed: what is open has to be measured first",
            Self::PriceFirst => "not to be signed: a price is not known, and it is not counted as nothing",
        }
    }
}

/// An estimate, in the order in which it is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// What the job is called.
    pub name: String,
    /// Its version, from 1.
    pub version: u32,
    /// The day on which it was made.
    pub made: Date,
    /// Until when it holds.
    pub holds_until: Date,
    /// Whether it may be signed.
    pub signable: Signable,
    /// 1: what the customer told.
    pub told: Option<String>,
    /// 2: what was found that matters.
    pub found: Vec<String>,
    /// 3: what the wish pulls.
    pub pulls: Vec<&'static str>,
    /// 3: what it leaves alone.
    pub leaves: Vec<&'static str>,
    /// 5: the operations, each with its reason.
    pub operations: Vec<Wanted>,
    /// 5: the work.
    pub labour: Labour,
    /// 5: the lines.
    pub lines: Vec<PriceLine>,
    /// 5: parts whose price is not known; the sums are without them.
    pub unpriced: Vec<String>,
    /// 5: the sums.
    pub totals: Totals,
    /// 5: whether the sums are shown with or without tax.
    pub shown: Carries,
    /// 5: what would be cheap to do now.
    pub offers: Vec<Offer>,
    /// 6: the risks of this bike.
    pub risks: Vec<FacedPrice>,
    /// 6: minutes at 50, 80 and 95 percent.
    pub minutes: Outlook,
    /// 6: price at 50, 80 and 95 percent, minor units, as it is shown.
    pub price: Outlook,
    /// 6: the price if nothing had been looked at, minor units; none if looking has settled nothing.
    pub price_untried: Option<Outlook>,
    /// 7: the ceiling.
    pub ceiling: Ceiling,
    /// What is asked for in advance.
    pub deposit: Option<Advance>,
    /// 9: what is not in it.
    pub not_included: Vec<String>,
    /// What is said, by rule.
    pub said: Vec<Said>,
    /// Cautions of the plan for whoever rides.
    pub cautions: Vec<&'static str>,
}

/// A further operation while the bike is apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offer {
    /// The operation.
    pub operation: OperationId,
    /// What it is called.
    pub title: &'static str,
    /// Minutes added now.
    pub now: Minutes,
    /// Minutes as a job of its own.
    pub later: Minutes,
    /// Labour added now, without parts.
    pub price_now: Money,
    /// Labour as a job of its own.
    pub price_later: Money,
}

/// A risk with what it would cost.
#[derive(Clone, Debug, PartialEq)]
pub struct FacedPrice {
    /// The risk and how it stands.
    pub faced: Faced,
    /// What it would cost, in the terms that are shown.
    pub price: Money,
    /// By how much it raises the 80 percent price; for one that was settled, would raise.
    pub moves_p80: Money,
}

/// The amount that is not passed without a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    /// The amount, as it is shown.
    pub amount: Money,
    /// Whether the customer named it.
    pub named: bool,
    /// At least so many of a hundred such jobs stay below: 95, 80, 50, or 0 for fewer.
    pub of_hundred: u32,
}

/// What is asked for in advance.
#[derive(Clone, Debug, PartialEq)]
pub struct Advance {
    /// How much.
    pub amount: Money,
    /// For what.
    pub words: String,
}

/// Why an estimate cannot be made.
#[derive(Clone, Debug, PartialEq)]
pub enum EstimateError {
    /// The book lacks an operation.
    Book(BookError),
    /// A price, a tax or a sum.
    Price(PriceError),
}

impl From<BookError> for EstimateError {
    fn from(error: BookError) -> Self {
        Self::Book(error)
    }
}

impl From<PriceError> for EstimateError {
    fn from(error: PriceError) -> Self {
        Self::Price(error)
    }
}

impl From<MoneyError> for EstimateError {
    fn from(error: MoneyError) -> Self {
        Self::Price(error.into())
    }
}

impl fmt::Display for EstimateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Book(error) => write!(f, "{error}"),
            Self::Price(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for EstimateError {}

/// The estimate of a plan, made on a day.
///
/// # Errors
/// Everything that stands against a sum: sorts of lines without a tax, other currencies. A part without a price is no
/// error: the estimate names it, leaves it out of the sums and may not be signed.
pub fn estimate(
    plan: &Plan,
    shop: &Workshop,
    circumstances: Circumstances,
    made: Date,
) -> Result<Answer, Vec<EstimateError>> {
    if matches!(plan.verdict, Verdict::Fails | Verdict::Refused) {
        return none(plan, &shop.terms).map(|none| Answer::None(Box::new(none)));
    }
    let operations = wanted(plan, circumstances);
    let all: Vec<OperationId> = operations.iter().map(|wanted| wanted.operation).collect();
    let labour = shop.book.labour(&all, circumstances.age).map_err(|error| vec![error.into()])?;
    let steps: Vec<&str> = labour.steps.iter().map(|step| step.0).collect();
    let faced = faced(&shop.risks, plan, &steps);
    let (mut lines, unpriced) = lines(plan, &shop.terms, &labour, circumstances.customer_parts)?;
    lines.extend(certain(&faced, &shop.terms).map_err(|error| vec![error])?);
    lines.extend(discounts(&lines, &shop.terms).map_err(|error| vec![error])?);
    let terms = &shop.terms;
    let totals = totals(&lines, &terms.taxes, terms.prices, terms.hour, terms.round_to)
        .map_err(|problems| problems.into_iter().map(EstimateError::Price).collect::<Vec<_>>())?;
    let rest = || -> Result<Estimate, EstimateError> {
        let money = Reach::of(&totals, &labour, &faced, terms)?;
        let risks = faced
            .iter()
            .map(|faced| {
                Ok(FacedPrice {
                    price: money.price(faced)?,
                    moves_p80: money.moves(faced),
                    faced: faced.clone(),
                })
            })
            .collect::<Result<Vec<_>, EstimateError>>()?;
        let ceiling = ceiling(plan, &money, terms)?;
        let signable = match plan.verdict {
            Verdict::Measure => Signable::MeasureFirst,
            _ if !unpriced.is_empty() => Signable::PriceFirst,
            Verdict::Marginal => Signable::WithAmber,
            _ => Signable::Yes,
        };
        let mut said = of_plan(plan, &shop.blocks);
        said.extend(money_words(&money, &ceiling, &faced, circumstances, shop));
        Ok(Estimate {
            name: plan.name.clone(),
            version: 1,
            made,
            holds_until: made.saturating_add(i64::from(terms.valid_days).days()),
            signable,
            told: plan.refit.wish.words.clone(),
            found: found(plan),
            pulls: plan.pulls.iter().map(|coupling| coupling.words()).collect(),
            leaves: leaves(plan),
            offers: offers(&shop.book, plan, &all, terms)?,
            minutes: money.minutes(&labour, &faced),
            price: money.outlook(|faced| faced.standing == Standing::Open),
            price_untried: money.untried(),
            deposit: deposit(plan, &lines, &totals, terms)?,
            not_included: not_included(plan, &lines, &unpriced, circumstances),
            unpriced,
            cautions: plan.cautions_for(Audience::Customer).map(|caution| caution.words).collect(),
            operations,
            labour,
            shown: terms.shown,
            risks,
            ceiling,
            said,
            lines,
            totals,
        })
    };
    rest().map(|estimate| Answer::Estimate(Box::new(estimate))).map_err(|error| vec![error])
}

fn none(plan: &Plan, terms: &Terms) -> Result<NoEstimate, Vec<EstimateError>> {
    let why = match (plan.stopped, plan.verdict) {
        (Some(rule), _) => format!(
            "no estimate: the job stops at {}; nothing is ordered and nothing further is measured or sold",
            rule.id
        ),
        (None, Verdict::Refused) => {
            "no estimate: what was chosen is refused, and no signature changes that".to_owned()
        }
        (None, _) => "no estimate: with the parts as chosen the refit does not work".to_owned(),
    };
    let bad = |finding: &&fit::Finding| matches!(finding.verdict, Verdict::Fails | Verdict::Refused);
    let because = plan.findings.iter().filter(bad).map(|finding| tell(finding).head).collect();
    let ways = match plan.stopped {
        Some(_) => Vec::new(),
        None => plan
            .findings
            .iter()
            .filter(bad)
            .filter_map(|finding| {
                finding.cures.first().map(|cure| format!("{}: {}", finding.rule.id, cure_words(cure)))
            })
            .collect(),
    };
    let fee = PriceLine {
        kind: LineKind::Labour,
        part: None,
        words: "inspection".to_owned(),
        how_much: HowMuch::Flat,
        unit: None,
        amount: terms.intake_fee,
        why: "the look that found it".to_owned(),
        priced_on: None,
        assumed: false,
    };
    let totals = totals(std::slice::from_ref(&fee), &terms.taxes, terms.prices, terms.hour, terms.round_to)
        .map_err(|problems| problems.into_iter().map(EstimateError::Price).collect::<Vec<_>>())?;
    Ok(NoEstimate { why, because, ways, fee, totals })
}

/// Labour in one line, then the parts.
fn lines(
    plan: &Plan,
    terms: &Terms,
    labour: &Labour,
    brought: bool,
) -> Result<(Vec<PriceLine>, Vec<String>), Vec<EstimateError>> {
    let minutes = labour.total.usual;
    let amount = terms.hour.share(minutes, 60).map_err(|error| vec![error.into()])?;
    let mut lines = vec![PriceLine {
        kind: LineKind::Labour,
        part: None,
        words: format!("labour, {} steps, each counted once", labour.steps.len()),
        how_much: HowMuch::Minutes(minutes),
        unit: Some(terms.hour),
        amount,
        why: "the steps of all operations together".to_owned(),
        priced_on: None,
        assumed: false,
    }];
    let (mut problems, mut unpriced) = (Vec::new(), Vec::new());
    for line in &plan.parts.lines {
        let is_own = brought && line.id.is_none() && line.why == Why::Chosen;
        let Some(unit) = line.price else {
            if !is_own {
                unpriced.push(line.name.clone());
            }
            continue;
        };
        if unit.currency() != terms.hour.currency() {
            problems.push(
                PriceError::OtherCurrency {
                    line: line.name.clone(),
                    found: unit.currency().to_owned(),
                    wanted: terms.hour.currency().to_owned(),
                }
                .into(),
            );
            continue;
        }
        let flat = line.id.as_deref() == Some("grease-and-cleaner");
        let kind = match (&line.why, flat) {
            (_, true) => LineKind::Consumable,
            (Why::Recipe(_), _) => LineKind::SmallPart,
            _ => LineKind::Part,
        };
        match unit.times(line.quantity) {
            Ok(amount) => lines.push(PriceLine {
                kind,
                part: line.id.clone(),
                words: line.name.clone(),
                how_much: if flat { HowMuch::Flat } else { HowMuch::Pieces(line.quantity) },
                unit: Some(unit),
                amount,
                why: why_words(&line.why),
                priced_on: terms.prices_on,
                assumed: line.assumed,
            }),
            Err(error) => problems.push(error.into()),
        }
    }
    if problems.is_empty() { Ok((lines, unpriced)) } else { Err(problems) }
}

fn why_words(why: &Why) -> String {
    match why {
        Why::Chosen => "chosen".to_owned(),
        Why::Added(rule) => format!("added by itself: {rule}"),
        Why::Recipe(recipe) => (*recipe).to_owned(),
    }
}

/// What is known to be so has a line of its own, before approval.
fn certain(faced: &[Faced], terms: &Terms) -> Result<Vec<PriceLine>, EstimateError> {
    let mut lines = Vec::new();
    for faced in faced.iter().filter(|faced| faced.standing == Standing::Certain) {
        let minutes = faced.risk.minutes_now().round() as u32;
        let line = |kind, how_much, unit, amount| PriceLine {
            kind,
            part: None,
            words: faced.risk.words.clone(),
            how_much,
            unit,
            amount,
            why: "found at intake".to_owned(),
            priced_on: None,
            assumed: false,
        };
        if minutes > 0 {
            let amount = terms.hour.share(minutes, 60)?;
            lines.push(line(LineKind::Labour, HowMuch::Minutes(minutes), Some(terms.hour), amount));
        }
        if let Some(parts) = faced.risk.parts.filter(|parts| parts.minor() > 0) {
            lines.push(line(LineKind::Part, HowMuch::Flat, None, parts));
        }
    }
    Ok(lines)
}

/// Each discount as a line of its own for each sort of line that it meets.
fn discounts(lines: &[PriceLine], terms: &Terms) -> Result<Vec<PriceLine>, EstimateError> {
    let mut given = Vec::new();
    for discount in &terms.discounts {
        for kind in
            LineKind::ALL.iter().filter(|kind| discount.kinds.is_empty() || discount.kinds.contains(kind))
        {
            let of_kind = lines.iter().filter(|line| line.kind == *kind);
            let sum = of_kind.map(|line| line.amount).try_fold(terms.hour.with_minor(0), Money::plus)?;
            let off = sum.share(discount.hundredths, 10_000)?;
            if off.minor() <= 0 {
                continue;
            }
            let percent = crate::tax::percent_words(discount.hundredths);
            given.push(PriceLine {
                kind: *kind,
                part: None,
                words: format!("discount on {}: {}, {percent} %", kind.words(), discount.words),
                how_much: HowMuch::Flat,
                unit: None,
                amount: off.with_minor(-off.minor()),
                why: "given".to_owned(),
                priced_on: None,
                assumed: false,
            });
        }
    }
    Ok(given)
}

/// How far the price may go, in the terms in which it is shown.
struct Reach<'a> {
    base: f64,
    /// Share of the labour that minutes scatter, as a standard deviation, minor units.
    sigma: f64,
    scatter: f64,
    faced: &'a [Faced],
    currency: Money,
    minute: f64,
    part: f64,
}

impl<'a> Reach<'a> {
    fn of(
        totals: &Totals,
        labour: &Labour,
        faced: &'a [Faced],
        terms: &Terms,
    ) -> Result<Self, EstimateError> {
        let factor = |kind: LineKind| -> Result<f64, EstimateError> {
            let rule = terms.taxes.get(&kind).ok_or(PriceError::NoTax(kind))?;
            let with_tax = 1.0 + f64::from(rule.hundredths) / 10_000.0;
            Ok(match (terms.prices, terms.shown) {
                (Carries::Net, Carries::Gross) => with_tax,
                (Carries::Gross, Carries::Net) => 1.0 / with_tax,
                _ => 1.0,
            })
        };
        let minute = terms.hour.minor() as f64 / 60.0 * factor(LineKind::Labour)?;
        let scatter = f64::from(terms.scatter_percent) / 100.0;
        Ok(Self {
            base: shown(totals, terms.shown).minor() as f64,
            sigma: scatter * f64::from(labour.total.usual) * minute,
            scatter,
            faced,
            currency: terms.hour,
            minute,
            part: factor(LineKind::Part)?,
        })
    }

    fn cost(&self, faced: &Faced) -> f64 {
        let parts = faced.risk.parts.map_or(0.0, |parts| parts.minor() as f64);
        faced.risk.minutes_now() * self.minute + parts * self.part
    }

    fn price(&self, faced: &Faced) -> Result<Money, EstimateError> {
        if let Some(parts) = faced.risk.parts {
            // Two currencies in one risk are an error, not a number.
            self.currency.plus(parts)?;
        }
        Ok(self.currency.with_minor(self.cost(faced).round() as i64))
    }

    fn outlook(&self, counts: impl Fn(&Faced) -> bool) -> Outlook {
        let blows: Vec<Blow> = self
            .faced
            .iter()
            .filter(|faced| counts(faced))
            .map(|faced| Blow { chance: faced.risk.chance_now(), by: self.cost(faced) })
            .collect();
        outlook(self.base, self.sigma, &blows)
    }

    fn minutes(&self, labour: &Labour, faced: &[Faced]) -> Outlook {
        let certain = faced.iter().filter(|faced| faced.standing == Standing::Certain);
        let base = f64::from(labour.total.usual)
            + certain.map(|faced| faced.risk.minutes_now().round()).sum::<f64>();
        let open = faced.iter().filter(|faced| faced.standing == Standing::Open);
        let blows: Vec<Blow> = open
            .map(|faced| Blow { chance: faced.risk.chance_now(), by: faced.risk.minutes_now() })
            .collect();
        outlook(base, self.scatter * f64::from(labour.total.usual), &blows)
    }

    /// By how much a risk raises the 80 percent price.
    fn moves(&self, faced: &Faced) -> Money {
        let open = |other: &Faced| other.standing == Standing::Open;
        let same = |other: &Faced| other.risk.id == faced.risk.id;
        let with = self.outlook(|other| open(other) || same(other)).p80;
        let without = self.outlook(|other| open(other) && !same(other)).p80;
        let moves = if faced.standing == Standing::Certain { 0.0 } else { with - without };
        self.currency.with_minor(moves.round() as i64)
    }

    /// The price if nothing had been looked at.
    fn untried(&self) -> Option<Outlook> {
        let spared = |faced: &Faced| faced.standing == Standing::Spared;
        self.faced.iter().any(spared).then(|| self.outlook(|faced| faced.standing != Standing::Certain))
    }

    /// An amount in whole units: nobody knows the future to the cent.
    fn whole(&self, minor: f64) -> Money {
        self.currency.with_minor((minor / 100.0).round() as i64 * 100)
    }
}

/// The sum as it is shown.
pub fn shown(totals: &Totals, shown: Carries) -> Money {
    match shown {
        Carries::Net => totals.net,
        Carries::Gross => totals.payable,
    }
}

fn ceiling(plan: &Plan, money: &Reach<'_>, terms: &Terms) -> Result<Ceiling, EstimateError> {
    let outlook = money.outlook(|faced| faced.standing == Standing::Open);
    let named = plan.refit.wish.ceiling;
    if let Some(named) = named {
        // Another currency is an error, not a number.
        terms.hour.plus(named)?;
    }
    let unit = terms.ceiling_to.minor().max(1);
    let own = (outlook.p95.ceil() as i64 + unit - 1) / unit * unit;
    let (minor, is_named) = match named {
        Some(named) if named.minor() < own => (named.minor(), true),
        _ => (own, false),
    };
    let at = minor as f64;
    let of_hundred = match at {
        at if at >= outlook.p95 => 95,
        at if at >= outlook.p80 => 80,
        at if at >= outlook.p50 => 50,
        _ => 0,
    };
    Ok(Ceiling { amount: terms.hour.with_minor(minor), named: is_named, of_hundred })
}

fn money_words(
    money: &Reach<'_>,
    ceiling: &Ceiling,
    faced: &[Faced],
    circumstances: Circumstances,
    shop: &Workshop,
) -> Vec<Said> {
    let outlook = money.outlook(|faced| faced.standing == Standing::Open);
    let in_mind = money.whole(outlook.p80).to_string();
    let amount = ceiling.amount.to_string();
    let mut said = Vec::new();
    let spared: Vec<&str> = faced
        .iter()
        .filter(|faced| faced.standing == Standing::Spared)
        .map(|faced| faced.risk.words.as_str())
        .collect();
    if !spared.is_empty() {
        said.extend(shop.blocks.say("tried", &[("parts", &spared.join(", "))]));
    }
    if circumstances.customer_parts {
        said.extend(shop.blocks.say("own-parts", &[]));
    }
    if ceiling.named && money.base > ceiling.amount.minor() as f64 {
        let expected = money.whole(money.base).to_string();
        said.extend(shop.blocks.say("over-ceiling", &[("ceiling", &amount), ("expected", &expected)]));
    } else if ceiling.named {
        said.extend(shop.blocks.say("your-ceiling", &[("ceiling", &amount), ("in_mind", &in_mind)]));
    } else {
        let expected = money.whole(money.base).to_string();
        let with = [("expected", &*expected), ("in_mind", &*in_mind), ("ceiling", &*amount)];
        said.extend(shop.blocks.say("money", &with));
    }
    said.extend(shop.blocks.say("no-answer", &[]));
    said
}

/// What was found that is not simply in order.
fn found(plan: &Plan) -> Vec<String> {
    let mut found: Vec<String> = plan
        .findings
        .iter()
        .filter(|finding| finding.verdict != Verdict::Works)
        .map(|finding| tell(finding).head)
        .collect();
    let works = plan.findings.iter().filter(|finding| finding.verdict == Verdict::Works).count();
    if works > 0 {
        found.push(format!("{}: {works} further places where parts meet", verdict_words(Verdict::Works)));
    }
    found
}

fn leaves(plan: &Plan) -> Vec<&'static str> {
    let stays = |slot: &&Slot| plan.build.before.has(**slot) && !plan.build.choice.has(**slot);
    Slot::ALL.iter().filter(stays).map(|slot| slot.words()).collect()
}

/// Operations that are offered while the bike is apart, with the slot that the bike has to have.
const OFFERED: &[(&str, Option<Slot>)] = &[
    ("bottom-bracket-service", None),
    ("headset", None),
    ("pads", Some(Slot::Calipers)),
    ("tape", Some(Slot::Tape)),
    ("chain", Some(Slot::Chain)),
    ("pedals", None),
    ("hanger-alignment", None),
    ("hub-service-rear", None),
    ("hub-service-front", None),
];

/// Operations that would cost a third or less of their own price while the bike is apart.
fn offers(
    book: &crate::Book,
    plan: &Plan,
    chosen: &[OperationId],
    terms: &Terms,
) -> Result<Vec<Offer>, EstimateError> {
    let brought = book.brought_by(chosen)?;
    let mut offers = Vec::new();
    let has = |slot: &Option<Slot>| slot.is_none_or(|slot| plan.build.after.has(slot));
    for (id, _) in OFFERED.iter().filter(|(_, slot)| has(slot)) {
        let Some(operation) = book.operation(OperationId(id)) else { continue };
        if brought.contains(&operation.id) {
            continue;
        }
        let marginal = book.marginal(chosen, operation.id)?;
        let (now, later) = (marginal.while_apart, marginal.alone);
        if now.usual == 0 || now.usual * 3 > later.usual {
            continue;
        }
        offers.push(Offer {
            operation: operation.id,
            title: operation.title,
            now,
            later,
            price_now: terms.hour.share(now.usual, 60)?,
            price_later: terms.hour.share(later.usual, 60)?,
        });
    }
    // The largest saving first; so many are read.
    const SHOWN: usize = 4;
    offers.sort_by_key(|offer| std::cmp::Reverse(offer.later.usual - offer.now.usual));
    offers.truncate(SHOWN);
    Ok(offers)
}

fn deposit(
    plan: &Plan,
    lines: &[PriceLine],
    totals: &Totals,
    terms: &Terms,
) -> Result<Option<Advance>, EstimateError> {
    let whole = |amount: Money| amount.with_minor((amount.minor() + 99) / 100 * 100);
    Ok(match &terms.deposit {
        Deposit::Nothing => None,
        Deposit::Share(percent) => Some(Advance {
            amount: whole(totals.payable.share(*percent, 100)?),
            words: format!("{percent} % of the whole"),
        }),
        Deposit::NotReturnable(slots) => {
            let mut sum = terms.hour.with_minor(0);
            let mut names = Vec::new();
            for slot in slots {
                let Some(id) = plan.build.choice.get(*slot).and_then(|part| part.id().map(str::to_owned))
                else {
                    continue;
                };
                for line in lines.iter().filter(|line| line.part.as_deref() == Some(&id)) {
                    sum = sum.plus(line.amount)?;
                    names.push(line.words.clone());
                }
            }
            (!names.is_empty()).then(|| Advance {
                amount: whole(sum),
                words: format!("parts that cannot go back once they are cut or built: {}", names.join(", ")),
            })
        }
    })
}

fn not_included(
    plan: &Plan,
    lines: &[PriceLine],
    unpriced: &[String],
    circumstances: Circumstances,
) -> Vec<String> {
    let mut out: Vec<String> =
        unpriced.iter().map(|part| PriceError::NoPrice(part.clone()).to_string()).collect();
    let leaves = leaves(plan);
    if !leaves.is_empty() {
        out.push(format!("everything on parts that stay: {}", leaves.join(", ")));
    }
    if circumstances.customer_parts {
        let own = plan.parts.lines.iter().filter(|line| line.id.is_none() && line.price.is_none());
        let own: Vec<&str> = own.map(|line| line.name.as_str()).collect();
        if !own.is_empty() {
            out.push(format!("parts that you bring: {}", own.join(", ")));
        }
    }
    if lines.iter().any(|line| line.assumed) {
        out.push(
            "more small parts than counted: quantities marked as assumed follow the usual route".to_owned(),
        );
    }
    out.push("anything found on the way: it is told with its price before it is done".to_owned());
    out
}
