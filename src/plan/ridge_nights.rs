//! When Moon and target clear the land round a place, on several nights.

use super::{
    darkness::{Darkness, between},
    night_step::land_skyline,
    planning::dark_hours,
    ridge_crossings::ridge_crossings,
    timetable::Body,
};
use crate::{
    ephemeris::{Eclipse, EventKind, Horizontal, Moment, Sky},
    rule::{Conditions, Rule, offset_deg},
    scene::{Skyline, Zone},
    search::{Interval, Night, PlanError, Planner, Window},
};
use chrono::{Days, NaiveDate};

/// Nights to either side of the one asked for that can belong to its cluster.
/// The project's choice.
const CLUSTER_REACH: u64 = 2;
/// Nights that a planner must know on either side of the one asked for.
pub const RIDGE_NIGHTS_AROUND: u64 = CLUSTER_REACH;
/// The most nights that are asked for at once: more paths cannot be told apart.
pub const MOST_RIDGE_NIGHTS: u32 = 7;
/// Seconds from one point of a path to the next.
const PATH_STEP_SECONDS: f64 = 300.0;
/// Azimuth that a body turns in that time at most before there are more, degrees.
const FAST_TURN_DEG: f64 = 4.0;

/// Several nights in a row, against the land round the place.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct RidgeNights {
    /// The night asked for.
    pub date: NaiveDate,
    /// The nights, in order.
    pub nights: Vec<RidgeNight>,
    /// Sky, light and camera direction at the best instant of that night's best
    /// window; without one, at its darkest.
    pub instant: Conditions,
    /// Without a window in that night: the first rule that leaves no time.
    pub unmet: Option<&'static Rule>,
}

/// One of them.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct RidgeNight {
    /// The night.
    pub night: Night,
    /// From sunset to sunrise; `None` if the Sun does not set.
    pub sunless: Option<Interval>,
    /// The dark hours, as a timetable has them: the Sun below -12 degrees; if it
    /// stays above that, below -6, or only set. All of the time without the Sun
    /// where the Moon is the target.
    pub dark: Option<Interval>,
    /// The best instant of the best window; without one, the darkest.
    pub shown: Moment,
    /// The lit part of the Moon's disc, 0 to 1, then.
    pub moon_fraction: f64,
    /// The Moon against the skyline that counts for it.
    pub moon: BodyPath,
    /// The target against the skyline seen from the camera.
    pub target: BodyPath,
    /// The windows, in order of time.
    pub windows: Vec<Window>,
    /// The lunar eclipse that can be seen in the time without the Sun.
    pub eclipse: Option<Eclipse>,
}

/// A body through one night.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct BodyPath {
    /// Its positions through the dark hours, both ends and the whole hours of the
    /// local clock included, one in five minutes at least.
    pub points: Vec<PathPoint>,
    /// When it clears the land and goes behind it, between sunset and sunrise;
    /// without a skyline when it rises and sets.
    pub crossings: Vec<PathCrossing>,
    /// Whether it is above the land at sunset.
    pub clear_at_sunset: bool,
    /// Where it stands highest above the land, or least far behind it, in the
    /// dark hours.
    pub nearest: Option<Nearest>,
}

/// A position on a path.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PathPoint {
    /// When.
    pub moment: Moment,
    /// Where.
    pub place: Horizontal,
    /// Whether it is above the land.
    pub clear: bool,
}

/// A body on the edge of the land.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PathCrossing {
    /// When.
    pub moment: Moment,
    /// Where.
    pub place: Horizontal,
    /// Whether the body appears; otherwise it goes behind.
    pub clears: bool,
    /// Whether that is in the dark hours.
    pub dark: bool,
}

/// The place of a path that is highest against the land.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Nearest {
    /// When.
    pub moment: Moment,
    /// Where.
    pub place: Horizontal,
    /// Apparent altitude above the land there, degrees; negative behind it.
    pub above_land_deg: f64,
}

impl RidgeNights {
    /// The night asked for.
    pub fn asked(&self) -> Option<&RidgeNight> {
        self.nights.iter().find(|one| one.night.date == self.date)
    }

    /// How much later a body clears the land (or goes behind it) each night than
    /// the night before, minutes, negative for earlier: the least and the most
    /// over nights in a row that have it; `None` if no two have.
    pub fn later_minutes(
        &self,
        body: impl Fn(&RidgeNight) -> &BodyPath,
        clears: bool,
    ) -> Option<[f64; 2]> {
        let first = |one: &RidgeNight| {
            let of_kind = |crossing: &&PathCrossing| crossing.clears == clears;
            let found = body(one).crossings.iter().find(of_kind)?;
            Some(found.moment.seconds() - one.night.start.seconds())
        };
        let pairs = self.nights.iter().zip(self.nights.iter().skip(1));
        let later = pairs.filter_map(|(one, next)| Some((first(next)? - first(one)?) / 60.0));
        later.fold(None, |range, minutes| match range {
            None => Some([minutes, minutes]),
            Some([least, most]) => Some([minutes.min(least), minutes.max(most)]),
        })
    }
}

impl Planner {
    /// The night of `date` and those beside it, against the land round the
    /// place.
    ///
    /// With `count` it is so many nights from that one on, fewer where the
    /// planner's season ends. Without it is the night's cluster: the nights
    /// without a gap about it that have a window, two to either side at most,
    /// and one to either side at least.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn ridge_nights(
        &self,
        date: NaiveDate,
        count: Option<u32>,
    ) -> Result<RidgeNights, PlanError> {
        let asked = RidgeNight::of(self, self.night(date)?);
        let known = |date: Option<NaiveDate>| {
            let night = self.night(date?).ok()?;
            Some(RidgeNight::of(self, night))
        };
        let after = |days: u64| known(date.checked_add_days(Days::new(days)));
        let before = |days: u64| known(date.checked_sub_days(Days::new(days)));
        let instant = self.instant_at(asked.shown);
        let unmet = self.why_none(&asked.night, &asked.windows);
        let mut nights = Vec::new();
        match count {
            Some(count) => {
                nights.push(asked);
                nights.extend((1..u64::from(count)).map_while(after));
            }
            None => {
                let in_a_row = |side: &dyn Fn(u64) -> Option<RidgeNight>| {
                    let mut row = Vec::new();
                    for days in 1..=CLUSTER_REACH {
                        let Some(one) = side(days) else { break };
                        let belongs = !asked.windows.is_empty() && !one.windows.is_empty();
                        if days > 1 && !belongs {
                            break;
                        }
                        row.push(one);
                        if !belongs {
                            break;
                        }
                    }
                    row
                };
                let (mut earlier, later) = (in_a_row(&before), in_a_row(&after));
                earlier.reverse();
                nights = earlier;
                nights.push(asked);
                nights.extend(later);
            }
        }
        Ok(RidgeNights {
            date,
            nights,
            instant,
            unmet,
        })
    }
}

impl RidgeNight {
    fn of(planner: &Planner, night: Night) -> Self {
        let (site, sky) = (planner.site(), planner.sky());
        let events = sky.events(night.start, night.end);
        let darkness = Darkness::of(&sky, &night, &events);
        let is_down = |moment| sky.at(moment).sun.altitude_deg < -50.0 / 60.0;
        let (set, rise) = (EventKind::Sunset, EventKind::Sunrise);
        let sunless = between(&events, set, rise, &night, is_down);
        let dark = dark_hours(planner, &night, &darkness, &events).map(|(_, hours)| hours);
        // A Moon that is the target is looked at, and not the light that it gives.
        let of_moon = match planner.rules().target.is_moon() {
            true => site.skyline.as_ref(),
            false => land_skyline(site),
        };
        let path = |body, skyline| BodyPath::of(&sky, (site.zone, skyline), body, sunless, dark);
        let windows = planner.night_windows(&night);
        let best = windows.iter().max_by(|a, b| a.score.total_cmp(&b.score));
        let shown = best.map_or(darkness.darkest, |window| window.best.moment());
        Self {
            night,
            sunless,
            dark,
            shown,
            moon_fraction: sky.at(shown).phase.illuminated_fraction,
            eclipse: seen_eclipse(&sky, &night, sunless),
            moon: path(Body::Moon, of_moon),
            target: path(Body::Target, site.skyline.as_ref()),
            windows,
        }
    }

    /// The window of the highest score.
    pub fn best_window(&self) -> Option<&Window> {
        let windows = self.windows.iter();
        windows.max_by(|a, b| a.score.total_cmp(&b.score))
    }
}

/// The deepest eclipse whose umbral part, or else whose middle, has the Moon up
/// and the Sun down for some of its time.
fn seen_eclipse(sky: &Sky<'_>, night: &Night, sunless: Option<Interval>) -> Option<Eclipse> {
    let hours = sunless?;
    let (from, to) = (
        night.start.plus_seconds(-4.0 * 3600.0),
        night.end.plus_seconds(4.0 * 3600.0),
    );
    let eclipses = sky.ephemeris().lunar_eclipses(from, to).into_iter();
    eclipses
        .filter(|eclipse| {
            let [begins, ends] = eclipse.partial.unwrap_or([eclipse.greatest; 2]);
            let (begins, ends) = (
                begins.seconds().max(hours.start),
                ends.seconds().min(hours.end),
            );
            let is_up = |t: f64| sky.at(Moment::from_seconds(t)).moon.apparent_altitude_deg > 0.0;
            begins <= ends && (is_up(begins) || is_up(ends))
        })
        .max_by_key(|eclipse| eclipse.kind)
}

impl BodyPath {
    fn of(
        sky: &Sky<'_>,
        (zone, skyline): (Zone, Option<&Skyline>),
        body: Body,
        sunless: Option<Interval>,
        dark: Option<Interval>,
    ) -> Self {
        let place = |t: f64| {
            let state = sky.at(Moment::from_seconds(t));
            match body {
                Body::Target => state.target,
                Body::Moon => state.moon,
                Body::Sun => state.sun,
            }
        };
        let above = |place: &Horizontal| {
            let land = skyline.map_or(0.0, |skyline| skyline.altitude_deg_at(place.azimuth_deg));
            place.apparent_altitude_deg - land
        };
        let in_dark = |t: f64| dark.is_some_and(|dark| dark.start <= t && t <= dark.end);
        let times = sunless.map_or_else(Vec::new, |hours| {
            let (from, to) = (hours.first(), hours.last());
            match skyline {
                Some(skyline) => ridge_crossings(sky, skyline, body, from, to)
                    .into_iter()
                    .map(|crossing| (crossing.moment, crossing.clears))
                    .collect(),
                None => rises_and_sets(sky, body, from, to),
            }
        });
        let crossings: Vec<PathCrossing> = times
            .into_iter()
            .map(|(moment, clears)| PathCrossing {
                moment,
                place: place(moment.seconds()),
                clears,
                dark: in_dark(moment.seconds()),
            })
            .collect();
        let clear_at_sunset = match (crossings.first(), sunless) {
            (Some(first), _) => !first.clears,
            (None, Some(hours)) => above(&place(0.5 * (hours.start + hours.end))) >= 0.0,
            (None, None) => false,
        };
        let clear_at = |t: f64| {
            let mut before = crossings.iter().rev();
            let last = before.find(|one| one.moment.seconds() <= t);
            last.map_or(clear_at_sunset, |last| last.clears)
        };
        let points: Vec<PathPoint> = dark
            .map(|dark| path_times(dark, zone, place))
            .unwrap_or_default()
            .into_iter()
            .map(|t| PathPoint {
                moment: Moment::from_seconds(t),
                place: place(t),
                clear: clear_at(t),
            })
            .collect();
        let nearest = points
            .iter()
            .map(|point| Nearest {
                moment: point.moment,
                place: point.place,
                above_land_deg: above(&point.place),
            })
            .max_by(|a, b| a.above_land_deg.total_cmp(&b.above_land_deg));
        Self {
            points,
            crossings,
            clear_at_sunset,
            nearest,
        }
    }

    /// Whether it is above the land at some time in the dark hours.
    pub fn shows(&self) -> bool {
        self.points.iter().any(|point| point.clear)
            || self.crossings.iter().any(|crossing| crossing.dark)
    }

    /// The parts of its path above the land in the dark hours, from edge to edge:
    /// each a line of moments and places.
    pub fn clear_parts(&self) -> Vec<Vec<(Moment, Horizontal)>> {
        let mut all: Vec<(Moment, Horizontal, bool, bool)> = self
            .points
            .iter()
            .map(|point| (point.moment, point.place, point.clear, false))
            .collect();
        let edges = self.crossings.iter().filter(|one| one.dark);
        all.extend(edges.map(|one| (one.moment, one.place, one.clears, true)));
        all.sort_by(|a, b| a.0.seconds().total_cmp(&b.0.seconds()));
        let mut parts: Vec<Vec<(Moment, Horizontal)>> = Vec::new();
        let mut open = false;
        for (moment, place, clear, edge) in all {
            if clear && !open {
                parts.push(Vec::new());
            }
            if let Some(part) = parts.last_mut()
                && (clear || (open && edge))
            {
                part.push((moment, place));
            }
            open = clear;
        }
        parts.retain(|part| part.len() > 1);
        parts
    }
}

/// When a body rises and sets over the level horizon.
fn rises_and_sets(sky: &Sky<'_>, body: Body, from: Moment, to: Moment) -> Vec<(Moment, bool)> {
    let of_moon = body == Body::Moon || sky.target_is_moon();
    let (rise, set) = match of_moon {
        true => (EventKind::Moonrise, EventKind::Moonset),
        false => (EventKind::TargetRise, EventKind::TargetSet),
    };
    let events = sky.events(from, to).into_iter();
    events
        .filter(|event| event.kind == rise || event.kind == set)
        .map(|event| (event.moment, event.kind == rise))
        .collect()
}

/// The moments of a path: both ends, the whole hours of the local clock, and as
/// few equal steps as keep to [`PATH_STEP_SECONDS`], in fifths where the body
/// turns fast, near the zenith.
fn path_times(hours: Interval, zone: Zone, place: impl Fn(f64) -> Horizontal) -> Vec<f64> {
    let length = hours.end - hours.start;
    let steps = (length / PATH_STEP_SECONDS).ceil().clamp(1.0, 1000.0);
    let step = length / steps;
    let mut times = Vec::new();
    for index in 0..steps as u32 {
        let from = hours.start + step * f64::from(index);
        times.push(from);
        let turn = offset_deg(place(from + step).azimuth_deg, place(from).azimuth_deg);
        if turn.abs() > FAST_TURN_DEG {
            times.extend((1..5).map(|part| from + step * f64::from(part) / 5.0));
        }
    }
    times.push(hours.end);
    let offset = f64::from(zone.offset_seconds_at(hours.first()));
    // Moments are counted from a noon.
    let first = ((hours.start + offset) / 3600.0).ceil() * 3600.0 - offset;
    let whole = (0..=24).map(|hour| first + 3600.0 * f64::from(hour));
    times.extend(whole.filter(|t| *t <= hours.end));
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}
