//! How likely a cell of the grid, or the outcome of a check, is for given hidden numbers.
//!
//! A shift to the larger cog ends at `x = a + b (k − k₀) + δ [k ≥ m] − h` beyond the cog, one to the smaller at
//! `x = −(a + b (k − k₀) + δ [k ≥ m] + h)`; both are counted the way the chain goes, so one table serves both. With a
//! scatter s it is refused below −t − w, slow below −t, clean below o, and over beyond.

use super::bell::below;
use super::causes::Hidden;
use super::checks::{Check, Gap, LimitSeen, Seen};
use super::evidence::{Evidence, GearRow, Grid, Shift, Sound};
use crate::click_window::{BASE_DRAG, SHIFT_TOLERANCE};

/// Scatter of one shift with sound parts and its telling, mm: parts, setting and the observer. A guess.
const SCATTER_MM: f64 = 0.24;
/// Scatter that play adds: none, some, much, mm. Guesses.
pub(super) const PLAY_MM: [f64; 3] = [0.0, 0.7, 1.1];
/// From slow to refused, mm. A guess.
const REFUSED_MM: f64 = 0.7;
/// So far beyond a cog the chain goes over, mm. A guess.
const OVER_MM: f64 = 1.4;
/// With an open limit the chain goes over the end cog this often, and past every other one never for it.
const OVER_THE_END: f64 = 0.65;
/// Cells that are told wrong by mistake.
const SLIP: f64 = 0.03;
/// The least and the most x of the table, mm, and its steps a millimetre.
const TABLE_FROM_MM: f64 = -8.0;
const TABLE_TO_MM: f64 = 8.0;
const TABLE_PER_MM: f64 = 50.0;
/// What a sound has beside its causes.
const STRAY_SOUND: f64 = 0.01;

/// Logarithms of what a shift is told as, against x.
pub(super) struct Table {
    rows: Vec<[[f64; 4]; 3]>,
}

impl Table {
    /// The table of the model's constants.
    pub(super) fn new() -> Self {
        let count = ((TABLE_TO_MM - TABLE_FROM_MM) * TABLE_PER_MM) as usize + 1;
        let rows = (0..count)
            .map(|at| {
                let x_mm = TABLE_FROM_MM + at as f64 / TABLE_PER_MM;
                PLAY_MM.map(|play_mm| told(x_mm, play_mm).map(f64::ln))
            })
            .collect();
        Self { rows }
    }

    fn at(&self, x_mm: f64, play: usize, shift: Shift) -> f64 {
        let place = ((x_mm - TABLE_FROM_MM) * TABLE_PER_MM).clamp(0.0, (self.rows.len() - 2) as f64);
        let row = place as usize;
        let share = (place - row as f64).clamp(0.0, 1.0);
        let (near, far) = (self.rows[row][play][shift as usize], self.rows[row + 1][play][shift as usize]);
        near + (far - near) * share
    }
}

/// How often a shift at x is told as each of [`Shift::ALL`].
fn told(x_mm: f64, play_mm: f64) -> [f64; 4] {
    let scatter_mm = SCATTER_MM.hypot(play_mm);
    let reach_mm = SHIFT_TOLERANCE.to_mm();
    let beyond = |edge_mm: f64| below((edge_mm - x_mm) / scatter_mm);
    let (refused, slow, clean) = (beyond(-reach_mm - REFUSED_MM), beyond(-reach_mm), beyond(OVER_MM));
    [clean - slow, slow - refused, refused, 1.0 - clean].map(|p| (1.0 - SLIP) * p.max(0.0) + SLIP / 4.0)
}

/// What a cell of a grid counts for, first the shifts, then the sounds: cells of one bike are not independent, since
/// they share its tolerance, its setting and its observer. Set on the virtual bike until the probabilities were
/// those of its faults.
pub const DAMPING: (f64, f64) = (0.85, 0.95);

/// Logarithm of how one grid weighs on hidden numbers. No cell adds to it, so it stops where it is below `enough`.
pub(super) fn grid_weight(
    hidden: &Hidden,
    evidence: &Evidence,
    grid: &Grid,
    table: &Table,
    enough: f64,
) -> f64 {
    let mut weight = 0.0;
    let gears = evidence.gears;
    let middle = f64::from(gears + 1) / 2.0;
    let set_mm = hidden.offset_mm + f64::from(grid.clicks) * evidence.click_mm();
    let drag_mm = BASE_DRAG.to_mm() + hidden.drag_mm;
    let right = Hidden::NOTHING;
    let high_mm = if grid.high_set { right.high_mm } else { hidden.high_mm };
    let low_mm = if grid.low_set { right.low_mm } else { hidden.low_mm };
    for (row, gear) in grid.rows.iter().zip(1..=gears) {
        let mut error_mm = set_mm + hidden.slope_mm * (f64::from(gear) - middle);
        if hidden.step_from > 0 && gear >= hidden.step_from {
            error_mm += hidden.step_mm;
        }
        let lost_mm = hidden.gap_mm * (1.0 - 0.5 * f64::from(gear - 1) / f64::from(gears - 1));
        if let Some(shift) = row.to_larger.filter(|_| gear > 1) {
            let mut x_mm = error_mm - drag_mm;
            let is_end = gear == gears;
            if is_end {
                x_mm = x_mm.min(low_mm);
            }
            let log = table.at(x_mm - lost_mm, hidden.play, shift);
            weight += DAMPING.0 * if is_end && low_mm > OVER_MM { past_end(log, shift) } else { log };
        }
        if let Some(shift) = row.to_smaller.filter(|_| gear < gears) {
            let mut x_mm = -(error_mm + drag_mm);
            let is_end = gear == 1;
            if is_end {
                x_mm = x_mm.min(-high_mm);
            }
            let log = table.at(x_mm - lost_mm, hidden.play, shift);
            weight += DAMPING.0 * if is_end && high_mm < -OVER_MM { past_end(log, shift) } else { log };
        }
        if row.sound.is_some() {
            weight += DAMPING.1 * sound_weight(hidden, row, gear, gears, error_mm);
        }
        if weight < enough {
            break;
        }
    }
    weight
}

/// An open limit at an end cog: over, mostly; else what it would be.
fn past_end(log: f64, shift: Shift) -> f64 {
    let over = if shift == Shift::Over { OVER_THE_END } else { 0.0 };
    ((1.0 - OVER_THE_END) * log.exp() + over).ln()
}

/// Logarithm of how likely a sound is in a gear: a few stray ones, and those of each cause on top.
fn sound_weight(hidden: &Hidden, row: &GearRow, gear: u32, gears: u32, error_mm: f64) -> f64 {
    let Some(sound) = row.sound else { return 0.0 };
    let mut p = if sound == Sound::Quiet { 1.0 - 5.0 * STRAY_SOUND } else { STRAY_SOUND };
    let mut add = |its: Sound, share: f64| {
        p = (1.0 - share) * p + if its == sound { share } else { 0.0 };
    };
    add(Sound::Chatter, ((error_mm.abs() - 0.7) / 0.8).clamp(0.0, 1.0) * 0.6);
    if hidden.touches {
        add(Sound::Growl, [0.85, 0.4].get((gears - gear) as usize).copied().unwrap_or(0.0));
    }
    if hidden.worn == gear {
        add(Sound::Jump, 0.85);
    }
    if hidden.stiff {
        add(Sound::Tick, 0.7);
    }
    if hidden.hanger_deg != 0.0 {
        add(Sound::Rub, (0.15 * hidden.hanger_deg.abs()).min(0.45));
    }
    if hidden.play > 0 {
        add(Sound::Chatter, 0.25);
    }
    p.ln()
}

/// A check finds what is there this often, and finds it where it is not this often. Guesses of practice.
const FINDS: f64 = 0.95;
const MISTAKES: f64 = 0.03;
/// Of the bikes whose clicks do not match, so many have the cable on the wrong side of the bolt.
const WRONG_SIDE: f64 = 0.3;
/// Error of a counted centre or width, clicks.
const COUNT_SCATTER: f64 = 0.8;
/// A width below this is narrow, in clicks, for the two answers that counting is planned by.
const NARROW: f64 = 3.2;

/// How likely a yes is where the thing is there or not.
fn yes(there: bool) -> f64 {
    if there { FINDS } else { MISTAKES }
}

fn either(said: bool, p: f64) -> f64 {
    if said { p } else { 1.0 - p }
}

/// How likely it is that a check shows this.
pub(super) fn seen_likelihood(hidden: &Hidden, evidence: &Evidence, seen: &Seen) -> f64 {
    match seen {
        Seen::Limits { high, low } => limit(-hidden.high_mm, *high) * limit(hidden.low_mm, *low),
        Seen::LimitSet(_) => 1.0,
        Seen::Anchor(wrong) => {
            let p = if hidden.mismatched { WRONG_SIDE * FINDS } else { MISTAKES / 3.0 };
            either(*wrong, p)
        }
        Seen::Hanger(bent) => either(*bent, yes(hidden.hanger_deg != 0.0)),
        Seen::Drag(drags) => either(*drags, yes(hidden.drag_mm > 0.0)),
        Seen::Pull(differs) => either(*differs, yes(hidden.mismatched)),
        Seen::Stack(from) => {
            let p = yes(hidden.step_from > 0);
            match from {
                None => 1.0 - p,
                Some(from) if *from == hidden.step_from => p * 0.9,
                Some(_) => p * if hidden.step_from > 0 { 0.1 } else { 1.0 } / f64::from(evidence.gears - 2),
            }
        }
        Seen::Gap(gap) => {
            let is = match (hidden.touches, hidden.gap_mm > 0.0) {
                (true, _) => Gap::Small,
                (_, true) => Gap::Large,
                _ => Gap::Right,
            };
            if *gap == is { FINDS } else { (1.0 - FINDS) / 2.0 }
        }
        Seen::Teeth(worn) => either(*worn, yes(hidden.worn > 0)),
        Seen::Play(play) => either(*play, yes(hidden.play > 0)),
        Seen::Link(stiff) => either(*stiff, yes(hidden.stiff)),
        Seen::Windows(windows) => {
            let mut miss = 0.0;
            for (gear, window) in windows {
                let (centre, width) = counted(hidden, evidence, *gear);
                let apart = |found: f64, wanted: f64| ((found - wanted) / COUNT_SCATTER).clamp(-4.0, 4.0);
                miss += apart(window.centre, centre).powi(2) + apart(window.width, width).powi(2);
            }
            (-0.5 * miss).exp()
        }
    }
}

/// How likely a limit is seen to stand so, from how far it lets the chain past the end cog.
fn limit(past_mm: f64, seen: LimitSeen) -> f64 {
    let is = if past_mm < 0.0 {
        LimitSeen::Tight
    } else if past_mm > OVER_MM {
        LimitSeen::Open
    } else {
        LimitSeen::Right
    };
    if seen == is { 0.97 } else { 0.015 }
}

/// The window of a gear as it was found, in clicks.
fn counted(hidden: &Hidden, evidence: &Evidence, gear: u32) -> (f64, f64) {
    let middle = f64::from(evidence.gears + 1) / 2.0;
    let mut error_mm = hidden.offset_mm + hidden.slope_mm * (f64::from(gear) - middle);
    if hidden.step_from > 0 && gear >= hidden.step_from {
        error_mm += hidden.step_mm;
    }
    let reach_mm = SHIFT_TOLERANCE.to_mm() - BASE_DRAG.to_mm() - hidden.drag_mm - hidden.gap_mm * 0.75;
    (-error_mm / evidence.click_mm(), 2.0 * reach_mm / evidence.click_mm())
}

/// The outcomes that a check is planned by, and how likely each is for hidden numbers.
pub(super) fn outcomes(check: Check, hidden: &Hidden, evidence: &Evidence) -> ([f64; 9], usize) {
    let mut all = [0.0; 9];
    let of = |seen: Seen| seen_likelihood(hidden, evidence, &seen);
    let p = match check {
        Check::Limits => {
            let states = [LimitSeen::Tight, LimitSeen::Right, LimitSeen::Open];
            for (at, p) in all.iter_mut().enumerate() {
                *p = of(Seen::Limits { high: states[at / 3], low: states[at % 3] });
            }
            return (all, 9);
        }
        Check::Gap => {
            for (p, gap) in all.iter_mut().zip([Gap::Small, Gap::Right, Gap::Large]) {
                *p = of(Seen::Gap(gap));
            }
            return (all, 3);
        }
        Check::Windows => {
            let (_, width) = counted(hidden, evidence, 1);
            let across = hidden.slope_mm.abs() * f64::from(evidence.gears - 1) / evidence.click_mm();
            let slope = if across > 2.0 { 0.9 } else { 0.1 };
            let narrow = below((NARROW - width) / COUNT_SCATTER);
            all[..4].copy_from_slice(&[
                narrow * slope,
                narrow * (1.0 - slope),
                (1.0 - narrow) * slope,
                (1.0 - narrow) * (1.0 - slope),
            ]);
            return (all, 4);
        }
        Check::Anchor => of(Seen::Anchor(true)),
        Check::Hanger => of(Seen::Hanger(true)),
        Check::Drag => of(Seen::Drag(true)),
        Check::Pull => of(Seen::Pull(true)),
        Check::Stack => yes(hidden.step_from > 0),
        Check::Teeth => of(Seen::Teeth(true)),
        Check::Play => of(Seen::Play(true)),
        Check::Link => of(Seen::Link(true)),
    };
    all[0] = p;
    all[1] = 1.0 - p;
    (all, 2)
}

/// What a setting of the adjuster makes of hidden numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Setting {
    /// Clicks from as found that stand the gears in the middle.
    pub clicks: f64,
    /// How likely every gear is clean and quiet there.
    pub clean: f64,
    /// How likely every gear is clean and quiet where the adjuster stands now.
    pub clean_now: f64,
}

/// The best setting, and the one that is; a limit that was set since does no harm.
pub(super) fn setting(hidden: &Hidden, evidence: &Evidence, set: [bool; 2]) -> Setting {
    let gears = evidence.gears;
    let middle = f64::from(gears + 1) / 2.0;
    let (mut least_mm, mut most_mm) = (f64::INFINITY, f64::NEG_INFINITY);
    for gear in 1..=gears {
        let mut error_mm = hidden.offset_mm + hidden.slope_mm * (f64::from(gear) - middle);
        if hidden.step_from > 0 && gear >= hidden.step_from {
            error_mm += hidden.step_mm;
        }
        least_mm = least_mm.min(error_mm);
        most_mm = most_mm.max(error_mm);
    }
    let centre_mm = (least_mm + most_mm) / 2.0;
    let clicks = -centre_mm / evidence.click_mm();
    let limits_hold = (set[0] || hidden.high_mm.abs() <= LIMIT_HARMLESS_MM)
        && (set[1] || hidden.low_mm.abs() <= LIMIT_HARMLESS_MM);
    let is_quiet = !hidden.touches && hidden.worn == 0 && !hidden.stiff;
    if !limits_hold || !is_quiet {
        return Setting { clicks, clean: 0.0, clean_now: 0.0 };
    }
    let room_mm = SHIFT_TOLERANCE.to_mm()
        - BASE_DRAG.to_mm()
        - hidden.drag_mm
        - hidden.gap_mm
        - (most_mm - least_mm) / 2.0
        - PLAY_MM[hidden.play];
    let off_mm = (centre_mm + f64::from(evidence.clicks_now()) * evidence.click_mm()).abs();
    let clean = |room_mm: f64| below(room_mm / SCATTER_MM);
    Setting { clicks, clean: clean(room_mm), clean_now: clean(room_mm - off_mm) }
}

/// A limit so near its end cog does no harm.
const LIMIT_HARMLESS_MM: f64 = 0.6;
