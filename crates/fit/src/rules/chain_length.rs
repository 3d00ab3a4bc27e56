//! Is the chain long enough for the largest ring with the largest cog?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Slot};
use mechanics::chain::{SPARE, need};
use quantity::{Length, Pitches, Span, Stand};

/// The rule.
pub static RULE: Rule = Rule {
    id: "chain-length",
    title: "is the chain long enough, and how many pitches is it cut to?",
    coupling: Coupling::Reach,
    hazard: Hazard::Rider,
    touches: &[Slot::Chain, Slot::Cassette, Slot::Crankset, Slot::Chainrings],
    cured_by: &[Slot::Chain, Slot::Cassette, Slot::Crankset],
    heals: Some(Slot::Chain),
    silent_without: &[],
    sentence: "round the largest ring and the largest cog, plus two pitches, up to the next even count",
    long: "The length is the exact open-belt length over both sprockets with arcs counted in teeth. Two pitches are \
           spare, and since inner plates join only to outer plates the count is even. A chain that is too short locks \
           in the largest pair and tears the derailleur off; one that is longer than it need be hangs in the smallest.",
    source: "length: geometry, checked on R. L. Mott, Machine Elements in Mechanical Design, 4th ed., example 7-3; two pitches: common practice",
    caution: Some(Warning::Technician(
        "lay the chain round the largest ring and the largest cog before it is cut: what is cut off does not come back",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let chainstay = ask.number(After, Dimension::Chainstay);
    let rings = ask.teeth(After, Dimension::Rings);
    let cogs = ask.teeth(After, Dimension::Cogs);
    let have = ask.count(After, Dimension::ChainCount);
    let (Some(chainstay), Some(rings), Some(cogs), Some(have)) = (chainstay, rings, cogs, have) else {
        return Checked::CannotTell;
    };
    let (Some(ring), Some(cog)) = (rings.iter().max().copied(), cogs.iter().max().copied()) else {
        return Checked::CannotTell;
    };
    let at = |mm: f64| need(ring, cog, Length::mm(mm)).map_or(f64::NAN, Pitches::to_f64);
    // Sprockets that overlap on the shorter chainstay may pass on the longer one.
    if at(chainstay.most()).is_nan() {
        return Judgement::new(Verdict::Fails)
            .says("sprockets this large do not fit on this chainstay: count the teeth and measure it again")
            .done();
    }
    if at(chainstay.least()).is_nan() {
        ask.again();
        return Judgement::new(Verdict::Measure).says("the chainstay is too coarse to work with").done();
    }
    let needed = chainstay.map_monotone(at);
    let needed_read = at(chainstay.middle());
    let spare = SPARE.to_f64();
    let with_spare = needed + spare;
    let count = Pitches::new(needed_read + spare).next_even();
    let have = f64::from(have);
    let judged = |verdict, margin| {
        Judgement::new(verdict)
            .margin(margin, "pitches", 2)
            .in_shop_units(margin.middle() * Pitches::MM, "mm of chain")
            .number(Number::new("ring", Span::exact(ring.to_f64()), "", 0))
            .number(Number::new("cog", Span::exact(cog.to_f64()), "", 0))
            .number(Number::new("needed", needed, "pitches", 2).at(needed_read))
            .number(Number::new("with_spare", with_spare, "pitches", 2).at(needed_read + spare))
            .number(Number::new("count", Span::exact(f64::from(count)), "pitches", 0))
            .number(Number::new("have", Span::exact(have), "pitches", 0))
            .number(Number::new("short", Span::exact(((needed_read - have) * Pitches::MM).max(0.0)), "mm", 0))
            .says("{ring} x {cog} needs {needed} with no slack, {with_spare} with the spare: {count}")
    };
    // The count must be enough over the whole tolerance of the chainstay.
    let enough = Span::exact(f64::from(count)) - with_spare;
    let margin = Span::exact(have) - with_spare;
    let new_chain = ask.build.changes(Slot::Chain);
    if new_chain && enough.against(0.0) == Stand::Across && margin.against(0.0) != Stand::Below {
        ask.again();
        return judged(Verdict::Measure, enough)
            .says("within the tolerance of the chainstay the next even count may be needed: measure it again before cutting")
            .done();
    }
    let verdict = ask.bands(margin, &[(0.0, Verdict::Works)]);
    let judged = judged(verdict, margin);
    match verdict {
        Verdict::Works if new_chain => judged.says("the chain has {have}: it is cut to {count}").done(),
        Verdict::Works if have > f64::from(count) => judged
            .says("the chain on the bike has {have}: longer than it need be")
            .remedy(Verdict::Works, Cure::by(Act::Work("shorten the chain to the count, after laying it round the largest pair"), Verdict::Works))
            .done(),
        Verdict::Works => judged.says("the chain on the bike has {have}: it stays as it is").done(),
        Verdict::Fails if new_chain && needed.most() <= have => judged
            .says("a box of {have} is short: {count} are needed, and nothing would be spare in the largest pair")
            .done(),
        Verdict::Fails if needed.least() > have => judged
            .says("the chain has {have}: in the largest pair it is {short} too short; it locks and tears the derailleur off")
            .done(),
        Verdict::Fails => judged.says("the chain has {have}: nothing is spare in the largest pair, the cage is pulled straight").done(),
        _ => judged.says("the chain has {have}: too near to tell").done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth};

    fn bench(chainstay_mm: f64, ring: i64, cog: i64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::Chainstay, mm(chainstay_mm, 3.0))
            .found(Dimension::Rings, teeth(&[ring, 34]))
            .chosen(Dimension::Cogs, teeth(&[11, cog]))
    }

    #[test]
    fn a_new_chain_is_cut_to_the_next_even_count() {
        let finding = bench(410.0, 50, 30).chosen(Dimension::ChainCount, count(116)).gives(Verdict::Works);
        assert_eq!(finding.number("count").unwrap().span.middle(), 108.0);
        assert!((finding.number("needed").unwrap().span.middle() - 104.88).abs() < 0.005);
    }

    #[test]
    fn a_chain_that_is_kept_and_too_short_locks() {
        let finding = bench(405.0, 53, 34).found(Dimension::ChainCount, count(106)).gives(Verdict::Fails);
        assert!((finding.number("short").unwrap().span.middle() - 20.0).abs() < 0.5);
    }

    #[test]
    fn a_box_too_short_fails() {
        bench(450.0, 50, 46).chosen(Dimension::ChainCount, count(116)).gives(Verdict::Fails);
    }

    #[test]
    fn a_fraction_near_an_even_count_asks_for_the_chainstay() {
        let finding = bench(405.0, 53, 34).chosen(Dimension::ChainCount, count(116)).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::Chainstay);
    }

    #[test]
    fn without_the_chainstay_nothing_can_be_told() {
        bench(410.0, 50, 30)
            .without(Dimension::Chainstay)
            .chosen(Dimension::ChainCount, count(116))
            .gives(Verdict::Measure);
    }
}
