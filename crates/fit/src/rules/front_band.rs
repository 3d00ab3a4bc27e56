//! Does the front derailleur go on the seat tube?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use crate::rules::room::{either_way, judge, tightest};
use catalog::{Dimension, FrontMount, Slot};

/// How far band and tube may differ and still be the same size.
const SAME_MM: f64 = 0.3;

/// Shims of the trade: band, tube, small part.
const SHIMS: &[(f64, f64, &str)] =
    &[(34.9, 31.8, "band-shim-34.9-31.8"), (31.8, 28.6, "band-shim-31.8-28.6")];

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-band",
    title: "does the front derailleur go on the seat tube?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::FrontDerailleur],
    cured_by: &[Slot::FrontDerailleur],
    heals: None,
    silent_without: &[],
    sentence: "a band must have the diameter of the seat tube, or a shim of the trade must fill the step; a bolt mount needs a tab",
    long: "A band that is too small never closes and a band that is too large turns on the tube or crushes it. Tubes \
           come in steps of 28.6, 31.8 and 34.9 mm, and for the two steps there are shims; for other differences \
           there are none. Band and tube are the same when they differ by no more than 0.3 mm, which is also how far \
           a tube may be out of round. A derailleur with a band goes on a frame with a tab too, above or below it; \
           a derailleur for a tab needs the tab. A derailleur for a pair of holes, 42.7 mm apart or 22.1 mm apart, \
           flat or stepped by 5 mm, or for a plate at the shell, goes on that mount only.",
    source: "diameters, shims and the 0.3 mm: common practice; hole pairs: a leaflet of the trade",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    match ask.word::<FrontMount>(After, Dimension::FrontMount) {
        Some(FrontMount::Band) => band(ask),
        Some(mount) => bolted(ask, mount),
        None => Checked::CannotTell,
    }
}

/// A derailleur that is bolted on goes on the very mount that it is made for.
fn bolted(ask: &mut Ask<'_>, derailleur: FrontMount) -> Checked {
    let Some(frame) = ask.word::<FrontMount>(After, Dimension::FrameFrontMount) else {
        return Checked::CannotTell;
    };
    match (derailleur, frame) {
        (FrontMount::Tab, FrontMount::Tab) => {
            Judgement::new(Verdict::Works).says("the derailleur bolts to the tab of the frame").done()
        }
        (derailleur, frame) if derailleur == frame => {
            Judgement::new(Verdict::Works).says("frame and derailleur have the same mount").done()
        }
        (FrontMount::Tab, _) => Judgement::new(Verdict::Fails)
            .says("the derailleur is made for a tab and the frame has none")
            .says("a clamp with a tab on it goes round a round tube of its own diameter only")
            .done(),
        _ => Judgement::new(Verdict::Fails)
            .says("the derailleur is made for another mount than the frame has, and nothing goes between the two")
            .done(),
    }
}

fn band(ask: &mut Ask<'_>) -> Checked {
    let band = ask.number(After, Dimension::Band);
    let tube = ask.number(After, Dimension::SeatTube);
    let (Some(band), Some(tube)) = (band, tube) else { return Checked::CannotTell };
    let difference = band - tube;
    let rooms = either_way(difference, SAME_MM);
    let room = tightest(&rooms);
    let judged = |verdict, room| {
        Judgement::new(verdict)
            .margin(room, "mm", 1)
            .number(Number::new("band", band, "mm", 1))
            .number(Number::new("tube", tube, "mm", 1))
            .number(Number::difference("difference", difference, "mm", 1))
            .says("the band is {band}, the seat tube {tube}")
    };
    match judge(ask, &rooms, &[(0.0, Verdict::Works)]) {
        Verdict::Fails => {}
        verdict => return judged(verdict, room).done(),
    }
    if difference.middle() < 0.0 {
        return judged(Verdict::Fails, room).says("the band does not close round the tube").done();
    }
    let mut unsure = false;
    for (shim_band, shim_tube, part) in SHIMS {
        let rooms = [either_way(band - *shim_band, SAME_MM), either_way(tube - *shim_tube, SAME_MM)].concat();
        match judge(ask, &rooms, &[(0.0, Verdict::Works)]) {
            Verdict::Works => {
                return judged(Verdict::Remedy, tightest(&rooms))
                    .says("a shim fills the step")
                    .remedy(Verdict::Fails, Cure::by(Act::Small(part), Verdict::Works))
                    .done();
            }
            Verdict::Measure => unsure = true,
            _ => {}
        }
    }
    if unsure {
        return judged(Verdict::Measure, room).says("a shim may fill the step").done();
    }
    // A step of exactly one shim is the only one that is cured; the rest is a wrong part.
    judged(Verdict::Fails, room).says("no shim of the trade fills a step of {difference}").done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(band_mm: f64, tube_mm: f64) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::FrontMount, word("band"))
            .chosen(Dimension::Band, mm(band_mm, 0.0))
            .found(Dimension::SeatTube, mm(tube_mm, 0.2))
    }

    #[test]
    fn a_band_of_the_size_of_the_tube_goes_on() {
        let finding = bench(31.8, 31.8).gives(Verdict::Works);
        assert!((finding.margin.unwrap().span.most() - 0.3).abs() < 0.21);
    }

    #[test]
    fn each_of_the_two_steps_of_the_trade_takes_its_shim() {
        for (band_mm, tube_mm, part) in
            [(34.9, 31.8, "band-shim-34.9-31.8"), (31.8, 28.6, "band-shim-31.8-28.6")]
        {
            let finding = bench(band_mm, tube_mm).gives(Verdict::Remedy);
            assert_eq!(finding.cures[0].acts, [Act::Small(part)]);
            assert_eq!(finding.without, Some(Verdict::Fails));
        }
    }

    #[test]
    fn a_band_smaller_than_the_tube_fails() {
        bench(31.8, 34.9).gives(Verdict::Fails);
    }

    #[test]
    fn a_step_that_no_shim_fills_fails() {
        bench(34.9, 28.6).gives(Verdict::Fails);
        bench(28.6, 28.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_tube_between_two_sizes_is_measured_again() {
        let finding = bench(31.8, 31.5).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::SeatTube);
        bench(31.8, 28.3).gives(Verdict::Measure);
    }

    #[test]
    fn a_derailleur_for_a_tab_needs_a_tab() {
        let tab = Bench::of(&RULE).chosen(Dimension::FrontMount, word("tab"));
        tab.clone().found(Dimension::FrameFrontMount, word("tab")).gives(Verdict::Works);
        tab.clone().found(Dimension::FrameFrontMount, word("band")).gives(Verdict::Fails);
        tab.gives(Verdict::Measure);
    }

    #[test]
    fn a_pair_of_holes_takes_its_own_derailleur_only() {
        let on = |derailleur, frame| {
            Bench::of(&RULE)
                .chosen(Dimension::FrontMount, word(derailleur))
                .found(Dimension::FrameFrontMount, word(frame))
        };
        for mount in ["direct-42.7", "direct-22.1", "direct-22.1-step", "shell-plate"] {
            on(mount, mount).gives(Verdict::Works);
            on(mount, "band").gives(Verdict::Fails);
            on("tab", mount).gives(Verdict::Fails);
        }
        on("direct-22.1", "direct-22.1-step").gives(Verdict::Fails);
        on("direct-22.1", "direct-22.1").without(Dimension::FrameFrontMount).gives(Verdict::Measure);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::FrontMount, Dimension::Band, Dimension::SeatTube] {
            let finding = bench(31.8, 31.8).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
