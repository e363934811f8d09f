//! The timetable of one night.

use super::{
    advice::Advice,
    cautions::Caution,
    darkness::Darkness,
    night_step::NightStep,
    no_window::NoWindow,
    periods::Periods,
    timetable::{NightEvent, TimetableEntry},
};
use crate::{
    ephemeris::{Event, EventKind, Moment},
    rule::Rules,
    scene::Site,
    search::{Lens, Night, Window},
    terrain::{MagneticError, MagneticField},
};

/// The settings of a timetable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanSettings {
    /// Minutes from one step to the next; at least one.
    pub step_minutes: f64,
    /// Factor of the full NPF rule, 1 strict to 3 lenient.
    pub npf_factor: f64,
    /// How long before sunset to arrive, minutes.
    pub daylight_minutes: f64,
}

impl Default for PlanSettings {
    /// A quarter of an hour, the strict rule, an hour of daylight (common
    /// practice, no source).
    fn default() -> Self {
        Self {
            step_minutes: 15.0,
            npf_factor: 1.0,
            daylight_minutes: 60.0,
        }
    }
}

/// One night at a site, worked out for the field.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NightPlan<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules that make its windows.
    pub rules: &'a Rules,
    /// The night.
    pub night: Night,
    /// The camera that exposures are for.
    pub lens: Lens,
    /// How dark it gets.
    pub darkness: Darkness,
    /// Rise, set, twilights and transits from noon to noon.
    pub events: Vec<Event>,
    /// The windows, in order of time, ranked among themselves by score.
    pub windows: Vec<Window>,
    /// Without a window: why.
    pub no_window: Option<NoWindow>,
    /// The timetable from noon to noon, in order of time.
    pub order: Vec<TimetableEntry>,
    /// Sky, light and settings at every step of the dark hours.
    pub steps: Vec<NightStep>,
    /// The Sun's altitude below which there are steps, degrees; `None` if the
    /// Sun does not set.
    pub steps_below_sun_deg: Option<f64>,
    /// When the Moon lights the land and when the sky is dark.
    pub periods: Periods,
    /// Where a compass points, or why this is unknown.
    pub compass: Result<MagneticField, MagneticError>,
    /// Whether the clocks change from noon to noon, so that every time shows
    /// its offset.
    pub clocks_change: bool,
    /// What to do, in the order in which it is used.
    pub advice: Vec<Advice>,
    /// What can go wrong.
    pub cautions: Vec<Caution>,
}

impl NightPlan<'_> {
    /// The first event of a kind from noon to noon.
    pub fn when(&self, kind: EventKind) -> Option<Moment> {
        self.events
            .iter()
            .find(|event| event.kind == kind)
            .map(|event| event.moment)
    }

    /// The lines of the timetable for a card: from the arrival to sunrise;
    /// everything if the Sun does not set or rise.
    pub fn card(&self) -> impl Iterator<Item = &TimetableEntry> {
        let from = self
            .order
            .iter()
            .find(|entry| entry.event == NightEvent::Arrive)
            .or_else(|| {
                let sunset = NightEvent::Sky(EventKind::Sunset);
                self.order.iter().find(|entry| entry.event == sunset)
            })
            .map_or(self.night.start, TimetableEntry::moment);
        let sunrise = NightEvent::Sky(EventKind::Sunrise);
        let to = self
            .order
            .iter()
            .find(|entry| entry.event == sunrise && entry.moment() > from)
            .map_or(self.night.end, TimetableEntry::moment);
        self.order
            .iter()
            .filter(move |entry| from <= entry.moment() && entry.moment() <= to)
    }
}
