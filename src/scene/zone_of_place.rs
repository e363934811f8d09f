//! The time zone of a place whose zone nobody gave.

use super::limits::SiteError;
use super::value_error::ValueError;
use super::zone::Zone;
use super::zone_at_place::ANTARCTIC_DEG;
use super::zone_cells::{Cell, WITHIN_KM, cell_at};
use crate::ephemeris::Moment;

/// Where the time zone of a site comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ZoneFrom {
    /// Somebody gave it.
    Given,
    /// It was looked up from the place.
    Place,
    /// No zone holds the place, at sea or in the Antarctic: whole hours by its
    /// longitude, as ships keep them.
    Longitude,
    /// Nobody gave it and nobody looked: UTC.
    Nobody,
}

impl ZoneFrom {
    /// In one word, for machines.
    pub const WORDS: &'static [&'static str] = &["given", "place", "longitude", "utc"];

    /// Its word of [`Self::WORDS`].
    pub fn word(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Place => "place",
            Self::Longitude => "longitude",
            Self::Nobody => "utc",
        }
    }
}

/// A place that does not tell its time zone.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ZoneUnclear {
    /// The zones that it may be in, two at least, whose clocks differ.
    pub zones: Vec<&'static str>,
    /// Whether it is near the border between them; else all are in use there.
    pub at_border: bool,
}

impl ZoneUnclear {
    /// What to say; `remedy` is how each of the zones is typed.
    pub fn to_error(&self, remedy: impl Fn(&str) -> String) -> ValueError {
        let zones = self.zones.join(" and ");
        let found = if self.at_border {
            format!("a place within {WITHIN_KM} km of the border between {zones}")
        } else {
            format!("a place where clocks go by {zones}")
        };
        let typed: Vec<String> = self.zones.iter().map(|zone| remedy(zone)).collect();
        let error = ValueError {
            found,
            ..ValueError::new("", "a time zone")
        };
        error.with_remedy(typed.join(" or "))
    }

    /// The same as an error of a site's key.
    pub(crate) fn to_site_error(&self, remedy: impl Fn(&str) -> String) -> SiteError {
        SiteError {
            key: "time_zone",
            error: self.to_error(remedy),
        }
    }
}

/// The time zone of a place (degrees, north and east positive), and how it is
/// known: that of its country or province, at sea and in the Antarctic whole
/// hours by the longitude.
///
/// # Errors
///
/// A place near a border at which clocks change, or where several clocks are in
/// use.
///
/// # Example
///
/// ```
/// use rakelight::scene::{ZoneFrom, zone_of_place};
/// let (zone, from) = zone_of_place(40.0, -105.0).expect("far from a border");
/// assert_eq!((zone.name(), from), ("America/Denver", ZoneFrom::Place));
/// ```
pub fn zone_of_place(
    latitude_deg: f64,
    longitude_deg: f64,
) -> Result<(Zone, ZoneFrom), ZoneUnclear> {
    let by_longitude = (nautical(longitude_deg), ZoneFrom::Longitude);
    if latitude_deg < ANTARCTIC_DEG {
        return Ok(by_longitude);
    }
    let (names, at_border) = match cell_at(latitude_deg, longitude_deg) {
        Cell::None => return Ok(by_longitude),
        Cell::One(name) => (name, false),
        Cell::Several { names, at_border } => (names, at_border),
    };
    let zones = || names.split(' ').filter_map(|name| Zone::named(name).ok());
    let Some(first) = zones().next() else {
        return Ok(by_longitude);
    };
    if zones().skip(1).all(|other| first.keeps_clocks_of(other)) {
        return Ok((first, ZoneFrom::Place));
    }
    Err(ZoneUnclear {
        zones: zones().map(Zone::name).collect(),
        at_border,
    })
}

/// The zone of ships at a longitude: the nearest whole hour to the mean time by
/// the Sun (common practice).
fn nautical(longitude_deg: f64) -> Zone {
    Zone::of_offset_minutes(60 * (longitude_deg / 15.0).round() as i32).unwrap_or(Zone::UTC)
}

/// The years in which zones must agree to keep the same clocks, 2000 to 2099, as
/// [`Moment`]s.
fn years() -> (Moment, Moment) {
    let from = Moment::from_seconds(0.0);
    (from, from.plus_seconds(36_525.0 * 86_400.0))
}

impl Zone {
    /// Whether both have the same offset from UTC at any time of the years
    /// 2000 to 2099.
    pub(crate) fn keeps_clocks_of(self, other: Self) -> bool {
        let (from, to) = years();
        self == other
            || (self.offset_seconds_at(from) == other.offset_seconds_at(from)
                && self.offset_changes(from, to) == other.offset_changes(from, to))
    }
}
