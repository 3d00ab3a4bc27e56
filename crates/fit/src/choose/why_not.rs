//! Why there is no set: the smallest set of facts that conflict, and what opens the way.

use crate::choose::answer::{ChooseError, judged};
use crate::choose::question::{FactKind, Labour, Question};
use crate::finding::Finding;
use crate::judge::judge_by;
use crate::refit::Refit;
use catalog::Catalogue;
use frontier::{Fact, Limits, Watch};
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
    let question = Question::new(refit, catalogue, labour, true)?;
    let facts: Vec<Fact> = (0..question.facts.len()).collect();
    let Some(conflict) = question.problem.conflict(&facts, &question.bounds, watch) else { return Ok(None) };
    let blames = conflict.facts.iter().map(|fact| {
        let kind = question.facts[*fact];
        let in_force = |other: Fact| other != *fact && conflict.facts.contains(&other);
        let finding = match kind {
            FactKind::Rule(rule) => cheapest(&question, &in_force, watch)
                .and_then(|options| judge_by(rule, &question.build(&options))),
            _ => None,
        };
        Blame { words: words(&question, kind), finding }
    });
    let conflict_blames: Vec<Blame> = blames.collect();
    let wishes: Vec<Fact> =
        facts.iter().copied().filter(|fact| !matches!(question.facts[*fact], FactKind::Rule(_))).collect();
    let alone = wishes.iter().map(|fact| vec![*fact]);
    let pairs =
        wishes.iter().enumerate().flat_map(|(at, one)| wishes[at + 1..].iter().map(|two| vec![*one, *two]));
    let mut ways: Vec<Way> = Vec::new();
    let mut opened: Vec<Fact> = Vec::new();
    for given_up in alone.chain(pairs) {
        // What is enough alone is not told again with something else beside it.
        if given_up.iter().any(|fact| opened.contains(fact)) {
            continue;
        }
        let in_force = |other: Fact| !given_up.contains(&other);
        let Some(options) = cheapest(&question, &in_force, watch) else { continue };
        if let [fact] = given_up[..] {
            opened.push(fact);
        }
        let set = judged(&question, &options)?;
        let names: Vec<String> =
            given_up.iter().map(|fact| words(&question, question.facts[*fact])).collect();
        ways.push(Way {
            words: names.join(" and "),
            price: set.price,
            days: set.days,
            sets: question.problem.count_where(&in_force, watch).sets,
            parts: set.parts.iter().map(|part| part.id().unwrap_or(part.name()).to_owned()).collect(),
        });
    }
    ways.sort_by_key(|way| (way.price.map_or(i64::MAX, Money::minor), way.days.unwrap_or(u32::MAX)));
    Ok(Some(WhyNot { conflict: conflict_blames, ways, complete: conflict.complete }))
}

/// The cheapest set with some facts in force.
fn cheapest(
    question: &Question<'_>,
    in_force: &dyn Fn(Fact) -> bool,
    watch: Watch<'_>,
) -> Option<Vec<usize>> {
    let front = question.problem.front_of(&question.order(), in_force, Limits::default(), watch);
    let mut picks = front.picks.into_iter();
    picks.find(|pick| question.within(&pick.values, in_force)).map(|pick| pick.options)
}

/// A fact in words, with its numbers.
fn words(question: &Question<'_>, kind: FactKind) -> String {
    let wish = &question.refit.wish.set;
    let length = |length: Option<quantity::Length>, unit: f64, decimals: usize| {
        quantity::digits::fixed(length.map_or(0.0, |length| length.to_mm() / unit), decimals)
    };
    match kind {
        FactKind::Rule(rule) => format!("{} [{}]", rule.title, rule.id),
        FactKind::Stays(slot) => format!("{} as it is", slot.words()),
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
        FactKind::Price(most) => format!("parts for {most} at most"),
        FactKind::Weight => format!(
            "{} g heavier at most",
            quantity::digits::fixed(wish.heavier_at_most.map_or(0.0, |mass| mass.base()), 0)
        ),
        FactKind::Minutes(most) => format!("{most} minutes of labour at most"),
    }
}
