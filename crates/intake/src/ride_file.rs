//! Recorded rides: a GPX or FIT file becomes a way with heights and what else was recorded. Begin with [`read_ride`].
//!
//! What a recording has wrong is cleaned where that is honest, and every cleaning is a [`Note`]; what cannot be cleaned is a
//! [`RideProblem`]. Positions and people's data stay in the file: a [`RecordedRide`] knows distances only.

mod clean;
mod fit_reader;
mod gpx_reader;
mod note;
mod road;

use mechanics::ride::cog_inference::Moment;
use mechanics::ride::profile::ProfileError;
use mechanics::ride::{Profile, recorded_power};
pub use note::{Note, RideProblem};
pub use road::road;

/// The largest ride that is read: 16 MiB. A day of a record a second takes 2 MB as FIT and 12 MB as GPX.
pub const MOST_RIDE_BYTES: usize = 16 << 20;

/// Most points of a ride: over two days of one a second. It bounds the memory, about 100 bytes a point here and 600 while
/// a GPX is taken apart.
pub const MOST_RIDE_POINTS: usize = 200_000;

/// Where the heights of a ride come from. Files do not say it reliably, so the one who knows the device does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Heights {
    /// A barometer: good to a metre over minutes.
    Barometer,
    /// Satellites or a map: they wander by several metres.
    Satellite,
    /// Nobody said. Treated as from satellites.
    #[default]
    Unknown,
}

impl Heights {
    /// Way over which heights are averaged for the profile, metres.
    pub fn window_m(self) -> f64 {
        match self {
            Self::Barometer => 60.0,
            Self::Satellite | Self::Unknown => 150.0,
        }
    }
}

/// One record of a ride.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RidePoint {
    /// Way from the start, metres; gaps between pieces of the recording are not in it.
    pub distance_m: f64,
    /// Height, metres.
    pub height_m: Option<f64>,
    /// Seconds from the first record.
    pub time_s: Option<f64>,
    /// Speed as recorded, m/s.
    pub speed_m_s: Option<f64>,
    /// Turns of the crank in a minute.
    pub cadence_rpm: Option<f64>,
    /// Power, watts.
    pub power_w: Option<f64>,
    /// Whether a new piece of the recording begins here.
    pub begins: bool,
}

/// A ride as it was recorded and cleaned.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordedRide {
    /// The records, in their order.
    pub points: Vec<RidePoint>,
    /// What was found and what was done about it.
    pub notes: Vec<Note>,
}

/// Reads a ride from the bytes of a GPX or FIT file; which of them is seen by its first bytes, not by its name.
///
/// # Errors
/// [`RideProblem`]: too long, no ride, cut off, no points, entities.
///
/// # Examples
/// ```
/// let gpx = br#"<gpx version="1.1" creator="x"><trk><trkseg>
///   <trkpt lat="0" lon="0"><ele>10</ele></trkpt><trkpt lat="0" lon="0.009"><ele>60</ele></trkpt>
/// </trkseg></trk></gpx>"#;
/// let ride = intake::ride_file::read_ride(gpx)?;
/// assert_eq!(format!("{:.0} m", ride.distance_m()), "1002 m");
/// assert_eq!(ride.climb_m(3.0), Some(50.0));
/// # Ok::<(), intake::ride_file::RideProblem>(())
/// ```
pub fn read_ride(bytes: &[u8]) -> Result<RecordedRide, RideProblem> {
    if bytes.len() > MOST_RIDE_BYTES {
        return Err(RideProblem::TooLong { bytes: bytes.len() });
    }
    let raw = if fit_reader::is_fit(bytes) {
        fit_reader::read(bytes)?
    } else if gpx_reader::is_xml(bytes) {
        gpx_reader::read(bytes)?
    } else {
        return Err(RideProblem::NoRide);
    };
    clean::clean(raw)
}

/// A record before cleaning.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Raw {
    /// Latitude and longitude, degrees.
    place: Option<(f64, f64)>,
    height_m: Option<f64>,
    /// Seconds of any epoch.
    time_s: Option<f64>,
    /// Way as the device counts it, metres.
    distance_m: Option<f64>,
    speed_m_s: Option<f64>,
    cadence_rpm: Option<f64>,
    power_w: Option<f64>,
    begins: bool,
}

/// Records before cleaning, with what the reader has to say already.
pub(super) struct RawRide {
    records: Vec<Raw>,
    notes: Vec<Note>,
}

impl RecordedRide {
    /// The whole way, metres.
    pub fn distance_m(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.distance_m)
    }

    /// All climbs, metres, counting only rises of at least a threshold, each piece of the recording by itself; `None`
    /// without heights.
    ///
    /// Without a threshold the noise of the heights climbs too. 3 m is common practice.
    pub fn climb_m(&self, threshold_m: f64) -> Option<f64> {
        let mut climb = 0.0;
        let mut turn: Option<f64> = None;
        let mut has_heights = false;
        for point in &self.points {
            if point.begins {
                turn = None;
            }
            let Some(height) = point.height_m else { continue };
            has_heights = true;
            let from = *turn.get_or_insert(height);
            if height - from >= threshold_m {
                climb += height - from;
                turn = Some(height);
            } else if from - height >= threshold_m {
                turn = Some(height);
            }
        }
        has_heights.then_some(climb)
    }

    /// Seconds from the first to the last record, where there are times.
    pub fn elapsed_s(&self) -> Option<f64> {
        let mut times = self.points.iter().filter_map(|point| point.time_s);
        Some(times.next_back()? - self.points.iter().find_map(|point| point.time_s)?)
    }

    /// Distance and height of every point that has one. Where the recording was broken off, the heights behind are moved so
    /// that they go on where they stopped: a climb that was not recorded is not ridden.
    fn joined_heights(&self) -> Vec<(f64, f64)> {
        let mut line: Vec<(f64, f64)> = Vec::with_capacity(self.points.len());
        let mut shift = 0.0;
        let mut is_new = false;
        for point in &self.points {
            is_new |= point.begins;
            let Some(height) = point.height_m else { continue };
            if let (true, Some(last)) = (is_new, line.last()) {
                shift = last.1 - height;
            }
            is_new = false;
            line.push((point.distance_m, height + shift));
        }
        line
    }

    /// The grades of the ride for stretches of a length.
    ///
    /// # Errors
    /// [`RideProblem::NoHeights`], and [`RideProblem::Road`] where the way is too short or too long.
    pub fn profile(&self, spacing_m: f64, heights: Heights) -> Result<Profile, RideProblem> {
        let line = self.joined_heights();
        if line.len() < 2 {
            return Err(RideProblem::NoHeights);
        }
        Profile::from_points(&line, spacing_m, heights.window_m()).map_err(RideProblem::Road)
    }

    /// Speed, cadence and power of every record that has speed and cadence, for reading the cogs.
    pub fn moments(&self) -> Vec<Moment> {
        self.points
            .iter()
            .filter_map(|point| {
                Some(Moment {
                    speed_m_s: point.speed_m_s?,
                    cadence_rpm: point.cadence_rpm.unwrap_or(0.0),
                    power_w: point.power_w,
                })
            })
            .collect()
    }

    /// The highest mean of the recorded power over a time, watts; `None` without power or if the ride is shorter. Records
    /// without power count as 0, and a gap of more than 10 s between two records is not pedalled.
    pub fn best_power_w(&self, window_s: f64) -> Option<f64> {
        self.points.iter().find(|point| point.power_w.is_some_and(|power| power > 0.0))?;
        let timed: Vec<(f64, f64)> = self
            .points
            .iter()
            .filter_map(|point| Some((point.time_s?, point.power_w.unwrap_or(0.0))))
            .collect();
        let (mut values, mut times) = (Vec::new(), Vec::new());
        for pair in timed.windows(2) {
            let seconds = pair[1].0 - pair[0].0;
            values.push(if seconds > 10.0 { 0.0 } else { pair[1].1 });
            times.push(seconds);
        }
        recorded_power::best_mean(&values, &times, window_s)
    }
}

impl From<ProfileError> for RideProblem {
    fn from(why: ProfileError) -> Self {
        Self::Road(why)
    }
}
