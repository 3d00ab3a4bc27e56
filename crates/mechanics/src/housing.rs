//! How long a new piece of housing and a new inner must be. Begin with [`new_length`].

use quantity::Length;

/// Inner that stays outside all housing at the lever. Common practice.
pub const AT_LEVER: Length = Length::mm(100.0);

/// Inner that stays behind the pinch bolt. Common practice.
pub const TAIL: Length = Length::mm(60.0);

/// The first piece of housing of the bike to come, from the old one.
///
/// `L + Δreach + Δstem + Δwidth / 2`: the way along the bar grows by its reach and by half its width, the way to the
/// frame by the stem. Where the housing leaves the lever, and detours inside a bar, are not in it: a string along
/// the new path has the last word, at both full locks.
///
/// Rises with all four.
///
/// # Source
/// Geometry of the path; how exact it is was not found in print.
///
/// # Example
/// ```
/// use mechanics::housing::new_length;
/// use quantity::Length;
/// let mm = Length::mm;
/// assert_eq!(new_length(mm(600.0), mm(-14.0), mm(0.0), mm(-20.0)).to_mm(), 576.0);
/// ```
pub fn new_length(old: Length, reach: Length, stem: Length, width: Length) -> Length {
    Length::mm(old.to_mm() + reach.to_mm() + stem.to_mm() + width.to_mm() / 2.0)
}

/// Inner needed for a route: all housing, all bare runs, and what stays over at both ends.
///
/// `Σ housing + Σ bare + 100 + 60` mm, with [`AT_LEVER`] and [`TAIL`].
///
/// Rises with both.
///
/// # Source
/// Geometry; the two additions are common practice.
///
/// # Example
/// ```
/// use mechanics::housing::inner_needed;
/// use quantity::Length;
/// assert_eq!(inner_needed(Length::mm(900.0), Length::mm(850.0)).to_mm(), 1910.0);
/// ```
pub fn inner_needed(housing: Length, bare: Length) -> Length {
    Length::mm(housing.to_mm() + bare.to_mm() + AT_LEVER.to_mm() + TAIL.to_mm())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::mm(value)
    }

    #[test]
    fn the_same_bar_and_stem_ask_for_the_same_piece() {
        assert_eq!(new_length(mm(480.0), mm(0.0), mm(0.0), mm(0.0)), mm(480.0));
    }

    #[test]
    fn changes_add_up_whatever_comes_first() {
        let bar_first =
            new_length(new_length(mm(500.0), mm(-12.0), mm(0.0), mm(20.0)), mm(0.0), mm(10.0), mm(0.0));
        assert_eq!(bar_first, new_length(mm(500.0), mm(-12.0), mm(10.0), mm(20.0)));
    }

    #[test]
    fn a_route_without_bare_runs_still_needs_both_ends() {
        assert_eq!(inner_needed(mm(0.0), mm(0.0)), AT_LEVER + TAIL);
    }
}
