//! When the events of an iCalendar file take place.

use super::ical_event::Event;
use super::ical_time::{IcalTime, Occurrence};
use super::recurrence::Until;
use crate::scene::{Calendar, CalendarPeriod, CalendarTime, ValueError, YEARS};
use chrono::{Days, NaiveDate, TimeDelta};
use std::collections::{BTreeMap, BTreeSet};

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
