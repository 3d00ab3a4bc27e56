//! Does the chain rub on the larger ring?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::pairs::{Avoid, pairs};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use quantity::{Span, digits};

/// Losing more gears than this to rub is no longer a matter of avoiding them.
const LOST_PAIRS: usize = 3;

/// The rule.
pub static RULE: Rule = Rule {
    id: "chain-rub",
    title: "does the chain rub on the larger ring?",
    coupling: Coupling::Front,
    hazard: Hazard::Function,
    touches: &[Slot::Crankset, Slot::Chainrings, Slot::Cassette, Slot::Chain],
    cured_by: &[Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "on the smaller ring the chain runs outward to the small cogs and must pass beside the larger ring",
    long: "The gap follows from the chainline, the gap between the rings, the jump between them, the width of the \
           chain and the length of the stay. The model is good to about half a millimetre, so pairs at the limit are \
           shown with their number. One or two lost pairs are named as gears to avoid; more than three are a fault of \
           the set. Short stays, wide hubs and large jumps cost gears before the bike is built. The \
           pairs are judged by the values as read: a gear to avoid is a thing to say, not a thing to refuse.",
    source: "geometry, common practice for the limits; no published table",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    if rings.as_ref().is_some_and(|rings| rings.len() < 2) {
        return Checked::NotTouched;
    }
    let cogs = ask.teeth(After, Dimension::Cogs);
    let pitches = ask.cog_pitches(After, cogs.as_ref().map_or(2, Vec::len));
    let numbers = [
        Dimension::Chainstay,
        Dimension::FrontChainline,
        Dimension::RingGap,
        Dimension::RingThickness,
        Dimension::ChainWidth,
        Dimension::HubWidth,
        Dimension::SmallCogGap,
        Dimension::CogThickness,
    ]
    .map(|dimension| ask.number(After, dimension).is_some());
    if rings.is_none() || cogs.is_none() || pitches.is_none() || numbers.contains(&false) {
        return Checked::CannotTell;
    }
    let all = pairs(ask.build, After);
    let gaps: Vec<(String, f64)> = all
        .iter()
        .filter_map(|pair| Some((format!("{}x{}", pair.ring, pair.cog), pair.rub_gap_mm?)))
        .collect();
    let Some(least) = gaps.iter().map(|(_, gap)| *gap).min_by(f64::total_cmp) else {
        return Checked::CannotTell;
    };
    let lost = all.iter().filter(|pair| pair.avoid().contains(&Avoid::Rubs)).count();
    let verdict = if lost > LOST_PAIRS { Verdict::Marginal } else { Verdict::Works };
    let mut judged = Judgement::new(verdict)
        .margin(Span::exact(least), "mm", 1)
        .number(Number::new("lost", Span::exact(lost as f64), "", 0))
        .number(Number::difference("least", Span::exact(least), "mm", 1));
    judged = match lost {
        0 => judged.says("in the tightest pair the chain passes the larger ring with {least}"),
        _ => judged.says("pairs that rub and are avoided: {lost}; the tightest has {least}"),
    };
    // The table ends at the first pair that is clear by a chain plate and more.
    let tight: Vec<String> = gaps
        .iter()
        .filter(|(_, gap)| *gap < 2.0)
        .map(|(pair, gap)| format!("{pair} {}", digits::signed(*gap, 1)))
        .collect();
    if !tight.is_empty() {
        judged = judged.line(format!("gap to the larger ring, mm: {}", tight.join(", ")));
    }
    judged.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    fn bench(chainline_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(415.0, 3.0))
            .chosen(Dimension::Rings, teeth(&[50, 34]))
            .chosen(Dimension::FrontChainline, mm(chainline_mm, 0.0))
            .chosen(Dimension::RingGap, mm(7.3, 0.0))
            .chosen(Dimension::RingThickness, mm(2.0, 0.0))
            .chosen(Dimension::ChainWidth, mm(5.6, 0.0))
            .chosen(Dimension::Cogs, teeth(&[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]))
            .chosen(Dimension::CogPitch, mm(3.74, 0.0))
            .chosen(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::HubWidth, mm(135.0, 0.5))
            .found(Dimension::SmallCogGap, mm(3.2, 0.3))
    }

    #[test]
    fn two_rubbing_pairs_are_named_and_avoided() {
        let finding = bench(43.5).gives(Verdict::Works);
        assert_eq!(finding.number("lost").unwrap().span.middle(), 2.0);
        assert!(finding.lines[0].contains("34x11 −1.0, 34x12 −0.3, 34x13 +0.4"), "{:?}", finding.lines);
    }

    #[test]
    fn a_chainline_far_inside_loses_too_many_pairs() {
        bench(32.0).gives(Verdict::Marginal);
    }

    #[test]
    fn without_the_chainline_nothing_can_be_told() {
        bench(43.5).without(Dimension::FrontChainline).gives(Verdict::Measure);
    }
}
