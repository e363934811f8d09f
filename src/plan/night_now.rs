//! What goes on at one moment of a night, and what comes next.

use super::{
    night_plan::NightPlan,
    night_step::{NightStep, land_frame},
    timetable::NightEvent,
    timetable::TimetableEntry,
};
use crate::{
    ephemeris::Moment,
    light::LandFrame,
    search::{Interval, PlanError, Planner, Window},
};

/// What the Sun leaves of light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gloom {
    /// The Sun's upper limb is above the horizon.
    Day,
    /// The Sun stands above -6 degrees.
    Civil,
    /// The Sun stands above -12 degrees.
    Nautical,
    /// The Sun stands above -18 degrees.
    Astronomical,
    /// The Sun is lower.
    Dark,
}

/// One moment of a planned night.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NightNow {
    /// Sky, light and settings at the moment.
    pub step: NightStep,
    /// The settings that place the land; `None` where the lens cannot.
    pub land: Option<LandFrame>,
    /// What the Sun leaves of light.
    pub gloom: Gloom,
    /// The window that is open, or else the next of the night.
    pub window: Option<OpenWindow>,
    /// What comes next in the timetable, in order of time.
    pub next: Vec<TimetableEntry>,
    /// Whether the last line of the night's card is past.
    pub is_over: bool,
}

/// A window, or the moonlit period of a blend, that is open or opens next.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OpenWindow {
    /// Its number, from 1 in order of time.
    pub number: usize,
    /// Whether it is the moonlit period of a blend.
    pub is_land: bool,
    /// When it is open.
    pub interval: Interval,
    /// Its best instant.
    pub best: Moment,
}

/// Lines of the timetable that are told.
const NEXT: usize = 5;
/// The Sun's geometric altitude at rise and set, degrees.
const RISE_DEG: f64 = -50.0 / 60.0;

impl NightNow {
    /// What goes on at `moment` of a night that `planner` planned.
    ///
    /// # Errors
    ///
    /// A moment outside the planner's season.
    pub fn of(planner: &Planner, plan: &NightPlan<'_>, moment: Moment) -> Result<Self, PlanError> {
        planner.check_known(moment)?;
        let step = NightStep::at(planner, &plan.lens, moment);
        let last = plan.card().last().map(TimetableEntry::moment);
        let of_sky = |event: NightEvent| !matches!(event, NightEvent::ClocksChange(_));
        Ok(Self {
            gloom: Gloom::of(step.instant.sky.sun.altitude_deg),
            land: land_frame(&plan.lens, &step.instant),
            window: periods(&plan.windows)
                .into_iter()
                .find(|window| moment < window.interval.last()),
            next: plan
                .order
                .iter()
                .filter(|entry| entry.moment() > moment && of_sky(entry.event))
                .take(NEXT)
                .cloned()
                .collect(),
            is_over: last.is_none_or(|last| last < moment),
            step,
        })
    }

    /// The window, if it is open.
    pub fn open(&self) -> Option<&OpenWindow> {
        let now = self.step.instant.moment();
        self.window
            .as_ref()
            .filter(|window| window.interval.first() <= now)
    }
}

/// The windows and the moonlit periods that belong to them, in order of time.
fn periods(windows: &[Window]) -> Vec<OpenWindow> {
    let mut all: Vec<OpenWindow> = Vec::new();
    for (index, window) in windows.iter().enumerate() {
        let number = index + 1;
        all.push(OpenWindow {
            number,
            is_land: false,
            interval: window.interval,
            best: window.best.moment(),
        });
        all.extend(window.land.as_ref().map(|land| OpenWindow {
            number,
            is_land: true,
            interval: land.interval,
            best: land.best.moment(),
        }));
    }
    all.sort_by(|a, b| a.interval.start.total_cmp(&b.interval.start));
    all
}

impl Gloom {
    fn of(sun_altitude_deg: f64) -> Self {
        match sun_altitude_deg {
            h if h > RISE_DEG => Self::Day,
            h if h > -6.0 => Self::Civil,
            h if h > -12.0 => Self::Nautical,
            h if h > -18.0 => Self::Astronomical,
            _ => Self::Dark,
        }
    }
}

impl Planner {
    /// The first window of the planner's nights, in order of time.
    pub fn first_window(&self) -> Option<Window> {
        let least = self.rules().min_score();
        let worthwhile = |window: &Window| window.score >= least;
        self.nights()
            .find_map(|night| self.night_windows(&night).into_iter().find(worthwhile))
    }
}
