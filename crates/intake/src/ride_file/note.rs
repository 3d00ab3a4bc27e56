//! What was found in a recording: what ends the reading, and what was done about the rest.

use super::{MOST_RIDE_BYTES, MOST_RIDE_POINTS};
use mechanics::ride::profile::ProfileError;
use std::fmt;

/// Why a ride is not read.
#[derive(Clone, Debug, PartialEq)]
pub enum RideProblem {
    /// A file that no ride fills.
    TooLong {
        /// Its bytes, as far as they were read.
        bytes: usize,
    },
    /// Neither GPX nor FIT.
    NoRide,
    /// A FIT file that ends before its own length.
    CutOff {
        /// Bytes that are there.
        found: usize,
        /// Bytes that its head announces.
        wanted: usize,
    },
    /// A FIT file whose inside cannot be taken apart.
    BrokenFit {
        /// Byte at which it ends to make sense.
        at: usize,
        /// What the parser says.
        why: String,
    },
    /// A GPX file whose inside cannot be taken apart.
    BrokenGpx {
        /// What the parser says.
        why: String,
    },
    /// An XML file with a document type, which can make gigabytes of a line and which a GPX never has.
    Entities,
    /// An XML file in an encoding of two bytes a letter.
    Encoding,
    /// More points than are kept.
    TooMany {
        /// How many at least.
        points: usize,
    },
    /// No part of the file is a bicycle ride.
    NotByBike {
        /// The sports that are.
        sports: Vec<String>,
    },
    /// Fewer than two places.
    NoWay {
        /// How many there are.
        points: usize,
    },
    /// No height, so no grade.
    NoHeights,
    /// A way that makes no road.
    Road(ProfileError),
}

impl fmt::Display for RideProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong { bytes } => {
                write!(f, "the file has {bytes} bytes or more; a ride of at most {MOST_RIDE_BYTES} is read")
            }
            Self::NoRide => f.write_str("the file is neither GPX nor FIT"),
            Self::CutOff { found, wanted } => write!(
                f,
                "the FIT file was cut off: it has {found} bytes of the {wanted} that its head announces"
            ),
            Self::BrokenFit { at, why } => {
                write!(f, "the FIT file cannot be taken apart at byte {at}: {why}")
            }
            Self::BrokenGpx { why } => write!(f, "the GPX file cannot be taken apart: {why}"),
            Self::Entities => f.write_str("the XML file has a document type of its own, which no GPX needs"),
            Self::Encoding => f.write_str("the XML file is not in UTF-8"),
            Self::TooMany { points } => {
                write!(f, "the file has {points} points or more; at most {MOST_RIDE_POINTS} are kept")
            }
            Self::NotByBike { sports } if sports.is_empty() => f.write_str("the file has no ride in it"),
            Self::NotByBike { sports } => {
                write!(f, "no part of the file is cycling; found {}", sports.join(", "))
            }
            Self::NoWay { points } => write!(f, "the ride has {points} places; at least 2 are wanted"),
            Self::NoHeights => f.write_str("the ride has no heights, so its grades are not known"),
            Self::Road(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for RideProblem {}

impl RideProblem {
    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Self::TooLong { .. } | Self::TooMany { .. } => {
                "export one ride by itself, with a record a second"
            }
            Self::NoRide => "export the ride as GPX or FIT; a folder or an archive has to be unpacked first",
            Self::CutOff { .. } => "copy the file from the device once more",
            Self::BrokenFit { .. } | Self::BrokenGpx { .. } => {
                "export the ride again; the other format may help"
            }
            Self::Entities => "export the ride again from where it was recorded",
            Self::Encoding => "save the file as UTF-8",
            Self::NotByBike { .. } => "export the part that was ridden by bike",
            Self::NoWay { .. } | Self::Road(_) => {
                "choose a longer ride, or write `hill_length` and `hill_climb`"
            }
            Self::NoHeights => "write `hill_length` and `hill_climb` for the hill that counts",
        }
    }
}

/// What a recording has wrong and what was done about it.
#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    /// Several sports in one file.
    Sports {
        /// How many parts.
        parts: usize,
        /// How many records are used.
        used: usize,
        /// How many records there are.
        records: usize,
    },
    /// The recording is in pieces; the way between them is not counted.
    Pieces {
        /// How many.
        pieces: usize,
        /// Straight way between them, metres.
        between_m: f64,
    },
    /// No record has a time.
    NoTimes,
    /// Times that go back: if many, the ride counts as untimed.
    TimesBack {
        /// How many records.
        records: usize,
        /// Whether all times were dropped.
        dropped_all: bool,
    },
    /// Standing.
    Standing {
        /// Seconds.
        seconds: f64,
    },
    /// Long silence between two records of one piece.
    Silence {
        /// How often.
        times: usize,
        /// The longest, seconds.
        longest_s: f64,
    },
    /// Places that cannot be reached; they were dropped.
    Leaps {
        /// How many.
        records: usize,
    },
    /// Heights that stick out; they were taken from their neighbours.
    Spikes {
        /// How many.
        records: usize,
    },
    /// Records without a height among others that have one.
    HeightsMissing {
        /// How many.
        records: usize,
    },
    /// No record has a height.
    NoHeights,
    /// The way is that of the device, not of the positions.
    WayOfDevice {
        /// Way from the positions, metres, if there are any.
        by_places_m: Option<f64>,
    },
    /// A GPX: what the riders' sensors say is not read from it.
    NoSensors,
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sports { parts, used, records } => {
                write!(f, "{parts} sports in one file: the {used} records of cycling are used, of {records}")
            }
            Self::Pieces { pieces, between_m } => write!(
                f,
                "recorded in {pieces} pieces: the {:.1} km between them are not counted, nor is their climb",
                between_m / 1000.0
            ),
            Self::NoTimes => f.write_str("no times: speeds come from the power alone"),
            Self::TimesBack { records, dropped_all: true } => {
                write!(f, "times go back at {records} records: the ride counts as untimed")
            }
            Self::TimesBack { records, dropped_all: false } => {
                write!(f, "times go back at {records} records: those were passed over")
            }
            Self::Standing { seconds } => {
                write!(f, "{:.0} min of standing are in the recording", seconds / 60.0)
            }
            Self::Silence { times, longest_s } => {
                write!(f, "{times} gaps without a record, the longest of {longest_s:.0} s: taken as straight")
            }
            Self::Leaps { records } => write!(f, "{records} places that cannot be reached were dropped"),
            Self::Spikes { records } => {
                write!(f, "{records} heights that stick out were taken from their neighbours")
            }
            Self::HeightsMissing { records } => write!(f, "{records} records have no height"),
            Self::NoHeights => f.write_str("no heights: the grades are not known"),
            Self::WayOfDevice { by_places_m: Some(metres) } => {
                write!(f, "the way is the device's; its positions give {:.2} km", metres / 1000.0)
            }
            Self::WayOfDevice { by_places_m: None } => {
                f.write_str("the way is the device's; there are no positions")
            }
            Self::NoSensors => f.write_str("cadence and power are not read from GPX; a FIT file has them"),
        }
    }
}
