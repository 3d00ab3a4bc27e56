//! The catalogue data that comes with the program, file by file, as text.
//!
//! Generic parts named by their dimensions. Prices, masses and delivery days in them are invented for
//! examples. The text is read by the same reader that reads a workshop's own files.

/// Name and text of each file, one file a slot and the small parts last.
///
/// # Example
/// ```
/// assert!(catalog::data::FILES.iter().any(|(name, _)| *name == "cassettes.toml"));
/// ```
pub const FILES: &[(&str, &str)] = &[
    ("rear_wheels.toml", include_str!("../data/rear_wheels.toml")),
    ("front_wheels.toml", include_str!("../data/front_wheels.toml")),
    ("rotors.toml", include_str!("../data/rotors.toml")),
    ("cassettes.toml", include_str!("../data/cassettes.toml")),
    ("chains.toml", include_str!("../data/chains.toml")),
    ("cranksets.toml", include_str!("../data/cranksets.toml")),
    ("chainrings.toml", include_str!("../data/chainrings.toml")),
    ("bottom_brackets.toml", include_str!("../data/bottom_brackets.toml")),
    ("rear_derailleurs.toml", include_str!("../data/rear_derailleurs.toml")),
    ("front_derailleurs.toml", include_str!("../data/front_derailleurs.toml")),
    ("seatposts.toml", include_str!("../data/seatposts.toml")),
    ("pedals.toml", include_str!("../data/pedals.toml")),
    ("levers.toml", include_str!("../data/levers.toml")),
    ("shifters.toml", include_str!("../data/shifters.toml")),
    ("calipers.toml", include_str!("../data/calipers.toml")),
    ("bars.toml", include_str!("../data/bars.toml")),
    ("stems.toml", include_str!("../data/stems.toml")),
    ("headsets.toml", include_str!("../data/headsets.toml")),
    ("tapes.toml", include_str!("../data/tapes.toml")),
    ("cables.toml", include_str!("../data/cables.toml")),
    ("small_parts.toml", include_str!("../data/small_parts.toml")),
];
