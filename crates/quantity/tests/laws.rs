//! Laws of numbers with tolerance, on random inputs.

use proptest::prelude::*;
use quantity::{Length, Span, Stand, Stated};

fn span() -> impl Strategy<Value = (Span, f64)> {
    (-1e4..1e4f64, 0.0..50.0f64, 0.0..=1.0f64).prop_map(|(middle, tolerance, share)| {
        let span = Span::around(middle, tolerance);
        (span, (span.least() + share * (span.most() - span.least())).clamp(span.least(), span.most()))
    })
}

proptest! {
    #[test]
    fn the_true_value_never_escapes((a, x) in span(), (b, y) in span(), k in -100.0..100.0f64) {
        prop_assert!((a + b).holds(x + y));
        prop_assert!((a - b).holds(x - y));
        prop_assert!((a * b).holds(x * y));
        prop_assert!((a * k).holds(x * k));
        prop_assert!((-a).holds(-x));
        prop_assert!(a.map_monotone(f64::atan).holds(x.atan()));
    }

    #[test]
    fn widening_moves_a_stand_only_toward_across(middle in -10.0..10.0f64, narrow in 0.0..5.0f64, more in 0.0..5.0f64, limit in -10.0..10.0f64) {
        let first = Span::around(middle, narrow).against(limit);
        let second = Span::around(middle, narrow + more).against(limit);
        prop_assert!(first == second || second == Stand::Across);
    }

    #[test]
    fn a_quantity_written_out_reads_back(value in -5000i32..5000, tolerance in 0u8..50) {
        let text = format!("{}.{} ± {} mm", value, 5, tolerance);
        let read = Stated::<Length>::parse(&text).unwrap();
        let again = Stated::<Length>::parse(&read.clone().or_tolerance(Length::mm(0.0)).to_string()).unwrap();
        prop_assert_eq!(read.value, again.value);
    }

    #[test]
    fn no_text_makes_a_panic(text in ".{0,40}") {
        let _ = Stated::<Length>::parse(&text);
        let _ = quantity::text::parse_thread(&text);
        let _ = quantity::Money::parse(&text);
    }
}
