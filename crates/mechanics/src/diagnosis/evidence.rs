//! What was seen on a bike that does not shift well: grids of shifts, checks, and what happened to it before.

use super::checks::{Check, Limit, LimitSeen, Seen};
use quantity::Length;
use std::fmt;

/// How a shift into a gear went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shift {
    /// At once and quietly.
    Clean,
    /// Late, or only with a push on the lever.
    Slow,
    /// Not at all.
    Refuses,
    /// Past the gear.
    Over,
}

impl Shift {
    /// Every way, in the order of the enum.
    pub const ALL: [Self; 4] = [Self::Clean, Self::Slow, Self::Refuses, Self::Over];
}

/// What is heard in a gear once it is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sound {
    /// Nothing.
    Quiet,
    /// A tick again and again.
    Tick,
    /// A growl.
    Growl,
    /// A rubbing on both sides of the cog.
    Rub,
    /// A chatter, as if it would shift.
    Chatter,
    /// A jump under load without a shift.
    Jump,
}

impl Sound {
    /// Every sound, in the order of the enum.
    pub const ALL: [Self; 6] = [Self::Quiet, Self::Tick, Self::Growl, Self::Rub, Self::Chatter, Self::Jump];
}

/// One gear of a grid. What was not tried is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct GearRow {
    /// The shift into it from the next smaller cog.
    pub to_larger: Option<Shift>,
    /// The shift into it from the next larger cog.
    pub to_smaller: Option<Shift>,
    /// What is heard in it.
    pub sound: Option<Sound>,
}

/// All gears tried at one setting of the adjuster.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grid {
    /// Clicks added since the bike was found; negative is taken off.
    pub clicks: i32,
    /// One row a gear, the smallest cog first.
    pub rows: Vec<GearRow>,
    /// Whether the limit at the smallest cog had been set by then.
    pub high_set: bool,
    /// Whether the limit at the largest cog had been set by then.
    pub low_set: bool,
}

/// What is known of the days before, and of when it shows; `None` where nobody asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct History {
    /// Housing or inner cable is new.
    pub new_housing: Option<bool>,
    /// The bike fell, or was transported lying.
    pub fall: Option<bool>,
    /// Another wheel or another cassette is in.
    pub new_wheel: Option<bool>,
    /// The derailleur was used on another bike.
    pub used_derailleur: Option<bool>,
    /// A new chain runs on old cogs.
    pub new_chain: Option<bool>,
    /// The plan of the bike says that clicks and cogs hardly match.
    pub marginal_index: Option<bool>,
    /// The plan of the bike says that the housing drags more than is usual.
    pub dragging_run: Option<bool>,
    /// It was right, and went out over some days without anybody turning a screw.
    pub drifted: Option<bool>,
    /// It is better on the stand than on the road, under load.
    pub worse_on_road: Option<bool>,
    /// It is another with the bars turned.
    pub changes_with_bars: Option<bool>,
    /// It began after rain, washing or salt.
    pub since_wet: Option<bool>,
}

/// Everything that was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// Cogs.
    pub gears: u32,
    /// Sideways travel of the pulley for a millimetre of cable.
    pub ratio: f64,
    /// Cable that one click of the adjuster takes up.
    pub detent: Length,
    /// The grids, as found first.
    pub grids: Vec<Grid>,
    /// Runs of single clicks, from and to, on the way of which no click was clean in all gears. The adjuster was
    /// turned back after them.
    pub runs: Vec<(i32, i32)>,
    /// What checks showed.
    pub seen: Vec<Seen>,
    /// The days before.
    pub history: History,
}

/// Why evidence cannot be weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EvidenceError {
    /// Fewer than three cogs or more than thirty.
    Gears(u32),
    /// The travel of one click is not between 0.05 and 1.5 mm.
    Click(f64),
    /// A grid with another number of rows than there are cogs.
    Rows {
        /// Rows found.
        found: usize,
        /// Rows wanted.
        wanted: u32,
    },
    /// A grid at more clicks than an adjuster has.
    Clicks(i32),
    /// A check names a gear that is not there.
    NoGear(u32),
    /// A counted window that is no number or longer than an adjuster.
    Window(u32),
}

impl fmt::Display for EvidenceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Gears(found) => write!(f, "{found} cogs; 3 to 30 are wanted"),
            Self::Click(found) => {
                write!(f, "one click moves the pulley {found:.2} mm; 0.05 to 1.5 mm are wanted")
            }
            Self::Rows { found, wanted } => {
                write!(f, "a grid of {found} rows; {wanted} are wanted, one a cog")
            }
            Self::Clicks(found) => write!(f, "a grid at {found} clicks; -60 to 60 are wanted"),
            Self::NoGear(found) => write!(f, "gear {found}, which is not on this cassette"),
            Self::Window(gear) => write!(f, "the clicks counted in gear {gear}; -60 to 60 are wanted"),
        }
    }
}

impl std::error::Error for EvidenceError {}

impl Evidence {
    /// A bike on which nothing was seen yet.
    pub fn of(gears: u32, ratio: f64, detent: Length) -> Self {
        Self {
            gears,
            ratio,
            detent,
            grids: Vec::new(),
            runs: Vec::new(),
            seen: Vec::new(),
            history: History::default(),
        }
    }

    /// Whether this check was made.
    pub fn has(&self, check: Check) -> bool {
        self.seen.iter().any(|seen| seen.check() == check)
    }

    /// Whether a limit is known to hold the chain: set, or looked at and never seen open.
    pub fn holds(&self, limit: Limit) -> bool {
        let looks = || {
            self.seen.iter().filter_map(|seen| match seen {
                Seen::Limits { high, low } => Some(if limit == Limit::High { *high } else { *low }),
                _ => None,
            })
        };
        self.is_set(limit) || (looks().next().is_some() && looks().all(|seen| seen != LimitSeen::Open))
    }

    /// Whether a limit was set since.
    pub fn is_set(&self, limit: Limit) -> bool {
        self.seen.contains(&Seen::LimitSet(limit))
    }

    /// Sideways travel of one click, millimetres.
    pub(super) fn click_mm(&self) -> f64 {
        self.detent.to_mm() * self.ratio
    }

    /// The clicks at which the adjuster stands now: where the last grid was taken, and where a run began that did not
    /// help, since it is turned back.
    pub fn clicks_now(&self) -> i32 {
        let last = self.grids.last().map_or(0, |grid| grid.clicks);
        match self.runs.last() {
            Some((from, to)) if *to == last => *from,
            _ => last,
        }
    }

    pub(super) fn check(&self) -> Result<(), EvidenceError> {
        if !(3..=30).contains(&self.gears) {
            return Err(EvidenceError::Gears(self.gears));
        }
        if !(0.05..=1.5).contains(&self.click_mm()) {
            return Err(EvidenceError::Click(self.click_mm()));
        }
        for grid in &self.grids {
            if grid.rows.len() != self.gears as usize {
                return Err(EvidenceError::Rows { found: grid.rows.len(), wanted: self.gears });
            }
            if !(-60..=60).contains(&grid.clicks) {
                return Err(EvidenceError::Clicks(grid.clicks));
            }
        }
        for seen in &self.seen {
            match seen {
                Seen::Stack(Some(gear)) if !(2..=self.gears).contains(gear) => {
                    return Err(EvidenceError::NoGear(*gear));
                }
                Seen::Windows(windows) => {
                    for (gear, window) in windows {
                        if !(1..=self.gears).contains(gear) {
                            return Err(EvidenceError::NoGear(*gear));
                        }
                        if !(window.centre.abs() <= 60.0 && window.width.abs() <= 60.0) {
                            return Err(EvidenceError::Window(*gear));
                        }
                    }
                }
                _ => {}
            }
        }
        Ok(())
    }
}
