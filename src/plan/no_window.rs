//! Why a night has no window.

use super::darkness::Darkness;
use crate::{
    ephemeris::Event,
    rule::Rule,
    scene::LightKind,
    search::{Night, Planner, Window},
    why::{PeriodKind, PeriodReasons},
};

/// What leaves a night without a window.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct NoWindow {
    /// The first rule that leaves no time.
    pub rule: &'static Rule,
    /// Whose rule that is: of a blend that of one of its two periods.
    pub period: PeriodKind,
    /// The Sun's least geometric altitude of the night, degrees.
    pub lowest_sun_deg: f64,
}

impl NoWindow {
    /// Why `night` has none of `windows`; `None` where it has one.
    pub(crate) fn of(
        planner: &Planner,
        night: &Night,
        darkness: &Darkness,
        windows: &[Window],
    ) -> Option<Self> {
        let whole = planner.why_none(night, windows)?;
        let first = |period: &PeriodReasons| Some((period.kind, period.reasons.first_unmet()?));
        let periods = match planner.rules().light {
            LightKind::Blend => planner.reasons_by_period(night),
            _ => Vec::new(),
        };
        let of_period = periods.iter().find_map(first);
        let (period, rule) = of_period.unwrap_or((PeriodKind::Both, whole));
        Some(Self {
            rule,
            period,
            lowest_sun_deg: darkness.lowest_sun_deg,
        })
    }

    /// The same for a night of which the events are known.
    pub(crate) fn of_events(
        planner: &Planner,
        night: &Night,
        events: &[Event],
        windows: &[Window],
    ) -> Option<Self> {
        let darkness = || Darkness::of(&planner.sky(), night, events);
        windows
            .is_empty()
            .then(|| Self::of(planner, night, &darkness(), windows))?
    }
}
