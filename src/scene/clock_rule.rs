//! How the clocks of a zone go.

/// How the clocks of a zone go at a moment.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ClockRule {
    /// Seconds by which local time is ahead of UTC.
    pub offset_seconds: i32,
    /// Seconds of these by which it is ahead of the zone's standard time; less
    /// than 0 where winter time is behind it.
    pub saving_seconds: i64,
    /// Its letters, such as CEST; none where people have none for it.
    pub abbreviation: Option<String>,
}

impl ClockRule {
    /// Clocks that are always so far ahead of UTC.
    pub(super) const fn fixed(offset_seconds: i32) -> Self {
        Self {
            offset_seconds,
            saving_seconds: 0,
            abbreviation: None,
        }
    }
}
