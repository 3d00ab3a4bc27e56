//! Which answers would change a verdict: the missing value is tried over everything it could be.

use crate::build::{Build, Origin};
use crate::finding::{Answer, Finding, Missing, Values, Verdict, Want};
use crate::judge::judge_by;
use catalog::{Dimension, Noted, Slot, Sort, Value};
use quantity::{Angle, Basis, Length, Measured, Quantity, Ratio, Reading};

/// Points at which a range is tried before its borders are narrowed down.
const SAMPLES: usize = 33;
/// Halvings of a border: 33 points and 10 halvings find it to a thirty-thousandth of the range.
const HALVINGS: usize = 10;

/// Fills in, for every missing value that alone decides a finding, which answers lead to which verdict.
pub fn explain(build: &Build, finding: &mut Finding) {
    let open = finding.missing.iter().filter(|missing| missing.want != Want::Again).count();
    let rule = finding.rule;
    // A narrow band is often just round the value of the other part: a new crank as long as the old one.
    let landmarks: Vec<f64> =
        finding.facts.iter().filter_map(|fact| Some(fact.value.span()?.middle())).collect();
    for missing in &mut finding.missing {
        let decides_alone = if missing.want == Want::Again { open == 0 } else { open == 1 };
        if decides_alone {
            missing.answers = answers(missing, build, &landmarks, |trial| {
                judge_by(rule, trial).map(|finding| finding.verdict)
            });
        }
    }
}

fn answers(
    missing: &Missing,
    build: &Build,
    landmarks: &[f64],
    verdict: impl Fn(&Build) -> Option<Verdict>,
) -> Vec<Answer> {
    let row = missing.dimension.row();
    let place = (missing.slot, missing.origin, missing.dimension);
    let try_value = |value: Value| verdict(&put(build, place, value));
    if let Sort::Word(words) = row.sort {
        let word = |word: &'static str| Value::Word(Noted { value: word, basis: Basis::Measured });
        return words
            .iter()
            .filter_map(|w| Some(Answer { values: Values::Word(w), verdict: try_value(word(w))? }))
            .collect();
    }
    let (least, most) = range(missing, build);
    let number = |x: f64| match row.sort {
        Sort::Length => Some(Value::Length(exact(Length::from_base(x)))),
        Sort::Angle => Some(Value::Angle(exact(Angle::from_base(x)))),
        Sort::Ratio => Some(Value::Ratio(exact(Ratio::from_base(x)))),
        Sort::Count => Some(Value::Count(Noted::counted(x.round().max(0.0) as u32))),
        Sort::Teeth | Sort::Lengths | Sort::Word(_) => None,
    };
    let at = |x: f64| number(x).and_then(&try_value);
    let mut found: Vec<Answer> = Vec::new();
    let mut last: Option<(f64, Verdict)> = None;
    let mut samples: Vec<f64> =
        (0..SAMPLES).map(|i| least + (most - least) * i as f64 / (SAMPLES - 1) as f64).collect();
    samples.extend(landmarks.iter().copied().filter(|x| least < *x && *x < most));
    samples.sort_by(f64::total_cmp);
    for x in samples {
        let Some(verdict) = at(x) else { continue };
        match (last, found.last_mut()) {
            (Some((before, old)), Some(answer)) if old != verdict => {
                let border = border(before, x, |x| at(x) == Some(old));
                if let Values::Between(_, end) = &mut answer.values {
                    *end = border;
                }
                found.push(Answer { values: Values::Between(border, x), verdict });
            }
            (Some(_), Some(answer)) => {
                if let Values::Between(_, end) = &mut answer.values {
                    *end = x;
                }
            }
            _ => found.push(Answer { values: Values::Between(x, x), verdict }),
        }
        last = Some((x, verdict));
    }
    found
}

/// The plausible range of an unknown value; for a value to be taken again, what its tolerance leaves open.
fn range(missing: &Missing, build: &Build) -> (f64, f64) {
    let row = missing.dimension.row();
    let parts = match missing.origin {
        Origin::Found => &build.before,
        Origin::Chosen => &build.choice,
    };
    let taken = match parts.reading(missing.slot, missing.dimension) {
        Some(Reading::Taken(value)) => value.span(),
        _ => None,
    };
    match taken {
        Some(span) if missing.want == Want::Again && !span.is_exact() => (span.least(), span.most()),
        _ => (row.least, row.most),
    }
}

fn border(mut inside: f64, mut outside: f64, is_inside: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(inside, outside);
        if is_inside(middle) { inside = middle } else { outside = middle }
    }
    f64::midpoint(inside, outside)
}

fn put(build: &Build, (slot, origin, dimension): (Slot, Origin, Dimension), value: Value) -> Build {
    build.with_reading(slot, origin, dimension, Reading::Taken(value))
}

fn exact<Q: Quantity>(value: Q) -> Measured<Q> {
    Measured::exact(value, Basis::Measured)
}
