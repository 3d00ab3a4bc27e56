//! Does the chain run free between the cogs?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::cassette::chain_clearance;
use quantity::{Length, Span};

/// Room on each side that a chain of the right width has at least.
const ROOM_MM: f64 = 0.1;
/// Down to this a chain runs, with noise.
const NOISE_MM: f64 = -0.05;

/// The rule.
pub static RULE: Rule = Rule {
    id: "chain-width",
    title: "does the chain run free between the cogs?",
    coupling: Coupling::Indexing,
    hazard: Hazard::Damage,
    touches: &[Slot::Chain, Slot::Cassette],
    cured_by: &[Slot::Chain, Slot::Cassette],
    heals: Some(Slot::Chain),
    silent_without: &[],
    sentence: "cog pitch less half the chain and half a cog must leave 0.1 mm to the next cog",
    long: "A chain centred on a cog has the cog pitch, less half its own width and half a cog, to the next one. \
           Chains made for one more cog are narrower and run; chains made for fewer rub and climb.",
    source: "widths: chain-dimension table of the trade, `standards::chain_width`; 0.1 mm: what matched sets have",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cogs = ask.teeth(After, Dimension::Cogs);
    if cogs.as_ref().is_some_and(|cogs| cogs.len() < 2) {
        return Checked::NotTouched;
    }
    let width = ask.number(After, Dimension::ChainWidth);
    let thickness = ask.number(After, Dimension::CogThickness);
    let pitches = ask.cog_pitches(After, cogs.as_ref().map_or(2, Vec::len));
    let (Some(_), Some(width), Some(thickness), Some(pitches)) = (cogs, width, thickness, pitches) else {
        return Checked::CannotTell;
    };
    let Some(pitch) = pitches.into_iter().min_by(|a, b| a.middle().total_cmp(&b.middle())) else {
        return Checked::NotTouched;
    };
    let room = Span::hull(&[pitch, width, thickness], |at| {
        chain_clearance(Length::mm(at[0]), Length::mm(at[1]), Length::mm(at[2])).to_mm()
    });
    let verdict =
        ask.bands(room - ROOM_MM, &[(0.0, Verdict::Works), (NOISE_MM - ROOM_MM, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(room - ROOM_MM, "mm", 2)
        .number(Number::new("room", room, "mm", 2))
        .says("on a cog the chain has {room} to the next one");
    match verdict {
        Verdict::Marginal => judged.says("it runs, but any bend of the hanger is heard").done(),
        Verdict::Fails => judged.says("the chain is too wide: it rubs and climbs").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    fn bench(width_mm: f64, pitch_mm: f64, thickness_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::Cogs, teeth(&[11, 12, 13]))
            .chosen(Dimension::CogPitch, mm(pitch_mm, 0.0))
            .chosen(Dimension::CogThickness, mm(thickness_mm, 0.0))
            .found(Dimension::ChainWidth, mm(width_mm, 0.0))
    }

    #[test]
    fn matched_and_narrower_chains_run() {
        bench(5.6, 3.74, 1.6).gives(Verdict::Works);
        bench(5.6, 3.95, 1.6).gives(Verdict::Works);
    }

    #[test]
    fn a_ten_speed_chain_on_eleven_cogs_is_marginal_and_a_nine_speed_one_fails() {
        bench(5.88, 3.74, 1.6).gives(Verdict::Marginal);
        bench(6.6, 3.74, 1.6).gives(Verdict::Fails);
    }

    #[test]
    fn an_unmeasured_chain_cannot_be_told() {
        bench(5.6, 3.74, 1.6).without(Dimension::ChainWidth).gives(Verdict::Measure);
    }
}
