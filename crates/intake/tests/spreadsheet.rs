//! Sheets of parts in CSV: what is read, what is refused, and that a written sheet reads back.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::{Catalogue, Part, Slot};
use intake::spreadsheet::{Format, HeaderMap, Import, MOST_ROWS, Settings, export, import};
use intake::{Source, built_in, catalogue_text, read_catalogue};
use std::fmt::Write;

/// Reads a sheet of stems.
fn stems(sheet: &[u8], map: &str) -> Import {
    let map = match map {
        "" => HeaderMap::default(),
        text => HeaderMap::read(Source { name: "map.toml", text }).unwrap(),
    };
    let catalogue = built_in().unwrap();
    import("stems.csv", sheet, &Settings { slot: Some(Slot::Stem), map: &map, catalogue: &catalogue })
}

/// The sheet is refused as a whole, and its problems hold every text.
fn refused(sheet: &str, map: &str, texts: &[&str]) {
    let import = stems(sheet.as_bytes(), map);
    let problems = import.problems.to_string();
    assert!(import.parts.is_empty() && !import.problems.is_empty(), "{sheet}");
    for text in texts {
        assert!(problems.contains(text), "{text:?} is not in\n{problems}");
    }
}

/// The length of the only stem of a sheet, as it is shown.
fn length(sheet: &str, map: &str) -> String {
    let import = stems(sheet.as_bytes(), map);
    assert!(import.problems.is_empty(), "{}", import.problems);
    assert_eq!(import.parts.len(), 1);
    let length = import.parts[0].get(catalog::Dimension::StemLength).unwrap();
    length.taken().map_or("unknown".to_owned(), |value| format!("{value} {}", value.basis().word()))
}

/// The catalogue without its parts: its sources may be named, and no key is taken.
fn emptied(catalogue: &Catalogue) -> Catalogue {
    Catalogue { sources: catalogue.sources.clone(), ..Catalogue::default() }
}

#[test]
fn the_whole_catalogue_comes_back_from_both_forms_of_sheet() {
    let catalogue = built_in().unwrap();
    assert!(catalogue.parts.len() >= 200, "{}", catalogue.parts.len());
    let bare = emptied(&catalogue);
    let map = HeaderMap::default();
    for format in [Format::Csv, Format::Xlsx] {
        let sheet = export(&catalogue.parts, format).unwrap();
        let import = import("parts", &sheet, &Settings { slot: None, map: &map, catalogue: &bare });
        assert!(import.problems.is_empty(), "{}", import.problems);
        assert_eq!(import.rows_read, catalogue.parts.len());
        assert_eq!(import.parts, catalogue.parts, "{format:?}");
    }
}

#[test]
fn the_same_parts_give_the_same_bytes() {
    let catalogue = built_in().unwrap();
    for format in [Format::Csv, Format::Xlsx] {
        assert_eq!(export(&catalogue.parts, format).unwrap(), export(&catalogue.parts, format).unwrap());
    }
}

#[test]
fn the_whole_catalogue_comes_back_from_a_catalogue_file() {
    let catalogue = built_in().unwrap();
    let mut text = String::from("[sources]\n");
    for (key, told) in &catalogue.sources {
        writeln!(text, "{key} = '''{told}'''").unwrap();
    }
    text.push('\n');
    text.push_str(&catalogue_text(&catalogue.parts));
    let again = read_catalogue(&[Source { name: "parts.toml", text: &text }]).unwrap();
    assert_eq!(again.parts, catalogue.parts);
}

#[test]
fn every_answer_and_every_basis_comes_back() {
    let text = "[sources]\n'key-1.5' = 'a table'\n[[levers]]\nid = 'a'\nname = 'a \"b\" \\ c, d'\npositions = 'fine'\n\
        pull = 'not reachable'\nfront_positions = 'not needed'\npulls = ['2.5 ± 0.2 mm', '2.75 mm assumed']\n\
        lever_ratio = '3.7 ± 0.5 printed'\nhood = '1.5 ± 0 in'\nclamp = '23.8 mm published key-1.5'\n\
        [[stem]]\nid = 'b'\nname = 'β'\nangle = '-17 ± 0.25 deg assumed'\nlength = '4 1/2 in counted'\n\
        [[chain]]\nid = 'c'\nname = 'c'\npitches = '116 measured'\nspeeds = '11 assumed'\nmass = '0.1 kg'\n";
    let catalogue = read_catalogue(&[Source { name: "odd.toml", text }]).unwrap();
    let bare = emptied(&catalogue);
    let map = HeaderMap::default();
    for format in [Format::Csv, Format::Xlsx] {
        let sheet = export(&catalogue.parts, format).unwrap();
        let import = import("odd", &sheet, &Settings { slot: None, map: &map, catalogue: &bare });
        assert!(import.problems.is_empty(), "{}", import.problems);
        assert_eq!(import.parts, catalogue.parts);
    }
    let text = format!("[sources]\n'key-1.5' = 'a table'\n{}", catalogue_text(&catalogue.parts));
    assert_eq!(read_catalogue(&[Source { name: "again.toml", text: &text }]).unwrap().parts, catalogue.parts);
}

#[test]
fn a_name_that_a_sheet_program_would_carry_out_is_not_written() {
    let text = "[[stem]]\nid = 'a'\nname = '=1+1'\n";
    let catalogue = read_catalogue(&[Source { name: "a.toml", text }]).unwrap();
    assert!(export(&catalogue.parts, Format::Csv).unwrap_err().to_string().contains("formula"));
}

#[test]
fn separators_byte_order_marks_and_blank_lines_are_no_obstacle() {
    for sheet in [
        "id,name,length\nx,a stem,110 mm printed\n",
        "\u{FEFF}id;name;length\r\nx;a stem;110 mm printed\r\n",
        "id\tname\tlength\nx\ta stem\t110 mm printed",
        "sep=;\nid;name;length\nx;a stem;110 mm printed\n",
        "\n\nid,name,length\n\n,,\nx,a stem,110 mm printed\n,,,,\n",
        "id,name,Stem Length (mm)\nx,a stem,110 printed\n",
        "\"id\",\"name\",\"length [cm]\"\n\"x\",\"a, stem\",\"11 printed\"\n",
    ] {
        assert_eq!(length(sheet, ""), "110.0 mm printed", "{sheet}");
    }
    let told = stems(b"id;name\nx;y\n", "").told.join(" ");
    assert!(told.contains("semicolons"), "{told}");
}

#[test]
fn an_empty_cell_is_unknown_and_never_zero() {
    let import = stems(b"id,name,length,price,mass,lead_days\nx,a stem,,,,\n", "");
    let part = &import.parts[0];
    assert_eq!((part.price(), part.mass(), part.lead_days()), (None, None, None));
    assert_eq!(length("id,name,length\nx,a stem, \n", ""), "unknown");
}

#[test]
fn a_map_gives_headers_units_and_decimal_commas_their_meaning() {
    let map = "decimal = ','\nignore = ['Colour']\n[columns]\n'Article' = 'id'\n'What' = 'name'\n\
        'Bore Ø' = { field = 'clamp', unit = 'mm' }\n'Cost' = { field = 'price', unit = 'EUR' }\n\
        'Weight' = { field = 'mass', unit = 'g' }\n";
    let import =
        stems("Article;What;Bore Ø;Cost;Weight;Colour\nx;y;31,8 printed;34,50;130;red\n".as_bytes(), map);
    assert!(import.problems.is_empty(), "{}", import.problems);
    let part = &import.parts[0];
    assert_eq!(part.price().unwrap().minor(), 3450);
    assert_eq!(part.mass().unwrap().to_grams(), 130.0);
    assert_eq!(
        part.get(catalog::Dimension::StemClamp).unwrap().taken().unwrap().span().unwrap().least(),
        31.8
    );
}

#[test]
fn a_map_is_checked_itself() {
    for (text, what) in [
        ("[columns]\n'A' = 'lenght'\n", "did you mean `length`?"),
        ("[columns]\n'A' = { unit = 'mm' }\n", "names no `field`"),
        ("[columns]\n'A' = { field = 'length', units = 'mm' }\n", "did you mean `unit`?"),
        ("[columns]\n'A' = 7\n", "the key of a field is wanted"),
        ("decimal = ';'\n", "no decimal sign"),
        ("slot = 'stam'\n", "did you mean `stem`?"),
        ("ignored = []\n", "did you mean `ignore`?"),
        ("ignore = 'x'\n", "a list of texts is wanted"),
    ] {
        let error = HeaderMap::read(Source { name: "map.toml", text }).unwrap_err().to_string();
        assert!(error.contains(what), "{what:?} is not in\n{error}");
    }
}

#[test]
fn a_header_that_is_not_known_is_never_dropped() {
    let help = ["the header is not known", "did you mean `length`?", "`ignore`"];
    refused("id,name,lenght\nx,y,110 mm\n", "", &help);
    refused("id,name,Colour\nx,y,red\n", "", &["column `Colour`", "`[columns]` of a header map"]);
    refused("id,name,length [furlong]\nx,y,1\n", "", &["`furlong` is not a unit that fits", "`mm`"]);
    refused("id,name,hood\nx,y,1 mm\n", "", &["column `hood`: the header is not known"]);
    refused("id,name,length,stem length\nx,y,1 mm,1 mm\n", "", &["it holds the same as column `length`"]);
    refused("id,name,,length\nx,y,what,110 mm\n", "", &["something stands in a column without a header"]);
    refused("id,name\nx,y,110 mm\n", "", &["something stands in a column without a header"]);
    refused("length\n110 mm\n", "", &["no column holds `id`", "no column holds `name`"]);
    assert_eq!(
        length("id,name,Colour,length\nx,y,red,110 mm printed\n", "ignore = ['colour']"),
        "110.0 mm printed"
    );
}

#[test]
fn a_bare_number_needs_a_unit_from_somewhere() {
    refused(
        "id,name,length\nx,y,110\n",
        "",
        &[
            "row 2, column `length`: `110` has no unit",
            "`110 mm` in the cell",
            "stem length: a length with its unit",
        ],
    );
    refused(
        "id,name,price,mass\nx,y,34,130\n",
        "",
        &["column `price`: `34` has no unit", "column `mass`: `130`"],
    );
    refused("id,name,length\nx,y,\"110,5 mm\"\n", "", &["decimal comma; write `110.5`"]);
    refused("id,name,length\nx,y,110.5 mm\n", "decimal = ','", &["decimals have a comma"]);
}

#[test]
fn every_bad_row_is_named_and_none_is_half_taken() {
    let sheet = "id,name,length,angle\ngood,y,110 mm,-17 deg\nbad-1,y,7 km,-17 deg\nbad-2,,110 mm,99 deg\nX Y,z,1000 mm,\n";
    refused(
        sheet,
        "",
        &[
            "row 3, column `length`: `length`: `km` is not a unit",
            "row 4, column `name`: the row has no `name`",
            "row 4, column `angle`: `angle` is `99 deg`, outside",
            "row 5, column `id`: `X Y` is no key for a part",
            "row 5, column `length`",
        ],
    );
    let import = stems(sheet.as_bytes(), "");
    assert_eq!((import.problems.count(), import.rows_read), (5, 4));
}

#[test]
fn problems_are_counted_beyond_a_hundred() {
    let mut sheet = String::from("id,name,length\n");
    for row in 0..1000 {
        writeln!(sheet, "x-{row},y,{row}").unwrap();
    }
    let import = stems(sheet.as_bytes(), "");
    assert_eq!((import.problems.count(), import.problems.iter().count()), (1000, 100));
    assert!(import.problems.to_string().ends_with("and 900 more\n"));
}

#[test]
fn keys_are_given_once() {
    refused(
        "id,name\nx,y\nx,z\n",
        "",
        &["row 3, column `id`: the key `x` is taken", "it stands first in row 2"],
    );
    refused("id,name\nstem-31.8-110-minus-17,y\n", "", &["a part of the catalogue has it already"]);
}

#[test]
fn a_second_header_and_a_title_above_the_header_are_told_apart_from_parts() {
    refused(
        "id,name,length,mass\nkey,text,mm,g\nx,y,110 mm,\n",
        "",
        &["row 2: this row looks like a second header", "`mm`, `g`"],
    );
    refused(
        "Spring list,,\nid,name,length\nx,y,110 mm\n",
        "",
        &["row 1: this row is no header, but row 2 is one"],
    );
}

#[test]
fn bytes_that_are_no_text_are_refused_with_their_line() {
    let import = stems(b"id,name\nx,y\nz,Bore \xd8\n", "");
    let text = import.problems.to_string();
    assert!(text.contains("row 3") && text.contains("0xd8") && text.contains("`Ø`"), "{text}");
    for (bytes, what) in [
        (&b""[..], "nothing is written"),
        (b" \r\n", "nothing is written"),
        (b"\xff\xfei\0d\0", "UTF-16"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "older kind"),
        (b"PK\x03\x04 and then nothing", "not a whole workbook"),
    ] {
        let text = stems(bytes, "").problems.to_string();
        assert!(text.contains(what), "{what:?} is not in\n{text}");
    }
}

#[test]
fn long_cells_open_quotes_and_formulas_are_refused_in_short_words() {
    let long = "x".repeat(5_000_000);
    let text = stems(format!("id,name,length\nx,{long},{long}\n").as_bytes(), "").problems.to_string();
    assert!(text.len() < 2000 && text.contains("at most 200 are kept"), "{text}");
    refused("id,name,length\nx,\"y,110 mm\nz,w,120 mm\n", "", &["row 2, column `name`"]);
    refused("id,name,length\nx,y,=A1\n", "", &["`=A1` is the text of a formula"]);
}

#[test]
fn more_rows_than_a_shop_has_are_refused_at_the_limit() {
    let mut sheet = String::from("id,name\n");
    for row in 0..MOST_ROWS + 5 {
        writeln!(sheet, "x-{row},y").unwrap();
    }
    let import = stems(sheet.as_bytes(), "");
    assert!(import.parts.is_empty());
    assert_eq!(import.rows_read, MOST_ROWS);
    assert!(import.problems.to_string().contains("more than 250000 rows"), "{}", import.problems);
}

#[test]
fn a_column_says_the_slot_of_every_row() {
    let catalogue = built_in().unwrap();
    let map = HeaderMap::default();
    let read = |sheet: &str, slot| {
        import("mixed.csv", sheet.as_bytes(), &Settings { slot, map: &map, catalogue: &catalogue })
    };
    let sheet = "slot,id,name,clamp,pitches\nstem,a,b,31.8 mm,\nbar,c,d,31.8 mm,\nchain,e,f,,116\n";
    let import = read(sheet, None);
    assert!(import.problems.is_empty(), "{}", import.problems);
    let slots: Vec<Slot> = import.parts.iter().map(Part::slot).collect();
    assert_eq!(slots, [Slot::Stem, Slot::Bar, Slot::Chain]);
    let text = read("slot,id,name,clamp\nchain,a,b,31.8 mm\n", None).problems.to_string();
    assert!(text.contains("a chain has no such dimension"), "{text}");
    let text = read("slot,id,name\nwheel,a,b\n,c,d\n", None).problems.to_string();
    assert!(text.contains("`wheel` is not a slot") && text.contains("does not say which sort"), "{text}");
    let text = read("slot,id,name\nbar,a,b\n", Some(Slot::Stem)).problems.to_string();
    assert!(text.contains("the row is for `bar`, but the sheet was said to hold `stem`"), "{text}");
    let text = read("id,name\na,b\n", None).problems.to_string();
    assert!(text.contains("no column holds `slot`"), "{text}");
}
