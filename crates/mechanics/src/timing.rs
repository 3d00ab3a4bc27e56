//! The chain between the two cranksets of a tandem: rings of equal size and no derailleur, so that the centres
//! must fit the chain. Begin with [`chains_in_range`].
//!
//! For rings of different sizes see [`crate::chain::centre_distance`].

use quantity::{Length, Pitches, Teeth};

/// Chain and centres that belong together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timing {
    /// Pitches of the chain; even.
    pub count: u32,
    /// The centres at which a new chain is taut.
    pub centres: Length,
    /// How far the eccentric can still part the centres from there.
    pub room_to_grow: Length,
}

/// Length of chain around two rings of equal size with no slack.
///
/// `n = 2C/p + N`
///
/// Grows with the centres and the teeth. It is [`crate::chain::need`] for equal sprockets, without its errors:
/// centres too close for the rings give a length that no bike has.
///
/// # Source
/// Two straight runs and two half rings. A ring of N teeth carries N/2 pitches on its half.
pub fn need(ring: Teeth, centres: Length) -> Pitches {
    Pitches::new(2.0 * centres.to_mm() / Pitches::MM + ring.to_f64())
}

/// Centres at which a chain of so many pitches is taut: the inverse of [`need`].
///
/// `C = (n − N) p / 2`
///
/// Grows with the count by half a pitch, 6.35 mm, for each; falls as much with each tooth. Negative when the chain
/// does not reach around one ring.
///
/// # Source
/// As [`need`]; beside the exact form for any two sprockets: `tests/wheel_laws.rs`.
pub fn centres(ring: Teeth, count: u32) -> Length {
    Length::mm((f64::from(count) - ring.to_f64()) * Pitches::MM / 2.0)
}

/// How far the centres must part to keep a chain taut as it wears.
///
/// `w n p / 2`, with w the wear as a share (0.0075 for 0.75 %): all that the chain grows goes into the two straight
/// runs. A worn chain also rides higher on the teeth, which takes up some; so this is the most.
///
/// Proportional to both: 0.75 % of 110 pitches need 5.2 mm.
pub fn growth(count: u32, wear_percent: f64) -> Length {
    Length::mm(wear_percent / 100.0 * f64::from(count) * Pitches::MM / 2.0)
}

/// Every even chain that is taut somewhere in the range of an eccentric, the shortest first.
///
/// `least` and `most` are the centres at the two ends of the eccentric's throw. The next even chain is 12.7 mm of
/// centres away, so a throw of 12.7 mm holds at least one and a smaller one may hold none. The best is that with
/// [`room_to_grow`](Timing::room_to_grow) beyond its [`growth`] to the wear limit; the shortest has the most room.
///
/// A wider range never takes a chain away. Empty when `most` is below `least`, when a bound is no finite number,
/// and when the rings would overlap over the whole range. Centres beyond 100 m are not looked at.
///
/// # Source
/// Counting.
///
/// # Example
/// ```
/// use mechanics::timing::chains_in_range;
/// use quantity::{Length, Teeth};
/// let found = chains_in_range(Teeth::new(42)?, Length::mm(702.0), Length::mm(718.0));
/// assert_eq!(found.len(), 1);
/// assert_eq!((found[0].count, found[0].centres.to_string()), (154, "711.20 mm".to_owned()));
/// assert_eq!(found[0].room_to_grow.to_string(), "6.80 mm");
/// # Ok::<(), quantity::OutOfRange>(())
/// ```
pub fn chains_in_range(ring: Teeth, least: Length, most: Length) -> Vec<Timing> {
    /// No tandem is longer; it bounds the list.
    const FAR: Length = Length::mm(1.0e5);
    if !(least.to_mm().is_finite() && most.to_mm().is_finite()) {
        return Vec::new();
    }
    // Rings that overlap are no tandem: the centres start where the two clear each other.
    let clear = crate::chain::pitch_radius(ring) * 2.0;
    let least = if least < clear { clear } else { least };
    let most = if most > FAR { FAR } else { most };
    let mut count = need(ring, least).next_even();
    let mut found = Vec::new();
    loop {
        let taut = centres(ring, count);
        let room_mm = (most - taut).to_mm();
        // Rounding alone never loses a chain that is taut at the very end. A `most` below `least` ends here too.
        if room_mm < -quantity::SLACK {
            return found;
        }
        found.push(Timing { count, centres: taut, room_to_grow: Length::mm(room_mm.max(0.0)) });
        count += 2;
    }
}
