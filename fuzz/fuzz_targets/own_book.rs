//! A shop's own book of any content is read or refused, and what was read is read again to the same.
#![no_main]

use intake::{Source, check_bytes, read_own_book};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = check_bytes("x", bytes) else { return };
    let source = Source { name: "x", text };
    let Ok(book) = read_own_book(&[source]) else { return };
    assert_eq!(read_own_book(&[source]).ok(), Some(book));
});
