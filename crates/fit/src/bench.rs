//! A bench for the tests of single rules: a bike with just the dimensions that the test names.

use crate::build::{Build, Origin, owner};
use crate::finding::{Finding, Verdict};
use crate::judge::judge_by;
use crate::refit::Refit;
use crate::rule::Rule;
use catalog::{Dimension, Noted, Slot, Value};
use quantity::{Angle, Basis, Length, Measured, Ratio, Reading, Teeth};

/// A length with tolerance, in millimetres.
pub(crate) fn mm(value: f64, tolerance: f64) -> Value {
    Value::Length(Measured {
        value: Length::mm(value),
        tolerance: Length::mm(tolerance),
        basis: Basis::Measured,
    })
}

/// A place seen along an axis, both numbers with one tolerance, in millimetres.
pub(crate) fn xy(x: f64, y: f64, tolerance: f64) -> Value {
    let one = |value| Measured {
        value: Length::mm(value),
        tolerance: Length::mm(tolerance),
        basis: Basis::Measured,
    };
    Value::Lengths(vec![one(x), one(y)])
}

/// An angle with tolerance, in degrees.
pub(crate) fn deg(value: f64, tolerance: f64) -> Value {
    Value::Angle(Measured {
        value: Angle::deg(value),
        tolerance: Angle::deg(tolerance),
        basis: Basis::Measured,
    })
}

/// A ratio with tolerance.
pub(crate) fn ratio(value: f64, tolerance: f64) -> Value {
    Value::Ratio(Measured {
        value: Ratio::new(value),
        tolerance: Ratio::new(tolerance),
        basis: Basis::Measured,
    })
}

/// A whole number.
pub(crate) fn count(value: u32) -> Value {
    Value::Count(Noted::counted(value))
}

/// Tooth counts.
pub(crate) fn teeth(list: &[i64]) -> Value {
    Value::Teeth(Noted::counted(list.iter().map(|n| Teeth::new(*n).unwrap()).collect()))
}

/// A word.
pub(crate) fn word(word: &'static str) -> Value {
    Value::Word(Noted::counted(word))
}

/// A build under one rule.
#[derive(Clone, Debug)]
pub(crate) struct Bench {
    rule: &'static Rule,
    refit: Refit,
}

impl Bench {
    pub(crate) fn of(rule: &'static Rule) -> Self {
        Self { rule, refit: Refit::default() }
    }

    pub(crate) fn found(self, dimension: Dimension, value: Value) -> Self {
        self.put(owner(dimension), Origin::Found, dimension, Reading::Taken(value))
    }

    pub(crate) fn chosen(self, dimension: Dimension, value: Value) -> Self {
        self.put(owner(dimension), Origin::Chosen, dimension, Reading::Taken(value))
    }

    /// As `found`, in a slot that is not the owner: the front wheel.
    pub(crate) fn found_in(self, slot: Slot, dimension: Dimension, value: Value) -> Self {
        self.put(slot, Origin::Found, dimension, Reading::Taken(value))
    }

    /// As `chosen`, in a slot that is not the owner: shifting dimensions of separate shifters.
    pub(crate) fn chosen_in(self, slot: Slot, dimension: Dimension, value: Value) -> Self {
        self.put(slot, Origin::Chosen, dimension, Reading::Taken(value))
    }

    /// The inside length of the rider's leg.
    pub(crate) fn rider_inseam(mut self, inseam_mm: f64) -> Self {
        self.refit.rider.inseam = Some(Length::mm(inseam_mm));
        self
    }

    /// An answer without a value, on the bike as found.
    pub(crate) fn answered(self, dimension: Dimension, reading: Reading<Value>) -> Self {
        self.put(owner(dimension), Origin::Found, dimension, reading)
    }

    /// Takes a reading away, found and chosen.
    pub(crate) fn without(self, dimension: Dimension) -> Self {
        let slot = owner(dimension);
        let mut bench = self;
        for origin in [Origin::Found, Origin::Chosen] {
            let filled = match origin {
                Origin::Found => bench.refit.bike.has(slot),
                Origin::Chosen => bench.refit.choice.has(slot),
            };
            if filled {
                bench = bench.put(slot, origin, dimension, Reading::NotTaken);
            }
        }
        bench
    }

    pub(crate) fn wish(mut self, wish: crate::refit::Wish) -> Self {
        self.refit.wish = wish;
        self
    }

    fn put(mut self, slot: Slot, origin: Origin, dimension: Dimension, reading: Reading<Value>) -> Self {
        let parts = match origin {
            Origin::Found => &mut self.refit.bike,
            Origin::Chosen => &mut self.refit.choice,
        };
        let mut part = parts.get(slot).unwrap_or_else(|| slot.empty());
        assert!(part.set(dimension, reading), "{dimension:?} does not belong to {slot:?}");
        parts.put(part);
        self
    }

    /// The bike laid out, for what is no rule.
    pub(crate) fn build(self) -> Build {
        Build::new(&self.refit)
    }

    /// The finding; panics in the test if the rule does not speak or gives another verdict.
    pub(crate) fn gives(self, verdict: Verdict) -> Finding {
        let finding = self.finding().expect("the rule is not touched");
        assert_eq!(finding.verdict, verdict, "{finding:#?}");
        finding
    }

    pub(crate) fn finding(self) -> Option<Finding> {
        judge_by(self.rule, &Build::new(&self.refit))
    }
}
