//! The plainest weighing: a few causes, and a likelihood of each observation under each. Begin with [`update`].

/// The probabilities after an observation.
///
/// `P(i | seen) = P(i) P(seen | i) / Σ P(j) P(seen | j)`.
///
/// The order of observations does not matter. It uses as many causes as there are in both lists; where every product
/// is 0 or one is no number, nothing was learned and the probabilities stay as they were.
///
/// # Source
/// Bayes' rule. A table worked beforehand: `tests/diagnosis_cases.rs::three_observations_after_slow_to_larger`.
///
/// # Example
/// ```
/// use mechanics::diagnosis::naive::update;
/// assert_eq!(update(&[0.5, 0.5], &[0.9, 0.3]), [0.75, 0.25]);
/// ```
pub fn update(before: &[f64], likelihoods: &[f64]) -> Vec<f64> {
    let products: Vec<f64> =
        before.iter().zip(likelihoods).map(|(prior, likelihood)| prior * likelihood).collect();
    let total: f64 = products.iter().sum();
    if total > 0.0 && total.is_finite() {
        products.iter().map(|product| product / total).collect()
    } else {
        before.to_vec()
    }
}
