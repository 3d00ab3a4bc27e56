//! A case file of any content is read or refused.
#![no_main]

use intake::{Source, built_in, case::read_case, check_bytes};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static CATALOGUE: LazyLock<catalog::Catalogue> = LazyLock::new(|| built_in().unwrap_or_default());

fuzz_target!(|bytes: &[u8]| {
    if let Ok(text) = check_bytes("x", bytes)
        && let Err(problems) = read_case(Source { name: "x", text }, &CATALOGUE)
    {
        assert!(!problems.render(true).is_empty());
    }
});
