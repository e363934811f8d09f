//! Moments as people type them.

use super::calendar::CalendarTime;
use super::clock_band::clock_time;
use super::date::{is_known_year, parse_date};
use super::fixed_offset::offset_text;
use super::value_error::{ValueError, shown};
use super::zone::{LocalReading, LocalTime, Zone};
use crate::ephemeris::{Moment, is_end_of_leap_second};
use chrono::{DateTime, NaiveDateTime, NaiveTime, Timelike, Utc};

impl Zone {
    /// The moment in `text`: RFC 3339 with an offset or `Z`, or the local time
    /// here as `YYYY-MM-DDTHH:MM[:SS]` (a space may stand for the `T`), from
    /// 1900 to 2099.
    ///
    /// # Errors
    ///
    /// Text of another form, dates outside those years, a second 60 where UTC
    /// has no leap second, and local times that a clock change skips or
    /// repeats: the error offers the choices.
    pub fn parse_time(self, text: &str) -> Result<Moment, ValueError> {
        let text = text.trim();
        let refuse = || {
            ValueError::new(
                text,
                "a time YYYY-MM-DDTHH:MM, local, or with Z or an offset, from 1900 to 2099",
            )
            .with_remedy(remedy(text))
        };
        // A fraction of the last second of 2099 may round into 2100.
        let known = |moment: Moment| {
            let inside = is_known_year(self.local_date(moment));
            inside.then_some(moment).ok_or_else(refuse)
        };
        let counted = |moment, is_60| {
            known(moment)
                .and_then(|moment| after_second_60(text, moment, is_60))
                .and_then(known)
        };
        if let Some(utc) = with_offset(text) {
            let (utc, is_60) = before_second_60(utc);
            return counted(Moment::from_utc(utc), is_60);
        }
        let (local, is_60) = without_offset(text)
            .filter(|local| is_known_year(local.date()))
            .map(before_second_60)
            .ok_or_else(refuse)?;
        let written = |reading: LocalReading| reading.written(local);
        match self.resolve(local) {
            LocalTime::Once(moment) => counted(moment, is_60),
            LocalTime::Skipped([before, after]) => Err(ValueError::new(
                text,
                format!("a time that the clocks in {} show", self.name()),
            )
            .with_remedy(format!(
                "they jump over this one: write {} ({} there) or {} ({} there)",
                self.local(after.moment).format("%Y-%m-%dT%H:%M:%S"),
                offset_text(self.offset_seconds_at(after.moment)),
                self.local(before.moment).format("%Y-%m-%dT%H:%M:%S"),
                offset_text(self.offset_seconds_at(before.moment)),
            ))),
            LocalTime::Twice([first, second]) => Err(ValueError::new(
                text,
                format!("a time that the clocks in {} show once", self.name()),
            )
            .with_remedy(format!(
                "they show it twice: write {} or {}",
                written(first),
                written(second),
            ))),
        }
    }
}

impl Zone {
    /// The moment at which the clocks here show a time of day, `23:40`, from
    /// `start` to `end` of a night; of several the one nearest to `now`. `None`
    /// if `text` is no time of day.
    ///
    /// # Errors
    ///
    /// A time that the clocks jump over in that night: the error offers the
    /// choices.
    pub fn time_in_night(
        self,
        text: &str,
        now: Moment,
        start: Moment,
        end: Moment,
    ) -> Result<Option<Moment>, ValueError> {
        let Some(time) = clock_time(text) else {
            return Ok(None);
        };
        let first = self.local_date(start);
        let dates = first.iter_days().take(3).map(|date| date.and_time(time));
        let moments = |local: NaiveDateTime| match self.resolve(local) {
            LocalTime::Once(moment) => vec![moment],
            LocalTime::Twice(both) => both.iter().map(|reading| reading.moment).collect(),
            LocalTime::Skipped(_) => Vec::new(),
        };
        let away = |moment: &Moment| (moment.seconds() - now.seconds()).abs();
        let nearest = dates
            .clone()
            .flat_map(moments)
            .filter(|moment| start <= *moment && *moment < end)
            .min_by(|a, b| away(a).total_cmp(&away(b)));
        if let Some(moment) = nearest {
            return Ok(Some(moment));
        }
        let is_skipped = |local: &NaiveDateTime| {
            matches!(self.resolve(*local), LocalTime::Skipped([before, _])
                if start <= before.moment && before.moment < end)
        };
        match dates.clone().find(is_skipped) {
            Some(local) => {
                let whole = local.format("%Y-%m-%dT%H:%M:%S").to_string();
                let found = shown(text.trim());
                let told = |error| ValueError { found, ..error };
                self.parse_time(&whole).map(Some).map_err(told)
            }
            None => Ok(None),
        }
    }
}

impl LocalReading {
    /// `local` with this reading's offset, or in UTC where an offset has
    /// seconds, which RFC 3339 cannot write.
    fn written(self, local: NaiveDateTime) -> String {
        if self.offset_seconds % 60 == 0 {
            let offset = offset_text(self.offset_seconds);
            format!("{}{offset}", local.format("%Y-%m-%dT%H:%M:%S"))
        } else {
            self.moment
                .to_utc()
                .format("%Y-%m-%dT%H:%M:%SZ")
                .to_string()
        }
    }
}

/// The time one second earlier if its second is 60, and whether it is: 60 is
/// read as 59 plus one second.
fn before_second_60<T: Timelike>(time: T) -> (T, bool) {
    const WHOLE: u32 = 1_000_000_000;
    match time.nanosecond().checked_sub(WHOLE) {
        Some(part) => (time.with_nanosecond(part).unwrap_or(time), true),
        None => (time, false),
    }
}

/// The moment one second later if the second typed was 60.
///
/// # Errors
///
/// A second 60 where UTC has none.
fn after_second_60(text: &str, moment: Moment, is_60: bool) -> Result<Moment, ValueError> {
    if !is_60 {
        return Ok(moment);
    }
    let later = moment.plus_seconds(1.0);
    if is_end_of_leap_second(Moment::from_seconds(later.seconds().floor())) {
        return Ok(later);
    }
    let expected = "seconds from 00 to 59, or 60 where UTC has a leap second";
    // Neither hours, minutes nor offsets have a 60.
    let remedy = format!("write {}", text.replace(":60", ":59"));
    Err(ValueError::new(text, expected).with_remedy(remedy))
}

/// A time in a calendar: local, or RFC 3339 with an offset or `Z`, from 1900 to
/// 2099.
///
/// # Errors
///
/// Text of another form, and dates outside those years.
pub(crate) fn calendar_time(text: &str) -> Result<CalendarTime, ValueError> {
    let time = match with_offset(text) {
        Some(utc) => Some(CalendarTime::At(Moment::from_utc(utc))),
        None => without_offset(text).map(CalendarTime::Local),
    };
    let time = time.filter(|time| is_known_year(time.date()));
    time.ok_or_else(|| {
        let expected = "a time YYYY-MM-DDTHH:MM, local, or with Z or an offset, from 1900 to 2099";
        ValueError::new(text, expected).with_remedy(remedy(text))
    })
}

/// A time that is meant as UTC: RFC 3339 with `Z`, with an offset of nothing or
/// without one, from 1900 to 2099.
///
/// # Errors
///
/// Text of another form, another offset, and dates outside those years.
pub(crate) fn utc_time(text: &str) -> Result<Moment, ValueError> {
    let expected = "a time in UTC, YYYY-MM-DDTHH:MM, with Z or without, from 1900 to 2099";
    let offset = with_offset(text);
    let is_utc = ["Z", "z", "+00:00", "-00:00"];
    if let Some(utc) = offset.filter(|_| !is_utc.iter().any(|end| text.ends_with(end))) {
        let meant = utc.format("%Y-%m-%dT%H:%M:%SZ");
        return Err(ValueError::new(text, expected).with_remedy(format!("write {meant}")));
    }
    let time = offset.or_else(|| without_offset(text).map(|time| time.and_utc()));
    let time = time.filter(|time| is_known_year(time.date_naive()));
    time.map(Moment::from_utc)
        .ok_or_else(|| ValueError::new(text, expected).with_remedy(remedy(text)))
}

/// What to do about `text`, which is no time in our form.
fn remedy(text: &str) -> String {
    if parse_date(text).is_ok() {
        return format!("the time of day is missing: write {text}T21:30");
    }
    if NaiveTime::parse_from_str(text, "%H:%M").is_ok() {
        return format!("the date is missing: write 2027-05-13T{text}");
    }
    "for example 2027-05-13T21:30".to_owned()
}

fn with_offset(text: &str) -> Option<DateTime<Utc>> {
    if let Ok(time) = DateTime::parse_from_rfc3339(text) {
        return Some(time.to_utc());
    }
    // Seconds may be left out, as in a local time.
    let text = match text.strip_suffix(['Z', 'z']) {
        Some(stem) => format!("{stem}+00:00"),
        None => text.to_owned(),
    };
    ["%Y-%m-%dT%H:%M%:z", "%Y-%m-%d %H:%M%:z"]
        .iter()
        .find_map(|form| DateTime::parse_from_str(&text, form).ok())
        .map(|time| time.to_utc())
}

fn without_offset(text: &str) -> Option<NaiveDateTime> {
    [
        "%Y-%m-%dT%H:%M:%S%.f",
        "%Y-%m-%d %H:%M:%S%.f",
        "%Y-%m-%dT%H:%M",
        "%Y-%m-%d %H:%M",
    ]
    .iter()
    .find_map(|form| NaiveDateTime::parse_from_str(text, form).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(zone_name: &str, text: &str) -> String {
        match Zone::named(zone_name).and_then(|zone| zone.parse_time(text)) {
            Ok(moment) => moment.to_utc().format("%Y-%m-%dT%H:%M:%SZ").to_string(),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn times_are_read_with_and_without_offset() {
        for text in [
            "2027-05-13T22:00",
            "2027-05-13 22:00:00",
            "2027-05-13T12:30:00Z",
            "2027-05-13T12:30Z",
            "2027-05-13T14:30:00+02:00",
            "2027-05-13 14:30+02:00",
        ] {
            assert_eq!(
                read("Australia/Adelaide", text),
                "2027-05-13T12:30:00Z",
                "{text}"
            );
        }
    }

    #[test]
    fn skipped_and_repeated_times_offer_the_choices() {
        // Clock changes of South Australia: first Sunday of October and April
        // (Daylight Saving Act 1971, SA).
        assert_eq!(
            read("Australia/Adelaide", "2027-10-03T02:30"),
            "found 2027-10-03T02:30, expected a time that the clocks in Australia/Adelaide show; \
             they jump over this one: write 2027-10-03T01:30:00 (+09:30 there) or \
             2027-10-03T03:30:00 (+10:30 there)"
        );
        assert_eq!(
            read("Australia/Adelaide", "2027-04-04T02:30"),
            "found 2027-04-04T02:30, expected a time that the clocks in Australia/Adelaide show \
             once; they show it twice: write 2027-04-04T02:30:00+10:30 or \
             2027-04-04T02:30:00+09:30"
        );
        // Lord Howe moves its clocks by half an hour only.
        assert_eq!(
            read("Australia/Lord_Howe", "2027-04-04T01:45"),
            "found 2027-04-04T01:45, expected a time that the clocks in Australia/Lord_Howe show \
             once; they show it twice: write 2027-04-04T01:45:00+11:00 or \
             2027-04-04T01:45:00+10:30"
        );
        assert_eq!(
            read("Australia/Lord_Howe", "2027-04-04T02:00"),
            "2027-04-03T15:30:00Z"
        );
        assert_eq!(
            read("Australia/Lord_Howe", "2027-04-04T01:29:59"),
            "2027-04-03T14:29:59Z"
        );
    }

    /// Leap seconds after IERS Bulletins C: one at the end of 2016, none in 2027.
    #[test]
    fn second_60_is_taken_where_utc_has_it() {
        for (zone, text) in [
            ("UTC", "2016-12-31T23:59:60Z"),
            ("UTC", "2016-12-31T23:59:60"),
            ("UTC", "2017-01-01T09:59:60+10:00"),
            ("Australia/Adelaide", "2017-01-01T10:29:60"),
            ("UTC", "1972-06-30T23:59:60Z"),
        ] {
            let end = if text.starts_with("1972") {
                "1972-07-01"
            } else {
                "2017-01-01"
            };
            assert_eq!(read(zone, text), format!("{end}T00:00:00Z"), "{text}");
        }
        let expected = "seconds from 00 to 59, or 60 where UTC has a leap second";
        for (text, remedy) in [
            ("2027-06-10T12:34:60Z", "2027-06-10T12:34:59Z"),
            ("2027-06-10T12:34:60", "2027-06-10T12:34:59"),
            ("2027-06-10 12:34:60.5", "2027-06-10 12:34:59.5"),
            ("2016-12-31T23:59:60+00:30", "2016-12-31T23:59:59+00:30"),
            ("2099-12-31T23:59:60Z", "2099-12-31T23:59:59Z"),
            ("1971-12-31T23:59:60Z", "1971-12-31T23:59:59Z"),
        ] {
            let error = format!("found {text}, expected {expected}; write {remedy}");
            assert_eq!(read("UTC", text), error);
            assert!(read("UTC", remedy).ends_with('Z'), "{remedy}");
        }
        // In 1899 at the site, which matters more than the second 60.
        let early = read("Australia/Adelaide", "1900-01-01T00:59:60+10:30");
        assert!(early.ends_with("; for example 2027-05-13T21:30"), "{early}");
    }

    #[test]
    fn the_range_of_years_is_kept() {
        assert_eq!(read("UTC", "1900-01-01T00:00:00Z"), "1900-01-01T00:00:00Z");
        assert_eq!(read("UTC", "2099-12-31T23:59"), "2099-12-31T23:59:00Z");
        let expected = "a time YYYY-MM-DDTHH:MM, local, or with Z or an offset, from 1900 to 2099";
        let example = "for example 2027-05-13T21:30";
        for (text, remedy) in [
            ("2100-01-01T00:00", example),
            ("1899-12-31T23:59:59Z", example),
            (
                "2027-05-13",
                "the time of day is missing: write 2027-05-13T21:30",
            ),
            ("22:00", "the date is missing: write 2027-05-13T22:00"),
            ("2027-05-13T25:00", example),
            ("+262142-01-01T00:00", example),
            ("now", example),
        ] {
            assert_eq!(
                read("UTC", text),
                format!("found {text}, expected {expected}; {remedy}")
            );
        }
    }
}
