//! A file full of mistakes, and what the person who wrote it is shown: all of it, in the order of the file.

use intake::{Source, built_in, read_refit};

const TEXT: &str = r#"name = "hook 12"
colour = "red"

[wish]
lowest_gear = "harder"
ceiling = "900"

[rider]
mass = "82"

[bike.frame]
chainstay = 410
chainstya = "410 mm"
head_angle = "73 mm"
seat_tube = "286 mm"
material = "alumnium"
shell_width = "68 ± 300 mm"
hub_width = "130 mm"

[bike.cassette]
cogs = [25, 23, 21]

[bike.chain]
pitches = "106 countd"

[bike.crankset]
rings = [34, 50]

[bike.levers]
pull = nan

[choice]
cassette = "cassette-11-rod-11-28"
frame = "frame-1"
stem = 3
"#;

const SHOWN: &str = r#"error: `colour` is not a key of a refit
 --> hook-12.toml:2:1
  |
2 | colour = "red"
  | ^^^^^^
  |
  = help: accepted: `name`, `why`, `wish`, `rider`, `ride`, `bike`, `choice`, `expect`

error: `harder` does not say what the lowest gear shall become
 --> hook-12.toml:5:15
  |
5 | lowest_gear = "harder"
  |               ^^^^^^^^
  |
  = help: accepted: `keep`, `easier`, or easier by so much at least, such as `10 %`

error: `ceiling`: `900` is not an amount; write a number with two decimals and a currency code, such as `64.00 EUR`
 --> hook-12.toml:6:11
  |
6 | ceiling = "900"
  |           ^^^^^
  |
  = help: write it such as `ceiling = "64.00 EUR"`

error: `mass` needs a unit
 --> hook-12.toml:9:8
  |
9 | mass = "82"
  |        ^^^^
  |
  = help: write it such as `mass = "82 kg"`

error: `chainstay` needs a unit
  --> hook-12.toml:12:13
   |
12 | chainstay = 410
   |             ^^^
   |
   = help: did you mean `chainstay = "410 mm"`?

error: `chainstya` is not a key of `[bike.frame]`
  --> hook-12.toml:13:1
   |
13 | chainstya = "410 mm"
   | ^^^^^^^^^
   |
   = help: did you mean `chainstay`?

error: `head_angle`: `mm` is not a unit that fits here; accepted: `deg`, `°`, `rad`
  --> hook-12.toml:14:14
   |
14 | head_angle = "73 mm"
   |              ^^^^^^^
   |
   = help: head angle: along the head tube, bike level; write it such as `head_angle = "70 deg"`

error: `seat_tube` is `286 mm`, outside 24 mm to 45 mm
  --> hook-12.toml:15:13
   |
15 | seat_tube = "286 mm"
   |             ^^^^^^^^
   |
   = help: if the reading is right, check its unit and its place: at the front derailleur, in three directions

error: `alumnium` is not a frame material
  --> hook-12.toml:16:12
   |
16 | material = "alumnium"
   |            ^^^^^^^^^^
   |
   = help: did you mean `aluminium`?

error: the tolerance of `shell_width` is wider than all that is believed of it
  --> hook-12.toml:17:15
   |
17 | shell_width = "68 ± 300 mm"
   |               ^^^^^^^^^^^^^
   |
   = help: `shell_width` is believed from 55 mm to 125 mm; check the unit of the tolerance

error: `hub_width` is not a key of `[bike.frame]`
  --> hook-12.toml:18:1
   |
18 | hub_width = "130 mm"
   | ^^^^^^^^^
   |
   = help: `hub_width` stands under `[bike.rear_wheel]` or `[bike.front_wheel]`

error: `cogs` is not written smallest cog first, each larger than the one before
  --> hook-12.toml:21:8
   |
21 | cogs = [25, 23, 21]
   |        ^^^^^^^^^^^^
   |
   = help: count again, then write `cogs = [21, 23, 25]`

error: `pitches`: `countd` does not say how the value was got; accepted: measured, counted, printed, assumed, published KEY, practice, memory
  --> hook-12.toml:24:11
   |
24 | pitches = "106 countd"
   |           ^^^^^^^^^^^^
   |
   = help: chain pitches counted: between two paint dots, all the way round; write it such as `pitches = 160`

error: `rings` is not written largest ring first, each smaller than the one before
  --> hook-12.toml:27:9
   |
27 | rings = [34, 50]
   |         ^^^^^^^^
   |
   = help: count again, then write `rings = [50, 34]`

error: `pull`: `nan` is not a finite number
  --> hook-12.toml:30:8
   |
30 | pull = nan
   |        ^^^
   |
   = help: cable pull of a click: flag on the cable moved over all clicks, by their number; write it such as `pull = "3.8 mm"`

error: `cassette-11-rod-11-28` is not a cassette of the catalogue
  --> hook-12.toml:33:12
   |
33 | cassette = "cassette-11-rod-11-28"
   |            ^^^^^^^^^^^^^^^^^^^^^^^
   |
   = help: did you mean `cassette-11-road-11-28`?

error: a frame is not chosen: the refit is for the frame that is there
  --> hook-12.toml:34:1
   |
34 | frame = "frame-1"
   | ^^^^^
   |
   = help: describe the frame under `[bike.frame]`

error: `stem` is a whole number; a table or the key of a catalogue part is wanted
  --> hook-12.toml:35:8
   |
35 | stem = 3
   |        ^
   |
   = help: write it such as `stem = "a key of the catalogue"`
"#;

#[test]
fn every_mistake_is_shown_with_its_place_and_what_would_do() {
    let catalogue = built_in().unwrap();
    let problems = read_refit(Source { name: "hook-12.toml", text: TEXT }, &catalogue).unwrap_err();
    let shown = problems.render(false);
    assert_eq!(shown.trim_end(), SHOWN.trim_end(), "now shown:\n{shown}");
}

#[test]
fn colour_changes_no_word() {
    let catalogue = built_in().unwrap();
    let problems = read_refit(Source { name: "hook-12.toml", text: TEXT }, &catalogue).unwrap_err();
    let coloured = problems.render(true);
    assert!(coloured.contains("\u{1b}["));
    let mut plain = String::new();
    let mut letters = coloured.chars();
    while let Some(letter) = letters.next() {
        if letter == '\u{1b}' {
            letters.by_ref().find(|end| *end == 'm');
        } else {
            plain.push(letter);
        }
    }
    assert_eq!(plain, problems.render(false));
    assert_eq!(format!("{problems}\n"), problems.render(false));
}

#[test]
fn places_are_counted_in_letters_from_one() {
    let text = "name = 'é'\n[bike.frame]\n  'chäin' = 1 # ±\n";
    let problems = read_refit(Source { name: "x.toml", text }, &catalog::Catalogue::default()).unwrap_err();
    let (file, problem) = problems.iter().next().unwrap();
    let place = problem.place.clone().unwrap();
    assert_eq!((file, place.line, place.column), ("x.toml", 3, 3));
    assert_eq!(&text[place.span], "'chäin'");
    let text = "name = 'é'\nwhy = 'ää'\nrider = { mass = 'ääää', powr = '1 W' }\n";
    let problems = read_refit(Source { name: "x.toml", text }, &catalog::Catalogue::default()).unwrap_err();
    assert!(problems.to_string().contains("x.toml:3:26"), "{problems}");
    assert_eq!(problems.iter().last().unwrap().1.place.as_ref().unwrap().column, 26);
}
