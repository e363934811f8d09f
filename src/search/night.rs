//! Nights: from local solar noon to the next.

use crate::{
    ephemeris::Moment,
    scene::{LocalDates, Site, Zone},
};
use chrono::NaiveDate;

/// Seconds of time in a degree of longitude.
const SECONDS_A_DEGREE: f64 = 240.0;
const DAY_SECONDS: f64 = 86_400.0;

/// One night of a site: from local mean solar noon (12:00 UTC less four minutes
/// per degree of east longitude) to the next.
///
/// Mean noon, not the Sun's true transit, keeps all nights equally long and
/// gives every civil date one night whatever the equation of time does; it
/// differs by up to 16 minutes, which does not matter at noon.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Night {
    /// Its name: the civil date at its beginning, in the site's zone.
    #[serde(serialize_with = "crate::serial::date")]
    pub date: NaiveDate,
    /// Its beginning.
    pub start: Moment,
    /// Its end, 24 hours later.
    pub end: Moment,
}

impl Night {
    /// The night of `date` at a site; `None` if the zone's calendar skips that
    /// date.
    pub fn of(site: &Site, date: NaiveDate) -> Option<Self> {
        nights(site.longitude_deg, site.zone, date, date).next()
    }

    /// The night at a longitude that a moment belongs to.
    pub fn at(longitude_deg: f64, zone: Zone, moment: Moment) -> Self {
        let day = (moment.seconds() + longitude_deg * SECONDS_A_DEGREE) / DAY_SECONDS;
        Self::of_day(longitude_deg, |start| zone.local_date(start), day.floor())
    }

    /// The night that begins so many days after 2000-01-01.
    fn of_day(longitude_deg: f64, date: impl FnOnce(Moment) -> NaiveDate, day: f64) -> Self {
        let start = day * DAY_SECONDS - longitude_deg * SECONDS_A_DEGREE;
        let start = Moment::from_seconds(start);
        Self {
            date: date(start),
            start,
            end: start.plus_seconds(DAY_SECONDS),
        }
    }
}

/// The nights from `first` to `last`, both included.
pub fn nights(
    longitude_deg: f64,
    zone: Zone,
    first: NaiveDate,
    last: NaiveDate,
) -> impl Iterator<Item = Night> {
    let day_number = |date: NaiveDate| {
        NaiveDate::from_ymd_opt(2000, 1, 1).map_or(0, |epoch| (date - epoch).num_days())
    };
    let mut dates = LocalDates::of(zone);
    // A zone may differ by up to a day from its longitude's own time.
    (day_number(first) - 2..=day_number(last) + 2)
        .map(move |day| Night::of_day(longitude_deg, |start| dates.date(start), day as f64))
        .filter(move |night| first <= night.date && night.date <= last)
}
