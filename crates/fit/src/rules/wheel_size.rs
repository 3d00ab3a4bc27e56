//! Is the new rear wheel of the size that the frame and the tyre are made for?

use super::room::{either_way, judge, tightest};
use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};
use quantity::{Basis, Reading};

/// Bead seats are printed whole numbers: half a millimetre tells 622 from 630 for certain.
const SAME_MM: f64 = 0.5;

/// The rule.
pub static RULE: Rule = Rule {
    id: "wheel-size",
    title: "is the new rear wheel of the right size?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel],
    cured_by: &[Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "the bead seat diameter of the new wheel is that of the wheel it replaces",
    long: "A tyre holds only on its own bead seat, a rim brake reaches only its own track, and frame, fork and \
           derailleur clear only their own wheel. Two sizes that look alike, such as 622 and 630 mm, are told apart \
           by the print alone.",
    source: "ISO 5775 bead seat diameters, `standards::wheel_size`",
    caution: Some(Warning::Technician(
        "a tyre on a rim of another bead seat comes off: read the print on both",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let old = ask.number(Before, Dimension::BeadSeat);
    // A new wheel whose size nobody stated is not taken for the old size: that is the very question.
    let stated = match ask.build.reading(Slot::RearWheel, After, Dimension::BeadSeat) {
        Reading::Taken(value) => *value.basis() != Basis::Assumed,
        _ => false,
    };
    let new = if stated { ask.number(After, Dimension::BeadSeat) } else { None };
    if !stated {
        ask.recount(After, Dimension::BeadSeat);
    }
    let (Some(old), Some(new)) = (old, new) else { return Checked::CannotTell };
    let off = new - old;
    let room = either_way(off, SAME_MM);
    let verdict = judge(ask, &room, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(tightest(&room), "mm", 1)
        .number(Number::new("old", old, "mm", 0))
        .number(Number::new("new", new, "mm", 0));
    match verdict {
        Verdict::Works => judged.says("both have a bead seat of {new}").done(),
        _ => judged.says("the new wheel has a bead seat of {new}, the old one {old}").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(new_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BeadSeat, mm(622.0, 0.0))
            .chosen(Dimension::BeadSeat, mm(new_mm, 0.0))
    }

    #[test]
    fn the_same_bead_seat_works() {
        bench(622.0).gives(Verdict::Works);
    }

    #[test]
    fn another_one_does_not_even_if_it_is_near() {
        bench(630.0).gives(Verdict::Fails);
        bench(406.0).gives(Verdict::Fails);
    }

    #[test]
    fn an_unread_rim_cannot_be_told() {
        Bench::of(&RULE).chosen(Dimension::BeadSeat, mm(622.0, 0.0)).gives(Verdict::Measure);
        Bench::of(&RULE)
            .found(Dimension::BeadSeat, mm(622.0, 0.0))
            .chosen(Dimension::HubWidth, mm(130.0, 0.0))
            .gives(Verdict::Measure);
    }
}
