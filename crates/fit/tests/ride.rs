//! A refit on the customer's own ride: what is asked for, what is told apart, and that the better gears win.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::{Catalogue, Slot};
use fit::choose::Labour;
use fit::ride::{
    CORNERS, COST_FELT_MIN, OnRide, RideCase, RideGap, cheaper, cost_min, gears, habit_of, power_of, spread,
};
use fit::{Build, Effort, Rider, Verdict, When, Wind, judge, worst};
use frontier::Watch;
use mechanics::ride::Profile;
use mechanics::ride::shifting::Ridden;
use quantity::{Length, Mass, Power, Speed};
use std::cmp::Ordering;

const BIKE: &str = r#"
name = "hook 3"
[bike.frame]
chainstay = "412 mm"
[bike.rear_wheel]
rollout = "2105 mm"
[bike.crankset]
rings = [52, 39]
[bike.cassette]
cogs = "12-13-14-15-17-19-21-23-25"
[choice.cassette]
name = "wider"
cogs = "11-13-15-17-19-21-24-28-32"
"#;

fn catalogue() -> Catalogue {
    intake::built_in().unwrap()
}

fn build(text: &str) -> Build {
    let refit = intake::read_refit(intake::Source { name: "x", text }, &catalogue()).unwrap();
    Build::new(&refit)
}

fn rider(power_w: f64, mass_kg: f64) -> Rider {
    Rider {
        power: Some(Power::watts(power_w)),
        mass: Some(Mass::grams(mass_kg * 1000.0)),
        ..Rider::default()
    }
}

fn hill(grade: f64) -> Profile {
    Profile::from_grades(20.0, vec![grade; 200], 0.0).unwrap()
}

#[test]
fn larger_cogs_answer_a_steep_hill_and_the_corners_bracket_the_middle() {
    let case = RideCase::new(&rider(180.0, 88.0), None, hill(0.08), None).unwrap();
    let (before, after) = case.before_and_after(&build(BIKE)).unwrap();
    assert_eq!(cheaper(&after, &before), Some(Ordering::Less));
    assert_eq!(cheaper(&before, &after), Some(Ordering::Greater));
    assert_eq!(before.ridden.len(), CORNERS.len());
    for on_ride in [&before, &after] {
        let (middle, least, most) = spread(on_ride.costs_min());
        assert!(least <= middle && middle <= most);
        // Stronger and lighter climbs steeper; weaker and heavier less steep.
        assert!(on_ride.steepest[4] > on_ride.steepest[0] && on_ride.steepest[0] > on_ride.steepest[1]);
    }
    assert!(after.steepest[0] > before.steepest[0]);
    // 39 x 25 and 39 x 32 on 2,105 mm.
    assert!((before.lowest_m - 3.2838).abs() < 1e-4 && (after.lowest_m - 2.5655).abs() < 1e-4);
}

#[test]
fn the_same_gears_cannot_be_told_apart() {
    let case = RideCase::new(&rider(180.0, 88.0), None, hill(0.06), None).unwrap();
    let (before, _) = case.before_and_after(&build(BIKE)).unwrap();
    assert_eq!(cheaper(&before, &before), None);
}

/// On the flat at a strong rider's speed the lowest gear is never asked for.
#[test]
fn a_flat_ride_does_not_tell_a_wider_cassette_from_a_narrow_one() {
    let case = RideCase::new(&rider(180.0, 88.0), None, hill(0.0), None).unwrap();
    let text = BIKE.replace("11-13-15-17-19-21-24-28-32", "12-13-14-15-17-19-21-23-32");
    let (before, after) = case.before_and_after(&build(&text)).unwrap();
    assert_eq!(cheaper(&after, &before), None);
}

/// The search against putting every cassette on by itself: nothing that holds costs less, and what a set is said to cost is
/// what the bike with its parts costs.
#[test]
fn chosen_by_ride_nothing_that_holds_costs_less() {
    let text = format!(
        "{}\n[rider]\nmass = \"88 kg\"\npower = \"170 W\"\n[ride]\nhill_length = \"4000 m\"\nhill_climb = \"260 m\"\n\
         [wish.set]\naims = [\"ride\"]\n",
        &BIKE[..BIKE.find("[choice").unwrap()]
    );
    let catalogue = catalogue();
    let refit = intake::read_refit(intake::Source { name: "x", text: &text }, &catalogue).unwrap();
    let answer = fit::choose(&refit, &catalogue, &Labour::default(), Watch::default()).unwrap();
    assert!(answer.complete && !answer.sets.is_empty());
    let (case, found) = (RideCase::of(&refit).unwrap(), Build::new(&refit));
    let middle = |on_ride: &OnRide| on_ride.costs_min()[0];
    let mut least = f64::INFINITY;
    for set in &answer.sets {
        let on_ride = set.on_ride.as_ref().unwrap();
        let build = set.parts.iter().fold(found.clone(), |build, part| build.with(part.clone()));
        assert_eq!(on_ride, &case.on_bike(&build, When::After).unwrap());
        least = least.min(middle(on_ride));
    }
    let mut tried = 0;
    for cassette in catalogue.for_slot(Slot::Cassette) {
        let build = found.with(cassette.clone());
        if worst(&judge(&build)) < Verdict::Fails {
            let on_ride = case.on_bike(&build, When::After).unwrap();
            assert!(least <= middle(&on_ride) + COST_FELT_MIN, "{:?}", cassette.id());
            tried += 1;
        }
    }
    assert!(tried >= 2, "{tried}");
}

#[test]
fn an_aim_at_a_ride_that_is_not_known_is_refused_in_words() {
    let aims = "\n[wish.set]\naims = [\"ride\"]\n";
    for (more, words) in [
        (String::new(), "write `[ride]`"),
        ("[ride]\nhill_length = \"4000 m\"\nhill_climb = \"260 m\"\n".to_owned(), "`mass`"),
    ] {
        let text = format!("{}{aims}{more}", &BIKE[..BIKE.find("[choice").unwrap()]);
        let catalogue = catalogue();
        let refit = intake::read_refit(intake::Source { name: "x", text: &text }, &catalogue).unwrap();
        let error = fit::choose(&refit, &catalogue, &Labour::default(), Watch::default()).unwrap_err();
        assert!(error.to_string().contains(words), "{error}");
    }
}

/// Lowest gear 39 x 25 = 3.2838 m; at 60 turns 3.2838 m/s up 8 % with 88 kg and a usual load: hill 68.819 N, tyres 4.301 N,
/// bearings 0.120 N, air 0.24264 (10.783 + 2) = 3.102 N: 76.342 N. Cranks of 172.5 mm turn through 1.08385 m:
/// 76.342 · 3.2838 / (1.08385 · 0.977) = 236.7 N. Shorter cranks of the new bike push more in the same gear.
#[test]
fn the_push_on_the_pedals_by_hand() {
    let crank =
        |mm: &str| BIKE.replace("rings = [52, 39]", &format!("rings = [52, 39]\ncrank_length = \"{mm}\""));
    let case = RideCase::new(&rider(180.0, 88.0), None, hill(0.08), None).unwrap();
    let push = |text: &str| case.before_and_after(&build(text)).unwrap().0.push_n;
    let found = push(&crank("172.5 mm printed")).unwrap();
    assert_eq!(found.len(), CORNERS.len());
    assert!((found[0] - 236.7).abs() < 0.1, "{}", found[0]);
    // Heavier pushes more; the power makes no difference to what the hill asks.
    assert!(found[1] > found[0] && found[0] > found[2] && found[1] == found[3]);
    let short = push(&crank("165 mm printed")).unwrap();
    assert!((short[0] / found[0] - 172.5 / 165.0).abs() < 1e-12);
    assert_eq!(push(BIKE), None);
}

#[test]
fn a_wind_from_ahead_makes_the_ride_longer_and_the_steepest_road_flatter() {
    let in_wind = |wind| {
        let case = RideCase::new(&rider(180.0, 88.0), Some(wind), hill(0.05), None).unwrap();
        let (before, _) = case.before_and_after(&build(BIKE)).unwrap();
        (case.journey().time_s(), before.steepest[0])
    };
    let (calm, ahead) =
        (in_wind(Wind::Ahead(Speed::default())), in_wind(Wind::Ahead(Speed::metres_a_second(5.0))));
    assert_eq!(calm, in_wind(Wind::Anywhere(Speed::default())));
    assert!(ahead.0 > calm.0 && ahead.1 < calm.1, "{ahead:?} {calm:?}");
}

#[test]
fn what_is_not_known_is_asked_for_by_name() {
    let no_mass = Rider { mass: None, ..rider(180.0, 88.0) };
    let gap = RideCase::new(&no_mass, None, hill(0.05), None).unwrap_err();
    assert_eq!(gap, RideGap::Mass);
    assert!(gap.to_string().contains("`mass`"));
    let no_power = Rider { power: None, ..rider(180.0, 88.0) };
    let gap = RideCase::new(&no_power, None, hill(0.05), None).unwrap_err();
    assert!(gap.to_string().contains("`power`") && gap.to_string().contains("`effort`"));
    let case = RideCase::new(&rider(180.0, 88.0), None, hill(0.05), None).unwrap();
    let gap = case.before_and_after(&build(&BIKE.replace("rollout = \"2105 mm\"", ""))).unwrap_err();
    assert_eq!(gap, RideGap::Gears(When::Before));
    assert!(gap.to_string().contains("rollout"));
}

#[test]
fn power_is_stated_recorded_timed_or_answered_in_this_order() {
    let of = |rider: &Rider, recorded| power_of(rider, recorded).map(|power| (power.value, power.words));
    assert_eq!(of(&rider(180.0, 88.0), Some(150.0)), Ok((180.0, "stated")));
    let silent = Rider { power: None, effort: Some(Effort::Steady), ..rider(180.0, 88.0) };
    assert_eq!(of(&silent, Some(150.0)).unwrap().0, 150.0);
    let (value, words) = of(&silent, None).unwrap();
    assert!((value - 158.4).abs() < 1e-9);
    assert_eq!(words, "from how they ride");
    // 8,000 m with 560 m of height in 40 minutes: 224.5 W at 85 kg, by hand in `mechanics/tests/ride.rs`.
    let timed = Rider {
        climb: Some((Length::mm(8.0e6), Length::mm(560_000.0), 40)),
        mass: Some(Mass::grams(85_000.0)),
        ..silent
    };
    assert!((of(&timed, None).unwrap().0 - 224.5).abs() < 0.05);
}

#[test]
fn a_liked_cadence_moves_the_habit_and_has_to_be_in_order() {
    let liked = Rider { cadence: Some((65, 80)), lowest_cadence: Some(50), ..Rider::default() };
    let habit = habit_of(&liked).unwrap();
    assert_eq!((habit.grinding_rpm, habit.low_rpm, habit.high_rpm), (50.0, 65.0, 80.0));
    for wrong in [Some((80, 80)), Some((90, 60))] {
        assert_eq!(habit_of(&Rider { cadence: wrong, ..Rider::default() }), Err(RideGap::Cadence));
    }
    let lowest = Rider { lowest_cadence: Some(80), ..Rider::default() };
    assert!(habit_of(&lowest).is_err());
}

/// By hand: 10 min below, 2 min above, 9,000 s times turns a minute outside, 6 double shifts, a step of 25 %:
/// 12 + 15 + 0.3 + 1.0 = 28.3 minutes.
#[test]
fn the_cost_is_the_stated_one() {
    let ridden = Ridden {
        below_s: 600.0,
        strain_rpm_s: 9000.0,
        above_s: 120.0,
        double_shifts: 6,
        largest_step: 0.25,
        ..Ridden::default()
    };
    assert!((cost_min(&ridden) - 28.3).abs() < 1e-9);
}

#[test]
fn avoided_pairs_are_not_used() {
    let mut pairs = fit::pairs::pairs(&build(BIKE), When::Before);
    assert_eq!(gears(&pairs).unwrap().len(), 18);
    pairs[0].slack_pitches = Some(3.0);
    assert_eq!(gears(&pairs).unwrap().len(), 17);
    pairs[5].development_m = None;
    assert_eq!(gears(&pairs), None);
}

#[test]
fn sets_of_the_catalogue_are_ranked_by_cost_and_those_that_hold_are_kept() {
    let case = RideCase::new(&rider(160.0, 90.0), None, hill(0.07), None).unwrap();
    let sets = case.rank(&build(BIKE), &catalogue(), 5);
    assert!(!sets.is_empty() && sets.len() <= 5);
    let costs: Vec<f64> = sets.iter().map(|set| set.on_ride.costs_min()[0]).collect();
    assert!(costs.windows(2).all(|pair| pair[0] <= pair[1]), "{costs:?}");
    let again = case.rank(&build(BIKE), &catalogue(), 5);
    let ids = |sets: &[fit::ride::RankedSet]| -> Vec<Option<String>> {
        sets.iter().flat_map(|set| set.parts.iter().map(|part| part.id().map(str::to_owned))).collect()
    };
    assert_eq!(ids(&sets), ids(&again));
}
