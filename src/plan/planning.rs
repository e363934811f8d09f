//! How a night is worked out for the field.

use super::{
    adviser::advice,
    cautions::cautions,
    darkness::{Darkness, Depth, between},
    light_turn::light_turns,
    night_plan::{NightPlan, PlanSettings},
    night_step::{NightStep, land_skyline},
    no_window::NoWindow,
    periods::Periods,
    ridge_crossings::{ridge_crossings, subject_crossings},
    timetable::{Body, NightEvent, TimetableEntry},
};
use crate::{
    ephemeris::{Event, EventKind, Moment},
    light::LightError,
    scene::Site,
    search::{Interval, Lens, Night, PlanError, Planner, Window},
};
use chrono::NaiveDate;
impl Planner {
    /// A night of the season worked out for the field.
    ///
    /// # Errors
    ///
    /// A night outside the season or the site's calendar, or an impossible
    /// camera.
    pub fn plan(
        &self,
        date: NaiveDate,
        settings: &PlanSettings,
    ) -> Result<NightPlan<'_>, PlanError> {
        Ok(NightPlan::new(self, self.night(date)?, settings)?)
    }
}

impl<'a> NightPlan<'a> {
    fn new(
        planner: &'a Planner,
        night: Night,
        settings: &PlanSettings,
    ) -> Result<Self, LightError> {
        let site = planner.site();
        let lens = Lens::of(site, settings.npf_factor)?;
        let events = planner.sky().events(night.start, night.end);
        let darkness = Darkness::of(&planner.sky(), &night, &events);
        let mut windows = planner.night_windows(&night);
        rank(&mut windows);
        let periods = Periods::of(planner, &night);
        let happenings = happenings(planner, &night, settings, &events, &windows, &periods);
        let order: Vec<TimetableEntry> = happenings
            .into_iter()
            .map(|(t, event)| TimetableEntry {
                event,
                step: step(planner, &lens, &windows, Moment::from_seconds(t), event),
            })
            .collect();
        let (steps_below_sun_deg, hours) = dark_hours(planner, &night, &darkness, &events).unzip();
        let steps = hours
            .map(|hours| step_times(site, hours, settings.step_minutes))
            .unwrap_or_default()
            .into_iter()
            .map(|t| NightStep::at(planner, &lens, Moment::from_seconds(t)))
            .collect();
        let middle = night.start.plus_seconds(43_200.0);
        let mut plan = Self {
            site,
            rules: planner.rules(),
            night,
            lens,
            darkness,
            events,
            no_window: NoWindow::of(planner, &night, &darkness, &windows),
            windows,
            order,
            steps,
            steps_below_sun_deg,
            periods,
            compass: site.magnetic_field(middle),
            clocks_change: !site.zone.offset_changes(night.start, night.end).is_empty(),
            advice: Vec::new(),
            cautions: cautions(site, night.date),
        };
        plan.advice = advice(planner, &plan);
        Ok(plan)
    }
}

/// Fills in ranks by score; equal scores in order of time.
fn rank(windows: &mut [Window]) {
    let mut order: Vec<usize> = (0..windows.len()).collect();
    order.sort_by(|a, b| windows[*b].score.total_cmp(&windows[*a].score));
    for (rank, index) in order.into_iter().enumerate() {
        windows[index].rank = rank + 1;
    }
}

/// The step of an event. A blend's camera does not move from its dark period to
/// its moonlit one.
fn step(
    planner: &Planner,
    lens: &Lens,
    windows: &[Window],
    moment: Moment,
    event: NightEvent,
) -> NightStep {
    let of_land = match event {
        NightEvent::LandBegins(n) | NightEvent::LandBest(n) | NightEvent::LandEnds(n) => Some(n),
        _ => None,
    };
    let window = of_land.and_then(|n| windows.get(n.checked_sub(1)?));
    match window {
        Some(window) => {
            let instant = planner.at_facing(moment, window.best.facing_deg);
            NightStep::of(planner, lens, instant)
        }
        None => NightStep::at(planner, lens, moment),
    }
}

fn happenings(
    planner: &Planner,
    night: &Night,
    settings: &PlanSettings,
    events: &[Event],
    windows: &[Window],
    periods: &Periods,
) -> Vec<(f64, NightEvent)> {
    let (site, sky) = (planner.site(), planner.sky());
    let mut list: Vec<(f64, NightEvent)> = events
        .iter()
        .map(|event| (event.moment.seconds(), NightEvent::Sky(event.kind)))
        .collect();
    if let Some(sunset) = events.iter().find(|e| e.kind == EventKind::Sunset) {
        let arrive = sunset.moment.seconds() - 60.0 * settings.daylight_minutes.max(0.0);
        list.push((arrive.max(night.start.seconds()), NightEvent::Arrive));
    }
    let ridges = [
        (Body::Moon, land_skyline(site)),
        (Body::Target, site.skyline.as_ref()),
    ];
    for (body, skyline) in ridges {
        let Some(skyline) = skyline else { continue };
        // One ridge for land and camera: a Moon that is the target is told once.
        if body == Body::Target && sky.target_is_moon() && site.subject_skyline.is_none() {
            continue;
        }
        for crossing in ridge_crossings(&sky, skyline, body, night.start, night.end) {
            let event = match (body, crossing.clears) {
                (Body::Moon, true) => NightEvent::MoonClearsRidge,
                (Body::Moon, false) => NightEvent::MoonBehindRidge,
                (_, true) => NightEvent::TargetClearsRidge,
                (_, false) => NightEvent::TargetBehindRidge,
            };
            list.push((crossing.moment.seconds(), event));
        }
    }
    // The Moon as target is told once.
    let of_moon = planner.rules().target.is_moon();
    let bodies = [Body::Moon, Body::Target].into_iter();
    for body in bodies.filter(|body| *body == Body::Target || !of_moon) {
        for crossing in subject_crossings(&sky, site, body, night.start, night.end) {
            // By day nobody looks for either.
            if sky.at(crossing.moment).sun.altitude_deg > 0.0 {
                continue;
            }
            let event = match (body, crossing.clears) {
                (Body::Moon, true) => NightEvent::MoonClearsSubject,
                (Body::Moon, false) => NightEvent::MoonBehindSubject,
                (_, true) => NightEvent::TargetClearsSubject,
                (_, false) => NightEvent::TargetBehindSubject,
            };
            list.push((crossing.moment.seconds(), event));
        }
    }
    let (from, to) = (night.start.seconds(), night.end.seconds());
    for period in &periods.in_place {
        if period.start > from {
            list.push((period.start, NightEvent::TargetInPlace));
        }
        if period.end < to {
            list.push((period.end, NightEvent::TargetLeavesPlace));
        }
    }
    // Where the Moon is the target, it matters where it stands in the picture,
    // and not only from when on it lights the land.
    let of_moon = sky.target_is_moon();
    for period in if of_moon {
        &periods.in_place
    } else {
        &periods.moonlit
    } {
        list.extend(light_turns(planner, *period));
    }
    for (index, window) in windows.iter().enumerate() {
        let number = index + 1;
        list.push((window.interval.start, NightEvent::WindowOpens(number)));
        list.push((
            window.best.moment().seconds(),
            NightEvent::WindowBest(number),
        ));
        list.push((window.interval.end, NightEvent::WindowCloses(number)));
        if let Some(land) = &window.land {
            list.push((land.interval.start, NightEvent::LandBegins(number)));
            list.push((land.best.moment().seconds(), NightEvent::LandBest(number)));
            list.push((land.interval.end, NightEvent::LandEnds(number)));
        }
    }
    list.extend(eclipse_phases(planner, night));
    for (moment, offset) in site.zone.offset_changes(night.start, night.end) {
        list.push((moment.seconds(), NightEvent::ClocksChange(offset)));
    }
    // A stable sort: simultaneous events stay in the order above.
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    list
}

/// The phases of a lunar eclipse visible from the place.
fn eclipse_phases(planner: &Planner, night: &Night) -> Vec<(f64, NightEvent)> {
    let sky = planner.sky();
    // An eclipse lasts up to four hours to either side of its middle.
    let (from, to) = (
        night.start.plus_seconds(-4.0 * 3600.0),
        night.end.plus_seconds(4.0 * 3600.0),
    );
    let mut phases = Vec::new();
    for eclipse in sky.ephemeris().lunar_eclipses(from, to) {
        let penumbral = eclipse.partial.is_none();
        let mut put = |moment: Moment, event| phases.push((moment, event));
        put(eclipse.greatest, NightEvent::EclipseGreatest { penumbral });
        if let Some([begins, ends]) = eclipse.partial {
            put(begins, NightEvent::EclipseBegins);
            put(ends, NightEvent::EclipseEnds);
        }
        if let Some([begins, ends]) = eclipse.total {
            put(begins, NightEvent::TotalityBegins);
            put(ends, NightEvent::TotalityEnds);
        }
    }
    phases
        .into_iter()
        .filter(|(moment, _)| night.start <= *moment && *moment <= night.end)
        .filter(|(moment, _)| sky.at(*moment).moon.apparent_altitude_deg > 0.0)
        .map(|(moment, event)| (moment.seconds(), event))
        .collect()
}

/// The dark hours: the Sun below -12 degrees; if it stays above that, below -6,
/// or only set. Those of a Moon that is the target begin with sunset, as its
/// pictures do. The threshold and the period.
pub(super) fn dark_hours(
    planner: &Planner,
    night: &Night,
    darkness: &Darkness,
    events: &[Event],
) -> Option<(f64, Interval)> {
    use EventKind::{CivilDawn, CivilDusk, NauticalDawn, NauticalDusk, Sunrise, Sunset};
    let (below_deg, dusk, dawn) = match darkness.depth {
        Depth::SunUp => return None,
        _ if planner.rules().target.is_moon() => (-50.0 / 60.0, Sunset, Sunrise),
        Depth::Night | Depth::Astronomical => (-12.0, NauticalDusk, NauticalDawn),
        Depth::Nautical => (-6.0, CivilDusk, CivilDawn),
        Depth::Civil => (-50.0 / 60.0, Sunset, Sunrise),
    };
    let holds = |moment| planner.sky().at(moment).sun.altitude_deg < below_deg;
    between(events, dusk, dawn, night, holds).map(|interval| (below_deg, interval))
}

/// Round times on the local clock through a period, one step apart.
fn step_times(site: &Site, hours: Interval, step_minutes: f64) -> Vec<f64> {
    let step = 60.0 * step_minutes.clamp(1.0, 1440.0);
    let offset = f64::from(site.zone.offset_seconds_at(hours.first()));
    // Moment's zero is at noon; counting from a local midnight puts a step of
    // an hour on full hours.
    let local = |t: f64| t + 43_200.0 + offset;
    let first = (local(hours.start) / step).ceil() * step - local(0.0);
    let count = ((hours.end - first) / step).floor();
    if count < 0.0 {
        return Vec::new();
    }
    (0..=count as usize)
        .map(|index| first + index as f64 * step)
        .collect()
}
