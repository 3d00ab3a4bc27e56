//! A hundred thousand shiftings of any kind: nothing panics and no NaN leaves. `benches/front.rs` lands a million.

#[path = "data/landing_inputs.rs"]
mod landing_inputs;

#[test]
fn no_shifting_panics_and_no_nan_leaves() {
    let tally = landing_inputs::run(100_000, 9);
    // Both kinds must be among them, or the test looks at nothing.
    assert!(tally.landed > 20_000, "{tally:?}");
    assert!(tally.refused > 10_000, "{tally:?}");
}
