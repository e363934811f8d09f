//! Ranges that a rule allows.

use chrono::NaiveTime;

/// A closed range of a number; an open end is an infinity.
///
/// Written `A..B`, `A..` or `..B`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lowest value allowed; `-inf` where any low value is.
    pub low: f64,
    /// Highest value allowed; `+inf` where any high value is.
    pub high: f64,
}

/// A range of azimuths, run through clockwise from one end to the other.
///
/// `320..40` goes through north; `0..360` is the whole circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AzimuthBand {
    /// Where it begins, degrees from true north through east, `0..360`.
    pub from_deg: f64,
    /// How far it goes clockwise, degrees, `0..=360`.
    pub width_deg: f64,
}

/// A range of local wall-clock times; it may run through midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockBand {
    /// The first time that suits.
    pub from: NaiveTime,
    /// The last time that suits.
    pub to: NaiveTime,
}

impl Band {
    /// The band from `low` to `high`.
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// The band without a lower end.
    pub const fn up_to(high: f64) -> Self {
        Self::new(f64::NEG_INFINITY, high)
    }

    /// The band without an upper end.
    pub const fn from(low: f64) -> Self {
        Self::new(low, f64::INFINITY)
    }

    /// Whether `value` lies in the band, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}
