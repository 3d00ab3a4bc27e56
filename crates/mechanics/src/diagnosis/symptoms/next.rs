//! What to do next for a front derailleur or a brake: look for one more symptom, or set right what is likeliest. Begin
//! with [`next_front`] and [`next_brake`].

use super::{BrakeCause, BrakeKind, BrakeSymptom, FrontCause, FrontSymptom, rank_brake, rank_front};
use std::cmp::Ordering;

/// What to do next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Next<C, S> {
    /// Say what it does: nothing that it shows is known yet.
    Say,
    /// Look whether it shows this; it parts the two causes best.
    Look {
        /// The symptom.
        symptom: S,
        /// The cause that it speaks for, and the likeliest of those that it speaks against.
        parts: (C, C),
        /// Minutes that looking saves on average.
        saves: f64,
    },
    /// Set this right first: it is as good as possible that it is wrong, and settings behind it are moved by it.
    Before {
        /// What is set first.
        first: C,
        /// The likeliest cause, which comes behind it.
        likeliest: C,
    },
    /// Set this right: nothing that could be looked for would change it.
    Set(C),
}

/// What is lost when the likeliest cause is set right and is not it, minutes. A guess of practice.
const WRONG_CURE_MIN: f64 = 12.0;
/// What a look for one symptom takes, minutes. A guess of practice.
const LOOK_MIN: f64 = 0.5;
/// A cause of this probability is seen to before those behind it in the order of setting.
const BEFORE: f64 = 0.2;

/// What to do next about a front derailleur.
///
/// With V(P) = 12 min · (1 − P(likeliest cause)) a look of 0.5 min is worth `V(P) − 0.5 − Σ P(r) V(P | r)` over its two
/// answers r. The best look is advised; when none is worth its time, the likeliest cause, or one before it in the order of
/// setting that is 20 in 100 or more.
///
/// What was looked for is not advised again, so that there is an end to it. The order of symptoms does not matter.
///
/// # Source
/// Value of information with the shares of [`rank_front`]; minutes are guesses.
///
/// # Example
/// ```
/// use mechanics::diagnosis::symptoms::{FrontSymptom, Next, next_front};
/// assert_eq!(next_front(&[], &[]), Next::Say);
/// assert!(matches!(next_front(&[FrontSymptom::RubsTail], &[]), Next::Look { .. } | Next::Before { .. }));
/// ```
pub fn next_front(shows: &[FrontSymptom], absent: &[FrontSymptom]) -> Next<FrontCause, FrontSymptom> {
    advise(&FrontSymptom::ALL, shows, absent, FrontCause::shows, rank_front)
}

/// As [`next_front`], for a kind of brake.
pub fn next_brake(
    kind: BrakeKind,
    shows: &[BrakeSymptom],
    absent: &[BrakeSymptom],
) -> Next<BrakeCause, BrakeSymptom> {
    let of_kind: Vec<BrakeSymptom> =
        BrakeSymptom::ALL.into_iter().filter(|symptom| symptom.is_of(kind)).collect();
    advise(&of_kind, shows, absent, BrakeCause::shows, |shows, absent| rank_brake(kind, shows, absent))
}

fn advise<C: Copy + Ord, S: Copy + PartialEq>(
    all: &[S],
    shows: &[S],
    absent: &[S],
    of: fn(C, S) -> f64,
    ranked: impl Fn(&[S], &[S]) -> Vec<(C, f64)>,
) -> Next<C, S> {
    let now = ranked(shows, absent);
    let Some(&(likeliest, most)) = now.first().filter(|_| !shows.is_empty()) else { return Next::Say };
    let mut best: Option<(S, f64)> = None;
    for symptom in all.iter().filter(|one| !shows.contains(one) && !absent.contains(one)) {
        // Largest P(cause) after each answer, times how likely the answer is, without dividing by it.
        let after = |likelihood: &dyn Fn(C) -> f64| {
            now.iter().map(|(cause, p)| p * likelihood(*cause)).fold(0.0, f64::max)
        };
        let settled = after(&|cause| of(cause, *symptom)) + after(&|cause| 1.0 - of(cause, *symptom));
        let worth = WRONG_CURE_MIN * (settled - most) - LOOK_MIN;
        if worth > best.map_or(0.0, |(_, most)| most) {
            best = Some((*symptom, worth));
        }
    }
    if let Some((symptom, saves)) = best {
        let pick = |is_for: bool| {
            let weighed = now.iter().map(|(cause, p)| {
                let share = of(*cause, symptom);
                (*cause, p * if is_for { share } else { 1.0 - share })
            });
            weighed.max_by(|one, other| one.1.partial_cmp(&other.1).unwrap_or(Ordering::Equal))
        };
        if let (Some((speaks_for, _)), Some((against, _))) = (pick(true), pick(false)) {
            return Next::Look { symptom, parts: (speaks_for, against), saves };
        }
    }
    // Causes are ordered as they are set; the enums keep that order.
    let first =
        now.iter().filter(|(cause, p)| *cause < likeliest && *p >= BEFORE).map(|(cause, _)| *cause).min();
    match first {
        Some(first) => Next::Before { first, likeliest },
        None => Next::Set(likeliest),
    }
}
