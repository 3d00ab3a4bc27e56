//! Does the cage hold the chain in every pair of ring and cog?

use crate::ask::Ask;
use crate::build::When::After;
use crate::cage::{Body, Cage, Each, count_after};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::solved::Windowed;
use catalog::{Dimension, Slot};
use mechanics::cage::{Between, CageError, pair_window};
use quantity::{Pitches, SLACK, Span, Stand, digits};

/// Chain that hangs by this much makes a pair one to avoid: rounding up to an even count can cost it by itself.
const AVOIDED_MM: f64 = crate::pairs::SLACK_AVOIDED_PITCHES * Pitches::MM;
/// So many pairs may be given up; more are a fault of the set.
const LOST_PAIRS: usize = 3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "cage-in-every-pair",
    title: "does the chain reach in every pair, and does the cage take it up?",
    coupling: Coupling::Reach,
    hazard: Hazard::Rider,
    touches: &[Slot::Cassette, Slot::Crankset, Slot::Chainrings, Slot::RearDerailleur],
    cured_by: &[Slot::Chain, Slot::RearDerailleur, Slot::Cassette],
    heals: None,
    silent_without: &[],
    sentence: "the chain must reach round the largest pair through the cage; pairs in which it hangs are named, and more than three are too many",
    long: "Ring, tension pulley, guide pulley and cog are circles in a plane, and the cage turns until the chain is taut. \
           Between its forward limit and its back limit it gives and takes up so much chain and no more. In the largest \
           pair a chain that does not reach locks the drivetrain and tears the derailleur off, so this is judged on the \
           whole interval of frame and body; the body is a typical one of the cage's size until three readings say what \
           it is. Pairs in which the chain hangs are counted by the values as read: a gear to avoid is a thing to say, \
           not a thing to refuse. What the leaflet prints as capacity is judged by its own rule and wins where it differs.",
    source: "geometry, checked against a general numerical library; the typical bodies and three pairs: common practice",
    caution: Some(Warning::Technician(
        "before the first ride shift to the largest ring with the largest cog on the stand, by hand: the cage may not be pulled straight",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cage = Cage::of(ask, After);
    let Some(cage) = cage else {
        if !ask.build.changes(Slot::Chain) {
            let _ = ask.count(After, Dimension::ChainCount);
        }
        return Checked::CannotTell;
    };
    let Some(count) = count_after(ask, &cage) else {
        if ask.build.changes(Slot::Chain) {
            ask.all_again();
        }
        return Checked::CannotTell;
    };
    let Some(largest) = cage.largest_pair() else { return Checked::CannotTell };
    let fitted = Pitches::new(f64::from(count));
    let window = cage.window(ask.build, largest);
    let stands_in = |window: &Windowed| {
        matches!(window, Err(CageError::CirclesOverlap { between: Between::GuideAndCog, .. }))
    };
    if window.every(stands_in) {
        return Judgement::new(Verdict::Fails)
            .says("the guide pulley would stand in the largest cog: there is no way for the chain")
            .done();
    }
    // What the cage can still give is what the chain has over the shortest that reaches.
    let left = |window: &Each<Windowed>| {
        let left = |window: &Windowed| window.as_ref().ok().map(|window| window.give_left(fitted).to_f64());
        window.spread(left).filter(|left| !left.open)
    };
    let mut given = left(&window);
    // A typical cage may be enough to tell; where it is not, readings of this one are looked for.
    let mut cage = cage;
    if given.is_none_or(|given| given.span.against(0.0) == Stand::Across) {
        cage = cage.read(ask, After);
        if cage.body == Body::Read {
            given = left(&cage.window(ask.build, largest));
        }
    }
    let Some(given) = given else {
        ask.again();
        narrower(ask);
        return Judgement::new(Verdict::Measure)
            .says("within the tolerances there may be no way for the chain round the largest cog")
            .done();
    };
    let reach = ask.bands(given.span, &[(0.0, Verdict::Works)]);
    let pairs = hanging(&cage, fitted);
    let lost = pairs.iter().filter(|(_, over_mm)| *over_mm >= AVOIDED_MM).count();
    let judged = |verdict| {
        let mut judged = Judgement::new(verdict)
            .margin(given.span, "pitches", 1)
            .in_shop_units(given.span.middle() * Pitches::MM, "mm of chain")
            .number(Number::new("ring", Span::exact(largest.ring.to_f64()), "", 0))
            .number(Number::new("cog", Span::exact(largest.cog.to_f64()), "", 0))
            .number(Number::new("count", Span::exact(f64::from(count)), "pitches", 0))
            .number(Number::new("longer", Span::exact(f64::from(count) + 2.0), "pitches", 0))
            .number(Number::new("left", given.span * Pitches::MM, "mm", 0).at(given.value * Pitches::MM))
            .number(Number::new("lost", Span::exact(lost as f64), "", 0));
        if !pairs.is_empty() {
            let list: Vec<String> =
                pairs.iter().map(|(pair, mm)| format!("{pair} {}", digits::fixed(*mm, 0))).collect();
            judged = judged.line(format!("chain that hangs, mm, by the values as read: {}", list.join(", ")));
        }
        if cage.body == Body::Contradicted {
            let line = "the readings of the cage contradict each other, the chain count or its size: take them again";
            judged = judged.line(line.to_owned());
        }
        judged
    };
    match reach {
        // The rule of the shop is too short for this cage: a new chain is not cut yet.
        Verdict::Fails if ask.build.changes(Slot::Chain) => {
            let longer = (given.span + 2.0).against(0.0);
            let then = if longer == Stand::AtOrAbove { Verdict::Works } else { Verdict::Measure };
            judged(Verdict::Fails)
                .says("with {count} the cage is pulled straight in {ring} x {cog} and the chain does not reach: it locks and tears the derailleur off")
                .cure(Cure::by(Act::Work("cut the chain two pitches longer than the rule of the shop says"), then))
                .done()
        }
        Verdict::Fails => judged(Verdict::Fails)
            .says("with {count} the cage is pulled straight in {ring} x {cog} and the chain does not reach: it locks and tears the derailleur off")
            .done(),
        Verdict::Measure => {
            narrower(ask);
            judged(Verdict::Measure)
                .says("with {count} it cannot be told whether the chain reaches through the cage in {ring} x {cog}; {longer} would reach further")
                .done()
        }
        _ => {
            let verdict = if lost > LOST_PAIRS { Verdict::Marginal } else { Verdict::Works };
            let judged = judged(verdict)
                .says("with {count} the cage can still give {left} of chain in {ring} x {cog}");
            match lost {
                0 => judged.done(),
                _ => judged.says("pairs in which the chain hangs by a pitch and more, to be avoided: {lost}").done(),
            }
        }
    }
}

/// What would narrow the answer: the cage itself, and three readings where it is on the bike.
fn narrower(ask: &mut Ask<'_>) {
    for dimension in [Dimension::PulleysApart, Dimension::GuideTeeth, Dimension::TensionTeeth] {
        let _ = ask.number(After, dimension);
    }
    if !ask.build.changes(Slot::RearDerailleur) {
        for dimension in [Dimension::CageAngleLow, Dimension::CageAngleHigh, Dimension::GuideGap] {
            let _ = ask.number(After, dimension);
        }
    }
}

/// The pairs in which the chain hangs for the values as read, and by how much.
fn hanging(cage: &Cage, fitted: Pitches) -> Vec<(String, f64)> {
    let drivetrain = cage.drivetrain();
    // On one ring a larger cog takes more chain: behind the first that is taut all are, unless the pulley swings.
    let on_pivot = cage.derailleur.guide_offset.to_mm() == 0.0;
    let mut by_teeth: Vec<usize> = (0..cage.cogs.len()).collect();
    by_teeth.sort_by_key(|idx| cage.cogs[*idx]);
    let mut found = Vec::new();
    for ring_idx in 0..cage.rings.len() {
        for cog_idx in &by_teeth {
            let Some(gear) = drivetrain.gear(ring_idx, *cog_idx) else { continue };
            let Ok(window) = pair_window(&cage.derailleur, &cage.frame, gear) else { continue };
            let over_mm = window.over(fitted).to_mm();
            if over_mm > SLACK {
                found.push((format!("{}x{}", gear.ring, gear.cog), over_mm));
            } else if on_pivot {
                break;
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, deg, mm, teeth, word};

    fn bench(cage: &'static str, rated: u32) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(410.0, 3.0))
            .found(Dimension::HangerDrop, mm(28.0, 1.0))
            .found(Dimension::Rings, teeth(&[50, 34]))
            .found(Dimension::RatedCog, count(rated))
            .found(Dimension::CageSize, word(cage))
            .chosen(Dimension::Cogs, teeth(&[11, 12, 13, 14, 15, 17, 19, 21, 24, 27, 30]))
            .chosen(Dimension::CogPitch, mm(3.74, 0.05))
    }

    #[test]
    fn a_medium_cage_holds_the_chain_in_every_pair() {
        let finding = bench("medium", 34).found(Dimension::ChainCount, count(108)).gives(Verdict::Works);
        assert!(finding.number("lost").unwrap().value == 0.0);
    }

    #[test]
    fn a_chain_that_was_cut_too_short_locks() {
        let finding = bench("medium", 34).found(Dimension::ChainCount, count(104)).gives(Verdict::Fails);
        assert!(finding.margin.unwrap().span.most() < 0.0);
    }

    /// A wide cage with large pulleys far apart takes more chain than two pitches round 50 x 50.
    #[test]
    fn a_new_chain_that_the_rule_of_the_shop_cuts_too_short_is_cut_longer() {
        let finding = bench("long", 50)
            .found(Dimension::Chainstay, mm(410.0, 0.0))
            .found(Dimension::HangerDrop, mm(28.0, 0.0))
            .found(Dimension::HangerBehind, mm(9.0, 0.0))
            .found(Dimension::BracketDrop, mm(-60.0, 0.0))
            .found(Dimension::PulleysApart, mm(115.0, 0.5))
            .found(Dimension::GuideTeeth, count(16))
            .found(Dimension::TensionTeeth, count(18))
            .chosen(Dimension::Cogs, teeth(&[11, 13, 15, 18, 21, 24, 28, 33, 39, 45, 50]))
            .chosen(Dimension::ChainCount, count(126))
            .gives(Verdict::Fails);
        assert!(matches!(finding.cures[0].acts[0], Act::Work(_)));
    }

    #[test]
    fn a_chain_much_too_long_hangs_in_more_pairs_than_can_be_avoided() {
        let finding = bench("short", 30).found(Dimension::ChainCount, count(112)).gives(Verdict::Marginal);
        assert!(finding.number("lost").unwrap().value > 3.0);
        assert!(finding.lines[0].contains("34x11"), "{:?}", finding.lines);
    }

    #[test]
    fn a_chain_at_the_edge_asks_for_the_cage_itself() {
        let finding = bench("medium", 34).found(Dimension::ChainCount, count(106)).gives(Verdict::Measure);
        for dimension in [Dimension::PulleysApart, Dimension::CageAngleLow, Dimension::GuideGap] {
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
        }
    }

    #[test]
    fn without_the_size_of_the_cage_or_the_count_nothing_can_be_told() {
        let sound = bench("medium", 34).found(Dimension::ChainCount, count(108));
        for dimension in
            [Dimension::CageSize, Dimension::ChainCount, Dimension::HangerDrop, Dimension::RatedCog]
        {
            let finding = sound.clone().without(dimension).gives(Verdict::Measure);
            assert!(finding.missing.iter().any(|missing| missing.dimension == dimension), "{dimension:?}");
        }
    }

    /// A chain at the edge on a bike whose cage was read: the count, the cogs and the readings as found.
    fn read(low_deg: f64, high_deg: f64) -> Bench {
        bench("medium", 34)
            .found(Dimension::ChainCount, count(106))
            .found(Dimension::Cogs, teeth(&[11, 12, 13, 14, 15, 17, 19, 21, 24, 28]))
            .found(Dimension::CogPitch, mm(3.95, 0.05))
            .found(Dimension::CageAngleLow, deg(low_deg, 1.0))
            .found(Dimension::CageAngleHigh, deg(high_deg, 1.0))
            .found(Dimension::GuideGap, mm(16.0, 0.5))
    }

    #[test]
    fn readings_that_cannot_be_of_this_cage_are_taken_again() {
        let finding = read(140.0, 20.0).gives(Verdict::Measure);
        assert!(finding.lines.iter().any(|line| line.contains("contradict")), "{:?}", finding.lines);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::CageAngleLow));
    }

    #[test]
    fn coarse_readings_are_not_used() {
        let finding =
            read(140.0, 20.0).found(Dimension::CageAngleLow, deg(140.0, 3.0)).gives(Verdict::Measure);
        assert!(finding.lines.is_empty(), "{:?}", finding.lines);
    }
}
