//! The shop's own rules: what somebody of the shop decided, with name and date, judged beside the built-in ones.
//!
//! An own rule can only be stricter: it says `caution`, `marginal`, `measure` or `fails`, and the worst verdict of
//! all counts. The one way to be milder is open: it names a built-in rule and a part, and a *marginal* verdict of that
//! rule counts as works for this part. The built-in finding stays where it is and is shown beside it.

use crate::ask::Ask;
use crate::build::{Build, When, owner};
use crate::finding::{Act, Cure, Fact, Finding, Missing, Verdict, Want};
use crate::rule::Rule;
use catalog::{Dimension, Slot, Value};
use quantity::{Basis, Span, Stand};

/// A rule of the shop.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnRule {
    /// Its key.
    pub id: String,
    /// Who decided it.
    pub by: String,
    /// When, as `2026-11-20`.
    pub on: String,
    /// The rule in a sentence, in the words of the shop.
    pub says: String,
    /// It speaks if the refit changes one of these; always where the list is empty.
    pub touches: Vec<Slot>,
    /// When it holds.
    pub condition: Condition,
    /// What it says then.
    pub verdict: OwnVerdict,
}

/// When an own rule holds. Terms are looked at in the order they are written, and the first that settles it ends it:
/// so no fact is used that did not decide, and none that decided can be taken away in silence.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    /// All of these.
    All(Vec<Term>),
    /// One of these at least.
    Any(Vec<Term>),
}

/// One comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The part.
    pub slot: Slot,
    /// Its dimension.
    pub dimension: Dimension,
    /// Before or after the refit.
    pub when: When,
    /// What it is compared with.
    pub test: Test,
}

/// What a dimension is compared with.
#[derive(Clone, Debug, PartialEq)]
pub enum Test {
    /// It is this word.
    Is(&'static str),
    /// It is another word.
    IsNot(&'static str),
    /// It stands on this side of a number.
    Number {
        /// Which number of a list.
        pick: Pick,
        /// Which side.
        side: Side,
        /// The number, as it was written.
        limit: Value,
        /// The number, base units.
        at: f64,
    },
}

/// Which number of a dimension is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pick {
    /// The only one.
    Only,
    /// The smallest of a list.
    Smallest,
    /// The largest of a list.
    Largest,
}

/// A side of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Less.
    Below,
    /// Not more.
    AtMost,
    /// Not less.
    AtLeast,
    /// More.
    Above,
}

impl Side {
    /// All sides, from low to high.
    pub const ALL: &'static [Side] = &[Self::Below, Self::AtMost, Self::AtLeast, Self::Above];

    /// The key in files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Below => "below",
            Self::AtMost => "at_most",
            Self::AtLeast => "at_least",
            Self::Above => "above",
        }
    }

    /// The words in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Below => "below",
            Self::AtMost => "at most",
            Self::AtLeast => "at least",
            Self::Above => "above",
        }
    }

    /// Whether all that is known of a number stands on this side; `None` if the limit lies inside it.
    fn holds(self, span: Span, at: f64) -> Option<bool> {
        let (stand, inside) = match self {
            Self::AtLeast => (span.against(at), true),
            Self::Below => (span.against(at), false),
            Self::AtMost => ((-span).against(-at), true),
            Self::Above => ((-span).against(-at), false),
        };
        match stand {
            Stand::AtOrAbove => Some(inside),
            Stand::Below => Some(!inside),
            Stand::Across => None,
        }
    }
}

/// What an own rule says where it holds.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnVerdict {
    /// It works, and the sentence belongs on the sheet.
    Caution,
    /// It is to be agreed on.
    Marginal,
    /// It is not fitted.
    Fails,
    /// This has to be measured or counted on the bike first, whatever a print or a habit says.
    MeasureFirst {
        /// The part.
        slot: Slot,
        /// Its dimension.
        dimension: Dimension,
    },
    /// A marginal verdict of a built-in rule counts as works.
    Overrides {
        /// The built-in rule.
        rule: &'static Rule,
        /// Key or name of the part for which it does.
        part: String,
        /// What the shop knows that the rule does not.
        why: String,
    },
}

/// What one own rule found.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnFinding {
    /// The rule.
    pub rule: OwnRule,
    /// Whether its condition holds; `None` if that cannot be told.
    pub holds: Option<bool>,
    /// The verdict.
    pub verdict: Verdict,
    /// What decided.
    pub facts: Vec<Fact>,
    /// What the verdict waits for.
    pub missing: Vec<Missing>,
}

impl OwnFinding {
    /// The built-in rule whose marginal verdict counts as works because of this.
    pub fn overrides(&self) -> Option<&'static Rule> {
        match (&self.rule.verdict, self.holds) {
            (OwnVerdict::Overrides { rule, .. }, Some(true)) => Some(rule),
            _ => None,
        }
    }
}

/// Judges the own rules that a refit touches, in their order, beside what the built-in rules found.
///
/// Pure. A fact that decided and is taken away turns the verdict to [`Verdict::Measure`]; a wider tolerance moves it
/// there and nowhere else.
pub fn judge_own(rules: &[OwnRule], build: &Build, findings: &[Finding]) -> Vec<OwnFinding> {
    rules.iter().filter_map(|rule| judge_own_by(rule, build, findings)).collect()
}

fn judge_own_by(rule: &OwnRule, build: &Build, findings: &[Finding]) -> Option<OwnFinding> {
    if !rule.touches.is_empty() && !rule.touches.iter().any(|slot| build.changes(*slot)) {
        return None;
    }
    if let OwnVerdict::Overrides { rule: built_in, part, .. } = &rule.verdict {
        let named = |on: &catalog::Part| on.id() == Some(part) || on.name() == *part;
        let is_marginal =
            findings.iter().any(|finding| finding.rule == *built_in && finding.verdict == Verdict::Marginal);
        if !is_marginal || !build.after.iter().any(|on| named(&on)) {
            return None;
        }
    }
    let mut ask = Ask::new(build);
    let mut holds = rule.condition.holds(&mut ask);
    let mut verdict = match (holds, &rule.verdict) {
        (None, _) => Verdict::Measure,
        (Some(false), _) => Verdict::Works,
        (Some(true), OwnVerdict::Caution | OwnVerdict::Overrides { .. }) => Verdict::Works,
        (Some(true), OwnVerdict::Marginal) => Verdict::Marginal,
        (Some(true), OwnVerdict::Fails) => Verdict::Fails,
        (Some(true), OwnVerdict::MeasureFirst { .. }) => Verdict::Measure,
    };
    if let (Some(true), OwnVerdict::MeasureFirst { slot, dimension }) = (holds, &rule.verdict) {
        let slot = slot_of(build, *slot, *dimension, When::After);
        match ask.value_in(slot, When::After, *dimension).map(|value| value.basis().clone()) {
            Some(Basis::Measured | Basis::Counted) => verdict = Verdict::Works,
            Some(_) => ask.want(slot, build.origin(slot, When::After), *dimension, Want::Again),
            None => {}
        }
        holds = Some(verdict != Verdict::Works);
    }
    let (facts, mut missing) = ask.into_notes();
    if verdict != Verdict::Measure {
        missing.clear();
    }
    Some(OwnFinding { rule: rule.clone(), holds, verdict, facts, missing })
}

/// Whether a way out of a finding runs into an own rule that does not fail as it stands.
pub(crate) fn own_rule_forbids(cure: &Cure, rules: &[OwnRule], build: &Build, now: &[OwnFinding]) -> bool {
    let failing = |own: &[OwnFinding]| own.iter().filter(|own| own.verdict == Verdict::Fails).count();
    let cured = cure.acts.iter().fold(build.clone(), |build, act| match act {
        Act::Fit(part) => build.with(part.clone()),
        Act::Spacer(_) | Act::Small(_) | Act::Work(_) => build,
    });
    failing(&judge_own(rules, &cured, &[])) > failing(now)
}

impl Condition {
    fn holds(&self, ask: &mut Ask<'_>) -> Option<bool> {
        let (terms, settles) = match self {
            Self::All(terms) => (terms, false),
            Self::Any(terms) => (terms, true),
        };
        let mut known = true;
        for term in terms {
            match term.holds(ask) {
                // After a gap nothing settles it any more, but everything else that is open is asked in one go.
                Some(held) if held == settles && known => return Some(settles),
                Some(_) => {}
                None => known = false,
            }
        }
        known.then_some(!settles)
    }
}

impl Term {
    fn holds(&self, ask: &mut Ask<'_>) -> Option<bool> {
        let slot = slot_of(ask.build, self.slot, self.dimension, self.when);
        let value = ask.value_in(slot, self.when, self.dimension)?;
        match &self.test {
            Test::Is(word) => word_of(&value).map(|found| found == *word),
            Test::IsNot(word) => word_of(&value).map(|found| found != *word),
            Test::Number { pick, side, at, .. } => {
                let held = side.holds(picked(&value, *pick)?, *at);
                if held.is_none() {
                    ask.want(slot, ask.build.origin(slot, self.when), self.dimension, Want::Again);
                }
                held
            }
        }
    }
}

/// Shifting and rings answer from the part that has them on this bike.
fn slot_of(build: &Build, slot: Slot, dimension: Dimension, when: When) -> Slot {
    if slot == owner(dimension) { build.slot_of(dimension, when) } else { slot }
}

fn word_of(value: &Value) -> Option<&'static str> {
    match value {
        Value::Word(noted) => Some(noted.value),
        _ => None,
    }
}

/// The number that a test looks at. A cable pulled by every click has no one number; its list has two ends.
fn picked(value: &Value, pick: Pick) -> Option<Span> {
    let spans: Vec<Span> = match value {
        Value::Teeth(noted) => noted.value.iter().map(|teeth| Span::exact(f64::from(teeth.get()))).collect(),
        Value::Lengths(list) => list.iter().map(|m| m.span()).collect(),
        value => value.span().into_iter().collect(),
    };
    let ends = |end: fn(f64, f64) -> f64| {
        spans.iter().copied().reduce(|a, b| Span::new(end(a.least(), b.least()), end(a.most(), b.most())))
    };
    match pick {
        Pick::Only => spans.first().copied(),
        Pick::Smallest => ends(f64::min),
        Pick::Largest => ends(f64::max),
    }
}
