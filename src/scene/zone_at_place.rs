//! Whether a time zone can be that of a place: a lost minus sign puts noon at
//! midnight.

use super::limits::SiteError;
use super::number::tidy;
use super::value_error::ValueError;
use super::zone::Zone;
use crate::ephemeris::Moment;

/// How far the clocks of a zone may be from the time by the Sun, hours.
///
/// The farthest that the world's zones go is 3.1 hours, in the west of China
/// (73.5 E by UTC+8; from memory). A longitude in a degree or two of error stays
/// within it.
const MOST_HOURS: f64 = 3.25;

/// The years whose offsets count are 2000 to 2030, days from the zero of
/// [`Moment`]: summer times too, and times that a place has given up since.
/// Steps of 10 days find even the month in which Morocco leaves its summer
/// time.
const DAYS: std::ops::Range<u32> = 0..11_323;
const STEP_DAYS: usize = 10;

/// South of this no civil zone is that of a place by its longitude: stations
/// keep the time of their supply. The Antarctic Treaty holds south of 60 S.
pub(super) const ANTARCTIC_DEG: f64 = -60.0;

impl Zone {
    /// Whether its name is that of a reference, chosen on purpose, and not of
    /// a place: `UTC`, `Etc/GMT+7`.
    fn is_of_no_place(self) -> bool {
        const NAMES: [&str; 10] = [
            "GMT",
            "GMT+0",
            "GMT-0",
            "GMT0",
            "Greenwich",
            "UCT",
            "UTC",
            "Universal",
            "Zulu",
            "Factory",
        ];
        self.name().starts_with("Etc/") || NAMES.contains(&self.name())
    }

    /// How far its clocks are from the mean time by the Sun at a longitude
    /// (degrees, east positive), hours, at each time of the years that count.
    ///
    /// The date counts as well as the clock, but not for zones that reach the
    /// date line: Kiribati is a day ahead of the Sun, the west of the Aleutians
    /// a day behind.
    fn hours_from_sun(self, longitude_deg: f64) -> impl Iterator<Item = f64> {
        DAYS.step_by(STEP_DAYS).map(move |day| {
            let moment = Moment::from_seconds(f64::from(day) * 86_400.0);
            let offset_hours = f64::from(self.offset_seconds_at(moment)) / 3600.0;
            let hours = (offset_hours - longitude_deg / 15.0).abs();
            if offset_hours > -10.0 && offset_hours < 12.0 {
                hours
            } else {
                hours.min((24.0 - hours).abs())
            }
        })
    }

    fn fits(self, longitude_deg: f64) -> bool {
        self.hours_from_sun(longitude_deg)
            .any(|hours| hours <= MOST_HOURS)
    }
}

/// What is wrong with a zone that somebody gave for a place, if anything: its
/// clocks are hours from the time by the Sun there.
///
/// Zones of no place and those of the Antarctic fit anywhere, and so does any
/// zone in the Antarctic.
pub(crate) fn check_zone(
    zone: Zone,
    latitude_deg: f64,
    longitude_deg: f64,
) -> Result<(), SiteError> {
    let is_antarctic = zone.name().starts_with("Antarctica/") || latitude_deg < ANTARCTIC_DEG;
    if zone.is_of_no_place() || is_antarctic || zone.fits(longitude_deg) {
        return Ok(());
    }
    let hours = zone
        .hours_from_sun(longitude_deg)
        .fold(f64::INFINITY, f64::min);
    let found = format!(
        "{} at longitude {longitude_deg}, {hours:.1} hours from the time by the Sun there",
        zone.name()
    );
    let remedy = if zone.fits(-longitude_deg) {
        let sign = if longitude_deg > 0.0 {
            "west is negative"
        } else {
            "east is positive"
        };
        let meant = tidy(-longitude_deg);
        format!("{sign}: write {meant} for {longitude_deg}")
    } else {
        "check the longitude and the time zone".to_owned()
    };
    let expected = format!("a zone within {MOST_HOURS} hours of it");
    let error = ValueError {
        found,
        ..ValueError::new("", expected)
    };
    Err(SiteError {
        key: "longitude_deg",
        error: error.with_remedy(remedy),
    })
}
