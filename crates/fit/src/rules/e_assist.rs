//! May this be changed on a bike with an electric drive?

use crate::ask::Ask;
use crate::build::When::{self, After, Before};
use crate::finding::{Hazard, Number, Verdict};
use crate::pairs::{pairs, whole};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{Dimension, Drive, Slot};
use mechanics::{chain, gears};
use quantity::{Span, Torque};

/// Where the assist ends if nobody says otherwise, km/h: it differs by country.
const ASSIST_END_KM_H: f64 = 25.0;
/// Peak torque of a drive if nobody says otherwise, N m.
const DRIVE_NM: f64 = 75.0;
/// What a rider adds at that moment, N m.
const RIDER_NM: f64 = 60.0;
/// Cadence of a rider in the highest gear, turns a minute: a brisk one, common practice.
const RIDING_RPM: f64 = 90.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "e-assist",
    title: "may this be changed on a bike with an electric drive?",
    coupling: Coupling::Front,
    hazard: Hazard::Rider,
    touches: &[
        Slot::Crankset,
        Slot::Chainrings,
        Slot::BottomBracket,
        Slot::Cassette,
        Slot::Chain,
        Slot::RearWheel,
    ],
    cured_by: &[Slot::Chainrings, Slot::Cassette],
    heals: None,
    silent_without: &[Dimension::AssistDrive],
    sentence: "on a mid-drive only rings and cogs go on that the printed list of the drive maker names; its shaft and bearings are not touched",
    long: "A mid-drive is crank bearing, sensor and motor in one, and its maker's list of rings and cogs is part of what \
           was approved. A ring beyond the list does not go on; a cog beyond it is a trial. A larger ring gives no \
           speed: above the limit of the assist the rider is alone, and below it the legs only turn slower. Drive and \
           rider pull on the chain together, so chain and cassette must be rated for it. On a hub drive the wheel \
           with the motor stays. The limit of the assist is taken as 25 km/h, the torque of the drive as 75 N m and of \
           the rider as 60 N m, where the bike has no reading. The rule speaks where the drive is written down.",
    source: "common practice; the limit of the assist differs by country",
    caution: Some(Warning::Each {
        technician: "electric drive: switch it off and take the battery out before any work; speed sensor and magnet stay where they are; no work on crank or bearing of a mid-drive; what local law allows is a question, and so is the warranty",
        customer: "electric drive: take the pressure off the pedals while you shift, the drive pulls on; other gears change the range, and warranty and local law are worth a question",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    match ask.known_word::<Drive>(Before, Dimension::AssistDrive) {
        None | Some(Drive::None) => Checked::NotTouched,
        Some(Drive::HubDrive) => hub_drive(ask),
        Some(Drive::MidDrive) => mid_drive(ask),
    }
}

fn hub_drive(ask: &Ask<'_>) -> Checked {
    if ask.build.changes(Slot::RearWheel) {
        return Judgement::new(Verdict::Marginal)
            .says("if the motor sits in the rear wheel, that wheel stays: look before one is ordered")
            .done();
    }
    Judgement::new(Verdict::Works)
        .says("the drive is in a hub: cranks and gears are those of any bike")
        .done()
}

fn mid_drive(ask: &mut Ask<'_>) -> Checked {
    if ask.build.changes(Slot::BottomBracket) {
        return Judgement::new(Verdict::Fails)
            .says("the bearing of a mid-drive is part of the drive: no bottom bracket goes in")
            .done();
    }
    let new_ring = ask.build.changes(Slot::Crankset) || ask.build.changes(Slot::Chainrings);
    let new_cogs = ask.build.changes(Slot::Cassette);
    // What stays as it is decides nothing and is not asked.
    let largest = |teeth: Option<Vec<quantity::Teeth>>| teeth.and_then(|teeth| teeth.into_iter().max());
    let outer = if new_ring { largest(ask.teeth(After, Dimension::Rings)) } else { None };
    let cog = if new_cogs { largest(ask.teeth(After, Dimension::Cogs)) } else { None };
    let listed_ring = if new_ring { ask.number(After, Dimension::ListedRing) } else { None };
    let listed_cog = if new_cogs { ask.number(After, Dimension::ListedCog) } else { None };
    let ring_missing = new_ring && (outer.is_none() || listed_ring.is_none());
    let cog_missing = new_cogs && (cog.is_none() || listed_cog.is_none());
    if ring_missing || cog_missing {
        return Checked::CannotTell;
    }
    let teeth = |count: Option<quantity::Teeth>| count.map(|teeth| Span::exact(teeth.to_f64()));
    let ring_room = listed_ring.zip(teeth(outer)).map(|(listed, ring)| listed - ring);
    let cog_room = listed_cog.zip(teeth(cog)).map(|(listed, cog)| listed - cog);
    let by_ring = ring_room.map_or(Verdict::Works, |room| ask.bands(room, &[(0.0, Verdict::Works)]));
    let cog_bands = [(0.0, Verdict::Works), (f64::NEG_INFINITY, Verdict::Marginal)];
    let by_cog = cog_room.map_or(Verdict::Works, |room| ask.bands(room, &cog_bands));
    let mut judged = Judgement::new(by_ring.max(by_cog));
    let rooms: Vec<Span> = ring_room.into_iter().chain(cog_room).collect();
    if !rooms.is_empty() {
        judged = judged.margin(crate::rules::room::tightest(&rooms), "teeth", 0);
    }
    if let Some((listed, ring)) = listed_ring.zip(teeth(outer)) {
        judged = judged
            .number(Number::new("ring", ring, "teeth", 0))
            .number(Number::new("listed_ring", listed, "teeth", 0))
            .says("the largest ring on the list of the drive maker has {listed_ring}; this one has {ring}");
    }
    if let Some((listed, cog)) = listed_cog.zip(teeth(cog)) {
        judged = judged
            .number(Number::new("cog", cog, "teeth", 0))
            .number(Number::new("listed_cog", listed, "teeth", 0))
            .says("the largest cog on that list has {listed_cog}; this one has {cog}");
    }
    if rooms.is_empty() {
        judged = judged.says("rings and cogs stay as they are; the chain must be rated for a mid-drive");
    }
    with_numbers(ask, judged).done()
}

/// Numbers that decide nothing: cadence in the highest gear where the assist ends, and the pull on the chain.
fn with_numbers(ask: &Ask<'_>, judged: Judgement) -> Judgement {
    let build = ask.build;
    let or = |dimension, usual| whole(build, Before, dimension).map_or(usual, f64::from);
    let end_km_h = or(Dimension::AssistEnd, ASSIST_END_KM_H);
    let torque = Torque::newton_metres(or(Dimension::DriveTorque, DRIVE_NM) + RIDER_NM);
    let exact = Span::exact;
    let mut judged = judged
        .number(Number::new("assist_end", exact(end_km_h), "km/h", 0))
        .number(Number::new("torque", exact(torque.to_newton_metres()), "N m", 0));
    let cadence = |when: When| {
        let highest =
            pairs(build, when).into_iter().filter_map(|pair| pair.development_m).max_by(f64::total_cmp)?;
        Some(gears::cadence_rpm(highest, end_km_h))
    };
    if let Some((before, after)) = cadence(Before).zip(cadence(After)) {
        judged = judged
            .number(Number::new("cadence_before", exact(before), "turns a minute", 0))
            .number(Number::new("cadence_after", exact(after), "turns a minute", 0))
            .says("where the assist ends, at {assist_end}, the highest gear asks for {cadence_before} before and {cadence_after} after");
        if after < before - 0.5 {
            judged = judged.says("no speed is gained below the limit of the assist");
        }
    }
    let highest =
        |when| pairs(build, when).into_iter().filter_map(|pair| pair.development_m).max_by(f64::total_cmp);
    if let Some((before, after)) = highest(Before).zip(highest(After)) {
        let speed = |metres: f64| exact(metres * RIDING_RPM * 60.0 / 1000.0);
        judged = judged
            .number(Number::new("riding", exact(RIDING_RPM), "turns a minute", 0))
            .number(Number::new("speed_before", speed(before), "km/h", 0))
            .number(Number::new("speed_after", speed(after), "km/h", 0))
            .says("at {riding} the highest gear rides {speed_before} before and {speed_after} after, with no assist up there");
    }
    judged = judged
        .says("to be asked and written down, not answered here: does local law allow this change, and does the warranty of the drive?");
    let smallest = |when| crate::pairs::teeth(build, when, Dimension::Rings).into_iter().min();
    if let Some(ring) = smallest(Before) {
        judged =
            judged.number(Number::new("pull_before", exact(chain::pull(torque, ring).to_newtons()), "N", 0));
    }
    match smallest(After) {
        Some(ring) => judged
            .number(Number::new("pull", exact(chain::pull(torque, ring).to_newtons()), "N", 0))
            .says("drive and rider together, {torque}, pull with {pull} on the chain: it must be rated for that"),
        None => judged,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth, word};

    fn bench(rings: &[i64]) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::AssistDrive, word("mid-drive"))
            .found(Dimension::ListedRing, count(38))
            .found(Dimension::ListedCog, count(42))
            .found(Dimension::Rollout, mm(2268.0, 10.0))
            .found(Dimension::Rings, teeth(&[38]))
            .found(Dimension::Cogs, teeth(&[11, 13, 15, 17, 19, 21, 24, 28, 32, 36]))
            .chosen_in(Slot::Chainrings, Dimension::Rings, teeth(rings))
    }

    /// A refit worked out by hand: 38 x 11 on 2268 mm turns 53 at 25 km/h and 44 x 11 turns 46; 75 + 60 N m pull
    /// 1756 N on 38 teeth and 1517 N on 44.
    #[test]
    fn a_ring_beyond_the_list_fails_and_gains_nothing() {
        let finding = bench(&[44]).gives(Verdict::Fails);
        let shown = |name| finding.number(name).unwrap().value.round();
        assert_eq!((shown("cadence_before"), shown("cadence_after"), shown("pull")), (53.0, 46.0, 1517.0));
    }

    #[test]
    fn a_ring_on_the_list_works() {
        let finding = bench(&[38]).gives(Verdict::Works);
        assert_eq!(finding.number("pull").unwrap().value.round(), 1756.0);
        bench(&[44]).found(Dimension::ListedRing, count(44)).gives(Verdict::Works);
    }

    #[test]
    fn a_cog_beyond_the_list_is_a_trial() {
        let cassette = |largest| {
            Bench::of(&RULE)
                .found(Dimension::AssistDrive, word("mid-drive"))
                .found(Dimension::ListedCog, count(42))
                .chosen(Dimension::Cogs, teeth(&[11, 13, 15, 18, 21, 24, 28, largest]))
        };
        cassette(42).gives(Verdict::Works);
        cassette(50).gives(Verdict::Marginal);
        cassette(50).without(Dimension::ListedCog).gives(Verdict::Measure);
    }

    #[test]
    fn no_bottom_bracket_goes_into_a_mid_drive() {
        Bench::of(&RULE)
            .found(Dimension::AssistDrive, word("mid-drive"))
            .chosen(Dimension::BearingSpindle, word("24-through"))
            .gives(Verdict::Fails);
    }

    #[test]
    fn without_the_list_nothing_can_be_told() {
        let finding = bench(&[44]).without(Dimension::ListedRing).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::ListedRing);
    }

    #[test]
    fn a_bike_without_a_drive_is_not_asked_and_a_hub_drive_is_free_at_the_cranks() {
        assert!(bench(&[44]).found(Dimension::AssistDrive, word("none")).finding().is_none());
        assert!(bench(&[44]).without(Dimension::AssistDrive).finding().is_none());
        bench(&[44]).found(Dimension::AssistDrive, word("hub-drive")).gives(Verdict::Works);
    }
}
