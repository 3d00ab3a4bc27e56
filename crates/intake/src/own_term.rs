//! The conditions of the shop's own rules: a dimension of a part, before or after, beside a word or a number.

use crate::document::{table_of, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::plain_value::{MOST_IN_NAME, name, quantity, text, whole};
use crate::problem::{Notes, Refusal, quoted};
use catalog::{Field, Noted, Slot, Sort, Value};
use fit::{Condition, Pick, Side, Term, Test, When};
use quantity::{Angle, Basis, Length, Measured, Quantity, Ratio, Teeth};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of one comparison.
const KEYS: &[&str] =
    &["of", "at", "is", "is_not", "below", "at_most", "at_least", "above", "smallest", "largest"];
/// So many comparisons are read: what needs more is more than one rule.
const MOST_TERMS: usize = 8;

type Given<'t, 'a> = &'t Spanned<DeValue<'a>>;

/// The condition under `all` or `any`.
pub(crate) fn condition(key: &str, value: Given<'_, '_>, notes: &mut Notes) -> Option<Condition> {
    let example = format!("{key} = [{{ of = \"frame.material\", is = \"steel\" }}]");
    let DeValue::Array(list) = value.get_ref() else {
        notes.refuse(wrong_form(key, value, "a list of comparisons", &example));
        return None;
    };
    if list.is_empty() || list.len() > MOST_TERMS {
        let what = format!("`{key}` has {} comparisons; 1 to {MOST_TERMS} are wanted", list.len());
        notes.refuse(Refusal::at(value.span(), what).help(format!("write it such as `{example}`")));
        return None;
    }
    let terms: Vec<Term> = list.iter().filter_map(|entry| term(key, entry, &example, notes)).collect();
    if terms.len() < list.len() {
        return None;
    }
    Some(if key == "all" { Condition::All(terms) } else { Condition::Any(terms) })
}

fn term(key: &str, entry: Given<'_, '_>, example: &str, notes: &mut Notes) -> Option<Term> {
    let table = notes.keep(table_of(key, entry, example))?;
    for (found, _) in table.iter().filter(|(found, _)| !KEYS.contains(&found.get_ref().as_ref())) {
        notes.refuse(unknown_key(found.span(), found.get_ref(), "of a comparison", KEYS));
    }
    let Some(of) = get(table, "of") else {
        let refusal = Refusal::at(entry.span(), "this comparison does not say what it looks at");
        notes.refuse(refusal.help("write `of = \"cassette.cogs\"`: part, dot, field"));
        return None;
    };
    let place = notes.keep(place("of", of));
    let when = get(table, "at").map_or(Ok(When::After), at);
    let when = notes.keep(when);
    let (slot, field) = place?;
    let test = notes.keep(test(entry, table, field));
    Some(Term { slot, dimension: field.dimension, when: when?, test: test? })
}

fn get<'t, 'a>(table: &'t DeTable<'a>, wanted: &str) -> Option<Given<'t, 'a>> {
    table.iter().find(|(key, _)| key.get_ref() == wanted).map(|(_, value)| value)
}

/// A field of a part, such as `frame.hanger_drop`.
pub(crate) fn place(key: &str, value: Given<'_, '_>) -> Result<(Slot, Field), Refusal> {
    let found = text(key, value, "frame.hanger_drop", MOST_IN_NAME)?;
    let refuse = |what: String, help: String| Refusal::at(value.span(), what).help(help);
    let Some((slot, field)) = found.split_once('.') else {
        let help = format!("write part, dot, field, such as `{key} = \"frame.hanger_drop\"`");
        return Err(refuse(format!("{} names no field of a part", quoted(found)), help));
    };
    let Some(part) = Slot::read(slot) else {
        let known: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
        return Err(refuse(format!("{} is no part of a bike", quoted(slot)), offer(slot, &known)));
    };
    let fields = part.fields();
    fields.iter().find(|known| known.key == field).map(|field| (part, *field)).ok_or_else(|| {
        let known: Vec<&str> = fields.iter().map(|field| field.key).collect();
        refuse(format!("{} is not a field of a {}", quoted(field), part.words()), offer(field, &known))
    })
}

fn at(value: Given<'_, '_>) -> Result<When, Refusal> {
    match text("at", value, "after", MOST_IN_NAME)? {
        "before" => Ok(When::Before),
        "after" => Ok(When::After),
        found => Err(Refusal::at(value.span(), format!("{} is no state of a bike", quoted(found))).help(
            "write `at = \"before\"` for the bike as found, `at = \"after\"` for the bike as it shall be",
        )),
    }
}

/// The one test of a comparison.
fn test(entry: Given<'_, '_>, table: &DeTable<'_>, field: Field) -> Result<Test, Refusal> {
    let tests = table.iter().filter(|(key, _)| {
        let key = key.get_ref().as_ref();
        matches!(key, "is" | "is_not") || Side::ALL.iter().any(|side| side.key() == key)
    });
    let tests: Vec<_> = tests.collect();
    let row = field.dimension.row();
    let [(key, value)] = tests.as_slice() else {
        let wanted = match row.sort {
            Sort::Word(_) => "`is` or `is_not`",
            _ => "one of `below`, `at_most`, `at_least`, `above`",
        };
        return Err(Refusal::at(entry.span(), format!("this comparison has {} tests", tests.len()))
            .help(format!("{} takes {wanted}", row.words)));
    };
    let pick = pick(table, field)?;
    match (row.sort, Side::ALL.iter().find(|side| side.key() == key.get_ref().as_ref())) {
        (Sort::Word(words), None) => {
            let found = name(key.get_ref(), value, words.first().copied().unwrap_or_default())?;
            let Some(word) = words.iter().find(|word| **word == found) else {
                let what = format!("{} is no word for the {}", quoted(&found), row.words);
                return Err(Refusal::at(value.span(), what).help(offer(&found, words)));
            };
            Ok(if key.get_ref() == "is" { Test::Is(word) } else { Test::IsNot(word) })
        }
        (Sort::Word(words), Some(_)) => {
            Err(Refusal::at(key.span(), format!("the {} is a word, not a number", row.words))
                .help(format!("write `is = \"{}\"`", words.first().copied().unwrap_or_default())))
        }
        (_, None) => Err(Refusal::at(key.span(), format!("the {} is a number, not a word", row.words))
            .help("compare it with `below`, `at_most`, `at_least` or `above`")),
        (sort, Some(side)) => {
            let (limit, at) = limit(side.key(), value, field, sort)?;
            Ok(Test::Number { pick, side: *side, limit, at })
        }
    }
}

/// A list needs to be told which of its numbers is meant.
fn pick(table: &DeTable<'_>, field: Field) -> Result<Pick, Refusal> {
    let row = field.dimension.row();
    let is_list = matches!(row.sort, Sort::Teeth | Sort::Lengths);
    let mut picked = None;
    for (key, pick) in [("smallest", Pick::Smallest), ("largest", Pick::Largest)] {
        let Some(value) = get(table, key) else { continue };
        if !matches!(value.get_ref(), DeValue::Boolean(true)) {
            return Err(wrong_form(key, value, "`true`", &format!("{key} = true")));
        }
        if picked.is_some() || !is_list {
            let what = match is_list {
                true => "a comparison looks at the smallest or at the largest".to_owned(),
                false => format!("the {} is no list: it has no {key}", row.words),
            };
            return Err(Refusal::at(value.span(), what).help("leave it out"));
        }
        picked = Some(pick);
    }
    match (picked, get(table, "of")) {
        (None, Some(of)) if is_list => {
            Err(Refusal::at(of.span(), format!("the {} are several numbers", row.words))
                .help("write `largest = true` or `smallest = true` beside it"))
        }
        (picked, _) => Ok(picked.unwrap_or(Pick::Only)),
    }
}

/// The number of a test, as it is shown and in base units.
fn limit(key: &str, value: Given<'_, '_>, field: Field, sort: Sort) -> Result<(Value, f64), Refusal> {
    fn exact<Q: Quantity>(value: Q) -> Measured<Q> {
        Measured::exact(value, Basis::Practice)
    }
    let row = field.dimension.row();
    let range = (row.least, row.most);
    match sort {
        Sort::Length | Sort::Lengths => {
            let found: Length = quantity(key, value, "130 mm", range)?;
            Ok((Value::Length(exact(found)), found.base()))
        }
        Sort::Angle => {
            let found: Angle = quantity(key, value, "66 deg", range)?;
            Ok((Value::Angle(exact(found)), found.base()))
        }
        Sort::Ratio => {
            let found: Ratio = quantity(key, value, "1.7", range)?;
            Ok((Value::Ratio(exact(found)), found.base()))
        }
        Sort::Count | Sort::Teeth | Sort::Word(_) => {
            let (least, most) = match sort {
                Sort::Teeth => (Teeth::LEAST as u32, Teeth::MOST as u32),
                _ => (row.least as u32, row.most as u32),
            };
            let found = whole(key, value, least, most)?;
            Ok((Value::Count(Noted { value: found, basis: Basis::Practice }), f64::from(found)))
        }
    }
}
