//! How the sky moves over a night, for a picture of one of its instants.

use super::{
    night::Night, night_series::NightSeries, plan_error::PlanError, planner::Planner,
    window::Window,
};
use crate::{
    ephemeris::{Eclipse, Moment},
    rule::Conditions,
};
use chrono::Timelike;

/// The night about an instant.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Course {
    /// The night in equal steps, with its windows.
    pub series: NightSeries,
    /// Sky and light at the whole hours of the local clock.
    pub hours: Vec<Conditions>,
    /// Sky and light at the beginning and the end of every period of a window,
    /// and of the moonlit period of a blend, in order of the windows.
    pub periods: Vec<[Conditions; 2]>,
    /// The lunar eclipse that is greatest in this night, if the Moon is up at a
    /// time during it.
    pub eclipse: Option<Eclipse>,
}

/// Clocks differ from UTC by multiples of this, seconds: whole hours are looked
/// for in these steps.
const CLOCK_STEP_S: f64 = 900.0;

impl Course {
    /// Sky and light from one moment to another, degrees of the sky apart by less
    /// than one: the steps of the night between them, and both ends.
    pub fn between(&self, ends: &[Conditions; 2]) -> Vec<Conditions> {
        let [first, last] = ends;
        let inner = self.series.instants.iter().filter(|instant| {
            first.moment() < instant.moment() && instant.moment() < last.moment()
        });
        let mut all = vec![*first];
        all.extend(inner);
        all.push(*last);
        all
    }

    /// The window whose period holds a moment.
    pub fn window_at(&self, moment: Moment) -> Option<&Window> {
        let holds = |window: &&Window| {
            let mut periods = window.intervals();
            periods.any(|period| period.first() <= moment && moment <= period.last())
        };
        self.series.windows.iter().find(holds)
    }
}

impl Planner {
    /// The night that a moment belongs to; it need not be one of those searched.
    ///
    /// # Errors
    ///
    /// A night that the season's sky does not reach.
    pub fn course(&self, moment: Moment) -> Result<Course, PlanError> {
        let night = Night::at(self.site.longitude_deg, self.site.zone, moment);
        self.check_known(night.start)?;
        self.check_known(night.end)?;
        let series = NightSeries::of(self, &night, NightSeries::STEPS);
        let zone = self.site.zone;
        let steps = (86_400.0 / CLOCK_STEP_S) as i32;
        let first = (night.start.seconds() / CLOCK_STEP_S).ceil();
        let hours = (0..steps)
            .map(|step| Moment::from_seconds((first + f64::from(step)) * CLOCK_STEP_S))
            .filter(|moment| {
                let local = zone.local(*moment);
                local.minute() == 0 && local.second() == 0
            })
            .map(|moment| self.instant_at(moment))
            .collect();
        let periods = series
            .windows
            .iter()
            .flat_map(Window::intervals)
            .map(|period| [period.first(), period.last()].map(|moment| self.instant_at(moment)))
            .collect();
        let seen = |eclipse: &&Eclipse| {
            let [from, to] = eclipse.penumbral;
            let held = night.start <= eclipse.greatest && eclipse.greatest <= night.end;
            held && series.instants.iter().any(|instant| {
                let moment = instant.moment();
                from <= moment && moment <= to && instant.sky.moon.apparent_altitude_deg > 0.0
            })
        };
        let eclipse = self.season.eclipses().iter().find(seen).copied();
        Ok(Course {
            series,
            hours,
            periods,
            eclipse,
        })
    }
}
