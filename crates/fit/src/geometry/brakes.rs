//! Leverage of the brakes, the hand that a stop takes, and where the rotors put the calipers: before and after.
//!
//! Figures to compare with what the rider knows. They release no brake: the makers' word and a brake test do.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{self, After, Before};
use crate::rules::brake_line::{is_known_hydraulic, is_known_without_reach};
use crate::rules::wheels::WHEELS;
use catalog::{BrakeMount, Dimension, Slot};
use mechanics::brake_curve::{
    BrakeCurve, BrakeError, Stop, gain_change_percent, hand_force, tyre_force_per_hand_force,
};
use mechanics::brakes::{free_lever_travel, leverage, tyre_force};
use quantity::{Length, Mass, Span};

/// Rider, bike and load of the stop that brakes are compared at.
pub const MASS: Mass = Mass::grams(90_000.0);
/// Its deceleration as a share of gravity: a hard stop on a dry road.
pub const SHARE_OF_GRAVITY: f64 = 0.5;
/// Standard gravity, m/s².
const GRAVITY_M_S2: f64 = 9.80665;
/// Pad on rim: warm and cold figure of a handbook.
const FRICTION: [f64; 2] = [0.40, 0.45];
/// Finger travel at the readings of a lever, cable at those of a caliper, millimetres.
const LEVER_PLACES_MM: [f64; 3] = [10.0, 20.0, 30.0];
const CALIPER_PLACES_MM: [f64; 3] = [3.0, 6.0, 9.0];
/// Cable that housing and ferrules take up as they seat: from memory.
const SEATING: Length = Length::mm(1.0);
/// The middle of a brake track lies inward of the bead seat by this much, millimetres: from memory.
const TRACK_INSIDE_MM: f64 = 6.0;

/// Lever and caliper together, at one time.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Force gain from the finger to the pads.
    pub gain: Span,
    /// Whether it comes from three readings each at the bite; else from one each, taken as constant.
    pub from_curve: bool,
    /// Finger travel until the pads bite, millimetres, where the gap of the pads is known.
    pub free_travel: Option<Span>,
    /// Hand force of the stop, newtons, with a cable that loses nothing; where the wheel is known.
    pub hand: Option<Span>,
    /// Force at the tyre for one at the hand, by the model.
    pub figure: Option<Span>,
    /// Force at the tyre for one at the hand, by two scales.
    pub figure_read: Option<Span>,
}

/// A rotor that the mount does not take without an adapter, or that changes in size.
#[derive(Clone, Debug, PartialEq)]
pub struct Rotor {
    /// `rear` or `front`.
    pub wheel: &'static str,
    /// How frame or fork hold the caliper, where known.
    pub mount: Option<BrakeMount>,
    /// Its diameter, millimetres.
    pub diameter: Span,
    /// The size that the mount takes without an adapter.
    pub native: Span,
    /// How far the caliper moves outward along the radius: half of the difference.
    pub outward: Span,
}

/// The brakes before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Brakes {
    /// As found.
    pub before: Option<Pair>,
    /// After the refit.
    pub after: Option<Pair>,
    /// By how much the gain changes, percent.
    pub change_percent: Option<Span>,
    /// What the front tyre gives in the stop, newtons.
    pub tyre_force_n: f64,
    /// Rotors on their mounts.
    pub rotors: Vec<Rotor>,
    /// Hoses have no leverage that a flag on a cable could read.
    pub hoses: bool,
}

/// The section of a build.
pub fn section(build: &Build) -> Section<Brakes> {
    Section::work_out(build, &[Slot::Levers, Slot::Calipers, Slot::Rotors], work)
}

fn work(ask: &mut Ask<'_>) -> Result<Brakes, Unworked> {
    let hoses = is_known_hydraulic(ask.build);
    let rotors = rotors(ask);
    let leverage = ask.build.changes(Slot::Levers) || ask.build.changes(Slot::Calipers);
    let (before, after) = match leverage && !hoses {
        true => (pair(ask, Before)?, pair(ask, After)?),
        false => (None, None),
    };
    let change_percent = match (&before, &after) {
        (Some(before), Some(after)) if before.gain.least() > 0.0 => {
            Some(after.gain.map2_monotone(before.gain, |after, before| gain_change_percent(before, after)))
        }
        _ => None,
    };
    if before.is_none() && after.is_none() && rotors.is_empty() && !hoses {
        return Err(Unworked::Wanting);
    }
    let tyre_force_n = tyre_force(MASS, SHARE_OF_GRAVITY).to_newtons();
    Ok(Brakes { before, after, change_percent, tyre_force_n, rotors, hoses })
}

/// Lever and caliper at one time; nothing where one of them was not read.
fn pair(ask: &mut Ask<'_>, when: When) -> Result<Option<Pair>, Unworked> {
    let gap = ask.known_number(when, Dimension::PadGap);
    let read = [Dimension::LeverReadings, Dimension::CaliperReadings]
        .map(|dimension| ask.known(when, dimension).is_some());
    let (gain, free_travel, from_curve) = match (read, gap) {
        ([true, true], Some(gap)) => {
            let (gain, free) = by_curve(ask, when, gap)?;
            (gain, Some(free), true)
        }
        _ => {
            let lever = ask.number(when, Dimension::LeverRatio);
            let caliper = ask.number(when, Dimension::CaliperRatio);
            let (Some(lever), Some(caliper)) = (lever, caliper) else { return Ok(None) };
            let free = gap.map(|gap| free_travel(gap, lever, caliper));
            (lever.map2_monotone(caliper, leverage), free, false)
        }
    };
    let hand = stop_with(ask, gain, |gain, stop| hand_force(gain, stop).map(|force| force.to_newtons()));
    let figure = stop_with(ask, gain, tyre_force_per_hand_force);
    let figure_read = ask.known_number(when, Dimension::BrakeFigure);
    Ok(Some(Pair { gain, from_curve, free_travel, hand, figure, figure_read }))
}

/// Finger travel until the pads bite, millimetres, for constant leverages: [`free_lever_travel`].
pub(crate) fn free_travel(gap: Span, lever: Span, caliper: Span) -> Span {
    Span::hull(&[gap, lever, caliper], |x| match x {
        [gap_mm, lever, caliper] => free_lever_travel(Length::mm(*gap_mm), SEATING, *lever, *caliper).to_mm(),
        _ => f64::NAN,
    })
}

/// Gain and free travel by three readings each, at the ends of the gap's tolerance and at those of every reading: both
/// bend the curve, so the corners are looked at one by one.
fn by_curve(ask: &mut Ask<'_>, when: When, gap: Span) -> Result<(Span, Span), Unworked> {
    let lever = readings(ask, when, Dimension::LeverReadings)?;
    let caliper = readings(ask, when, Dimension::CaliperReadings)?;
    let impossible = |error: BrakeError| Unworked::Impossible(error.to_string());
    let middles = |read: [Span; 3]| read.map(Span::middle);
    let curve = curve(middles(lever), middles(caliper)).map_err(impossible)?;
    let middle = curve.bite(Length::mm(gap.middle()), SEATING).map_err(impossible)?;
    let (mut gain, mut finger) = (Span::exact(middle.gain()), Span::exact(middle.finger.to_mm()));
    for lever in corners(lever) {
        for caliper in corners(caliper) {
            // Readings whose tolerances overlap make no curve there: they are too near to each other to be told apart.
            let Ok(curve) = self::curve(lever, caliper) else {
                ask.recount(when, Dimension::LeverReadings);
                ask.recount(when, Dimension::CaliperReadings);
                return Err(Unworked::Wanting);
            };
            for gap_mm in [gap.least(), gap.most()] {
                let bite = curve.bite(Length::mm(gap_mm), SEATING).map_err(impossible)?;
                gain = gain.join(Span::exact(bite.gain()));
                finger = finger.join(Span::exact(bite.finger.to_mm()));
            }
        }
    }
    Ok((gain, finger))
}

/// The curves through readings at the usual places.
fn curve(lever_mm: [f64; 3], caliper_mm: [f64; 3]) -> Result<BrakeCurve, BrakeError> {
    let at = |places: [f64; 3], read: [f64; 3]| {
        std::array::from_fn::<_, 3, _>(|i| (Length::mm(places[i]), Length::mm(read[i])))
    };
    BrakeCurve::new(&at(LEVER_PLACES_MM, lever_mm), &at(CALIPER_PLACES_MM, caliper_mm))
}

/// All eight ways in which three readings can stand at the ends of their tolerances.
fn corners(read: [Span; 3]) -> impl Iterator<Item = [f64; 3]> {
    (0..8u32).map(move |corner| {
        let end = |place: usize, bit: u32| {
            if corner & bit == 0 { read[place].least() } else { read[place].most() }
        };
        [end(0, 1), end(1, 2), end(2, 4)]
    })
}

/// Three readings; another count is taken again.
fn readings(ask: &mut Ask<'_>, when: When, dimension: Dimension) -> Result<[Span; 3], Unworked> {
    let read = ask.lengths(when, dimension).ok_or(Unworked::Wanting)?;
    if let [one, two, three] = read[..] {
        return Ok([one, two, three]);
    }
    ask.recount(when, dimension);
    Err(Unworked::Wanting)
}

/// A number of the stop over friction and gain; nothing where wheel or track is not known.
fn stop_with<E>(ask: &mut Ask<'_>, gain: Span, of: impl Fn(f64, Stop) -> Result<f64, E>) -> Option<Span> {
    // The track of a rotor is another radius; on one the figure of a rim would promise a lighter hand.
    if ask.build.after.has(Slot::Rotors) || is_known_without_reach(ask.build) {
        return None;
    }
    let rollout = ask.known_number(After, Dimension::Rollout)?;
    let bead = ask.known_number(After, Dimension::BeadSeat)?;
    let tyre = rollout.map_monotone(|mm| mm / std::f64::consts::TAU);
    let pad = bead.map_monotone(|mm| mm / 2.0 - TRACK_INSIDE_MM);
    let friction = Span::new(FRICTION[0], FRICTION[1]);
    let span = Span::hull(&[gain, tyre, pad, friction], |x| match x {
        [gain, tyre_mm, pad_mm, friction] => {
            let stop = Stop {
                mass: MASS,
                deceleration_m_s2: SHARE_OF_GRAVITY * GRAVITY_M_S2,
                friction: *friction,
                pad_radius: Length::mm(*pad_mm),
                tyre_radius: Length::mm(*tyre_mm),
                passed_on: 1.0,
            };
            of(*gain, stop).unwrap_or(f64::NAN)
        }
        _ => f64::NAN,
    });
    (span.least().is_finite() && span.most().is_finite()).then_some(span)
}

fn rotors(ask: &mut Ask<'_>) -> Vec<Rotor> {
    if !ask.build.after.has(Slot::Rotors) {
        return Vec::new();
    }
    WHEELS
        .into_iter()
        .filter_map(|wheel| {
            let diameter = ask.number(After, wheel.pick(Dimension::RotorRear, Dimension::RotorFront));
            let native =
                ask.number(After, wheel.pick(Dimension::RotorNativeRear, Dimension::RotorNativeFront));
            let mount = ask.known_word(After, wheel.pick(Dimension::MountRear, Dimension::MountFront));
            let (diameter, native) = (diameter?, native?);
            let outward = (diameter - native).map_monotone(|mm| mm / 2.0);
            Some(Rotor { wheel: wheel.name, mount, diameter, native, outward })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, ratio};
    use crate::rules::brake_leverage::RULE;

    fn bike() -> Bench {
        Bench::of(&RULE)
            .found(Dimension::LeverRatio, ratio(4.2, 0.0))
            .chosen(Dimension::LeverRatio, ratio(3.7, 0.0))
            .found(Dimension::CaliperRatio, ratio(1.3, 0.0))
    }

    fn brakes(bench: Bench) -> Brakes {
        section(&bench.build()).value().unwrap().clone()
    }

    fn three(a: f64, b: f64, c: f64) -> catalog::Value {
        let one = |value| quantity::Measured {
            value: Length::mm(value),
            tolerance: Length::mm(0.3),
            basis: quantity::Basis::Measured,
        };
        catalog::Value::Lengths(vec![one(a), one(b), one(c)])
    }

    #[test]
    fn a_new_lever_on_the_old_caliper_is_twelve_percent_weaker() {
        // 4.2 · 1.3 = 5.46 and 3.7 · 1.3 = 4.81, worked by hand.
        let found = brakes(bike());
        assert!((found.before.unwrap().gain.middle() - 5.46).abs() < 1e-9);
        assert!((found.change_percent.unwrap().middle() + 11.9).abs() < 0.05);
    }

    #[test]
    fn ninety_kilograms_at_half_of_gravity_ask_441_newtons_of_the_tyre() {
        assert!((brakes(bike()).tyre_force_n - 441.3).abs() < 0.05);
    }

    #[test]
    fn hand_times_figure_is_the_force_at_the_tyre() {
        let found = brakes(
            bike().found(Dimension::Rollout, mm(2111.0, 0.0)).found(Dimension::BeadSeat, mm(622.0, 0.0)),
        );
        let pair = found.after.unwrap();
        let (hand, figure) = (pair.hand.unwrap(), pair.figure.unwrap());
        assert!((hand.least() * figure.most() - 441.3).abs() < 0.1);
    }

    #[test]
    fn even_readings_give_the_constant_leverage() {
        // 10 mm of finger for 2.5 of cable is 4; 3 mm of cable for 2 of pads is 1.5.
        let found = brakes(
            bike()
                .found(Dimension::LeverReadings, three(2.5, 5.0, 7.5))
                .chosen(Dimension::LeverReadings, three(2.5, 5.0, 7.5))
                .found(Dimension::CaliperReadings, three(2.0, 4.0, 6.0))
                .found(Dimension::PadGap, mm(2.0, 0.3)),
        );
        let pair = found.after.unwrap();
        // Both inside, and the tolerances of the readings show.
        let free = pair.free_travel.unwrap();
        assert!(pair.from_curve && pair.gain.holds(6.0) && pair.gain.half_width() > 0.5);
        // (2 · 1.5 + 1) · 4; the readings alone, 3.7 mm of cable at 2.2 mm for 10 of finger, move it by millimetres.
        assert!(free.holds(16.0) && free.half_width() > 2.0);
    }

    #[test]
    fn readings_without_tolerance_give_the_leverage_alone() {
        let exact = |list: [f64; 3]| {
            catalog::Value::Lengths(
                list.map(|mm| quantity::Measured::exact(Length::mm(mm), quantity::Basis::Measured)).to_vec(),
            )
        };
        let found = brakes(
            bike()
                .found(Dimension::LeverReadings, exact([2.5, 5.0, 7.5]))
                .chosen(Dimension::LeverReadings, exact([2.5, 5.0, 7.5]))
                .found(Dimension::CaliperReadings, exact([2.0, 4.0, 6.0]))
                .found(Dimension::PadGap, mm(2.0, 0.0)),
        );
        let pair = found.after.unwrap();
        assert!((pair.gain.middle() - 6.0).abs() < 1e-6 && pair.gain.half_width() < 1e-6);
        assert!((pair.free_travel.unwrap().middle() - 16.0).abs() < 1e-6);
    }

    #[test]
    fn readings_too_near_to_each_other_are_taken_again() {
        let found = section(
            &bike()
                .found(Dimension::LeverReadings, three(2.5, 2.9, 3.2))
                .chosen(Dimension::LeverReadings, three(2.5, 2.9, 3.2))
                .found(Dimension::CaliperReadings, three(2.0, 4.0, 6.0))
                .found(Dimension::PadGap, mm(0.5, 0.1))
                .build(),
        );
        assert!(found.value().is_none());
        assert!(found.wanted().iter().any(|missing| missing.dimension == Dimension::LeverReadings));
    }

    #[test]
    fn a_rotor_20_mm_larger_moves_the_caliper_10_mm_outward() {
        let found = brakes(
            bike()
                .chosen(Dimension::RotorFront, mm(180.0, 0.0))
                .found(Dimension::RotorNativeFront, mm(160.0, 0.0)),
        );
        assert!((found.rotors[0].outward.middle() - 10.0).abs() < 1e-9);
    }

    #[test]
    fn without_a_reading_it_is_asked_for() {
        let section = section(&bike().without(Dimension::CaliperRatio).build());
        assert!(section.value().is_none());
        assert!(section.wanted().iter().any(|missing| missing.dimension == Dimension::CaliperRatio));
    }
}
