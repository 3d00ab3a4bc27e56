//! What holds for every text: no panic, the same answer each time, and what is written is what is read.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::value::Noted;
use catalog::{Catalogue, Dimension, Field, Part, Slot, Sort, Value};
use intake::{Source, built_in, check_bytes, read_catalogue, read_refit, refit_schema, starter};
use proptest::prelude::*;
use quantity::{Angle, Basis, Length, Quantity, Ratio, Reading, Stated, Teeth};

/// Reads a text in every way there is; returns whether it is a refit.
fn read(text: &str) -> bool {
    let source = Source { name: "any.toml", text };
    let catalogue = Catalogue::default();
    let _ = check_bytes("any.toml", text.as_bytes()).map_err(|problems| problems.render(true));
    let _ = read_catalogue(&[source]).map_err(|problems| problems.render(true));
    let _ = intake::case::read_case(source, &catalogue).map_err(|problems| problems.render(true));
    match read_refit(source, &catalogue) {
        Ok(_) => true,
        Err(problems) => {
            assert!(problems.count() >= 1 && !problems.render(false).is_empty());
            assert_eq!(read_refit(source, &catalogue).unwrap_err(), problems);
            false
        }
    }
}

/// Every field with a value from the middle of its range, as text and as it shall be read.
fn middle(field: Field) -> (String, Reading<Value>) {
    fn stated<Q: Quantity>(field: Field, unit: &str) -> (String, quantity::Measured<Q>) {
        let row = field.dimension.row();
        let text = format!("{} {unit}", row.least.midpoint(row.most));
        let stated = Stated::<Q>::parse(&text).unwrap();
        let usual = Q::from_base(row.tolerance.of(stated.value.base()));
        (format!("\"{text}\""), stated.or_tolerance(usual))
    }
    let row = field.dimension.row();
    let count = row.least.midpoint(row.most).floor();
    let (text, value) = match row.sort {
        Sort::Length => {
            let (text, length) = stated::<Length>(field, "mm");
            (text, Value::Length(length))
        }
        Sort::Angle => {
            let (text, angle) = stated::<Angle>(field, "deg");
            (text, Value::Angle(angle))
        }
        Sort::Ratio => {
            let (text, ratio) = stated::<Ratio>(field, "");
            (text, Value::Ratio(ratio))
        }
        Sort::Lengths => {
            let (text, length) = stated::<Length>(field, "mm");
            (format!("[{text}, {text}]"), Value::Lengths(vec![length.clone(), length]))
        }
        Sort::Count => (format!("{count}"), Value::Count(Noted::counted(count as u32))),
        Sort::Teeth => {
            let mut teeth = vec![34, 50];
            if field.dimension == Dimension::Rings {
                teeth.reverse();
            }
            let value = teeth.iter().map(|count| Teeth::new(*count).unwrap()).collect();
            (format!("{teeth:?}"), Value::Teeth(Noted::counted(value)))
        }
        Sort::Word(words) => {
            let word = words[words.len() / 2];
            (format!("\"{word}\""), Value::Word(Noted::counted(word)))
        }
    };
    (format!("{} = {text}\n", field.key), Reading::Taken(value))
}

fn everything() -> String {
    let mut text = String::from("name = \"everything\"\n");
    for slot in Slot::ALL {
        text += &format!("[bike.{}]\n", slot.key());
        text.extend(slot.fields().iter().map(|field| middle(*field).0));
    }
    text
}

#[test]
fn every_field_is_read_back_as_it_was_written() {
    let text = everything();
    let refit = read_refit(Source { name: "all.toml", text: &text }, &Catalogue::default());
    let refit = refit.unwrap_or_else(|problems| panic!("{problems}"));
    for slot in Slot::ALL {
        let part = refit.bike.get(*slot).unwrap();
        for field in slot.fields() {
            assert_eq!(part.get(field.dimension), Some(middle(*field).1), "{} {}", slot.key(), field.key);
        }
    }
}

#[test]
fn every_field_takes_every_answer() {
    let answers = [
        ("fine", Reading::Fine),
        ("not reachable", Reading::NotReachable),
        ("not needed", Reading::NotNeeded),
    ];
    for (word, reading) in answers {
        for slot in Slot::ALL {
            for field in slot.fields() {
                if matches!(field.dimension.row().sort, Sort::Word(words) if words.contains(&word)) {
                    continue;
                }
                let text = format!("name = 'x'\n[bike]\n{}.{} = '{word}'\n", slot.key(), field.key);
                let refit = read_refit(Source { name: "x", text: &text }, &Catalogue::default()).unwrap();
                assert_eq!(
                    refit.bike.reading(*slot, field.dimension),
                    Some(reading.clone()),
                    "{}",
                    field.key
                );
            }
        }
    }
}

#[test]
fn an_edge_of_the_range_is_inside_and_a_step_beyond_is_not() {
    for slot in Slot::ALL {
        for field in slot.fields() {
            let row = field.dimension.row();
            let unit = match row.sort {
                Sort::Length => "mm",
                Sort::Angle => "deg",
                Sort::Ratio => "",
                _ => continue,
            };
            for (value, is_inside) in
                [(row.least, true), (row.most, true), (row.least - 0.1, false), (row.most + 0.1, false)]
            {
                let text = format!("name = 'x'\n[bike.{}]\n{} = '{value} {unit}'\n", slot.key(), field.key);
                let read = read_refit(Source { name: "x", text: &text }, &Catalogue::default());
                assert_eq!(read.is_ok(), is_inside, "{text}");
            }
        }
    }
}

#[test]
fn a_basis_word_stands_behind_any_sort_of_value() {
    let text = "name = 'x'\n[bike.chain]\npitches = '106 assumed'\n[bike.cassette]\ncogs = '11/12-13 assumed'\n\
        spline = '9-shallow assumed'\npitch = '3.74 mm assumed'\n[bike.rear_derailleur]\nratio = '1.7 assumed'\n";
    let refit = read_refit(Source { name: "x", text }, &Catalogue::default()).unwrap();
    for (slot, dimension) in [
        (Slot::Chain, Dimension::ChainCount),
        (Slot::Cassette, Dimension::Cogs),
        (Slot::Cassette, Dimension::CassetteSpline),
        (Slot::Cassette, Dimension::CogPitch),
        (Slot::RearDerailleur, Dimension::ShiftRatio),
    ] {
        let reading = refit.bike.reading(slot, dimension).unwrap();
        assert_eq!(reading.taken().unwrap().basis(), &Basis::Assumed, "{dimension:?}");
    }
}

#[test]
fn no_key_of_a_field_is_also_a_key_of_the_part_itself() {
    for slot in Slot::ALL {
        for field in slot.fields() {
            assert!(
                !["part", "id", "name", "price", "mass", "lead_days"].contains(&field.key),
                "{}",
                field.key
            );
        }
    }
}

#[test]
fn the_starter_reads_with_and_without_its_remarks() {
    assert!(read(starter()));
    let catalogue = built_in().unwrap();
    let cassette = catalogue.for_slot(Slot::Cassette).find_map(Part::id).unwrap();
    let filled: String = starter()
        .lines()
        .skip_while(|line| !line.starts_with("name"))
        .map(|line| {
            format!("{}\n", line.strip_prefix("# ").unwrap_or(line).replace("key of a cassette", cassette))
        })
        .collect();
    let refit = read_refit(Source { name: "starter.toml", text: &filled }, &catalogue);
    let refit = refit.unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(refit.choice.iter().count(), 2);
    assert!((40..=60).contains(&starter().lines().count()), "{}", starter().lines().count());
}

#[test]
fn the_schema_names_every_key_and_every_word() {
    let schema = refit_schema();
    let at = |path: &str| schema.pointer(path).unwrap_or_else(|| panic!("{path}"));
    for key in ["name", "why", "wish", "rider", "ride", "bike", "choice", "expect"] {
        at(&format!("/properties/{key}"));
    }
    assert!(schema.pointer("/properties/choice/properties/frame").is_none());
    for slot in Slot::ALL {
        for field in slot.fields() {
            let path = format!("/properties/bike/properties/{}/anyOf/1/properties/{}", slot.key(), field.key);
            let told = at(&path).to_string();
            assert!(told.contains(field.dimension.words()), "{path}");
            if let Sort::Word(words) = field.dimension.row().sort {
                assert!(words.iter().all(|word| told.contains(&format!("\"{word}\""))), "{path}");
            }
        }
    }
}

#[test]
fn a_file_with_any_line_left_out_is_read_or_refused() {
    let text = everything();
    let lines: Vec<&str> = text.lines().collect();
    let mut still_read = 0;
    for left_out in 0..lines.len() {
        let shorter: String = lines
            .iter()
            .enumerate()
            .filter(|(at, _)| *at != left_out)
            .map(|(_, line)| format!("{line}\n"))
            .collect();
        still_read += usize::from(read(&shorter));
    }
    // Every dimension may be missing; what counts is the name and the heads of the tables.
    let fields: usize = Slot::ALL.iter().map(|slot| slot.fields().len()).sum();
    assert!(still_read >= fields, "{still_read} of {}", lines.len());
}

proptest! {
    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        read(&text);
    }

    #[test]
    fn any_bytes_are_answered(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = check_bytes("any.toml", &bytes).map_err(|problems| problems.render(false));
    }

    #[test]
    fn any_heap_of_pieces_is_answered(pieces in proptest::collection::vec(proptest::sample::select(vec![
        "[", "]", "{", "}", "=", ".", ",", "\n", "\r", " ", "#", "\"", "'", "\"\"\"", "'''", "\\", "name", "bike", "frame",
        "chainstay", "\"410 mm\"", "410", "-", "±", "nan", "cassette", "cogs", "11", "choice", "id", "small", "expect", "é",
    ]), 0..60)) {
        read(&pieces.concat());
    }

    #[test]
    fn any_value_of_a_field_is_answered(value in "[0-9a-z ±.,/+°-]{0,14}") {
        for field in ["frame.chainstay", "frame.material", "cassette.cogs", "cassette.pitches", "chain.pitches", "rear_derailleur.ratio"] {
            read(&format!("name = 'x'\n[bike]\n{field} = '{value}'\n"));
            read(&format!("name = 'x'\n[bike]\n{field} = ['{value}']\n"));
            read(&format!("name = 'x'\n[bike]\n{field} = {value}\n"));
        }
    }

    #[test]
    fn a_file_with_any_byte_changed_is_answered(at in any::<proptest::sample::Index>(), byte in any::<u8>()) {
        let mut bytes = starter().replace("\n# ", "\n").into_bytes();
        let at = at.index(bytes.len());
        bytes[at] = byte;
        match check_bytes("any.toml", &bytes) {
            Ok(text) => _ = read(text),
            Err(problems) => prop_assert!(problems.count() == 1),
        }
    }

    #[test]
    fn problems_come_in_the_order_of_the_file(order in Just((0..8).collect::<Vec<usize>>()).prop_shuffle()) {
        let text: String = order.iter().map(|i| format!("odd{i} = 1\n")).collect();
        let problems = read_refit(Source { name: "x", text: &text }, &Catalogue::default()).unwrap_err();
        let lines: Vec<usize> = problems.iter().filter_map(|(_, p)| p.place.as_ref()).map(|p| p.line).collect();
        prop_assert_eq!(lines, (1..=8).collect::<Vec<_>>());
    }
}
