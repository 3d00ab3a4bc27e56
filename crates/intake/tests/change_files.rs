//! Change files that nobody would write on purpose: no text makes a panic, and what is read can be made an order of.

use intake::{Source, read_change};
use jiff::civil::date;
use proptest::prelude::*;
use shop::{Age, OperationId, UnderWay, change_order};

const CHANGE: &str = include_str!("../../../examples/change/bent-hanger.toml");
const SHOP: &str = include_str!("../../cogwright/shop.toml");

#[test]
fn the_example_is_read() {
    let (book, catalogue) = (shop::Book::start_values(), intake::built_in().unwrap());
    let change = read_change(Source { name: "change.toml", text: CHANGE }, &book, &catalogue).unwrap();
    assert_eq!((change.choices.len(), change.small.len()), (3, 1));
    assert_eq!(change.choices[0].operations, [OperationId("hanger-exchange")]);
    assert!(change.choices[2].is_nothing());
    assert_eq!(change.waits_until, date(2026, 11, 27).at(16, 0, 0, 0));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(150) })]

    #[test]
    fn a_change_file_with_lines_left_out_or_numbers_changed_never_makes_a_panic(
        left_out in prop::collection::vec(0..42usize, 0..4),
        digit in prop::option::of((0..60usize, 0..10u8)),
    ) {
        let shop = intake::read_shop(Source { name: "shop.toml", text: SHOP }).unwrap();
        let catalogue = intake::built_in().unwrap();
        let mut digits = 0;
        let text: String = CHANGE
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
        match read_change(Source { name: "change.toml", text: &text }, &shop.book, &catalogue) {
            Err(problems) => prop_assert!(problems.count() > 0 && !problems.to_string().is_empty()),
            Ok(change) => {
                let operations = [OperationId("hanger-alignment"), OperationId("cassette")];
                let job = UnderWay { name: "hook 4", operations: &operations, age: Age::Sound, promised: None, beside: &[] };
                if let Err(problems) = change_order(&shop, job, change, date(2026, 11, 26)) {
                    prop_assert!(problems.iter().all(|problem| !problem.to_string().is_empty()));
                }
            }
        }
    }
}
