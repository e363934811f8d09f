//! The events of an iCalendar file, and when they take place.

use super::read_ical::times;
use super::recurrence::{Recurrence, Until};
use crate::scene::{Calendar, CalendarPeriod, CalendarTime, LocalTime, ValueError, YEARS, Zone};
use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use std::collections::{BTreeMap, BTreeSet};

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
enum Occurrence {
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

    fn date(self) -> NaiveDate {
        match self {
            Self::Day(day) => day,
            Self::Clock(time, _) => time.date(),
        }
    }

    fn calendar_time(self) -> CalendarTime {
        match self {
            Self::Day(day) => CalendarTime::Local(day.and_time(NaiveTime::MIN)),
            Self::Clock(time, None) => CalendarTime::Local(time),
            Self::Clock(time, Some(zone)) => {
                CalendarTime::At(CalendarTime::Local(time).moment(zone))
            }
        }
    }

    fn occurrence(self) -> Occurrence {
        match (self, self.calendar_time()) {
            (Self::Day(day), _) => Occurrence::Day(day),
            (_, CalendarTime::Local(time)) => Occurrence::Local(time),
            (_, CalendarTime::At(moment)) => Occurrence::Moment(moment.seconds().round() as i64),
        }
    }

    /// The same time of day in the same zone on another date.
    fn on(self, date: NaiveDate) -> Self {
        match self {
            Self::Day(_) => Self::Day(date),
            Self::Clock(time, zone) => Self::Clock(date.and_time(time.time()), zone),
        }
    }

    /// Whether it is not after an UNTIL.
    fn is_until(self, until: Self) -> bool {
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
fn local_in(time: NaiveDateTime, zone: Option<Zone>, own: Option<Zone>) -> NaiveDateTime {
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

/// An event as it is written.
pub(super) struct Event {
    line: usize,
    uid: String,
    cancelled: bool,
    start: Option<(usize, IcalTime)>,
    end: Option<(usize, IcalTime)>,
    duration: Option<TimeDelta>,
    recurrence: Option<(usize, Recurrence<IcalTime>)>,
    more: Vec<IcalTime>,
    except: Vec<IcalTime>,
    /// Which occurrence of the event of the same name it replaces.
    replaces: Option<IcalTime>,
    /// Whether a part of it was refused.
    broken: bool,
}

/// The properties that are read.
const READ: [&str; 9] = [
    "DTSTART",
    "DTEND",
    "DURATION",
    "RRULE",
    "RDATE",
    "EXDATE",
    "RECURRENCE-ID",
    "STATUS",
    "UID",
];
/// The most times in RDATE and EXDATE of one event.
const MOST_TIMES: usize = 10_000;

impl Event {
    /// An event that begins on a line.
    pub fn at(line: usize) -> Self {
        Self {
            line,
            uid: String::new(),
            cancelled: false,
            start: None,
            end: None,
            duration: None,
            recurrence: None,
            more: Vec::new(),
            except: Vec::new(),
            replaces: None,
            broken: false,
        }
    }

    /// Whether a property is read.
    pub fn reads(name: &str) -> bool {
        READ.contains(&name) || name == "EXRULE"
    }

    /// Sets a property.
    ///
    /// # Errors
    ///
    /// A value that it cannot have.
    pub fn set(
        &mut self,
        line: usize,
        name: &str,
        parameters: &[(String, &str)],
        value: &str,
    ) -> Result<(), ValueError> {
        let set = self.set_known(line, name, parameters, value);
        self.broken |= set.is_err();
        set
    }

    fn set_known(
        &mut self,
        line: usize,
        name: &str,
        parameters: &[(String, &str)],
        value: &str,
    ) -> Result<(), ValueError> {
        let parameter = |wanted: &str| {
            let found = parameters.iter().find(|(name, _)| name == wanted);
            found.map(|(_, value)| *value)
        };
        let one = || IcalTime::parse(parameters, value);
        match name {
            "DTSTART" => self.start = Some((line, one()?)),
            "DTEND" => self.end = Some((line, one()?)),
            "DURATION" => self.duration = Some(duration(value)?),
            "RRULE" => {
                if self.recurrence.is_some() {
                    let error = ValueError::new("a second RRULE", "one for each event");
                    return Err(error.with_remedy("make an event of each"));
                }
                let rule = Recurrence::parse(value, |until| IcalTime::parse(&[], until))?;
                self.recurrence = Some((line, rule));
            }
            "RDATE" | "EXDATE" => {
                if parameter("VALUE").is_some_and(|kind| kind.eq_ignore_ascii_case("PERIOD")) {
                    let error = ValueError::new("VALUE=PERIOD", "days or times");
                    return Err(error.with_remedy("make an event of each period"));
                }
                let to = match name {
                    "RDATE" => &mut self.more,
                    _ => &mut self.except,
                };
                to.extend(times(parameters, value)?);
                if to.len() > MOST_TIMES {
                    let expected = format!("at most {MOST_TIMES} for an event");
                    return Err(ValueError::new("more times", expected));
                }
            }
            "RECURRENCE-ID" => {
                if parameter("RANGE").is_some() {
                    let error = ValueError::new("RANGE", "one occurrence that is replaced");
                    return Err(error.with_remedy("make two events of it"));
                }
                self.replaces = Some(one()?);
            }
            "EXRULE" => {
                let error = ValueError::new("EXRULE", "EXDATE for what is left out");
                return Err(error.with_remedy("give EXDATE instead, a date each"));
            }
            "STATUS" => self.cancelled = value.eq_ignore_ascii_case("CANCELLED"),
            "UID" => value.clone_into(&mut self.uid),
            _ => {}
        }
        Ok(())
    }
}

/// `P1D`, `PT1H30M`, `P2W` (RFC 5545, section 3.3.6).
fn duration(text: &str) -> Result<TimeDelta, ValueError> {
    let refuse = || {
        ValueError::new(text, "a length such as PT1H30M, P1D or P2W")
            .with_remedy("for example PT1H30M")
    };
    let rest = text.strip_prefix('+').unwrap_or(text);
    let rest = rest.strip_prefix('P').ok_or_else(refuse)?;
    let mut seconds: i64 = 0;
    let mut digits = String::new();
    let mut in_time = false;
    let mut any = false;
    for character in rest.chars() {
        let unit = match (character, in_time) {
            ('0'..='9', _) if digits.len() < 9 => {
                digits.push(character);
                continue;
            }
            ('T', false) if digits.is_empty() => {
                in_time = true;
                continue;
            }
            ('W', false) => 604_800,
            ('D', false) => 86_400,
            ('H', true) => 3600,
            ('M', true) => 60,
            ('S', true) => 1,
            _ => return Err(refuse()),
        };
        let number: i64 = digits.parse().map_err(|_| refuse())?;
        digits.clear();
        any = true;
        seconds = seconds.saturating_add(number.saturating_mul(unit));
    }
    let length = TimeDelta::try_seconds(seconds).filter(|_| any && digits.is_empty());
    length
        .filter(|length| length.num_days() <= 73_000)
        .ok_or_else(refuse)
}

/// The most evenings and periods of a file.
const MOST_OCCURRENCES: usize = 200_000;
/// The most days that are looked at for recurring events.
const MOST_DAYS: usize = 20_000_000;

/// What is found of the events.
pub(super) struct Expansion {
    evenings: Vec<[NaiveDate; 2]>,
    periods: Vec<CalendarPeriod>,
    replaced: BTreeMap<String, BTreeSet<Occurrence>>,
    days_left: usize,
    full: bool,
}

/// Line, property and what is wrong with it.
type Wrong = (usize, &'static str, ValueError);

impl Expansion {
    /// The expansion of events, of which those that replace occurrences of
    /// others must be known first.
    pub fn of(events: &[Event]) -> Self {
        let mut replaced: BTreeMap<String, BTreeSet<Occurrence>> = BTreeMap::new();
        for event in events {
            if let Some(time) = event.replaces {
                let of = replaced.entry(event.uid.clone()).or_default();
                of.insert(time.occurrence());
            }
        }
        Self {
            evenings: Vec::new(),
            periods: Vec::new(),
            replaced,
            days_left: MOST_DAYS,
            full: false,
        }
    }

    /// Whether no more fits.
    pub fn is_full(&self) -> bool {
        self.full
    }

    /// Everything found.
    pub fn calendar(self) -> Calendar {
        Calendar::new(self.evenings, self.periods)
    }

    /// Adds the occurrences of an event.
    ///
    /// # Errors
    ///
    /// An event without a beginning, with an end before it, or with too many
    /// occurrences.
    pub fn add(&mut self, event: &Event) -> Result<(), Wrong> {
        if event.cancelled || event.broken {
            return Ok(());
        }
        let Some((_, start)) = event.start else {
            let error = ValueError::new("", "when the event begins")
                .with_remedy("give it a DTSTART, or take the event out");
            return Err((event.line, "DTSTART", error));
        };
        let length = length(event, start)?;
        let mut except: BTreeSet<Occurrence> =
            event.except.iter().map(|time| time.occurrence()).collect();
        if event.replaces.is_none()
            && let Some(replaced) = self.replaced.get(&event.uid)
        {
            except.extend(replaced);
        }
        let is_left_out = |time: IcalTime| {
            except.contains(&time.occurrence()) || except.contains(&Occurrence::Day(time.date()))
        };
        let mut found: Vec<IcalTime> = event.more.clone();
        let room = MOST_OCCURRENCES.saturating_sub(self.evenings.len() + self.periods.len());
        let mut enough = true;
        let known = is_known();
        match &event.recurrence {
            None => {}
            Some((line, rule)) => {
                let last = NaiveDate::from_ymd_opt(*YEARS.end() + 1, 1, 2);
                let last = last.unwrap_or(NaiveDate::MAX);
                let mut count: u32 = 0;
                let looked = rule.days(start.date(), last, &mut self.days_left, |day| {
                    let time = start.on(day);
                    match rule.until {
                        Until::Count(most) if count >= most => return false,
                        Until::Time(until) if !time.is_until(until) => return false,
                        _ => {}
                    }
                    count = count.saturating_add(1);
                    // Birthdays begin long before the years that are covered.
                    if known(day) {
                        enough &= found.len() < room;
                        found.push(time);
                    }
                    enough
                });
                if !looked {
                    self.full = true;
                    let expected = "recurring events that end some day, or fewer of them";
                    let error = ValueError::new("too many days", expected)
                        .with_remedy("export the part of the calendar that is needed");
                    return Err((*line, "RRULE", error));
                }
            }
        }
        // The first day counts even where the rule has no such day (RFC 5545,
        // section 3.8.5.3).
        if known(start.date()) && !found.contains(&start) {
            found.push(start);
        }
        if !enough || found.len() > room {
            self.full = true;
            let expected = format!("at most {MOST_OCCURRENCES} evenings and periods in a file");
            let error = ValueError::new("more", expected)
                .with_remedy("export the part of the calendar that is needed");
            return Err((event.line, "VEVENT", error));
        }
        for time in found {
            if is_left_out(time) || !known(time.date()) {
                continue;
            }
            match (time, length) {
                (IcalTime::Day(day), Length::Days(days)) => {
                    let last = day.checked_add_days(Days::new(days.saturating_sub(1)));
                    self.evenings.push([day, last.unwrap_or(day)]);
                }
                (IcalTime::Clock(begin, zone), Length::Time(length)) => {
                    let end = begin.checked_add_signed(length).unwrap_or(begin);
                    self.periods.push(CalendarPeriod {
                        from: time.calendar_time(),
                        to: IcalTime::Clock(end, zone).calendar_time(),
                    });
                }
                (IcalTime::Clock(..), Length::Moments(end)) => self.periods.push(CalendarPeriod {
                    from: time.calendar_time(),
                    to: end.calendar_time(),
                }),
                // An RDATE of the other kind.
                _ => {
                    let error = ValueError::new("another kind of value", "RDATE as DTSTART")
                        .with_remedy("give both in the same form");
                    return Err((event.line, "RDATE", error));
                }
            }
        }
        Ok(())
    }
}

/// Whether a date lies in the years covered, or close to them.
fn is_known() -> impl Fn(NaiveDate) -> bool {
    let (first, last) = (*YEARS.start() - 1, *YEARS.end() + 1);
    move |date| {
        use chrono::Datelike;
        (first..=last).contains(&date.year())
    }
}

/// How long an event is.
#[derive(Clone, Copy)]
enum Length {
    /// Days of an event of whole days, one at least.
    Days(u64),
    /// As the clocks count.
    Time(TimeDelta),
    /// Up to a time in another zone, for an event that happens once.
    Moments(IcalTime),
}

fn length(event: &Event, start: IcalTime) -> Result<Length, Wrong> {
    let Some((line, end)) = event.end else {
        return Ok(match (start, event.duration) {
            (IcalTime::Day(_), None) => Length::Days(1),
            (IcalTime::Day(_), Some(length)) => {
                Length::Days(u64::try_from(length.num_days()).unwrap_or(1).max(1))
            }
            (IcalTime::Clock(..), length) => Length::Time(length.unwrap_or_default()),
        });
    };
    let refuse = |expected: &str, remedy: &str| {
        let found = match end {
            IcalTime::Day(day) => day.format("%Y%m%d").to_string(),
            IcalTime::Clock(time, _) => time.format("%Y%m%dT%H%M%S").to_string(),
        };
        let error = ValueError::new(&found, expected).with_remedy(remedy);
        (line, "DTEND", error)
    };
    let backwards = || refuse("an end behind DTSTART", "check the two");
    match (start, end) {
        (IcalTime::Day(first), IcalTime::Day(end)) => {
            let days = u64::try_from((end - first).num_days()).map_err(|_| backwards())?;
            Ok(Length::Days(days.max(1)))
        }
        (IcalTime::Clock(from, own), IcalTime::Clock(to, zone)) => {
            if own == zone {
                if to < from {
                    return Err(backwards());
                }
                return Ok(Length::Time(to - from));
            }
            let (CalendarTime::At(a), CalendarTime::At(b)) =
                (start.calendar_time(), end.calendar_time())
            else {
                return Err(refuse(
                    "a zone at both ends, or at none",
                    "give both in the same form",
                ));
            };
            if b < a {
                return Err(backwards());
            }
            if event.recurrence.is_none() && event.more.is_empty() {
                return Ok(Length::Moments(end));
            }
            let seconds = (b.seconds() - a.seconds()).round() as i64;
            Ok(Length::Time(
                TimeDelta::try_seconds(seconds).unwrap_or_default(),
            ))
        }
        _ => Err(refuse(
            "a day where DTSTART is one, a time where that is one",
            "give both in the same form",
        )),
    }
}
