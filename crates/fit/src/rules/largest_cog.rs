//! Does the rear derailleur clear the largest cog on this hanger?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};
use mechanics::derailleur::{REFERENCE_HANGER_DROP, largest_cog_allowed};
use quantity::{Length, Span, Teeth};

/// Beyond this many teeth over what the hanger allows nobody should try.
const TRIAL_TEETH: f64 = 2.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "largest-cog",
    title: "does the rear derailleur clear the largest cog?",
    coupling: Coupling::Reach,
    hazard: Hazard::Damage,
    touches: &[Slot::Cassette, Slot::RearDerailleur],
    cured_by: &[Slot::Cassette, Slot::RearDerailleur],
    heals: None,
    silent_without: &[],
    sentence: "the largest cog may be what the leaflet allows, plus a tooth for every 2.02 mm that the hanger is longer than 28 mm",
    long: "The leaflet of a rear derailleur names its largest cog for a usual hanger. A tooth is 12.7 mm / 2π = 2.02 mm \
           of radius, so a longer hanger allows more and a shorter one less. Up to two teeth beyond can be tried on the \
           bike with the B-screw; more is not tried.",
    source: "2.02 mm per tooth: geometry of the half-inch pitch; reference drop 28 mm and the trial of two teeth: common practice",
    caution: Some(Warning::Customer(
        "shift to the largest cog before the hill, with little pressure on the pedals, never under full load",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let cogs = ask.teeth(After, Dimension::Cogs);
    let rated = ask.count(After, Dimension::RatedCog);
    let drop = ask.number(After, Dimension::HangerDrop);
    let (Some(cogs), Some(rated), Some(drop)) = (cogs, rated, drop) else { return Checked::CannotTell };
    let Some(largest) = cogs.iter().max() else { return Checked::CannotTell };
    let Ok(rated) = Teeth::new(i64::from(rated)) else { return Checked::CannotTell };
    let allowed =
        drop.map_monotone(|drop_mm| largest_cog_allowed(rated, Length::mm(drop_mm), REFERENCE_HANGER_DROP));
    let margin = allowed - Span::exact(largest.to_f64());
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works), (-TRIAL_TEETH, Verdict::Marginal)]);
    let lack_mm = -margin.middle() * mechanics::chain::radius_per_tooth().to_mm();
    let judged = Judgement::new(verdict)
        .margin(margin, "teeth", 1)
        .number(Number::new("allowed", allowed, "teeth", 1))
        .number(Number::new("largest", Span::exact(largest.to_f64()), "teeth", 0))
        .number(Number::new("radius", Span::exact(lack_mm.max(0.0)), "mm", 1))
        .says("on this hanger the derailleur clears {allowed}; the largest cog has {largest}");
    match verdict {
        Verdict::Marginal => {
            judged.says("the B-screw may reach it: try it on this bike before the chain is cut").done()
        }
        Verdict::Fails => {
            judged.says("the cog stands {radius} of radius too far out: no B-screw reaches that").done()
        }
        _ => judged.done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth};

    fn bench(largest: i64, rated: u32, drop_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::Cogs, teeth(&[11, largest]))
            .found(Dimension::RatedCog, count(rated))
            .found(Dimension::HangerDrop, mm(drop_mm, 1.0))
    }

    #[test]
    fn a_cog_inside_the_rating_works() {
        bench(30, 30, 29.5).gives(Verdict::Works);
    }

    #[test]
    fn a_short_hanger_makes_the_rated_cog_marginal() {
        bench(34, 34, 27.0).gives(Verdict::Marginal);
    }

    #[test]
    fn six_teeth_too_many_fail() {
        let finding = bench(34, 28, 28.0).gives(Verdict::Fails);
        assert!((finding.number("radius").unwrap().span.middle() - 12.1).abs() < 0.05);
    }

    #[test]
    fn without_the_hanger_nothing_can_be_told() {
        bench(34, 34, 27.0).without(Dimension::HangerDrop).gives(Verdict::Measure);
    }
}
