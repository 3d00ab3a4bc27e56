//! Where on the bike something is measured: the bike from the drive side with the place ringed.

use crate::drawing::{Anchor, Drawing, Mark, Pen, Place, Weight};
use catalog::Slot;

const AXLE_REAR: Place = Place { x_mm: 34.0, y_mm: 66.0 };
const AXLE_FRONT: Place = Place { x_mm: 126.0, y_mm: 66.0 };
const BRACKET: Place = Place { x_mm: 72.0, y_mm: 70.0 };
const SEAT: Place = Place { x_mm: 60.0, y_mm: 26.0 };
const HEAD_TOP: Place = Place { x_mm: 108.0, y_mm: 24.0 };
const HEAD_FOOT: Place = Place { x_mm: 112.0, y_mm: 36.0 };
const STEM: Place = Place { x_mm: 119.0, y_mm: 17.0 };
const GRIP: Place = Place { x_mm: 127.0, y_mm: 21.0 };
const DERAILLEUR: Place = Place { x_mm: 37.0, y_mm: 79.0 };
const FRONT_DERAILLEUR: Place = Place { x_mm: 71.0, y_mm: 56.0 };
const WHEEL_MM: f64 = 27.0;
const WIDTH_MM: f64 = 160.0;
const HEIGHT_MM: f64 = 98.0;

/// Where on the picture the parts of a slot are, and how wide a ring around them is.
fn ring(slot: Slot) -> (Place, f64) {
    let at = Place::new;
    match slot {
        Slot::Frame => (at(78.0, 46.0), 30.0),
        Slot::RearWheel => (AXLE_REAR, WHEEL_MM + 3.0),
        Slot::FrontWheel => (AXLE_FRONT, WHEEL_MM + 3.0),
        Slot::Rotors => (AXLE_FRONT, 9.0),
        Slot::Cassette => (AXLE_REAR, 9.0),
        Slot::Chain => (at(53.0, 74.0), 12.0),
        Slot::Crankset | Slot::Chainrings => (BRACKET, 13.0),
        Slot::BottomBracket => (BRACKET, 6.0),
        Slot::RearDerailleur => (DERAILLEUR, 8.0),
        Slot::FrontDerailleur => (FRONT_DERAILLEUR, 7.0),
        Slot::Seatpost => (at(58.0, 21.0), 8.0),
        Slot::Pedals => (at(87.0, 76.0), 6.0),
        Slot::Levers | Slot::Shifters => (at(131.0, 15.0), 8.0),
        Slot::Calipers => (at(115.0, 40.0), 7.0),
        Slot::Bar | Slot::Tape => (GRIP, 12.0),
        Slot::Stem => (at(114.0, 19.0), 8.0),
        Slot::Headset => (at(110.0, 30.0), 8.0),
        Slot::Cables => (at(122.0, 32.0), 13.0),
    }
}

/// The bike with the place of a slot ringed; `words` say where to hold the tool.
///
/// It shows where, not how large: nothing in it is to scale.
pub fn place_on_bike(slot: Slot, words: &str) -> Drawing {
    let title = format!("Where on the bike: {}", slot.words());
    let mut drawing = Drawing::new(WIDTH_MM, HEIGHT_MM, title, format!("{}: {words}", slot.words()));
    let tube = Pen::solid(1.6, Mark::Ink);
    let thin = Pen::solid(0.6, Mark::Quiet);
    for axle in [AXLE_REAR, AXLE_FRONT] {
        drawing.circle(axle, WHEEL_MM, None, Pen::solid(1.2, Mark::Quiet));
        drawing.circle(axle, 1.6, Some(Mark::Ink), thin);
    }
    for (from, to) in [
        (BRACKET, SEAT),
        (SEAT, HEAD_TOP),
        (BRACKET, HEAD_FOOT),
        (HEAD_TOP, HEAD_FOOT),
        (SEAT, AXLE_REAR),
        (BRACKET, AXLE_REAR),
        (HEAD_FOOT, AXLE_FRONT),
    ] {
        drawing.line(from, to, tube);
    }
    drawing.line(SEAT, Place::new(57.5, 17.0), Pen::solid(1.2, Mark::Ink));
    drawing.path(&[Place::new(48.0, 16.0), Place::new(57.0, 15.5), Place::new(66.0, 17.0)], tube);
    drawing.path(&[HEAD_TOP, Place::new(107.0, 20.0), STEM], tube);
    drawing.path(
        &[
            STEM,
            Place::new(128.0, 16.0),
            Place::new(132.0, 20.0),
            Place::new(129.0, 27.0),
            Place::new(121.0, 28.0),
        ],
        Pen::solid(1.2, Mark::Ink),
    );
    drawing.path(&[Place::new(128.0, 16.0), Place::new(133.0, 11.0), Place::new(136.0, 22.0)], thin);
    drawing.circle(BRACKET, 9.0, None, Pen::solid(0.8, Mark::Ink));
    drawing.line(BRACKET, Place::new(87.0, 76.0), Pen::solid(1.2, Mark::Ink));
    drawing.line(Place::new(83.0, 76.0), Place::new(91.0, 76.0), Pen::solid(1.2, Mark::Ink));
    drawing.circle(AXLE_REAR, 5.0, None, Pen::solid(0.8, Mark::Ink));
    drawing.line(Place::new(34.0, 61.0), Place::new(72.0, 61.0), thin);
    drawing.path(&[Place::new(72.0, 79.0), Place::new(38.0, 82.0), DERAILLEUR, AXLE_REAR], thin);
    drawing.line(Place::new(113.0, 41.0), Place::new(117.0, 39.0), Pen::solid(1.6, Mark::Ink));
    let (at, radius) = ring(slot);
    drawing.circle(at, radius, None, Pen::solid(1.4, Mark::Set));
    drawing.text(Place::new(WIDTH_MM / 2.0, 6.0), 4.6, Anchor::Middle, Weight::Bold, Mark::Set, slot.words());
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_is_ringed_within_the_picture() {
        for slot in Slot::ALL {
            let (at, radius) = ring(*slot);
            assert!(at.x_mm - radius > 0.0 && at.x_mm + radius < WIDTH_MM, "{}", slot.words());
            assert!(at.y_mm - radius > 0.0 && at.y_mm + radius < HEIGHT_MM, "{}", slot.words());
            assert!(place_on_bike(*slot, "here").svg().unwrap().contains(slot.words()));
        }
    }
}
