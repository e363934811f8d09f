//! The best night of each calendar month.

use super::window::Window;
use chrono::{Datelike, NaiveDate};
use std::collections::{BTreeMap, BTreeSet};

/// A calendar month of a site: how many nights it has and the best of them.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Month<'a> {
    /// The month, by its first day.
    pub first_day: NaiveDate,
    /// Nights that have a window, by the civil date at their beginning.
    pub nights: usize,
    /// The window of the highest score; of equals the earliest.
    pub best: Option<&'a Window>,
}

/// Every calendar month from `first` to `last`, in order, with what `windows`
/// hold of it; a month without windows too.
pub fn months(first: NaiveDate, last: NaiveDate, windows: &[Window]) -> Vec<Month<'_>> {
    let mut of_month: BTreeMap<NaiveDate, (BTreeSet<NaiveDate>, Option<&Window>)> =
        months_between(first, last)
            .map(|month| (month, (BTreeSet::new(), None)))
            .collect();
    for window in windows {
        let entry = first_of_month(window.night).and_then(|month| of_month.get_mut(&month));
        let Some((nights, best)) = entry else {
            continue;
        };
        nights.insert(window.night);
        let better = best.is_none_or(|best| {
            window.score > best.score
                || (window.score == best.score && window.interval.start < best.interval.start)
        });
        if better {
            *best = Some(window);
        }
    }
    of_month
        .into_iter()
        .map(|(first_day, (nights, best))| Month {
            first_day,
            nights: nights.len(),
            best,
        })
        .collect()
}

fn first_of_month(date: NaiveDate) -> Option<NaiveDate> {
    date.with_day(1)
}

/// The first days of the months from `first` to `last`.
fn months_between(first: NaiveDate, last: NaiveDate) -> impl Iterator<Item = NaiveDate> {
    std::iter::successors(first_of_month(first), |month| {
        month.checked_add_months(chrono::Months::new(1))
    })
    .take_while(move |month| *month <= last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_month_once_over_a_year_end() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
        let all: Vec<_> = months(day(2027, 11, 30), day(2028, 2, 1), &[])
            .iter()
            .map(|month| month.first_day.to_string())
            .collect();
        assert_eq!(
            all,
            ["2027-11-01", "2027-12-01", "2028-01-01", "2028-02-01"]
        );
    }
}
