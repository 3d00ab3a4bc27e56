//! Where do the hands come to lie?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::refit::Hands;
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot, Value};
use mechanics::cockpit::{Point, stem_reach};
use quantity::{Angle, Length, Span};

/// A shift that customers do not feel.
pub(crate) const UNFELT_MM: f64 = 5.0;
/// A shift beyond which the hands are not where they were.
pub(crate) const KEPT_MM: f64 = 15.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "hand-position",
    title: "where do the hands come to lie?",
    coupling: Coupling::Hands,
    hazard: Hazard::Comfort,
    touches: &[Slot::Bar, Slot::Stem, Slot::Levers],
    cured_by: &[Slot::Stem, Slot::Bar],
    heals: None,
    silent_without: &[],
    sentence: "the trough of the hood should stay within 5 mm of where it was; beyond 15 mm the hands are not kept",
    long: "Stem, reach of the bar and length of the lever body add up to where the hand rests, so the parts are \
           judged together. Only parts that change enter the shift; the tolerance of a part that stays falls out. \
           Spacers are taken to stay as they are, and so are the curve of the bar and the turn of the lever on it. \
           Up to 5 mm are set on the stand by the place of the lever on the bar, so works and marginal are told by \
           the middle of the readings and no tape is read again for them. The 15 mm limit counts where the customer \
           wants the hands kept, and there the whole tolerance must lie on one side. The stem that would keep the \
           hands is given as its reach along the level.",
    source: "geometry of stem and head angle; 5 mm and 15 mm: common practice",
    caution: Some(Warning::Each {
        technician: "another hand position changes steering and the reach to the brakes: the first rides are short, and the levers are reached from hoods and drops before the bike leaves",
        customer: "hands and levers lie elsewhere than before: keep the first rides short, and try both brakes from hoods and drops",
    }),
    check,
};

/// A reading on the bike before and after.
#[derive(Clone, Copy)]
struct Pair {
    before: Span,
    after: Span,
    changes: bool,
}

impl Pair {
    fn of(ask: &mut Ask<'_>, slot: Slot, dimension: Dimension) -> Option<Self> {
        let changes = ask.build.changes(slot);
        let before = ask.number(Before, dimension);
        let after = if changes { ask.number(After, dimension) } else { before };
        Some(Self { before: before?, after: after?, changes })
    }

    /// After less before; exactly nothing for a part that stays.
    fn shift(self) -> Span {
        if self.changes { self.after - self.before } else { Span::exact(0.0) }
    }
}

fn check(ask: &mut Ask<'_>) -> Checked {
    let stem_changes = ask.build.changes(Slot::Stem);
    let length = Pair::of(ask, Slot::Stem, Dimension::StemLength);
    let angle = Pair::of(ask, Slot::Stem, Dimension::StemAngle);
    let bar = Pair::of(ask, Slot::Bar, Dimension::BarReach);
    let hood = Pair::of(ask, Slot::Levers, Dimension::HoodReach);
    // A stem that stays falls out of the shift: then the head angle is no ground of the verdict and is read
    // only to say which stem would keep the hands. It stands in the sentence.
    let head = if stem_changes { ask.number(After, Dimension::HeadAngle) } else { head_angle(ask) };
    let (Some(length), Some(angle), Some(bar), Some(hood)) = (length, angle, bar, hood) else {
        return Checked::CannotTell;
    };
    if stem_changes && head.is_none() {
        return Checked::CannotTell;
    }
    let before = Stem { length: length.before, angle: angle.before };
    let after = Stem { length: length.after, angle: angle.after };
    let along = bar.shift() + hood.shift();
    let still = (Span::exact(0.0), Span::exact(0.0));
    let (stem_x, stem_y) = match head {
        Some(head) if stem_changes => before.shift_to(after, head),
        _ => still,
    };
    let (shift_x, shift_y) = (stem_x + along, stem_y);
    let middle_mm = match head {
        Some(head) if stem_changes => {
            let (old, new) = (before.middle(head), after.middle(head));
            (new.x_mm - old.x_mm + along.middle()).hypot(new.y_mm - old.y_mm)
        }
        _ => along.middle().abs(),
    };
    let felt = if middle_mm <= UNFELT_MM + quantity::SLACK { Verdict::Works } else { Verdict::Marginal };
    let distance = distance(shift_x, shift_y);
    let verdict = if ask.build.wish.hands == Some(Hands::Keep) {
        ask.bands(Span::exact(KEPT_MM) - distance, &[(0.0, felt)])
    } else {
        felt
    };
    let limit_mm = if matches!(verdict, Verdict::Works | Verdict::Marginal) { UNFELT_MM } else { KEPT_MM };
    let mut judged = Judgement::new(verdict)
        .margin(Span::exact(limit_mm) - distance, "mm", 0)
        .number(Number::difference("shift_x", shift_x, "mm", 0))
        .number(Number::difference("shift_y", shift_y, "mm", 0))
        .says("the hands move {shift_x} forward and {shift_y} up");
    if let Some(head) = head {
        let before_x = before.reach(head) + bar.before + hood.before;
        let after_x = after.reach(head) + bar.after + hood.after;
        judged = judged
            .number(Number::new("before_x", before_x, "mm", 0))
            .number(Number::new("after_x", after_x, "mm", 0))
            // Before, less what bar and lever take after: parts that stay fall out here too.
            .number(Number::new("wanted_stem_x", before.reach(head) - along, "mm", 0))
            .number(Number::new("head", head, "°", 1))
            .says(
                "from the steerer to the hood, at a head angle of {head}: {before_x} before, {after_x} after",
            );
        if verdict != Verdict::Works {
            judged = judged
                .says("a stem that reaches {wanted_stem_x} along the level keeps the hands where they are");
        }
    }
    match verdict {
        Verdict::Works => judged.says("the place of the lever on the bar makes up for that").done(),
        Verdict::Marginal => judged.says("customers feel 5 mm: tell it before the parts are ordered").done(),
        Verdict::Fails => judged.says("the customer wants the hands kept").done(),
        _ => judged.done(),
    }
}

fn head_angle(ask: &Ask<'_>) -> Option<Span> {
    let slot = ask.build.slot_of(Dimension::HeadAngle, After);
    ask.build.reading(slot, After, Dimension::HeadAngle).taken().and_then(Value::span)
}

#[derive(Clone, Copy)]
pub(crate) struct Stem {
    pub(crate) length: Span,
    pub(crate) angle: Span,
}

impl Stem {
    /// Square to the steerer and along it. The head angle turns both alike, so it enters once, in [`level`].
    fn square(self) -> (Span, Span) {
        (self.length * cosine(self.angle), self.length * sine(self.angle))
    }

    fn reach(self, head: Span) -> Span {
        self.place(head).0
    }

    /// Forward and up of the bar clamp.
    pub(crate) fn place(self, head: Span) -> (Span, Span) {
        let (square, along) = self.square();
        level(square, along, head)
    }

    pub(crate) fn shift_to(self, after: Self, head: Span) -> (Span, Span) {
        let ((old_square, old_along), (new_square, new_along)) = (self.square(), after.square());
        level(new_square - old_square, new_along - old_along, head)
    }

    fn middle(self, head: Span) -> Point {
        stem_reach(
            Length::mm(self.length.middle()),
            Angle::deg(self.angle.middle()),
            Length::mm(0.0),
            Angle::deg(head.middle()),
        )
    }
}

/// Forward and up, from square to the steerer and along it.
pub(crate) fn level(square: Span, along: Span, head: Span) -> (Span, Span) {
    let lean = Span::exact(90.0) - head;
    (square * cosine(lean) - along * sine(lean), square * sine(lean) + along * cosine(lean))
}

fn cosine(degrees: Span) -> Span {
    let of = |degrees: f64| degrees.to_radians().cos();
    if degrees.least() < -90.0 || degrees.most() > 90.0 {
        return Span::new(-1.0, 1.0);
    }
    if degrees.least() < 0.0 && degrees.most() > 0.0 {
        return Span::new(of(degrees.least()).min(of(degrees.most())).next_down(), 1.0);
    }
    degrees.map_monotone(of)
}

fn sine(degrees: Span) -> Span {
    if degrees.least() < -90.0 || degrees.most() > 90.0 {
        return Span::new(-1.0, 1.0);
    }
    degrees.map_monotone(|degrees| degrees.to_radians().sin())
}

fn distance(x: Span, y: Span) -> Span {
    let nearest = |span: Span| if span.holds(0.0) { 0.0 } else { span.least().abs().min(span.most().abs()) };
    let farthest = |span: Span| span.least().abs().max(span.most().abs());
    Span::new(nearest(x).hypot(nearest(y)), farthest(x).hypot(farthest(y)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, deg, mm};
    use crate::refit::Wish;

    /// Stem 110/−17 at a head angle of 73°, bar reach 92, hood 38: 240 mm to the hood.
    fn bike() -> Bench {
        Bench::of(&RULE)
            .found(Dimension::StemLength, mm(110.0, 2.0))
            .found(Dimension::StemAngle, deg(-17.0, 0.5))
            .found(Dimension::HeadAngle, deg(73.0, 0.5))
            .found(Dimension::BarReach, mm(92.0, 2.0))
            .found(Dimension::HoodReach, mm(38.0, 2.0))
    }

    fn keep(bench: Bench) -> Bench {
        bench.wish(Wish { hands: Some(Hands::Keep), ..Wish::default() })
    }

    fn close(finding: &crate::finding::Finding, name: &str, wanted_mm: f64) {
        let found_mm = finding.number(name).unwrap().span.middle();
        assert!((found_mm - wanted_mm).abs() < 0.1, "{name}: {found_mm} against {wanted_mm}");
    }

    #[test]
    fn a_longer_lever_on_a_shorter_bar_is_two_millimetres() {
        let finding = bike()
            .chosen(Dimension::BarReach, mm(80.0, 0.0))
            .chosen(Dimension::HoodReach, mm(52.0, 0.0))
            .gives(Verdict::Works);
        close(&finding, "shift_x", 2.0);
        close(&finding, "shift_y", 0.0);
        close(&finding, "before_x", 240.0);
        close(&finding, "wanted_stem_x", 108.0);
    }

    #[test]
    fn a_longer_lever_on_the_same_bar_is_felt() {
        let finding = bike().chosen(Dimension::HoodReach, mm(52.0, 0.0)).gives(Verdict::Marginal);
        close(&finding, "shift_x", 14.0);
        // Only the old lever has a tolerance that counts.
        assert!((finding.number("shift_x").unwrap().span.half_width() - 2.0).abs() < 1e-6);
    }

    #[test]
    fn a_steeper_stem_lifts_the_hands() {
        // 110/−6 at 73° reaches 108.0 and rises 21.0, worked by hand.
        let risen = || {
            bike()
                .chosen(Dimension::BarReach, mm(80.0, 0.0))
                .chosen(Dimension::HoodReach, mm(52.0, 0.0))
                .chosen(Dimension::StemLength, mm(110.0, 0.0))
                .chosen(Dimension::StemAngle, deg(-6.0, 0.0))
        };
        let finding = risen().gives(Verdict::Marginal);
        close(&finding, "shift_x", 0.0);
        close(&finding, "shift_y", 21.0);
        keep(risen()).gives(Verdict::Fails);
    }

    #[test]
    fn hands_to_be_kept_are_measured_again_at_the_limit() {
        let finding = keep(bike().chosen(Dimension::HoodReach, mm(52.0, 0.0))).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::HoodReach));
    }

    #[test]
    fn a_head_angle_is_asked_for_a_new_stem_only() {
        let stem = |bench: Bench| {
            bench.chosen(Dimension::StemLength, mm(110.0, 0.0)).chosen(Dimension::StemAngle, deg(-17.0, 0.0))
        };
        stem(bike()).gives(Verdict::Works);
        let finding = stem(bike()).without(Dimension::HeadAngle).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::HeadAngle);
        let finding = bike()
            .chosen(Dimension::HoodReach, mm(40.0, 0.0))
            .without(Dimension::HeadAngle)
            .gives(Verdict::Works);
        assert!(finding.number("wanted_stem_x").is_none());
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in
            [Dimension::StemLength, Dimension::StemAngle, Dimension::BarReach, Dimension::HoodReach]
        {
            let finding =
                bike().chosen(Dimension::HoodReach, mm(40.0, 0.0)).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
