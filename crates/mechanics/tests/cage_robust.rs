//! A hundred thousand inputs of any kind, sound and absurd: nothing panics and no NaN leaves. `benches/cage.rs`
//! runs a million and more of them.

#[path = "data/cage_inputs.rs"]
mod cage_inputs;

#[test]
fn no_input_panics_and_no_nan_leaves() {
    let tally = cage_inputs::run(100_000, 7);
    // Both kinds must be among them, or the test looks at nothing.
    assert!(tally.states > 20_000, "{tally:?}");
    assert!(tally.refused > 10_000, "{tally:?}");
    assert!(tally.taut > 3_000, "{tally:?}");
}
