//! How few positions of the cage serve all gears, and where its two stops stand.

use super::{Clean, Pass};
use quantity::Length;

/// A position of the cage that leaves a group of gears clear, anywhere between two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trim {
    /// Innermost.
    pub least: Length,
    /// Outermost.
    pub most: Length,
    /// How many of the gears it serves that no position further in serves.
    pub serves: usize,
}

impl Trim {
    /// The position with as much to spare on either side.
    pub fn middle(self) -> Length {
        (self.least + self.most) * 0.5
    }
}

/// The fewest positions that leave every gear clear which any position leaves clear, the innermost first.
///
/// Each is the outermost that the gear with the innermost end bears; what it leaves begins the next. A gear whose
/// clear width is below 0 takes no part. The order of the gears does not matter.
///
/// # Source
/// Fewest points that meet a set of intervals, by their ends: a textbook example of a greedy method that is best.
/// Against every choice of positions: `tests/front_laws.rs::no_fewer_positions_do`.
pub fn trims(clean: &[Clean]) -> Vec<Trim> {
    let mut found: Vec<Trim> = Vec::new();
    loop {
        let reached = found.last().map(|trim| trim.most);
        let waiting = || {
            clean
                .iter()
                .filter(move |one| one.width() >= Length::mm(0.0) && reached.is_none_or(|at| one.least > at))
        };
        let ends = waiting().map(|one| one.most);
        let Some(most) = ends.min_by(|one, other| one.to_mm().total_cmp(&other.to_mm())) else {
            return found;
        };
        let served = || waiting().filter(|one| one.least <= most);
        let least = served().map(|one| one.least).max_by(|one, other| one.to_mm().total_cmp(&other.to_mm()));
        found.push(Trim { least: least.unwrap_or(most), most, serves: served().count() });
    }
}

/// As many positions as [`trims`], set so that the gear with the least room has as much as it can.
///
/// All clear stretches are shortened at both ends by one length until one position more would be wanted, or the
/// shortest is used up; that length is found by halving, to a thousandth of a millimetre.
///
/// # Source
/// As [`trims`]. Against other positions: `tests/front_laws.rs::no_other_positions_leave_more_room`.
pub fn steady_trims(clean: &[Clean]) -> Vec<Trim> {
    let clear: Vec<Clean> = clean.iter().copied().filter(|one| one.width() >= Length::mm(0.0)).collect();
    let wanted = trims(&clear).len();
    let shorter = |by_mm: f64| -> Vec<Clean> {
        let by = Length::mm(by_mm);
        clear.iter().map(|one| Clean { least: one.least + by, most: one.most - by }).collect()
    };
    let shortest = clear.iter().map(|one| one.width().to_mm()).fold(f64::INFINITY, f64::min);
    let (mut fits, mut fails) = (0.0, shortest / 2.0);
    // A stretch is some millimetres long: forty halvings are far below a thousandth.
    for _ in 0..40 {
        let by_mm = (fits + fails) / 2.0;
        if !by_mm.is_finite() || fails - fits < 1e-3 {
            break;
        }
        if trims(&shorter(by_mm)).len() == wanted { fits = by_mm } else { fails = by_mm }
    }
    trims(&shorter(fits))
}

/// Where the two limit screws hold the cage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stops {
    /// On the smallest ring.
    pub low: Length,
    /// On the largest ring.
    pub high: Length,
}

impl Stops {
    /// Travel between them.
    pub fn travel(self) -> Length {
        self.high - self.low
    }
}

/// The stops as the shop sets them: so much room to the inner plate on the smallest ring and the largest cog, and so
/// much to the outer plate on the largest ring and the smallest cog.
///
/// The travel rises with both rooms one for one.
///
/// # Source
/// Common practice: 0 to 0.5 mm inside and 0.5 to 1 mm outside, in several workshop guides.
pub fn stops(low_low: &Pass, high_high: &Pass, inner_room: Length, outer_room: Length) -> Stops {
    Stops { low: low_low.clean().most - inner_room, high: high_high.clean().least + outer_room }
}
