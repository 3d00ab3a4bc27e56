//! The customer's ride before and after, side by side: the height along the way, and under it how the legs turn. A band
//! differs by letter, by hatching and by the weight of the line over it, and only then by colour.

use super::{LABEL_MM, VALUE_MM, WIDTH_MM, head, number, unknown, wrapped};
use crate::drawing::{Anchor, Dash, Drawing, Mark, Pen, Place, Weight};
use document::RideDocument;
use document::ride::{OnRideDocument, SeriesDocument};

const TITLE: &str = "Your ride, before and after";
/// Left ends of the two pictures, and the width of each.
const LEFTS_MM: [f64; 2] = [10.0, 101.0];
const PANEL_MM: f64 = 78.0;
/// Width of a column; what most of its way is ridden like is drawn.
const COLUMN_MM: f64 = 0.5;
/// The least difference of height over the whole picture, metres: below it a flat road would look like a mountain.
const LEAST_RISE_M: f64 = 60.0;
/// A run gets its letter from this width on.
const LETTER_MM: f64 = 3.2;

/// Where things stand on the paper, from its top.
#[derive(Clone, Copy)]
struct Layout {
    /// The names of the pictures.
    name_mm: f64,
    /// The highest point of the road.
    top_mm: f64,
    /// The foot of the pictures.
    foot_mm: f64,
    /// Whether it says what it is, and the sentence: on a sheet of its own.
    is_whole: bool,
}

const WHOLE: Layout = Layout { name_mm: 18.0, top_mm: 36.0, foot_mm: 82.0, is_whole: true };
const SHORT: Layout = Layout { name_mm: 3.6, top_mm: 15.0, foot_mm: 44.0, is_whole: false };

/// How the legs turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Strain {
    Coasting,
    Grinding,
    Below,
    Inside,
    Above,
    SpunOut,
}

impl Strain {
    /// Every one that has a letter, slowest first.
    const TOLD: [Self; 5] = [Self::Grinding, Self::Below, Self::Inside, Self::Above, Self::SpunOut];
    const ALL: [Self; 6] =
        [Self::Grinding, Self::SpunOut, Self::Below, Self::Above, Self::Inside, Self::Coasting];

    fn of(cadence: Option<f64>, series: &SeriesDocument) -> Self {
        match cadence {
            None => Self::Coasting,
            Some(rpm) if rpm < series.lowest => Self::Grinding,
            Some(rpm) if rpm < series.liked.0 => Self::Below,
            Some(rpm) if rpm <= series.liked.1 => Self::Inside,
            Some(rpm) if rpm <= series.spun_out => Self::Above,
            Some(_) => Self::SpunOut,
        }
    }

    fn letter(self) -> &'static str {
        match self {
            Self::Coasting => "–",
            Self::Grinding => "G",
            Self::Below => "B",
            Self::Inside => "I",
            Self::Above => "A",
            Self::SpunOut => "S",
        }
    }

    fn words(self, series: &SeriesDocument) -> String {
        let rpm = |rpm: f64| number(rpm, 0);
        match self {
            Self::Coasting => "coasting or braking".to_owned(),
            Self::Grinding => format!("grinding: below {}", rpm(series.lowest)),
            Self::Below => format!("below liked: {} to {}", rpm(series.lowest), rpm(series.liked.0)),
            Self::Inside => format!("inside: {} to {}", rpm(series.liked.0), rpm(series.liked.1)),
            Self::Above => format!("above: {} to {}", rpm(series.liked.1), rpm(series.spun_out)),
            Self::SpunOut => format!("spun out: above {}", rpm(series.spun_out)),
        }
    }

    fn ground(self) -> Mark {
        match self {
            Self::Coasting => Mark::Paper,
            _ => Mark::Wash,
        }
    }

    /// The hatching: every how many columns an upright line, and its pen. Too slow is whole lines, too fast dots; the
    /// worse the denser.
    fn hatching(self) -> Option<(usize, Pen)> {
        match self {
            Self::Coasting | Self::Inside => None,
            Self::Grinding => Some((2, Pen::solid(0.62, Mark::Bad))),
            Self::Below => Some((3, Pen::solid(0.2, Mark::Bad))),
            Self::Above => Some((3, Pen::solid(0.25, Mark::Set).broken(Dash::Dots))),
            Self::SpunOut => Some((2, Pen::solid(0.62, Mark::Set).broken(Dash::Dots))),
        }
    }

    /// The line of the road over it.
    fn edge(self) -> Pen {
        let width_mm = match self {
            Self::Coasting => 0.2,
            Self::Inside => 0.4,
            Self::Below | Self::Above => 0.8,
            Self::Grinding | Self::SpunOut => 1.4,
        };
        Pen::solid(width_mm, Mark::Ink)
    }
}

/// The ride before and after, with the sentence.
pub fn ride(ride: &RideDocument) -> Drawing {
    drawn(ride, WHOLE)
}

/// The same, lower and without title and sentence, for a sheet that has both beside it.
pub fn ride_short(ride: &RideDocument) -> Drawing {
    drawn(ride, SHORT)
}

fn drawn(ride: &RideDocument, layout: Layout) -> Drawing {
    let (Some(series), Some(before), Some(after)) = (&ride.series, &ride.before, &ride.after) else {
        let rows: Vec<String> = ride.missing.iter().cloned().collect();
        return unknown(TITLE, "Not drawn yet", &rows);
    };
    let sentence = capital(&ride.sentence.clone().unwrap_or_default());
    let lines = if layout.is_whole { wrapped(&format!("{sentence}."), 100) } else { Vec::new() };
    let legend_mm = layout.foot_mm + 15.0;
    let height_mm = legend_mm + if layout.is_whole { 17.0 } else { 10.0 } + 5.0 * lines.len() as f64;
    let mut drawing = Drawing::new(WIDTH_MM, height_mm, TITLE, about(&sentence, before, after));
    if layout.is_whole {
        let below = "height along the way; letter, hatching and weight of the line say how the legs turn, in turns a minute";
        head(&mut drawing, TITLE, below);
    }
    let scale = Scale::of(series, layout);
    let sides = [("as found", before, &series.cadence_before), ("after", after, &series.cadence_after)];
    for (left, (name, on_ride, cadences)) in LEFTS_MM.into_iter().zip(sides) {
        let rows = [
            (series.liked.0, &on_ride.below_min, "below", " turns"),
            (series.lowest, &on_ride.grinding_min, "of these below", ""),
        ];
        drawing.text(
            Place::new(left, layout.name_mm),
            VALUE_MM,
            Anchor::Start,
            Weight::Bold,
            Mark::Ink,
            name,
        );
        for (row, (rpm, minutes, below, unit)) in rows.into_iter().enumerate() {
            let words = format!("{} min {below} {}{unit}", minutes.text, number(rpm, 0));
            // Beside the name where room is short, below it else.
            let at = match layout.is_whole {
                true => Place::new(left, layout.name_mm + 5.0 + 4.6 * row as f64),
                false => Place::new(left + 20.0, layout.name_mm + 4.4 * row as f64),
            };
            drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, words);
        }
        scale.axes(&mut drawing, left);
        panel(&mut drawing, left, &scale, series, cadences);
    }
    legend(&mut drawing, legend_mm, series);
    for (at, line) in lines.iter().enumerate() {
        let at = Place::new(0.0, legend_mm + 18.0 + 5.0 * at as f64);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, line);
    }
    drawing
}

fn capital(sentence: &str) -> String {
    let mut rest = sentence.chars();
    rest.next().map_or_else(String::new, |first| first.to_uppercase().chain(rest).collect())
}

fn about(sentence: &str, before: &OnRideDocument, after: &OnRideDocument) -> String {
    format!(
        "{sentence}. Grinding {} min as found, {} min after; above the liked cadence {} min as found, {} min after.",
        before.grinding_min.text, after.grinding_min.text, before.above_min.text, after.above_min.text
    )
}

/// Where a place of the road is on paper.
struct Scale<'a> {
    heights_m: &'a [f64],
    spacing_m: f64,
    length_m: f64,
    low_m: f64,
    high_m: f64,
    layout: Layout,
}

impl<'a> Scale<'a> {
    fn of(series: &'a SeriesDocument, layout: Layout) -> Self {
        let (low, high) = series
            .heights_m
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| (low.min(*h), high.max(*h)));
        let rise = (high - low).max(LEAST_RISE_M);
        Self {
            heights_m: &series.heights_m,
            spacing_m: series.spacing_m,
            length_m: series.spacing_m * (series.heights_m.len().max(2) - 1) as f64,
            // Room for the bands under the lowest place.
            low_m: low - 0.3 * rise,
            high_m: low + rise,
            layout,
        }
    }

    fn height_m(&self, way_m: f64) -> f64 {
        let place = way_m / self.spacing_m;
        let at = (place.max(0.0) as usize).min(self.heights_m.len().saturating_sub(2));
        match self.heights_m.get(at..at + 2) {
            Some([from, to]) => from + (to - from) * (place - at as f64),
            _ => f64::NAN,
        }
    }

    fn way_m(&self, x_mm: f64) -> f64 {
        x_mm / PANEL_MM * self.length_m
    }

    fn y(&self, height_m: f64) -> f64 {
        let high = self.layout.foot_mm - self.layout.top_mm;
        self.layout.foot_mm - (height_m - self.low_m) / (self.high_m - self.low_m) * high
    }

    /// Kilometres along the foot, metres of height at the side, at round numbers.
    fn axes(&self, drawing: &mut Drawing, left: f64) {
        let foot = self.layout.foot_mm;
        let faint = Pen::solid(0.15, Mark::Faint);
        let step = round_step((self.high_m - self.low_m) * 7.5 / (foot - self.layout.top_mm));
        let mut mark = (self.low_m / step).ceil() * step;
        while mark <= self.high_m {
            let y = self.y(mark);
            drawing.line(Place::new(left, y), Place::new(left + PANEL_MM, y), faint);
            let at = Place::new(left - 1.0, y + 1.1);
            drawing.text(at, 2.8, Anchor::End, Weight::Regular, Mark::Quiet, number(mark, 0));
            mark += step;
        }
        let step = round_step(self.length_m / 1000.0 / 5.0);
        let decimals = if step < 0.1 { 2 } else { usize::from(step < 1.0) };
        let mut mark = 0.0;
        while mark <= self.length_m / 1000.0 {
            let x = left + mark * 1000.0 / self.length_m * PANEL_MM;
            drawing.line(Place::new(x, foot), Place::new(x, foot + 1.2), Pen::solid(0.3, Mark::Quiet));
            let at = Place::new(x, foot + 4.6);
            drawing.text(at, 2.8, Anchor::Middle, Weight::Regular, Mark::Quiet, number(mark, decimals));
            mark += step;
        }
        let at = Place::new(left + PANEL_MM, foot + 8.6);
        drawing.text(
            at,
            2.8,
            Anchor::End,
            Weight::Regular,
            Mark::Quiet,
            "km along the way; metres of height",
        );
    }
}

/// A step of 1, 2 or 5 times a power of ten, not below a least one.
fn round_step(least: f64) -> f64 {
    let ten = 10.0_f64.powf(least.max(1e-6).log10().floor());
    [1.0, 2.0, 5.0].into_iter().map(|times| times * ten).find(|step| *step >= least).unwrap_or(10.0 * ten)
}

/// How most of each column is ridden; of two that are as long, the worse.
fn columns(scale: &Scale<'_>, series: &SeriesDocument, cadences: &[Option<f64>]) -> Vec<Strain> {
    let count = (PANEL_MM / COLUMN_MM).round() as usize;
    let place = |column: usize| {
        let stretch = scale.way_m(column as f64 * COLUMN_MM) / scale.spacing_m;
        (stretch as usize).min(cadences.len().saturating_sub(1))
    };
    let strain = |column: usize| {
        let from = place(column);
        let to = place(column + 1).max(from + 1).min(cadences.len());
        let here = cadences.get(from..to).unwrap_or_default();
        let of = |strain: Strain| here.iter().filter(|rpm| Strain::of(**rpm, series) == strain).count();
        Strain::ALL.into_iter().rev().max_by_key(|strain| of(*strain)).unwrap_or(Strain::Coasting)
    };
    (0..count).map(strain).collect()
}

fn panel(
    drawing: &mut Drawing,
    left: f64,
    scale: &Scale<'_>,
    series: &SeriesDocument,
    cadences: &[Option<f64>],
) {
    let columns = columns(scale, series, cadences);
    let x = |column: usize| column as f64 * COLUMN_MM;
    let road = |column: usize| Place::new(left + x(column), scale.y(scale.height_m(scale.way_m(x(column)))));
    let foot = scale.layout.foot_mm;
    let mut from = 0;
    for run in columns.chunk_by(|a, b| a == b) {
        let to = from + run.len();
        let strain = run[0];
        let top: Vec<Place> = (from..=to).map(road).collect();
        let mut ground = vec![Place::new(left + x(from), foot)];
        ground.extend(&top);
        ground.push(Place::new(left + x(to), foot));
        drawing.surface(&ground, strain.ground(), None);
        if let Some((every, pen)) = strain.hatching() {
            // At the same places all along; a run that lies between two of them gets a line of its own.
            let first = from.next_multiple_of(every);
            let first = if first < to { first } else { from };
            for column in (first..to).step_by(every) {
                let (a, b) = (road(column), road(column + 1));
                let middle = (a.x_mm + b.x_mm) / 2.0;
                drawing.line(Place::new(middle, foot), Place::new(middle, (a.y_mm + b.y_mm) / 2.0), pen);
            }
        }
        drawing.path(&top, strain.edge());
        let width = x(to) - x(from);
        if width >= LETTER_MM && strain != Strain::Coasting {
            let highest = top.iter().map(|place| place.y_mm).fold(f64::INFINITY, f64::min);
            let at = Place::new(left + x(from) + width / 2.0, highest - 1.6);
            drawing.text(at, LABEL_MM, Anchor::Middle, Weight::Bold, Mark::Ink, strain.letter());
        }
        from = to;
    }
    drawing.line(Place::new(left, foot), Place::new(left + PANEL_MM, foot), Pen::solid(0.3, Mark::Quiet));
}

/// Each band with its letter, hatching, line and range.
fn legend(drawing: &mut Drawing, y: f64, series: &SeriesDocument) {
    for (at, strain) in Strain::TOLD.into_iter().chain([Strain::Coasting]).enumerate() {
        let (x, y) = ((at % 3) as f64 * 60.0, y + (at / 3) as f64 * 8.0);
        let (from, to) = (Place::new(x, y - 4.0), Place::new(x + 8.0, y + 1.0));
        drawing.bar(from, to, strain.ground(), None);
        if let Some((every, pen)) = strain.hatching() {
            for column in (0..16).step_by(every) {
                let at = x + (column as f64 + 0.5) * COLUMN_MM;
                drawing.line(Place::new(at, to.y_mm), Place::new(at, from.y_mm), pen);
            }
        }
        drawing.line(from, Place::new(to.x_mm, from.y_mm), strain.edge());
        let at = Place::new(x + 10.0, y);
        drawing.text(at, VALUE_MM, Anchor::Start, Weight::Bold, Mark::Ink, strain.letter());
        let at = Place::new(x + 14.0, y);
        drawing.text(at, LABEL_MM, Anchor::Start, Weight::Regular, Mark::Ink, strain.words(series));
    }
}
