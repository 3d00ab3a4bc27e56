//! Families of index shifting: cable pull of a click, ratio of the derailleur, pitch that they serve.
//!
//! Pulls and ratios are printed to 0.1 and too coarse to condemn a pair by less than [`WORKING_BAND`].

use super::{Confidence, MEMORY, Source};
use quantity::{Length, Ratio};

/// A family that belongs together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// What it is, by its dimensions.
    pub name: &'static str,
    /// Number of cogs.
    pub speeds: u32,
    /// Cable pulled by a click, on the mean where clicks differ.
    pub pull: Length,
    /// Sideways pulley travel for one millimetre of cable, where a source gives it.
    pub ratio: Option<Ratio>,
    /// Cog pitches that it serves: every reading.
    pub pitches: &'static [Length],
    /// Where the row comes from.
    pub source: Source,
}

impl Row {
    /// Sideways travel of a click: `pull × ratio`.
    pub fn step(&self) -> Option<Length> {
        Some(self.pull * self.ratio?.to_f64())
    }
}

/// Share of the pitch by which pull times ratio misses it in most families that work, for the prints are rounded
/// to 0.1. The 10-speed flat-bar family misses by 3.3 % and works: the band suspects, it does not condemn.
pub const WORKING_BAND: f64 = 0.03;

/// Half of the last printed digit of pulls (in mm) and of ratios.
pub const HALF_DIGIT: f64 = 0.05;

const fn mm(value: f64) -> Length {
    Length::mm(value)
}

const fn row(
    name: &'static str,
    speeds: u32,
    pull_mm: f64,
    ratio: Option<f64>,
    pitches: &'static [Length],
    source: (&'static str, Confidence),
) -> Row {
    let ratio = match ratio {
        Some(ratio) => Some(Ratio::new(ratio)),
        None => None,
    };
    Row { name, speeds, pull: mm(pull_mm), ratio, pitches, source: Source::new(source.0, source.1) }
}

const COMPARED: (&str, Confidence) = ("comparison table of pulls and ratios", Confidence::B);
const PULL_REMEMBERED: (&str, Confidence) = ("pull from memory, ratio from a workshop page", Confidence::C);
const REMEMBERED: (&str, Confidence) = (MEMORY, Confidence::D);

/// Families by number of cogs.
pub const TABLE: &[Row] = &[
    row("ratio 1.7", 6, 3.2, Some(1.7), &[mm(5.5)], REMEMBERED),
    row("ratio 1.7", 7, 2.9, Some(1.7), &[mm(5.0), mm(5.1)], REMEMBERED),
    row("ratio 1.7", 8, 2.8, Some(1.7), &[mm(4.8)], PULL_REMEMBERED),
    row("ratio 1.1, sold as one to one", 8, 4.3, Some(1.1), &[mm(4.8)], REMEMBERED),
    row("uneven pull", 8, 3.5, Some(1.4), &[mm(5.0)], ("printed product 4.9 mm", Confidence::B)),
    row("ratio 1.7", 9, 2.5, Some(1.7), &[mm(4.34), mm(4.35)], PULL_REMEMBERED),
    row("ratio 1.1, sold as one to one", 9, 4.0, Some(1.1), &[mm(4.34), mm(4.35)], REMEMBERED),
    row("ratio 1.7, road", 10, 2.3, Some(1.7), &[mm(3.95)], COMPARED),
    row("ratio 1.2, flat bar", 10, 3.4, Some(1.2), &[mm(3.95)], COMPARED),
    row("ratio 1.3", 10, 3.1, Some(1.3), &[mm(3.95)], REMEMBERED),
    row(
        "uneven pull, mean of 2.5 x 5, 3.0 x 2, 3.5 x 2",
        10,
        25.5 / 9.0,
        Some(1.5),
        &[mm(4.15), mm(4.12)],
        ("shop engineer's article, pulls printed", Confidence::B),
    ),
    row("ratio 1.4, road", 11, 2.7, Some(1.4), &[mm(3.69), mm(3.74), mm(3.78)], COMPARED),
    row("ratio 1.1, flat bar", 11, 3.6, Some(1.1), &[mm(3.9)], COMPARED),
    row("uneven pull, nominal", 11, 2.6, None, &[mm(3.85)], ("shop page", Confidence::B)),
];

/// Pulls of an 11-speed lever of the uneven-pull family, click by click from the smallest cog, early make.
///
/// # Source
/// Measured by an amateur rig with a dial gauge, repeatable to 0.1 mm, confidence B. The author's total is
/// 27.3 mm; the clicks add up to 27.25 mm.
pub const UNEVEN_PULLS_EARLY: [Length; 10] =
    [mm(3.35), mm(2.5), mm(2.5), mm(2.2), mm(2.2), mm(2.6), mm(2.6), mm(2.9), mm(2.9), mm(3.5)];

/// The same lever, later make: the author's total is 29.8 mm; the clicks add up to 29.9 mm.
pub const UNEVEN_PULLS_LATE: [Length; 10] =
    [mm(4.0), mm(2.8), mm(2.5), mm(2.7), mm(2.7), mm(2.7), mm(2.7), mm(3.0), mm(3.4), mm(3.4)];

/// Every family for a number of cogs.
pub fn families(speeds: u32) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |row| row.speeds == speeds)
}
