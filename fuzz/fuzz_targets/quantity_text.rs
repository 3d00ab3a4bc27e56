//! A quantity of any text is read to a number or refused.
#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{Angle, Length, Mass, Money, Quantity, Ratio, Stated};

fn check<Q: Quantity>(text: &str) {
    if let Ok(stated) = Stated::<Q>::parse(text) {
        assert!(!stated.value.base().is_nan(), "{text}");
    }
}

fuzz_target!(|text: &str| {
    check::<Length>(text);
    check::<Angle>(text);
    check::<Ratio>(text);
    check::<Mass>(text);
    let _ = Money::parse(text);
    let _ = quantity::text::parse_thread(text);
});
