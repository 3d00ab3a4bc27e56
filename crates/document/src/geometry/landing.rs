//! The landing of the gears as a document.

use fit::geometry::{GearLanding, LandingPlan, MeasuredWindow};
use quantity::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// Where every gear lands from either side. Lengths in millimetres, positive toward the large cogs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LandingDocument {
    /// One entry a cog, the smallest first.
    pub gears: Vec<GearLandingDocument>,
    /// Cable of one click of the adjuster.
    pub detent_mm: f64,
    /// Whether the clicks of the adjuster were counted; else four to a turn.
    pub detent_counted: bool,
    /// Whether the derailleur was measured along its travel; else its ratio is taken as even.
    pub curve: bool,
    /// Cable by which pulling and returning differ.
    pub lost_motion_mm: f64,
    /// Whether the lost motion follows from the housing as it runs; else it is that of a healthy cable.
    pub lost_motion_of_housing: bool,
    /// Clicks that every shift bears, added and taken off, with the adjuster at its best.
    pub clicks_of_all: ClicksDocument,
    /// The hanger as the gauge read it; null if it did not.
    pub hanger: Option<HangerDocument>,
    /// Clicks counted on the bike after the refit; null if nobody counted.
    pub counted: Option<WindowDocument>,
    /// Clicks counted on the bike as found, where its derailleur goes; null if nobody counted.
    pub counted_before: Option<WindowDocument>,
}

/// Clicks each way; null where no shift can fail.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ClicksDocument {
    /// Clicks added until a shift to the smaller cog fails.
    pub add: Option<f64>,
    /// Clicks taken off until a shift to the larger cog fails.
    pub take_off: Option<f64>,
}

/// One cog.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GearLandingDocument {
    /// Teeth.
    pub cog: u32,
    /// Reached from the next smaller cog; null for the smallest.
    pub to_larger: Option<SideDocument>,
    /// Reached from the next larger cog; null for the largest.
    pub to_smaller: Option<SideDocument>,
    /// Clicks until a shift into it fails.
    pub clicks: ClicksDocument,
    /// How far one more click of cable moves the guide pulley here.
    pub click_mm: f64,
}

/// One landing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SideDocument {
    /// Place of the guide pulley less that of the cog.
    pub error_mm: f64,
    /// Room until the chain touches a neighbour.
    pub to_rub_mm: f64,
    /// Room until the shift fails.
    pub to_failed_shift_mm: f64,
}

/// A hanger that nobody has aligned yet.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HangerDocument {
    /// Lean, degrees.
    pub roll_deg: f64,
    /// Turn, degrees.
    pub toe_deg: f64,
    /// What it adds to the error of the largest cog against the smallest.
    pub across_mm: f64,
    /// Clicks that every shift bears with it.
    pub clicks_of_all: ClicksDocument,
}

/// Clicks counted in two gears.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WindowDocument {
    /// The gears, the smallest cog as 1.
    pub gears: [u32; 2],
    /// Clicks to add for the middle of the window.
    pub centre: f64,
    /// Clicks by which the centre changes from gear to gear.
    pub slope_per_gear: f64,
    /// Clicks from failing to failing.
    pub width: f64,
    /// What the parts give when nothing is wrong; null where they are not all known.
    pub predicted_slope_per_gear: Option<f64>,
    /// The same for the width.
    pub predicted_width: Option<f64>,
    /// What follows.
    pub reading: Vec<String>,
}

impl LandingDocument {
    /// The document of a landing.
    pub fn of(plan: &LandingPlan) -> Self {
        Self {
            gears: plan.gears.iter().map(gear).collect(),
            detent_mm: plan.detent.to_mm(),
            detent_counted: plan.detent_counted,
            curve: plan.is_curve,
            lost_motion_mm: plan.lost_motion.to_mm(),
            lost_motion_of_housing: plan.is_of_housing,
            clicks_of_all: clicks(plan.of_all.add, plan.of_all.take_off),
            hanger: plan.hanger.map(|hanger| HangerDocument {
                roll_deg: hanger.roll.to_deg(),
                toe_deg: hanger.toe.to_deg(),
                across_mm: hanger.across.to_mm(),
                clicks_of_all: clicks(hanger.of_all.add, hanger.of_all.take_off),
            }),
            counted: plan.counted.as_ref().map(counted),
            counted_before: plan.counted_before.as_ref().map(counted),
        }
    }
}

fn clicks(add: f64, take_off: f64) -> ClicksDocument {
    let known = |clicks: f64| clicks.is_finite().then_some(clicks);
    ClicksDocument { add: known(add), take_off: known(take_off) }
}

fn gear(gear: &GearLanding) -> GearLandingDocument {
    let side = |landing: fit::geometry::ShiftLanding| SideDocument {
        error_mm: Length::to_mm(landing.error),
        to_rub_mm: landing.to_rub.to_mm(),
        to_failed_shift_mm: landing.to_failed_shift.to_mm(),
    };
    GearLandingDocument {
        cog: gear.cog.get(),
        to_larger: gear.to_larger.map(side),
        to_smaller: gear.to_smaller.map(side),
        clicks: clicks(gear.room.add, gear.room.take_off),
        click_mm: gear.click.to_mm(),
    }
}

fn counted(counted: &MeasuredWindow) -> WindowDocument {
    let predicted = counted.predicted;
    WindowDocument {
        gears: [counted.gears.0, counted.gears.1],
        centre: counted.found.centre,
        slope_per_gear: counted.found.slope_per_gear,
        width: counted.found.width,
        predicted_slope_per_gear: predicted.map(|shape| shape.slope_per_gear),
        predicted_width: predicted.map(|shape| shape.width),
        reading: counted.reading.clone(),
    }
}
