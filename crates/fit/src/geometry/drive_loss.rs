//! What the old and the new drive lose in gears of the same development: for comparing, never as a promise of watts.

use super::section::{Section, Unworked};
use crate::ask::Ask;
use crate::build::Build;
use crate::build::When::{self, After, Before};
use crate::pairs::number;
use catalog::{Dimension, Slot};
use mechanics::drive_loss::{Drive, DriveLoss, UNCERTAINTY, loses_less, loss_share};
use quantity::{Angle, Power, Teeth};

/// Power and cadence of the comparison, an easy hour: assumed.
pub const POWER_W: f64 = 150.0;
/// Turns of the crank in a minute.
pub const CADENCE_RPM: f64 = 80.0;
/// Turns of the wheel for a turn of the crank that are compared: climbing, rolling, with the wind. Our choice.
const TARGETS: [(f64, &str); 4] =
    [(1.5, "a climb"), (2.2, "into the wind"), (2.8, "on the flat"), (3.6, "with the wind")];
/// Gears further than this from each other are not the same gear.
const ALIKE: f64 = 0.06;

/// The comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Losses {
    /// Gear by gear.
    pub gears: Vec<GearLoss>,
    /// Whether the slope of the chain is in it on both bikes; it is small.
    pub with_slope: bool,
}

/// One gear before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct GearLoss {
    /// What it is for.
    pub use_words: &'static str,
    /// Ring and cog as found.
    pub before: (Teeth, Teeth),
    /// Ring and cog after.
    pub after: (Teeth, Teeth),
    /// What came out, before and after; the words say why not.
    pub shares: Result<(f64, f64), String>,
    /// Which loses less.
    pub order: Order,
}

/// What can be said of two gears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The old one loses less.
    OldLess,
    /// The new one loses less.
    NewLess,
    /// The difference is within what the model can be wrong.
    CannotBeTold,
}

impl Order {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::OldLess => "the old one loses less",
            Self::NewLess => "the new one loses less",
            Self::CannotBeTold => "cannot be told apart",
        }
    }
}

/// How far a share may be off, as a share of the power.
pub const OFF: f64 = UNCERTAINTY;

/// The losses of both drives.
pub fn drive_loss(build: &Build) -> Section<Losses> {
    Section::work_out(build, &[Slot::Crankset, Slot::Chainrings, Slot::Cassette], work)
}

fn work(ask: &mut Ask<'_>) -> Result<Losses, Unworked> {
    let mut teeth = |when| {
        let rings = ask.teeth(when, Dimension::Rings);
        let cogs = ask.teeth(when, Dimension::Cogs);
        rings.zip(cogs)
    };
    let (before, after) = (teeth(Before), teeth(After));
    let (Some(before), Some(after)) = (before, after) else { return Err(Unworked::Wanting) };
    let (old_slope, new_slope) = (Slope::of(ask.build, Before), Slope::of(ask.build, After));
    let with_slope = old_slope.is_some() && new_slope.is_some();
    let mut gears: Vec<GearLoss> = Vec::new();
    for (target, use_words) in TARGETS {
        let Some((old, new)) = nearest(&before, target).zip(nearest(&after, target)) else { continue };
        let ratio = |(ring, cog): (usize, usize), (rings, cogs): &(Vec<Teeth>, Vec<Teeth>)| {
            rings[ring].to_f64() / cogs[cog].to_f64()
        };
        let (old_ratio, new_ratio) = (ratio(old, &before), ratio(new, &after));
        if (new_ratio / old_ratio - 1.0).abs() > ALIKE {
            continue;
        }
        let drive =
            |at: (usize, usize), (rings, cogs): &(Vec<Teeth>, Vec<Teeth>), slope: Option<Slope>| Drive {
                ring: rings[at.0],
                cog: cogs[at.1],
                power: Power::watts(POWER_W),
                cadence_rpm: CADENCE_RPM,
                askew: slope
                    .filter(|_| with_slope)
                    .map_or(Angle::deg(0.0), |slope| slope.angle(at, rings.len(), cogs.len())),
            };
        let (one, other) = (drive(old, &before, old_slope), drive(new, &after, new_slope));
        let (shares, order) = match (loss_share(&one), loss_share(&other)) {
            (Ok(one), Ok(other)) => (Ok((one.share, other.share)), order(&one, &other)),
            (Err(error), _) | (_, Err(error)) => (Err(error.to_string()), Order::CannotBeTold),
        };
        gears.push(GearLoss {
            use_words,
            before: (one.ring, one.cog),
            after: (other.ring, other.cog),
            shares,
            order,
        });
    }
    if gears.is_empty() {
        return Err(Unworked::Impossible("the old and the new bike have no gear in common".to_owned()));
    }
    Ok(Losses { gears, with_slope })
}

fn order(one: &DriveLoss, other: &DriveLoss) -> Order {
    match loses_less(one, other) {
        Some(true) => Order::OldLess,
        Some(false) => Order::NewLess,
        None => Order::CannotBeTold,
    }
}

/// The gear for a ratio, as the places of its ring and its cog: the straightest within 3 % of it, as it would be
/// ridden, else the nearest.
fn nearest((rings, cogs): &(Vec<Teeth>, Vec<Teeth>), target: f64) -> Option<(usize, usize)> {
    let off = |(ring, cog): (usize, usize)| {
        let off = ((rings[ring].to_f64() / cogs[cog].to_f64()) / target).ln().abs();
        off.max(ALIKE / 2.0)
    };
    let place = |at: usize, of: usize| (at as f64 + 0.5) / of as f64;
    let across = |(ring, cog): (usize, usize)| (place(ring, rings.len()) - place(cog, cogs.len())).abs();
    (0..rings.len())
        .flat_map(|ring| (0..cogs.len()).map(move |cog| (ring, cog)))
        .min_by(|one, other| off(*one).total_cmp(&off(*other)).then(across(*one).total_cmp(&across(*other))))
}

/// What the slope of the chain is worked out from; rings and cogs are taken to share one middle line.
#[derive(Clone, Copy)]
struct Slope {
    chainstay_mm: f64,
    ring_gap_mm: f64,
    cog_pitch_mm: f64,
}

impl Slope {
    fn of(build: &Build, when: When) -> Option<Self> {
        let chainstay_mm = number(build, when, Dimension::Chainstay).filter(|stay| *stay > 0.0)?;
        let cog_pitch_mm = number(build, when, Dimension::CogPitch)?;
        let ring_gap_mm = number(build, when, Dimension::RingGap).unwrap_or(0.0);
        Some(Self { chainstay_mm, ring_gap_mm, cog_pitch_mm })
    }

    /// Rings are named largest, outermost, first, and cogs smallest, outermost, first.
    fn angle(self, (ring, cog): (usize, usize), rings: usize, cogs: usize) -> Angle {
        let out = |at: usize, of: usize, step: f64| ((of as f64 - 1.0) / 2.0 - at as f64) * step;
        let across = out(ring, rings, self.ring_gap_mm) - out(cog, cogs, self.cog_pitch_mm);
        Angle::rad((across / self.chainstay_mm).atan().abs())
    }
}
