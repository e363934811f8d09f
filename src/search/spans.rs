//! When the windows of a site are, without what is found at their best
//! instants: enough to count them, and much cheaper.

use super::{
    interval::{Interval, Intervals},
    night::Night,
    planner::Planner,
    site_planners::SitePlanners,
    window::Window,
};
use crate::{parallel, scene::LightKind};
use chrono::NaiveDate;

/// When a window is.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WindowSpan {
    /// The civil date at the beginning of the night.
    pub night: NaiveDate,
    /// The kind of light asked for.
    pub light: LightKind,
    /// The time in which every rule is met; of a blend the dark period.
    pub interval: Interval,
}

impl WindowSpan {
    /// When this window is.
    pub const fn of(window: &Window) -> Self {
        Self {
            night: window.night,
            light: window.light,
            interval: window.interval,
        }
    }
}

impl SitePlanners {
    /// When the [windows](Self::windows) of all planners are, those of each
    /// planner in order of time. No best instant is looked for, unless a lowest
    /// score is asked for, or a blend under a camera that follows the sky.
    pub fn spans(&self) -> Vec<WindowSpan> {
        self.iter().flat_map(Planner::spans).collect()
    }
}

impl Planner {
    fn spans(&self) -> Vec<WindowSpan> {
        if self.rules().min_score() > 0.0 {
            return self.worthwhile().iter().map(WindowSpan::of).collect();
        }
        let nights: Vec<Night> = self.nights().collect();
        parallel::flat_map(&nights, parallel::NIGHTS_A_TASK, |night| {
            let periods = match self.rules().light {
                LightKind::Blend => self.blend_periods(night),
                _ => self.periods(night, None),
            };
            let span = |interval: &Interval| WindowSpan {
                night: night.date,
                light: self.rules().light,
                interval: *interval,
            };
            periods.as_slice().iter().map(span).collect()
        })
    }
}

/// How many nights of a site have a window, and for how long.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct NightCount {
    /// Nights that have a window, by the civil date at their beginning, in
    /// order.
    pub evenings: Vec<NaiveDate>,
    /// Length of all windows together, minutes; for blends that of the dark
    /// periods. Where windows overlap, their time counts once.
    pub minutes: f64,
}

impl NightCount {
    /// The count of these windows.
    pub fn of<'a>(spans: impl IntoIterator<Item = &'a WindowSpan>) -> Self {
        let spans: Vec<&WindowSpan> = spans.into_iter().collect();
        let mut evenings: Vec<NaiveDate> = spans.iter().map(|span| span.night).collect();
        evenings.sort_unstable();
        evenings.dedup();
        let times: Intervals = spans.iter().map(|span| span.interval).collect();
        Self {
            evenings,
            minutes: times.minutes(),
        }
    }
}
