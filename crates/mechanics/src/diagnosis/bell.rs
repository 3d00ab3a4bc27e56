//! The normal distribution, as far as a diagnosis needs it.

/// Share of a normal distribution below z.
///
/// Rises from 0 to 1, ½ at 0.
///
/// # Source
/// Abramowitz and Stegun, Handbook of Mathematical Functions, formula 7.1.26; its error is below 1.5e-7. The figures
/// of its table 26.1 are in the test.
pub(super) fn below(z: f64) -> f64 {
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let sum = t
        * (0.254_829_592
            + t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let tail = sum * (-x * x).exp() / 2.0;
    if z < 0.0 { tail } else { 1.0 - tail }
}

#[cfg(test)]
mod tests {
    use super::below;

    /// Abramowitz and Stegun, table 26.1, first digits.
    #[test]
    fn shares_below_z_are_those_of_the_handbook() {
        for (z, share) in
            [(0.0, 0.5), (1.0, 0.841_344_7), (1.96, 0.975_002_1), (-2.0, 0.022_750_1), (3.0, 0.998_650_1)]
        {
            assert!((below(z) - share).abs() < 3e-7, "{z}: {}", below(z));
        }
    }
}
