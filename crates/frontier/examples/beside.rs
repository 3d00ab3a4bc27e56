//! Solves seeded problems named on standard input and tells what came out and how long it took, for
//! `tests/reference/beside.py`, which solves the same ones with a general engine in the same run.
//!
//! A line is `seed options density planted`, such as `1001 8 0.3 true`; the answer is a line of JSON.

#![expect(clippy::unwrap_used, reason = "a line that cannot be read stops the run")]
#![expect(clippy::disallowed_methods, reason = "it measures time")]

#[path = "../tests/fronts/generator.rs"]
mod generator;

use frontier::Watch;
use generator::{Instance, Recipe};
use serde_json::json;
use std::time::Instant;

/// The least of so many runs counts.
const RUNS: usize = 5;

fn main() {
    for line in std::io::stdin().lines() {
        let line = line.unwrap();
        let words: Vec<&str> = line.split_whitespace().collect();
        let recipe = Recipe {
            planted: words[3].parse().unwrap(),
            ..Recipe::random(words[0].parse().unwrap(), words[1].parse().unwrap(), words[2].parse().unwrap())
        };
        let (problem, aims) = Instance::new(recipe).problem();
        let (least, least_s) = timed(|| problem.least(aims[0], Watch::default()));
        let (front, front_s) = timed(|| problem.front(Watch::default()));
        let points: Vec<&[i64]> = front.picks.iter().map(|pick| &pick.values[..]).collect();
        let least = least.map(|pick| pick.values[0]);
        println!("{}", json!({ "least": least, "least_s": least_s, "front": points, "front_s": front_s }));
    }
}

fn timed<T>(mut run: impl FnMut() -> T) -> (T, f64) {
    let mut once = || {
        let begun = Instant::now();
        (run(), begun.elapsed().as_secs_f64())
    };
    let mut best = once();
    for _ in 1..RUNS {
        let again = once();
        if again.1 < best.1 {
            best = again;
        }
    }
    best
}
