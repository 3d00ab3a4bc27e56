//! What friction takes on the way to the rear derailleur: the hand, and the click.

use super::super::landing::{CABLE_PER_TURN_MM, HOUSING_STIFFNESS_N, SPRING_N_PER_MM, TENSION_N};
use crate::ask::Ask;
use crate::build::When::{After, Before};
use catalog::Dimension;
use mechanics::cable::{STRAND_STIFFNESS_N, tension_ratio};
use mechanics::cable_run::{CableRun, Make, Piece, in_adjuster_clicks};
use mechanics::indexing::ADJUSTER_DETENT;
use quantity::{Angle, Force, Length, Span};

/// Friction of a strand in lined housing, new and after a season: from memory.
const FRICTION: [f64; 2] = [0.06, 0.10];

/// What friction takes on the way to the rear derailleur.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// All bends, degrees.
    pub bends: Span,
    /// Force of the hand for one that arrives, over both frictions.
    pub pulling: Span,
    /// Force between pulling and returning, `e^(2μθ)`.
    pub hysteresis: Span,
    /// Force at the derailleur that is reckoned with, newtons: a guess.
    pub far_end_n: f64,
    /// Force in the cable at the lever for it, newtons.
    pub lever_n: Span,
    /// Lost motion: how far the derailleur stands apart after a pull and after a return, millimetres of cable; where
    /// the string was laid.
    pub lost_mm: Option<Span>,
    /// The same in clicks of the adjuster.
    pub lost_clicks: Option<Span>,
}

/// The drag, where somebody counted the bends.
pub(super) fn drag(ask: &mut Ask<'_>) -> Option<Drag> {
    let bends = ask.known_number(Before, Dimension::RearShiftBends)?;
    let friction = Span::new(FRICTION[0], FRICTION[1]);
    let over = |times: f64| {
        Span::hull(&[bends, friction], |x| match x {
            [bends_deg, friction] => tension_ratio(times * friction, Angle::deg(*bends_deg)),
            _ => f64::NAN,
        })
    };
    let pulling = over(1.0);
    let housing = ask.known_number(Before, Dimension::RearShiftHousing);
    let bare = ask.known_number(Before, Dimension::RearShiftBare);
    let lost_mm = housing.map(|housing| {
        Span::hull(&[bends, friction, housing, bare.unwrap_or(Span::exact(0.0))], |x| match x {
            [bends_deg, friction, housing_mm, bare_mm] => {
                lost_mm(*bends_deg, *friction, *housing_mm, *bare_mm)
            }
            _ => f64::NAN,
        })
    });
    let clicks = ask.known_number(After, Dimension::AdjusterClicks).filter(|clicks| clicks.least() > 0.0);
    let detent = clicks.map_or(Span::exact(ADJUSTER_DETENT.to_mm()), |clicks| {
        clicks.map_monotone(|n| CABLE_PER_TURN_MM / n)
    });
    let lost_clicks = lost_mm.map(|lost| {
        lost.map2_monotone(detent, |lost, detent| in_adjuster_clicks(Length::mm(lost), Length::mm(detent)))
    });
    Some(Drag {
        bends,
        pulling,
        hysteresis: over(2.0),
        far_end_n: TENSION_N,
        lever_n: pulling.map_monotone(|ratio| ratio * TENSION_N),
        lost_mm,
        lost_clicks,
    })
}

/// Lost motion with half of the bends and of the housing before the bare run and half behind it, as on most bikes.
fn lost_mm(bends_deg: f64, friction: f64, housing_mm: f64, bare_mm: f64) -> f64 {
    let half = Piece::Bend { length: Length::mm(housing_mm / 2.0), turned: Angle::deg(bends_deg / 2.0) };
    let pieces = vec![half, Piece::Bare { length: Length::mm(bare_mm) }, half];
    let make = Make {
        friction,
        strand_stiffness: Force::newtons(STRAND_STIFFNESS_N),
        housing_stiffness: Force::newtons(HOUSING_STIFFNESS_N),
        tension: Force::newtons(TENSION_N),
        spring_n_per_mm: SPRING_N_PER_MM,
        seating: Length::mm(0.0),
    };
    CableRun::new(pieces).map_or(f64::NAN, |run| run.lost_motion(&make).to_mm())
}
