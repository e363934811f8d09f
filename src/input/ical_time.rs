//! Times of the events of an iCalendar file.

use crate::scene::{CalendarTime, LocalTime, ValueError, Zone};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime};

/// A time of an event.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum IcalTime {
    /// A whole day.
    Day(NaiveDate),
    /// What the clocks show: those of the site, or of a zone that is named.
    Clock(NaiveDateTime, Option<Zone>),
}

/// What tells the occurrences of an event apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Occurrence {
    Day(NaiveDate),
    Local(NaiveDateTime),
    /// Seconds of UTC.
    Moment(i64),
}

const EXPECTED: &str = "a day 20270501 or a time 20270501T213000, with Z where it is UTC";
const EXAMPLE: &str = "for example 20270501T213000";

impl IcalTime {
    /// A value of DTSTART and its like.
    ///
    /// # Errors
    ///
    /// Text of another form, and a zone that is not known.
    pub fn parse(parameters: &[(String, &str)], text: &str) -> Result<Self, ValueError> {
        let refuse = || ValueError::new(text, EXPECTED).with_remedy(EXAMPLE);
        if !text.is_ascii() || text.contains(['+', ' ']) {
            return Err(refuse());
        }
        let (text_of_time, utc) = match text.strip_suffix(['Z', 'z']) {
            Some(stem) => (stem, true),
            None => (text, false),
        };
        if text_of_time.len() == 8 && !utc {
            let day = NaiveDate::parse_from_str(text, "%Y%m%d").map_err(|_| refuse())?;
            return Ok(Self::Day(day));
        }
        if text_of_time.len() != 15 {
            return Err(refuse());
        }
        let time = NaiveDateTime::parse_from_str(text_of_time, "%Y%m%dT%H%M%S");
        let time = time.map_err(|_| refuse())?;
        let zone = parameters.iter().find(|(name, _)| name == "TZID");
        let zone = match zone {
            _ if utc => Some(Zone::UTC),
            Some((_, name)) => Some(zone_of(name)?),
            None => None,
        };
        Ok(Self::Clock(time, zone))
    }

    pub fn date(self) -> NaiveDate {
        match self {
            Self::Day(day) => day,
            Self::Clock(time, _) => time.date(),
        }
    }

    pub fn calendar_time(self) -> CalendarTime {
        match self {
            Self::Day(day) => CalendarTime::Local(day.and_time(NaiveTime::MIN)),
            Self::Clock(time, None) => CalendarTime::Local(time),
            Self::Clock(time, Some(zone)) => {
                CalendarTime::At(CalendarTime::Local(time).moment(zone))
            }
        }
    }

    pub fn occurrence(self) -> Occurrence {
        match (self, self.calendar_time()) {
            (Self::Day(day), _) => Occurrence::Day(day),
            (_, CalendarTime::Local(time)) => Occurrence::Local(time),
            (_, CalendarTime::At(moment)) => Occurrence::Moment(moment.seconds().round() as i64),
        }
    }

    /// The same time of day in the same zone on another date.
    pub fn on(self, date: NaiveDate) -> Self {
        match self {
            Self::Day(_) => Self::Day(date),
            Self::Clock(time, zone) => Self::Clock(date.and_time(time.time()), zone),
        }
    }

    /// Whether it is not after an UNTIL.
    pub fn is_until(self, until: Self) -> bool {
        match (self, until) {
            (Self::Clock(time, own), Self::Clock(until, zone))
                if own.is_none() || zone.is_none() =>
            {
                // Standard UNTIL of a time without a zone has none either.
                time <= local_in(until, zone, own)
            }
            (Self::Clock(..), Self::Clock(..)) => {
                let seconds = |time: Self| match time.calendar_time() {
                    CalendarTime::At(moment) => moment.seconds(),
                    CalendarTime::Local(_) => 0.0,
                };
                seconds(self) <= seconds(until)
            }
            (own, until) => own.date() <= until.date(),
        }
    }
}

/// A time of `zone` as the clocks of `own` show it; as it is where one of them
/// is not known.
pub(super) fn local_in(
    time: NaiveDateTime,
    zone: Option<Zone>,
    own: Option<Zone>,
) -> NaiveDateTime {
    match (zone, own) {
        (Some(zone), Some(own)) => match zone.resolve(time) {
            LocalTime::Once(moment) => own.local(moment),
            LocalTime::Skipped([reading, _]) | LocalTime::Twice([reading, _]) => {
                own.local(reading.moment)
            }
        },
        _ => time,
    }
}

/// The zone of a TZID: an IANA name, alone or behind a maker's prefix.
fn zone_of(name: &str) -> Result<Zone, ValueError> {
    let parts: Vec<&str> = name.split('/').collect();
    let longest = parts.len().min(3);
    let mut ends = (1..=longest).rev().filter_map(|count| {
        let from = parts.len().checked_sub(count)?;
        // A city alone is no name, but UTC is.
        let whole = count == parts.len() || count > 1;
        whole.then(|| parts.get(from..).map(|end| end.join("/")))?
    });
    let known = ends.find_map(|end| Zone::named(&end).ok());
    known.map_or_else(|| Zone::named(name), Ok)
}
