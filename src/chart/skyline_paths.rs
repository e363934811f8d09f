//! The paths of Moon and target over the land.

use super::{
    sheet::{Sheet, element, px, stroke, through},
    skyline::SkylineChart,
    skyline_land::avoid,
    skyline_strip::Strip,
};
use crate::{
    ephemeris::{Horizontal, Moment},
    plan::{BodyPath, PathPoint, RidgeNight},
    rule::offset_deg,
    search::Interval,
};
use svg::Node;

/// Moments and places along a path.
pub type Part = Vec<(Moment, Horizontal)>;

/// Weights of a path, pixels: of the night asked for, of another, in a window.
const ASKED: f64 = 1.7;
const OTHER: f64 = 0.9;
const HEAVIER: f64 = 2.2;

/// A path that is drawn.
pub struct Drawn<'a> {
    /// Whose night.
    pub night: &'a RidgeNight,
    /// The path.
    pub body: &'a BodyPath,
    /// Whether it is the Moon's.
    pub of_moon: bool,
    /// Whether its night is the one asked for.
    pub asked: bool,
}

/// The Moon's path of each night, and the target's of the night asked for.
pub fn drawn<'a>(chart: &SkylineChart<'a>) -> Vec<Drawn<'a>> {
    let nights = chart.nights;
    let moons = nights.nights.iter().map(|night| Drawn {
        night,
        body: &night.moon,
        of_moon: true,
        asked: night.night.date == nights.date,
    });
    let target = nights.asked().filter(|_| chart.has_target());
    let target = target.map(|night| Drawn {
        night,
        body: &night.target,
        of_moon: false,
        asked: true,
    });
    moons.chain(target).collect()
}

impl Drawn<'_> {
    fn weight(&self) -> f64 {
        if self.asked { ASKED } else { OTHER }
    }

    fn name(&self) -> &'static str {
        if self.of_moon { "moon" } else { "target" }
    }

    /// The times of the windows in which this body does its work: a blend's Moon
    /// lights the land in a period of its own.
    fn windows(&self) -> Vec<Interval> {
        let windows = self.night.windows.iter();
        windows
            .map(|window| match &window.land {
                Some(land) if self.of_moon => land.interval,
                _ => window.interval,
            })
            .collect()
    }
}

/// Where a path is at a moment, between two of its points.
fn between(part: &Part, moment: Moment) -> Option<Horizontal> {
    let t = moment.seconds();
    let pairs = part.iter().zip(part.iter().skip(1));
    let mut around = pairs.filter(|(a, b)| a.0.seconds() <= t && t <= b.0.seconds());
    let ((from, a), (to, b)) = around.next()?;
    let length = to.seconds() - from.seconds();
    let share = if length > 0.0 {
        (t - from.seconds()) / length
    } else {
        0.0
    };
    let mut place = *a;
    let turn = offset_deg(b.azimuth_deg, a.azimuth_deg);
    place.azimuth_deg = (a.azimuth_deg + share * turn).rem_euclid(360.0);
    place.apparent_altitude_deg += share * (b.apparent_altitude_deg - a.apparent_altitude_deg);
    place.altitude_deg += share * (b.altitude_deg - a.altitude_deg);
    Some(place)
}

/// The stretch of a part within some times, its ends included.
pub fn within(part: &Part, times: Interval) -> Part {
    let (Some(first), Some(last)) = (part.first(), part.last()) else {
        return Vec::new();
    };
    let start = times.start.max(first.0.seconds());
    let end = times.end.min(last.0.seconds());
    if start >= end {
        return Vec::new();
    }
    let edge = |t: f64| {
        let moment = Moment::from_seconds(t);
        between(part, moment).map(|place| (moment, place))
    };
    let inside = part.iter().filter(|(moment, _)| {
        let t = moment.seconds();
        start < t && t < end
    });
    edge(start)
        .into_iter()
        .chain(inside.copied())
        .chain(edge(end))
        .collect()
}

/// The pieces of a part in a strip.
pub fn pieces(strip: &Strip, part: &Part) -> Vec<Vec<(f64, f64)>> {
    let directions: Vec<(f64, f64)> = part
        .iter()
        .map(|(_, place)| (place.azimuth_deg, place.apparent_altitude_deg))
        .collect();
    strip.pieces(&directions)
}

/// The path of the Moon of the night asked for, if it is up and does not clear
/// the land in the dark.
pub fn hidden(path: &Drawn<'_>) -> Option<Part> {
    let up = |point: &&PathPoint| point.place.apparent_altitude_deg > 0.0;
    let points = path.body.points.iter().filter(up);
    let part: Part = points.map(|point| (point.moment, point.place)).collect();
    (path.of_moon && path.asked && !path.body.shows() && part.len() > 1).then_some(part)
}

/// Draws where a Moon that does not clear the land stays behind it.
pub fn draw_hidden(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip, clip: &str) {
    for path in drawn(chart) {
        let Some(part) = hidden(&path) else { continue };
        let pieces = pieces(strip, &part);
        let data: String = pieces.iter().map(|piece| through(piece)).collect();
        if data.is_empty() {
            continue;
        }
        let mut node = stroke(&data, &sheet.palette.ink(), path.weight());
        node.assign("stroke-dasharray", "1.5 4");
        node.assign("clip-path", sheet.url(clip));
        node.assign("data-hidden", path.name());
        node.assign("data-night", path.night.night.date.to_string());
        sheet.draw(node);
        for piece in &pieces {
            avoid(sheet, strip, piece, 2.0);
        }
    }
}

/// Draws the paths, their hours, their windows and where they meet the land.
pub fn draw_paths(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip, clip: &str) {
    for path in drawn(chart) {
        let parts = path.body.clear_parts();
        for part in &parts {
            draw_part(sheet, strip, clip, &path, part);
        }
        for part in &parts {
            hours(chart, sheet, strip, &path, part);
            eclipse_ticks(sheet, strip, &path, part);
        }
        for crossing in path.body.crossings.iter().filter(|crossing| crossing.dark) {
            if !strip.reaches(crossing.place.azimuth_deg) {
                continue;
            }
            let (x, y) = strip.of(&crossing.place);
            let radius = if path.asked { 3.6 } else { 2.4 };
            sheet.draw(element(
                "circle",
                [
                    ("cx", px(x)),
                    ("cy", px(y)),
                    ("r", px(radius)),
                    ("fill", sheet.palette.paper()),
                    ("stroke", sheet.palette.ink()),
                    ("stroke-width", "1.4".to_owned()),
                    ("data-crossing", path.name().to_owned()),
                    ("data-night", path.night.night.date.to_string()),
                    ("data-clears", crossing.clears.to_string()),
                ],
            ));
            sheet.placer.avoid(x, y, 4.0);
        }
    }
}

fn draw_part(sheet: &mut Sheet, strip: &Strip, clip: &str, path: &Drawn<'_>, part: &Part) {
    let mut line = |points: &Part, weight: f64, mark: &str| {
        let pieces = pieces(strip, points);
        let data: String = pieces.iter().map(|piece| through(piece)).collect();
        if data.is_empty() {
            return;
        }
        let mut node = stroke(&data, &sheet.palette.ink(), weight);
        node.assign("clip-path", sheet.url(clip));
        node.assign(mark, path.name());
        node.assign("data-night", path.night.night.date.to_string());
        sheet.draw(node);
        for piece in &pieces {
            avoid(sheet, strip, piece, 2.0);
        }
    };
    line(part, path.weight(), "data-path");
    for times in path.windows() {
        line(&within(part, times), path.weight() + HEAVIER, "data-window");
    }
}

/// A tick across a path at a moment; the point and the direction of the tick.
pub fn tick(strip: &Strip, part: &Part, moment: Moment) -> Option<((f64, f64), (f64, f64))> {
    let near = |seconds: f64| between(part, moment.plus_seconds(seconds));
    let place = between(part, moment).filter(|place| strip.reaches(place.azimuth_deg))?;
    let (x, y) = strip.of(&place);
    let other = near(120.0).or_else(|| near(-120.0))?;
    let (dx, dy) = {
        let turn = offset_deg(other.azimuth_deg, place.azimuth_deg);
        let rise = other.apparent_altitude_deg - place.apparent_altitude_deg;
        (turn * strip.across, -rise * strip.up)
    };
    let length = dx.hypot(dy).max(1e-6);
    Some(((x, y), (-dy / length, dx / length)))
}

/// The whole hours of the local clock within a part.
pub fn whole_hours(chart: &SkylineChart<'_>, part: &Part) -> Vec<Moment> {
    let (Some(first), Some(last)) = (part.first(), part.last()) else {
        return Vec::new();
    };
    let (from, to) = (first.0.seconds(), last.0.seconds());
    let offset = f64::from(chart.site.zone.offset_seconds_at(first.0));
    let start = ((from + offset) / 3600.0).ceil() * 3600.0 - offset;
    let count = ((to - start) / 3600.0).floor();
    if count < 0.0 {
        return Vec::new();
    }
    (0..=count.min(30.0) as u32)
        .map(|hour| Moment::from_seconds(start + 3600.0 * f64::from(hour)))
        .collect()
}

/// Ticks at whole hours of the local clock.
fn hours(
    chart: &SkylineChart<'_>,
    sheet: &mut Sheet,
    strip: &Strip,
    path: &Drawn<'_>,
    part: &Part,
) {
    for moment in whole_hours(chart, part) {
        let Some(((x, y), (ax, ay))) = tick(strip, part, moment) else {
            continue;
        };
        let half = if path.asked { 4.5 } else { 3.0 };
        let mut mark = stroke(
            &through(&[
                (x - half * ax, y - half * ay),
                (x + half * ax, y + half * ay),
            ]),
            &sheet.palette.ink(),
            if path.asked { 1.4 } else { 0.9 },
        );
        mark.assign(
            "data-hour",
            moment.to_utc().format("%Y-%m-%dT%H:%M:%SZ").to_string(),
        );
        mark.assign("data-of", path.name());
        sheet.draw(mark);
        sheet.placer.avoid(x, y, 5.0);
    }
}

/// Ticks where an eclipse's shadow touches the Moon, covers it and leaves it.
fn eclipse_ticks(sheet: &mut Sheet, strip: &Strip, path: &Drawn<'_>, part: &Part) {
    let Some(eclipse) = path.night.eclipse.as_ref().filter(|_| path.of_moon) else {
        return;
    };
    let moments = [eclipse.partial, eclipse.total]
        .into_iter()
        .flatten()
        .flatten();
    for moment in moments {
        let Some(((x, y), (ax, ay))) = tick(strip, part, moment) else {
            continue;
        };
        let mut mark = stroke(
            &through(&[(x - 8.0 * ax, y - 8.0 * ay), (x + 8.0 * ax, y + 8.0 * ay)]),
            &sheet.palette.ink(),
            2.2,
        );
        mark.assign("data-eclipse", "tick");
        sheet.draw(mark);
        sheet.placer.avoid(x, y, 8.0);
    }
}
