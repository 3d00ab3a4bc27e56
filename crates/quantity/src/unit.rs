//! Physical quantities as types: one type a dimension, one constructor a unit.
//!
//! Every value is kept in one base unit as `f64`. Two quantities that must not be added are two types.

use std::fmt;
use std::ops::{Add, Mul, Neg, Sub};

/// A physical quantity that can be read from text with a unit and shown again.
pub trait Quantity: Copy + PartialEq + PartialOrd + fmt::Debug + 'static {
    /// What the quantity is called in messages, for example `length`.
    const NOUN: &'static str;
    /// The unit in which values are kept and shown.
    const UNIT: &'static str;
    /// Accepted unit words with the size of one such unit in base units. The first is the base unit.
    const UNITS: &'static [(&'static str, f64)];
    /// The quantity from a number of base units.
    fn from_base(value: f64) -> Self;
    /// The number of base units.
    fn base(self) -> f64;
}

macro_rules! quantities {
    ($(
        $(#[$doc:meta])*
        $Name:ident, $noun:literal, shown $unit:literal, $new:ident / $to:ident,
        units [$(($word:literal, $size:expr)),+ $(,)?];
    )+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
        pub struct $Name(f64);

        impl $Name {
            #[doc = concat!("A ", $noun, " from its value in the base unit (", $unit, ").")]
            pub const fn $new(value: f64) -> Self { Self(value) }
            #[doc = concat!("The value in the base unit (", $unit, ").")]
            pub const fn $to(self) -> f64 { self.0 }
            /// The size without its sign.
            pub const fn abs(self) -> Self { Self(self.0.abs()) }
        }

        impl Quantity for $Name {
            const NOUN: &'static str = $noun;
            const UNIT: &'static str = $unit;
            const UNITS: &'static [(&'static str, f64)] = &[$(($word, $size)),+];
            fn from_base(value: f64) -> Self { Self(value) }
            fn base(self) -> f64 { self.0 }
        }

        impl Add for $Name { type Output = Self; fn add(self, other: Self) -> Self { Self(self.0 + other.0) } }
        impl Sub for $Name { type Output = Self; fn sub(self, other: Self) -> Self { Self(self.0 - other.0) } }
        impl Neg for $Name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl Mul<f64> for $Name { type Output = Self; fn mul(self, factor: f64) -> Self { Self(self.0 * factor) } }

        impl fmt::Display for $Name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let decimals = f.precision().unwrap_or(2);
                f.write_str(&crate::digits::with_unit(self.0, decimals, $unit))
            }
        }
    )+};
}

/// Millimetres in one inch, exact by definition (international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Newtons in one kilogram-force, exact by definition (standard gravity 9.80665 m/s²).
pub const N_PER_KGF: f64 = 9.80665;
/// Newtons in one pound-force, exact: 0.45359237 kg × 9.80665 m/s².
pub const N_PER_LBF: f64 = 4.4482216152605;

quantities! {
    /// A length, kept in millimetres.
    Length, "length", shown "mm", mm / to_mm,
    units [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", MM_PER_INCH)];

    /// A plane angle, kept in degrees: the workshop reads degrees from a level.
    Angle, "angle", shown "°", deg / to_deg,
    units [("deg", 1.0), ("°", 1.0), ("rad", 180.0 / std::f64::consts::PI)];

    /// A force, kept in newtons.
    Force, "force", shown "N", newtons / to_newtons,
    units [("N", 1.0), ("kgf", N_PER_KGF), ("lbf", N_PER_LBF)];

    /// A torque, kept in newton metres.
    Torque, "torque", shown "N·m", newton_metres / to_newton_metres,
    units [("N·m", 1.0), ("N m", 1.0), ("Nm", 1.0), ("lbf in", N_PER_LBF * 0.0254), ("lbf ft", N_PER_LBF * 0.3048),
           ("kgf cm", N_PER_KGF * 0.01), ("kgf m", N_PER_KGF)];

    /// A mass, kept in grams.
    Mass, "mass", shown "g", grams / to_grams,
    units [("g", 1.0), ("kg", 1000.0), ("lb", 453.59237)];

    /// A power, kept in watts.
    Power, "power", shown "W", watts / to_watts,
    units [("W", 1.0), ("kW", 1000.0)];

    /// A speed, kept in metres a second.
    Speed, "speed", shown "m/s", metres_a_second / to_metres_a_second,
    units [("m/s", 1.0), ("km/h", 1.0 / 3.6), ("mph", MM_PER_INCH * 63.36 / 3600.0)];

    /// A ratio of two like quantities, such as pulley travel to cable travel. It has no unit.
    Ratio, "ratio", shown "", new / to_f64,
    units [("", 1.0)];

    /// A share in percent.
    Percent, "percentage", shown "%", new / to_percent,
    units [("%", 1.0)];
}

impl Length {
    /// A length from inches.
    pub const fn inches(value: f64) -> Self {
        Self::mm(value * MM_PER_INCH)
    }

    /// The length in inches.
    pub const fn to_inches(self) -> f64 {
        self.to_mm() / MM_PER_INCH
    }
}

impl Angle {
    /// An angle from radians.
    pub const fn rad(value: f64) -> Self {
        Self::deg(value.to_degrees())
    }

    /// The angle in radians.
    pub const fn to_rad(self) -> f64 {
        self.to_deg().to_radians()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Unit definitions, exact by international agreement; the same figures come from the `pint` unit library.
    #[test]
    fn units_are_the_defined_ones() {
        let size = |units: &[(&str, f64)], word: &str| units.iter().find(|unit| unit.0 == word).unwrap().1;
        assert_eq!(size(Length::UNITS, "in"), 25.4);
        assert!((size(Torque::UNITS, "lbf ft") - 1.355_817_948_331_400_4).abs() < 1e-15);
        assert!((size(Torque::UNITS, "lbf in") - 0.112_984_829_027_616_7).abs() < 1e-16);
        assert!((size(Torque::UNITS, "kgf cm") - 0.098_066_5).abs() < 1e-15);
    }

    #[test]
    fn a_quantity_is_shown_with_its_unit_and_a_true_minus() {
        assert_eq!(format!("{}", Length::mm(-1.85)), "−1.85 mm");
        assert_eq!(format!("{:.0}", Length::mm(410.0)), "410 mm");
        assert_eq!(format!("{:.1}", Angle::deg(73.0)), "73.0°");
        assert_eq!(format!("{:.1}", Ratio::new(1.7)), "1.7");
    }
}
