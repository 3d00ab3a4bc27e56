//! Does the cage take up all the chain that the gears set free?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};
use mechanics::chain::{SLACK_PER_TOOTH, capacity_needed};
use quantity::Span;

/// Over by so many teeth the smallest pair is given up; beyond it more gears are lost.
const GIVEN_UP_TEETH: f64 = 3.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "capacity",
    title: "does the cage take up the chain in every gear?",
    coupling: Coupling::Reach,
    hazard: Hazard::Damage,
    touches: &[Slot::Cassette, Slot::Crankset, Slot::Chainrings, Slot::RearDerailleur],
    cured_by: &[Slot::RearDerailleur, Slot::Cassette, Slot::Crankset],
    heals: None,
    silent_without: &[],
    sentence: "the difference of the rings plus the difference of the cogs may not pass the capacity of the derailleur",
    long: "The chain is as long as the largest pair needs; in the smallest pair the cage must take up the rest. A \
           tooth beyond the capacity lets 6.35 mm of chain hang. Up to three teeth over, the smallest pairs are given \
           up and said so. A chain cut shorter to cure the slack tears the derailleur off in the largest pair, so \
           that is never a cure.",
    source: "definition of capacity: glossaries of the trade; three teeth: common practice",
    caution: Some(Warning::Technician(
        "never shorten a chain to cure slack: in the largest ring with the largest cog a short chain locks and tears the derailleur off",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let rings = ask.teeth(After, Dimension::Rings);
    let cogs = ask.teeth(After, Dimension::Cogs);
    let capacity = ask.count(After, Dimension::Capacity);
    let (Some(rings), Some(cogs), Some(capacity)) = (rings, cogs, capacity) else {
        return Checked::CannotTell;
    };
    let needed = f64::from(capacity_needed(&rings, &cogs));
    let margin = Span::exact(f64::from(capacity) - needed);
    let hangs_mm = (-margin.middle()).max(0.0) * SLACK_PER_TOOTH.to_mm();
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works), (-GIVEN_UP_TEETH, Verdict::Marginal)]);
    let judged = Judgement::new(verdict)
        .margin(margin, "teeth", 0)
        .in_shop_units(margin.middle() * SLACK_PER_TOOTH.to_mm(), "mm of chain")
        .number(Number::new("needed", Span::exact(needed), "teeth", 0))
        .number(Number::new("capacity", Span::exact(f64::from(capacity)), "teeth", 0))
        .number(Number::new("hangs", Span::exact(hangs_mm), "mm", 0))
        .says("the gears ask for {needed} and the derailleur takes up {capacity}");
    match verdict {
        Verdict::Works if margin.middle() == 0.0 => {
            judged.says("that is used up exactly, which is allowed").done()
        }
        Verdict::Marginal => {
            judged.says("in the smallest pair {hangs} of chain hang: that pair is given up").done()
        }
        Verdict::Fails => {
            judged.says("in the smallest pair {hangs} of chain hang, and more pairs are lost").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, teeth};

    fn bench(capacity: u32) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Rings, teeth(&[50, 34]))
            .chosen(Dimension::Cogs, teeth(&[11, 30]))
            .found(Dimension::Capacity, count(capacity))
    }

    #[test]
    fn a_capacity_used_up_exactly_works() {
        bench(35).gives(Verdict::Works);
    }

    #[test]
    fn up_to_three_teeth_over_is_marginal_and_more_fails() {
        bench(32).gives(Verdict::Marginal);
        bench(31).gives(Verdict::Fails);
    }

    #[test]
    fn an_unread_leaflet_cannot_be_told() {
        bench(35).without(Dimension::Capacity).gives(Verdict::Measure);
    }
}
