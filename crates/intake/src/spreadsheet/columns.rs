//! The header of a sheet: which column holds what, and in which unit its bare numbers stand.

use super::cell::{Cell, letters};
use super::cell_problem::CellProblem;
use super::header_map::HeaderMap;
use crate::nearest::offer;
use crate::problem::quoted;
use catalog::{Field, Slot, Sort};
use quantity::{Angle, Length, Mass, Quantity};
use std::collections::BTreeMap;

/// What a column holds.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Target {
    /// What sort of part the row is.
    Slot,
    /// The key of the part.
    Id,
    /// What it is called.
    Name,
    /// Its price.
    Price,
    /// Its mass.
    Mass,
    /// Working days until it is here.
    LeadDays,
    /// A dimension, which may be another one for each sort of part: `clamp` of a bar, `clamp` of a stem.
    Dimension(BTreeMap<Slot, Field>),
    /// Left out on purpose, or refused.
    Nothing,
    /// A column without a header.
    Unnamed,
}

/// The keys of what is not a dimension.
const LABELS: [(&str, Target); 6] = [
    ("slot", Target::Slot),
    ("id", Target::Id),
    ("name", Target::Name),
    ("price", Target::Price),
    ("mass", Target::Mass),
    ("lead_days", Target::LeadDays),
];

impl Target {
    /// Every word that leads somewhere, for a slot or for all.
    pub(super) fn words(slot: Option<Slot>) -> Vec<&'static str> {
        let fields = slots(slot).flat_map(|slot| slot.fields()).flat_map(|f| [f.key, f.dimension.words()]);
        let mut words: Vec<&str> = LABELS.iter().map(|label| label.0).chain(fields).collect();
        let mut seen = std::collections::BTreeSet::new();
        words.retain(|word| seen.insert(*word));
        words
    }
}

/// A column of a sheet.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// How it is named in problems.
    pub shown: String,
    /// What it holds.
    pub target: Target,
    /// The unit of its bare numbers.
    pub unit: Option<String>,
}

/// Headers are compared in small letters, with one blank for any run of blanks, lines and dashes.
pub(super) fn flat(header: &str) -> String {
    let words: Vec<String> =
        header.split(is_blank).filter(|word| !word.is_empty()).map(str::to_lowercase).collect();
    words.join(" ")
}

fn is_blank(letter: char) -> bool {
    letter.is_whitespace() || matches!(letter, '_' | '-')
}

/// Whether a key or the words of a dimension are this flattened header.
fn is_flat(word: &str, flat: &str) -> bool {
    word.chars().map(|letter| if is_blank(letter) { ' ' } else { letter }).eq(flat.chars())
}

fn slots(slot: Option<Slot>) -> impl Iterator<Item = Slot> {
    Slot::ALL.iter().copied().filter(move |one| slot.is_none_or(|slot| slot == *one))
}

/// What a word leads to, for one slot or for every slot that has it.
pub(super) fn target(word: &str, slot: Option<Slot>) -> Option<Target> {
    let word = flat(word);
    if let Some((_, target)) = LABELS.iter().find(|(key, _)| is_flat(key, &word)) {
        return Some(target.clone());
    }
    let named = |slot: Slot| {
        let by_key = slot.fields().iter().find(|field| is_flat(field.key, &word));
        by_key.or_else(|| slot.fields().iter().find(|field| is_flat(field.dimension.words(), &word)))
    };
    let fields: BTreeMap<Slot, Field> =
        slots(slot).filter_map(|slot| named(slot).map(|field| (slot, *field))).collect();
    if fields.is_empty() { None } else { Some(Target::Dimension(fields)) }
}

/// How many cells of a row lead somewhere.
pub(super) fn known(cells: &[Cell<'_>], slot: Option<Slot>, map: &HeaderMap) -> usize {
    cells.iter().filter_map(Cell::written).filter(|text| resolve(text, slot, map).is_some()).count()
}

/// Reads the header. What is wrong with it goes to `problems`.
pub(super) fn columns(
    cells: &[Cell<'_>],
    slot: Option<Slot>,
    map: &HeaderMap,
    lettered: bool,
    problems: &mut Vec<CellProblem>,
) -> Vec<Column> {
    let mut columns: Vec<Column> = Vec::new();
    for (at, cell) in cells.iter().enumerate() {
        let header = cell.written();
        let mut shown =
            header.as_ref().map_or_else(|| format!("{} without a header", at + 1), |text| quoted(text));
        if lettered {
            shown = header
                .as_ref()
                .map_or_else(|| letters(at), |text| format!("{} ({})", letters(at), quoted(text)));
        }
        let mut note = |what: String, accepted: String| {
            let column = Some(shown.clone());
            problems.push(CellProblem { column, what, accepted: Some(accepted), ..CellProblem::default() });
        };
        let (target, unit) = match header {
            None if cell.is_empty() => (Target::Unnamed, None),
            None => {
                note("the header is not text".to_owned(), "write the key of a field as text".to_owned());
                (Target::Nothing, None)
            }
            Some(text) => resolve(&text, slot, map).unwrap_or_else(|| {
                let near = meant(&text, slot, map);
                let accepted = format!(
                    "{near}; or map it under `[columns]` of a header map, or name it in `ignore` there"
                );
                note("the header is not known".to_owned(), accepted);
                (Target::Nothing, None)
            }),
        };
        if let Some((what, accepted)) = unit.as_deref().and_then(|unit| wrong_unit(&target, unit)) {
            note(what, accepted);
        }
        if let Some(twin) = columns.iter().find(|before| same(&before.target, &target)) {
            note(
                format!("it holds the same as column {}", twin.shown),
                "keep one of the two, and name the other in `ignore` of a header map".to_owned(),
            );
        }
        columns.push(Column { shown, target, unit });
    }
    let has = |wanted: &Target| columns.iter().any(|column| column.target == *wanted);
    let mut missing = |key: &str, accepted: &str| {
        let what = format!("no column holds `{key}`");
        problems.push(CellProblem { what, accepted: Some(accepted.to_owned()), ..CellProblem::default() });
    };
    if !has(&Target::Id) {
        missing("id", "every part needs a key of its own: a column `id`, or one mapped to it");
    }
    if !has(&Target::Name) {
        missing("name", "every part needs a name: a column `name`, or one mapped to it");
    }
    if slot.is_none() && !has(&Target::Slot) {
        missing("slot", "say which sort of part the sheet holds, or add a column `slot`");
    }
    columns
}

/// What a header leads to, with the unit of its bare numbers.
fn resolve(header: &str, slot: Option<Slot>, map: &HeaderMap) -> Option<(Target, Option<String>)> {
    let flat_header = flat(header);
    if let Some(mapped) = map.columns.get(&flat_header) {
        return target(&mapped.field, slot).map(|target| (target, mapped.unit.clone()));
    }
    if map.ignored.contains(&flat_header) {
        return Some((Target::Nothing, None));
    }
    if let Some(target) = target(header, slot) {
        return Some((target, None));
    }
    let (word, unit) = bracket(header)?;
    target(word, slot).map(|target| (target, Some(unit.to_owned())))
}

/// What a header that leads nowhere may have meant.
fn meant(header: &str, slot: Option<Slot>, map: &HeaderMap) -> String {
    match map.columns.get(&flat(header)) {
        Some(mapped) => format!("it is mapped to `{}`, which such a part does not have", mapped.field),
        None => offer(bracket(header).map_or(header, |(word, _)| word), &Target::words(slot)),
    }
}

/// `length [mm]` and `length (mm)`: the word and the unit.
fn bracket(header: &str) -> Option<(&str, &str)> {
    let header = header.trim();
    [('[', ']'), ('(', ')')].into_iter().find_map(|(open, close)| {
        let (word, unit) = header.strip_suffix(close)?.rsplit_once(open)?;
        Some((word.trim(), unit.trim()))
    })
}

/// What is wrong with the unit of a column.
fn wrong_unit(target: &Target, unit: &str) -> Option<(String, String)> {
    let accepted: Vec<&str> = match target {
        Target::Mass => words::<Mass>(),
        Target::Price if unit.len() == 3 && unit.bytes().all(|byte| byte.is_ascii_uppercase()) => {
            return None;
        }
        Target::Price => vec!["EUR"],
        Target::Dimension(fields) => {
            fields.values().flat_map(|field| units(field.dimension.row().sort)).collect()
        }
        _ => Vec::new(),
    };
    if accepted.contains(&unit) {
        return None;
    }
    let what = format!("{} is not a unit that fits this column", quoted(unit));
    Some((what, offer(unit, &accepted)))
}

/// The units of a sort of value; none for what is counted or said in words.
pub(super) fn units(sort: Sort) -> Vec<&'static str> {
    match sort {
        Sort::Length | Sort::Lengths => words::<Length>(),
        Sort::Angle => words::<Angle>(),
        Sort::Ratio | Sort::Count | Sort::Teeth | Sort::Word(_) => Vec::new(),
    }
}

fn words<Q: Quantity>() -> Vec<&'static str> {
    Q::UNITS.iter().map(|unit| unit.0).collect()
}

/// Whether two columns hold the same of some sort of part.
fn same(a: &Target, b: &Target) -> bool {
    match (a, b) {
        (Target::Nothing | Target::Unnamed, _) => false,
        (Target::Dimension(a), Target::Dimension(b)) => {
            a.iter().any(|(slot, field)| b.get(slot) == Some(field))
        }
        (a, b) => a == b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_are_keys_or_words_with_or_without_a_unit() {
        let map = HeaderMap::default();
        let read = |header: &'static str| resolve(header, Some(Slot::Stem), &map);
        let length = target("length", Some(Slot::Stem)).unwrap();
        for (header, unit) in [
            ("length", None),
            ("Length", None),
            ("STEM LENGTH", None),
            ("length [mm]", Some("mm")),
            ("Stem length (cm)", Some("cm")),
        ] {
            assert_eq!(read(header), Some((length.clone(), unit.map(str::to_owned))), "{header}");
        }
        assert_eq!(read("lead days").unwrap().0, Target::LeadDays);
        assert!(meant("lenght", Some(Slot::Stem), &map).contains("`length`"));
        assert!(resolve("hood", Some(Slot::Stem), &map).is_none());
    }
}
