//! Screw threads as the trade writes them: `1.37 in x 24 tpi`, `M5 x 0.8`.

use crate::Length;
use std::fmt;

/// A thread by its major diameter and pitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thread {
    /// Major diameter.
    pub diameter: Length,
    /// Advance in one turn.
    pub pitch: Length,
}

impl Thread {
    /// A metric thread.
    pub const fn metric(diameter_mm: f64, pitch_mm: f64) -> Self {
        Self { diameter: Length::mm(diameter_mm), pitch: Length::mm(pitch_mm) }
    }

    /// A thread by its diameter in inches and its threads per inch.
    pub fn inch(diameter_in: f64, threads_per_inch: f64) -> Self {
        Self { diameter: Length::inches(diameter_in), pitch: Length::inches(1.0 / threads_per_inch) }
    }

    /// Basic minor diameter of the internal thread, `d − 1.082532 p`, millimetres.
    ///
    /// The bore of a shell is never smaller; real taps run a little larger.
    ///
    /// # Source
    /// ISO 68-1 basic profile: `d − 5/8 · √3 · p`. Checked on the shell bores of the handbook tables.
    pub fn minor_mm(self) -> f64 {
        self.diameter.to_mm() - 0.625 * 3f64.sqrt() * self.pitch.to_mm()
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.2} x {:.3}", self.diameter, self.pitch)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bores of threaded shells, to the printed digits: workshop crib sheets, 33.65, 33.92, 34.85, 45.92 mm.
    #[test]
    fn minor_diameters_are_the_printed_bores() {
        for (thread, printed) in [
            (Thread::inch(1.37, 24.0), 33.65),
            (Thread::metric(35.0, 1.0), 33.92),
            (Thread { diameter: Length::mm(36.0), pitch: Length::inches(1.0 / 24.0) }, 34.85),
            (Thread::metric(47.0, 1.0), 45.92),
        ] {
            assert!((thread.minor_mm() - printed).abs() < 0.005, "{thread}: {}", thread.minor_mm());
        }
    }
}
