//! A ride: what a road asks of rider and bike, how fast a power carries them over it, and what their gears make of it.
//!
//! Begin with [`power_balance`] (power from speed) and [`steady_speed_m_s`] (speed from power); [`profile`] is the road,
//! [`travel`] rides along it, [`shifting`] picks the gears. Everything is in SI units, named in the fields.

pub mod air;
pub mod parameters;
pub mod power_balance;
pub mod steady_speed;

pub mod pedals;
pub mod profile;
pub mod travel;

pub mod cog_inference;
pub mod nearest_cadence;
pub mod recorded_power;
pub mod shifting;
mod speed_lanes;
pub mod speed_skips;

pub use power_balance::{Load, LoadError, State, Terms};
pub use profile::Profile;
pub use steady_speed::{steady_speed_m_s, steepest_grade};
