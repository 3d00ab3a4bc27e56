//! A catalogue file of any content is read or refused, and what was read is written and read to the same parts.
#![no_main]

use intake::{Source, catalogue_text, check_catalogue_bytes, read_catalogue};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = check_catalogue_bytes("x", bytes) else { return };
    let Ok(catalogue) = read_catalogue(&[Source { name: "x", text }]) else { return };
    if catalogue.sources.is_empty() && !catalogue.parts.is_empty() {
        let text = catalogue_text(&catalogue.parts);
        let again = read_catalogue(&[Source { name: "again", text: &text }]);
        assert_eq!(again.map(|again| again.parts).ok(), Some(catalogue.parts));
    }
});
