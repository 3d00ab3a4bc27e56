//! Fronts, counts and conflicts of seeded problems against a general engine and against trying everything.

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
