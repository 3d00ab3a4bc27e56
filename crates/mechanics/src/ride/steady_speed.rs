//! The speed that a power carries a rider at, and the steepest road it carries them up. Begin with [`steady_speed_m_s`].

use super::power_balance::{BEARINGS, Load};
use crate::gears::GRAVITY_M_S2;

/// The search ends when the speed is known to this share of itself: sixteen roundings.
const CLOSE: f64 = 16.0 * f64::EPSILON;

/// No speed is looked for beyond this, m/s.
pub(crate) const MOST_SPEED: f64 = 1000.0;

/// The speed at which a power at the cranks and the road balance, m/s; 0 where nothing moves the bike.
///
/// The root of `ρ/2 (CdA + Fw)(a|a| + w²/2) + m g (Crr cos θ + sin θ) + 0.091 + 0.0087 v − P Ec / v`, in newtons. Each term
/// rises with v or stays, so for a power above 0 there is one root and no other; it is bracketed by halving and
/// doubling and then found by Newton's steps, each of which is kept inside the bracket or replaced by its middle. It
/// ends on every input.
///
/// Rises with the power; falls with the grade, the wind and, uphill, with the mass. A power below 0 counts as 0. NaN
/// gives NaN.
///
/// # Source
/// The balance is that of [`power_balance`](super::power_balance::power_balance()). Compared with scipy's `brentq` on
/// 1,200 states to 1e-9: `tests/ride_reference.rs`.
///
/// # Example
/// ```
/// use mechanics::ride::{parameters::usual_load, steady_speed_m_s};
/// let speed = steady_speed_m_s(&usual_load(85.0), 200.0, 0.08, 0.0);
/// assert_eq!(format!("{:.2}", speed), "2.68");
/// ```
pub fn steady_speed_m_s(load: &Load, power_w: f64, grade: f64, headwind_m_s: f64) -> f64 {
    let ground = load.ground_force(grade);
    balance_speed_m_s(load, power_w, ground, headwind_m_s, 8.0)
}

/// As [`steady_speed_m_s`], for a force of tyres and hill in newtons, beginning at a guess.
pub(crate) fn balance_speed_m_s(
    load: &Load,
    power_w: f64,
    ground_n: f64,
    headwind_m_s: f64,
    guess: f64,
) -> f64 {
    let at_wheel = power_w.max(0.0) * load.efficiency;
    if !(power_w.is_finite() && at_wheel.is_finite() && ground_n.is_finite() && headwind_m_s.is_finite()) {
        return f64::NAN;
    }
    let factor = load.air_factor();
    let constant = ground_n + BEARINGS.0 + factor * load.wind_m_s * load.wind_m_s / 2.0;
    let force = |v: f64| {
        let through_air = v + headwind_m_s;
        factor * through_air * through_air.abs() + constant + BEARINGS.1 * v
    };
    if at_wheel == 0.0 && force(0.0) >= 0.0 {
        return 0.0;
    }
    // Times v the function keeps its root and loses its pole: `v · force(v) − P Ec`.
    let over = |v: f64| force(v) - at_wheel / v;
    let guess = if guess.is_finite() { guess.clamp(1e-3, MOST_SPEED) } else { 8.0 };
    let (mut low, mut high) = (guess, guess);
    while over(high) < 0.0 {
        low = high;
        high *= 2.0;
        if high > MOST_SPEED {
            return MOST_SPEED;
        }
    }
    while over(low) > 0.0 {
        high = low;
        low *= 0.5;
        if low < 1e-12 {
            return 0.0;
        }
    }
    let mut v = if low == guess { low } else { high };
    // A halving each time it does not converge faster: 60 reach the last bit, Newton's steps need about 5.
    for _ in 0..100 {
        let through_air = v + headwind_m_s;
        let here = force(v);
        let value = v * here - at_wheel;
        if value > 0.0 {
            high = v;
        } else {
            low = v;
        }
        let slope = here + v * (2.0 * factor * through_air.abs() + BEARINGS.1);
        let step = v - value / slope;
        let next = if step > low && step < high { step } else { low + (high - low) / 2.0 };
        let moved = (next - v).abs();
        v = next;
        if moved <= CLOSE * v {
            break;
        }
    }
    v
}

/// The steepest road on which a power keeps a speed, as a grade; `None` where the power does not hold the speed even
/// on the steepest way down.
///
/// `θ = asin(F/(m g √(1 + Crr²))) − atan Crr`, with `F = P Ec/v − air − bearings`: what is left for tyres and hill.
///
/// Rises with the power, falls with speed, mass and the wind from ahead. Above a force of `m g √(1 + Crr²)` it would carry the rider up a
/// wall, and infinity comes out. Standing seated, tyres may slip and the front wheel lift above about 0.25.
///
/// # Source
/// The balance solved for the slope: `tests/ride.rs::the_steepest_road_is_ridden_at_its_speed`.
pub fn steepest_grade(load: &Load, power_w: f64, speed_m_s: f64, headwind_m_s: f64) -> Option<f64> {
    let left = power_w * load.efficiency / speed_m_s
        - load.air_force(speed_m_s, headwind_m_s)
        - BEARINGS.0
        - BEARINGS.1 * speed_m_s;
    let of_weight = left / (load.mass_kg * GRAVITY_M_S2 * (1.0 + load.rolling * load.rolling).sqrt());
    if of_weight.is_nan() || of_weight <= -1.0 {
        return None;
    }
    if of_weight >= 1.0 {
        return Some(f64::INFINITY);
    }
    let slope = of_weight.asin() - load.rolling.atan();
    (slope > -std::f64::consts::FRAC_PI_2).then(|| slope.tan())
}
