//! Cassette bodies, and the spacer that each sort of cassette takes behind its largest cog.

use super::{Confidence, MEMORY, Source};
use crate::word::Spline;
use quantity::Length;

/// A family of cassette bodies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Body {
    /// Nine shallow splines, made for 8, 9 and 10 cogs.
    Shallow35,
    /// The same splines, made for 11 road cogs.
    Shallow37,
    /// The same splines, made for 7 cogs.
    Shallow31,
    /// Nine deep splines.
    Deep35,
}

/// Readings of one body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// The family, where it has a column in the spacer table.
    pub body: Option<Body>,
    /// Its splines.
    pub spline: Spline,
    /// Its length, every printed reading, the commonest first. Empty where none was found.
    pub lengths: &'static [Length],
    /// Where the row comes from.
    pub source: Source,
}

const fn mm(value: f64) -> Length {
    Length::mm(value)
}

const BODY_TABLES: &str = "tables of cassette bodies and leaflets of the trade";

/// Bodies.
pub const TABLE: &[Row] = &[
    Row {
        body: Some(Body::Shallow35),
        spline: Spline::NineShallow,
        lengths: &[mm(34.95), mm(35.0), mm(34.9)],
        source: Source::new(BODY_TABLES, Confidence::A),
    },
    Row {
        body: Some(Body::Shallow37),
        spline: Spline::NineShallow,
        lengths: &[mm(36.75), mm(36.8), mm(36.85)],
        source: Source::new(BODY_TABLES, Confidence::A),
    },
    Row {
        body: Some(Body::Shallow31),
        spline: Spline::NineShallow,
        lengths: &[mm(30.5), mm(31.0)],
        source: Source::new(BODY_TABLES, Confidence::B),
    },
    Row {
        body: Some(Body::Deep35),
        spline: Spline::NineDeep,
        lengths: &[mm(35.0)],
        source: Source::new(BODY_TABLES, Confidence::A),
    },
    Row {
        body: None,
        spline: Spline::NineShallow,
        lengths: &[mm(38.0)],
        source: Source::new("tables of cassette bodies, an odd length", Confidence::B),
    },
    Row {
        body: None,
        spline: Spline::EightDeep,
        lengths: &[mm(38.0)],
        source: Source::new(BODY_TABLES, Confidence::A),
    },
    Row {
        body: None,
        spline: Spline::EightShallow,
        lengths: &[mm(36.0)],
        source: Source::new(BODY_TABLES, Confidence::B),
    },
    Row {
        body: None,
        spline: Spline::ShortTen,
        lengths: &[],
        source: Source::new("tables of cassette bodies and memory", Confidence::B),
    },
    Row { body: None, spline: Spline::Fine, lengths: &[], source: Source::new(MEMORY, Confidence::D) },
];

/// Printed difference between the bodies for 11 road cogs and for 8 to 10, and the spacer that makes it good.
pub const LONGER_BY: Length = Length::mm(1.85);

/// A sort of cassette, as far as the spacer behind it goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stack {
    /// 7 cogs.
    Seven,
    /// 8 or 9 cogs.
    EightNine,
    /// 10 road cogs of the older sort, whose leaflet shows a thin spacer.
    TenThin,
    /// 10 cogs otherwise.
    Ten,
    /// 11 road cogs.
    ElevenRoad,
    /// 11 road cogs, the largest overhanging the body flange.
    ElevenRoadOverhung,
    /// 11 wide-range cogs, the largest overhanging the body flange.
    ElevenWide,
    /// 12 cogs, the smallest of 11 teeth, for these splines.
    TwelveFromEleven,
}

/// What goes behind the largest cog.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Behind {
    /// It never fits.
    Never,
    /// Only its leaflet tells.
    Leaflet,
    /// Nothing, or what its leaflet says.
    NoneOrLeaflet,
    /// Spacers of this thickness in all; two values where prints differ.
    Spacer(Length, Length),
}

const fn spacer(mm: f64) -> Behind {
    Behind::Spacer(Length::mm(mm), Length::mm(mm))
}

/// A line of the spacer table: cassette, body, spacer, confidence.
pub const SPACERS: &[(Stack, Body, Behind, Confidence)] = &[
    (Stack::Seven, Body::Shallow35, Behind::Spacer(mm(4.0), mm(4.5)), Confidence::B),
    (Stack::Seven, Body::Shallow37, Behind::Spacer(mm(6.0), mm(6.35)), Confidence::B),
    (Stack::Seven, Body::Shallow31, spacer(0.0), Confidence::B),
    (Stack::Seven, Body::Deep35, Behind::Never, Confidence::B),
    (Stack::EightNine, Body::Shallow35, spacer(0.0), Confidence::A),
    (Stack::EightNine, Body::Shallow37, spacer(1.85), Confidence::A),
    (Stack::EightNine, Body::Shallow31, Behind::Never, Confidence::A),
    (Stack::EightNine, Body::Deep35, Behind::Never, Confidence::A),
    (Stack::TenThin, Body::Shallow35, spacer(1.0), Confidence::A),
    (Stack::TenThin, Body::Shallow37, spacer(2.85), Confidence::A),
    (Stack::TenThin, Body::Shallow31, Behind::Never, Confidence::A),
    (Stack::TenThin, Body::Deep35, Behind::NoneOrLeaflet, Confidence::B),
    (Stack::Ten, Body::Shallow35, spacer(0.0), Confidence::A),
    (Stack::Ten, Body::Shallow37, spacer(1.85), Confidence::A),
    (Stack::Ten, Body::Shallow31, Behind::Never, Confidence::A),
    (Stack::Ten, Body::Deep35, Behind::Leaflet, Confidence::B),
    (Stack::ElevenRoad, Body::Shallow35, Behind::Never, Confidence::A),
    (Stack::ElevenRoad, Body::Shallow37, spacer(0.0), Confidence::A),
    (Stack::ElevenRoad, Body::Shallow31, Behind::Never, Confidence::A),
    (Stack::ElevenRoad, Body::Deep35, Behind::Never, Confidence::A),
    (Stack::ElevenRoadOverhung, Body::Shallow35, spacer(0.0), Confidence::A),
    (Stack::ElevenRoadOverhung, Body::Shallow37, spacer(1.85), Confidence::A),
    (Stack::ElevenRoadOverhung, Body::Shallow31, Behind::Never, Confidence::A),
    (Stack::ElevenRoadOverhung, Body::Deep35, Behind::Never, Confidence::A),
    (Stack::ElevenWide, Body::Shallow35, spacer(0.0), Confidence::A),
    (Stack::ElevenWide, Body::Shallow37, spacer(1.85), Confidence::A),
    (Stack::ElevenWide, Body::Shallow31, Behind::Never, Confidence::A),
    (Stack::ElevenWide, Body::Deep35, Behind::Never, Confidence::A),
    (Stack::TwelveFromEleven, Body::Shallow35, Behind::Leaflet, Confidence::B),
    (Stack::TwelveFromEleven, Body::Shallow37, Behind::Leaflet, Confidence::B),
    (Stack::TwelveFromEleven, Body::Shallow31, Behind::Never, Confidence::B),
    (Stack::TwelveFromEleven, Body::Deep35, Behind::Never, Confidence::B),
];

/// What goes behind the largest cog of a cassette on a body.
///
/// # Example
/// ```
/// use catalog::standards::body::{Behind, Body, Stack, behind};
/// assert_eq!(behind(Stack::ElevenRoad, Body::Shallow35), Some(Behind::Never));
/// ```
///
/// # Source
/// Tables of cassette bodies and leaflets of the trade; the confidence stands in each line of [`SPACERS`].
pub fn behind(stack: Stack, body: Body) -> Option<Behind> {
    SPACERS.iter().find(|line| line.0 == stack && line.1 == body).map(|line| line.2)
}
