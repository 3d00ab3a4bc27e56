//! Whether an old part is worn out: chain, rim, rotor. Begin with [`chain_limit_percent`].
//!
//! The limits here are common practice. What is printed on the part or stands in its leaflet wins.

use crate::chain::elongation_percent_over;
use quantity::Length;

/// Wear of a chain, percent, at which 11 and more cogs begin to suffer. Common practice, in several guides.
pub const CHAIN_LIMIT_11: f64 = 0.5;

/// Wear of a chain, percent, at which 9 and 10 cogs begin to suffer. Common practice, in several guides.
pub const CHAIN_LIMIT_9: f64 = 0.75;

/// Wear of a chain, percent, for 8 cogs and fewer. Common practice, and guides differ: others say 0.75 % for all
/// cassettes of 10 cogs and fewer.
pub const CHAIN_LIMIT_8: f64 = 1.0;

/// Reading of a twelve-inch rule over 24 pitches at which a chain is measured up: 12 1/16 in.
pub const TWELVE_INCH_RULE_MARK: Length = Length::inches(12.0625);

/// Least thickness of the wall of a rim under its braking track. Practice figures go from 0.8 to 1.0 mm; this is
/// the cautious end. A wear mark of the rim wins.
pub const RIM_WALL: Length = Length::mm(1.0);

/// Least thickness of a brake rotor where none is printed on it. Leaflets print 1.5, 1.52 or 1.55 mm; the figure on
/// the rotor wins.
pub const ROTOR: Length = Length::mm(1.5);

/// Wear at which a chain is replaced, percent of its length, by the number of cogs.
///
/// 1.0 to 8 cogs, 0.75 for 9 and 10, 0.5 from 11. Never rises with the cogs.
///
/// # Source
/// Common practice: [`CHAIN_LIMIT_11`], [`CHAIN_LIMIT_9`], [`CHAIN_LIMIT_8`]; the last one is disputed.
pub fn chain_limit_percent(cogs: u32) -> f64 {
    match cogs {
        0..=8 => CHAIN_LIMIT_8,
        9 | 10 => CHAIN_LIMIT_9,
        _ => CHAIN_LIMIT_11,
    }
}

/// Wear of a chain in percent, from the length that a rule shows over 24 pitches (12 in when new).
///
/// `100 · (l / 12 in − 1)`. Rises with the reading. [`TWELVE_INCH_RULE_MARK`] is 0.52 %. A rule reads pin to pin, so
/// play of the rollers, which a wear gauge counts, stays out.
///
/// # Source
/// Definition: [`elongation_percent_over`].
pub fn twelve_inch_rule_percent(reading: Length) -> f64 {
    elongation_percent_over(reading, 24)
}

/// What may still wear off; negative is worn out.
///
/// `t − t_least`. Rises with the thickness found, falls with the limit.
pub fn left(found: Length, least: Length) -> Length {
    found - least
}

/// Share of what may wear that has worn; 1 at the limit, more beyond it.
///
/// `(t_new − t) / (t_new − t_least)`
///
/// Falls with the thickness found. For a part between new and its limit it rises with both. New parts that are at
/// their limit already have nothing to wear: no finite number.
pub fn share_worn(new: Length, found: Length, least: Length) -> f64 {
    (new - found).to_mm() / (new - least).to_mm()
}
