//! A workbook of any content is taken whole or not at all.
#![no_main]

use catalog::Catalogue;
use intake::spreadsheet::{HeaderMap, Settings, import};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    // The sign of the zip form comes first, so that no run is spent on text.
    let bytes = [b"PK\x03\x04", bytes.get(4..).unwrap_or_default()].concat();
    let (map, catalogue) = (HeaderMap::default(), Catalogue::default());
    let import = import("x", &bytes, &Settings { slot: None, map: &map, catalogue: &catalogue });
    assert!(import.parts.is_empty() || import.problems.is_empty());
});
