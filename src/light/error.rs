//! What the light layer refuses.

use thiserror::Error;

/// A value that no camera, lens, panorama or series of frames can have.
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
    /// A time-lapse that ends before its second frame.
    #[error("the time-lapse takes {total_s} s, less than its interval of {interval_s} s")]
    TimeLapseTooShort {
        /// Its time, seconds.
        total_s: f64,
        /// From frame to frame, seconds.
        interval_s: f64,
    },
    /// An interval of a time-lapse that ends before its frame is done.
    #[error("the interval is {interval_s} s, but a frame takes {least_s} s with its pause")]
    IntervalTooShort {
        /// From frame to frame, seconds.
        interval_s: f64,
        /// Shutter time and pause, seconds.
        least_s: f64,
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
