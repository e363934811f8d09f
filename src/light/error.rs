//! What the light layer refuses.

use thiserror::Error;

/// A value that no camera, lens or panorama can have.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LightError {
    /// A number outside what is possible.
    #[error("{what} is {found}, but must be {expected}")]
    OutOfRange {
        /// The quantity, with its unit.
        what: &'static str,
        /// The value found.
        found: f64,
        /// What would be accepted.
        expected: &'static str,
    },
}

/// `value` where it lies in `low..=high`, else the error that says so; NaN is
/// in no range.
pub(crate) fn in_range(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
    expected: &'static str,
) -> Result<f64, LightError> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(LightError::OutOfRange {
            what,
            found: value,
            expected,
        })
    }
}
