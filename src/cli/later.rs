//! The next window after a night.

use chrono::NaiveDate;
use rakelight::{
    report::words::NIGHTS_AHEAD,
    scene::Dates,
    search::{Planner, Season, Window},
};

/// The nights that are searched for the next window; none at the end of 2099.
pub fn season_after(night: NaiveDate) -> Option<Season> {
    let first = Dates::one(night.succ_opt()?).ok()?;
    let last = first.widened(NIGHTS_AHEAD - 1).last();
    Dates::new(first.first(), last).ok().map(Season::new)
}

/// The first window that a planner's site and rules have in another season.
pub fn first_of(season: &Season, planner: &Planner) -> Option<Window> {
    let (site, rules) = (planner.site().clone(), planner.rules().clone());
    season.planner(site, rules).ok()?.first_window()
}
