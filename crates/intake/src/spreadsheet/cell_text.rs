//! The value of a field as text that reads back to the same value: number, tolerance, unit, word for the basis.

use catalog::{Field, Value};
use quantity::{Basis, Measured, Quantity, Reading, Teeth};
use std::fmt::Write;

/// How the minus is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Minus {
    /// The hyphen of the keyboard.
    Hyphen,
    /// The true minus: a sheet program takes a cell that begins with a hyphen for a formula.
    True,
}

/// The texts of a reading: several for a list, none if nothing is known.
pub(crate) fn cell_text(field: Field, reading: &Reading<Value>, minus: Minus) -> Vec<String> {
    let value = match reading {
        Reading::NotTaken => return Vec::new(),
        Reading::Fine => return vec!["fine".to_owned()],
        Reading::NotReachable => return vec!["not reachable".to_owned()],
        Reading::NotNeeded => return vec!["not needed".to_owned()],
        Reading::Taken(value) => value,
    };
    match value {
        Value::Length(length) => vec![measured(field, length, "mm", minus)],
        Value::Lengths(lengths) => {
            lengths.iter().map(|length| measured(field, length, "mm", minus)).collect()
        }
        Value::Angle(angle) => vec![measured(field, angle, "deg", minus)],
        Value::Ratio(ratio) => vec![measured(field, ratio, "", minus)],
        Value::Count(count) => vec![noted(count.value.to_string(), &count.basis)],
        Value::Teeth(teeth) => {
            let counts: Vec<String> = teeth.value.iter().map(Teeth::to_string).collect();
            vec![noted(counts.join("-"), &teeth.basis)]
        }
        Value::Word(word) => vec![noted(word.value.to_owned(), &word.basis)],
    }
}

fn measured<Q: Quantity>(field: Field, value: &Measured<Q>, unit: &str, minus: Minus) -> String {
    let number = |base: f64| {
        let digits = base.to_string();
        if minus == Minus::True { digits.replace('-', "−") } else { digits }
    };
    let mut text = number(value.value.base());
    // The tolerance that a reader would give such a value is left out.
    let usual = match value.basis {
        Basis::Measured | Basis::Assumed => field.dimension.row().tolerance.of(value.value.base()),
        _ => 0.0,
    };
    if value.tolerance.base() != usual {
        let _ = write!(text, " ± {}", number(value.tolerance.base()));
    }
    if !unit.is_empty() {
        let _ = write!(text, " {unit}");
    }
    if value.basis != Basis::Measured {
        let _ = write!(text, " {}", word(&value.basis));
    }
    text
}

fn noted(text: String, basis: &Basis) -> String {
    if *basis == Basis::Counted { text } else { format!("{text} {}", word(basis)) }
}

/// The word as a file has it.
fn word(basis: &Basis) -> String {
    match basis {
        Basis::Measured => "measured".to_owned(),
        Basis::Counted => "counted".to_owned(),
        Basis::Printed => "printed".to_owned(),
        Basis::Assumed => "assumed".to_owned(),
        Basis::Published(key) => format!("published {key}"),
        Basis::Practice => "practice".to_owned(),
        Basis::Memory => "memory".to_owned(),
    }
}
