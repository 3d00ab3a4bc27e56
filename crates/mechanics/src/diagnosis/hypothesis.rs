//! Every single cause and every two of different kinds, with their numbers and priors.

use super::causes::{Cause, Hidden, points};
use super::evidence::{Evidence, History};

/// Share of bikes with two causes at once, and with none that this model knows. Guesses of practice.
const TWO_AT_ONCE: f64 = 0.15;
const NOTHING_WRONG: f64 = 0.01;

/// What may be wrong, with numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hypothesis {
    /// None, one or two causes.
    pub causes: [Option<Cause>; 2],
    /// Their numbers.
    pub hidden: Hidden,
    /// How likely before anything was seen; together 1.
    pub prior: f64,
}

/// Hands over all of them, the single ones first.
///
/// With w the usual share of a cause times what the history says, a single cause has `w_i / Σ w` of the single
/// ones, two have `w_i w_j / Σ w w`; the points of a grid share alike.
pub(super) fn each(evidence: &Evidence, mut take: impl FnMut(Hypothesis)) {
    let of = |cause: Cause| (cause, weight(cause, &evidence.history), points(cause, evidence.gears));
    let singles: Vec<(Cause, f64, Vec<Hidden>)> = Cause::ALL.into_iter().map(of).collect();
    let total: f64 = singles.iter().map(|(_, weight, _)| weight).sum();
    let pairs = || {
        singles.iter().enumerate().flat_map(|(at, one)| {
            singles[at + 1..]
                .iter()
                .filter(|other| other.0.kind() != one.0.kind())
                .map(move |other| (one, other))
        })
    };
    let pairs_total: f64 = pairs().map(|(one, other)| one.1 * other.1).sum();
    take(Hypothesis { causes: [None, None], hidden: Hidden::NOTHING, prior: NOTHING_WRONG });
    for (one, mine, ones) in &singles {
        let prior = (1.0 - TWO_AT_ONCE - NOTHING_WRONG) * mine / total / ones.len() as f64;
        for hidden in ones {
            take(Hypothesis { causes: [Some(*one), None], hidden: *hidden, prior });
        }
    }
    for ((one, mine, ones), (other, theirs, others)) in pairs() {
        let prior = TWO_AT_ONCE * mine * theirs / pairs_total / (ones.len() * others.len()) as f64;
        for hidden in ones {
            for second in others {
                take(Hypothesis { causes: [Some(*one), Some(*other)], hidden: hidden.with(*second), prior });
            }
        }
    }
}

fn weight(cause: Cause, history: &History) -> f64 {
    cause.usual() * cause.by_history(history)
}
