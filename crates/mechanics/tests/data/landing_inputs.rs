//! Shiftings of any kind, sound and absurd, from a small fixed generator of numbers. Begin with [`run`].

use mechanics::monotone_curve::MonotoneCurve;
use mechanics::shift_landing::{Hanger, ShiftModel, ShiftParts};
use quantity::{Angle, Length};

/// What came out.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    /// Shiftings with every gear looked at.
    pub(crate) landed: u32,
    /// Parts refused with an error.
    pub(crate) refused: u32,
}

/// Lands so many random shiftings and looks that no number that leaves is none.
pub(crate) fn run(inputs: u32, seed: u64) -> Tally {
    let mut chance = Chance(seed);
    let mut tally = Tally::default();
    for _ in 0..inputs {
        let parts = chance.parts();
        let adjuster = Length::mm(chance.around(0.0, 2.0));
        let Some(parts) = parts else {
            tally.refused += 1;
            continue;
        };
        match ShiftModel::new(parts) {
            Ok(model) => {
                tally.landed += 1;
                look(&model, adjuster);
            }
            Err(why) => {
                tally.refused += 1;
                assert!(!why.to_string().is_empty());
            }
        }
    }
    tally
}

fn look(model: &ShiftModel, adjuster: Length) {
    let parts = model.parts();
    let is_number = |length: Length| !length.to_mm().is_nan();
    assert!(is_number(model.best_adjuster()), "{parts:?}");
    if !adjuster.to_mm().is_finite() || adjuster.to_mm().abs() > 1e5 {
        return;
    }
    for landing in model.landings(adjuster) {
        assert!(landing.error.to_mm().is_finite(), "{parts:?}");
        assert!(is_number(landing.to_rub) && is_number(landing.to_failed_shift), "{parts:?}");
    }
    for gear in 0..model.gears() {
        let Some(room) = model.click_room(gear, adjuster, Length::mm(0.2)) else { continue };
        assert!(!room.add.is_nan() && !room.take_off.is_nan(), "{parts:?}");
    }
}

struct Chance(u64);

impl Chance {
    fn share(&mut self) -> f64 {
        let mut bits = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        self.0 = bits;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((bits ^ (bits >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Near a value, far from it, or no number at all.
    fn around(&mut self, value: f64, by: f64) -> f64 {
        match self.share() {
            kind if kind < 0.985 => value + by * (2.0 * self.share() - 1.0),
            kind if kind < 0.992 => (self.share() - 0.5) * 10f64.powf(self.share() * 300.0),
            kind if kind < 0.996 => 0.0,
            _ => [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -0.0][(self.share() * 4.0) as usize],
        }
    }

    fn parts(&mut self) -> Option<ShiftParts> {
        let gears = 2 + (self.share() * 12.0) as usize;
        let clicks = gears - usize::from(self.share() < 0.97);
        let mut list = |count: usize, value: f64| -> Vec<Length> {
            (0..count).map(|_| Length::mm(self.around(value, 0.6))).collect()
        };
        let (pulls, pitches) = (list(clicks, 2.7), list(gears - 1, 3.8));
        let mut readings = vec![(0.0, 0.0)];
        for place in 1..(3 + (self.share() * 5.0) as u32) {
            readings.push((5.0 * f64::from(place), 7.0 * f64::from(place) + self.around(0.0, 1.0)));
        }
        let mut mm = |value: f64, by: f64| Length::mm(self.around(value, by));
        let lengths = [mm(60.0, 10.0), mm(85.0, 10.0), mm(10.0, 20.0), mm(1.6, 0.3), mm(5.6, 0.5)];
        let rest = [mm(0.3, 0.3), mm(0.3, 0.3), mm(1.0, 0.4)];
        Some(ShiftParts {
            pulls,
            travel: MonotoneCurve::rising(&readings).ok()?,
            pitches,
            cog_thickness: lengths[3],
            chain_outer: lengths[4],
            hanger: Hanger {
                roll: Angle::deg(self.around(0.0, 3.0)),
                toe: Angle::deg(self.around(0.0, 3.0)),
                drop_at_smallest: lengths[0],
                drop_at_largest: lengths[1],
                behind: lengths[2],
            },
            float: rest[0],
            lost_motion: rest[1],
            reach: rest[2],
        })
    }
}
