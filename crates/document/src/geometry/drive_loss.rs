//! The losses of the old and the new drive as JSON, for comparing only.

use crate::plan::round;
use fit::geometry::drive_loss::{CADENCE_RPM, GearLoss, Losses, OFF, POWER_W};
use schemars::JsonSchema;
use serde::Serialize;

/// The comparison.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LossesDocument {
    /// Power at the crank, watts.
    pub power_w: f64,
    /// Turns of the crank in a minute.
    pub cadence_rpm: f64,
    /// How far a share may be off either way.
    pub off: f64,
    /// Whether the slope of the chain is in it.
    pub with_slope: bool,
    /// Gear by gear.
    pub gears: Vec<GearLossDocument>,
}

/// One gear.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GearLossDocument {
    /// What it is for.
    pub used: &'static str,
    /// Ring and cog as found.
    pub before: String,
    /// Ring and cog after.
    pub after: String,
    /// Share lost as found.
    pub before_share: Option<f64>,
    /// Share lost after.
    pub after_share: Option<f64>,
    /// Why there is no share.
    pub why: Option<String>,
    /// Which loses less.
    pub order: &'static str,
}

impl LossesDocument {
    /// The document of the losses.
    pub fn of(losses: &Losses) -> Self {
        Self {
            power_w: POWER_W,
            cadence_rpm: CADENCE_RPM,
            off: OFF,
            with_slope: losses.with_slope,
            gears: losses.gears.iter().map(GearLossDocument::of).collect(),
        }
    }
}

impl GearLossDocument {
    fn of(gear: &GearLoss) -> Self {
        let shares = gear.shares.as_ref().ok();
        Self {
            used: gear.use_words,
            before: format!("{}x{}", gear.before.0, gear.before.1),
            after: format!("{}x{}", gear.after.0, gear.after.1),
            before_share: shares.map(|shares| round(shares.0)),
            after_share: shares.map(|shares| round(shares.1)),
            why: gear.shares.as_ref().err().cloned(),
            order: gear.order.words(),
        }
    }
}
