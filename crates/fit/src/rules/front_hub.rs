//! Does the new front wheel go into the fork?

use super::rear_axle::{end_caps, seat};
use super::room::{either_way, judge, tightest};
use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{AxleKind, Dimension, Dropout, Slot};

/// Two widths closer than this are the same: locknut wear and paint.
const SAME_MM: f64 = 1.0;
/// Bead seats are printed whole numbers: half a millimetre tells 622 from 630 for certain.
const SAME_SEAT_MM: f64 = 0.5;

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-hub",
    title: "does the new front wheel go into the fork?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::FrontWheel],
    cured_by: &[Slot::FrontWheel],
    heals: None,
    silent_without: &[],
    sentence: "width to within 1 mm, kind of axle and bead seat of the new front wheel are those that the fork is made for",
    long: "The hub in the fork shows what the fork was made for: mostly 100 mm, on old bikes 96, 91 or 74 mm, 110 mm \
           with wide through axles. A fork is never spread or squeezed, of whatever it is made. Slots take a quick \
           release or nuts; a through axle takes a hub of its own diameter. Tyre and brake belong to one bead seat.",
    source: "widths and axles: workshop crib sheets, agreeing; bead seats: ISO 5775; 1 mm: common practice",
    caution: Some(Warning::Each {
        technician: "front wheel: try to pull it out with the release open, retention tabs on, and check that the lever leaves its print in the palm",
        customer: "close the front release so hard that it leaves its print in the palm, and try to pull the wheel out before you ride",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let old = ask.number(Before, Dimension::FrontHubWidth);
    let new = ask.number(After, Dimension::FrontHubWidth);
    let axle = ask.word_in::<AxleKind>(Slot::FrontWheel, After, Dimension::Axle);
    let dropout = ask.word::<Dropout>(After, Dimension::FrontDropout);
    let old_seat = ask.number_in(Slot::FrontWheel, Before, Dimension::BeadSeat);
    let new_seat = ask.number_in(Slot::FrontWheel, After, Dimension::BeadSeat);
    let (Some(old), Some(new), Some(axle), Some(dropout), Some(old_seat), Some(new_seat)) =
        (old, new, axle, dropout, old_seat, new_seat)
    else {
        return Checked::CannotTell;
    };
    let wider = new - old;
    let rooms = either_way(wider, SAME_MM);
    let by_width = judge(ask, &rooms, &[(0.0, Verdict::Works)]);
    let by_axle = seat(axle, dropout);
    let by_seat = judge(ask, &either_way(new_seat - old_seat, SAME_SEAT_MM), &[(0.0, Verdict::Works)]);
    let verdict = by_width.max(by_axle).max(by_seat);
    let mut judged = Judgement::new(verdict);
    // The margin is that of the width: it says nothing where the axle or the bead seat decides.
    if by_width == verdict {
        judged = judged.margin(tightest(&rooms), "mm", 1);
    }
    judged = judged
        .number(Number::difference("wider", wider, "mm", 1))
        .number(Number::new("old_seat", old_seat, "mm", 0))
        .number(Number::new("new_seat", new_seat, "mm", 0));
    judged = match by_width {
        Verdict::Works => judged.says("the new hub is as wide as the old one"),
        _ => judged.says("the widths differ by {wider}, and a fork is not spread"),
    };
    if by_axle != Verdict::Works {
        judged = judged.says("the fork is not made for this axle").cure(end_caps());
    }
    if by_seat != Verdict::Works {
        judged = judged.says("the new wheel has a bead seat of {new_seat}, the old one {old_seat}");
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(old_mm: f64, axle: &'static str, seat_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::FrontHubWidth, mm(old_mm, 0.5))
            .found(Dimension::FrontDropout, word("slotted"))
            .found_in(Slot::FrontWheel, Dimension::BeadSeat, mm(622.0, 0.0))
            .chosen(Dimension::FrontHubWidth, mm(100.0, 0.0))
            .chosen_in(Slot::FrontWheel, Dimension::Axle, word(axle))
            .chosen_in(Slot::FrontWheel, Dimension::BeadSeat, mm(seat_mm, 0.0))
    }

    #[test]
    fn the_wheel_that_the_fork_is_made_for_goes_in() {
        bench(100.0, "quick-release", 622.0).gives(Verdict::Works);
    }

    #[test]
    fn another_width_axle_or_size_does_not() {
        bench(96.0, "quick-release", 622.0).gives(Verdict::Fails);
        bench(100.0, "through-12", 622.0).gives(Verdict::Fails);
        bench(100.0, "quick-release", 630.0).gives(Verdict::Fails);
    }

    #[test]
    fn without_the_old_hub_or_the_fork_nothing_can_be_told() {
        for dimension in [Dimension::FrontHubWidth, Dimension::FrontDropout] {
            bench(100.0, "quick-release", 622.0).without(dimension).gives(Verdict::Measure);
        }
        bench(99.2, "quick-release", 622.0).gives(Verdict::Measure);
    }
}
