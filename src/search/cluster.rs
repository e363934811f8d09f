//! Neighbouring nights: which belong together, which is best, what is its spare.

use super::{night_hours::NightHours, spare::spare_nights, window::Window};
use chrono::{Days, NaiveDate};
use std::collections::BTreeSet;

/// The most evenings of a cluster.
pub const CLUSTER_NIGHTS: u64 = 11;
/// How far from the date asked about a window may be to belong to it, days: the
/// project's choice.
const NEAR_DAYS: i64 = 6;

/// The date so many days on, or back for a negative number; itself where the
/// calendar ends.
fn day(date: NaiveDate, days: i64) -> NaiveDate {
    let by = Days::new(days.unsigned_abs());
    let moved = match days < 0 {
        true => date.checked_sub_days(by),
        false => date.checked_add_days(by),
    };
    moved.unwrap_or(date)
}

/// The first and the last of the evenings without a gap about `of` that are all
/// in `found`, as far as `most` days to either side; `None` if it is not in there.
pub fn evenings_in_a_row(
    of: NaiveDate,
    found: &BTreeSet<NaiveDate>,
    most: u64,
) -> Option<[NaiveDate; 2]> {
    let end = |step: i64| {
        let days = (1..=most).map_while(|days| i64::try_from(days).ok());
        let dates = days.map(|days| day(of, step * days));
        dates.take_while(|date| found.contains(date)).last()
    };
    found
        .contains(&of)
        .then(|| [end(-1).unwrap_or(of), end(1).unwrap_or(of)])
}

/// The evenings that belong together around a date: the run of evenings with a
/// window that holds it, or is nearest to it within six days, and one more at
/// either end; three at least, [`CLUSTER_NIGHTS`] at most. The date is one of
/// them. `found` are the evenings with a window.
pub fn cluster_around(on: NaiveDate, found: &BTreeSet<NaiveDate>) -> [NaiveDate; 2] {
    let away = |date: &&NaiveDate| (**date - on).num_days().abs();
    // Of two as near, the later one: it can still be gone to.
    let nearest = found.iter().rev().min_by_key(away);
    let nearest = nearest.filter(|date| away(date) <= NEAR_DAYS);
    // A run that is longer is cut.
    let run = nearest.and_then(|date| evenings_in_a_row(*date, found, 2 * CLUSTER_NIGHTS));
    let [first, last] = run.unwrap_or([on, on]);
    let [first, last] = [day(on.min(first), -1), day(on.max(last), 1)];
    let most = CLUSTER_NIGHTS as i64;
    if (last - first).num_days() < most {
        return [first, last];
    }
    let first = day(on, -(most / 2)).clamp(first, day(last, 1 - most));
    [first, day(first, most - 1)]
}

/// The best window of some evenings, and what stands in for it.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct BestAndSpare<'a> {
    /// The window with the highest score.
    pub best: &'a Window,
    /// The best window of the later evenings, as [`spare_nights`] counts them.
    pub spare: Option<&'a Window>,
    /// Without one: the best window of the evenings before.
    pub earlier: Option<&'a Window>,
}

/// The window with the highest score, of equal ones the first.
fn highest<'a>(windows: impl Iterator<Item = &'a Window>) -> Option<&'a Window> {
    windows.reduce(|best, other| {
        if other.score > best.score {
            other
        } else {
            best
        }
    })
}

/// The best window of `all`, which are in order of time, and its spare; `None`
/// if there is none.
pub fn best_and_spare(all: &[Window]) -> Option<BestAndSpare<'_>> {
    let best = highest(all.iter())?;
    let days = all
        .iter()
        .map(|window| (window.night - best.night).num_days());
    let days = u32::try_from(days.max().unwrap_or(0)).unwrap_or(0);
    let later = spare_nights(&[best], all, days).into_iter();
    let spare = highest(later.flat_map(|spares| spares.spares));
    let before = all.iter().filter(|window| window.night < best.night);
    Some(BestAndSpare {
        best,
        spare,
        earlier: highest(before).filter(|_| spare.is_none()),
    })
}

/// The windows of some nights, in order of time.
pub fn windows_of_nights(nights: &[NightHours]) -> Vec<Window> {
    let windows = nights.iter().flat_map(|night| &night.windows);
    windows.cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn may(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 5, day).expect("a date")
    }

    fn around(on: u32, found: &[u32]) -> [u32; 2] {
        use chrono::Datelike;
        let found: BTreeSet<NaiveDate> = found.iter().map(|day| may(*day)).collect();
        cluster_around(may(on), &found).map(|date| date.day())
    }

    #[test]
    fn a_run_of_evenings_has_one_more_at_either_end() {
        assert_eq!(around(15, &[14, 15, 16]), [13, 17]);
        assert_eq!(around(14, &[14]), [13, 15]);
        // The date itself has none: it reaches to the nearest run.
        assert_eq!(around(15, &[17, 18]), [14, 19]);
        assert_eq!(around(15, &[11, 12]), [10, 16]);
        assert_eq!(around(15, &[13, 17]), [14, 18]);
        assert_eq!(around(15, &[]), [14, 16]);
        assert_eq!(around(15, &[25]), [14, 16]);
        // A gap ends a run.
        assert_eq!(around(15, &[12, 14, 15, 17]), [13, 16]);
    }

    #[test]
    fn evenings_in_a_row_end_at_a_gap_and_at_the_most() {
        let found: BTreeSet<NaiveDate> = [3, 5, 6, 7, 8, 10].map(may).into();
        assert_eq!(evenings_in_a_row(may(4), &found, 9), None);
        assert_eq!(evenings_in_a_row(may(3), &found, 9), Some([may(3); 2]));
        let of = |most| evenings_in_a_row(may(6), &found, most);
        assert_eq!(of(9), Some([may(5), may(8)]));
        assert_eq!(of(1), Some([may(5), may(7)]));
        assert_eq!(of(0), Some([may(6); 2]));
    }

    #[test]
    fn a_long_run_is_cut_about_the_date() {
        let run: Vec<u32> = (3..=27).collect();
        assert_eq!(around(15, &run), [10, 20]);
        assert_eq!(around(4, &run), [2, 12]);
        assert_eq!(around(26, &run), [18, 28]);
    }
}
