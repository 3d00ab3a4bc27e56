//! Intervals: what is known of a number when its parts are known only within tolerances.
//!
//! Bounds are rounded outward after every operation, so that the true value never escapes. A limit that
//! is only touched at its very edge is not crossed: see [`Span::against`].

use std::ops::{Add, Mul, Neg, Sub};

/// The one slack of the house: two numbers closer than this are the same number.
///
/// A nanometre is far below any workshop tool, and far above the rounding of `f64` for bicycle sizes
/// (1e-13 mm), so sums like 34.90 − 36.75 + 1.85 meet their limit of exactly 0.
pub const SLACK: f64 = 1e-9;

/// Where an interval stands to a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// The whole interval reaches the limit or more.
    AtOrAbove,
    /// The whole interval is below the limit (its upper end may touch it).
    Below,
    /// Part is below and part above: the limit lies inside the tolerance.
    Across,
}

/// A closed interval of real numbers, never empty, never NaN.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    least: f64,
    most: f64,
}

impl Span {
    /// The interval that holds one number only. NaN becomes the whole line: nothing is known of it.
    pub fn exact(value: f64) -> Self {
        Self::new(value, value)
    }

    /// The interval between two numbers, given in any order. NaN becomes the whole line.
    pub fn new(a: f64, b: f64) -> Self {
        if a.is_nan() || b.is_nan() {
            return Self { least: f64::NEG_INFINITY, most: f64::INFINITY };
        }
        Self { least: a.min(b), most: a.max(b) }
    }

    /// The interval `value ± tolerance`.
    pub fn around(value: f64, tolerance: f64) -> Self {
        if tolerance == 0.0 {
            return Self::exact(value);
        }
        Self::new((value - tolerance.abs()).next_down(), (value + tolerance.abs()).next_up())
    }

    /// The lower end.
    pub fn least(self) -> f64 {
        self.least
    }

    /// The upper end.
    pub fn most(self) -> f64 {
        self.most
    }

    /// The number in the middle, which is shown.
    pub fn middle(self) -> f64 {
        if self.least == self.most { self.least } else { self.least + (self.most - self.least) / 2.0 }
    }

    /// Half the width: the `±` that is shown.
    pub fn half_width(self) -> f64 {
        (self.most - self.least) / 2.0
    }

    /// Whether there is no tolerance at all (but for rounding noise).
    pub fn is_exact(self) -> bool {
        self.most - self.least <= SLACK
    }

    /// Whether the number lies inside, ends included.
    pub fn holds(self, value: f64) -> bool {
        self.least <= value && value <= self.most
    }

    /// Where the interval stands to a limit, with [`SLACK`].
    ///
    /// An exact number that equals the limit reaches it. An interval whose upper end merely touches the
    /// limit is [`Stand::Below`]: a single point of it would pass, which is no measurement at all.
    pub fn against(self, limit: f64) -> Stand {
        if self.least >= limit - SLACK {
            Stand::AtOrAbove
        } else if self.most <= limit + SLACK {
            Stand::Below
        } else {
            Stand::Across
        }
    }

    /// The interval stretched to hold another.
    pub fn join(self, other: Self) -> Self {
        Self { least: self.least.min(other.least), most: self.most.max(other.most) }
    }

    /// The image of the interval under a function that only rises or only falls on it.
    pub fn map_monotone(self, f: impl Fn(f64) -> f64) -> Self {
        if self.is_exact() {
            return Self::exact(f(self.middle()));
        }
        let (a, b) = (f(self.least), f(self.most));
        Self::new(a.min(b).next_down(), a.max(b).next_up())
    }

    /// The image of two intervals under a function that is monotone in each argument.
    pub fn map2_monotone(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        self.map_monotone(|a| f(a, other.least)).join(self.map_monotone(|a| f(a, other.most)))
    }

    /// The image of several intervals under a function that is monotone in each argument: the hull of all
    /// corners. Meant for a handful of arguments; the corners double with each.
    pub fn hull(inputs: &[Self], f: impl Fn(&[f64]) -> f64) -> Self {
        let inexact: Vec<usize> = (0..inputs.len()).filter(|i| !inputs[*i].is_point()).collect();
        let mut point: Vec<f64> = inputs.iter().map(|span| span.least).collect();
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for corner in 0..1usize << inexact.len().min(16) {
            for (bit, i) in inexact.iter().enumerate() {
                point[*i] = if corner >> bit & 1 == 1 { inputs[*i].most } else { inputs[*i].least };
            }
            let value = f(&point);
            if value.is_nan() {
                return Self::new(value, value);
            }
            (least, most) = (least.min(value), most.max(value));
        }
        Self::outward(least, most, inexact.is_empty())
    }

    fn outward(least: f64, most: f64, exact: bool) -> Self {
        // Infinity minus infinity: nothing is known, which `new` turns into the whole line.
        if least.is_nan() || most.is_nan() || exact {
            Self::new(least, most)
        } else {
            Self { least: least.next_down(), most: most.next_up() }
        }
    }

    fn is_point(self) -> bool {
        self.least == self.most
    }
}

impl Add for Span {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let exact = self.is_point() && other.is_point();
        Self::outward(self.least + other.least, self.most + other.most, exact)
    }
}

impl Sub for Span {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Span {
    type Output = Self;
    fn neg(self) -> Self {
        Self { least: -self.most, most: -self.least }
    }
}

impl Mul for Span {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let products = [
            self.least * other.least,
            self.least * other.most,
            self.most * other.least,
            self.most * other.most,
        ];
        if products.iter().any(|p| p.is_nan()) {
            return Self::new(f64::NAN, f64::NAN);
        }
        let least = products.iter().copied().fold(f64::INFINITY, f64::min);
        let most = products.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Self::outward(least, most, self.is_point() && other.is_point())
    }
}

impl Mul<f64> for Span {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        self * Self::exact(factor)
    }
}

impl Add<f64> for Span {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        self + Self::exact(other)
    }
}

impl Sub<f64> for Span {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        self + Self::exact(-other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn touching_the_limit_is_not_crossing_it() {
        assert_eq!(Span::exact(0.0).against(0.0), Stand::AtOrAbove);
        assert_eq!(Span::around(-0.5, 0.5).against(0.0), Stand::Below);
        assert_eq!(Span::around(0.5, 0.5).against(0.0), Stand::AtOrAbove);
        assert_eq!(Span::around(0.0, 0.1).against(0.0), Stand::Across);
    }

    #[test]
    fn a_sum_that_is_zero_on_paper_reaches_zero() {
        let margin = Span::exact(34.9) - Span::exact(36.75) + Span::exact(1.85);
        assert_eq!(margin.against(0.0), Stand::AtOrAbove);
    }

    #[test]
    fn not_a_number_means_nothing_is_known() {
        assert_eq!(Span::exact(f64::NAN).against(0.0), Stand::Across);
        assert_eq!((Span::exact(f64::INFINITY) - Span::exact(f64::INFINITY)).against(7.0), Stand::Across);
    }
}
