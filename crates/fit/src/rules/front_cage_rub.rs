//! Can the cage of the front derailleur clear the chain in every pair?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::geometry::front::{DEPTH_MM, HEIGHT};
use crate::geometry::front_bike::{Corner, FrontBike};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::front_map::{FrontCage, FrontError, pass};
use quantity::{Angle, Length, Span, digits};

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-cage-rub",
    title: "can the front cage clear the chain in every pair?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[
        Slot::Crankset,
        Slot::Chainrings,
        Slot::FrontDerailleur,
        Slot::Cassette,
        Slot::Chain,
        Slot::RearWheel,
    ],
    cured_by: &[Slot::FrontDerailleur],
    heals: None,
    silent_without: &[
        Dimension::FrontCageNose,
        Dimension::FrontCageTail,
        Dimension::FrontCageLength,
        Dimension::FrontTailBehind,
    ],
    sentence: "the chain runs aslant through the cage, so the cage must be wider than the chain by what it moves aside inside",
    long: "From its ring the chain runs straight to its cog and stands aside by some millimetres where the tail of the \
           cage is. Where the plates leave less than that beside the width of the chain, one of them is touched \
           wherever the cage stands, and no limit screw and no trim click helps: the pair is given up, or a wider \
           cage is fitted. The cage is taken to stand parallel to the rings and 2 mm over the large one, as it is set. The \
           rule speaks where the cage was measured.",
    source: "geometry of the run from ring to cog; 2 mm: common practice of 1 to 3 mm",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let known = RULE.silent_without.iter().all(|dimension| ask.known_number(After, *dimension).is_some());
    if !known {
        return Checked::NotTouched;
    }
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.is_some_and(|rings| rings.len() == 1) {
        return Checked::NotTouched;
    }
    let [nose, tail, length, behind] = [
        Dimension::FrontCageNose,
        Dimension::FrontCageTail,
        Dimension::FrontCageLength,
        Dimension::FrontTailBehind,
    ]
    .map(|dimension| ask.number(After, dimension));
    let bike = FrontBike::ask(ask);
    let (Some(bike), Some(nose), Some(tail), Some(length), Some(behind)) = (bike, nose, tail, length, behind)
    else {
        return Checked::CannotTell;
    };
    let cage = |nose: f64, tail: f64, behind: f64| FrontCage {
        nose_width: Length::mm(nose),
        tail_width: Length::mm(tail),
        length: Length::mm(length.middle()),
        tail_behind: Length::mm(behind),
        yaw: Angle::deg(0.0),
        height: HEIGHT,
        inner_depth: Length::mm(if bike.rings.len() > 2 { DEPTH_MM.1 } else { DEPTH_MM.0 }),
        bridge_depth: Length::mm(0.0),
    };
    let read = spare(&bike, &cage(nose.middle(), tail.middle(), behind.middle()), Corner::Read);
    let narrow = cage(nose.least(), tail.least(), behind.most());
    let worst =
        [Corner::WorstInward, Corner::WorstOutward].map(|corner| least(&spare(&bike, &narrow, corner)));
    let (Ok(read), [Some(inward), Some(outward)]) = (read, worst) else {
        // Such a cage does not stand over these rings: a reading is off.
        ask.all_again();
        return Checked::CannotTell;
    };
    let Some(tightest) = read.iter().map(|(_, mm)| *mm).min_by(f64::total_cmp) else {
        return Checked::CannotTell;
    };
    let room = Span::around(tightest, (tightest - inward.min(outward)).max(0.0));
    let verdict = ask.bands(room, &[(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)]);
    let lost: Vec<String> = read
        .iter()
        .filter(|(_, mm)| *mm < 0.0)
        .map(|(pair, mm)| format!("{pair} {}", digits::signed(*mm, 1)))
        .collect();
    let judged = Judgement::new(verdict)
        .margin(room, "mm", 1)
        .number(Number::difference("room", room, "mm", 1))
        .number(Number::new("lost", Span::exact(lost.len() as f64), "", 0))
        .says("in the tightest pair the cage can move by {room} before a plate is touched");
    if lost.is_empty() {
        return judged.done();
    }
    judged
        .says("pairs that rub wherever the cage stands: {lost}; trim does not help them")
        .line(format!("too narrow by, mm: {}", lost.join(", ")))
        .done()
}

/// Cage travel that each pair leaves clear.
fn spare(bike: &FrontBike, cage: &FrontCage, corner: Corner) -> Result<Vec<(String, f64)>, FrontError> {
    let runs = bike.runs(corner);
    let width = |run| {
        let passed = pass(cage, run)?;
        Ok((format!("{}x{}", run.ring, run.cog), passed.clean().width().to_mm()))
    };
    runs.iter().flatten().map(width).collect()
}

fn least(spare: &Result<Vec<(String, f64)>, FrontError>) -> Option<f64> {
    spare.as_ref().ok()?.iter().map(|(_, mm)| *mm).min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    fn bench(tail_mm: f64, tolerance_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(410.0, 2.0))
            .chosen(Dimension::Rings, teeth(&[50, 34]))
            .chosen(Dimension::FrontChainline, mm(43.5, 0.5))
            .chosen(Dimension::RingGap, mm(7.3, 0.0))
            .chosen(Dimension::ChainWidth, mm(5.6, 0.0))
            .chosen(Dimension::Cogs, teeth(&[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]))
            .chosen(Dimension::CogPitch, mm(3.74, 0.0))
            .chosen(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::HubWidth, mm(130.0, 0.5))
            .found(Dimension::SmallCogGap, mm(3.0, 0.3))
            .chosen(Dimension::FrontCageNose, mm(9.5, tolerance_mm))
            .chosen(Dimension::FrontCageTail, mm(tail_mm, tolerance_mm))
            .chosen(Dimension::FrontCageLength, mm(95.0, 1.0))
            .chosen(Dimension::FrontTailBehind, mm(85.0, 2.0))
    }

    #[test]
    fn a_wide_cage_clears_every_pair_by_its_trims() {
        let finding = bench(12.5, 0.2).gives(Verdict::Works);
        assert!(finding.number("room").unwrap().span.least() > 0.0);
    }

    #[test]
    fn a_narrow_cage_rubs_where_the_chain_runs_most_aslant() {
        let narrow = bench(7.0, 0.0).chosen(Dimension::FrontCageNose, mm(6.0, 0.0));
        let finding = narrow.gives(Verdict::Marginal);
        assert!(finding.number("lost").unwrap().span.middle() >= 2.0);
        assert!(finding.lines[0].starts_with("too narrow by, mm: 50x"), "{:?}", finding.lines);
    }

    #[test]
    fn a_cage_at_the_limit_is_measured_again() {
        let finding = bench(9.6, 1.5).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::FrontCageTail));
    }

    #[test]
    fn without_a_fact_of_the_bike_nothing_can_be_told() {
        for dimension in [Dimension::FrontChainline, Dimension::HubWidth, Dimension::Cogs, Dimension::Rings] {
            bench(12.5, 0.2).without(dimension).gives(Verdict::Measure);
        }
    }

    #[test]
    fn a_cage_that_nobody_measured_and_a_single_ring_are_left_alone() {
        assert!(bench(12.5, 0.2).without(Dimension::FrontCageTail).finding().is_none());
        assert!(bench(12.5, 0.2).chosen(Dimension::Rings, teeth(&[42])).finding().is_none());
    }

    #[test]
    fn a_tail_that_stands_nowhere_over_the_ring_is_measured_again() {
        bench(12.5, 0.2).chosen(Dimension::FrontTailBehind, mm(120.0, 2.0)).gives(Verdict::Measure);
    }
}
