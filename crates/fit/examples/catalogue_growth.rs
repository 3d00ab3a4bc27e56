//! How the time of an answer grows with the parts of a catalogue and with the density of the graph of slots, measured on
//! this machine in processor time and drawn as a chart: `cargo run --release -p fit --example catalogue_growth -- docs/choice-growth.svg`.

#![expect(clippy::unwrap_used, reason = "a problem that cannot be laid out stops the run")]
#![expect(clippy::disallowed_methods, reason = "it measures time")]

#[path = "../../frontier/tests/fronts/generator.rs"]
mod generator;
#[path = "../tests/choose/stock.rs"]
mod stock;

use fit::choose::{Labour, choose};
use frontier::{Limits, Watch};
use generator::{Instance, Recipe};
use intake::{Source, built_in, read_refit};
use std::fmt::Write;
use std::time::Instant;

const WISH: &str = include_str!("../../../examples/choose/eleven-cogs-on-a-short-body.toml");
const PARTS: [usize; 9] = [50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000];
/// Percent of pairs that go together, of 40 options in nine slots.
const DENSITIES: [u32; 7] = [10, 15, 20, 30, 40, 50, 60];
/// Runs of each, at least.
const RUNS: u32 = 3;
/// Runs of what takes no time, at most.
const MOST_RUNS: u32 = 2000;
/// Processor time over which is averaged.
const LEAST_MS: f64 = 500.0;

fn main() {
    let refit = read_refit(Source { name: "wish.toml", text: WISH }, &built_in().unwrap()).unwrap();
    println!("parts  options  sets that hold  on the front  processor ms  least wall ms");
    let catalogues: Vec<(f64, f64)> = PARTS
        .iter()
        .map(|parts| {
            let catalogue = stock::stock(1, *parts);
            let answer = choose(&refit, &catalogue, &Labour::default(), Watch::default()).unwrap();
            let took = timed(|| {
                choose(&refit, &catalogue, &Labour::default(), Watch::default()).unwrap();
            });
            let (sets, front) = (answer.count.sets, answer.sets.len());
            println!(
                "{parts:5}  {:7}  {sets:14}  {front:12}  {:12.1}  {:13.1}",
                answer.parts, took.processor, took.wall
            );
            (*parts as f64, took.processor)
        })
        .collect();
    println!("percent  parts of the search  front  processor ms  least wall ms");
    let densities: Vec<(f64, f64)> = DENSITIES
        .iter()
        .map(|percent| {
            let (problem, aims) = Instance::new(Recipe::random(1, 40, f64::from(*percent) / 100.0)).problem();
            let front = || problem.front_of(&aims, &|_| true, Limits::default(), Watch::default());
            let found = front();
            let took = timed(|| {
                front();
            });
            println!(
                "{percent:7}  {:19}  {:5}  {:12.2}  {:13.2}",
                found.parts,
                found.picks.len(),
                took.processor,
                took.wall
            );
            (f64::from(*percent), took.processor)
        })
        .collect();
    if let Some(path) = std::env::args().nth(1) {
        std::fs::write(path, chart(&catalogues, &densities)).unwrap();
    }
}

/// Milliseconds of one run.
#[derive(Clone, Copy, Debug)]
struct Took {
    /// By the clock on the wall, the least of the runs.
    wall: f64,
    /// Of the processor, all cores together, the mean of the runs: it does not count what else the machine did.
    processor: f64,
}

fn timed(mut run: impl FnMut()) -> Took {
    let before = processor_ms();
    let mut wall = f64::INFINITY;
    let mut runs = 0;
    // A tick of the processor's clock is 10 ms: short runs are repeated until they are many ticks.
    while runs < RUNS || (processor_ms() - before < LEAST_MS && runs < MOST_RUNS) {
        let begun = Instant::now();
        run();
        wall = wall.min(begun.elapsed().as_secs_f64() * 1000.0);
        runs += 1;
    }
    Took { wall, processor: (processor_ms() - before) / f64::from(runs) }
}

/// Processor time of this program so far, as Linux tells it: ticks of 10 ms, own and of the system.
fn processor_ms() -> f64 {
    let told = std::fs::read_to_string("/proc/self/stat").unwrap();
    let fields: Vec<&str> = told.rsplit_once(')').unwrap().1.split_whitespace().collect();
    10.0 * (fields[11].parse::<f64>().unwrap() + fields[12].parse::<f64>().unwrap())
}

/// Two panels side by side, time upward by powers of ten.
fn chart(catalogues: &[(f64, f64)], densities: &[(f64, f64)]) -> String {
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 860 360\" role=\"img\" font-family=\"sans-serif\" font-size=\"13\">\n\
         <title>Time of an answer by the parts of the catalogue and by the share of pairs that go together</title>\n\
         <rect width=\"860\" height=\"360\" fill=\"#fff\"/>\n",
    );
    let first = Panel {
        left: 70.0,
        title: "a catalogue against one bike",
        under: "parts in the catalogue",
        goal: Some(&[(5000.0, 100.0), (20_000.0, 1000.0)]),
        ms: (1.0, 1000.0),
        x: (40.0, 25_000.0),
        is_log: true,
        ticks: &[50.0, 200.0, 1000.0, 5000.0, 20_000.0],
    };
    let second = Panel {
        left: 500.0,
        title: "nine slots, 40 options: from sparse to dense",
        under: "pairs that go together, %",
        goal: None,
        ms: (0.01, 10_000.0),
        x: (5.0, 65.0),
        is_log: false,
        ticks: &[10.0, 20.0, 30.0, 40.0, 50.0, 60.0],
    };
    first.draw(&mut svg, catalogues);
    second.draw(&mut svg, densities);
    svg.push_str("</svg>\n");
    svg
}

struct Panel {
    left: f64,
    title: &'static str,
    under: &'static str,
    /// Points that were to be reached: drawn as rings.
    goal: Option<&'static [(f64, f64)]>,
    ms: (f64, f64),
    x: (f64, f64),
    is_log: bool,
    ticks: &'static [f64],
}

impl Panel {
    const TOP: f64 = 50.0;
    const WIDTH: f64 = 320.0;
    const HEIGHT: f64 = 240.0;

    fn at(&self, (x, ms): (f64, f64)) -> (f64, f64) {
        let scale = |value: f64| if self.is_log { value.log10() } else { value };
        let across = (scale(x) - scale(self.x.0)) / (scale(self.x.1) - scale(self.x.0));
        let up = (ms.log10() - self.ms.0.log10()) / (self.ms.1.log10() - self.ms.0.log10());
        (self.left + across * Self::WIDTH, Self::TOP + (1.0 - up) * Self::HEIGHT)
    }

    fn draw(&self, svg: &mut String, points: &[(f64, f64)]) {
        let (left, bottom) = (self.left, Self::TOP + Self::HEIGHT);
        let right = left + Self::WIDTH;
        let _ = writeln!(svg, "<text x=\"{left}\" y=\"30\" font-weight=\"bold\">{}</text>", self.title);
        let mut ms = self.ms.0;
        while ms <= self.ms.1 * 1.01 {
            let (_, y) = self.at((self.x.0, ms));
            let words = if ms >= 1000.0 { format!("{} s", ms / 1000.0) } else { format!("{ms} ms") };
            let _ = writeln!(
                svg,
                "<path d=\"M{left} {y:.1}H{right}\" stroke=\"#ddd\"/><text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{words}</text>",
                left - 6.0,
                y + 4.0
            );
            ms *= 10.0;
        }
        for tick in self.ticks {
            let (x, _) = self.at((*tick, self.ms.0));
            let _ = writeln!(
                svg,
                "<path d=\"M{x:.1} {bottom}v5\" stroke=\"#333\"/><text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{tick}</text>",
                bottom + 20.0
            );
        }
        let _ = writeln!(
            svg,
            "<path d=\"M{left} {}V{bottom}H{right}\" fill=\"none\" stroke=\"#333\"/><text x=\"{}\" y=\"{}\" text-anchor=\"middle\">{}</text>",
            Self::TOP,
            left + Self::WIDTH / 2.0,
            bottom + 44.0,
            self.under
        );
        let line: Vec<String> =
            points.iter().map(|point| self.at(*point)).map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
        let _ = writeln!(
            svg,
            "<path d=\"M{}\" fill=\"none\" stroke=\"#1a5fb4\" stroke-width=\"2\"/>",
            line.join("L")
        );
        for point in points {
            let ((x, y), ms) = (self.at(*point), point.1);
            let words = if ms < 10.0 { format!("{ms:.2}") } else { format!("{ms:.0}") };
            let _ = writeln!(
                svg,
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3.5\" fill=\"#1a5fb4\"/><text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"11\">{words}</text>",
                y - 8.0
            );
        }
        for (parts, goal_ms) in self.goal.unwrap_or_default() {
            let (x, y) = self.at((*parts, *goal_ms));
            let _ = writeln!(
                svg,
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"none\" stroke=\"#a51d2d\" stroke-width=\"2\"/><text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\" font-size=\"11\" fill=\"#a51d2d\">wanted</text>",
                y + 20.0
            );
        }
    }
}
