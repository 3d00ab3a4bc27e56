//! Why there is no set: the smallest set of facts that conflict, and what opens the way.

use crate::choose::answer::{ChooseError, judged};
use crate::choose::question::{Extent, FactKind, Labour, Question, Unlaid, most_working_days};
use crate::choose::set::Set;
use crate::choose::shares;
use crate::finding::Finding;
use crate::judge::judge_by;
use crate::refit::Refit;
use crate::set_wish::AimName;
use catalog::Catalogue;
use frontier::{Aim, Fact, Limits, Pick, Watch};
use quantity::{Money, Quantity};

/// A fact of the conflict.
#[derive(Clone, Debug)]
pub struct Blame {
    /// The fact in words.
    pub words: String,
    /// Where it is a rule: what the rule finds on the best set that keeps everything else, with its numbers.
    pub finding: Option<Finding>,
}

/// A way out: what to give up, and what that opens.
#[derive(Clone, Debug)]
pub struct Way {
    /// What is given up, in words.
    pub words: String,
    /// What is reached in its place, where it was a figure.
    pub reached: Option<String>,
    /// Price of the cheapest set that it opens.
    pub price: Option<Money>,
    /// Days until its parts are here.
    pub days: Option<u32>,
    /// Sets that it opens.
    pub sets: u64,
    /// The parts of the cheapest set, by their keys.
    pub parts: Vec<String>,
}

/// Why there is no set.
#[derive(Clone, Debug)]
pub struct WhyNot {
    /// Facts that cannot hold together; without any one of them the others can.
    pub conflict: Vec<Blame>,
    /// Ways out, cheapest first: each gives up one thing that the wish says, or two where no one of them is enough.
    pub ways: Vec<Way>,
    /// Whether it was searched to the end.
    pub complete: bool,
}

pub(crate) fn why_not(
    refit: &Refit,
    catalogue: &Catalogue,
    labour: &Labour,
    watch: Watch<'_>,
) -> Result<Option<WhyNot>, ChooseError> {
    match told(refit, catalogue, labour, watch) {
        Ok(why) => Ok(why),
        Err(Unlaid::Stopped) => Ok(Some(WhyNot { conflict: Vec::new(), ways: Vec::new(), complete: false })),
        Err(Unlaid::Error(error)) => Err(error),
    }
}

/// A conflict among what small tables say is one whatever the wide ones say; only where there is none are they filled for
/// all that could be. Ways out keep every rule, so for them the wide tables are filled for what the rules allow.
fn told(
    refit: &Refit,
    catalogue: &Catalogue,
    labour: &Labour,
    watch: Watch<'_>,
) -> Result<Option<WhyNot>, Unlaid> {
    let mut all = Question::new(refit, catalogue, labour, Extent::Small, watch)?;
    let mut conflict = all.problem.conflict(&all.in_play, &all.bounds, watch);
    if conflict.is_none() {
        all = Question::new(refit, catalogue, labour, Extent::Whole, watch)?;
        conflict = all.problem.conflict(&all.in_play, &all.bounds, watch);
    }
    let Some(conflict) = conflict else { return Ok(None) };
    let blame = |fact: &Fact| {
        let kind = all.facts[*fact];
        let in_force = |other: Fact| other != *fact && conflict.facts.contains(&other);
        let finding = match kind {
            FactKind::Rule(rule) => {
                cheapest(&all, &in_force, watch).and_then(|options| judge_by(rule, &all.build(&options)))
            }
            _ => None,
        };
        Blame { words: words(&all, kind), finding }
    };
    let mut why = WhyNot {
        conflict: conflict.facts.iter().map(blame).collect(),
        ways: Vec::new(),
        complete: conflict.complete,
    };
    let blamed: Vec<FactKind> = conflict.facts.iter().map(|fact| all.facts[*fact]).collect();
    let question = Question::new(refit, catalogue, labour, Extent::Allowed(all.into_tables()), watch)?;
    let facts = &question.in_play;
    let is_wish = |fact: &&Fact| !matches!(question.facts[**fact], FactKind::Rule(_));
    let wishes: Vec<Fact> = facts.iter().filter(is_wish).copied().collect();
    // What opens a way gives up something of every conflict, so of this one.
    let blamed = |given_up: &[Fact]| given_up.iter().any(|fact| blamed.contains(&question.facts[*fact]));
    let watch = Watch { tell: None, ..watch };
    let stop = watch.stop;
    let open = |given_ups: &[Vec<Fact>]| {
        shares::each(given_ups, |given_up| way(&question, given_up, Watch { stop, tell: None }))
            .into_iter()
            .collect::<Result<Vec<Option<Way>>, ChooseError>>()
    };
    let alone: Vec<Vec<Fact>> = wishes.iter().map(|fact| vec![*fact]).filter(|one| blamed(one)).collect();
    let ways = open(&alone)?;
    let opened: Vec<Fact> =
        alone.iter().zip(&ways).filter(|(_, way)| way.is_some()).map(|(one, _)| one[0]).collect();
    why.ways.extend(ways.into_iter().flatten());
    // What is enough alone is not told again with something else beside it.
    let left: Vec<Fact> = wishes.into_iter().filter(|fact| !opened.contains(fact)).collect();
    let pairs: Vec<Vec<Fact>> = left
        .iter()
        .enumerate()
        .flat_map(|(at, one)| left[at + 1..].iter().map(|two| vec![*one, *two]))
        .filter(|pair| blamed(pair))
        .collect();
    why.ways.extend(open(&pairs)?.into_iter().flatten());
    why.complete &= !watch.stopped();
    why.ways.sort_by_key(|way| (way.price.map_or(i64::MAX, Money::minor), way.days.unwrap_or(u32::MAX)));
    Ok(Some(why))
}

/// What giving up these facts opens; nothing where no set holds even then, or only the bike as it is.
fn way(question: &Question<'_>, given_up: &[Fact], watch: Watch<'_>) -> Result<Option<Way>, ChooseError> {
    let in_force = |other: Fact| !given_up.contains(&other);
    // Of a figure that is given up as much as can be had is kept.
    let figure = given_up.iter().find_map(|fact| match question.facts[*fact] {
        FactKind::Lowest => Some(AimName::Lowest),
        FactKind::Step => Some(AimName::Step),
        _ => None,
    });
    let Some(options) = least(question, figure, &in_force, watch) else { return Ok(None) };
    let set = judged(question, &options)?;
    if set.parts.is_empty() {
        // Leaving the bike as it is is no way to the wish.
        return Ok(None);
    }
    let names: Vec<String> = given_up.iter().map(|fact| words(question, question.facts[*fact])).collect();
    Ok(Some(Way {
        words: names.join(" and "),
        reached: figure.and_then(|figure| reached(&set, figure)),
        price: set.price,
        days: set.days,
        sets: question.problem.count_where(&in_force, watch).sets,
        parts: set.keys(),
    }))
}

/// What a set reaches of a figure.
fn reached(set: &Set, figure: AimName) -> Option<String> {
    let fixed = quantity::digits::fixed;
    match figure {
        AimName::Lowest => set.lowest_m.map(|lowest| format!("{} m is reached", fixed(lowest, 2))),
        AimName::Step => set.step_percent.map(|step| format!("{} % is reached", fixed(step, 1))),
        AimName::Price | AimName::Weight | AimName::Minutes | AimName::Ride => None,
    }
}

/// The cheapest set with some facts in force; of equals the one with fewer open verdicts.
fn cheapest(
    question: &Question<'_>,
    in_force: &dyn Fn(Fact) -> bool,
    watch: Watch<'_>,
) -> Option<Vec<usize>> {
    least(question, None, in_force, watch)
}

/// The set that is least in a figure, then in price, then in open verdicts, with some facts in force.
fn least(
    question: &Question<'_>,
    figure: Option<AimName>,
    in_force: &dyn Fn(Fact) -> bool,
    watch: Watch<'_>,
) -> Option<Vec<usize>> {
    // Only what is bounded and what is ranked is made small: a front of all aims would be thrown away.
    let named = |wanted: AimName| question.aims.iter().find(|(name, _)| *name == wanted).map(|(_, aim)| *aim);
    let price = figure.and_then(named).into_iter().chain(named(AimName::Price));
    let bounded = question.bounds.iter().filter(|bound| in_force(bound.2)).map(|bound| bound.0);
    let mut aims: Vec<Aim> = Vec::new();
    for aim in price.into_iter().chain(bounded).chain([question.doubts]) {
        if !aims.contains(&aim) {
            aims.push(aim);
        }
    }
    let front = question.problem.front_of(&aims, in_force, Limits::default(), watch);
    let within = |pick: &Pick| {
        let mut bounds = question.bounds.iter().filter(|bound| in_force(bound.2));
        bounds.all(|(aim, most, _)| {
            aims.iter().position(|other| other == aim).is_none_or(|at| pick.values[at] <= *most)
        })
    };
    front.picks.into_iter().find(within).map(|pick| pick.options)
}

/// A fact in words, with its numbers.
fn words(question: &Question<'_>, kind: FactKind) -> String {
    let wish = &question.refit.wish.set;
    let length = |length: Option<quantity::Length>, unit: f64, decimals: usize| {
        quantity::digits::fixed(length.map_or(0.0, |length| length.to_mm() / unit), decimals)
    };
    match kind {
        FactKind::Rule(rule) => format!("{} [{}]", rule.title, rule.id),
        FactKind::Stays(slot) => {
            let words = slot.words();
            // Rings, levers, shifters and calipers come in numbers.
            if words.ends_with('s') { format!("{words} as they are") } else { format!("{words} as it is") }
        }
        FactKind::Cogs(cogs) => format!("{cogs} cogs"),
        FactKind::Rings(1) => "one ring".to_owned(),
        FactKind::Rings(rings) => format!("{rings} rings"),
        FactKind::Lowest => format!("lowest gear {} m at most", length(wish.lowest_at_most, 1000.0, 2)),
        FactKind::Highest => format!("highest gear {} m at least", length(wish.highest_at_least, 1000.0, 2)),
        FactKind::Step => format!(
            "largest step {} % at most",
            quantity::digits::fixed(wish.step_at_most.map_or(0.0, |percent| percent.to_percent()), 1)
        ),
        FactKind::Hands => format!("hands within {} mm of where they are", length(wish.hands_within, 1.0, 0)),
        FactKind::Brakes => "brakes not weaker than today".to_owned(),
        FactKind::NoMarginal => "no marginal verdict".to_owned(),
        FactKind::Days(0) => "parts in stock only".to_owned(),
        FactKind::Days(days) => format!("parts here within {days} working days"),
        FactKind::Ready(days) => {
            format!("ready in {days} days: parts here within {} working days", most_working_days(days))
        }
        FactKind::Ceiling(most) => format!("ceiling of {most}, which the parts alone pass"),
        FactKind::Price(most) => format!("parts for {most} at most"),
        FactKind::Weight => format!(
            "{} g heavier at most",
            quantity::digits::fixed(wish.heavier_at_most.map_or(0.0, |mass| mass.base()), 0)
        ),
        FactKind::Minutes(most) => format!("{most} minutes of labour at most"),
    }
}
