//! Do the rings clear the chainstay?

use crate::ask::Ask;
use crate::build::When::{self, After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, FrameMaterial, Slot};
use mechanics::stay::{RADII, ring_gap};
use quantity::{Length, Span, Teeth};

/// Gap that a ring needs.
const NEEDED_MM: f64 = 2.0;
/// How much less has been ridden.
const TRIAL_MM: f64 = 1.0;
/// What carbon needs more: a touch there cuts fibres.
const CARBON_MM: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "ring-stay",
    title: "do the rings clear the chainstay?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::Crankset, Slot::Chainrings],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[Dimension::StayHalfWidths],
    sentence: "every ring must stay 2 mm from the chainstay at the tips of its teeth, 3 mm from one of carbon",
    long: "The gap is the place of the ring from the middle plane, less 2.8 mm for half the ring with its bolt ends, \
           less the half width of the stay at the radius of the teeth. The stay is measured at 75, 85, 95, 105 and \
           165 mm from the bottom bracket and taken as straight between. From 1 to 2 mm it has been ridden and is a \
           trial: frames and cranks give under load. Another list asks 3 mm, and 4 mm on carbon. It is not asked \
           where no new ring is larger or stands further in than one that ran there before. A new bottom bracket \
           alone moves rings by an amount that nobody knows before it is in: then measure the chainline again.",
    source: "geometry; 2 mm and 2.8 mm: common practice, with another practice of 3 and 4 mm beside it",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let widths_known = ask.build.reading(Slot::Frame, Before, Dimension::StayHalfWidths).taken().is_some();
    if !widths_known && no_nearer(ask) {
        return Checked::NotTouched;
    }
    let places = places(ask, After);
    let widths = ask.lengths(After, Dimension::StayHalfWidths);
    let material = ask.word::<FrameMaterial>(After, Dimension::FrameMaterial);
    let (Some(places), Some(widths), Some(material)) = (places, widths, material) else {
        return Checked::CannotTell;
    };
    let Ok(widths) = <[Span; RADII.len()]>::try_from(widths) else {
        ask.recount(After, Dimension::StayHalfWidths);
        return Judgement::new(Verdict::Measure)
            .says("five half widths are wanted, nearest to the shell first")
            .done();
    };
    let needed_mm = if material == FrameMaterial::Carbon { NEEDED_MM + CARBON_MM } else { NEEDED_MM };
    let gaps: Vec<(Teeth, Span)> =
        places.into_iter().filter_map(|(ring, at)| Some((ring, gap(ring, at, &widths)?))).collect();
    let bands = [(0.0, Verdict::Works), (-TRIAL_MM, Verdict::Marginal)];
    let verdict = gaps.iter().map(|(_, gap)| ask.bands(*gap - needed_mm, &bands)).max();
    let nearest = gaps.iter().min_by(|a, b| a.1.middle().total_cmp(&b.1.middle()));
    let (Some(verdict), Some((ring, gap))) = (verdict, nearest) else { return Checked::CannotTell };
    if verdict == Verdict::Measure {
        ask.recount(After, Dimension::StayHalfWidths);
    }
    let judged = Judgement::new(verdict)
        .margin(*gap - needed_mm, "mm", 1)
        .number(Number::new("gap", *gap, "mm", 1))
        .number(Number::new("needed", Span::exact(needed_mm), "mm", 1))
        .number(Number::new("ring", Span::exact(ring.to_f64()), "teeth", 0))
        .says("the ring of {ring} stands {gap} from the chainstay; {needed} is needed");
    match verdict {
        Verdict::Fails => judged.says("under load it cuts into the stay").done(),
        Verdict::Marginal => {
            judged.says("look at it again with the crank torqued and a weight on the pedal").done()
        }
        _ => judged.done(),
    }
}

fn gap(ring: Teeth, at: Span, widths: &[Span; 5]) -> Option<Span> {
    let near = ring_gap(Length::mm(at.least()), ring, &widths.map(|w| Length::mm(w.most())))?;
    let far = ring_gap(Length::mm(at.most()), ring, &widths.map(|w| Length::mm(w.least())))?;
    Some(Span::new(near.to_mm(), far.to_mm()))
}

/// Each ring with its place from the middle plane; gaps are noted.
fn places(ask: &mut Ask<'_>, when: When) -> Option<Vec<(Teeth, Span)>> {
    let rings = ask.teeth(when, Dimension::Rings);
    let chainline = ask.number(when, Dimension::FrontChainline);
    let single = rings.as_ref().is_some_and(|rings| rings.len() == 1);
    let ring_gap = if single { Some(Span::exact(0.0)) } else { ask.number(when, Dimension::RingGap) };
    Some(placed(rings?, chainline?, ring_gap?))
}

fn placed(rings: Vec<Teeth>, chainline: Span, ring_gap: Span) -> Vec<(Teeth, Span)> {
    let outermost = rings.len().saturating_sub(1) as f64 / 2.0;
    rings
        .into_iter()
        .enumerate()
        .map(|(i, ring)| (ring, chainline + ring_gap * (outermost - i as f64)))
        .collect()
}

/// Whether every new ring is inside the room that an old one used. Looks without noting: a bike that keeps its
/// room has nothing to say here.
fn no_nearer(ask: &Ask<'_>) -> bool {
    let build = ask.build;
    let mut quiet = Ask::new(build);
    let kept = !build.changes(Slot::Crankset);
    if kept {
        let (Some(old), Some(new)) =
            (quiet.teeth(Before, Dimension::Rings), quiet.teeth(After, Dimension::Rings))
        else {
            return false;
        };
        return old.len() == new.len() && old.iter().zip(&new).all(|(old, new)| new <= old);
    }
    let (Some(old), Some(new)) = (places(&mut quiet, Before), places(&mut quiet, After)) else {
        return false;
    };
    new.iter().all(|(ring, at)| {
        old.iter().any(|(old_ring, old_at)| ring <= old_ring && at.least() >= old_at.most())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth, word};
    use catalog::Value;
    use quantity::{Basis, Measured};

    fn widths(tolerance_mm: f64) -> Value {
        let one = |mm| Measured {
            value: Length::mm(mm),
            tolerance: Length::mm(tolerance_mm),
            basis: Basis::Measured,
        };
        Value::Lengths([30.0, 31.0, 33.0, 35.0, 44.0].map(one).to_vec())
    }

    /// At 104.7 mm the stay is 34.95 mm: a ring of 50 at chainline + 3.65 mm.
    fn bench(chainline_mm: f64, material: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::StayHalfWidths, widths(0.1))
            .found(Dimension::FrameMaterial, word(material))
            .chosen(Dimension::Rings, teeth(&[50, 34]))
            .chosen(Dimension::FrontChainline, mm(chainline_mm, 0.0))
            .chosen(Dimension::RingGap, mm(7.3, 0.0))
    }

    #[test]
    fn rings_far_from_the_stay_work() {
        let finding = bench(43.5, "steel").gives(Verdict::Works);
        // The inner ring is the nearer one: 43.5 − 3.65 − 2.8 − 30 mm.
        assert!((finding.number("gap").unwrap().value - 7.05).abs() < 0.01);
    }

    #[test]
    fn a_narrow_gap_is_a_trial_and_a_narrower_one_cuts() {
        bench(38.0, "steel").gives(Verdict::Marginal);
        bench(36.9, "steel").gives(Verdict::Fails);
    }

    #[test]
    fn carbon_needs_a_millimetre_more() {
        bench(39.0, "steel").gives(Verdict::Works);
        bench(39.0, "carbon").gives(Verdict::Marginal);
    }

    #[test]
    fn a_coarse_reading_at_the_limit_is_taken_again() {
        let finding =
            bench(38.45, "steel").found(Dimension::StayHalfWidths, widths(0.5)).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::StayHalfWidths));
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        let facts = [
            Dimension::StayHalfWidths,
            Dimension::FrameMaterial,
            Dimension::Rings,
            Dimension::FrontChainline,
            Dimension::RingGap,
        ];
        for dimension in facts {
            let finding = bench(43.5, "steel").without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension));
        }
    }

    #[test]
    fn rings_inside_the_room_of_the_old_ones_are_not_asked() {
        let old = |rings: &[i64], chainline_mm| {
            bench(43.5, "steel")
                .without(Dimension::StayHalfWidths)
                .found(Dimension::Rings, teeth(rings))
                .found(Dimension::FrontChainline, mm(chainline_mm, 0.0))
                .found(Dimension::RingGap, mm(7.3, 0.0))
        };
        assert!(old(&[52, 39], 43.5).finding().is_none());
        old(&[48, 34], 43.5).gives(Verdict::Measure);
        old(&[52, 39], 45.0).gives(Verdict::Measure);
        old(&[52, 39], 43.5).without(Dimension::FrontChainline).gives(Verdict::Measure);
    }

    #[test]
    fn on_a_kept_crankset_only_larger_rings_are_asked() {
        let rings = |new: &[i64]| {
            Bench::of(&RULE).found(Dimension::Rings, teeth(&[50, 34])).chosen_in(
                Slot::Chainrings,
                Dimension::Rings,
                teeth(new),
            )
        };
        assert!(rings(&[48, 34]).finding().is_none());
        rings(&[52, 36]).gives(Verdict::Measure);
    }
}
