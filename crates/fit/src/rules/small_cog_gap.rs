//! Does the chain on the smallest cog clear dropout and stay?

use super::body_length::spacer_span;
use super::freewheel_thread::both_screw_on;
use crate::ask::Ask;
use crate::build::When::{self, After, Before};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::cassette::dropout_gap;
use quantity::{Length, Span, Stand};

/// Room that the chain wants beside it.
const CLEAR_MM: f64 = 1.5;
/// A cog that comes out by less stays where it was: the fit of spacers and lockring.
const SAME_PLACE_MM: f64 = 0.3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "small-cog-gap",
    title: "does the chain on the smallest cog clear the frame?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Damage,
    touches: &[Slot::Cassette, Slot::RearWheel],
    cured_by: &[Slot::Cassette, Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "between the chain on the smallest cog and dropout or stay 1.5 mm stay free, wherever the cog comes further out",
    long: "More cogs, or another wheel, move the smallest cog outward, toward dropout and stay. How far is worked out \
           from both stacks: spacers, cogs and gaps, less the overhang; for another wheel from both gaps at the \
           locknut. If the cog stays within 0.3 mm or comes inward, the frame is as far away as it was, and its \
           distance is not asked; a cog with fewer teeth in the same place does not count, its chain runs nearer to \
           the axle where the same dropout was measured. Else the gap to the frame, less the move, plus half a cog \
           and less half a chain, must be 1.5 mm. Down to contact it is tried with a washer at hand; below that the \
           chain scrapes.",
    source: "geometry; 1.5 mm and 0.3 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let moved = if ask.build.changes(Slot::RearWheel) { by_wheel(ask) } else { by_stack(ask) };
    let Some(outward) = moved else { return Checked::CannotTell };
    let stays = outward.against(SAME_PLACE_MM);
    let told = |verdict| {
        Judgement::new(verdict)
            .number(Number::difference("outward", outward, "mm", 2))
            .number(Number::new("inward", -outward, "mm", 2))
            .says(if outward.middle() < 0.0 {
                "the smallest cog moves inward by {inward}"
            } else {
                "the smallest cog moves outward by {outward}"
            })
    };
    if stays == Stand::Below {
        return told(Verdict::Works).says("it comes no nearer to the frame than it was").done();
    }
    let gap = ask.number(Before, Dimension::DropoutGap);
    let thickness = ask.number(After, Dimension::CogThickness);
    let chain = ask.number(After, Dimension::ChainWidth);
    let (Some(gap), Some(thickness), Some(chain)) = (gap, thickness, chain) else {
        return Checked::CannotTell;
    };
    let room = Span::hull(&[gap - outward, thickness, chain], |at| {
        dropout_gap(Length::mm(at[0]), Length::mm(at[1]), Length::mm(at[2])).to_mm()
    });
    let margin = room - CLEAR_MM;
    let mut verdict = ask.bands(margin, &[(0.0, Verdict::Works), (-CLEAR_MM, Verdict::Marginal)]);
    // Where the move itself is in doubt only plenty of room is an answer.
    if stays == Stand::Across && verdict != Verdict::Works {
        ask.again();
        verdict = Verdict::Measure;
    }
    let judged = told(verdict)
        .margin(margin, "mm", 1)
        .number(Number::new("room", room, "mm", 1))
        .says("beside the chain {room} stay free to dropout or stay");
    let washer = Act::Work("a washer of 1 mm on the drive end of the axle, and the wheel dished again");
    match verdict {
        Verdict::Marginal => judged
            .says("less than 1.5 mm: tried by hand on the new cassette")
            .cure(Cure::by(washer, Verdict::Works))
            .done(),
        Verdict::Fails => {
            judged.says("the chain scrapes on the frame").cure(Cure::by(washer, Verdict::Marginal)).done()
        }
        _ => judged.done(),
    }
}

/// How far another wheel brings the cog nearer to the locknut, that is to the face of the dropout.
fn by_wheel(ask: &mut Ask<'_>) -> Option<Span> {
    let old = ask.number(Before, Dimension::SmallCogGap);
    let new = ask.number(After, Dimension::SmallCogGap);
    old.zip(new).map(|(old, new)| old - new)
}

/// How far another stack on the same body reaches further out.
fn by_stack(ask: &mut Ask<'_>) -> Option<Span> {
    let old_spacer = ask.number(Before, Dimension::SpacerBehind);
    let old_overhang = ask.number(Before, Dimension::Overhang);
    let old_stack = stack(ask, Before);
    let overhang = ask.number(After, Dimension::Overhang);
    // A freewheel sits on the shoulder of the hub, with no body and no spacer.
    let spacer = if both_screw_on(ask) {
        Some(Span::exact(0.0))
    } else {
        let body = ask.number(After, Dimension::BodyLength);
        let needed = ask.number(After, Dimension::BodyNeeded);
        body.zip(needed).zip(overhang).map(|((body, needed), overhang)| spacer_span(body - needed + overhang))
    };
    let new_stack = stack(ask, After);
    let (old_spacer, old_overhang, old_stack) = (old_spacer?, old_overhang?, old_stack?);
    let (overhang, spacer, new_stack) = (overhang?, spacer?, new_stack?);
    Some(new_stack - overhang + spacer - (old_stack - old_overhang + old_spacer))
}

/// Width of the cogs, outer face of the smallest to inner face of the largest.
fn stack(ask: &mut Ask<'_>, when: When) -> Option<Span> {
    let cogs = ask.teeth(when, Dimension::Cogs);
    let thickness = ask.number(when, Dimension::CogThickness);
    let pitches = ask.cog_pitches(when, cogs.as_ref().map_or(2, Vec::len));
    let (_, thickness, pitches) = (cogs?, thickness?, pitches?);
    let all = pitches.iter().fold(Span::exact(0.0), |sum, pitch| sum + *pitch);
    Some(all + thickness)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    const ELEVEN: &[i64] = &[11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28];

    fn bench(gap_mm: f64, old_pitch_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::DropoutGap, mm(gap_mm, 0.3))
            .found(Dimension::BodyLength, mm(36.8, 0.1))
            .found(Dimension::SpacerBehind, mm(0.0, 0.05))
            .found(Dimension::Overhang, mm(0.0, 0.0))
            .found(Dimension::Cogs, teeth(&ELEVEN[1..]))
            .found(Dimension::CogPitch, mm(old_pitch_mm, 0.0))
            .found(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::ChainWidth, mm(5.6, 0.0))
            .chosen(Dimension::Cogs, teeth(ELEVEN))
            .chosen(Dimension::CogPitch, mm(3.74, 0.0))
            .chosen(Dimension::CogThickness, mm(1.6, 0.0))
            .chosen(Dimension::BodyNeeded, mm(36.75, 0.0))
            .chosen(Dimension::Overhang, mm(0.0, 0.0))
    }

    /// Ten cogs of 3.95 mm are 37.15 mm wide, eleven of 3.74 mm are 39.0 mm.
    #[test]
    fn one_cog_more_uses_up_the_room() {
        let finding = bench(7.0, 3.95).gives(Verdict::Works);
        assert!((finding.number("outward").unwrap().value - 1.85).abs() < 1e-9);
        assert!((finding.number("room").unwrap().value - (7.0 - 1.85 + 0.8 - 2.8)).abs() < 1e-9);
        bench(4.5, 3.95).gives(Verdict::Marginal);
        bench(3.2, 3.95).gives(Verdict::Fails);
    }

    #[test]
    fn a_cog_that_stays_where_it_was_asks_nothing_of_the_frame() {
        bench(7.0, 3.95)
            .found(Dimension::SpacerBehind, mm(2.85, 0.1))
            .without(Dimension::DropoutGap)
            .gives(Verdict::Works);
    }

    #[test]
    fn another_wheel_is_judged_by_its_gap_at_the_locknut() {
        let wheel = |new_mm| {
            bench(5.0, 3.95)
                .found(Dimension::SmallCogGap, mm(3.0, 0.1))
                .chosen(Dimension::SmallCogGap, mm(new_mm, 0.0))
        };
        wheel(3.2).gives(Verdict::Works);
        wheel(2.0).gives(Verdict::Works);
        wheel(0.5).gives(Verdict::Marginal);
    }

    #[test]
    fn without_stack_or_gap_nothing_can_be_told() {
        for dimension in
            [Dimension::DropoutGap, Dimension::SpacerBehind, Dimension::CogPitch, Dimension::BodyLength]
        {
            bench(7.0, 3.95).without(dimension).gives(Verdict::Measure);
        }
        bench(3.2, 3.95).found(Dimension::SpacerBehind, mm(1.5, 0.2)).gives(Verdict::Measure);
    }
}
