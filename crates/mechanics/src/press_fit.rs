//! Whether a cup holds in a bored shell by pressure alone. Begin with [`hold`].
//!
//! A slide caliper names the family of a bore; it never judges a press fit. Bores are read with a bore gauge, cups
//! with a micrometer, both to 0.01 mm.

use quantity::Length;

/// How far a bore may be out of round and still hold a cup. From memory; the maker's leaflet wins.
pub const OVALITY_LIMIT: Length = Length::mm(0.05);

/// One bore, read across in several directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bore {
    /// The smallest diameter read.
    pub narrowest: Length,
    /// The largest diameter read.
    pub widest: Length,
}

impl Bore {
    /// A bore from its readings; the order does not matter. `None` without readings, or with one that is no
    /// finite number.
    pub fn from_readings(readings: &[Length]) -> Option<Self> {
        let (first, rest) = readings.split_first()?;
        if readings.iter().any(|reading| !reading.to_mm().is_finite()) {
            return None;
        }
        let mut bore = Self { narrowest: *first, widest: *first };
        for reading in rest {
            if *reading < bore.narrowest {
                bore.narrowest = *reading;
            }
            if *reading > bore.widest {
                bore.widest = *reading;
            }
        }
        Some(bore)
    }

    /// How far the bore is out of round: the largest diameter less the smallest.
    ///
    /// Never falls as readings are added. Two readings a quarter of a turn apart can miss an oval that lies
    /// between them; three or four cannot miss all of it. A bore with three lobes can be equally wide all around: no
    /// reading across shows it.
    pub fn ovality(self) -> Length {
        self.widest - self.narrowest
    }
}

/// How much larger a cup is than its bore; negative is loose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// Where the bore is widest: what may creak.
    pub least: Length,
    /// Where the bore is narrowest: what may bind the bearing or split the shell.
    pub most: Length,
}

/// How much larger a cup is than a bore.
///
/// `D − d`, with D the outer diameter of the cup and d that of the bore.
///
/// Rises with the cup, falls with the bore; negative is loose.
///
/// # Source
/// Geometry. Checked on bores laid out point by point: `tests/second_opinion.rs`.
pub fn interference(cup: Length, bore: Length) -> Length {
    cup - bore
}

/// How a cup holds in a bore that is not quite round.
///
/// [`interference`] at the widest and at the narrowest diameter; `most − least` is the ovality.
///
/// Both rise with the cup and fall with the bore.
pub fn hold(cup: Length, bore: Bore) -> Hold {
    Hold { least: interference(cup, bore.widest), most: interference(cup, bore.narrowest) }
}

/// How a pair of cups holds, each in its own bore: the looser end of the looser and the tighter end of the
/// tighter.
///
/// A shell holds as its worse bore does, so one good bore never hides a bad one. The same when the sides are
/// swapped.
///
/// # Example
/// ```
/// use mechanics::press_fit::{Bore, hold_of_both};
/// use quantity::Length;
/// let left = Bore { narrowest: Length::mm(40.96), widest: Length::mm(40.98) };
/// let right = Bore { narrowest: Length::mm(40.97), widest: Length::mm(41.03) };
/// let hold = hold_of_both(Length::mm(41.0), left, Length::mm(41.0), right);
/// assert_eq!(hold.least.to_string(), "−0.03 mm");
/// assert_eq!(hold.most.to_string(), "0.04 mm");
/// ```
pub fn hold_of_both(left_cup: Length, left: Bore, right_cup: Length, right: Bore) -> Hold {
    let (left, right) = (hold(left_cup, left), hold(right_cup, right));
    Hold {
        least: if right.least < left.least { right.least } else { left.least },
        most: if right.most > left.most { right.most } else { left.most },
    }
}
