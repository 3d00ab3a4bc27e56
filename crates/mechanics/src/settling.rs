//! How far a cable has settled since it was set, told by the clicks that the adjuster took afterwards.
//! Begin with [`settled`].

use quantity::Length;

/// Cable that has been taken up since the last setting; negative when clicks were taken off.
///
/// `clicks · detent`, with the detent as in [`crate::indexing::ADJUSTER_DETENT`].
///
/// Proportional to both.
///
/// # Source
/// Counting.
///
/// # Example
/// ```
/// use mechanics::{indexing::ADJUSTER_DETENT, settling::settled};
/// assert_eq!(settled(3, ADJUSTER_DETENT).to_string(), "0.60 mm");
/// ```
pub fn settled(clicks: i32, detent: Length) -> Length {
    detent * f64::from(clicks)
}

/// What is usual among several: the median, so that one odd bike does not move it far.
///
/// The middle one by size, or the mean of the two in the middle. The order does not matter. `None` without any,
/// or with one that is no number.
pub fn usual(settled: &[Length]) -> Option<Length> {
    if settled.iter().any(|one| one.to_mm().is_nan()) {
        return None;
    }
    let mut by_size_mm: Vec<f64> = settled.iter().map(|one| one.to_mm()).collect();
    by_size_mm.sort_by(f64::total_cmp);
    let upper = *by_size_mm.get(by_size_mm.len() / 2)?;
    if by_size_mm.len() % 2 == 1 {
        return Some(Length::mm(upper));
    }
    let lower = *by_size_mm.get(by_size_mm.len() / 2 - 1)?;
    Some(Length::mm(lower / 2.0 + upper / 2.0))
}
