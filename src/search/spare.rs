//! The next good nights after each, in case of bad weather.

use super::window::Window;
use chrono::NaiveDate;

/// A night with the good ones that follow it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct SpareNights<'a> {
    /// The chosen window.
    pub window: &'a Window,
    /// The best window of each later night within so many days, in order of
    /// time.
    pub spares: Vec<&'a Window>,
}

/// For each of `chosen`, the later nights of `all` up to `days` days on.
pub fn spare_nights<'a>(
    chosen: &[&'a Window],
    all: &'a [Window],
    days: u32,
) -> Vec<SpareNights<'a>> {
    chosen
        .iter()
        .map(|window| {
            let days_on = |night: NaiveDate| (night - window.night).num_days();
            let mut spares: Vec<&Window> = all
                .iter()
                .filter(|spare| (1..=i64::from(days)).contains(&days_on(spare.night)))
                .collect();
            spares.sort_by(|a, b| a.night.cmp(&b.night).then(b.score.total_cmp(&a.score)));
            spares.dedup_by_key(|spare| spare.night);
            SpareNights { window, spares }
        })
        .collect()
}
