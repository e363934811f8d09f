//! The one type for a point in time.

use chrono::{DateTime, Utc};
use serde::{Serialize, Serializer};

/// Unix time of 2000-01-01T12:00:00 UTC, the zero of [`Moment`].
const J2000_UNIX_SECONDS: i64 = 946_728_000;

/// A point in time: UTC seconds since 2000-01-01T12:00:00 UTC.
///
/// Every UTC day has 86 400 of these seconds, as in Unix time: a leap second
/// is not counted, so the instant inside one is off by up to a second. An
/// `f64` resolves better than a microsecond between 1900 and 2100.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Moment(f64);

impl Moment {
    /// The moment `seconds` after 2000-01-01T12:00:00 UTC.
    pub const fn from_seconds(seconds: f64) -> Self {
        Self(seconds)
    }

    /// Seconds since 2000-01-01T12:00:00 UTC.
    pub const fn seconds(self) -> f64 {
        self.0
    }

    /// The moment of a chrono instant, to the microsecond.
    pub fn from_utc(utc: DateTime<Utc>) -> Self {
        let seconds = (utc.timestamp() - J2000_UNIX_SECONDS) as f64;
        Self(seconds + f64::from(utc.timestamp_subsec_micros()) * 1e-6)
    }

    /// The chrono instant, rounded to the nearest second.
    ///
    /// A moment outside chrono's range (or not finite) gives the nearest end
    /// of that range.
    pub fn to_utc(self) -> DateTime<Utc> {
        DateTime::from_timestamp(self.unix_seconds(), 0).unwrap_or(DateTime::UNIX_EPOCH)
    }

    /// Unix time rounded to the nearest second, within chrono's range.
    pub(crate) fn unix_seconds(self) -> i64 {
        self.0.round().clamp(-1e11, 1e11) as i64 + J2000_UNIX_SECONDS
    }

    /// The moment of a Unix time.
    pub(crate) fn from_unix_seconds(unix: i64) -> Self {
        Self((unix - J2000_UNIX_SECONDS) as f64)
    }

    /// The full minute nearest to this moment.
    #[must_use]
    pub fn to_the_minute(self) -> Self {
        Self((self.0 / 60.0).round() * 60.0)
    }

    /// This moment moved by `seconds`.
    #[must_use]
    pub fn plus_seconds(self, seconds: f64) -> Self {
        Self(self.0 + seconds)
    }
}

/// In UTC, RFC 3339 to the second.
impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(
            &self
                .to_utc()
                .to_rfc3339_opts(chrono::SecondsFormat::Secs, true),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chrono_round_trip_keeps_the_second() {
        for text in [
            "1900-01-01T00:00:00Z",
            "1999-12-31T23:59:59Z",
            "2000-01-01T12:00:00Z",
            "2099-12-31T23:59:59Z",
        ] {
            let utc: DateTime<Utc> = text.parse().expect("a valid time in the test");
            assert_eq!(Moment::from_utc(utc).to_utc(), utc);
        }
    }

    #[test]
    fn zero_is_noon_of_the_first_of_january_2000() {
        assert_eq!(
            Moment::from_seconds(0.0).to_utc().to_rfc3339(),
            "2000-01-01T12:00:00+00:00"
        );
    }
}
