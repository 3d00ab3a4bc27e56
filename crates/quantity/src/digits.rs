//! Numbers written for people: a true minus sign, no `-0`, no more digits than are meant.

/// The number with so many decimals, with the sign `−` and never a negative zero.
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{:.*}", decimals, value.abs());
    let is_zero = text.bytes().all(|b| b == b'0' || b == b'.');
    if value < 0.0 && !is_zero { format!("−{text}") } else { text }
}

/// As [`fixed`], with a `+` before positive numbers: for differences.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    let is_zero = text.bytes().all(|b| b == b'0' || b == b'.');
    if is_zero || text.starts_with('−') { text } else { format!("+{text}") }
}

/// The number with its unit; degrees and percent signs stand close, all other units after a space.
pub fn with_unit(value: f64, decimals: usize, unit: &str) -> String {
    join(fixed(value, decimals), unit)
}

/// As [`with_unit`], with a `+` before positive numbers.
pub fn signed_with_unit(value: f64, decimals: usize, unit: &str) -> String {
    join(signed(value, decimals), unit)
}

/// The number with at most two decimals and no trailing zeros: for tolerances and limits.
pub fn trimmed(value: f64) -> String {
    let text = fixed(value, 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn join(number: String, unit: &str) -> String {
    match unit {
        "" => number,
        "°" => number + unit,
        _ => format!("{number} {unit}"),
    }
}

/// How many decimals a value deserves when it is known to within `tolerance`: the last digit shown is the
/// one that the tolerance touches. An exact value gets `most`.
pub fn decimals_for(tolerance: f64, most: usize) -> usize {
    if tolerance <= 0.0 || !tolerance.is_finite() {
        return most;
    }
    let place = -tolerance.log10().floor();
    if place <= 0.0 { 0 } else { (place as usize).min(most) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(signed(0.001, 2), "0.00");
        assert_eq!(signed(2.5, 1), "+2.5");
    }

    #[test]
    fn a_tolerance_is_shown_as_it_is() {
        assert_eq!(trimmed(0.25), "0.25");
        assert_eq!(trimmed(0.3), "0.3");
        assert_eq!(trimmed(10.0), "10");
    }

    #[test]
    fn the_tolerance_decides_the_digits() {
        assert_eq!(decimals_for(3.0, 3), 0);
        assert_eq!(decimals_for(0.3, 3), 1);
        assert_eq!(decimals_for(0.05, 3), 2);
        assert_eq!(decimals_for(0.0, 2), 2);
    }
}
