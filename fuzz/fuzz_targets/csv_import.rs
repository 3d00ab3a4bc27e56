//! A sheet of text of any content is taken whole or not at all.
#![no_main]

use catalog::{Catalogue, Slot};
use intake::spreadsheet::{HeaderMap, Settings, import};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let (map, catalogue) = (HeaderMap::default(), Catalogue::default());
    for slot in [None, Some(Slot::Stem)] {
        let import = import("x", bytes, &Settings { slot, map: &map, catalogue: &catalogue });
        assert!(import.parts.is_empty() || import.problems.is_empty());
    }
});
