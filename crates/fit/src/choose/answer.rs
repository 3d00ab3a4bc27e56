//! The answer: all sets that nothing beats, the offers among them, or why there is none.

use crate::build::{Origin, When};
use crate::choose::offer::Offers;
use crate::choose::question::{Labour, Question};
use crate::choose::set::Set;
use crate::choose::slots::LeftOut;
use crate::choose::tables::{self, SILENT};
use crate::choose::why_not::{WhyNot, why_not};
use crate::finding::Verdict;
use crate::refit::Refit;
use crate::ride::RideGap;
use crate::set_wish::AimName;
use catalog::{Catalogue, Dimension, Slot};
use frontier::{Count, Limits, ProblemError, Watch};
use std::fmt;

/// Why no answer can be given.
#[derive(Clone, Debug, PartialEq)]
pub enum ChooseError {
    /// The catalogue has no parts.
    EmptyCatalogue,
    /// Prices in two currencies cannot be compared.
    Currencies {
        /// A part, or the ceiling of the wish.
        one: String,
        /// Its currency.
        in_one: String,
        /// Another part.
        other: String,
        /// The currency of the other.
        in_other: String,
    },
    /// The wish cannot be checked without this.
    Unmeasured(Dimension),
    /// The ride is an aim and cannot be ridden.
    Ride(RideGap),
    /// The problem could not be put down.
    Problem(ProblemError),
    /// A set is judged otherwise than the search says: an error of this program.
    Disagrees {
        /// The rule.
        rule: &'static str,
        /// The parts of the set.
        parts: Vec<String>,
    },
}

impl From<ProblemError> for ChooseError {
    fn from(error: ProblemError) -> Self {
        Self::Problem(error)
    }
}

impl fmt::Display for ChooseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EmptyCatalogue => {
                write!(f, "the catalogue has no parts, wanted one at least to choose from")
            }
            Self::Currencies { one, in_one, other, in_other } => write!(
                f,
                "prices in two currencies cannot be compared: {in_one} ({one}) and {in_other} ({other})"
            ),
            Self::Ride(gap) => write!(f, "the wish aims at the ride, and it cannot be told: {gap}"),
            Self::Unmeasured(dimension) => {
                let row = dimension.row();
                write!(f, "the wish names a development in metres: {} has to be measured first", row.words)
            }
            Self::Problem(error) => write!(f, "the search could not be laid out: {error}"),
            Self::Disagrees { rule, parts } => write!(
                f,
                "an error of this program: the search and the rule {rule} judge a set differently: {}",
                parts.join(", ")
            ),
        }
    }
}

impl std::error::Error for ChooseError {}

/// What was found.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What was made small, in the order in which it is compared; open verdicts come last.
    pub aims: Vec<AimName>,
    /// Every set that no other beats, cheapest first.
    pub sets: Vec<Set>,
    /// How many sets hold, beaten ones and ones over a ceiling included.
    pub count: Count,
    /// The offers among the sets.
    pub offers: Offers,
    /// Why there is none.
    pub why_not: Option<WhyNot>,
    /// Whether the search ran to its end: if not, other sets may be missing and may beat these.
    pub complete: bool,
    /// Whether every set has a marginal verdict.
    pub only_marginal: bool,
    /// Parts that were left out before the search.
    pub left_out: LeftOut,
    /// Parts that were compared.
    pub parts: usize,
}

/// A value that nobody has taken, and how many of the sets wait for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// The slot.
    pub slot: Slot,
    /// On the bike or on a new part.
    pub origin: Origin,
    /// The dimension.
    pub dimension: Dimension,
    /// Sets that wait for it.
    pub sets: usize,
    /// Rules that wait for it, in any of the sets.
    pub rules: Vec<&'static str>,
}

impl Answer {
    /// What the sets wait for: what would settle most of them first, then what settles most rules.
    pub fn waiting(&self) -> Vec<Waiting> {
        let mut all: Vec<Waiting> = Vec::new();
        for set in &self.sets {
            let mut seen: Vec<(Slot, Origin, Dimension)> = Vec::new();
            for (slot, origin, dimension, rule) in set.waits_for() {
                let key = (slot, origin, dimension);
                let place = all.iter().position(|w| (w.slot, w.origin, w.dimension) == key);
                let place = place.unwrap_or_else(|| {
                    all.push(Waiting { slot, origin, dimension, sets: 0, rules: Vec::new() });
                    all.len() - 1
                });
                if !all[place].rules.contains(&rule) {
                    all[place].rules.push(rule);
                }
                if !seen.contains(&key) {
                    seen.push(key);
                    all[place].sets += 1;
                }
            }
        }
        all.sort_by_key(|w| (std::cmp::Reverse((w.sets, w.rules.len())), w.slot, w.dimension));
        all
    }

    /// Sets of this answer that the other has not, and those of the other that this has not, by their places; sets
    /// are the same if they have the same parts.
    pub fn differences(&self, other: &Self) -> (Vec<usize>, Vec<usize>) {
        let keys = |answer: &Self| -> Vec<Vec<String>> { answer.sets.iter().map(Set::keys).collect() };
        let (own, others) = (keys(self), keys(other));
        let only = |a: &[Vec<String>], b: &[Vec<String>]| {
            (0..a.len()).filter(|at| !b.contains(&a[*at])).collect::<Vec<_>>()
        };
        (only(&own, &others), only(&others, &own))
    }
}

/// Chooses sets of parts for a refit from a catalogue. Parts that the refit chose already stay chosen.
///
/// Pure: the same refit, catalogue and minutes give the same answer, if it is not stopped.
///
/// # Errors
/// [`ChooseError`] for an empty catalogue, mixed currencies, or a wish that cannot be checked.
pub fn choose(
    refit: &Refit,
    catalogue: &Catalogue,
    labour: &Labour,
    watch: Watch<'_>,
) -> Result<Answer, ChooseError> {
    let without = without_front_derailleur(refit);
    let refit = without.as_ref().unwrap_or(refit);
    let question = Question::new(refit, catalogue, labour, false)?;
    let front = question.problem.front_of(&question.order(), &|_| true, Limits::default(), watch);
    let count = question.problem.count(watch);
    let mut sets = Vec::new();
    for pick in front.picks.iter().filter(|pick| question.within(&pick.values, &|_| true)) {
        sets.push(judged(&question, &pick.options)?);
    }
    let none = vec![0; question.problem.options().len()];
    let leave = Set::new(&question, &question.build(&none));
    let why_not =
        if sets.is_empty() && front.complete { why_not(refit, catalogue, labour, watch)? } else { None };
    Ok(Answer {
        aims: question.aims.iter().map(|(name, _)| *name).collect(),
        only_marginal: !sets.is_empty() && sets.iter().all(|set| set.count(Verdict::Marginal) > 0),
        offers: Offers::of(leave, &sets),
        sets,
        count,
        why_not,
        complete: front.complete && count.complete,
        parts: question.open.iter().map(|open| open.options.len() - 1).sum(),
        left_out: question.left_out,
    })
}

/// Where one ring is wished the front derailleur comes off: it has nothing to do.
fn without_front_derailleur(refit: &Refit) -> Option<Refit> {
    let comes_off = refit.wish.set.rings == Some(1) && refit.bike.has(Slot::FrontDerailleur);
    comes_off.then(|| {
        let mut without = refit.clone();
        without.bike.clear(Slot::FrontDerailleur);
        without
    })
}

/// A set, judged by the whole engine, which must agree with the search rule by rule.
pub(crate) fn judged(question: &Question<'_>, options: &[usize]) -> Result<Set, ChooseError> {
    let build = question.build(options);
    let mut set = Set::new(question, &build);
    set.on_ride = question.ride.as_ref().and_then(|case| case.on_bike(&build, When::After));
    for (rule, table) in &question.rules {
        let found = set.findings.iter().find(|finding| finding.rule == *rule);
        if found.map_or(SILENT, |finding| tables::place(finding.verdict)) != table.of(options) {
            let parts = set.parts.iter().map(|part| part.id().unwrap_or(part.name()).to_owned()).collect();
            return Err(ChooseError::Disagrees { rule: rule.id, parts });
        }
    }
    Ok(set)
}
