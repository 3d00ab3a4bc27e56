//! Has the shifter a position for every cog?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use quantity::Span;

/// The rule.
pub static RULE: Rule = Rule {
    id: "shift-positions",
    title: "has the shifter a position for every cog?",
    coupling: Coupling::Indexing,
    hazard: Hazard::Function,
    touches: &[Slot::Levers, Slot::Shifters, Slot::Cassette],
    cured_by: &[Slot::Levers, Slot::Shifters, Slot::Cassette],
    heals: None,
    silent_without: &[],
    sentence: "the shifter needs as many positions as there are cogs; a spare one is blocked by the limit screw",
    long: "With fewer positions than cogs a gear that was paid for cannot be reached. With more, the limit screw of \
           the derailleur stops the spare click.",
    source: "common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let (positions, cogs) = (ask.count(After, Dimension::ShiftPositions), ask.teeth(After, Dimension::Cogs));
    let (Some(positions), Some(cogs)) = (positions, cogs) else { return Checked::CannotTell };
    let spare = Span::exact(f64::from(positions) - cogs.len() as f64);
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(spare, "positions", 0)
            .number(Number::new("positions", Span::exact(f64::from(positions)), "", 0))
            .number(Number::new("cogs", Span::exact(cogs.len() as f64), "", 0))
    };
    match spare.middle() {
        0.0 => judged(Verdict::Works).says("{positions} positions for {cogs} cogs").done(),
        spare if spare > 0.0 => judged(Verdict::Works)
            .says("{positions} positions for {cogs} cogs: the limit screw blocks the spare")
            .done(),
        _ => judged(Verdict::Fails).says("{positions} positions cannot reach {cogs} cogs").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, teeth};

    fn bench(positions: u32) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::ShiftPositions, count(positions))
            .found(Dimension::Cogs, teeth(&[11, 12, 13, 14, 15, 17, 19, 21, 23, 25]))
    }

    #[test]
    fn as_many_positions_as_cogs_work() {
        bench(10).gives(Verdict::Works);
        bench(11).gives(Verdict::Works);
    }

    #[test]
    fn fewer_do_not() {
        bench(9).gives(Verdict::Fails);
    }

    #[test]
    fn uncounted_cogs_cannot_be_told() {
        bench(10).without(Dimension::Cogs).gives(Verdict::Measure);
    }
}
