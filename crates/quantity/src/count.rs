//! Whole things that are counted: teeth and chain pitches.

use std::fmt;

/// A tooth count that no sprocket of a bicycle drivetrain has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutOfRange {
    /// The number found.
    pub found: i64,
    /// The smallest accepted.
    pub least: i64,
    /// The largest accepted.
    pub most: i64,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is outside {} to {}", self.found, self.least, self.most)
    }
}

impl std::error::Error for OutOfRange {}

/// The teeth of a sprocket: 6 to 80. The smallest cogs made have 9, children's and timing rings stay under 80.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Teeth(u8);

impl Teeth {
    /// Fewest teeth accepted.
    pub const LEAST: i64 = 6;
    /// Most teeth accepted.
    pub const MOST: i64 = 80;

    /// A tooth count.
    ///
    /// # Errors
    /// [`OutOfRange`] below 6 or above 80.
    pub fn new(count: i64) -> Result<Self, OutOfRange> {
        match u8::try_from(count) {
            Ok(teeth) if (Self::LEAST..=Self::MOST).contains(&count) => Ok(Self(teeth)),
            _ => Err(OutOfRange { found: count, least: Self::LEAST, most: Self::MOST }),
        }
    }

    /// The count.
    pub fn get(self) -> u32 {
        u32::from(self.0)
    }

    /// The count as a number to calculate with.
    pub fn to_f64(self) -> f64 {
        f64::from(self.0)
    }
}

impl fmt::Display for Teeth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// A length of chain in half-inch pitches, before or after rounding to what can be joined.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Pitches(f64);

impl Pitches {
    /// Millimetres in one pitch: half an inch (ISO 9633).
    pub const MM: f64 = 12.7;

    /// So many pitches.
    pub const fn new(count: f64) -> Self {
        Self(count)
    }

    /// The number of pitches.
    pub const fn to_f64(self) -> f64 {
        self.0
    }

    /// The same length in millimetres.
    pub const fn to_mm(self) -> f64 {
        self.0 * Self::MM
    }

    /// The next even whole number of pitches that is not shorter: inner plates join only to outer plates.
    pub fn next_even(self) -> u32 {
        // A count that is even but for rounding noise stays.
        let half = ((self.0 - crate::SLACK) / 2.0).ceil().max(0.0);
        // The cast saturates, and so does the doubling: no chain is that long.
        (half as u32).saturating_mul(2)
    }
}

impl fmt::Display for Pitches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&crate::digits::with_unit(self.0, f.precision().unwrap_or(2), "pitches"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_even_count_is_not_rounded_up() {
        assert_eq!(Pitches::new(106.0).next_even(), 106);
        assert_eq!(Pitches::new(106.000_000_000_1).next_even(), 106);
        assert_eq!(Pitches::new(106.01).next_even(), 108);
        assert_eq!(Pitches::new(f64::INFINITY).next_even(), u32::MAX);
    }

    #[test]
    fn impossible_tooth_counts_are_refused() {
        for count in [-3, 0, 5, 81, 1000, i64::MAX, i64::MIN] {
            assert!(Teeth::new(count).is_err(), "{count}");
        }
        assert_eq!(Teeth::new(11).unwrap().get(), 11);
    }
}
