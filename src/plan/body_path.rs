//! The way of a body over the land round a place, through one night.

use super::{ridge_crossings::ridge_crossings, timetable::Body};
use crate::{
    ephemeris::{EventKind, Horizontal, Moment, Sky},
    rule::offset_deg,
    scene::{Skyline, Zone},
    search::Interval,
};

/// Seconds from one point of a path to the next.
const PATH_STEP_SECONDS: f64 = 300.0;
/// Azimuth that a body turns in that time at most before there are more, degrees.
const FAST_TURN_DEG: f64 = 4.0;

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

impl BodyPath {
    /// Follows a body through the time without the Sun; its points are those of
    /// the dark hours.
    pub(super) fn of(
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
