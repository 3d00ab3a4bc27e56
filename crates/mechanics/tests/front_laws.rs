//! Laws of the front cage, the limits of practice, and a million inputs of any kind.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use mechanics::front_map::{
    Clean, FrontCage, FrontError, FrontRun, largest_inner_ring, pass, rings_for_slot, smallest_inner_ring,
    steady_trims, stops, tail_stand_off, tip_radius, trims,
};
use proptest::prelude::*;
use quantity::{Angle, Length, Teeth};

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn teeth(count: i64) -> Teeth {
    Teeth::new(count).unwrap()
}

/// A cage for two rings; dimensions from memory.
fn cage() -> FrontCage {
    FrontCage {
        nose_width: mm(9.5),
        tail_width: mm(12.5),
        length: mm(95.0),
        tail_behind: mm(85.0),
        yaw: Angle::deg(0.0),
        height: mm(2.0),
        inner_depth: mm(14.0),
        bridge_depth: mm(28.0),
    }
}

fn run(ring: i64, ring_at: f64, cog: i64, cog_at: f64) -> FrontRun {
    FrontRun {
        ring: teeth(ring),
        outer_ring: teeth(50),
        ring_at: mm(ring_at),
        cog: teeth(cog),
        cog_at: mm(cog_at),
        chainstay: mm(410.0),
        chain_outer: mm(5.6),
    }
}

#[test]
fn a_chain_in_line_has_the_width_of_the_nose_less_its_own() {
    let straight = pass(&cage(), &run(50, 47.0, 11, 47.0)).unwrap();
    assert_eq!((straight.at_nose, straight.at_tail), (mm(47.0), mm(47.0)));
    // The outer plate stands over the chain on the ring; it comes beside it behind the cranks, where the cage is wider.
    let rooms = straight.rooms(mm(47.0));
    assert!((rooms.inner().to_mm() - (9.5 - 5.6) / 2.0).abs() < 1e-12, "{rooms:?}");
    assert!(rooms.outer() > rooms.inner() && rooms.outer_tail > rooms.outer_front.unwrap());
    assert!((rooms.outer_tail.to_mm() - (12.5 - 5.6) / 2.0).abs() < 1e-12);
}

#[test]
fn a_slot_serves_the_rings_that_practice_knows() {
    // 20 mm of slot and a bolt 15 mm above its lower end over 53 teeth: seven teeth less are 14.1 mm (published).
    let (least, most) = rings_for_slot(teeth(53), mm(155.0), mm(140.0), mm(160.0)).unwrap();
    assert_eq!((least, most), (teeth(46), teeth(55)));
    assert_eq!(rings_for_slot(teeth(53), mm(155.0), mm(156.0), mm(155.5)), None);
    assert_eq!(rings_for_slot(teeth(53), mm(f64::NAN), mm(140.0), mm(160.0)), None);
}

#[test]
fn a_curve_four_teeth_too_large_stands_off_little() {
    let off = |curve, ring| tail_stand_off(teeth(curve), teeth(ring), mm(2.0), mm(85.0)).unwrap().to_mm();
    assert!(off(50, 50).abs() < 1e-9 && off(54, 46) > off(50, 46) && off(46, 50) < 0.0);
    assert!((off(50, 46) - 3.4).abs() < 0.05, "{}", off(50, 46));
    assert!(matches!(
        tail_stand_off(teeth(34), teeth(50), mm(2.0), mm(85.0)),
        Err(FrontError::TailBeyondRing { .. })
    ));
}

/// Published: outside diameter of a half-inch sprocket by `p (0.6 + cot(180°/N))`, handbook form from memory.
#[test]
fn tips_stand_over_the_pitch_circle() {
    assert!((tip_radius(teeth(50)).to_mm() - 104.74).abs() < 0.01);
    assert!(tip_radius(teeth(34)) < tip_radius(teeth(35)));
}

#[test]
fn the_bridge_bounds_the_small_ring_and_the_inner_plate_the_large_one() {
    let outer = run(50, 47.0, 11, 61.0);
    let smallest = smallest_inner_ring(&cage(), &outer, teeth(11), mm(0.0)).unwrap().unwrap();
    let over = |ring: Teeth| pass(&cage(), &FrontRun { ring, cog: teeth(11), ..outer }).unwrap().over_bridge;
    assert!(over(smallest) >= mm(0.0) && over(teeth(i64::from(smallest.get()) - 1)) < mm(0.0));
    let largest = largest_inner_ring(&cage(), teeth(50), mm(1.0)).unwrap();
    let gap = |ring: i64| tip_radius(teeth(50)) + mm(2.0) - mm(14.0) - tip_radius(teeth(ring));
    let count = i64::from(largest.get());
    assert!(gap(count) >= mm(1.0) && gap(count + 1) < mm(1.0));
    // A deep plate for three rings asks for rings further apart: 10 to 12 teeth by print.
    let triple = FrontCage { inner_depth: mm(23.0), ..cage() };
    let apart = 50 - i64::from(largest_inner_ring(&triple, teeth(50), mm(0.5)).unwrap().get());
    assert!((10..=12).contains(&apart), "{apart}");
    assert_eq!(
        smallest_inner_ring(&FrontCage { bridge_depth: mm(-60.0), ..cage() }, &outer, teeth(11), mm(0.0)),
        Ok(None)
    );
}

#[test]
fn stops_stand_where_the_shop_sets_them() {
    let (low, high) = (run(34, 39.85, 28, 25.0), run(50, 47.15, 11, 61.0));
    let (low, high) = (pass(&cage(), &low).unwrap(), pass(&cage(), &high).unwrap());
    let set = stops(&low, &high, mm(0.25), mm(0.75));
    assert!((low.rooms(set.low).inner() - mm(0.25)).abs() < mm(1e-12));
    assert!((high.rooms(set.high).outer() - mm(0.75)).abs() < mm(1e-12));
    assert!(set.travel() > mm(0.0));
}

#[test]
fn what_makes_no_map_is_named() {
    let error = |cage: FrontCage, run: FrontRun| pass(&cage, &run).unwrap_err();
    let fine = run(50, 47.0, 11, 61.0);
    assert!(matches!(
        error(FrontCage { nose_width: mm(0.0), ..cage() }, fine),
        FrontError::OutOfRange { .. }
    ));
    assert!(matches!(
        error(FrontCage { yaw: Angle::deg(60.0), ..cage() }, fine),
        FrontError::OutOfRange { .. }
    ));
    assert!(matches!(
        error(FrontCage { height: mm(f64::NAN), ..cage() }, fine),
        FrontError::OutOfRange { .. }
    ));
    assert!(matches!(error(cage(), FrontRun { chainstay: mm(60.0), ..fine }), FrontError::NoRun { .. }));
    assert!(matches!(
        error(FrontCage { tail_behind: mm(500.0), ..cage() }, fine),
        FrontError::TailBehindCog { .. }
    ));
    let beyond = error(FrontCage { tail_behind: mm(120.0), ..cage() }, fine);
    assert_eq!(
        beyond.to_string(),
        "found a tail 120 mm behind the cranks, wanted less than the 107 mm of its plate"
    );
}

/// A small fixed generator of numbers.
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
            kind if kind < 0.96 => value + by * (2.0 * self.share() - 1.0),
            kind if kind < 0.98 => (self.share() - 0.5) * 10f64.powf(self.share() * 300.0),
            kind if kind < 0.99 => 0.0,
            _ => [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -0.0][(self.share() * 4.0) as usize],
        }
    }

    fn teeth(&mut self) -> Teeth {
        teeth(6 + (self.share() * 75.0) as i64)
    }
}

#[test]
fn a_million_inputs_give_no_panic_and_no_number_that_is_none() {
    let mut chance = Chance(4);
    let (mut passed, mut refused) = (0, 0);
    for _ in 0..1_000_000 {
        let cage = FrontCage {
            nose_width: mm(chance.around(10.0, 6.0)),
            tail_width: mm(chance.around(13.0, 6.0)),
            length: mm(chance.around(90.0, 30.0)),
            tail_behind: mm(chance.around(70.0, 60.0)),
            yaw: Angle::deg(chance.around(0.0, 5.0)),
            height: mm(chance.around(2.0, 5.0)),
            inner_depth: mm(chance.around(15.0, 20.0)),
            bridge_depth: mm(chance.around(25.0, 20.0)),
        };
        let run = FrontRun {
            ring: chance.teeth(),
            outer_ring: chance.teeth(),
            ring_at: mm(chance.around(45.0, 10.0)),
            cog: chance.teeth(),
            cog_at: mm(chance.around(43.0, 20.0)),
            chainstay: mm(chance.around(380.0, 300.0)),
            chain_outer: mm(chance.around(6.0, 2.0)),
        };
        match pass(&cage, &run) {
            Ok(found) => {
                passed += 1;
                let (clean, rooms) = (found.clean(), found.rooms(mm(45.0)));
                for length in [
                    found.at_nose,
                    found.at_tail,
                    found.leaves_ring,
                    found.over_bridge,
                    clean.least,
                    clean.most,
                    rooms.least(),
                ] {
                    assert!(length.to_mm().is_finite(), "{cage:?} {run:?}");
                }
            }
            Err(why) => {
                refused += 1;
                assert!(!why.to_string().is_empty());
            }
        }
    }
    assert!(passed > 200_000 && refused > 100_000, "{passed} {refused}");
}

fn drawn() -> impl Strategy<Value = (FrontCage, FrontRun)> {
    let made = (7.0..16.0, 8.0..20.0, 70.0..110.0, 30.0..90.0, -3.0..3.0, 0.5..5.0, 0.0..35.0);
    let bike = (22_i64..50, 9_i64..40, 38.0..52.0, 22.0..66.0, 390.0..480.0, 4.8..7.8);
    (made, bike).prop_map(
        |((nose, tail, length, behind, yaw, height, depth), (ring, cog, at, cog_at, stay, chain))| {
            let cage = FrontCage {
                nose_width: mm(nose),
                tail_width: mm(tail),
                length: mm(length),
                tail_behind: mm(behind),
                yaw: Angle::deg(yaw),
                height: mm(height),
                inner_depth: mm(depth),
                bridge_depth: mm(25.0),
            };
            (cage, FrontRun { chainstay: mm(stay), chain_outer: mm(chain), ..run(ring, at, cog, cog_at) })
        },
    )
}

/// Fewest positions out of all ends of the intervals, by trying every choice.
fn fewest(clean: &[Clean]) -> usize {
    let served: Vec<&Clean> = clean.iter().filter(|one| one.width() >= mm(0.0)).collect();
    let serves = |choice: u32| {
        served.iter().all(|one| {
            (0..served.len())
                .any(|i| choice & (1 << i) != 0 && one.least <= served[i].most && served[i].most <= one.most)
        })
    };
    (0..1_u32 << served.len()).filter(|choice| serves(*choice)).map(u32::count_ones).min().unwrap() as usize
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Mirrored about the middle plane, with plates of one depth, inner and outer change places.
    #[test]
    fn a_mirror_changes_inner_and_outer((cage, run) in drawn(), position in 35.0..55.0) {
        let cage = FrontCage { inner_depth: mm(0.0), ..cage };
        let rooms = pass(&cage, &run).unwrap().rooms(mm(position));
        let mirrored = pass(
            &FrontCage { yaw: Angle::deg(-cage.yaw.to_deg()), ..cage },
            &FrontRun { ring_at: mm(-run.ring_at.to_mm()), cog_at: mm(-run.cog_at.to_mm()), ..run },
        );
        let other = mirrored.unwrap().rooms(mm(-position));
        prop_assert!((rooms.inner() - other.outer()).abs() < mm(1e-9));
        prop_assert!((rooms.outer() - other.inner()).abs() < mm(1e-9));
    }

    #[test]
    fn a_wider_chain_and_a_narrower_cage_have_less_room((cage, run) in drawn(), by in 0.1..1.0) {
        let width = |cage: &FrontCage, run: &FrontRun| pass(cage, run).unwrap().clean().width();
        let now = width(&cage, &run);
        let wider = FrontRun { chain_outer: run.chain_outer + mm(by), ..run };
        let tail = FrontCage { tail_width: cage.tail_width - mm(by), ..cage };
        let nose = FrontCage { nose_width: cage.nose_width - mm(by), ..cage };
        let deeper = FrontCage { inner_depth: cage.inner_depth + mm(by), ..cage };
        prop_assert!(width(&cage, &wider) < now);
        prop_assert!(width(&tail, &run) <= now);
        prop_assert!(width(&nose, &run) <= now);
        prop_assert!(width(&deeper, &run) <= now + mm(1e-9));
    }

    /// The clear positions are those, and no others.
    #[test]
    fn beyond_its_clean_ends_the_chain_rubs((cage, run) in drawn(), past in 0.01..2.0) {
        let found = pass(&cage, &run).unwrap();
        let clean = found.clean();
        prop_assert!(found.rooms(clean.least).outer().abs() < mm(1e-9));
        prop_assert!(found.rooms(clean.most).inner().abs() < mm(1e-9));
        prop_assert!(found.rooms(clean.least - mm(past)).least() < mm(0.0));
        prop_assert!(found.rooms(clean.most + mm(past)).least() < mm(0.0));
        let middle = found.rooms(clean.middle());
        prop_assert!((middle.least() - clean.width() * 0.5).abs() < mm(1e-9));
    }

    /// Everything moved outward together moves the clean positions with it.
    #[test]
    fn a_chainline_moved_with_its_cogs_moves_the_cage((cage, run) in drawn(), by in -5.0..5.0) {
        let here = pass(&cage, &run).unwrap().clean();
        let moved = FrontRun { ring_at: run.ring_at + mm(by), cog_at: run.cog_at + mm(by), ..run };
        let there = pass(&cage, &moved).unwrap().clean();
        prop_assert!((there.least - here.least - mm(by)).abs() < mm(1e-9));
        prop_assert!((there.most - here.most - mm(by)).abs() < mm(1e-9));
    }

    /// A parallel cage leaves the same width for a chain that runs as far inward as outward, with plates of one depth.
    #[test]
    fn a_parallel_cage_does_not_mind_the_side((cage, run) in drawn(), aside in 0.0..20.0) {
        let cage = FrontCage { yaw: Angle::deg(0.0), inner_depth: mm(0.0), ..cage };
        let width = |by: f64| {
            pass(&cage, &FrontRun { cog_at: run.ring_at + mm(by), ..run }).unwrap().clean().width()
        };
        prop_assert!((width(aside) - width(-aside)).abs() < mm(1e-9));
        prop_assert!(width(aside) <= width(0.0) + mm(1e-9));
    }

    #[test]
    fn no_fewer_positions_do(ends in proptest::collection::vec((0.0..10.0, -1.0..4.0), 0..9)) {
        let clean: Vec<Clean> =
            ends.iter().map(|(from, width)| Clean { least: mm(*from), most: mm(from + width) }).collect();
        let found = trims(&clean);
        prop_assert_eq!(found.len(), fewest(&clean));
        prop_assert!(found.windows(2).all(|pair| pair[0].most < pair[1].least));
        for one in clean.iter().filter(|one| one.width() >= mm(0.0)) {
            prop_assert!(found.iter().any(|trim| one.least <= trim.most && trim.most <= one.most));
        }
        let served: usize = found.iter().map(|trim| trim.serves).sum();
        prop_assert_eq!(served, clean.iter().filter(|one| one.width() >= mm(0.0)).count());
    }

    #[test]
    fn no_other_positions_leave_more_room(
        ends in proptest::collection::vec((0.0..10.0, 0.0..4.0), 1..9),
        others in proptest::collection::vec(0.0..14.0, 9),
    ) {
        let clean: Vec<Clean> =
            ends.iter().map(|(from, width)| Clean { least: mm(*from), most: mm(from + width) }).collect();
        let found = steady_trims(&clean);
        prop_assert_eq!(found.len(), trims(&clean).len());
        // Every gear takes the position that suits it best; the worst of them counts.
        let worst = |places: &[f64]| {
            let room = |one: &Clean, at: f64| (at - one.least.to_mm()).min(one.most.to_mm() - at);
            let best = |one: &Clean| places.iter().map(|at| room(one, *at)).fold(f64::NEG_INFINITY, f64::max);
            clean.iter().map(best).fold(f64::INFINITY, f64::min)
        };
        let places: Vec<f64> = found.iter().map(|trim| trim.most.to_mm()).collect();
        prop_assert!(worst(&places) >= -1e-9);
        prop_assert!(worst(&others[..found.len()]) <= worst(&places) + 2e-3);
    }
}
