//! How much thread holds a bolt, and how much it needs. Begin with [`engagement`].

use quantity::Length;

/// What the female thread is cut in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ThreadIn {
    /// Steel.
    Steel,
    /// Aluminium.
    Aluminium,
}

/// Thread shared by a bolt and a sleeve nut that meet inside a wall.
///
/// `min(b + n − (D − c), n)`: the bolt reaches `b` in from the front, the nut reaches `n` in from its seat, and
/// seat and front face are `D − c` apart: the depth of the wall less the counterbore. What overlaps is engaged,
/// at most the whole nut. Negative where the two do not meet.
///
/// Rises with bolt, nut and counterbore, falls with the depth.
///
/// # Source
/// Geometry.
///
/// # Example
/// ```
/// use mechanics::thread_engagement::engagement;
/// use quantity::Length;
/// let mm = Length::mm;
/// assert_eq!(engagement(mm(18.0), mm(20.0), mm(34.0), mm(4.0)).to_mm(), 8.0);
/// ```
pub fn engagement(bolt: Length, nut: Length, depth: Length, counterbore: Length) -> Length {
    let overlap_mm = bolt.to_mm() + nut.to_mm() - (depth.to_mm() - counterbore.to_mm());
    Length::mm(overlap_mm.min(nut.to_mm()))
}

/// Thread that a bolt needs: its diameter in steel, half as much again in aluminium.
///
/// Proportional to the diameter.
///
/// # Source
/// Rule of thumb of machine design, from memory: no page is cited.
pub fn needed(diameter: Length, thread: ThreadIn) -> Length {
    let diameters = match thread {
        ThreadIn::Steel => 1.0,
        ThreadIn::Aluminium => 1.5,
    };
    Length::mm(diameter.to_mm() * diameters)
}

/// Turns from the first bite to the end of an engagement.
///
/// `l / p`. Proportional to the engagement, falls with the pitch; a pitch of 0 gives infinity.
///
/// # Source
/// Definition of the pitch, ISO 68-1.
pub fn turns(engagement: Length, pitch: Length) -> f64 {
    engagement.to_mm() / pitch.to_mm()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::mm(value)
    }

    #[test]
    fn a_nut_is_never_engaged_over_more_than_its_length() {
        assert_eq!(engagement(mm(40.0), mm(15.0), mm(30.0), mm(0.0)), mm(15.0));
    }

    #[test]
    fn a_deeper_crown_takes_thread_away_and_a_deeper_counterbore_gives_it_back() {
        let usual = engagement(mm(18.0), mm(18.0), mm(32.0), mm(4.0));
        assert_eq!(usual, mm(8.0));
        assert_eq!(engagement(mm(18.0), mm(18.0), mm(35.0), mm(4.0)), mm(5.0));
        assert_eq!(engagement(mm(18.0), mm(18.0), mm(35.0), mm(7.0)), usual);
        assert!(engagement(mm(10.0), mm(10.0), mm(32.0), mm(4.0)) < mm(0.0));
    }

    #[test]
    fn six_millimetres_of_m6_are_six_turns() {
        assert_eq!(needed(mm(6.0), ThreadIn::Steel), mm(6.0));
        assert_eq!(needed(mm(6.0), ThreadIn::Aluminium), mm(9.0));
        // ISO 261: the coarse pitch of M6 is 1 mm.
        assert_eq!(turns(mm(6.0), mm(1.0)), 6.0);
    }
}
