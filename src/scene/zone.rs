//! Civil time. The only file that knows time zones.

use chrono_tz::Tz;

/// The civil time of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Zone(Tz);

impl Zone {
    /// Coordinated Universal Time.
    pub const UTC: Self = Self(Tz::UTC);
}
