//! Evenings and periods of time that a file lists.

use super::zone::{LocalTime, Zone};
use crate::ephemeris::Moment;
use chrono::{Days, NaiveDate, NaiveDateTime, TimeDelta};

/// An end of a period in a calendar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CalendarTime {
    /// What the clocks of the site show.
    Local(NaiveDateTime),
    /// One moment for every site.
    At(Moment),
}

/// A period in a calendar, from its first to its last moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalendarPeriod {
    /// Its first moment.
    pub from: CalendarTime,
    /// Its last moment.
    pub to: CalendarTime,
}

/// Evenings and periods, as a table of times, a list of dates or an iCalendar
/// file has them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Calendar {
    /// First and last evening of each run, in order and apart.
    evenings: Vec<[NaiveDate; 2]>,
    /// In the order of the dates on which they begin.
    periods: Vec<(NaiveDate, CalendarPeriod)>,
    /// Days from the first to the last date of the longest period.
    longest_days: u64,
    /// The first and the last evening on which something is listed.
    reach: Option<[NaiveDate; 2]>,
}

impl CalendarTime {
    /// The moment that it means in a zone. A local time that the clocks jump
    /// over has the offset before the jump, one that they show twice is the
    /// first of the two (RFC 5545, section 3.3.5).
    pub fn moment(self, zone: Zone) -> Moment {
        match self {
            Self::At(moment) => moment,
            Self::Local(local) => match zone.resolve(local) {
                LocalTime::Once(moment) => moment,
                LocalTime::Skipped([reading, _]) | LocalTime::Twice([reading, _]) => reading.moment,
            },
        }
    }

    /// Its date, in UTC where it is a moment.
    pub(crate) fn date(self) -> NaiveDate {
        match self {
            Self::Local(local) => local.date(),
            Self::At(moment) => Zone::UTC.local_date(moment),
        }
    }
}

/// Days by which the date of a moment in UTC, or of an evening, may differ from
/// the date in a zone, and one for the night that goes on.
const APART_DAYS: u64 = 3;

impl Calendar {
    /// The calendar of these evenings, each a run from its first to its last,
    /// and periods.
    pub fn new(mut evenings: Vec<[NaiveDate; 2]>, periods: Vec<CalendarPeriod>) -> Self {
        evenings.retain(|[first, last]| first <= last);
        evenings.sort_unstable();
        let mut runs: Vec<[NaiveDate; 2]> = Vec::new();
        for next in evenings {
            match runs.last_mut() {
                Some([_, last]) if next[0] <= last.succ_opt().unwrap_or(*last) => {
                    *last = next[1].max(*last);
                }
                _ => runs.push(next),
            }
        }
        let mut periods: Vec<_> = periods
            .into_iter()
            .map(|period| (period.from.date(), period))
            .collect();
        periods.sort_by_key(|(date, _)| *date);
        let days = |(first, period): &(NaiveDate, CalendarPeriod)| {
            let days = (period.to.date() - *first).num_days();
            u64::try_from(days).unwrap_or(0)
        };
        // A period that begins before noon belongs to the evening before.
        let evening = |period: &CalendarPeriod| match period.from {
            CalendarTime::Local(local) => (local
                .checked_sub_signed(TimeDelta::hours(12))
                .unwrap_or(local))
            .date(),
            CalendarTime::At(_) => period.from.date(),
        };
        let firsts = runs.first().map(|run| run[0]);
        let firsts = firsts
            .into_iter()
            .chain(periods.iter().map(|(_, period)| evening(period)));
        let lasts = runs.last().map(|run| run[1]);
        let lasts = lasts.into_iter().chain(periods.iter().map(|(_, period)| {
            evening(period).max(period.to.date().pred_opt().unwrap_or_default())
        }));
        Self {
            reach: firsts.min().zip(lasts.max()).map(|(a, b)| [a, b]),
            longest_days: periods.iter().map(days).max().unwrap_or(0),
            evenings: runs,
            periods,
        }
    }

    /// Whether an evening is listed as a whole.
    pub fn has_evening(&self, date: NaiveDate) -> bool {
        let after = self.evenings.partition_point(|[first, _]| *first <= date);
        let run = after.checked_sub(1).and_then(|at| self.evenings.get(at));
        run.is_some_and(|[_, last]| date <= *last)
    }

    /// The first and the last moment of each period that may have a part of
    /// the night of `date` in a zone.
    pub fn periods_near(
        &self,
        zone: Zone,
        date: NaiveDate,
    ) -> impl Iterator<Item = [Moment; 2]> + '_ {
        let back = Days::new(self.longest_days.saturating_add(APART_DAYS));
        let first = date.checked_sub_days(back).unwrap_or(NaiveDate::MIN);
        let last = date.checked_add_days(Days::new(APART_DAYS));
        let last = last.unwrap_or(NaiveDate::MAX);
        let begin = self.periods.partition_point(|(from, _)| *from < first);
        let near = self.periods.iter().skip(begin);
        near.take_while(move |(from, _)| *from <= last)
            .map(move |(_, period)| [period.from.moment(zone), period.to.moment(zone)])
    }

    /// Whether nothing is listed.
    pub fn is_empty(&self) -> bool {
        self.reach.is_none()
    }

    /// Whether a period is listed.
    pub fn has_periods(&self) -> bool {
        !self.periods.is_empty()
    }

    /// The first and the last evening on which something is listed; `None` if
    /// nothing is.
    pub fn reach(&self) -> Option<[NaiveDate; 2]> {
        self.reach
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a date")
    }

    #[test]
    fn runs_of_evenings_are_joined() {
        let run = |first, last| [day(first), day(last)];
        let calendar = Calendar::new(
            vec![
                run("2027-06-04", "2027-06-04"),
                run("2027-05-01", "2027-05-09"),
                run("2027-05-03", "2027-05-04"),
                run("2027-06-05", "2027-06-06"),
            ],
            Vec::new(),
        );
        assert_eq!(calendar.evenings.len(), 2);
        for (text, listed) in [
            ("2027-04-30", false),
            ("2027-05-01", true),
            ("2027-05-09", true),
            ("2027-05-10", false),
            ("2027-06-05", true),
            ("2027-06-07", false),
        ] {
            assert_eq!(calendar.has_evening(day(text)), listed, "{text}");
        }
        assert_eq!(calendar.reach(), Some(run("2027-05-01", "2027-06-06")));
        assert!(Calendar::default().is_empty());
    }

    #[test]
    fn a_local_time_is_read_as_the_calendar_standard_says() {
        let zone = Zone::named("Australia/Adelaide").expect("a zone");
        let utc = |text: &str| {
            let local = CalendarTime::Local(text.parse().expect("a time"));
            local.moment(zone).to_utc().to_rfc3339()
        };
        // The clocks jump from 02:00 to 03:00: with the offset +09:30 before.
        assert_eq!(utc("2027-10-03T02:30:00"), "2027-10-02T17:00:00+00:00");
        // They show it twice: first with the offset +10:30.
        assert_eq!(utc("2027-04-04T02:30:00"), "2027-04-03T16:00:00+00:00");
    }

    #[test]
    fn a_long_period_is_found_from_its_middle() {
        let local = |text: &str| CalendarTime::Local(text.parse().expect("a time"));
        let period = |from, to| CalendarPeriod {
            from: local(from),
            to: local(to),
        };
        let calendar = Calendar::new(
            Vec::new(),
            vec![
                period("2027-05-01T18:00:00", "2027-05-20T06:00:00"),
                period("2027-05-02T18:00:00", "2027-05-02T19:00:00"),
            ],
        );
        let near = calendar.periods_near(Zone::UTC, day("2027-05-18"));
        assert!(near.count() >= 1);
        assert_eq!(
            calendar.periods_near(Zone::UTC, day("2028-05-18")).count(),
            0
        );
        assert_eq!(
            calendar.reach(),
            Some([day("2027-05-01"), day("2027-05-19")])
        );
    }
}
