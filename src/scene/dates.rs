//! A range of nights.

use super::date::YEARS;
use crate::ephemeris::Moment;
use chrono::{Datelike, Days, NaiveDate, NaiveTime};

/// How many nights follow the first if no last one is given.
const DEFAULT_DAYS: u64 = 365;

/// A range of nights, both ends included, each named by its evening: within
/// 1900-01-01 to 2099-12-31, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dates {
    first: NaiveDate,
    last: NaiveDate,
}

/// Why a range of dates is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DateError {
    /// A date outside the years whose zone rules are known.
    #[error("{0} lies outside 1900-01-01 to 2099-12-31")]
    OutOfRange(NaiveDate),
    /// A last date before the first.
    #[error("the last date {last} lies before the first, {first}")]
    Backwards {
        /// The first date.
        first: NaiveDate,
        /// The last date.
        last: NaiveDate,
    },
}

/// The date, moved into the years covered if it is outside.
fn within(date: NaiveDate) -> NaiveDate {
    let first = NaiveDate::from_ymd_opt(*YEARS.start(), 1, 1).unwrap_or(NaiveDate::MIN);
    let last = NaiveDate::from_ymd_opt(*YEARS.end(), 12, 31).unwrap_or(NaiveDate::MAX);
    date.clamp(first, last)
}

impl Dates {
    /// The nights from `first` to `last`.
    ///
    /// # Errors
    ///
    /// A date before 1900 or after 2099, or a last date before the first.
    pub fn new(first: NaiveDate, last: NaiveDate) -> Result<Self, DateError> {
        for date in [first, last] {
            if !YEARS.contains(&date.year()) {
                return Err(DateError::OutOfRange(date));
            }
        }
        if last < first {
            return Err(DateError::Backwards { first, last });
        }
        Ok(Self { first, last })
    }

    /// One night.
    ///
    /// # Errors
    ///
    /// A date before 1900 or after 2099.
    pub fn one(night: NaiveDate) -> Result<Self, DateError> {
        Self::new(night, night)
    }

    /// The 366 nights from `first` on, or as many of them as there are to the
    /// end of 2099.
    ///
    /// # Errors
    ///
    /// A date before 1900 or after 2099.
    pub fn year_from(first: NaiveDate) -> Result<Self, DateError> {
        let last = first.checked_add_days(Days::new(DEFAULT_DAYS));
        Self::new(first, last.map_or(NaiveDate::MAX, within))
    }

    /// The nights from `first` to the end of the last of `years` calendar
    /// years, of which its own is the first; at most to the end of 2099.
    ///
    /// # Errors
    ///
    /// A date before 1900 or after 2099.
    pub fn calendar_years_from(first: NaiveDate, years: u16) -> Result<Self, DateError> {
        let last_year = first.year().saturating_add(i32::from(years.max(1)) - 1);
        let last = NaiveDate::from_ymd_opt(last_year, 12, 31).unwrap_or(NaiveDate::MAX);
        Self::new(first, within(last))
    }

    /// The nights from `first` to `last`, limited to the years covered; at
    /// least one.
    pub(crate) fn clamped(first: NaiveDate, last: NaiveDate) -> Self {
        let (first, last) = (within(first), within(last));
        Self {
            first,
            last: last.max(first),
        }
    }

    /// These nights and `days` more at either end, limited to the years
    /// covered.
    #[must_use]
    pub fn widened(self, days: u64) -> Self {
        let days = Days::new(days);
        Self::clamped(
            self.first.checked_sub_days(days).unwrap_or(self.first),
            self.last.checked_add_days(days).unwrap_or(self.last),
        )
    }

    /// From the midnight that begins the first day to the one that ends the
    /// last, both of UTC.
    pub fn utc_days(self) -> [Moment; 2] {
        let midnight = |date: NaiveDate| Moment::from_utc(date.and_time(NaiveTime::MIN).and_utc());
        [
            midnight(self.first),
            midnight(self.last).plus_seconds(86_400.0),
        ]
    }

    /// The first night.
    pub fn first(self) -> NaiveDate {
        self.first
    }

    /// The last night.
    pub fn last(self) -> NaiveDate {
        self.last
    }

    /// How many nights.
    pub fn count(self) -> i64 {
        (self.last - self.first).num_days() + 1
    }

    /// Whether a night is one of them.
    pub fn contains(self, night: NaiveDate) -> bool {
        self.first <= night && night <= self.last
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_that_cannot_be_answered_for_are_refused() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
        let early = day(1895, 1, 1);
        assert_eq!(
            Dates::new(early, day(1895, 12, 31)),
            Err(DateError::OutOfRange(early))
        );
        let late = day(2100, 1, 1);
        assert_eq!(
            Dates::new(day(2099, 1, 1), late),
            Err(DateError::OutOfRange(late))
        );
        assert!(Dates::new(day(2027, 6, 2), day(2027, 6, 1)).is_err());
        let year = Dates::year_from(day(2099, 6, 1)).expect("dates");
        assert_eq!(year.last(), day(2099, 12, 31));
        assert_eq!(Dates::year_from(day(2027, 1, 1)).map(Dates::count), Ok(366));
        for (first, years, last) in [
            (day(2026, 1, 1), 10, day(2035, 12, 31)),
            (day(2026, 12, 31), 1, day(2026, 12, 31)),
            (day(2095, 3, 4), 10, day(2099, 12, 31)),
        ] {
            let dates = Dates::calendar_years_from(first, years).expect("dates");
            assert_eq!((dates.first(), dates.last()), (first, last));
        }
        assert!(Dates::calendar_years_from(late, 10).is_err());
    }
}
