//! Does the chain reach at the end of the travel of a rear suspension?

use crate::ask::Ask;
use crate::build::When::After;
use crate::cage::{Body, Cage, count_after};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};
use mechanics::cage::{Frame, pair_window};
use quantity::{Length, Pitches, Span, Stand};

/// The rule.
pub static RULE: Rule = Rule {
    id: "chain-over-travel",
    title: "does the chain reach at full travel of the rear suspension?",
    coupling: Coupling::Reach,
    hazard: Hazard::Rider,
    touches: &[Slot::Cassette, Slot::Crankset, Slot::Chainrings, Slot::RearDerailleur],
    cured_by: &[Slot::Chain, Slot::Cassette],
    heals: None,
    silent_without: &[Dimension::ChainstayGrowth],
    sentence: "on a rear suspension the chain must reach in the largest pair where the chainstay is longest",
    long: "A chainstay that grows as the suspension works pulls the cage forward: a millimetre takes two of chain. The \
           chain is laid round the largest pair at rest, so what the travel adds has to be left in the cage. Where it \
           is not, the chain locks under the first hard landing in the lowest gear. Judged on the whole interval of \
           frame, travel and cage.",
    source: "geometry, checked against a general numerical library; the typical bodies: common practice",
    caution: Some(Warning::Technician(
        "with the spring out, move the wheel through its travel in the largest pair before the chain is cut",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(growth) = ask.known_number(After, Dimension::ChainstayGrowth) else {
        return Checked::NotTouched;
    };
    let Some(cage) = Cage::of(ask, After) else {
        if !ask.build.changes(Slot::Chain) {
            let _ = ask.count(After, Dimension::ChainCount);
        }
        return Checked::CannotTell;
    };
    let (Some(count), Some(largest)) = (count_after(ask, &cage), cage.largest_pair()) else {
        return Checked::CannotTell;
    };
    let fitted = Pitches::new(f64::from(count));
    // Each millimetre of chainstay pulls the same way: the ends of the growth are the ends of what is left.
    let left = |cage: &Cage, growth_mm: f64| {
        let given = cage.each(|derailleur, frame| {
            let longer = Frame { chainstay: frame.chainstay + Length::mm(growth_mm), ..frame };
            pair_window(derailleur, &longer, largest).map(|window| window.give_left(fitted).to_f64())
        });
        given.spread(|given| given.as_ref().ok().copied()).filter(|given| !given.open)
    };
    let over = |cage: &Cage| {
        let (one, other) = (left(cage, growth.least())?, left(cage, growth.most())?);
        Some((one.span.join(other.span), f64::midpoint(one.value, other.value)))
    };
    let mut given = over(&cage);
    if given.is_none_or(|(span, _)| span.against(0.0) == Stand::Across) {
        let read = cage.read(ask, After);
        if read.body == Body::Read {
            given = over(&read);
        }
    }
    let Some((span, value)) = given else {
        ask.again();
        return Judgement::new(Verdict::Measure)
            .says("within the tolerances there may be no way for the chain round the largest cog")
            .done();
    };
    let verdict = ask.bands(span, &[(0.0, Verdict::Works)]);
    let judged = Judgement::new(verdict)
        .margin(span, "pitches", 1)
        .in_shop_units(span.middle() * Pitches::MM, "mm of chain")
        .number(Number::new("ring", Span::exact(largest.ring.to_f64()), "", 0))
        .number(Number::new("cog", Span::exact(largest.cog.to_f64()), "", 0))
        .number(Number::new("count", Span::exact(f64::from(count)), "pitches", 0))
        .number(Number::new("growth", growth, "mm", 0))
        .number(Number::new("left", span * Pitches::MM, "mm", 0).at(value * Pitches::MM));
    match verdict {
        Verdict::Works => judged
            .says("the chainstay grows by {growth}; with {count} the cage can then still give {left} in {ring} x {cog}")
            .done(),
        Verdict::Fails => judged
            .says("the chainstay grows by {growth}; with {count} the chain then does not reach in {ring} x {cog}: it locks and tears the derailleur off")
            .cure(Cure::by(
                Act::Work("lay the chain round the largest pair at full travel, spring out, and cut it there"),
                Verdict::Works,
            ))
            .done(),
        _ => {
            for dimension in [Dimension::PulleysApart, Dimension::GuideTeeth, Dimension::TensionTeeth] {
                let _ = ask.number(After, dimension);
            }
            judged
                .says("the chainstay grows by {growth}; with {count} it cannot be told whether the chain then reaches in {ring} x {cog}")
                .done()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth, word};

    fn bench(growth_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(435.0, 1.0))
            .found(Dimension::ChainstayGrowth, mm(growth_mm, 2.0))
            .found(Dimension::HangerDrop, mm(28.0, 1.0))
            .found(Dimension::Rings, teeth(&[36, 24]))
            .found(Dimension::RatedCog, count(36))
            .found(Dimension::CageSize, word("long"))
            .found(Dimension::ChainCount, count(108))
            .chosen(Dimension::Cogs, teeth(&[11, 13, 15, 17, 19, 21, 24, 28, 32, 36]))
            .chosen(Dimension::CogPitch, mm(3.95, 0.05))
    }

    #[test]
    fn a_chainstay_that_hardly_grows_leaves_chain_to_give() {
        let finding = bench(3.0).gives(Verdict::Works);
        assert!(finding.number("left").unwrap().span.least() > 0.0);
    }

    #[test]
    fn a_chainstay_that_grows_much_locks_at_full_travel() {
        let finding = bench(30.0).gives(Verdict::Fails);
        assert!(!finding.cures.is_empty());
    }

    #[test]
    fn near_the_edge_the_cage_is_asked_for_and_without_the_chain_nothing_can_be_told() {
        let finding = bench(12.0).gives(Verdict::Measure);
        assert!(finding.missing.iter().any(|missing| missing.dimension == Dimension::PulleysApart));
        bench(3.0).without(Dimension::ChainCount).gives(Verdict::Measure);
    }

    #[test]
    fn a_bike_without_travel_is_not_asked() {
        assert!(bench(3.0).without(Dimension::ChainstayGrowth).finding().is_none());
    }
}
