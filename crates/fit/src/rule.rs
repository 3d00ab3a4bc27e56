//! The form of a rule of fit.

use crate::ask::Ask;
use crate::build::Build;
use crate::finding::{Cure, Hazard, Margin, Number, Verdict};
use catalog::{Dimension, Slot};

/// The six chains of dependence of a refit: one changed part pulls others with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Coupling {
    /// Cogs, body, hub, dropouts, dish, spoke gap.
    Cogs,
    /// Shifter pull, derailleur ratio, cog pitch; hanger, friction, chain width.
    Indexing,
    /// Largest cog, hanger, cage, capacity, chain.
    Reach,
    /// Shell, spindle, chainline, rings, front derailleur, stay.
    Front,
    /// Lever pull, caliper, reach, pad and rim.
    Stopping,
    /// Bar clamp, stem, bar, lever body, cables, tape, hands.
    Hands,
    /// What the customer asked for.
    Wish,
    /// Measurements that check each other.
    Record,
}

impl Coupling {
    /// All chains: from the rear wheel to the hands, then the wish and the record.
    pub const ALL: &'static [Coupling] = &[
        Self::Cogs,
        Self::Indexing,
        Self::Reach,
        Self::Front,
        Self::Stopping,
        Self::Hands,
        Self::Wish,
        Self::Record,
    ];

    /// Its name in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Cogs => "cogs and wheel",
            Self::Indexing => "indexing",
            Self::Reach => "reach of derailleur and chain",
            Self::Front => "cranks and front",
            Self::Stopping => "brakes",
            Self::Hands => "hands",
            Self::Wish => "wish",
            Self::Record => "measurements",
        }
    }
}

/// Whom a caution speaks to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Audience {
    /// Whoever reads any sheet.
    Everybody,
    /// Whoever works on the bike.
    Technician,
    /// Whoever rides it.
    Customer,
}

/// The caution of a rule: what to mind at the stand is seldom what to mind on the road.
#[derive(Clone, Copy, Debug)]
pub enum Warning {
    /// For the stand alone.
    Technician(&'static str),
    /// For the road alone.
    Customer(&'static str),
    /// One for each.
    Each {
        /// For the stand.
        technician: &'static str,
        /// For the road.
        customer: &'static str,
    },
    /// One for each, on some bikes only.
    Where {
        /// Whether it concerns this bike.
        concerns: fn(&Build) -> bool,
        /// For the stand.
        technician: &'static str,
        /// For the road.
        customer: &'static str,
    },
}

impl Warning {
    /// Whether it concerns a bike.
    pub fn concerns(self, build: &Build) -> bool {
        match self {
            Self::Where { concerns, .. } => concerns(build),
            Self::Technician(_) | Self::Customer(_) | Self::Each { .. } => true,
        }
    }

    /// Its sentences, each with whom it speaks to.
    pub fn sentences(self) -> impl Iterator<Item = (Audience, &'static str)> {
        let (technician, customer) = match self {
            Self::Technician(words) => (Some(words), None),
            Self::Customer(words) => (None, Some(words)),
            Self::Each { technician, customer } | Self::Where { technician, customer, .. } => {
                (Some(technician), Some(customer))
            }
        };
        let technician = technician.map(|words| (Audience::Technician, words));
        technician.into_iter().chain(customer.map(|words| (Audience::Customer, words)))
    }
}

/// A rule: one interface of the bike, with everything that is said about it.
#[derive(Debug)]
pub struct Rule {
    /// Stable key.
    pub id: &'static str,
    /// The question it answers.
    pub title: &'static str,
    /// The chain of dependence it belongs to.
    pub coupling: Coupling,
    /// The harm if it is wrong.
    pub hazard: Hazard,
    /// The rule applies if the refit changes one of these; always where the list is empty.
    pub touches: &'static [Slot],
    /// Parts whose exchange may cure a failure.
    pub cured_by: &'static [Slot],
    /// The part that is put on the list as a matter of course when this rule fails with the one on the bike.
    pub heals: Option<Slot>,
    /// The rule speaks only where these were taken, and nobody is asked for them: readings of bikes that have such
    /// a thing at all, and looks that the intake takes anyway. Everything else that a rule uses is asked for.
    pub silent_without: &'static [Dimension],
    /// The rule in a sentence.
    pub sentence: &'static str,
    /// The rule for the handbook: why, and where its limits come from.
    pub long: &'static str,
    /// Source of the limits.
    pub source: &'static str,
    /// The caution that goes with every refit that this rule looks at.
    pub caution: Option<Warning>,
    /// The check.
    pub check: fn(&mut Ask<'_>) -> Checked,
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

/// What a check returns.
#[derive(Clone, Debug)]
pub enum Checked {
    /// This refit does not touch the interface after all.
    NotTouched,
    /// Something is missing; the asker has noted what.
    CannotTell,
    /// A judgement.
    Judged(Judgement),
}

/// A judgement, before the facts are put to it.
#[derive(Clone, Debug)]
pub struct Judgement {
    /// The verdict.
    pub verdict: Verdict,
    /// For a remedy: the verdict without it.
    pub without: Option<Verdict>,
    /// Distance to the limit.
    pub margin: Option<Margin>,
    /// Numbers worked out.
    pub numbers: Vec<Number>,
    /// Deductions.
    pub steps: Vec<&'static str>,
    /// Lists.
    pub lines: Vec<String>,
    /// Remedies the rule itself knows.
    pub cures: Vec<Cure>,
}

impl Judgement {
    /// A verdict with nothing else yet.
    pub fn new(verdict: Verdict) -> Self {
        Self {
            verdict,
            without: None,
            margin: None,
            numbers: Vec::new(),
            steps: Vec::new(),
            lines: Vec::new(),
            cures: Vec::new(),
        }
    }

    /// Adds the margin.
    #[must_use]
    pub fn margin(mut self, span: quantity::Span, unit: &'static str, decimals: usize) -> Self {
        self.margin = Some(Margin { span, unit, decimals, shop: None });
        self
    }

    /// Says the margin in a unit of the shop as well.
    #[must_use]
    pub fn in_shop_units(mut self, value: f64, unit: &'static str) -> Self {
        if let Some(margin) = &mut self.margin {
            margin.shop = Some((value, unit));
        }
        self
    }

    /// Adds a number.
    #[must_use]
    pub fn number(mut self, number: Number) -> Self {
        self.numbers.push(number);
        self
    }

    /// Adds a deduction: a sentence with `{name}` where a number stands.
    #[must_use]
    pub fn says(mut self, step: &'static str) -> Self {
        self.steps.push(step);
        self
    }

    /// Adds a line of a list.
    #[must_use]
    pub fn line(mut self, line: String) -> Self {
        self.lines.push(line);
        self
    }

    /// Adds a remedy that the rule knows by itself.
    #[must_use]
    pub fn cure(mut self, cure: Cure) -> Self {
        self.cures.push(cure);
        self
    }

    /// Makes it a remedy: works with the cure, `without` it does not.
    #[must_use]
    pub fn remedy(mut self, without: Verdict, cure: Cure) -> Self {
        self.verdict = Verdict::Remedy;
        self.without = Some(without);
        self.cures.push(cure);
        self
    }

    /// Done.
    pub fn done(self) -> Checked {
        Checked::Judged(self)
    }
}

impl Cure {
    /// A cure by things to do that cost no part.
    pub fn by(act: crate::finding::Act, verdict: Verdict) -> Self {
        Self {
            acts: vec![act],
            price: None,
            days: None,
            verdict,
            brings: Vec::new(),
            pulls: Vec::new(),
            keeps_wish: true,
            numbers: Vec::new(),
        }
    }
}
