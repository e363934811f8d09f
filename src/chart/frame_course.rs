//! The way of target and Moon through a night, in any projection.

use super::{
    frame::FrameChart,
    frame_band::{Project, path, pieces},
    placer::{Room, Spot},
    sheet::{Sheet, Type, px, stroke},
};
use crate::{ephemeris::Horizontal, report::words::clock, rule::Conditions, search::Course};

/// A course is drawn while the Sun is lower than this, degrees.
pub const NIGHT_SUN_DEG: f64 = -6.0;
/// Half the length of the tick at a whole hour, pixels.
const HOUR_TICK: f64 = 4.0;

/// Of which body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    Target,
    Moon,
}

impl Body {
    pub fn place(self, instant: &Conditions) -> Horizontal {
        match self {
            Self::Target => instant.sky.target,
            Self::Moon => instant.sky.moon,
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Self::Target => "target",
            Self::Moon => "moon",
        }
    }
}

/// Whether a part of a course is drawn: it is dark, and the body stands above the
/// skyline that the camera sees.
pub fn is_shown(chart: &FrameChart<'_>, body: Body, instant: &Conditions) -> bool {
    let place = body.place(instant);
    let skyline = chart.site.skyline.as_ref();
    let lowest_deg = skyline.map_or(0.0, |skyline| skyline.altitude_deg_at(place.azimuth_deg));
    instant.sky.sun.altitude_deg < NIGHT_SUN_DEG
        && place.apparent_altitude_deg > lowest_deg.max(0.0)
}

/// Draws the course of a body: a dotted line while it is dark and the body is
/// up, and heavy in the windows.
pub fn draw_line(
    chart: &FrameChart<'_>,
    sheet: &mut Sheet,
    project: &Project<'_>,
    clip: &str,
    width: f64,
    body: Body,
) {
    let Some(course) = &chart.course else {
        return;
    };
    let direction = |instant: &Conditions| {
        let place = body.place(instant);
        (place.azimuth_deg, place.apparent_altitude_deg)
    };
    let shown = |instant: &Conditions| is_shown(chart, body, instant);
    let instants = &course.series.instants;
    let mut data = String::new();
    for run in instants.chunk_by(|a, b| shown(a) == shown(b)) {
        if run.first().is_some_and(shown) {
            let line: Vec<(f64, f64)> = run.iter().map(direction).collect();
            data += &path(project, width, &line);
            avoid_course(sheet, project, width, &line, 2.0);
        }
    }
    let mut dotted = stroke(&data, &sheet.palette.ink(), 1.1);
    for (key, value) in [
        ("stroke-dasharray", "1.2 3".to_owned()),
        ("clip-path", sheet.url(clip)),
        ("data-course", body.name().to_owned()),
    ] {
        svg::Node::assign(&mut dotted, key, value);
    }
    sheet.draw(dotted);
    for (number, ends) in course.periods.iter().enumerate() {
        let line: Vec<(f64, f64)> = course.between(ends).iter().map(direction).collect();
        let data = path(project, width, &line);
        let mut heavy = stroke(&data, &sheet.palette.ink(), 3.4);
        for (key, value) in [
            ("clip-path", sheet.url(clip)),
            ("data-course-period", (number + 1).to_string()),
            ("data-course-of", body.name().to_owned()),
        ] {
            svg::Node::assign(&mut heavy, key, value);
        }
        sheet.draw(heavy);
        avoid_course(sheet, project, width, &line, 3.0);
    }
}

/// Keeps words off a course.
fn avoid_course(
    sheet: &mut Sheet,
    project: &Project<'_>,
    width: f64,
    line: &[(f64, f64)],
    radius: f64,
) {
    for piece in pieces(project, width, line) {
        for pair in piece.windows(2) {
            if let [a, b] = pair {
                sheet.placer.avoid_line(*a, *b, radius);
            }
        }
    }
}

/// The body whose course a frame shows.
pub fn followed(chart: &FrameChart<'_>) -> Body {
    match chart.rules.target.is_moon() {
        true => Body::Moon,
        false => Body::Target,
    }
}

/// Draws ticks with clock times on the course through a frame: at the ends of the
/// windows, and at the whole hours, whose figures stand only where nothing else
/// does.
pub fn draw_hours(chart: &FrameChart<'_>, sheet: &mut Sheet, project: &Project<'_>, room: Room) {
    let body = followed(chart);
    let Some(course) = &chart.course else {
        return;
    };
    let ends = course.periods.iter().flatten().map(|end| (end, true));
    let hours = course.hours.iter().map(|hour| (hour, false));
    for (instant, is_end) in ends.chain(hours) {
        if !is_end && !is_shown(chart, body, instant) {
            continue;
        }
        let place = body.place(instant);
        let Some((x, y)) = project(place.azimuth_deg, place.apparent_altitude_deg) else {
            continue;
        };
        let inside = room.left < x
            && x < room.left + room.width
            && room.top < y
            && y < room.top + room.height;
        if !inside || place.apparent_altitude_deg < 0.0 {
            continue;
        }
        let tick = if is_end { 1.6 * HOUR_TICK } else { HOUR_TICK };
        let (across_x, across_y) = across(course, project, body, instant, (x, y));
        let (dx, dy) = (tick * across_x, tick * across_y);
        let data = format!(
            "M{} {}L{} {}",
            px(x - dx),
            px(y - dy),
            px(x + dx),
            px(y + dy)
        );
        let mut mark = stroke(&data, &sheet.palette.ink(), if is_end { 2.0 } else { 1.2 });
        for (key, value) in [
            ("data-clock", clock(chart.site, instant.moment())),
            ("data-utc", instant.moment().to_utc().to_rfc3339()),
            ("data-x", px(x)),
            ("data-y", px(y)),
        ] {
            svg::Node::assign(&mut mark, key, value);
        }
        sheet.draw(mark);
        let text = clock(chart.site, instant.moment());
        let style = if is_end {
            Type::SMALL_STRONG
        } else {
            Type::SMALL
        };
        // Beyond the tick on either side, then farther out.
        let rooms = (0..4)
            .map(|step| 1.0 + 0.8 * f64::from(step))
            .flat_map(|far| {
                let ends = [(x + far * dx, y + far * dy), (x - far * dx, y - far * dy)];
                let beside = ends.map(|(to_x, to_y)| match to_x > x {
                    true => style.room(&text, to_x + 4.0, to_y + 4.0),
                    false => style.ending(&text, to_x - 4.0, to_y + 4.0),
                });
                let upright = ends.map(|(to_x, to_y)| match to_y > y {
                    true => style.centred(&text, to_x, to_y + 12.0),
                    false => style.centred(&text, to_x, to_y - 4.0),
                });
                let [first, second] = match across_x.abs() > across_y.abs() {
                    true => [beside, upright],
                    false => [upright, beside],
                };
                first.into_iter().chain(second)
            });
        let within = rooms.into_iter().filter(|spot| room.holds(spot));
        let free = |spot: &Spot| is_end || sheet.placer.is_clear(spot);
        let free: Vec<Spot> = within.filter(free).collect();
        sheet.write_over(&text, style, Some(sheet.palette.paper()), free);
    }
}

/// The direction across a course at one of its instants, on the sheet: upward
/// where it is level, and of length 1.
fn across(
    course: &Course,
    project: &Project<'_>,
    body: Body,
    at: &Conditions,
    (x, y): (f64, f64),
) -> (f64, f64) {
    let later = |instant: &&Conditions| instant.moment().seconds() > at.moment().seconds() + 60.0;
    let next = course.series.instants.iter().find(later);
    let next = next.map(|instant| body.place(instant));
    let to = next.and_then(|place| project(place.azimuth_deg, place.apparent_altitude_deg));
    let (along_x, along_y) = to.map_or((1.0, 0.0), |to| (to.0 - x, to.1 - y));
    let length = along_x.hypot(along_y);
    if length < 1e-6 {
        return (0.0, -1.0);
    }
    let sign = if along_x < 0.0 { -1.0 } else { 1.0 };
    (sign * along_y / length, -sign * along_x / length)
}
