//! Does the tyre hold on the rim of the new wheel?

use super::room::tightest;
use super::wheels::{Wheel, new_wheels};
use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, RimEdge, Slot, TyreNamed};
use quantity::Span;

/// A tyre is at least so many times as wide as its rim inside.
const LEAST: f64 = 1.45;
/// And at most so many times.
const MOST: f64 = 2.0;
/// Share beyond either limit that some leaflets still allow.
const EDGE: f64 = 0.1;

/// The rule.
pub static RULE: Rule = Rule {
    id: "tyre-on-rim",
    title: "does the tyre hold on the rim of the new wheel?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel, Slot::FrontWheel],
    cured_by: &[Slot::RearWheel, Slot::FrontWheel],
    heals: None,
    silent_without: &[],
    sentence: "the tyre is 1.45 to 2.0 times as wide as the rim inside, and a rim without hooks takes only tyres named for it",
    long: "A tyre that is too narrow for its rim is pinched through, one that is too wide rolls off in a bend. The \
           guide of the trade is 1.45 to 2.0 times the inner width; to a tenth beyond it the leaflet of rim and tyre \
           decides. On a rim without hooks only the tyre itself holds the bead: it must be named for such rims, and \
           the pressure printed on the rim is the most.",
    source: "1.45 to 2.0: workshop crib sheet; the tenth beyond: common practice, with no published source",
    caution: Some(Warning::Each {
        technician: "a tyre that comes off its rim throws the rider: pressure at most what rim and tyre print, the lower of the two",
        customer: "tyre pressure at most what rim and tyre print, the lower of the two",
    }),
    check,
};

struct Seat {
    wheel: Wheel,
    times: Span,
    held: bool,
}

fn check(ask: &mut Ask<'_>) -> Checked {
    let seats: Vec<Option<Seat>> = new_wheels(ask.build).into_iter().map(|wheel| seat(ask, wheel)).collect();
    let Some(seats) = seats.into_iter().collect::<Option<Vec<_>>>() else { return Checked::CannotTell };
    let mut verdict = Verdict::Works;
    let mut rooms = Vec::new();
    for seat in &seats {
        let (low, high) = (seat.times - LEAST, -seat.times + MOST);
        verdict = verdict
            .max(ask.bands(low, &[(0.0, Verdict::Works), (-EDGE * LEAST, Verdict::Marginal)]))
            .max(ask.bands(high, &[(0.0, Verdict::Works), (-EDGE * MOST, Verdict::Marginal)]))
            .max(if seat.held { Verdict::Works } else { Verdict::Fails });
        rooms.extend([low, high]);
    }
    let mut judged = Judgement::new(verdict);
    // The margin is that of the widths: it says nothing where a rim without hooks decides.
    if seats.iter().all(|seat| seat.held) {
        judged = judged.margin(tightest(&rooms), "", 2);
    }
    for seat in &seats {
        judged = judged.number(Number::new(seat.wheel.name, seat.times, "", 2)).says(seat.wheel.pick(
            "the rear tyre is {rear} times as wide as its rim inside",
            "the front tyre is {front} times as wide as its rim inside",
        ));
        if !seat.held {
            judged = judged.says("the rim has no hooks and the tyre is not named for such rims");
        }
    }
    match verdict {
        Verdict::Marginal => {
            judged.says("just outside the guide: only if the leaflet of rim or tyre names the pair").done()
        }
        Verdict::Fails => judged.says("another tyre or another rim").done(),
        _ => judged.done(),
    }
}

fn seat(ask: &mut Ask<'_>, wheel: Wheel) -> Option<Seat> {
    let tyre = ask.number_in(wheel.slot, After, Dimension::TyreWidth);
    let rim = ask.number_in(wheel.slot, After, Dimension::RimInner);
    let edge = ask.word_in::<RimEdge>(wheel.slot, After, Dimension::RimEdge);
    // On a rim with hooks any tyre of the size holds: its name is not asked.
    let held = match edge {
        Some(RimEdge::Hooked) => Some(true),
        Some(RimEdge::Hookless) => ask
            .word_in::<TyreNamed>(wheel.slot, After, Dimension::TyreNamed)
            .map(|named| named == TyreNamed::HooklessToo),
        None => None,
    };
    let (tyre, rim, held) = (tyre?, rim?, held?);
    if tyre.least() <= 0.0 || rim.least() <= 0.0 {
        // A reading so coarse that it could be nothing gives no ratio.
        ask.again();
        return None;
    }
    Some(Seat { wheel, times: tyre.map2_monotone(rim, |tyre, rim| tyre / rim), held })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(tyre_mm: f64, rim_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::TyreWidth, mm(tyre_mm, 0.2))
            .chosen(Dimension::RimInner, mm(rim_mm, 0.0))
            .chosen(Dimension::RimEdge, word("hooked"))
    }

    /// The guide of the trade: 15 mm takes 22 to 30 mm, 19 mm takes 28 to 38 mm.
    #[test]
    fn tyres_of_the_printed_guide_hold() {
        bench(25.0, 15.0).gives(Verdict::Works);
        bench(29.0, 15.0).gives(Verdict::Works);
        bench(37.0, 19.0).gives(Verdict::Works);
    }

    #[test]
    fn a_tenth_outside_is_marginal_and_more_fails() {
        bench(32.0, 15.0).gives(Verdict::Marginal);
        bench(35.0, 15.0).gives(Verdict::Fails);
        bench(28.0, 20.0).gives(Verdict::Marginal);
        bench(23.0, 20.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_rim_without_hooks_takes_only_tyres_named_for_it() {
        let hookless = || bench(32.0, 21.0).chosen(Dimension::RimEdge, word("hookless"));
        hookless().found(Dimension::TyreNamed, word("hookless-too")).gives(Verdict::Works);
        hookless().found(Dimension::TyreNamed, word("hooked-only")).gives(Verdict::Fails);
        let finding = hookless().gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::TyreNamed);
    }

    #[test]
    fn without_rim_or_tyre_nothing_can_be_told() {
        for dimension in [Dimension::TyreWidth, Dimension::RimInner, Dimension::RimEdge] {
            bench(25.0, 15.0).without(dimension).gives(Verdict::Measure);
        }
    }
}
