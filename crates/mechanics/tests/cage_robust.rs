//! A hundred thousand inputs of any kind, sound and absurd: nothing panics and no NaN leaves. `benches/cage.rs`
//! runs a million and more of them.

use mechanics::cage::{CageError, Change, Drivetrain, Frame, SHORT, effect, largest_cog};
use quantity::{Length, Pitches, Teeth};

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

#[test]
fn nothing_made_of_gears_panics_or_lets_a_nan_out() {
    let tally = cage_inputs::run_whole(1_500, 3);
    assert!(tally.states > 1_500, "{tally:?}");
    assert!(tally.refused > 4_000, "{tally:?}");
}

#[test]
fn a_gap_or_a_turn_that_is_no_number_is_refused() {
    let teeth = |counts: &[i64]| counts.iter().map(|n| Teeth::new(*n).unwrap()).collect::<Vec<_>>();
    let (rings, cogs) = (teeth(&[50, 34]), teeth(&[11, 17, 28]));
    let frame = Frame::usual(Length::mm(410.0));
    let on = Drivetrain { frame, rings: &rings, cogs: &cogs, cog_pitch: Length::mm(18.0) };
    let (body, gap, count) = (&SHORT.derailleur, Length::mm(5.0), Pitches::new(106.0));
    let none = Length::mm(f64::NAN);
    assert!(matches!(largest_cog(body, &on, none), Err(CageError::NotFinite { .. })));
    for change in [Change::ScrewTurns(f64::NAN), Change::Extender { down: none, back: gap }] {
        assert!(
            matches!(effect(body, &on, count, change, gap), Err(CageError::NotFinite { .. })),
            "{change:?}"
        );
    }
    assert!(effect(body, &on, count, Change::ScrewTurns(1.0), gap).is_ok());
}
