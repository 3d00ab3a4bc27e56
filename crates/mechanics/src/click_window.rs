//! What is wrong with a shifting that is not right, told by how far the adjuster can be turned either way.
//! Begin with [`window`]; for what a fault would look like, with [`Shifting::predict`].
//!
//! Gears are counted from the smallest cog as 1, as the workshop does. An error is positive when the derailleur
//! stands too far toward the large cogs, as in [`crate::indexing`].

use crate::indexing::{ADJUSTER_DETENT, per_adjuster_click};
use quantity::{Angle, Length};

/// How far the derailleur may stand off a cog, drag included, and still shift onto it. A guess to be set right on
/// ten good bikes for each number of cogs.
pub const SHIFT_TOLERANCE: Length = Length::mm(0.85);

/// Drag of a healthy cable, seen sideways at the pulley. A guess, as [`SHIFT_TOLERANCE`].
pub const BASE_DRAG: Length = Length::mm(0.15);

/// How far the upper pulley hangs below the axle on the smallest and on the largest cog, from memory.
const PULLEY_BELOW_AXLE: (Length, Length) = (Length::mm(60.0), Length::mm(85.0));

/// The window of one gear, in detents of the adjuster.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Clicks to add to stand in the middle; negative is to take off.
    pub centre: f64,
    /// Clicks from one failing to the other. The smaller it is, the sooner the bike comes back; 0 or less says that
    /// no position of the adjuster shifts well both ways.
    pub width: f64,
}

/// The window of a gear, from what the stand shows.
///
/// `centre = (u − v)/2`, `width = u + v`, with u the clicks added until shifting to the smaller cog first fails
/// and v those taken off until shifting to the larger cog first fails.
///
/// The centre rises with u and falls with v; the width rises with both. A gear that already fails one way has a
/// count of 0 or, counted back to where it works, a negative one.
///
/// # Source
/// Arithmetic: the middle and the length of the stretch from −v to u.
///
/// # Example
/// ```
/// use mechanics::click_window::window;
/// let found = window(4.5, 0.5);
/// assert_eq!((found.centre, found.width), (2.0, 5.0));
/// ```
pub fn window(added: f64, taken_off: f64) -> Window {
    Window { centre: (added - taken_off) / 2.0, width: added + taken_off }
}

/// A shifting with its faults, as far as they move the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shifting {
    /// Sideways travel of the pulley for a millimetre of cable.
    pub ratio: f64,
    /// Cable that one detent of the adjuster takes up.
    pub detent: Length,
    /// How far off a cog still shifts, as [`SHIFT_TOLERANCE`].
    pub tolerance: Length,
    /// Drag in all, that of a healthy cable included, as [`BASE_DRAG`].
    pub drag: Length,
    /// The gear at which the clicks and the cogs are in line when the rest is right: the middle one.
    pub middle_gear: u32,
    /// Error of every gear alike; negative for a cable too slack.
    pub offset: Length,
    /// What the error grows by from each gear to the next larger cog: step less pitch, or a bent hanger.
    pub slope: Length,
    /// What the error jumps by from [`step_from`](Self::step_from) on; negative where a spacer is too thick.
    pub step: Length,
    /// The first gear beyond the wrong spacer.
    pub step_from: u32,
}

impl Shifting {
    /// A shifting without a fault at a ratio: no offset, no slope, no step, base drag, four detents a turn.
    pub fn healthy(ratio: f64, middle_gear: u32) -> Self {
        let none = Length::mm(0.0);
        Self {
            ratio,
            detent: ADJUSTER_DETENT,
            tolerance: SHIFT_TOLERANCE,
            drag: BASE_DRAG,
            middle_gear,
            offset: none,
            slope: none,
            step: none,
            step_from: 0,
        }
    }

    /// Where the derailleur stands in a gear, less where the cog is.
    ///
    /// `e = a + b (k − k₀) + δ [k ≥ m]`, with a the offset, b the slope, k₀ the middle gear, and δ the step from gear
    /// m on.
    ///
    /// Rises with offset and step; with the slope in gears above the middle one, and falls with it below.
    pub fn error(&self, gear: u32) -> Length {
        let sloped = self.slope * (f64::from(gear) - f64::from(self.middle_gear));
        let stepped = if gear >= self.step_from { self.step } else { Length::mm(0.0) };
        self.offset + sloped + stepped
    }

    /// The window that this shifting would show in a gear.
    ///
    /// A shift to the smaller cog fails where error and drag together pass the tolerance, one to the larger where
    /// they do on the other side. So with c the travel of one detent, `u = (t − h − e)/c` and `v = (t − h + e)/c`:
    /// the centre is `−e/c`, the width `2 (t − h)/c`, t the tolerance and h the drag.
    ///
    /// The centre falls with the [`error`](Self::error) and nothing else moves its sign; the width rises with the
    /// tolerance, falls with the drag and is alike in all gears. A detent or ratio of 0 gives no finite number.
    ///
    /// # Source
    /// The bookkeeping above. Its inputs are guesses: compare bikes, do not certify them. Figures worked beforehand:
    /// `tests/cases.rs::click_windows_of_five_faults`; against an adjuster turned in small steps: `tests/diagnosis_laws.rs`.
    ///
    /// # Example
    /// ```
    /// use mechanics::click_window::Shifting;
    /// use quantity::Length;
    /// let slack = Shifting { offset: Length::mm(-0.56), ..Shifting::healthy(1.4, 6) };
    /// let found = slack.predict(6);
    /// assert_eq!(format!("{:.1} {:.1}", found.centre, found.width), "2.0 5.0");
    /// ```
    pub fn predict(&self, gear: u32) -> Window {
        let click_mm = per_adjuster_click(self.detent, self.ratio).to_mm();
        let error_mm = self.error(gear).to_mm();
        let left_mm = (self.tolerance - self.drag).to_mm();
        window((left_mm - error_mm) / click_mm, (left_mm + error_mm) / click_mm)
    }
}

/// Error that a bent hanger gives to a gear; positive for a hanger bent inward, toward the spokes.
///
/// `d sin ψ`, with d how far the pulley hangs below the axle: from 60 mm on the smallest to 85 mm on the largest of
/// so many cogs, in equal parts. It is the whole error: the adjuster takes away what is common, and
/// [`crate::derailleur::hanger_slope`] is what is left from one end to the other.
///
/// Rises with the angle up to 90°, odd in it; its size grows with the gear. One cog alone counts as the smallest;
/// gears beyond the last count as the last.
///
/// # Source
/// Geometry of a body turned about the axle; the two depths are from memory and the weak part.
pub fn hanger_error(angle: Angle, gear: u32, cogs: u32) -> Length {
    let (shallow, deep) = PULLEY_BELOW_AXLE;
    let share = if cogs > 1 { f64::from(gear.clamp(1, cogs) - 1) / f64::from(cogs - 1) } else { 0.0 };
    (shallow + (deep - shallow) * share) * angle.to_rad().sin()
}

/// What a set of windows over the gears says: the three numbers that part the families of faults.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// Clicks to add on the mean of all gears measured: tension.
    pub centre: f64,
    /// Clicks by which the centre changes from a gear to the next larger cog: mismatch, hanger, wrong side of the
    /// anchor bolt. A step over one cog shows here too; look at single gears for it.
    pub slope_per_gear: f64,
    /// The mean width: drag.
    pub width: f64,
}

/// The shape of windows measured in several gears: the straight line through their centres that misses them least,
/// in squares, and their mean width.
///
/// The order does not matter. The slope is 0 for one gear or for one gear measured again and again; `None` without
/// any.
///
/// # Source
/// Least squares.
pub fn shape(windows: &[(u32, Window)]) -> Option<Shape> {
    let count = windows.len() as f64;
    if windows.is_empty() {
        return None;
    }
    let mean = |of: fn(&(u32, Window)) -> f64| windows.iter().map(of).sum::<f64>() / count;
    let gear = mean(|(gear, _)| f64::from(*gear));
    let centre = mean(|(_, window)| window.centre);
    let width = mean(|(_, window)| window.width);
    let (mut spread, mut together) = (0.0, 0.0);
    for (one, window) in windows {
        let away = f64::from(*one) - gear;
        spread += away * away;
        together += away * (window.centre - centre);
    }
    Some(Shape { centre, slope_per_gear: if spread > 0.0 { together / spread } else { 0.0 }, width })
}
