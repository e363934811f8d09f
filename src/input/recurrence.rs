//! The days of a recurring event: the part of RFC 5545, section 3.3.10, that
//! calendars of people use.

use crate::scene::ValueError;
use chrono::{Datelike, Days, Months, NaiveDate, Weekday};

/// How often a rule repeats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Every {
    Day,
    Week,
    Month,
    Year,
}

/// Until when a rule repeats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Until<T> {
    /// For ever.
    Never,
    /// So many times.
    Count(u32),
    /// Up to this date or time, included.
    Time(T),
}

/// A weekday, and which of its period it is: 1 the first, -1 the last, 0 each.
type NthDay = (i32, Weekday);

/// A rule of recurrence.
#[derive(Debug, Clone)]
pub(super) struct Recurrence<T> {
    every: Every,
    interval: u32,
    pub until: Until<T>,
    week_start: Weekday,
    days: Vec<NthDay>,
    month_days: Vec<i32>,
    months: Vec<u32>,
}

const EXPECTED: &str = "FREQ=DAILY, WEEKLY, MONTHLY or YEARLY with INTERVAL, COUNT, UNTIL, BYDAY, BYMONTHDAY, BYMONTH, WKST";
const REMEDY: &str = "give such an event as single ones, or its dates in a list";
/// The most values of one part; a year has no more weekdays with a number.
const MOST_VALUES: usize = 400;

impl<T> Recurrence<T> {
    /// The rule in `text`; `time` reads the value of its UNTIL.
    ///
    /// # Errors
    ///
    /// A part that is not known or has no sense, by its name.
    pub fn parse(
        text: &str,
        time: impl Fn(&str) -> Result<T, ValueError>,
    ) -> Result<Self, ValueError> {
        let mut every = None;
        let mut rule = Self {
            every: Every::Day,
            interval: 1,
            until: Until::Never,
            week_start: Weekday::Mon,
            days: Vec::new(),
            month_days: Vec::new(),
            months: Vec::new(),
        };
        let parts = text.split(';').filter(|part| !part.is_empty());
        for part in parts {
            let refuse = || ValueError::new(part, EXPECTED).with_remedy(REMEDY);
            let (name, value) = part.split_once('=').ok_or_else(refuse)?;
            let value = value.trim();
            match name.trim().to_ascii_uppercase().as_str() {
                "FREQ" => {
                    every = Some(match value.to_ascii_uppercase().as_str() {
                        "DAILY" => Every::Day,
                        "WEEKLY" => Every::Week,
                        "MONTHLY" => Every::Month,
                        "YEARLY" => Every::Year,
                        _ => return Err(refuse()),
                    });
                }
                "INTERVAL" => rule.interval = whole(value, 1).ok_or_else(refuse)?,
                "COUNT" => rule.until = Until::Count(whole(value, 1).ok_or_else(refuse)?),
                "UNTIL" => rule.until = Until::Time(time(value)?),
                "WKST" => rule.week_start = weekday(value).ok_or_else(refuse)?,
                "BYDAY" => rule.days = values(value, nth_day).ok_or_else(refuse)?,
                "BYMONTHDAY" => {
                    let day = |text: &str| signed(text, 31);
                    rule.month_days = values(value, day).ok_or_else(refuse)?;
                }
                "BYMONTH" => {
                    let month = |text: &str| whole(text, 1).filter(|month| *month <= 12);
                    rule.months = values(value, month).ok_or_else(refuse)?;
                }
                // The only calendar that we know.
                "RSCALE" if value.eq_ignore_ascii_case("GREGORIAN") => {}
                _ => return Err(refuse()),
            }
        }
        rule.every = every.ok_or_else(|| ValueError::new(text, EXPECTED).with_remedy(REMEDY))?;
        let has_nth = rule.days.iter().any(|(nth, _)| *nth != 0);
        let numbered = matches!(rule.every, Every::Month | Every::Year);
        let month_days = rule.every != Every::Week || rule.month_days.is_empty();
        if (has_nth && !numbered) || !month_days {
            return Err(ValueError::new(text, EXPECTED).with_remedy(REMEDY));
        }
        Ok(rule)
    }

    /// Calls `take` with each day of the rule from `first` to `last`, in order,
    /// until that says stop. `budget` counts the days looked at; the result is
    /// whether it sufficed.
    pub fn days(
        &self,
        first: NaiveDate,
        last: NaiveDate,
        budget: &mut usize,
        mut take: impl FnMut(NaiveDate) -> bool,
    ) -> bool {
        for step in 0_u32.. {
            let Some(mut day) = self.period(first, step) else {
                return true;
            };
            if day > last {
                return true;
            }
            let end = self.period_end(day).unwrap_or(last).min(last);
            while day <= end {
                let Some(left) = budget.checked_sub(1) else {
                    return false;
                };
                *budget = left;
                if day >= first && self.has(first, day) && !take(day) {
                    return true;
                }
                let Some(next) = self.next(first, day) else {
                    break;
                };
                day = next;
            }
        }
        true
    }

    /// The first day of the period after so many intervals.
    fn period(&self, first: NaiveDate, step: u32) -> Option<NaiveDate> {
        let steps = step.checked_mul(self.interval)?;
        let month = first.with_day(1)?;
        match self.every {
            Every::Day => first.checked_add_days(Days::new(u64::from(steps))),
            Every::Week => {
                let into = first.weekday().days_since(self.week_start);
                let week = first.checked_sub_days(Days::new(u64::from(into)))?;
                week.checked_add_days(Days::new(u64::from(steps) * 7))
            }
            Every::Month => month.checked_add_months(Months::new(steps)),
            Every::Year => {
                let year = first.year().checked_add(i32::try_from(steps).ok()?)?;
                NaiveDate::from_ymd_opt(year, 1, 1)
            }
        }
    }

    /// The last day of the period that begins on a day.
    fn period_end(&self, begin: NaiveDate) -> Option<NaiveDate> {
        match self.every {
            Every::Day => Some(begin),
            Every::Week => begin.checked_add_days(Days::new(6)),
            Every::Month => begin.checked_add_months(Months::new(1))?.pred_opt(),
            Every::Year => NaiveDate::from_ymd_opt(begin.year(), 12, 31),
        }
    }

    /// The day to look at after this one; months of which no day can be meant
    /// are passed over.
    fn next(&self, first: NaiveDate, day: NaiveDate) -> Option<NaiveDate> {
        if self.every == Every::Year && !self.has_month(first, day) {
            return day.with_day(1)?.checked_add_months(Months::new(1));
        }
        day.succ_opt()
    }

    fn has_month(&self, first: NaiveDate, day: NaiveDate) -> bool {
        let by_nothing = self.days.is_empty() && self.month_days.is_empty();
        match self.months.as_slice() {
            [] if self.every == Every::Year && by_nothing => day.month() == first.month(),
            [] => true,
            months => months.contains(&day.month()),
        }
    }

    /// Whether a day of one of the rule's periods is one of its days.
    fn has(&self, first: NaiveDate, day: NaiveDate) -> bool {
        let month_day = || {
            let length = i32::try_from(month_length(day)).unwrap_or(31);
            let number = i32::try_from(day.day()).unwrap_or(0);
            let same = |wanted: &i32| *wanted == number || *wanted == number - length - 1;
            self.month_days.iter().any(same)
        };
        let by_day = || self.days.iter().any(|wanted| self.is_nth(*wanted, day));
        let (days, month_days) = (!self.days.is_empty(), !self.month_days.is_empty());
        let usual = || match self.every {
            Every::Day => true,
            Every::Week => day.weekday() == first.weekday(),
            Every::Month | Every::Year => day.day() == first.day(),
        };
        self.has_month(first, day)
            && (!days || by_day())
            && (!month_days || month_day())
            && (days || month_days || usual())
    }

    /// Whether a day is the nth of its weekday in its month, or in its year
    /// where the rule is of years without months.
    fn is_nth(&self, (nth, weekday): NthDay, day: NaiveDate) -> bool {
        if day.weekday() != weekday {
            return false;
        }
        if nth == 0 {
            return true;
        }
        let (at, length) = match self.every {
            Every::Year if self.months.is_empty() => {
                (day.ordinal0(), if day.leap_year() { 366 } else { 365 })
            }
            _ => (day.day0(), month_length(day)),
        };
        let number = |before: u32| i32::try_from(before / 7 + 1).unwrap_or(0);
        match nth > 0 {
            true => nth == number(at),
            false => -nth == number(length.saturating_sub(at + 1)),
        }
    }
}

fn month_length(day: NaiveDate) -> u32 {
    u32::from(day.num_days_in_month())
}

fn values<V>(text: &str, read: impl Fn(&str) -> Option<V>) -> Option<Vec<V>> {
    if text.split(',').nth(MOST_VALUES).is_some() {
        return None;
    }
    text.split(',').map(|part| read(part.trim())).collect()
}

fn whole(text: &str, least: u32) -> Option<u32> {
    let digits = text.bytes().all(|byte| byte.is_ascii_digit());
    let number: u32 = text.parse().ok().filter(|_| digits)?;
    (number >= least).then_some(number)
}

/// A number from 1 to `most`, or the same with a minus sign.
fn signed(text: &str, most: i32) -> Option<i32> {
    let number: i32 = text.parse().ok()?;
    (number != 0 && (-most..=most).contains(&number)).then_some(number)
}

fn weekday(text: &str) -> Option<Weekday> {
    Some(match text.to_ascii_uppercase().as_str() {
        "MO" => Weekday::Mon,
        "TU" => Weekday::Tue,
        "WE" => Weekday::Wed,
        "TH" => Weekday::Thu,
        "FR" => Weekday::Fri,
        "SA" => Weekday::Sat,
        "SU" => Weekday::Sun,
        _ => return None,
    })
}

fn nth_day(text: &str) -> Option<NthDay> {
    let letters = text.len().checked_sub(2)?;
    let (number, name) = (text.get(..letters)?, text.get(letters..)?);
    let nth = match number {
        "" => 0,
        number => signed(number, 53)?,
    };
    Some((nth, weekday(name)?))
}
