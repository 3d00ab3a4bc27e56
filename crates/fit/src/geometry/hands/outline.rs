//! The cockpit from the side as it is drawn: stem, bar and lever, values as read. Begin with `Outline::of`.

use super::{Side, stack};
use crate::ask::Ask;
use crate::build::{Build, When};
use catalog::Dimension;
use mechanics::Point;
use mechanics::bar_curve::BarCurve;
use quantity::{Angle, Length, Span};

/// Straight pieces in which the curve of a bar is given: at most 8 mm each on a bar of 150 mm drop.
const PIECES: u32 = 32;

/// Stem, bar and lever from the side; places as those of the hands.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Middle of the stem on the steerer.
    pub steerer: Point,
    /// Middle of the bar clamp.
    pub clamp: Point,
    /// The bar from the clamp to where it points backward; only its reach, level, where no curve is known.
    pub bar: Vec<Point>,
    /// Whether the bar is given as its curve.
    pub is_curve: bool,
    /// Where the lever sits on the bar.
    pub lever: Point,
    /// The trough of the hood.
    pub hood: Point,
}

impl Outline {
    /// The outline of one of the two bikes.
    pub(super) fn of(
        build: &Build,
        when: When,
        side: &Side,
        steerer: Point,
        head: Span,
        hood: Point,
    ) -> Self {
        let (x, y) = side.stem.place(head);
        let clamp = Point { x_mm: steerer.x_mm + x.middle(), y_mm: steerer.y_mm + y.middle() };
        let from_clamp = |at: Point| Point { x_mm: clamp.x_mm + at.x_mm, y_mm: clamp.y_mm + at.y_mm };
        let reach = Point { x_mm: side.reach.middle(), y_mm: 0.0 };
        let curve = curve(build, when, side);
        let is_curve = !curve.is_empty();
        let foremost = curve.iter().copied().max_by(|a, b| a.x_mm.total_cmp(&b.x_mm)).unwrap_or(reach);
        let lever = side.band.map_or(foremost, |band| band.at);
        let bar = if is_curve { curve } else { vec![Point { x_mm: 0.0, y_mm: 0.0 }, reach] };
        Self {
            steerer,
            clamp,
            bar: bar.into_iter().map(from_clamp).collect(),
            is_curve,
            lever: from_clamp(lever),
            hood,
        }
    }
}

/// Middle of the stem over the bearing cover, by the spacers and the height of the stem of that bike.
pub(super) fn foot(build: &Build, when: When, head: Span) -> Option<Point> {
    let mut ask = Ask::new(build);
    let spacers = ask.known_number(When::Before, Dimension::Spacers)?;
    let (x, y) = stack(spacers, ask.known_number(when, Dimension::StemHeight)?, head);
    Some(Point { x_mm: x.middle(), y_mm: y.middle() })
}

/// The curve of the bar from its clamp; empty where drop or slope are not known or make no bar.
fn curve(build: &Build, when: When, side: &Side) -> Vec<Point> {
    let mut ask = Ask::new(build);
    let drop = ask.known_number(when, Dimension::BarDrop);
    let ramp = ask.known_number(when, Dimension::BarRamp);
    let Some((drop, ramp)) = drop.zip(ramp) else { return Vec::new() };
    let mm = |span: Span| Length::mm(span.middle());
    let Ok(curve) = BarCurve::new(mm(side.reach), mm(drop), Angle::deg(ramp.middle())) else {
        return Vec::new();
    };
    let along = |piece: u32| curve.length() * (f64::from(piece) / f64::from(PIECES));
    (0..=PIECES).filter_map(|piece| Some(curve.spot(along(piece)).ok()?.at)).collect()
}

#[cfg(test)]
mod tests {
    use crate::bench::{Bench, deg, mm};
    use crate::geometry::hands::hands;
    use crate::rules::hand_position::RULE;
    use catalog::{Catalogue, Dimension};

    fn bench() -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HeadAngle, deg(73.0, 0.5))
            .found(Dimension::StemLength, mm(100.0, 1.0))
            .found(Dimension::StemAngle, deg(-6.0, 0.5))
            .found(Dimension::BarReach, mm(85.0, 1.0))
            .found(Dimension::HoodReach, mm(40.0, 1.0))
            .chosen(Dimension::BarReach, mm(75.0, 1.0))
    }

    /// Reach and drop are measured as the foremost and the lowest place of a bar, so its drawing has them.
    #[test]
    fn a_drawn_bar_has_the_reach_and_the_drop_that_were_measured() {
        let bench = bench()
            .chosen(Dimension::BarDrop, mm(125.0, 1.0))
            .chosen(Dimension::BarRamp, deg(10.0, 1.0))
            .found(Dimension::BarDrop, mm(130.0, 1.0));
        let place = hands(&bench.build(), &Catalogue::default()).value().cloned().unwrap();
        let after = place.outlines.1.unwrap();
        let reach = after.bar.iter().map(|at| at.x_mm - after.clamp.x_mm).fold(0.0, f64::max);
        let drop = after.bar.iter().map(|at| after.clamp.y_mm - at.y_mm).fold(0.0, f64::max);
        // The pieces cut the corners of the arc by less than half a millimetre.
        assert!(after.is_curve && (reach - 75.0).abs() < 0.5 && (drop - 125.0).abs() < 0.5, "{reach} {drop}");
    }

    #[test]
    fn a_bar_of_unknown_drop_is_only_as_long_as_its_reach() {
        let place = hands(&bench().build(), &Catalogue::default()).value().cloned().unwrap();
        for (outline, reach) in [(place.outlines.0, 85.0), (place.outlines.1, 75.0)] {
            let outline = outline.unwrap();
            assert!(!outline.is_curve);
            assert!((outline.lever.x_mm - outline.clamp.x_mm - reach).abs() < 1e-9);
            let stem =
                (outline.clamp.x_mm - outline.steerer.x_mm).hypot(outline.clamp.y_mm - outline.steerer.y_mm);
            // The middle of an interval of angles is not quite the place of its middle.
            assert!((stem - 100.0).abs() < 0.05, "{stem}");
        }
    }
}
