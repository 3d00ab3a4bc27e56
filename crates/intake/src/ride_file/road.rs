//! The road of a refit's `[ride]`, from a recording or a hill by hand. Begin with [`road`].

use super::{Heights, RecordedRide, RideProblem};
use fit::RideWish;
use fit::ride::Road;
use mechanics::ride::cog_inference::infer_cogs;

/// Seconds of the best mean power that counts as the power a rider holds.
const HELD_S: f64 = 1200.0;
/// Length of a stretch where none is asked for, metres.
const SPACING_M: f64 = 20.0;
/// Rises that count as a climb of a recording, metres.
const RISE_M: f64 = 3.0;

/// The road that a refit asks for: that of the recording where there is one, and else its hill.
///
/// # Errors
/// [`RideProblem`] where the recording has no heights or the road is none.
pub fn road(wish: &RideWish, recorded: Option<RecordedRide>) -> Result<Road, RideProblem> {
    let Some(ride) = recorded else {
        let (length, climb) = wish.hill.ok_or(RideProblem::NoRide)?;
        return Ok(Road::hill(length, climb)?);
    };
    let heights = match wish.barometer {
        Some(true) => Heights::Barometer,
        Some(false) => Heights::Satellite,
        None => Heights::Unknown,
    };
    let spacing_m = wish.spacing.map_or(SPACING_M, |spacing| spacing.to_mm() / 1000.0);
    let moments = ride.moments();
    Ok(Road {
        what: format!(
            "recorded ride `{}`, {} heights averaged over {:.0} m",
            wish.file.as_deref().unwrap_or_default(),
            match heights {
                Heights::Barometer => "barometer",
                Heights::Satellite => "satellite",
                Heights::Unknown => "unnamed",
            },
            heights.window_m()
        ),
        profile: ride.profile(spacing_m, heights)?,
        climb_m: ride.climb_m(RISE_M).unwrap_or(0.0),
        recorded_w: ride.best_power_w(HELD_S),
        cogs: moments.iter().any(|moment| moment.cadence_rpm > 0.0).then(|| infer_cogs(&moments)),
        notes: ride.notes.iter().map(ToString::to_string).collect(),
    })
}
