//! May the old chain run on the new cogs or rings?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::chain::elongation_percent;
use quantity::Length;

/// The rule.
pub static RULE: Rule = Rule {
    id: "chain-wear",
    title: "may the chain run on the new cogs or rings?",
    coupling: Coupling::Cogs,
    hazard: Hazard::Damage,
    touches: &[Slot::Cassette, Slot::Crankset, Slot::Chainrings],
    cured_by: &[Slot::Chain],
    heals: Some(Slot::Chain),
    silent_without: &[],
    sentence: "a chain that stays on new cogs or rings is longer by 0.5 % at most with 11 cogs and more, 0.75 % with 9 and 10, 1.0 % with fewer",
    long: "A worn chain has a longer pitch and wears new teeth to its own: a new cassette under an old chain is old \
           within weeks. Length over twelve pitches, stretched, against 152.4 mm. A chain that is exchanged with the \
           teeth is not looked at.",
    source: "0.5, 0.75 and 1.0 %: repair manuals and common practice; 152.4 mm: twelve pitches of ISO 9633",
    caution: None,
    check,
};

/// Percent of length that a chain may have gained.
fn allowed_percent(cogs: usize) -> f64 {
    match cogs {
        11.. => 0.5,
        9 | 10 => 0.75,
        _ => 1.0,
    }
}

fn check(ask: &mut Ask<'_>) -> Checked {
    // Said and not passed over: the rule must be heard where the new chain is its own remedy.
    if ask.build.changes(Slot::Chain) {
        return Judgement::new(Verdict::Works).says("the chain is new").done();
    }
    let twelve = ask.number(After, Dimension::TwelvePitches);
    let cogs = ask.teeth(After, Dimension::Cogs);
    let (Some(twelve), Some(cogs)) = (twelve, cogs) else { return Checked::CannotTell };
    let worn = twelve.map_monotone(|mm| elongation_percent(Length::mm(mm)));
    let allowed = allowed_percent(cogs.len());
    let room = -worn + allowed;
    let verdict = ask.bands(room, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(room, "%", 2)
        .number(Number::new("worn", worn, "%", 2))
        .number(Number::new("allowed", quantity::Span::exact(allowed), "%", 2))
        .says("the chain has grown by {worn}; {allowed} are allowed with so many cogs");
    match verdict {
        Verdict::Fails => judged.says("it would wear the new teeth to its own pitch").done(),
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    const ELEVEN: &[i64] = &[11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28];

    fn bench(twelve_mm: f64, cogs: &[i64]) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::TwelvePitches, mm(twelve_mm, 0.05))
            .chosen(Dimension::Cogs, teeth(cogs))
    }

    #[test]
    fn a_chain_that_has_hardly_grown_stays() {
        bench(152.7, ELEVEN).gives(Verdict::Works);
    }

    #[test]
    fn the_same_chain_is_worn_for_eleven_cogs_and_not_for_eight() {
        bench(153.4, ELEVEN).gives(Verdict::Fails);
        bench(153.4, &ELEVEN[..9]).gives(Verdict::Works);
        bench(153.7, &ELEVEN[..9]).gives(Verdict::Fails);
        bench(153.7, &ELEVEN[..8]).gives(Verdict::Works);
    }

    /// Twelve inches and a sixteenth over 24 pitches is the mark of the workshop rule: 0.52 %, arithmetic.
    #[test]
    fn a_sixteenth_of_an_inch_a_foot_is_worn_for_eleven_cogs() {
        let finding = bench(12.0625 * 25.4 / 2.0, ELEVEN).found(Dimension::TwelvePitches, mm(153.19375, 0.0));
        let finding = finding.gives(Verdict::Fails);
        assert!((finding.number("worn").unwrap().value - 0.52).abs() < 0.005);
    }

    #[test]
    fn an_unmeasured_chain_cannot_be_told() {
        bench(152.7, ELEVEN).without(Dimension::TwelvePitches).gives(Verdict::Measure);
        bench(153.15, ELEVEN).gives(Verdict::Measure);
    }

    #[test]
    fn a_new_chain_is_not_worn() {
        bench(153.9, ELEVEN).chosen(Dimension::ChainSpeeds, crate::bench::count(11)).gives(Verdict::Works);
    }
}
