//! A smooth curve through readings that never swings past them: what a technician's few readings allow.
//! Begin with [`MonotoneCurve::new`].

use std::fmt;

/// Why readings make no curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveError {
    /// Fewer than two readings.
    TooFew {
        /// How many there are.
        found: usize,
    },
    /// A reading is no finite number.
    NotFinite {
        /// Its place, the first as 0.
        place: usize,
    },
    /// A reading whose first number does not lie above that of the one before.
    OutOfOrder {
        /// Its place, the first as 0.
        place: usize,
    },
    /// A reading whose second number does not lie above that of the one before, where a rising curve is needed.
    NotRising {
        /// Its place, the first as 0.
        place: usize,
    },
}

impl fmt::Display for CurveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { found } => write!(f, "found {found} readings, wanted two or more"),
            Self::NotFinite { place } => write!(f, "reading {} is no finite number", place + 1),
            Self::OutOfOrder { place } => {
                write!(f, "reading {} does not lie beyond the one before", place + 1)
            }
            Self::NotRising { place } => {
                write!(f, "reading {} does not rise above the one before", place + 1)
            }
        }
    }
}

impl std::error::Error for CurveError {}

/// A cubic from reading to reading, with slopes at the readings that keep it between them.
///
/// The slope at an inner reading is the weighted harmonic mean of the slopes of the chords beside it, or 0
/// where those differ in sign; at an end it is that of the parabola through three readings, held so that the
/// curve does not turn back. Beyond the ends it goes on straight.
#[derive(Clone, Debug, PartialEq)]
pub struct MonotoneCurve {
    readings: Vec<(f64, f64)>,
    slopes: Vec<f64>,
}

impl MonotoneCurve {
    /// The curve through readings in the order of their first number.
    ///
    /// Between two readings it rises, falls or stays as they do. Two readings give a straight line.
    ///
    /// # Errors
    /// [`CurveError`] but for [`CurveError::NotRising`].
    ///
    /// # Source
    /// F. N. Fritsch and J. Butland, *A method for constructing local monotone piecewise cubic interpolants*,
    /// 1984. Checked against a general numerical library: `tests/curves.rs`.
    pub fn new(readings: &[(f64, f64)]) -> Result<Self, CurveError> {
        if readings.len() < 2 {
            return Err(CurveError::TooFew { found: readings.len() });
        }
        if let Some(place) = readings.iter().position(|(x, y)| !(x.is_finite() && y.is_finite())) {
            return Err(CurveError::NotFinite { place });
        }
        if let Some(place) = readings.windows(2).position(|pair| pair[1].0 <= pair[0].0) {
            return Err(CurveError::OutOfOrder { place: place + 1 });
        }
        Ok(Self { readings: readings.to_vec(), slopes: slopes(readings) })
    }

    /// As [`MonotoneCurve::new`], for readings that rise; the curve can then be read both ways.
    ///
    /// # Errors
    /// [`CurveError`].
    pub fn rising(readings: &[(f64, f64)]) -> Result<Self, CurveError> {
        let curve = Self::new(readings)?;
        match readings.windows(2).position(|pair| pair[1].1 <= pair[0].1) {
            Some(place) => Err(CurveError::NotRising { place: place + 1 }),
            None => Ok(curve),
        }
    }

    /// The readings.
    pub fn readings(&self) -> &[(f64, f64)] {
        &self.readings
    }

    /// Slopes at the readings.
    pub fn slopes(&self) -> &[f64] {
        &self.slopes
    }

    /// First and last place that was read; beyond them the curve is a guess.
    pub fn range(&self) -> (f64, f64) {
        (self.readings[0].0, self.readings[self.readings.len() - 1].0)
    }

    /// The value at a place.
    pub fn value(&self, x: f64) -> f64 {
        let (first, last) = self.range();
        if x <= first {
            return self.readings[0].1 + (x - first) * self.slopes[0];
        }
        if x >= last {
            let end = self.readings.len() - 1;
            return self.readings[end].1 + (x - last) * self.slopes[end];
        }
        let (span, share) = self.find(x);
        let Cubic { start, linear, square, cube } = self.cubic(span);
        start + share * (linear + share * (square + share * cube))
    }

    /// The slope at a place.
    pub fn slope(&self, x: f64) -> f64 {
        let (first, last) = self.range();
        if x <= first {
            return self.slopes[0];
        }
        if x >= last {
            return self.slopes[self.slopes.len() - 1];
        }
        let (span, share) = self.find(x);
        let Cubic { linear, square, cube, .. } = self.cubic(span);
        linear + share * (2.0 * square + share * 3.0 * cube)
    }

    /// Where a rising curve takes a value; `None` for a curve that does not rise all along, and beyond an end
    /// where it lies flat.
    ///
    /// Found by Newton steps kept inside the stretch between two readings.
    pub fn place_of(&self, value: f64) -> Option<f64> {
        if value.is_nan() || self.readings.windows(2).any(|pair| pair[1].1 <= pair[0].1) {
            return None;
        }
        let end = self.readings.len() - 1;
        for (reading, is_beyond) in [(0, value <= self.readings[0].1), (end, value >= self.readings[end].1)] {
            let (x, y) = self.readings[reading];
            if is_beyond {
                let beyond = value - y;
                return if beyond == 0.0 {
                    Some(x)
                } else {
                    (self.slopes[reading] > 0.0).then(|| x + beyond / self.slopes[reading])
                };
            }
        }
        let span = self.readings.partition_point(|reading| reading.1 <= value) - 1;
        let Cubic { start, linear, square, cube } = self.cubic(span);
        let (mut low, mut high) = (0.0, self.readings[span + 1].0 - self.readings[span].0);
        let mut share = high * (value - start) / (self.readings[span + 1].1 - start);
        for _ in 0..100 {
            let over = start + share * (linear + share * (square + share * cube)) - value;
            if over > 0.0 {
                high = share;
            } else {
                low = share;
            }
            let newton = share - over / (linear + share * (2.0 * square + share * 3.0 * cube));
            let next = if low < newton && newton < high { newton } else { 0.5 * (low + high) };
            let step = (next - share).abs();
            share = next;
            if step <= 1e-15 * (1.0 + high) {
                break;
            }
        }
        Some(self.readings[span].0 + share)
    }

    /// The stretch that holds a place inside the range, and how far into it the place lies.
    fn find(&self, x: f64) -> (usize, f64) {
        let inner = self.readings.partition_point(|reading| reading.0 <= x);
        let span = inner.saturating_sub(1).min(self.readings.len() - 2);
        (span, x - self.readings[span].0)
    }

    fn cubic(&self, span: usize) -> Cubic {
        let [(x, y), (next_x, next_y)] = [self.readings[span], self.readings[span + 1]];
        let (width, linear, after) = (next_x - x, self.slopes[span], self.slopes[span + 1]);
        let chord = (next_y - y) / width;
        let bend = (linear + after - 2.0 * chord) / width;
        Cubic { start: y, linear, square: (chord - linear) / width - bend, cube: bend / width }
    }
}

/// A cubic in the distance from the start of its stretch.
struct Cubic {
    start: f64,
    linear: f64,
    square: f64,
    cube: f64,
}

fn slopes(readings: &[(f64, f64)]) -> Vec<f64> {
    let width = |span: usize| readings[span + 1].0 - readings[span].0;
    let chord = |span: usize| (readings[span + 1].1 - readings[span].1) / width(span);
    let last = readings.len() - 1;
    if last == 1 {
        return vec![chord(0); 2];
    }
    let mut slopes = Vec::with_capacity(readings.len());
    slopes.push(end_slope(width(0), width(1), chord(0), chord(1)));
    for inner in 1..last {
        let (before, after) = (chord(inner - 1), chord(inner));
        if before * after <= 0.0 {
            slopes.push(0.0);
            continue;
        }
        let weight_before = 2.0 * width(inner) + width(inner - 1);
        let weight_after = width(inner) + 2.0 * width(inner - 1);
        slopes.push((weight_before + weight_after) / (weight_before / before + weight_after / after));
    }
    slopes.push(end_slope(width(last - 1), width(last - 2), chord(last - 1), chord(last - 2)));
    slopes
}

/// Slope of the parabola through the three readings at an end; 0 if it would run against the first chord, and
/// no more than three times that chord where the chords turn.
fn end_slope(width: f64, next_width: f64, chord: f64, next_chord: f64) -> f64 {
    let parabola = ((2.0 * width + next_width) * chord - width * next_chord) / (width + next_width);
    if parabola * chord <= 0.0 {
        0.0
    } else if chord * next_chord <= 0.0 && parabola.abs() > 3.0 * chord.abs() {
        3.0 * chord
    } else {
        parabola
    }
}
