//! The nights of a calendar month or year as a cell of a table shows them.

use super::{best_night::BestNight, words::night_words};
use crate::search::CalendarPeriod;
use chrono::{Datelike, NaiveDate};
use std::collections::BTreeSet;

/// What the cell of a place in a month or year tells: its nights, each once,
/// and the best of them. Cells add up, over periods and over places.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct PeriodCell {
    evenings: BTreeSet<NaiveDate>,
    best: Option<BestNight>,
}

/// How a cell tells its best night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BestAs {
    /// By its score: `3 (87)`.
    Score,
    /// By day and score: `3: Sat 29 (87)`.
    Day,
    /// By date and score: `3: Sat 05-29 (87)`.
    Date,
}

/// What is said of cells in which a place is the best of its row.
pub(super) const BEST_OF_ROW: &str = "most nights of its row, among equals the better score";

impl PeriodCell {
    /// The cell of a period.
    pub fn of(period: &CalendarPeriod<'_>) -> Self {
        Self {
            evenings: period.evenings.clone(),
            best: period.best.map(BestNight::of),
        }
    }

    /// All the nights of some cells, each once.
    pub fn sum<'a>(cells: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut sum = Self::default();
        for cell in cells {
            sum.evenings.extend(&cell.evenings);
            let is_better = |best: &BestNight| {
                sum.best.is_none_or(|known| {
                    best.score > known.score
                        || (best.score == known.score && best.night < known.night)
                })
            };
            sum.best = cell.best.filter(is_better).or(sum.best);
        }
        sum
    }

    /// How many nights there are.
    pub fn nights(&self) -> usize {
        self.evenings.len()
    }

    /// The best of them.
    pub fn best(&self) -> Option<&BestNight> {
        self.best.as_ref()
    }

    /// How good it is beside others: by nights, then by the score as it is
    /// shown.
    pub fn rank(&self) -> (usize, i64) {
        let score = self.best.map_or(0.0, |best| best.score.round());
        (self.nights(), score as i64)
    }

    /// The text of the cell; `-` without a night.
    pub fn text(&self, best_as: BestAs) -> String {
        let Some(best) = self.best else {
            return "-".to_owned();
        };
        let (nights, score) = (self.nights(), best.score_words());
        match best_as {
            BestAs::Score => format!("{nights} ({score})"),
            BestAs::Day => {
                let (weekday, day) = (best.night.format("%a"), best.night.day());
                format!("{nights}: {weekday} {day} ({score})")
            }
            BestAs::Date => format!("{nights}: {} ({score})", best.night.format("%a %m-%d")),
        }
    }

    /// The best night with its score: `Sat 2027-05-29, score 87`.
    pub fn best_words(&self) -> Option<String> {
        let best = self.best?;
        let (night, score) = (night_words(best.night), best.score_words());
        Some(format!("{night}, score {score}"))
    }
}

/// For each cell of a row whether it is the best of them; none is if all are
/// alike.
pub(super) fn best_of_row(row: &[Option<&PeriodCell>]) -> Vec<bool> {
    let ranks = || row.iter().flatten().map(|cell| cell.rank());
    let best = ranks()
        .max()
        .filter(|best| ranks().any(|other| other != *best));
    let is_best = |cell: &Option<&PeriodCell>| cell.is_some_and(|cell| Some(cell.rank()) == best);
    row.iter().map(is_best).collect()
}

/// Which periods are asked for only in part, and which part. `begins` tells
/// whether a day is the first of a period.
pub(super) fn in_part(
    periods: &[CalendarPeriod<'_>],
    name: &str,
    begins: fn(NaiveDate) -> bool,
) -> Option<String> {
    let parts: Vec<String> = periods
        .iter()
        .filter(|period| !period.is_whole)
        .map(|part| {
            let ends = part.last.succ_opt().is_none_or(begins);
            let covered = match (begins(part.first), ends) {
                (true, _) => format!("to {}", part.last),
                (false, true) => format!("from {}", part.first),
                (false, false) => format!("{} to {}", part.first, part.last),
            };
            format!("{} ({covered})", part.first_day.format(name))
        })
        .collect();
    let parts = parts.join(" and ");
    (!parts.is_empty()).then(|| format!("Counted only in part: {parts}."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(days: &[u32]) -> PeriodCell {
        let day = |day: &u32| NaiveDate::from_ymd_opt(2027, 5, *day).expect("a date");
        PeriodCell {
            evenings: days.iter().map(day).collect(),
            best: None,
        }
    }

    #[test]
    fn a_night_counts_once_however_many_cells_have_it() {
        let (one, two) = (cell(&[1, 2, 3]), cell(&[3, 4]));
        assert_eq!(PeriodCell::sum([&one, &two, &one]).nights(), 4);
    }

    #[test]
    fn the_best_of_a_row_is_none_of_equals() {
        let (none, few, many) = (cell(&[]), cell(&[1]), cell(&[1, 2]));
        let row = [Some(&few), None, Some(&many), Some(&many), Some(&none)];
        assert_eq!(best_of_row(&row), [false, false, true, true, false]);
        assert_eq!(best_of_row(&[Some(&few), None, Some(&few)]), [false; 3]);
        assert_eq!(best_of_row(&[]), [false; 0]);
    }
}
