//! A refit file to begin with, as it is filled in at the counter.

/// A refit file with a remark on every line. It reads as it stands; what is not known yet is commented out.
///
/// # Examples
/// ```
/// let source = intake::Source { name: "starter.toml", text: intake::starter() };
/// assert!(intake::read_refit(source, &catalog::Catalogue::default()).is_ok());
/// ```
pub fn starter() -> &'static str {
    include_str!("starter.toml")
}
