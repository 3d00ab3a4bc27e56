//! Inputs of any kind for the cage, from a small fixed generator of numbers. Begin with [`run`].

use mechanics::cage::{
    CageError, Change, Derailleur, Drivetrain, Family, Frame, Gear, Hold, LevelReading, PairState, Pulley,
    Readings, SHORT, WIDE, calibrate, capacity, effect, largest_cog, place_rules, solve_pair, window,
    window_over,
};
use quantity::{Angle, Length, Pitches, Teeth};

/// What came out.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    /// Gears with a state.
    pub(crate) states: u32,
    /// Gears whose chain is taut.
    pub(crate) taut: u32,
    /// Inputs refused with an error.
    pub(crate) refused: u32,
}

/// Solves so many random gears and looks that every number that leaves is finite.
pub(crate) fn run(inputs: u32, seed: u64) -> Tally {
    let mut chance = Chance(seed);
    let mut tally = Tally::default();
    for _ in 0..inputs {
        let Some(any) = chance.input() else { continue };
        let gear = Gear { ring: any.rings[0], cog: any.cogs[0], inward: any.inward };
        match solve_pair(&any.body, &any.frame, gear, any.count) {
            Ok(state) => {
                tally.states += 1;
                tally.taut += u32::from(state.hold == Hold::Taut);
                look(&state);
            }
            Err(why) => {
                tally.refused += 1;
                refuse(&why, &any);
            }
        }
    }
    tally
}

/// The same for everything that is made of gears: window, capacity, rules, largest cog, effects and calibration.
pub(crate) fn run_whole(inputs: u32, seed: u64) -> Tally {
    let mut chance = Chance(seed);
    let mut tally = Tally::default();
    for _ in 0..inputs {
        let Some(any) = chance.input() else { continue };
        let pitch = any.inward * 0.1;
        let on = Drivetrain { frame: any.frame, rings: &any.rings, cogs: &any.cogs, cog_pitch: pitch };
        let gap = Length::mm(chance.around(6.0, 4.0, any.wildness));
        let level = |cog_idx, deg| LevelReading { ring_idx: 0, cog_idx, angle: Angle::deg(deg) };
        let readings = Readings {
            count: any.count,
            levels: [
                level(0, chance.around(80.0, 20.0, any.wildness)),
                level(2, chance.around(50.0, 20.0, 0.0)),
            ],
            level_tolerance: Angle::deg(chance.around(1.0, 0.5, any.wildness)),
            gap_ring_idx: 0,
            gap_cog_idx: 2,
            gap,
            gap_tolerance: Length::mm(0.5),
        };
        let change = if chance.share() < 0.5 {
            Change::ScrewTurns(chance.around(1.0, 3.0, any.wildness))
        } else {
            Change::Extender { down: Length::mm(chance.around(15.0, 5.0, any.wildness)), back: pitch }
        };
        let mut seen = |found: Result<Vec<f64>, CageError>| match found {
            Ok(numbers) => {
                tally.states += 1;
                assert!(numbers.iter().all(|number| number.is_finite()), "{numbers:?}");
            }
            Err(why) => {
                tally.refused += 1;
                refuse(&why, &any);
            }
        };
        seen(window(&any.body, &on).map(|it| vec![it.shortest.to_f64(), it.longest.to_f64()]));
        seen(
            window_over(&any.body, &on, (any.frame.chainstay, any.frame.chainstay + pitch))
                .map(|it| vec![it.width().to_f64()]),
        );
        seen(capacity(&any.body, &on).map(|it| vec![it.teeth]));
        seen(largest_cog(&any.body, &on, gap).map(|it| vec![f64::from(it.map_or(0, Teeth::get))]));
        seen(place_rules(&any.body, &on).map(|it| it.map(|rule| f64::from(rule.count)).to_vec()));
        seen(
            effect(&any.body, &on, any.count, change, gap)
                .map(|it| it.gap_gained.iter().flatten().map(|gained| gained.to_mm()).collect()),
        );
        let family = Family { derailleur: any.body, ..WIDE };
        seen(calibrate(&family, &on, &readings).map(|it| it.moved.into_iter().chain([it.misfit]).collect()));
    }
    tally
}

/// Sound input is never refused because a search did not settle.
fn refuse(why: &CageError, any: &Input) {
    assert!(!why.to_string().is_empty());
    assert!(!matches!(why, CageError::NotConverged { .. }) || any.wildness > 0.0, "{why}: {any:?}");
}

/// A random bike.
#[derive(Debug)]
struct Input {
    body: Derailleur,
    frame: Frame,
    rings: [Teeth; 2],
    cogs: [Teeth; 3],
    inward: Length,
    count: Pitches,
    wildness: f64,
}

fn look(state: &PairState) {
    let over = match state.hold {
        Hold::Taut => [Length::mm(0.0); 2],
        Hold::Touching { over } | Hold::Slack { over } | Hold::Meshing { over } => [over; 2],
        Hold::Overstretched { short, short_around_sprockets } => [short, short_around_sprockets],
    };
    let lengths = [state.gap, state.lowest, state.arm, state.guide.forward, state.guide.below];
    for length in lengths.into_iter().chain([state.tension.forward, state.tension.below]).chain(over) {
        assert!(length.to_mm().is_finite(), "{state:?}");
    }
    assert!(over.iter().all(|over| over.to_mm() >= 0.0), "{state:?}");
    assert!(state.cage_angle.to_deg().is_finite(), "{state:?}");
    assert!(state.take_up_left.to_f64().is_finite() && state.give_left.to_f64().is_finite(), "{state:?}");
    if state.hold == Hold::Taut {
        assert!(state.take_up_left.to_f64() > -1e-9 && state.give_left.to_f64() > -1e-9, "{state:?}");
    }
}

/// Numbers that look random and are the same in every run (a 64-bit mixing generator).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        let mut bits = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        self.0 = bits;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    fn input(&mut self) -> Option<Input> {
        let chance = self;
        let base = if chance.share() < 0.5 { SHORT.derailleur } else { WIDE.derailleur };
        // A third are near a real bike, a third are wild, a third have numbers that are none.
        let wildness = (chance.share() * 3.0).floor();
        let mut around = |value: f64, by: f64| chance.around(value, by, wildness);
        let body = Derailleur {
            guide: base.guide,
            tension: base.tension,
            pulleys_apart: Length::mm(around(base.pulleys_apart.to_mm(), 15.0)),
            guide_offset: Length::mm(around(base.guide_offset.to_mm(), 10.0)),
            guide_offset_angle: Angle::deg(around(base.guide_offset_angle.to_deg(), 40.0)),
            reach: Length::mm(around(base.reach.to_mm(), 12.0)),
            body_angle: Angle::deg(around(base.body_angle.to_deg(), 15.0)),
            slant: Angle::deg(around(base.slant.to_deg(), 10.0)),
            slant_direction: Angle::deg(around(base.slant_direction.to_deg(), 20.0)),
            screw_per_turn: base.screw_per_turn,
            screw_turns: around(2.0, 2.0),
            screw_turns_most: 8.0,
            stop_forward: Angle::deg(around(base.stop_forward.to_deg(), 15.0)),
            stop_back: Angle::deg(around(base.stop_back.to_deg(), 25.0)),
        };
        let frame = Frame {
            chainstay: Length::mm(around(420.0, 40.0)),
            bracket_drop: Length::mm(around(60.0, 40.0)),
            hanger_drop: Length::mm(around(28.0, 5.0)),
            hanger_behind: Length::mm(around(9.0, 6.0)),
        };
        let inward = Length::mm(around(20.0, 20.0));
        let count = Pitches::new(around(108.0, 12.0));
        let body = Derailleur { guide: chance.pulley(), tension: chance.pulley(), ..body };
        let rings = [chance.teeth(20, 60)?, chance.teeth(20, 60)?];
        let cogs = [chance.teeth(9, 52)?, chance.teeth(9, 52)?, chance.teeth(9, 52)?];
        Some(Input { body, frame, rings, cogs, inward, count, wildness })
    }

    /// 0 to 1.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn around(&mut self, value: f64, by: f64, wildness: f64) -> f64 {
        const ODD: [f64; 12] = [
            0.0,
            -0.0,
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::MAX,
            f64::MIN_POSITIVE,
            1e-300,
            -1e154,
            1e9,
            90.0,
            180.0,
        ];
        if wildness > 1.0 && self.share() < 0.05 {
            return ODD[(self.next() % ODD.len() as u64) as usize];
        }
        value + by * (2.0 * self.share() - 1.0) * if wildness > 0.0 { 4.0 } else { 1.0 }
    }

    fn teeth(&mut self, least: i64, most: i64) -> Option<Teeth> {
        Teeth::new(least + (self.next() % (most - least + 1) as u64) as i64).ok()
    }

    fn pulley(&mut self) -> Pulley {
        Pulley::new(9 + (self.next() % 12) as u8).unwrap_or(Pulley::ELEVEN)
    }
}
