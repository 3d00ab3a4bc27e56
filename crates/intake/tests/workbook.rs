//! Workbooks: merged cells, formulas, dates, errors, several sheets, and files that grow when unpacked.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::{Catalogue, Slot};
use intake::Source;
use intake::spreadsheet::{HeaderMap, Import, Settings, import};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};
use std::io::{Cursor, Read, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

fn imported(bytes: &[u8], map: &str) -> Import {
    let map = match map {
        "" => HeaderMap::default(),
        text => HeaderMap::read(Source { name: "map.toml", text }).unwrap(),
    };
    let catalogue = Catalogue::default();
    import("stems.xlsx", bytes, &Settings { slot: Some(Slot::Stem), map: &map, catalogue: &catalogue })
}

/// A workbook with one sheet `Stems` that has a header and what `fill` puts below it.
fn workbook(fill: impl FnOnce(&mut Worksheet)) -> Vec<u8> {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet().set_name("Stems").unwrap();
    for (column, header) in (0_u16..).zip(["id", "name", "length [mm]", "angle", "price"]) {
        sheet.write(0, column, header).unwrap();
    }
    fill(sheet);
    workbook.save_to_buffer().unwrap()
}

fn refused(bytes: &[u8], map: &str, texts: &[&str]) {
    let import = imported(bytes, map);
    let problems = import.problems.to_string();
    assert!(import.parts.is_empty() && !import.problems.is_empty());
    for text in texts {
        assert!(problems.contains(text), "{text:?} is not in\n{problems}");
    }
}

#[test]
fn numbers_in_a_column_with_a_unit_are_read() {
    let bytes = workbook(|sheet| {
        sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap().write(1, 2, 110.5).unwrap();
        sheet.write(1, 3, "-17 deg printed").unwrap().write(1, 4, "34 EUR").unwrap();
        sheet.write(3, 0, "c").unwrap().write(3, 1, "d").unwrap();
    });
    let import = imported(&bytes, "");
    assert!(import.problems.is_empty(), "{}", import.problems);
    assert_eq!((import.parts.len(), import.rows_read), (2, 2));
    let length = import.parts[0].get(catalog::Dimension::StemLength).unwrap();
    assert!((length.taken().unwrap().span().unwrap().most() - 112.5).abs() < 1e-9);
}

#[test]
fn cells_are_named_by_sheet_row_and_letter() {
    let bytes = workbook(|sheet| {
        sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap().write(1, 3, -17.0).unwrap();
    });
    refused(&bytes, "", &["sheet `Stems`, row 2, column D (`angle`): `-17` has no unit"]);
}

#[test]
fn dates_truths_and_errors_are_not_numbers() {
    let day = Format::new().set_num_format("yyyy-mm-dd");
    let bytes = workbook(|sheet| {
        for row in 1..5 {
            sheet.write(row, 0, format!("a-{row}")).unwrap().write(row, 1, "b").unwrap();
        }
        let date = ExcelDateTime::from_ymd(2026, 11, 10).unwrap();
        sheet.write_with_format(1, 2, &date, &day).unwrap().write(2, 2, true).unwrap();
        sheet.write(3, 2, Formula::new("=A99/0").set_result("#DIV/0!")).unwrap();
        sheet.write(4, 2, Formula::new("=B1").set_result("7654321")).unwrap();
    });
    // A program that does not reckon leaves the result out.
    let bytes = rewritten(&bytes, "<v>7654321</v>", "");
    refused(
        &bytes,
        "",
        &[
            "row 2, column C (`length [mm]`): a date stands here",
            "row 3, column C (`length [mm]`): true or false stands here",
            "row 4, column C (`length [mm]`)",
            "row 5, column C (`length [mm]`): a formula stands here without its result",
        ],
    );
}

#[test]
fn results_of_formulas_are_taken_and_said_so() {
    let bytes = workbook(|sheet| {
        sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap();
        sheet.write(1, 2, Formula::new("=50+60").set_result("110")).unwrap();
    });
    let import = imported(&bytes, "");
    assert_eq!(import.parts.len(), 1, "{}", import.problems);
    assert!(import.told.join(" ").contains("1 cells hold formulas"), "{:?}", import.told);
}

#[test]
fn merged_cells_are_refused_with_their_corners() {
    let bytes = workbook(|sheet| {
        sheet.merge_range(1, 1, 2, 1, "one name for two", &Format::new()).unwrap();
        sheet.write(1, 0, "a").unwrap().write(2, 0, "b").unwrap();
    });
    refused(&bytes, "", &["the cells B2 to B3 are merged", "split them"]);
}

#[test]
fn only_the_sheets_that_the_map_names_are_read() {
    let mut book = Workbook::new();
    book.add_worksheet().set_name("Notes").unwrap().write(0, 0, "read me first").unwrap();
    let sheet = book.add_worksheet().set_name("Stems").unwrap();
    sheet.write(0, 0, "id").unwrap().write(0, 1, "name").unwrap();
    sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap();
    let bytes = book.save_to_buffer().unwrap();
    refused(&bytes, "", &["sheet `Notes`, row 1", "the header is not known"]);
    assert_eq!(imported(&bytes, "sheets = ['Stems']").parts.len(), 1);
    refused(&bytes, "sheets = ['Stem']", &["the workbook has no sheet `Stem`", "`Notes`, `Stems`"]);
}

#[test]
fn keys_are_given_once_over_all_sheets() {
    let mut book = Workbook::new();
    for name in ["one", "two"] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        sheet.write(0, 0, "id").unwrap().write(0, 1, "name").unwrap();
        sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap();
    }
    refused(&book.save_to_buffer().unwrap(), "", &["sheet `two`, row 2", "first in row 2 of sheet `one`"]);
}

#[test]
fn an_empty_workbook_and_a_cell_far_away_are_refused_without_filling_the_memory() {
    refused(&Workbook::new().save_to_buffer().unwrap(), "", &[]);
    let mut book = Workbook::new();
    book.add_worksheet();
    refused(&book.save_to_buffer().unwrap(), "", &["no sheet has anything in it"]);
    let bytes = workbook(|sheet| {
        sheet.write(1_048_575, 16_383, "far").unwrap();
    });
    refused(&bytes, "", &["row 1048576", "column XFD"]);
}

/// The same workbook with another text in its files.
fn rewritten(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let mut is_found = false;
    for at in 0..archive.len() {
        let mut entry = archive.by_index(at).unwrap();
        let mut text = String::new();
        entry.read_to_string(&mut text).unwrap();
        is_found |= text.contains(from);
        writer.start_file(entry.name().unwrap(), SimpleFileOptions::default()).unwrap();
        writer.write_all(text.replace(from, to).as_bytes()).unwrap();
    }
    assert!(is_found, "{from:?} is in no file");
    writer.finish().unwrap().into_inner()
}

/// A zip file with one file of blanks.
fn bomb(bytes: usize) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    writer.start_file("xl/worksheets/sheet1.xml", options).unwrap();
    let block = vec![b' '; 1 << 20];
    for _ in 0..bytes >> 20 {
        writer.write_all(&block).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

#[test]
fn a_file_that_grows_when_unpacked_is_refused() {
    let bytes = bomb(80 << 20);
    assert!(bytes.len() < 1 << 20, "{}", bytes.len());
    refused(&bytes, "", &["unpacked, the workbook has 83886080 bytes; at most 67108864 are read"]);
}

/// The sizes in the directory of a zip file stand behind its sign, 24 bytes on (APPNOTE of the zip form, 4.3.12:
/// central file header); here they are made small, so that only unpacking tells the truth.
#[test]
fn a_declared_size_that_lies_is_found_out() {
    let mut bytes = bomb(70 << 20);
    let directory = bytes.windows(4).rposition(|four| four == b"PK\x01\x02").unwrap();
    bytes[directory + 24..directory + 28].copy_from_slice(&1000_u32.to_le_bytes());
    let import = imported(&bytes, "");
    let text = import.problems.to_string();
    assert!(text.contains("more than the allowed number") || text.contains("not a whole workbook"), "{text}");
}

#[test]
fn a_workbook_cut_short_is_refused() {
    let whole = workbook(|sheet| {
        sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap();
    });
    for length in (4..whole.len()).step_by(97) {
        let import = imported(&whole[..length], "");
        assert!(import.parts.is_empty() && !import.problems.is_empty(), "{length}");
    }
}

/// A reader makes room for as many texts as are announced; room for these would be 24 terabytes.
#[test]
fn a_count_of_texts_that_lies_is_refused_before_room_is_made() {
    let bytes = workbook(|sheet| {
        sheet.write(1, 0, "a").unwrap().write(1, 1, "b").unwrap();
    });
    for count in ["1000000000000", "99999999999999999999999"] {
        let lying = rewritten(&bytes, "uniqueCount=\"", &format!("uniqueCount=\"{count}"));
        refused(&lying, "", &["more texts than its size has room for"]);
    }
}
