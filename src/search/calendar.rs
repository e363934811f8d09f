//! Windows counted by calendar month and by calendar year.

use super::{
    spans::{NightCount, WindowSpan},
    window::Window,
};
use chrono::{Datelike, NaiveDate};
use std::collections::{BTreeMap, BTreeSet};

/// A calendar month or year of a site: the part asked for, the number of nights
/// with a window, and the best of them.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CalendarPeriod<'a> {
    /// The month or year, by its first day.
    pub first_day: NaiveDate,
    /// The first of its evenings that is asked for.
    pub first: NaiveDate,
    /// The last of its evenings that is asked for.
    pub last: NaiveDate,
    /// Whether every one of its evenings is asked for.
    pub is_whole: bool,
    /// Nights that have a window.
    pub nights: usize,
    /// Those nights, by the civil date at their beginning.
    pub evenings: BTreeSet<NaiveDate>,
    /// Length of all its windows together, minutes; for blends that of the dark
    /// periods. Where windows overlap, their time counts once.
    pub minutes: f64,
    /// The window with the highest score; the earliest of equals.
    pub best: Option<&'a Window>,
}

/// Every calendar month from `first` to `last`, in order, with those of
/// `windows` that belong to it; months without windows too. A night belongs to
/// the month of its evening.
pub fn months(first: NaiveDate, last: NaiveDate, windows: &[Window]) -> Vec<CalendarPeriod<'_>> {
    periods(&MONTH, first, last, windows)
}

/// The same by calendar year.
pub fn years(first: NaiveDate, last: NaiveDate, windows: &[Window]) -> Vec<CalendarPeriod<'_>> {
    periods(&YEAR, first, last, windows)
}

/// How the calendar is cut.
struct Cut {
    /// The first day of the period that holds a date.
    first_day: fn(NaiveDate) -> Option<NaiveDate>,
    /// How long a period is.
    length: chrono::Months,
}

const MONTH: Cut = Cut {
    first_day: |date| date.with_day(1),
    length: chrono::Months::new(1),
};

const YEAR: Cut = Cut {
    first_day: |date| NaiveDate::from_ymd_opt(date.year(), 1, 1),
    length: chrono::Months::new(12),
};

/// A period with the windows that belong to it.
#[derive(Default)]
struct Tally<'a> {
    spans: Vec<WindowSpan>,
    best: Option<&'a Window>,
}

impl<'a> Tally<'a> {
    fn add(&mut self, window: &'a Window) {
        self.spans.push(WindowSpan::of(window));
        let is_better = self.best.is_none_or(|best| {
            window.score > best.score
                || (window.score == best.score && window.interval.start < best.interval.start)
        });
        if is_better {
            self.best = Some(window);
        }
    }
}

fn periods<'a>(
    cut: &Cut,
    first: NaiveDate,
    last: NaiveDate,
    windows: &'a [Window],
) -> Vec<CalendarPeriod<'a>> {
    let next = |day: NaiveDate| day.checked_add_months(cut.length);
    let first_days = std::iter::successors((cut.first_day)(first), |day| next(*day))
        .take_while(|day| *day <= last);
    let mut tallies: BTreeMap<NaiveDate, Tally<'_>> =
        first_days.map(|day| (day, Tally::default())).collect();
    for window in windows {
        let day = (cut.first_day)(window.night);
        if let Some(tally) = day.and_then(|day| tallies.get_mut(&day)) {
            tally.add(window);
        }
    }
    tallies
        .into_iter()
        .map(|(first_day, tally)| {
            let last_day = next(first_day).and_then(|day| day.pred_opt());
            let last_day = last_day.unwrap_or(NaiveDate::MAX);
            let count = NightCount::of(&tally.spans);
            CalendarPeriod {
                first_day,
                first: first.max(first_day),
                last: last.min(last_day),
                is_whole: first <= first_day && last_day <= last,
                nights: count.evenings.len(),
                evenings: count.evenings.into_iter().collect(),
                minutes: count.minutes,
                best: tally.best,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(y: i32, m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(y, m, d).expect("a date")
    }

    #[test]
    fn every_month_once_over_a_year_end() {
        let all: Vec<_> = months(day(2027, 11, 30), day(2028, 2, 1), &[])
            .iter()
            .map(|month| month.first_day.to_string())
            .collect();
        assert_eq!(
            all,
            ["2027-11-01", "2027-12-01", "2028-01-01", "2028-02-01"]
        );
    }

    #[test]
    fn every_year_once_and_those_in_part_are_known() {
        let told = |first, last| -> Vec<(i32, bool, NaiveDate, NaiveDate)> {
            years(first, last, &[])
                .iter()
                .map(|year| (year.first_day.year(), year.is_whole, year.first, year.last))
                .collect()
        };
        let (from, to) = (day(2027, 12, 31), day(2029, 1, 1));
        assert_eq!(
            told(from, to),
            [
                (2027, false, from, from),
                (2028, true, day(2028, 1, 1), day(2028, 12, 31)),
                (2029, false, to, to),
            ]
        );
        let two_centuries = told(day(1900, 1, 1), day(2099, 12, 31));
        assert_eq!(two_centuries.len(), 200);
        assert!(two_centuries.iter().all(|(_, is_whole, ..)| *is_whole));
        let (from, to) = (day(2027, 3, 1), day(2027, 6, 30));
        assert_eq!(told(from, to), [(2027, false, from, to)]);
    }
}
