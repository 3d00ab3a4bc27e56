//! The catalogue data: readable, complete in its bases, and free of keys that no part has.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first row that cannot be read")]

use catalog::data::FILES;
use catalog::{Slot, Sort};
use quantity::{Angle, Basis, Length, Mass, Money, Quantity, Ratio, Stated};
use std::collections::{BTreeMap, BTreeSet};
use toml::{Table, Value};

const IDENTITY: [&str; 5] = ["id", "name", "price", "mass", "lead_days"];

fn files() -> impl Iterator<Item = (&'static str, Table)> {
    FILES.iter().map(|(name, text)| (*name, text.parse::<Table>().unwrap_or_else(|e| panic!("{name}: {e}"))))
}

/// Every part with its file and the key of its slot; small parts have the key `small`.
fn parts() -> Vec<(&'static str, String, Table)> {
    let mut all = Vec::new();
    for (file, table) in files() {
        for (key, value) in table {
            if key == "sources" {
                continue;
            }
            for part in value.as_array().unwrap_or_else(|| panic!("{file}: {key}")) {
                all.push((file, key.clone(), part.as_table().unwrap().clone()));
            }
        }
    }
    all
}

fn text<'a>(part: &'a Table, key: &str) -> &'a str {
    part.get(key).and_then(Value::as_str).unwrap_or_else(|| panic!("{part:?} has no {key}"))
}

fn price_minor(id: &str) -> i64 {
    let all = parts();
    let (_, _, part) =
        all.iter().find(|(_, _, part)| text(part, "id") == id).unwrap_or_else(|| panic!("{id}"));
    Money::parse(text(part, "price")).unwrap().minor()
}

/// The basis of a field, and its number in base units where it has one.
fn read(sort: Sort, value: &Value) -> (Option<Basis>, Vec<f64>) {
    fn stated<Q: Quantity>(value: &Value) -> (Option<Basis>, Vec<f64>) {
        let stated = Stated::<Q>::parse(value.as_str().unwrap()).unwrap_or_else(|e| panic!("{value}: {e}"));
        (Some(stated.basis), vec![stated.value.base()])
    }
    match sort {
        Sort::Length => stated::<Length>(value),
        Sort::Angle => stated::<Angle>(value),
        Sort::Ratio => stated::<Ratio>(value),
        Sort::Lengths => {
            let read: Vec<_> = value.as_array().unwrap().iter().map(stated::<Length>).collect();
            (read[0].0.clone(), read.into_iter().flat_map(|one| one.1).collect())
        }
        // An exact count stands bare; a count from a leaflet carries its basis like a ratio without unit.
        Sort::Count => match value.as_integer() {
            Some(count) => (None, vec![count as f64]),
            None => stated::<Ratio>(value),
        },
        Sort::Teeth => {
            (None, value.as_array().unwrap().iter().map(|t| t.as_integer().unwrap() as f64).collect())
        }
        Sort::Word(words) => {
            assert!(words.contains(&value.as_str().unwrap()), "{value} is none of {words:?}");
            (None, Vec::new())
        }
    }
}

#[test]
fn every_file_is_read_and_none_is_empty() {
    assert_eq!(files().count(), 21);
    for (file, table) in files() {
        assert!(table.keys().any(|key| key != "sources"), "{file}");
    }
}

#[test]
fn every_slot_but_the_frame_has_parts() {
    let all = parts();
    for slot in Slot::ALL {
        let filled = all.iter().any(|(_, key, _)| key == slot.key());
        assert_eq!(filled, *slot != Slot::Frame, "{}", slot.key());
    }
}

#[test]
fn ids_are_unique_and_plain() {
    let all = parts();
    let mut seen = BTreeSet::new();
    for (file, _, part) in &all {
        let id = text(part, "id").to_owned();
        assert!(
            id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-' || b == b'.'),
            "{id}"
        );
        assert!(seen.insert(id.clone()), "{file}: {id} twice");
    }
    assert!(all.iter().filter(|(_, key, _)| key != "small").count() >= 80, "{}", seen.len());
}

#[test]
fn no_key_is_unknown() {
    for (file, key, part) in parts() {
        let fields: BTreeSet<&str> = match Slot::read(&key) {
            Some(slot) => slot.fields().iter().map(|field| field.key).collect(),
            None => {
                assert_eq!(key, "small", "{file}");
                BTreeSet::new()
            }
        };
        for name in part.keys() {
            assert!(fields.contains(name.as_str()) || IDENTITY.contains(&name.as_str()), "{file}: {name}");
        }
    }
}

#[test]
fn every_quantity_has_a_basis_and_a_believable_value() {
    for (file, key, part) in parts() {
        let Some(slot) = Slot::read(&key) else { continue };
        for field in slot.fields() {
            let Some(value) = part.get(field.key) else { continue };
            let row = field.dimension.row();
            let (basis, numbers) = read(row.sort, value);
            let good = match basis {
                Some(Basis::Published(_) | Basis::Practice | Basis::Memory) => true,
                Some(_) => false,
                None => matches!(row.sort, Sort::Count | Sort::Teeth | Sort::Word(_)),
            };
            assert!(good, "{file}: {} of {}: {value}", field.key, text(&part, "id"));
            for number in numbers {
                assert!(
                    row.least <= number && number <= row.most,
                    "{file}: {} of {}",
                    field.key,
                    text(&part, "id")
                );
            }
        }
    }
}

#[test]
fn every_published_key_resolves_and_every_source_is_used() {
    let mut cited: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    for (file, _, part) in parts() {
        for value in part.values() {
            if let Some((_, key)) = value.as_str().and_then(|v| v.rsplit_once(" published ")) {
                cited.entry(file).or_default().insert(key.to_owned());
            }
        }
    }
    let mut all_keys = BTreeSet::new();
    for (file, table) in files() {
        let given: BTreeSet<String> = table
            .get("sources")
            .and_then(Value::as_table)
            .map(|t| t.keys().cloned().collect())
            .unwrap_or_default();
        assert_eq!(cited.remove(file).unwrap_or_default(), given, "{file}");
        for key in given {
            assert!(all_keys.insert(key.clone()), "{key} stands in two files");
        }
    }
}

#[test]
fn prices_are_in_euro_and_masses_and_days_are_readable() {
    for (file, key, part) in parts() {
        let price = Money::parse(text(&part, "price")).unwrap_or_else(|e| panic!("{file}: {e}"));
        assert!(price.currency() == "EUR" && price.minor() > 0, "{file}");
        assert!(
            part.get("lead_days").and_then(Value::as_integer).is_some_and(|days| (0..=60).contains(&days))
        );
        if key != "small" {
            Stated::<Mass>::parse(text(&part, "mass")).unwrap_or_else(|e| panic!("{file}: {e}"));
        }
    }
}

#[test]
fn cogs_rise_rings_fall_and_names_say_how_many() {
    let teeth = |part: &Table, key: &str| -> Vec<i64> {
        part.get(key).and_then(Value::as_array).unwrap().iter().map(|t| t.as_integer().unwrap()).collect()
    };
    for (_, key, part) in parts() {
        if key == "cassette" {
            let cogs = teeth(&part, "cogs");
            assert!(cogs.windows(2).all(|pair| pair[0] < pair[1]));
            let name = text(&part, "name");
            assert!(name.starts_with(&format!("{}-speed", cogs.len())), "{name}");
            assert!(name.contains(&format!("{}-{}", cogs[0], cogs[cogs.len() - 1])), "{name}");
        } else if key == "crankset" || key == "chainrings" {
            assert!(teeth(&part, "rings").windows(2).all(|pair| pair[0] > pair[1]));
        }
    }
}

/// Pull times ratio of every pair that is made for one another stays within 0.6 mm of the cogs at the ends of
/// the cassette: the band in which matched sets are found (trade practice).
#[test]
fn matched_sets_index_within_the_trade_band() {
    let all = parts();
    let number = |id: &str, key: &str| {
        let (_, _, part) =
            all.iter().find(|(_, _, part)| text(part, "id") == id).unwrap_or_else(|| panic!("{id}"));
        let value = text(part, key);
        value.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    for (shifter, derailleur, cassette, gaps) in [
        ("levers-road-11-pull-2.7", "rd-road-11-ratio-1.4-short", "cassette-11-road-11-30", 10.0),
        ("levers-road-10-pull-2.3", "rd-road-10-ratio-1.7-short", "cassette-10-12-28", 9.0),
        ("levers-road-9-pull-2.5", "rd-9-ratio-1.7-medium", "cassette-9-12-25", 8.0),
        ("shifters-flat-10-pull-3.4", "rd-flat-10-ratio-1.2-long", "cassette-10-11-36", 9.0),
        ("shifters-flat-11-pull-3.6", "rd-flat-11-ratio-1.1-long", "cassette-11-wide-11-42", 10.0),
    ] {
        let step_mm = number(shifter, "pull") * number(derailleur, "ratio");
        let end_mm = (step_mm - number(cassette, "pitch")) * gaps / 2.0;
        assert!(end_mm.abs() <= 0.6, "{shifter} on {cassette}: {end_mm:.2} mm");
    }
}

#[test]
fn the_shifter_is_the_cheaper_cure_of_a_wrong_pull() {
    assert!(price_minor("shifters-flat-10-pull-2.3") < price_minor("rd-flat-10-ratio-1.2-long"));
}

#[test]
fn dimensions_left_out_are_unknown_and_never_empty_text() {
    for (file, _, part) in parts() {
        assert!(part.values().all(|value| value.as_str() != Some("")), "{file}");
    }
}
