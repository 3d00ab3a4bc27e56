//! Does the new wheel go between the dropouts?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, FrameMaterial, Slot};
use quantity::{Span, Stand};

/// Two widths closer than this are the same: locknut wear and paint.
const SAME_MM: f64 = 1.0;
/// Steel is spread by so much in all, 2.1 mm a side: from 126 to 130 mm with a reading a little off.
const SPREAD_MM: f64 = 4.2;
/// From 130 to 135 mm, 2.6 mm a side: done, and argued about.
const FAR_SPREAD_MM: f64 = 5.2;

/// The rule.
pub static RULE: Rule = Rule {
    id: "hub-width",
    title: "does the new rear wheel go between the dropouts?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Rider,
    touches: &[Slot::RearWheel],
    cured_by: &[Slot::RearWheel],
    heals: None,
    silent_without: &[],
    sentence: "the over-locknut width of the new hub must be that of the hub it replaces, to within 1 mm; steel dropouts are spread by up to 4.2 mm in all",
    long: "The hub on the bike shows what the frame was made for. A hub that is wider has to be forced in, which \
           bends dropouts and axle: with the ends no longer parallel an axle breaks. Only steel may be spread, by a \
           specialist, with the customer's signature, and dropouts and hanger are aligned afterwards: 126 to 130 mm \
           is 2 mm a side; 130 to 135 mm is 2.5 mm a side and marginal. A hub that is narrower pulls the dropouts \
           together, which is the same harm. What the frame is made of is asked only where the widths differ.",
    source: "widths and steel only: workshop crib sheets, agreeing; 2.1 and 2.6 mm a side: common practice",
    caution: Some(Warning::Technician(
        "a wheel that does not sit square in the dropouts can come out: check its seat and its closing force before the first ride",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let (old, new) = (ask.number(Before, Dimension::HubWidth), ask.number(After, Dimension::HubWidth));
    let (Some(old), Some(new)) = (old, new) else { return Checked::CannotTell };
    let wider = new - old;
    let judged = |verdict, margin: Span| {
        Judgement::new(verdict)
            .margin(margin, "mm", 1)
            .number(Number::difference("wider", wider, "mm", 1))
            .number(Number::difference("per_side", wider * 0.5, "mm", 2))
    };
    let narrow_room = wider + SAME_MM;
    if narrow_room.against(0.0) == Stand::Below {
        return judged(Verdict::Fails, narrow_room)
            .says("the new hub is narrower than the dropouts by more than the locknuts wear")
            .done();
    }
    let same_room = -wider + SAME_MM;
    let same =
        ask.bands(same_room, &[(0.0, Verdict::Works)]).max(ask.bands(narrow_room, &[(0.0, Verdict::Works)]));
    match same {
        Verdict::Works => {
            return judged(same, same_room).says("the new hub is as wide as the old one").done();
        }
        Verdict::Measure => {
            return judged(same, same_room)
                .says("the readings do not say whether the widths differ: {wider}")
                .done();
        }
        _ => {}
    }
    let Some(material) = ask.word::<FrameMaterial>(After, Dimension::FrameMaterial) else {
        return Checked::CannotTell;
    };
    if material != FrameMaterial::Steel {
        return judged(Verdict::Fails, same_room)
            .says("the new hub is wider by {wider}: {per_side} a side")
            .says("only steel dropouts are spread")
            .done();
    }
    let spread_room = -wider + SPREAD_MM;
    let verdict =
        ask.bands(spread_room, &[(0.0, Verdict::Remedy), (SPREAD_MM - FAR_SPREAD_MM, Verdict::Marginal)]);
    let spread = Cure::by(
        Act::Work(
            "a specialist spreads the steel dropouts to the new width and aligns dropouts and hanger; it cannot be undone, and the customer signs",
        ),
        Verdict::Works,
    );
    let mut judged = judged(verdict, spread_room).says("the new hub is wider by {wider}: {per_side} a side");
    // The tilt decides nothing: it is a number for the specialist.
    let chainstay = ask.build.reading(Slot::Frame, After, Dimension::Chainstay);
    if let Some(chainstay) = chainstay.taken().and_then(catalog::Value::span) {
        let tilt = Span::hull(&[wider * 0.5, chainstay], |at| at[0].atan2(at[1]).to_degrees());
        judged = judged
            .number(Number::new("tilt", tilt, "°", 2))
            .says("spread without aligning, each dropout would stand {tilt} out of square");
    }
    match verdict {
        Verdict::Remedy => judged.remedy(Verdict::Fails, spread).done(),
        Verdict::Marginal => judged
            .says("more than is spread without argument")
            .cure(Cure { verdict: Verdict::Marginal, ..spread })
            .done(),
        Verdict::Fails => judged.says("more than steel is spread").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(old_mm: f64, new_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HubWidth, mm(old_mm, 0.5))
            .chosen(Dimension::HubWidth, mm(new_mm, 0.0))
    }

    #[test]
    fn the_same_width_goes_in_whatever_the_frame_is_made_of() {
        bench(130.2, 130.0).gives(Verdict::Works);
        bench(130.2, 130.0).found(Dimension::FrameMaterial, word("carbon")).gives(Verdict::Works);
    }

    #[test]
    fn a_narrower_hub_does_not_go_in() {
        bench(135.0, 130.0).gives(Verdict::Fails);
    }

    /// 126.3 to 130 mm in bonded aluminium: 1.85 mm a side, and steel only.
    #[test]
    fn aluminium_is_not_spread() {
        let finding =
            bench(126.3, 130.0).found(Dimension::FrameMaterial, word("aluminium")).gives(Verdict::Fails);
        assert!((finding.number("per_side").unwrap().value - 1.85).abs() < 1e-9);
    }

    #[test]
    fn steel_is_spread_by_a_specialist() {
        let finding =
            bench(126.3, 130.0).found(Dimension::FrameMaterial, word("steel")).gives(Verdict::Remedy);
        assert_eq!(finding.without, Some(Verdict::Fails));
    }

    /// 126 to 130 mm on a stay of 420 mm tilts each dropout by 0.27°: a trade example, geometry.
    #[test]
    fn the_tilt_of_the_dropouts_is_that_of_the_worked_example() {
        let steel = |new_mm| {
            bench(126.0, new_mm)
                .found(Dimension::HubWidth, mm(126.0, 0.1))
                .found(Dimension::FrameMaterial, word("steel"))
                .found(Dimension::Chainstay, mm(420.0, 3.0))
        };
        let finding = steel(130.0).gives(Verdict::Remedy);
        assert!((finding.number("tilt").unwrap().value - 0.27).abs() < 0.005);
        let finding = steel(135.0).gives(Verdict::Fails);
        assert!((finding.number("tilt").unwrap().value - 0.61).abs() < 0.005);
    }

    #[test]
    fn from_130_to_135_steel_is_marginal() {
        Bench::of(&RULE)
            .found(Dimension::HubWidth, mm(130.0, 0.1))
            .found(Dimension::FrameMaterial, word("steel"))
            .chosen(Dimension::HubWidth, mm(135.0, 0.0))
            .gives(Verdict::Marginal);
    }

    #[test]
    fn without_width_or_material_nothing_can_be_told() {
        Bench::of(&RULE).chosen(Dimension::HubWidth, mm(130.0, 0.0)).gives(Verdict::Measure);
        bench(128.9, 130.0).gives(Verdict::Measure);
        let finding = bench(126.3, 130.0).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::FrameMaterial);
    }
}
