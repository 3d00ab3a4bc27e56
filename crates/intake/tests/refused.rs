//! What is no refit is refused, and the refusal says what would do.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::Catalogue;
use intake::{MOST_BYTES, MOST_PROBLEMS, Problems, Source, check_bytes, read_refit};

fn problems(text: &str) -> Problems {
    read_refit(Source { name: "job.toml", text }, &intake::built_in().unwrap()).unwrap_err()
}

/// The only problem of a text holds `what`, at line and column, and its help holds `help`.
fn check(text: &str, at: (usize, usize), what: &str, help: &str) {
    let problems = problems(text);
    assert_eq!(problems.count(), 1, "{problems}");
    let (_, problem) = problems.iter().next().unwrap();
    let place = problem.place.as_ref().unwrap();
    assert_eq!((place.line, place.column), at, "{problems}");
    assert!(problem.what.contains(what), "{what:?} is not in\n{problems}");
    assert!(problem.help.as_deref().unwrap_or_default().contains(help), "{help:?} is not in\n{problems}");
}

/// As [`check`], for one line of `[bike.SLOT]`.
fn check_field(slot: &str, line: &str, what: &str, help: &str) {
    let column = line.find('=').unwrap() + 3;
    check(&format!("name = \"x\"\n[bike.{slot}]\n{line}\n"), (3, column), what, help);
}

#[test]
fn an_empty_file_is_refused() {
    for bytes in ["", " \n\t\r\n", "\u{FEFF}", "\u{FEFF}\n"] {
        let error = check_bytes("job.toml", bytes.as_bytes()).unwrap_err();
        assert!(error.to_string().contains("nothing is written in this file"), "{error}");
        assert!(problems(bytes).to_string().contains("nothing is written in this file"));
    }
    assert!(problems("# only a remark\n").to_string().contains("the refit has no `name`"));
}

#[test]
fn bytes_that_are_no_text_are_refused_with_their_place() {
    let error = check_bytes("job.toml", b"name = \"x\"\nwhy = \"caf\xe9\"\n").unwrap_err();
    assert!(
        error.to_string().contains("job.toml:2:11") && error.to_string().contains("byte 0xe9"),
        "{error}"
    );
    for bytes in [&b"\xff\xfen\0a\0"[..], b"\x80", b"name = '\xf0\x9f'", &[0xff; 5000]] {
        assert!(check_bytes("job.toml", bytes).unwrap_err().to_string().contains("save the file as UTF-8"));
    }
}

#[test]
fn a_byte_order_mark_is_no_part_of_the_text() {
    let text = check_bytes("job.toml", b"\xef\xbb\xbfname = 'x'\nodd = 1\n").unwrap();
    assert_eq!(text, "name = 'x'\nodd = 1\n");
    let marked = problems("\u{FEFF}odd = 1\nname = 'x'\n");
    assert!(marked.to_string().contains("job.toml:1:1"), "{marked}");
}

#[test]
fn a_file_that_is_too_long_is_refused() {
    let long = "#".repeat(MOST_BYTES + 1);
    for error in [check_bytes("job.toml", long.as_bytes()).unwrap_err(), problems(&long)] {
        assert!(error.to_string().contains("1048577 bytes; at most 1048576"), "{error}");
    }
    assert!(check_bytes("job.toml", &long.as_bytes()[1..]).is_ok());
}

#[test]
fn a_number_needs_its_unit() {
    check_field(
        "frame",
        "chainstay = 410",
        "`chainstay` needs a unit",
        "did you mean `chainstay = \"410 mm\"`?",
    );
    check_field("frame", "chainstay = 410.5", "`chainstay` needs a unit", "410.5 mm");
    check_field("frame", "chainstay = \"410\"", "`chainstay` needs a unit", "410 mm");
    check_field("frame", "head_angle = 73", "`head_angle` needs a unit", "73 deg");
    check_field(
        "frame",
        "chainstay = \"410 kg\"",
        "`kg` is not a unit that fits here",
        "`chainstay = \"475 mm\"`",
    );
    check_field("frame", "chainstay = \"410,5 mm\"", "write `410.5`", "drive side");
    check_field("frame", "chainstay = 410 mm", "`410 mm` is not in quotes", "chainstay = \"410 mm\"");
    check_field("frame", "chainstay = ", "there is no value after `=`", "left out");
}

#[test]
fn a_value_of_the_wrong_form_is_refused_with_an_example() {
    check_field(
        "frame",
        "chainstay = true",
        "is true or false; text with a unit is wanted",
        "`chainstay = \"475 mm\"`",
    );
    check_field("frame", "chainstay = [410]", "is a list", "`chainstay = \"475 mm\"`");
    check_field("frame", "chainstay = { mm = 410 }", "is a table", "`chainstay = \"475 mm\"`");
    check_field("frame", "chainstay = 2026-01-01", "is a date or time", "475 mm");
    check_field("frame", "material = 3", "one of a set of words is wanted", "material = \"steel\"");
    check_field(
        "chain",
        "pitches = 106.0",
        "a number with decimals; a whole number is wanted",
        "pitches = 160",
    );
    check_field("cassette", "cogs = 11", "a list of tooth counts is wanted", "cogs = [11, 12, 13]");
    check_field("cassette", "cogs = \"eleven\"", "`eleven` is not a tooth count", "cogs = [11, 12, 13]");
    check_field("cassette", "pitches = \"3.74 mm\"", "is text; a list is wanted", "pitches = [");
    check_field("rear_derailleur", "ratio = []", "is a list; a number is wanted", "ratio = \"1.5\"");
    check(
        "name = 3\n",
        (1, 8),
        "`name` is a whole number; text in quotes is wanted",
        "what the job is called",
    );
    check("name = 'x'\nbike = 3\n", (2, 8), "`bike` is a whole number; a table is wanted", "[bike.cassette]");
    check("name = 'x'\n[choice]\nstem = 3\n", (3, 8), "the key of a catalogue part", "stem = ");
    check(
        "name = 'x'\n[wish]\nready_in_days = '3'\n",
        (3, 17),
        "a whole number is wanted",
        "ready_in_days = 7",
    );
}

#[test]
fn a_value_nobody_can_have_measured_is_refused_with_the_range() {
    check_field(
        "frame",
        "chainstay = \"4100 mm\"",
        "`4100 mm`, outside 250 mm to 700 mm",
        "check its unit and its place: bottom bracket",
    );
    check_field("frame", "chainstay = \"-410 mm\"", "outside 250 mm to 700 mm", "check its unit");
    check_field("frame", "chainstay = \"1e300 m\"", "outside 250 mm to 700 mm", "check its unit");
    check_field("frame", "chainstay = \"0 mm\"", "outside 250 mm to 700 mm", "check its unit");
    check_field("frame", "hanger_bend = \"-1 mm\"", "outside 0 mm to 80 mm", "check its unit");
    check_field("chain", "pitches = -106", "`-106`, outside 60 to 260", "paint dots");
    check_field("chain", "pitches = 99999999999999999999", "is not a whole number", "paint dots");
    check_field("chain", "pitches = 4294967402", "outside 60 to 260", "paint dots");
    check_field("rear_derailleur", "ratio = 17", "`17`, outside 0.8 to 2.2", "check its unit");
    let second = "name = \"x\"\n[bike.levers]\npulls = [\"2.5 mm\", \"25 mm\"]\n";
    check(second, (3, 20), "`25 mm`, outside 1 mm to 8 mm", "one click at a time");
    check("name = 'x'\n[rider]\nmass = \"82 g\"\n", (3, 8), "`mass` is `82 g`, outside", "check its unit");
    check("name = 'x'\n[wish]\nlowest_gear = \"-10 %\"\n", (3, 15), "outside 0 % to 90 %", "`10 %`");
    check("name = 'x'\n[wish]\nready_in_days = -1\n", (3, 17), "outside 0 to 3650", "");
    check("name = 'x'\n[wish]\nceiling = \"-9.00 EUR\"\n", (3, 11), "`ceiling` is below zero", "");
    check("name = 'x'\n[wish]\nceiling = \"9,00 EUR\"\n", (3, 11), "is not an amount", "64.00 EUR");
}

#[test]
fn what_is_no_number_is_refused() {
    check_field("frame", "chainstay = nan", "`nan` is not a finite number", "475 mm");
    check_field("frame", "chainstay = -inf", "is not a finite number", "475 mm");
    check_field("frame", "chainstay = \"NaN mm\"", "is not a finite number", "475 mm");
    check_field("frame", "chainstay = \"1e999 mm\"", "is not a finite number", "475 mm");
    check_field("frame", "chainstay = \"long\"", "`long` is not a number", "475 mm");
    check_field("frame", "chainstay = \"\"", "nothing is written here", "475 mm");
    check_field("rear_derailleur", "ratio = inf", "`inf` is not a finite number", "1.5");
    check_field(
        "rear_derailleur",
        "ratio = \"1.7 asumed\"",
        "`asumed` does not say how the value was got",
        "1.5",
    );
    check_field(
        "chain",
        "pitches = \"106 or so\"",
        "`or so` does not say how the value was got",
        "paint dots",
    );
    check_field("chain", "pitches = \"106 ± 2\"", "does not say how the value was got", "paint dots");
    let long = format!("chainstay = \"{} mm\"", "4".repeat(500));
    check_field("frame", &long, "longer than a value can be", "475 mm");
}

#[test]
fn a_tolerance_wider_than_the_range_is_refused() {
    check_field(
        "frame",
        "chainstay = \"410 ± 451 mm\"",
        "tolerance of `chainstay` is wider",
        "250 mm to 700 mm",
    );
    check_field("frame", "chainstay = \"410 ± -3 mm\"", "is below zero", "475 mm");
    check("name = 'x'\n[rider]\nmass = \"82 ± 2 kg\"\n", (3, 8), "takes no tolerance", "82 kg");
}

#[test]
fn teeth_stand_in_the_order_of_the_part() {
    check_field("cassette", "cogs = [13, 12, 11]", "smallest cog first", "cogs = [11, 12, 13]");
    check_field("cassette", "cogs = [11, 11, 12]", "each larger than the one before", "cogs = [11, 12]");
    check_field("crankset", "rings = \"34-50\"", "largest ring first", "rings = [50, 34]");
    check_field("crankset", "rings = [53, 42, 30, 20]", "has 4 tooth counts; 1 to 3 are wanted", "");
    check_field("cassette", "cogs = []", "has 0 tooth counts; 1 to 14 are wanted", "");
    check_field("cassette", "cogs = [3, 11]", "`3` is outside 6 to 80 teeth", "");
    check_field("cassette", "cogs = [11, 99999999999999999999]", "outside 6 to 80 teeth", "");
    let text = "name = 'x'\n[bike.cassette]\ncogs = [11, 12.5]\n";
    check(text, (3, 13), "a whole number of teeth is wanted", "cogs = [11, 12, 13]");
}

#[test]
fn words_that_are_not_known_get_the_nearest() {
    let key = |line: &str, at, what, help| check(&format!("name = 'x'\n{line}\n"), at, what, help);
    key(
        "[bike.frame]\nchainstya = '410 mm'",
        (3, 1),
        "`chainstya` is not a key of `[bike.frame]`",
        "did you mean `chainstay`?",
    );
    key(
        "[bike.frame]\nprice = '4 EUR'",
        (3, 1),
        "`price` is not a key",
        "accepted: `part`, `name`, `mass`, `material`",
    );
    key("[bike.casette]", (2, 7), "`casette` is not a key of `[bike]`", "did you mean `cassette`?");
    key("[rdier]", (2, 2), "`rdier` is not a key of a refit", "did you mean `rider`?");
    key("[wish]\nhand = 'keep'", (3, 1), "`hand` is not a key of `[wish]`", "did you mean `hands`?");
    key(
        "[choice.stem]\nchainstay = '410 mm'",
        (3, 1),
        "of `[choice.stem]`",
        "`chainstay` stands under `[bike.frame]`",
    );
    key(
        "[choice.chain]\nclamp = '1 mm'",
        (3, 1),
        "of `[choice.chain]`",
        "`[choice.levers]` or `[choice.shifters]`",
    );
    key("[cassette]", (2, 2), "`cassette` stands outside", "`[bike.cassette]`");
    key("[choice.frame]", (2, 9), "a frame is not chosen", "[bike.frame]");
    check_field("frame", "material = \"steal\"", "`steal` is not a frame material", "did you mean `steel`?");
    check_field(
        "frame",
        "material = \"wood\"",
        "is not a frame material",
        "accepted: `steel`, `aluminium`, `titanium`, `carbon`",
    );
    check_field("frame", "material = \"steel asumed\"", "`asumed` does not say how", "");
    check_field(
        "frame",
        "chainstay = \"410 mm published no-such-book\"",
        "`no-such-book` is not the key of a source",
        "",
    );
}

#[test]
fn parts_that_are_not_in_the_catalogue_get_the_nearest_of_their_slot() {
    let catalogue = intake::built_in().unwrap();
    let id = catalogue.for_slot(catalog::Slot::Cassette).next().unwrap().id().unwrap();
    let (slip, wanted) = (format!("{id}x"), format!("did you mean `{id}`?"));
    check(
        &format!("name = 'x'\n[choice]\ncassette = '{slip}'\n"),
        (3, 12),
        "is not a cassette of the catalogue",
        &wanted,
    );
    check(
        &format!("name = 'x'\n[bike.cassette]\npart = '{slip}'\n"),
        (3, 8),
        "is not a cassette of the catalogue",
        &wanted,
    );
    check(
        &format!("name = 'x'\n[choice]\nstem = '{id}'\n"),
        (3, 8),
        "is not a stem but a cassette",
        "accepted: ",
    );
    let empty =
        read_refit(Source { name: "x", text: "name = 'x'\n[choice]\nstem = 's'\n" }, &Catalogue::default());
    assert!(empty.unwrap_err().to_string().contains("the catalogue has no stem"));
}

#[test]
fn tables_within_tables_are_bounded() {
    let dotted = format!("{}b={{", "a.".repeat(78));
    for text in [
        format!("a = {}", "[".repeat(100_000)),
        format!("a = {}", "{b=".repeat(100_000)),
        format!("{}b = 1", "a.".repeat(100_000)),
        format!("[{}b]", "a.".repeat(100_000)),
        format!("{}c=1{}", dotted.repeat(70), "}".repeat(70)),
        format!("{}c=1{}", "a.a.a.a.b={".repeat(79), "}".repeat(79)),
        format!("{}c=1{}", "a.a.a.a.b={".repeat(70), "}".repeat(70)),
        format!("name = 'x'\nname = {{{}c=1{}}}", "a.a.a.a.b={".repeat(70), "}".repeat(70)),
    ] {
        assert!(problems(&text).count() >= 1);
    }
}

#[test]
fn a_megabyte_in_one_line_is_answered_in_a_few_lines() {
    let million = 1_000_000;
    for text in [
        "x".repeat(million),
        "=".repeat(million),
        format!("name = \"{}\"", "x".repeat(million)),
        format!("name = 'x'\n[bike.frame]\nchainstay = \"{}\"", "1".repeat(million)),
        format!("name = 'x'\n[bike.cassette]\ncogs = [{}]", "11,".repeat(million / 3)),
        format!("bike = {{ frame = {{ {} }} }}", (0..60_000).map(|i| format!("k{i}=1,")).collect::<String>()),
    ] {
        let shown = problems(&text).render(false);
        // A hundred problems at most, each with the keys of a frame: the list of keys grows with the frame.
        assert!(shown.len() < 100_000, "{} bytes", shown.len());
    }
}

#[test]
fn no_more_problems_are_kept_than_anyone_mends() {
    let text: String = (0..250).map(|i| format!("odd{i} = 1\n")).collect();
    let problems = problems(&text);
    assert_eq!((problems.iter().count(), problems.more(), problems.count()), (MOST_PROBLEMS, 151, 251));
    assert!(problems.render(false).ends_with("and 151 more\n"));
}

#[test]
fn control_characters_reach_no_terminal() {
    let text = "name = \"a\\u001b[31m\"\n\"\\u001b[2J\" = 1\n[bike.frame]\nmaterial = \"\\u0007\"\nchainstay = \"\\u001b[2J\"\n";
    let problems = problems(text);
    assert_eq!(problems.count(), 4, "{problems}");
    assert!(!problems.render(false).chars().any(|letter| letter.is_control() && letter != '\n'));
}
