//! One night, instant by instant.

use super::{night::Night, plan_error::PlanError, planner::Planner, window::Window};
use crate::{
    ephemeris::{Event, Moment},
    rule::{Conditions, Rule},
};
use chrono::NaiveDate;

/// One night from its beginning to its end.
#[derive(Debug, Clone, serde::Serialize)]
#[non_exhaustive]
pub struct NightSeries {
    /// The night.
    pub night: Night,
    /// Sky and light at equal steps, both ends included.
    pub instants: Vec<Conditions>,
    /// What rises, sets and crosses the meridian, in order of time.
    pub events: Vec<Event>,
    /// The windows that keep every rule, in order of time.
    pub windows: Vec<Window>,
    /// Without a window: the first rule that leaves no time.
    pub unmet: Option<&'static Rule>,
    /// The moments at which the clock changes, with the new offset from UTC in
    /// seconds.
    pub clock_changes: Vec<(Moment, i32)>,
}

impl NightSeries {
    /// Steps of a series that is drawn: one in three minutes.
    pub const STEPS: usize = 480;

    /// A night that the planner's sky is known to reach.
    pub(super) fn of(planner: &Planner, night: &Night, steps: usize) -> Self {
        let steps = steps.max(1);
        let (start, end) = (night.start.seconds(), night.end.seconds());
        let instants = (0..=steps)
            .map(|step| start + (end - start) * step as f64 / steps as f64)
            .map(|t| planner.instant_at(Moment::from_seconds(t)))
            .collect();
        let windows = planner.night_windows(night);
        Self {
            night: *night,
            instants,
            events: planner.sky().events(night.start, night.end),
            unmet: planner.why_none(night, &windows),
            windows,
            clock_changes: planner.site().zone.offset_changes(night.start, night.end),
        }
    }
}

impl Planner {
    /// A night of the season in `steps` equal steps, one at least.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn series(&self, date: NaiveDate, steps: usize) -> Result<NightSeries, PlanError> {
        Ok(NightSeries::of(self, &self.night(date)?, steps))
    }
}
