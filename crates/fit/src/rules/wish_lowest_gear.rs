//! Does the refit answer the wish for easier hills?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::refit::LowestGear;
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Slot};
use mechanics::gears::ratio;
use quantity::{Span, Teeth};

/// Below this share a rider feels little: about one step of a cassette.
const FELT_PERCENT: f64 = 10.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "wish-lowest-gear",
    title: "does the lowest gear answer the wish?",
    coupling: Coupling::Wish,
    hazard: Hazard::Comfort,
    touches: &[],
    cured_by: &[Slot::Crankset, Slot::Cassette],
    heals: None,
    silent_without: &[],
    sentence: "gears are compared in percent of development; less than ten percent is hardly felt",
    long: "Ring and cog numbers mislead; the way of the bike in one turn of the cranks does not. A change of a few \
           percent in the lowest gear is not felt on a climb, and saying so before the sale keeps the customer.",
    source: "development: definition; ten percent: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(wish) = ask.build.wish.lowest_gear else { return Checked::NotTouched };
    let rings = (ask.teeth(Before, Dimension::Rings), ask.teeth(After, Dimension::Rings));
    let cogs = (ask.teeth(Before, Dimension::Cogs), ask.teeth(After, Dimension::Cogs));
    // With the wheel kept its size cancels.
    let wheels = if ask.build.changes(Slot::RearWheel) {
        ask.number(Before, Dimension::Rollout).zip(ask.number(After, Dimension::Rollout))
    } else {
        Some((Span::exact(1.0), Span::exact(1.0)))
    };
    let (Some(old_rings), Some(new_rings)) = rings else { return Checked::CannotTell };
    let (Some(old_cogs), Some(new_cogs)) = cogs else { return Checked::CannotTell };
    let Some((old_wheel, new_wheel)) = wheels else { return Checked::CannotTell };
    let (Some(old), Some(new)) = (lowest(&old_rings, &old_cogs), lowest(&new_rings, &new_cogs)) else {
        return Checked::CannotTell;
    };
    if old_wheel.least() <= 0.0 || new_wheel.least() <= 0.0 {
        ask.again();
        return Judgement::new(Verdict::Measure).says("the rollout is too coarse to work with").done();
    }
    let easier = Span::hull(&[old_wheel, new_wheel], |at| {
        mechanics::gears::easier_percent(ratio(old.0, old.1) * at[0], ratio(new.0, new.1) * at[1])
    });
    let wanted = match wish {
        LowestGear::Keep => 0.0,
        LowestGear::Easier => FELT_PERCENT,
        LowestGear::EasierBy(percent) => percent.to_percent(),
    };
    let verdict = match wish {
        LowestGear::Keep => ask.bands(easier, &[(0.0, Verdict::Works)]),
        LowestGear::Easier => {
            ask.bands(easier - wanted, &[(0.0, Verdict::Works), (-FELT_PERCENT, Verdict::Marginal)])
        }
        LowestGear::EasierBy(_) => {
            ask.bands(easier - wanted, &[(0.0, Verdict::Works), (-wanted, Verdict::Marginal)])
        }
    };
    let judged = Judgement::new(verdict)
        .margin(easier - wanted, "%", 1)
        .number(Number::new("easier", easier, "%", 1))
        .number(Number::new("harder", -easier, "%", 1))
        .number(Number::new("wanted", Span::exact(wanted), "%", 0))
        .number(Number::new("old_ring", Span::exact(old.0.to_f64()), "", 0))
        .number(Number::new("old_cog", Span::exact(old.1.to_f64()), "", 0))
        .number(Number::new("new_ring", Span::exact(new.0.to_f64()), "", 0))
        .number(Number::new("new_cog", Span::exact(new.1.to_f64()), "", 0));
    let judged = if easier.middle() < -quantity::SLACK {
        judged.says("lowest gear {old_ring} x {old_cog} becomes {new_ring} x {new_cog}: {harder} harder")
    } else {
        judged.says("lowest gear {old_ring} x {old_cog} becomes {new_ring} x {new_cog}: {easier} easier")
    };
    match verdict {
        Verdict::Marginal => {
            judged.says("the gear is kept, no more: that little is not felt on a climb").done()
        }
        Verdict::Fails => judged.says("that is not what was asked for").done(),
        _ => judged.done(),
    }
}

fn lowest(rings: &[Teeth], cogs: &[Teeth]) -> Option<(Teeth, Teeth)> {
    Some((*rings.iter().min()?, *cogs.iter().max()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, teeth};
    use crate::refit::Wish;
    use quantity::Percent;

    fn bench(wish: LowestGear, new_ring: i64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Rings, teeth(&[52, 42, 30]))
            .found(Dimension::Cogs, teeth(&[12, 27]))
            .chosen(Dimension::Rings, teeth(&[50, new_ring]))
            .chosen(Dimension::Cogs, teeth(&[11, 32]))
            .wish(Wish { lowest_gear: Some(wish), ..Wish::default() })
    }

    #[test]
    fn a_gear_that_is_felt_works() {
        let finding = bench(LowestGear::Easier, 30).gives(Verdict::Works);
        assert!((finding.number("easier").unwrap().span.middle() - 15.6).abs() < 0.05);
    }

    #[test]
    fn a_gear_that_is_only_kept_is_marginal() {
        let finding = bench(LowestGear::Easier, 34).gives(Verdict::Marginal);
        assert!((finding.number("easier").unwrap().span.middle() - 4.4).abs() < 0.05);
        bench(LowestGear::Keep, 34).gives(Verdict::Works);
        bench(LowestGear::EasierBy(Percent::new(4.0)), 34).gives(Verdict::Works);
    }

    #[test]
    fn a_harder_gear_fails_and_uncounted_rings_cannot_be_told() {
        bench(LowestGear::Easier, 38).gives(Verdict::Fails);
        bench(LowestGear::Easier, 34).without(Dimension::Rings).gives(Verdict::Measure);
    }
}
