//! What a rule finds: a verdict with its margin, its reasons and its cures.

use crate::build::{Origin, When};
use crate::rule::Rule;
use catalog::{Dimension, Part, Slot, Tool, Value};
use quantity::{Length, Money, Span};

/// The six verdicts, from good to bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// The parts work together.
    Works,
    /// They work with a named part, spacer or operation.
    Remedy,
    /// They work in practice sometimes: say so, try it on this bike.
    Marginal,
    /// It cannot be told until something is measured.
    Measure,
    /// They do not work together.
    Fails,
    /// A safety refusal that no approval overrides.
    Refused,
}

impl Verdict {
    /// All verdicts, from good to bad.
    pub const ALL: &'static [Verdict] =
        &[Self::Works, Self::Remedy, Self::Marginal, Self::Measure, Self::Fails, Self::Refused];

    /// The word in files and in `--json`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Works => "works",
            Self::Remedy => "remedy",
            Self::Marginal => "marginal",
            Self::Measure => "measure",
            Self::Fails => "fails",
            Self::Refused => "refused",
        }
    }

    /// The verdict for a word.
    pub fn read(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|verdict| verdict.word() == word)
    }
}

/// The harm if the finding is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Looks or comfort.
    Comfort,
    /// Bad function, noise, wear.
    Function,
    /// A part is damaged; the bike brakes or drives poorly.
    Damage,
    /// The rider may fall: control, brakes, wheels, or a part that bears load.
    Rider,
}

/// A number that a rule worked out, under a name that sentences and files use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number {
    /// Its name.
    pub name: &'static str,
    /// What is shown: worked out from the values as read.
    pub value: f64,
    /// What is known of it.
    pub span: Span,
    /// Unit shown.
    pub unit: &'static str,
    /// Decimals shown.
    pub decimals: usize,
    /// Whether a plus sign is shown: for differences.
    pub signed: bool,
}

impl Number {
    /// A number with unit and decimals.
    pub fn new(name: &'static str, span: Span, unit: &'static str, decimals: usize) -> Self {
        Self { name, value: span.middle(), span, unit, decimals, signed: false }
    }

    /// The value as read, where the middle of the interval is another: products and angles.
    #[must_use]
    pub fn at(self, value: f64) -> Self {
        Self { value, ..self }
    }

    /// A difference: shown with its sign.
    pub fn difference(name: &'static str, span: Span, unit: &'static str, decimals: usize) -> Self {
        Self { signed: true, ..Self::new(name, span, unit, decimals) }
    }
}

/// The signed distance to the limit: positive is room, negative is lack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// In the unit of the interface.
    pub span: Span,
    /// That unit.
    pub unit: &'static str,
    /// Decimals shown.
    pub decimals: usize,
    /// The same in a unit of the shop: clicks of the adjuster, teeth.
    pub shop: Option<(f64, &'static str)>,
}

/// Something known that a rule used.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// The dimension.
    pub dimension: Dimension,
    /// The slot of the part.
    pub slot: Slot,
    /// On the bike or chosen.
    pub origin: Origin,
    /// Before or after the refit.
    pub when: When,
    /// The value, with tolerance and basis.
    pub value: Value,
}

/// Why a value is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Want {
    /// Nobody has taken it.
    NotTaken,
    /// It was looked at and called fine, but a value is needed.
    CalledFine,
    /// It could not be reached as the bike stood.
    NotReachable,
    /// It was marked as not needed, but this wish needs it.
    CalledNotNeeded,
    /// It was taken, but the verdict would change inside its tolerance.
    Again,
}

/// A value that a verdict waits for.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// The dimension.
    pub dimension: Dimension,
    /// The slot of the part.
    pub slot: Slot,
    /// On the bike or on the chosen part.
    pub origin: Origin,
    /// Why it is wanted.
    pub want: Want,
    /// The tool to use and the tolerance that it has, in base units.
    pub tool: (Tool, f64),
    /// Which answers lead to which verdict, where this value alone decides.
    pub answers: Vec<Answer>,
}

/// A range of values that leads to one verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The values.
    pub values: Values,
    /// The verdict that they lead to.
    pub verdict: Verdict,
}

/// Some values of a dimension.
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// Numbers from one to another, base units.
    Between(f64, f64),
    /// One word.
    Word(&'static str),
}

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// Put this part in, in place of what is there or was chosen.
    Fit(Part),
    /// Put a spacer in.
    Spacer(Length),
    /// Use a small part, by its key in the catalogue.
    Small(&'static str),
    /// Do something to the bike.
    Work(&'static str),
}

/// A way to make it work.
#[derive(Clone, Debug, PartialEq)]
pub struct Cure {
    /// What to do.
    pub acts: Vec<Act>,
    /// Change of the price of the parts; unknown where a price is unknown.
    pub price: Option<Money>,
    /// Working days until everything is here.
    pub days: Option<u32>,
    /// The verdict of this interface with the cure.
    pub verdict: Verdict,
    /// What else gets worse or has to be asked with it.
    pub brings: Vec<(&'static str, Verdict)>,
    /// The chains of dependence that it pulls.
    pub pulls: Vec<crate::rule::Coupling>,
    /// Whether what the customer wished for stays as it is.
    pub keeps_wish: bool,
    /// What the bike becomes with it: chain count, lowest gear, hand shift, as far as they are known.
    pub numbers: Vec<Number>,
}

/// What one rule found.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The rule.
    pub rule: &'static Rule,
    /// The verdict.
    pub verdict: Verdict,
    /// For [`Verdict::Remedy`]: the verdict without the remedy.
    pub without: Option<Verdict>,
    /// Distance to the limit.
    pub margin: Option<Margin>,
    /// What was used.
    pub facts: Vec<Fact>,
    /// Numbers worked out from the facts.
    pub numbers: Vec<Number>,
    /// The deductions, as sentences with `{name}` where a number stands.
    pub steps: Vec<&'static str>,
    /// Lists that belong to the finding, such as the landing pattern of the clicks.
    pub lines: Vec<String>,
    /// What the verdict waits for.
    pub missing: Vec<Missing>,
    /// The remedy, or the ways out of a failure, best first. Empty means none.
    pub cures: Vec<Cure>,
}

impl Finding {
    /// Whether the verdict rests on something that nobody looked at.
    pub fn is_assumed(&self) -> bool {
        self.facts.iter().any(|fact| fact.value.basis().is_assumed())
    }

    /// A number by name.
    pub fn number(&self, name: &str) -> Option<&Number> {
        self.numbers.iter().find(|number| number.name == name)
    }
}
