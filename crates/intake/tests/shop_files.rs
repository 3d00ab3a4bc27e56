//! Shop files that nobody would write on purpose: no text makes a panic, and what is read can be planned with.

use intake::{Source, read_shop};
use jiff::civil::date;
use proptest::prelude::*;

const SHOP: &str = include_str!("../../cogwright/shop.toml");

#[test]
fn the_built_in_shop_is_read() {
    let shop = read_shop(Source { name: "shop.toml", text: SHOP }).unwrap();
    assert_eq!((shop.people.len(), shop.open_jobs.len(), shop.risks.len()), (4, 3, 9));
    let tape = shop.book.steps().iter().find(|step| step.id.0 == "tape-on").unwrap();
    assert_eq!((tape.minutes.usual, tape.notes.own.unwrap().by), (20, "head of the workshop"));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn a_shop_file_with_lines_left_out_or_numbers_changed_never_makes_a_panic(
        left_out in prop::collection::vec(0..260usize, 0..4),
        digit in prop::option::of((0..400usize, 0..10u8)),
    ) {
        let mut digits = 0;
        let text: String = SHOP
            .lines()
            .enumerate()
            .filter(|(at, _)| !left_out.contains(at))
            .flat_map(|(_, line)| line.chars().chain(['\n']))
            .map(|letter| {
                digits += usize::from(letter.is_ascii_digit());
                match digit {
                    Some((at, to)) if letter.is_ascii_digit() && digits == at => char::from(b'0' + to),
                    _ => letter,
                }
            })
            .collect();
        match read_shop(Source { name: "shop.toml", text: &text }) {
            Ok(shop) => prop_assert_eq!(
                shop::promises(&shop, &shop.open_jobs, date(2026, 11, 25)).len(),
                shop.open_jobs.len()
            ),
            Err(problems) => prop_assert!(problems.count() > 0 && !problems.to_string().is_empty()),
        }
    }
}
