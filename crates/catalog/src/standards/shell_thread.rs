//! Threads of bottom bracket shells, with the hand of the drive-side cup and the usual widths.

use super::{CRIB_SHEETS, Confidence, MEMORY, Source};
use crate::word::{CupHand, ShellThread};
use quantity::Length;

/// A threaded shell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// The thread, where it is one of those that parts are made for.
    pub thread: Option<ShellThread>,
    /// What it is called, by its dimensions.
    pub name: &'static str,
    /// Nominal diameter.
    pub diameter: Length,
    /// Pitch.
    pub pitch: Length,
    /// Which way the drive-side cup unscrews.
    pub drive_cup: CupHand,
    /// Usual shell widths.
    pub widths: &'static [Length],
    /// Bore of the shell as measured, least and most.
    pub bore: Option<(Length, Length)>,
    /// Basic minor diameter as printed: a lower bound of the bore.
    pub basic_minor: Option<Length>,
    /// Where the row comes from.
    pub source: Source,
}

const fn mm(value: f64) -> Length {
    Length::mm(value)
}

const MEASURED_PAGES: &str = "measuring pages of shells and workshop crib sheets";
const PITCH_24: Length = Length::inches(1.0 / 24.0);

/// Threads. The bore does not tell 1.37 in from 35 mm: only the pitch and the hand do.
pub const TABLE: &[Row] = &[
    Row {
        thread: Some(ShellThread::Inch137),
        name: "1.37 in x 24",
        diameter: Length::inches(1.37),
        pitch: PITCH_24,
        drive_cup: CupHand::Left,
        widths: &[mm(68.0), mm(73.0), mm(83.0), mm(100.0), mm(120.0)],
        bore: Some((mm(33.6), mm(33.9))),
        basic_minor: Some(mm(33.65)),
        source: Source::new(CRIB_SHEETS, Confidence::A),
    },
    Row {
        thread: Some(ShellThread::Inch137),
        name: "1.375 in x 24, made to interchange with 1.37 in",
        diameter: Length::inches(1.375),
        pitch: PITCH_24,
        drive_cup: CupHand::Left,
        widths: &[mm(68.0)],
        bore: None,
        basic_minor: None,
        source: Source::new("summary of ISO 6696:1989 and a workshop crib sheet", Confidence::A),
    },
    Row {
        thread: Some(ShellThread::Mm36),
        name: "36 mm x 24",
        diameter: mm(36.0),
        pitch: PITCH_24,
        drive_cup: CupHand::Right,
        widths: &[mm(70.0)],
        bore: Some((mm(34.6), mm(34.9))),
        basic_minor: Some(mm(34.85)),
        source: Source::new(CRIB_SHEETS, Confidence::A),
    },
    Row {
        thread: Some(ShellThread::Mm35),
        name: "35 mm x 1, both cups right-hand",
        diameter: mm(35.0),
        pitch: mm(1.0),
        drive_cup: CupHand::Right,
        widths: &[mm(68.0)],
        bore: Some((mm(33.6), mm(33.9))),
        basic_minor: Some(mm(33.92)),
        source: Source::new(MEASURED_PAGES, Confidence::B),
    },
    Row {
        thread: Some(ShellThread::Mm35),
        name: "35 mm x 1, drive cup left-hand",
        diameter: mm(35.0),
        pitch: mm(1.0),
        drive_cup: CupHand::Left,
        widths: &[mm(68.0)],
        bore: None,
        basic_minor: Some(mm(33.92)),
        source: Source::new("workshop crib sheet and memory", Confidence::C),
    },
    Row {
        thread: None,
        name: "old 1.37 in x 26",
        diameter: Length::inches(1.37),
        pitch: Length::inches(1.0 / 26.0),
        drive_cup: CupHand::Left,
        widths: &[mm(71.0), mm(76.0)],
        bore: None,
        basic_minor: None,
        source: Source::new("workshop crib sheet by way of memory", Confidence::C),
    },
    // The sources disagree on the hand: read the cup.
    Row {
        thread: Some(ShellThread::Mm47),
        name: "47 mm x 1, both cups right-hand",
        diameter: mm(47.0),
        pitch: mm(1.0),
        drive_cup: CupHand::Right,
        widths: &[mm(68.0), mm(73.0), mm(77.0), mm(85.5), mm(86.5), mm(89.5), mm(92.0)],
        bore: None,
        basic_minor: Some(mm(45.92)),
        source: Source::new("one page of a frame builder; the hand is disputed", Confidence::B),
    },
    Row {
        thread: Some(ShellThread::Mm47),
        name: "47 mm x 1, drive cup left-hand",
        diameter: mm(47.0),
        pitch: mm(1.0),
        drive_cup: CupHand::Left,
        widths: &[mm(68.0), mm(73.0), mm(77.0), mm(85.5), mm(86.5), mm(89.5), mm(92.0)],
        bore: None,
        basic_minor: Some(mm(45.92)),
        source: Source::new(MEMORY, Confidence::D),
    },
];

/// Every reading of a thread.
pub fn readings(thread: ShellThread) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |row| row.thread == Some(thread))
}
