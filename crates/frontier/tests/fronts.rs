//! Fronts, counts and conflicts of seeded problems against a general engine and against trying everything.

#![expect(clippy::unwrap_used, reason = "a problem that cannot be laid out stops the run")]

#[path = "fronts/generator.rs"]
mod generator;

use frontier::{Fold, Limits, Problem, Progress, Watch};
use generator::{Instance, Recipe, Stream};
use serde_json::Value;
use std::sync::atomic::{AtomicBool, Ordering};

fn stored(name: &str) -> Value {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference").join(name);
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn numbers(value: &Value) -> Vec<i64> {
    value.as_array().unwrap().iter().map(|number| number.as_i64().unwrap()).collect()
}

/// Fronts that two programs found independently: a full join of all slots, and cut and solve again by a constraint
/// solver where that ran to its end.
#[test]
fn nine_stored_fronts_come_out_point_for_point() {
    let instances = [
        ("a40_d15_s1", Recipe { attributes: true, ..Recipe::random(1, 40, 0.15) }),
        ("r40_d15_s1", Recipe::random(1, 40, 0.15)),
        ("r40_d15_s2", Recipe::random(2, 40, 0.15)),
        ("r40_d15_s3", Recipe::random(3, 40, 0.15)),
        ("r40_d15_s4", Recipe::random(4, 40, 0.15)),
        ("r40_d15_s5", Recipe::random(5, 40, 0.15)),
        ("r40_d20_s1", Recipe::random(1, 40, 0.20)),
        ("r40_d30_s1", Recipe::random(1, 40, 0.30)),
        ("r120_d15_s1", Recipe::random(1, 120, 0.15)),
    ];
    for (name, recipe) in instances {
        let expected = stored(&format!("{name}.json"));
        let (problem, aims) = Instance::new(recipe).problem();
        let front = problem.front(Watch::default());
        assert!(front.complete && front.parts == 1, "{name}");
        let found: Vec<Vec<i64>> = front.picks.iter().map(|pick| pick.values.clone()).collect();
        let wanted: Vec<Vec<i64>> =
            expected["front_price_weight_lowgear"].as_array().unwrap().iter().map(numbers).collect();
        assert_eq!(found, wanted, "{name}");
        for pick in &front.picks {
            assert!(problem.holds(&pick.options), "{name}");
            assert_eq!(problem.values(&pick.options), pick.values, "{name}");
        }
        if let Some(sets) = expected["solutions"].as_u64() {
            assert_eq!(problem.count(Watch::default()).sets, sets, "{name}");
        }
        let least = problem.least(aims[0], Watch::default()).unwrap();
        assert_eq!(Some(least.values[0]), expected["min_price"].as_i64(), "{name}");
    }
}

/// 210 seeded problems, a third of them without a set, solved by OR-tools CP-SAT 9.15 (reference/seeded.py).
#[test]
fn seeded_problems_have_the_optimum_the_front_and_the_infeasibility_of_a_general_solver() {
    let problems = stored("seeded.json");
    let problems = problems.as_array().unwrap();
    let mut without = 0;
    for stored in problems {
        let recipe = Recipe {
            planted: stored["planted"].as_bool().unwrap(),
            ..Recipe::random(
                stored["seed"].as_u64().unwrap(),
                stored["options"].as_u64().unwrap() as usize,
                stored["density"].as_f64().unwrap(),
            )
        };
        let (problem, aims) = Instance::new(recipe).problem();
        let front: Vec<Vec<i64>> =
            problem.front(Watch::default()).picks.into_iter().map(|pick| pick.values).collect();
        let wanted: Vec<Vec<i64>> = stored["front"].as_array().unwrap().iter().map(numbers).collect();
        assert_eq!(front, wanted, "{recipe:?}");
        let least = problem.least(aims[0], Watch::default()).map(|pick| pick.values[0]);
        assert_eq!(least, stored["least"].as_i64(), "{recipe:?}");
        without += usize::from(least.is_none());
    }
    assert!(problems.len() >= 200 && without >= 20, "{} problems, {without} without a set", problems.len());
}

/// A small problem of any shape: wide relations, classes, terms, both folds, slots that nothing relates.
fn any_problem(seed: u64) -> Problem {
    let mut stream = Stream::new(seed);
    let sizes: Vec<usize> = (0..2 + stream.below(4)).map(|_| 1 + stream.below(4)).collect();
    let mut problem = Problem::new(&sizes).unwrap();
    for fact in 0..stream.below(7) {
        let slots = some_slots(&mut stream, sizes.len());
        if stream.below(2) == 0 {
            problem.relate(&slots, Some(fact), |_| stream.below(5) > 1).unwrap();
        } else {
            let classes: Vec<Vec<u32>> = slots
                .iter()
                .map(|slot| (0..sizes[*slot]).map(|_| stream.below(2) as u32).collect())
                .collect();
            problem.relate_classes(&slots, &classes, Some(fact), |_| stream.below(5) > 1).unwrap();
        }
    }
    for _ in 0..stream.below(5) {
        let fold = if stream.below(4) == 0 { Fold::Most } else { Fold::Sum };
        let aim = problem.aim(fold).unwrap();
        for (slot, size) in sizes.iter().enumerate() {
            let costs: Vec<i64> = (0..*size).map(|_| stream.below(6) as i64).collect();
            problem.cost(aim, slot, &costs).unwrap();
        }
        for _ in 0..stream.below(3) {
            let slots = some_slots(&mut stream, sizes.len());
            problem.cost_of(aim, &slots, |_| stream.below(4) as i64).unwrap();
        }
    }
    problem
}

fn some_slots(stream: &mut Stream, count: usize) -> Vec<usize> {
    let mut slots: Vec<usize> = (0..count).filter(|_| stream.below(2) == 0).collect();
    if slots.is_empty() {
        slots.push(stream.below(count));
    }
    if stream.below(2) == 0 {
        slots.reverse();
    }
    slots
}

fn every_set(problem: &Problem) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for size in problem.options() {
        all = all
            .into_iter()
            .flat_map(|set: Vec<usize>| {
                (0..*size).map(move |option| set.iter().copied().chain([option]).collect::<Vec<_>>())
            })
            .collect();
    }
    all.retain(|set| problem.holds(set));
    all
}

/// The values that no set beats, by comparing all with all.
fn front_by_trying(problem: &Problem) -> Vec<Vec<i64>> {
    let mut all: Vec<Vec<i64>> = every_set(problem).iter().map(|set| problem.values(set)).collect();
    all.sort();
    all.dedup();
    let beaten = |values: &Vec<i64>| {
        all.iter().any(|other| other != values && other.iter().zip(values).all(|(a, b)| a <= b))
    };
    let kept: Vec<Vec<i64>> = all.iter().filter(|values| !beaten(values)).cloned().collect();
    kept
}

#[test]
fn small_problems_of_any_shape_come_out_as_by_trying_everything() {
    for seed in 0..3000 {
        let problem = any_problem(seed);
        let all = every_set(&problem);
        let front = problem.front(Watch::default());
        let found: Vec<Vec<i64>> = front.picks.iter().map(|pick| pick.values.clone()).collect();
        assert_eq!(found, front_by_trying(&problem), "{seed}");
        assert_eq!(problem.count(Watch::default()).sets, all.len() as u64, "{seed}");
        for pick in &front.picks {
            assert!(problem.holds(&pick.options) && problem.values(&pick.options) == pick.values, "{seed}");
        }
    }
}

#[test]
fn of_equal_sets_the_first_by_options_is_taken() {
    for seed in 0..1000 {
        let problem = any_problem(seed);
        // Where the largest cost counts the order is promised among the kept sets only.
        let all = every_set(&problem);
        let mut stream = Stream::new(seed ^ 0xABCD);
        let mut sums = Problem::new(problem.options()).unwrap();
        sums.relate(&(0..problem.options().len()).collect::<Vec<_>>(), None, |set| {
            all.contains(&set.to_vec())
        })
        .unwrap();
        for _ in 0..2 {
            let aim = sums.aim(Fold::Sum).unwrap();
            for (slot, size) in problem.options().iter().enumerate() {
                let costs: Vec<i64> = (0..*size).map(|_| stream.below(3) as i64).collect();
                sums.cost(aim, slot, &costs).unwrap();
            }
        }
        for pick in sums.front(Watch::default()).picks {
            let first = all.iter().find(|set| sums.values(set) == pick.values);
            assert_eq!(first, Some(&pick.options), "{seed}");
        }
    }
}

#[test]
fn options_that_nothing_tells_apart_change_no_front_and_no_count() {
    for seed in 0..500 {
        let mut stream = Stream::new(seed);
        let sizes: Vec<usize> = (0..4).map(|_| 2 + stream.below(5)).collect();
        let mut by_class = Problem::new(&sizes).unwrap();
        let mut by_option = Problem::new(&sizes).unwrap();
        for slots in [[0, 1], [1, 2], [2, 3], [0, 3]] {
            let classes: Vec<Vec<u32>> = slots
                .iter()
                .map(|slot| (0..sizes[*slot] as u32).map(|option| option / 2).collect())
                .collect();
            let table: Vec<bool> = (0..9).map(|_| stream.unit() < 0.6).collect();
            by_class.relate_classes(&slots, &classes, None, |at| table[at[0] * 3 + at[1]]).unwrap();
            by_option.relate(&slots, None, |at| table[at[0] / 2 * 3 + at[1] / 2]).unwrap();
        }
        for _ in 0..2 {
            let aim = by_class.aim(Fold::Sum).unwrap();
            by_option.aim(Fold::Sum).unwrap();
            for (slot, size) in sizes.iter().enumerate() {
                let costs: Vec<i64> = (0..*size).map(|_| stream.below(4) as i64).collect();
                by_class.cost(aim, slot, &costs).unwrap();
                by_option.cost(aim, slot, &costs).unwrap();
            }
        }
        assert_eq!(by_class.front(Watch::default()), by_option.front(Watch::default()), "{seed}");
        assert_eq!(by_class.count(Watch::default()), by_option.count(Watch::default()), "{seed}");
    }
}

#[test]
fn a_problem_that_is_divided_gives_the_same_front() {
    for seed in 1..6 {
        let (problem, aims) = Instance::new(Recipe::random(seed, 12, 0.4)).problem();
        let whole = problem.front(Watch::default());
        let limits = Limits { rows: 20, points: 4000 };
        let divided = problem.front_of(&aims, &|_| true, limits, Watch::default());
        assert!(divided.complete && divided.parts > 1, "{seed}: {} parts", divided.parts);
        assert_eq!(divided.picks, whole.picks, "{seed}");
    }
}

#[test]
fn a_stopped_search_says_so_and_shows_sets_that_hold() {
    let (problem, aims) = Instance::new(Recipe::random(3, 20, 0.5)).problem();
    let limits = Limits { rows: 30, points: 4000 };
    let stop = AtomicBool::new(false);
    let tell = |progress: Progress| {
        if progress.done > 3 {
            stop.store(true, Ordering::Relaxed);
        }
    };
    let watch = Watch { stop: Some(&stop), tell: Some(&tell) };
    let front = problem.front_of(&aims, &|_| true, limits, watch);
    assert!(!front.complete && !front.picks.is_empty());
    assert!(front.picks.iter().all(|pick| problem.holds(&pick.options)));
    // Stopped before it began: one set that holds is found all the same.
    let front = problem.front_of(&aims, &|_| true, limits, Watch { stop: Some(&stop), tell: None });
    assert!(!front.complete && front.picks.len() == 1 && problem.holds(&front.picks[0].options));
}

#[test]
fn a_conflict_is_minimal() {
    let (mut conflicts, mut facts_in_them) = (0, 0);
    for seed in 0..2000 {
        let mut problem = any_problem(seed);
        let aim = problem.aim(Fold::Sum).unwrap();
        let costs: Vec<i64> = (0..problem.options()[0]).map(|option| option as i64).collect();
        problem.cost(aim, 0, &costs).unwrap();
        problem.relate(&[0], Some(8), |at| at[0] > 0).unwrap();
        let bounds = [(aim, 0, 9)];
        let facts: Vec<usize> = (0..10).collect();
        let Some(conflict) = problem.conflict(&facts, &bounds, Watch::default()) else { continue };
        let feasible = |facts: &[usize]| {
            problem.feasible(&|fact| facts.contains(&fact), &bounds, Watch::default()).unwrap()
        };
        assert!(conflict.complete && !feasible(&conflict.facts), "{seed}");
        for left_out in &conflict.facts {
            let others: Vec<usize> = conflict.facts.iter().copied().filter(|fact| fact != left_out).collect();
            assert!(feasible(&others), "{seed}: {left_out} is not needed in {:?}", conflict.facts);
        }
        conflicts += 1;
        facts_in_them += conflict.facts.len();
    }
    assert!(conflicts > 500 && facts_in_them > conflicts, "{conflicts} with {facts_in_them} facts");
}

#[test]
fn what_cannot_be_put_down_is_refused() {
    use frontier::ProblemError;
    assert_eq!(Problem::new(&[2, 0]).unwrap_err(), ProblemError::NoOptions(1));
    let mut problem = Problem::new(&[2, 3]).unwrap();
    assert_eq!(problem.relate(&[0, 2], None, |_| true), Err(ProblemError::UnknownSlot(2)));
    assert_eq!(problem.relate(&[1, 1], None, |_| true), Err(ProblemError::SlotTwice(1)));
    assert_eq!(problem.relate(&[], None, |_| true), Err(ProblemError::NoSlot));
    let aim = problem.aim(Fold::Most).unwrap();
    assert_eq!(problem.cost(aim, 1, &[1]), Err(ProblemError::Length { slot: 1, found: 1, wanted: 3 }));
    assert_eq!(problem.cost(aim, 0, &[0, -1]), Err(ProblemError::Cost(-1)));
    assert_eq!(problem.cost(aim, 0, &[0, i64::MAX]), Err(ProblemError::Cost(i64::MAX)));
    for _ in 0..5 {
        problem.aim(Fold::Sum).unwrap();
    }
    assert_eq!(problem.aim(Fold::Sum), Err(ProblemError::TooManyAims(7)));
    let mut wide = Problem::new(&[1000; 4]).unwrap();
    assert_eq!(wide.relate(&[0, 1, 2, 3], None, |_| true), Err(ProblemError::TooLarge(1_000_000_000_000)));
}
