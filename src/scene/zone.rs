//! Civil time. The only file that knows time zones; their data are next door.

use super::clock_rule::ClockRule;
use super::fixed_offset::{fixed_offset, offset_name, offset_remedy};
use super::nearest::nearest;
use super::value_error::ValueError;
use super::zone_data::{VERSION, ZoneId};
use crate::ephemeris::Moment;
use chrono::{DateTime, NaiveDate, NaiveDateTime};

/// The civil time of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Zone(Clocks);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Clocks {
    /// Those of a zone of the IANA data.
    Named(ZoneId),
    /// Always so many minutes ahead of UTC, never 0.
    Fixed(i32),
}

/// What a local time means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LocalTime {
    /// The clocks show it once.
    Once(Moment),
    /// The clocks jump over it; the two readings use the offset before and
    /// after the jump.
    Skipped([LocalReading; 2]),
    /// The clocks show it twice, the earlier one first.
    Twice([LocalReading; 2]),
}

/// One way to read a local time.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LocalReading {
    /// The moment it means.
    pub moment: Moment,
    /// Seconds by which local time is ahead of UTC in this reading.
    pub offset_seconds: i32,
}

impl Zone {
    /// Coordinated Universal Time.
    pub const UTC: Self = Self(Clocks::Named(ZoneId::UTC));

    /// The zone of an IANA name, letter case ignored, or of an offset from UTC
    /// that never changes: `+05:30`, `-8`, `UTC+5:30`.
    ///
    /// # Errors
    ///
    /// A name that the zone data doesn't have; the nearest one is offered. An
    /// offset of more than 14 hours.
    pub fn named(name: &str) -> Result<Self, ValueError> {
        let name = name.trim();
        if let Some(zone) = ZoneId::named(name) {
            return Ok(Self(Clocks::Named(zone)));
        }
        if let Some(zone) = fixed_offset(name).and_then(Self::of_offset_minutes) {
            return Ok(zone);
        }
        let expected = "an IANA time zone such as Australia/Adelaide or UTC, or an offset such as \
                        +09:30";
        let error = ValueError::new(name, expected);
        let is_offset = name.contains(|character: char| character.is_ascii_digit());
        let is_abbreviation =
            name.len() <= 5 && !name.is_empty() && name.chars().all(|c| c.is_ascii_uppercase());
        let near = nearest_zone(name).filter(|_| !is_offset && !is_abbreviation);
        Err(error.with_remedy(match near {
            Some(near) => format!("did you mean {near}?"),
            None if is_offset => offset_remedy(name),
            None if is_abbreviation => {
                "give the zone of a city: many zones share such letters".to_owned()
            }
            None => "give the zone of a city, or UTC".to_owned(),
        }))
    }

    /// The zone that is always so many minutes ahead of UTC, 14 hours at most.
    pub(crate) fn of_offset_minutes(minutes: i32) -> Option<Self> {
        match minutes {
            0 => Some(Self::UTC),
            _ => offset_name(minutes).map(|_| Self(Clocks::Fixed(minutes))),
        }
    }

    /// Its IANA name, or its offset as `+05:30`; [`Self::named`] reads both.
    pub fn name(self) -> &'static str {
        match self.0 {
            Clocks::Named(zone) => zone.name(),
            Clocks::Fixed(minutes) => offset_name(minutes).unwrap_or("UTC"),
        }
    }

    /// Seconds by which local time is ahead of UTC at `moment`.
    pub fn offset_seconds_at(self, moment: Moment) -> i32 {
        self.offset_at(moment.unix_seconds())
    }

    /// How the clocks go at `moment`.
    pub fn clock_at(self, moment: Moment) -> ClockRule {
        let zone = match self.0 {
            Clocks::Named(zone) => zone,
            Clocks::Fixed(minutes) => return ClockRule::fixed(60 * minutes),
        };
        let setting = zone.setting_at(moment.unix_seconds());
        ClockRule {
            offset_seconds: setting.offset_seconds(),
            saving_seconds: i64::from(setting.saving_seconds()),
            abbreviation: setting.abbreviation().map(str::to_owned),
        }
    }

    /// Local date and time at `moment`, rounded to the second.
    pub fn local(self, moment: Moment) -> NaiveDateTime {
        let unix = moment.unix_seconds();
        let shown = unix + i64::from(self.offset_at(unix));
        DateTime::from_timestamp(shown, 0)
            .unwrap_or_default()
            .naive_utc()
    }

    /// Local date at `moment`.
    pub fn local_date(self, moment: Moment) -> NaiveDate {
        self.local(moment).date()
    }

    /// Whether the clocks show the local time of `moment`, to the second, at
    /// another moment too, as in the repeated hour in autumn.
    pub fn shows_twice(self, moment: Moment) -> bool {
        matches!(self.resolve(self.local(moment)), LocalTime::Twice(_))
    }

    /// What the local time `local` means here.
    pub fn resolve(self, local: NaiveDateTime) -> LocalTime {
        // No zone has ever been as much as 26 hours off UTC, so the moments
        // that can show `local` lie within this span.
        let near = Moment::from_utc(local.and_utc());
        let (from, to) = (near.plus_seconds(-93_600.0), near.plus_seconds(93_600.0));
        let reading = |offset_seconds: i32| LocalReading {
            moment: near.plus_seconds(-f64::from(offset_seconds)),
            offset_seconds,
        };
        let mut before = reading(self.offset_seconds_at(from));
        let mut shown = Vec::with_capacity(2);
        let mut gap = None;
        let mut begins = from;
        for (change, offset_seconds) in self.offset_changes(from, to) {
            let after = reading(offset_seconds);
            if begins <= before.moment && before.moment < change {
                shown.push(before);
            }
            if before.moment >= change && after.moment < change {
                gap = Some([before, after]);
            }
            (before, begins) = (after, change);
        }
        if begins <= before.moment {
            shown.push(before);
        }
        match (shown.as_slice(), gap) {
            ([first, second, ..], _) => LocalTime::Twice([*first, *second]),
            ([], Some(readings)) => LocalTime::Skipped(readings),
            ([only], _) => LocalTime::Once(only.moment),
            // Not reached: a time that is not shown lies in a gap.
            ([], None) => LocalTime::Once(before.moment),
        }
    }

    /// The moments after `from` and up to `to` at which the offset from UTC
    /// changes, to the second, each with the new offset in seconds.
    ///
    /// The zone data has none after 2099.
    pub fn offset_changes(self, from: Moment, to: Moment) -> Vec<(Moment, i32)> {
        let Clocks::Named(zone) = self.0 else {
            return Vec::new();
        };
        let (from, to) = (from.unix_seconds(), to.unix_seconds());
        let mut before = self.offset_at(from);
        let mut changes = Vec::new();
        for (unix, setting) in zone.changes_within(from, to) {
            let offset_seconds = setting.offset_seconds();
            // The letters alone may have changed.
            if offset_seconds != before {
                changes.push((Moment::from_unix_seconds(unix), offset_seconds));
            }
            before = offset_seconds;
        }
        changes
    }

    /// The Unix time until which the clocks go as they do at another.
    pub(super) fn next_change(self, unix: i64) -> i64 {
        let change = match self.0 {
            Clocks::Named(zone) => zone.next_change(unix),
            Clocks::Fixed(_) => None,
        };
        change.unwrap_or(i64::MAX)
    }

    fn offset_at(self, unix: i64) -> i32 {
        match self.0 {
            Clocks::Named(zone) => zone.setting_at(unix).offset_seconds(),
            Clocks::Fixed(minutes) => 60 * minutes,
        }
    }
}

/// The version of the IANA zone data in use, such as `2025b`.
pub fn zone_data_version() -> &'static str {
    VERSION
}

/// The zone whose name, or whose city, is most like `name`.
fn nearest_zone(name: &str) -> Option<&'static str> {
    let name = name.replace(' ', "_");
    let names = || ZoneId::all().map(ZoneId::name);
    let city = |zone: &'static str| zone.rsplit('/').next().unwrap_or(zone);
    let typed_city = name.rsplit('/').next().unwrap_or(&name);
    names()
        .find(|zone| city(zone).eq_ignore_ascii_case(typed_city))
        .or_else(|| nearest(&name, names()))
        .or_else(|| {
            let near = nearest(typed_city, names().map(city))?;
            names().find(|zone| city(zone) == near)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zone(name: &str) -> Zone {
        Zone::named(name).expect("a zone of the data")
    }

    fn utc(moment: Moment) -> String {
        moment.to_utc().format("%Y-%m-%dT%H:%M:%SZ").to_string()
    }

    #[test]
    fn names_are_found_and_slips_are_asked_about() {
        assert_eq!(zone("australia/adelaide").name(), "Australia/Adelaide");
        let ask = |name: &str| Zone::named(name).expect_err(name).to_string();
        let expected = "expected an IANA time zone such as Australia/Adelaide or UTC, or an offset \
                        such as +09:30";
        for (name, near) in [
            ("Adelaide", "Australia/Adelaide"),
            ("Australia/Adelade", "Australia/Adelaide"),
            ("Europe/Zürich", "Europe/Zurich"),
            ("America/lord howe", "Australia/Lord_Howe"),
        ] {
            assert_eq!(
                ask(name),
                format!("found {name}, {expected}; did you mean {near}?")
            );
        }
        for (name, remedy) in [
            (
                "+14:30",
                "give the zone of a city, or an offset of at most 14 hours",
            ),
            ("gmt-3", "write -03:00"),
            (
                "ACST",
                "give the zone of a city: many zones share such letters",
            ),
            ("Mars/Olympus_Mons", "give the zone of a city, or UTC"),
        ] {
            assert_eq!(ask(name), format!("found {name}, {expected}; {remedy}"));
        }
    }

    #[test]
    fn an_offset_is_a_zone_whose_clocks_never_change() {
        let india = zone("UTC+5:30");
        assert_eq!(india.name(), "+05:30");
        assert_eq!(zone(india.name()), india);
        let noon = "2027-07-01T12:00:00".parse().expect("a time");
        let LocalTime::Once(moment) = india.resolve(noon) else {
            panic!("a fixed offset skips and repeats nothing");
        };
        assert_eq!(utc(moment), "2027-07-01T06:30:00Z");
        assert_eq!(india.local(moment), noon);
        let (from, to) = (Moment::from_seconds(0.0), Moment::from_seconds(1e9));
        assert_eq!(india.offset_changes(from, to), []);
        assert_eq!(india.offset_seconds_at(from), 19_800);
        assert_eq!(zone("+00:00"), Zone::UTC);
        assert_eq!(zone("Etc/GMT+7").offset_seconds_at(from), -25_200);
    }

    #[test]
    fn a_day_left_out_of_the_calendar_is_a_skip() {
        // Samoa crossed the date line at the end of 2011-12-29.
        let noon = "2011-12-30T12:00:00".parse().expect("a time");
        let LocalTime::Skipped([before, after]) = zone("Pacific/Apia").resolve(noon) else {
            panic!("2011-12-30 was not left out");
        };
        assert_eq!(
            (before.offset_seconds, after.offset_seconds),
            (-36_000, 50_400)
        );
        let date = |reading: LocalReading| zone("Pacific/Apia").local_date(reading.moment);
        assert_eq!(date(before).to_string(), "2011-12-31");
        assert_eq!(date(after).to_string(), "2011-12-29");
    }

    #[test]
    fn offset_changes_are_found_to_the_second() {
        let moment = |text: &str| zone("UTC").parse_time(text).expect("a time");
        let adelaide = zone("Australia/Adelaide");
        let changes = |from: &str, to: &str| -> Vec<(String, i32)> {
            let found = adelaide.offset_changes(moment(from), moment(to));
            found
                .into_iter()
                .map(|(at, offset)| (utc(at), offset))
                .collect()
        };
        assert_eq!(
            changes("2027-01-01T00:00Z", "2028-01-01T00:00Z"),
            [
                ("2027-04-03T16:30:00Z".to_owned(), 34_200),
                ("2027-10-02T16:30:00Z".to_owned(), 37_800),
            ]
        );
        assert_eq!(changes("2027-05-13T00:00Z", "2027-05-14T00:00Z"), []);
        assert_eq!(changes("2027-04-03T16:30Z", "2027-04-04T00:00Z"), []);
        assert_eq!(changes("2027-04-03T00:00Z", "2027-04-03T16:30Z").len(), 1);
        let forever = Moment::from_seconds(f64::INFINITY);
        assert_eq!(
            Zone::UTC.offset_changes(Moment::from_seconds(f64::NAN), forever),
            []
        );
    }

    #[test]
    fn every_moment_comes_back_from_its_local_time() {
        for name in [
            "Australia/Lord_Howe",
            "Europe/Zurich",
            "Pacific/Apia",
            "America/Denver",
        ] {
            for step in 0..4000 {
                let moment = Moment::from_seconds(-3.1e9 + f64::from(step) * 1_549_871.0);
                let found = match zone(name).resolve(zone(name).local(moment)) {
                    LocalTime::Once(only) => only == moment,
                    LocalTime::Twice(both) => both.iter().any(|one| one.moment == moment),
                    LocalTime::Skipped(_) => false,
                };
                assert!(found, "{name} {}", utc(moment));
            }
        }
    }
}
