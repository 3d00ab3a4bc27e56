//! Riding along a road at a power: speeds, times, brakes, and a book of the work done. Begin with [`travel`].

use super::power_balance::{BEARINGS, Load, LoadError};
use super::profile::Profile;
use crate::gears::GRAVITY_M_S2;
use std::fmt;

/// How a rider goes along a road.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Power at the cranks while pedalling, watts.
    pub power_w: f64,
    /// Speed at the start, m/s.
    pub start_m_s: f64,
    /// Speed that is not exceeded: at it the rider first pedals less, then brakes. m/s.
    pub most_m_s: f64,
    /// Wind from ahead all along the road, m/s; from behind is negative. It comes on top of [`Load::wind_m_s`].
    pub headwind_m_s: f64,
}

/// Work of a ride, joules at the wheel.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Work {
    /// From the rider, after the loss of the drive.
    pub rider: f64,
    /// Into the air; a wind from behind gives some.
    pub air: f64,
    /// Into the tyres.
    pub rolling: f64,
    /// Into the bearings.
    pub bearings: f64,
    /// Into height.
    pub climbing: f64,
    /// Into the brakes.
    pub brakes: f64,
    /// Into speed: at the end more than at the start.
    pub kinetic: f64,
}

impl Work {
    /// What is taken less what is given, as a share of all that was turned over: 0 but for rounding.
    pub fn imbalance(&self) -> f64 {
        let taken = self.air + self.rolling + self.bearings + self.climbing + self.brakes + self.kinetic;
        let turned = self.rider
            + self.air.abs()
            + self.rolling
            + self.bearings
            + self.climbing.abs()
            + self.brakes
            + self.kinetic.abs();
        if turned > 0.0 { (taken - self.rider) / turned } else { 0.0 }
    }
}

/// A ride over a road, stretch by stretch.
#[derive(Clone, Debug, PartialEq)]
pub struct Journey {
    /// Mean speed of each stretch along the road, m/s.
    pub speeds_m_s: Vec<f64>,
    /// Time of each stretch, seconds.
    pub times_s: Vec<f64>,
    /// Time of each stretch during which the rider pedals: none of it where the speed is held by pedalling less or by
    /// the brakes.
    pub pedalled_s: Vec<f64>,
    /// The book of the work.
    pub work: Work,
}

impl Journey {
    /// Time of the whole ride, seconds.
    pub fn time_s(&self) -> f64 {
        self.times_s.iter().sum()
    }
}

/// Why a ride does not get to its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TravelError {
    /// A figure that no rider has.
    Load(LoadError),
    /// A power or speed that is none.
    Pace {
        /// What it is.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// The bike comes to a stand.
    Stands {
        /// After this level distance, metres.
        at_m: f64,
        /// On this grade.
        grade: f64,
        /// With this power, watts.
        power_w: f64,
    },
}

impl fmt::Display for TravelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Load(why) => why.fmt(f),
            Self::Pace { what, found } => write!(f, "found {found} for {what}, which is out of range"),
            Self::Stands { at_m, grade, power_w } => write!(
                f,
                "with {power_w:.0} W the bike stands after {at_m:.0} m, on a grade of {:.1} %",
                grade * 100.0
            ),
        }
    }
}

impl std::error::Error for TravelError {}

/// A step is halved until the speed changes by less than this share within it.
const CHANGE_IN_STEP: f64 = 0.05;

/// Halvings of a stretch at most: 2^-24 of 10 m is a micrometre.
const MOST_HALVINGS: u32 = 24;

/// Rides along a road.
///
/// Over each step of way s the middle rule is solved: `M (v₂² − v₁²)/2 = s (P Ec/v − R(v))` with `v = (v₁ + v₂)/2`, M the
/// moved mass and R all resistance. The forces of the book are those of the step, so the work of the whole ride balances
/// to rounding whatever the step; the step itself decides how exact the speeds are, and is halved until the speed changes
/// by less than 5 % in it. Where the speed would pass the limit, power falls to what holds it, to none, and
/// then the brakes take the rest.
///
/// More power or less mass never makes a ride without brakes slower; a lower limit makes it longer.
///
/// # Errors
/// [`TravelError::Stands`] where the power does not move the bike any more; figures out of range.
///
/// # Source
/// Newton's second law with the balance of [`power_balance`](super::power_balance::power_balance()). Compared with scipy's
/// `solve_ivp`: `tests/ride_reference.rs::rides_take_as_long_as_the_integrated_ones`.
pub fn travel(load: &Load, pace: Pace, profile: &Profile) -> Result<Journey, TravelError> {
    load.check().map_err(TravelError::Load)?;
    for (what, found, least, most) in [
        ("the power in W", pace.power_w, 0.0, 5000.0),
        ("the speed at the start in m/s", pace.start_m_s, 0.0, 60.0),
        ("the speed limit in m/s", pace.most_m_s, 0.5, 100.0),
        ("the wind from ahead in m/s", pace.headwind_m_s, -40.0, 40.0),
    ] {
        if !(least..=most).contains(&found) {
            return Err(TravelError::Pace { what, found });
        }
    }
    let n = profile.grades().len();
    let mut journey = Journey {
        speeds_m_s: Vec::with_capacity(n),
        times_s: Vec::with_capacity(n),
        pedalled_s: Vec::with_capacity(n),
        work: Work::default(),
    };
    let mut speed = pace.start_m_s.min(pace.most_m_s);
    let start = speed;
    for (k, &grade) in profile.grades().iter().enumerate() {
        let road_m = profile.road_m(grade);
        let stretch = Stretch { load, pace, ground: Ground::of(load, grade) };
        let mut left = road_m;
        let (mut time, mut pedalled) = (0.0, 0.0);
        while left > 0.0 {
            let mut way = left;
            let mut halvings = 0;
            let step = loop {
                let step = stretch.step(speed, way);
                let is_smooth = step.end >= 0.0 && (step.end - speed).abs() <= CHANGE_IN_STEP * step.middle;
                if is_smooth || halvings == MOST_HALVINGS {
                    break step;
                }
                way /= 2.0;
                halvings += 1;
            };
            // Standing: no power, or one so small that it is nothing beside the friction of the start.
            if step.end.is_nan() || step.middle < 1e-3 || step.end < 0.0 {
                let at_m = k as f64 * profile.spacing_m();
                return Err(TravelError::Stands { at_m, grade, power_w: pace.power_w });
            }
            time += way / step.middle;
            pedalled += if step.is_pedalled { way / step.middle } else { 0.0 };
            stretch.note(&step, way, &mut journey.work);
            speed = step.end;
            left -= way;
        }
        journey.speeds_m_s.push(road_m / time);
        journey.times_s.push(time);
        journey.pedalled_s.push(pedalled);
    }
    journey.work.kinetic = load.moved_mass_kg() * (speed * speed - start * start) / 2.0;
    Ok(journey)
}

/// Forces of a stretch that do not depend on the speed.
struct Ground {
    rolling_n: f64,
    climbing_n: f64,
}

impl Ground {
    fn of(load: &Load, grade: f64) -> Self {
        let on_road = load.mass_kg * GRAVITY_M_S2 / (1.0 + grade * grade).sqrt();
        Self { rolling_n: on_road * load.rolling, climbing_n: on_road * grade }
    }
}

struct Stretch<'a> {
    load: &'a Load,
    pace: Pace,
    ground: Ground,
}

struct Step {
    middle: f64,
    end: f64,
    rider_n: f64,
    brakes_n: f64,
    is_pedalled: bool,
}

impl Stretch<'_> {
    fn resistance_n(&self, v: f64) -> f64 {
        self.load.air_force(v, self.pace.headwind_m_s)
            + self.ground.rolling_n
            + self.ground.climbing_n
            + BEARINGS.0
            + BEARINGS.1 * v
    }

    /// One step, begun at a speed.
    fn step(&self, start: f64, way: f64) -> Step {
        let at_wheel = self.pace.power_w * self.load.efficiency;
        let mass = self.load.moved_mass_kg();
        let limit = self.pace.most_m_s;
        let middle = self.middle_speed(start, way, at_wheel);
        let end = 2.0 * middle - start;
        if end <= limit {
            return Step {
                middle,
                end,
                rider_n: at_wheel / middle,
                brakes_n: 0.0,
                is_pedalled: at_wheel > 0.0,
            };
        }
        // The limit is reached within the step: what the rider gives is what is wanted, or the brakes take.
        let middle = (start + limit) / 2.0;
        let wanted = mass * (limit * limit - start * start) / (2.0 * way) + self.resistance_n(middle);
        Step {
            middle,
            end: limit,
            rider_n: wanted.max(0.0),
            brakes_n: (-wanted).max(0.0),
            // Below half of their power a rider at the limit lets the pedals rest.
            is_pedalled: wanted * middle > at_wheel / 2.0,
        }
    }

    /// Root of `2 M v (v − v₁) + s (R(v) − P Ec/v)`, which rises wherever the end speed is not below 0.
    fn middle_speed(&self, start: f64, way: f64, at_wheel: f64) -> f64 {
        let mass = self.load.moved_mass_kg();
        let value = |v: f64| 2.0 * mass * v * (v - start) + way * (self.resistance_n(v) - at_wheel / v);
        let (mut low, mut high) = (0.0, start.max(0.1));
        while value(high) < 0.0 {
            low = high;
            high *= 2.0;
            if high > 1e4 {
                return high;
            }
        }
        let mut v = if low > 0.0 { low } else { high };
        for _ in 0..100 {
            let here = value(v);
            if here > 0.0 {
                high = v
            } else {
                low = v
            }
            let slope = 2.0 * mass * (2.0 * v - start)
                + way
                    * (2.0 * self.load.air_factor() * (v + self.pace.headwind_m_s).abs()
                        + BEARINGS.1
                        + at_wheel / (v * v));
            let newton = v - here / slope;
            let next = if newton > low && newton < high { newton } else { low + (high - low) / 2.0 };
            let moved = (next - v).abs();
            v = next;
            if moved <= 4.0 * f64::EPSILON * v {
                break;
            }
        }
        v
    }

    fn note(&self, step: &Step, way: f64, work: &mut Work) {
        work.rider += way * step.rider_n;
        work.air += way * self.load.air_force(step.middle, self.pace.headwind_m_s);
        work.rolling += way * self.ground.rolling_n;
        work.bearings += way * (BEARINGS.0 + BEARINGS.1 * step.middle);
        work.climbing += way * self.ground.climbing_n;
        work.brakes += way * step.brakes_n;
    }
}
