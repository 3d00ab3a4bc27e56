//! The shop's own figures: applied openly, with name and date, and never over a leaflet by hearsay.

use catalog::{Catalogue, Dimension};
use intake::{Problems, Source, read_catalogue};

fn read(own: &str) -> Result<Catalogue, Problems> {
    let built_in = catalog::data::FILES.iter().map(|(name, text)| Source { name, text });
    let own = Source { name: "own.toml", text: own };
    // The own file may come first: it is applied last all the same.
    read_catalogue(&[own].into_iter().chain(built_in).collect::<Vec<_>>())
}

const WHOLE: &str = "[[own]]\npart = 'levers-road-11-pull-2.7'\nfield = 'hood'\nvalue = '50 ± 1 mm measured'\n\
    by = 'head of the workshop'\non = '2026-11-20'\nwhy = 'three pairs measured'\n";

#[test]
fn the_part_carries_the_own_figure_and_both_are_kept() {
    let catalogue = read(WHOLE).unwrap();
    let own = &catalogue.own[0];
    assert_eq!(own.dimension, Dimension::HoodReach);
    assert_eq!((own.built_in.as_deref(), own.own.as_str()), (Some("52 mm memory"), "50 ± 1 mm measured"));
    assert_eq!((own.by.as_str(), own.on.as_str()), ("head of the workshop", "2026-11-20"));
    assert_eq!(own.why.as_deref(), Some("three pairs measured"));
    let part = catalogue.find("levers-road-11-pull-2.7").unwrap();
    let span = part.get(Dimension::HoodReach).unwrap().taken().unwrap().span().unwrap();
    assert!((span.least() - 49.0).abs() < 1e-9 && (span.most() - 51.0).abs() < 1e-9);
    assert_eq!(catalogue.own_of("levers-road-11-pull-2.7").count(), 1);
    assert_eq!(catalogue.own_of("tape-1900").count(), 0);
    assert_eq!(catalogue.parts.len(), intake::built_in().unwrap().parts.len());
}

#[test]
fn a_value_that_was_unknown_is_shown_as_such() {
    let text =
        WHOLE.replace("levers-road-11-pull-2.7", "wheel-rear-130-body-36.75").replace("hood", "spoke_gap");
    let catalogue = read(&text.replace("50 ± 1 mm", "3 mm")).unwrap();
    assert_eq!(catalogue.own[0].built_in, None);
}

#[test]
fn a_date_of_the_file_and_a_part_of_the_same_file_will_do() {
    let text = WHOLE.replace("'2026-11-20'", "2026-11-20").replace("levers-road-11-pull-2.7", "our-levers");
    let text =
        format!("{text}[[levers]]\nid = 'our-levers'\nname = 'a pair of levers'\nhood = '48 mm printed'\n");
    assert_eq!(read(&text).unwrap().own[0].built_in.as_deref(), Some("48 mm printed"));
}

#[test]
fn what_is_wrong_with_an_own_figure_is_said() {
    for (from, to, what) in [
        ("by = 'head of the workshop'\n", "", "this own figure has no `by`"),
        ("on = '2026-11-20'\n", "", "this own figure has no `on`"),
        ("value = '50 ± 1 mm measured'\n", "", "this own figure has no `value`"),
        ("2026-11-20", "20.11.2026", "`20.11.2026` is no day of the calendar"),
        ("2026-11-20", "2026-02-30", "no day of the calendar"),
        ("pull-2.7", "pull-2.8", "is not a part of the catalogue"),
        ("'hood'", "'hod'", "did you mean `hood`?"),
        ("'hood'", "'pitches'", "is not a field of a levers"),
        ("50 ± 1 mm measured", "50", "needs a unit"),
        ("50 ± 1 mm measured", "500 mm", "outside 0 mm to 120 mm"),
        ("50 ± 1 mm measured", "50 mm published nowhere", "is not the key of a source"),
        ("'head of the workshop'", "''", "`by` is empty"),
        ("why", "whyy", "did you mean `why`?"),
    ] {
        let error = read(&WHOLE.replace(from, to)).unwrap_err().to_string();
        assert!(error.contains(what), "{what:?} is not in\n{error}");
    }
    let error = read(&format!("{WHOLE}{WHOLE}")).unwrap_err().to_string();
    assert!(error.contains("has an own figure already"), "{error}");
    assert!(read("own = 'x'\n").unwrap_err().to_string().contains("a list of tables is wanted"));
}

#[test]
fn a_printed_figure_gives_way_to_a_measured_one_only() {
    let part = "[[levers]]\nid = 'our-levers'\nname = 'a pair of levers'\nhood = '48 mm printed'\n";
    let own = |basis: &str| {
        let text = WHOLE
            .replace("levers-road-11-pull-2.7", "our-levers")
            .replace("measured'\nby", &format!("{basis}'\nby"));
        read(&format!("{text}{part}"))
    };
    for basis in ["measured", "printed", "counted"] {
        assert!(own(basis).is_ok(), "{basis}");
    }
    for basis in ["assumed", "practice", "memory"] {
        assert!(own(basis).unwrap_err().to_string().contains("a printed figure here"), "{basis}");
    }
}
