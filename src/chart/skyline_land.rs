//! The land in the picture of the skyline, what stands on it, and bearings.

use super::{
    Size,
    caption::bearing,
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle, stroke, through},
    skyline::SkylineChart,
    skyline_strip::Strip,
};
use crate::{
    light::FramePosition,
    scene::{Skyline, SubjectShape},
};
use svg::Node;

/// Degrees from one point of a drawn skyline to the next, besides its own.
const STEP_DEG: f64 = 5.0;

/// The azimuths at which a skyline is drawn in a strip, from left to right,
/// degrees: its own points among them, so that no corner is cut.
pub fn azimuths(strip: &Strip, skyline: &Skyline) -> impl Iterator<Item = f64> + use<> {
    let steps = (2.0 * strip.half_deg / STEP_DEG).ceil().max(1.0);
    let regular = (0..=steps as u32)
        .map(|step| -strip.half_deg + 2.0 * strip.half_deg * f64::from(step) / steps);
    let own = skyline
        .points()
        .iter()
        .map(|point| strip.offset_deg(point.0));
    let half_deg = strip.half_deg;
    let mut offsets: Vec<f64> = regular
        .chain(own.filter(|offset| offset.abs() < half_deg))
        .collect();
    offsets.sort_by(f64::total_cmp);
    let middle_deg = strip.middle_deg;
    offsets.into_iter().map(move |offset| middle_deg + offset)
}

/// The edge of a skyline, or of the level horizon, from left to right.
fn edge(strip: &Strip, skyline: Option<&Skyline>) -> Vec<(f64, f64)> {
    let Some(skyline) = skyline else {
        return [-strip.half_deg, strip.half_deg]
            .map(|offset| strip.at_offset(offset, 0.0))
            .to_vec();
    };
    let half_deg = strip.half_deg;
    azimuths(strip, skyline)
        .map(|azimuth| {
            // At the ends an azimuth may come out at the other side.
            let offset = (azimuth - strip.middle_deg).clamp(-half_deg, half_deg);
            strip.at_offset(offset, skyline.altitude_deg_at(azimuth))
        })
        .collect()
}

/// Draws the sky, with what is behind the camera in grey.
pub fn draw_ground(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip) {
    let room = strip.room();
    let mut sky = rectangle(room);
    for (key, value) in [
        ("fill", sheet.palette.paper()),
        ("data-axes", "skyline".to_owned()),
        ("data-middle-deg", format!("{:.4}", strip.middle_deg)),
        ("data-half-deg", px(strip.half_deg)),
        ("data-top-deg", px(strip.top_deg)),
        ("data-pixels-across", format!("{:.5}", strip.across)),
        ("data-pixels-up", format!("{:.5}", strip.up)),
    ] {
        sky.assign(key, value);
    }
    sheet.draw(sky);
    let (left, right) = (room.left, room.left + room.width);
    let side = |offset: f64| strip.at_offset(offset, 0.0).0.clamp(left, right);
    let from_camera = chart.right_of_camera_deg(strip.middle_deg);
    // The side of the camera lies 90 degrees about its direction.
    let behind = match from_camera.abs() < 90.0 {
        true => vec![
            (left, side(-90.0 - from_camera)),
            (side(90.0 - from_camera), right),
        ],
        false => vec![(left, right)],
    };
    for (from, to) in behind.into_iter().filter(|(from, to)| to - from > 0.5) {
        let mut grey = rectangle(Room {
            left: from,
            width: to - from,
            ..room
        });
        grey.assign("fill", sheet.palette.behind());
        sheet.draw(grey);
    }
}

/// Draws the land, its edge, and the edge that the subject sees.
pub fn draw_land(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip, clip: &str) {
    let skyline = chart.site.skyline.as_ref();
    let edge_points = edge(strip, skyline);
    avoid(sheet, strip, &edge_points, 2.0);
    let names = ["land", "skyline"];
    super::land::draw_land(
        sheet,
        (&edge_points, through(&edge_points)),
        strip.bottom(),
        clip,
        (names, 1.8),
    );
    draw_subject(chart, sheet, strip, clip);
    if let Some(skyline) = subject_skyline(chart) {
        let points = edge(strip, Some(skyline));
        let mut line = stroke(&through(&points), &sheet.palette.ink(), 0.9);
        line.assign("clip-path", sheet.url(clip));
        line.assign("data-line", "subject-skyline");
        sheet.draw(line);
        avoid(sheet, strip, &points, 1.0);
    }
}

/// The skyline that the Moon's light must clear, where the subject has its own.
fn subject_skyline<'a>(chart: &SkylineChart<'a>) -> Option<&'a Skyline> {
    let skyline = chart.site.subject_skyline.as_ref();
    skyline.filter(|_| chart.has_target() || chart.site.skyline.is_none())
}

/// Keeps labels from a line, within a strip.
pub fn avoid(sheet: &mut Sheet, strip: &Strip, points: &[(f64, f64)], radius: f64) {
    let room = strip.room();
    let inside = |(x, y): &(f64, f64)| {
        (room.left..=room.left + room.width).contains(x)
            && (room.top..=room.top + room.height).contains(y)
    };
    for pair in points.windows(2) {
        if let [a, b] = pair
            && (inside(a) || inside(b))
        {
            sheet.placer.avoid_line(*a, *b, radius);
        }
    }
}

/// Draws the subject, to scale where it is known, else as a mark.
fn draw_subject(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip, clip: &str) {
    let Some(shape) = chart.site.subject_shape() else {
        return;
    };
    if !strip.reaches(shape.bearing_deg) {
        return;
    }
    let offset = strip.offset_deg(shape.bearing_deg);
    if !shape.is_solid() {
        let (x, y) = strip.at_offset(offset, shape.foot_deg);
        sheet.line((x, y - 5.0), (x, y + 5.0), 2.4);
        return;
    }
    let (left, top) = strip.at_offset(offset - shape.half_width_deg, shape.top_deg);
    let (right, bottom) = strip.at_offset(offset + shape.half_width_deg, shape.foot_deg);
    let mut body = rectangle(Room {
        left,
        top,
        width: right - left,
        height: bottom - top,
    });
    for (key, value) in [
        ("fill", sheet.palette.unlit()),
        ("stroke", sheet.palette.ink()),
        ("stroke-width", "1".to_owned()),
        ("clip-path", sheet.url(clip)),
        ("data-body", "subject".to_owned()),
    ] {
        body.assign(key, value);
    }
    sheet.draw(body);
    sheet.placer.avoid_line(
        (0.5 * (left + right), top),
        (0.5 * (left + right), bottom),
        0.5 * (right - left).max(6.0),
    );
}

/// Where the label of the subject points, and its name.
pub fn subject_anchor(chart: &SkylineChart<'_>, strip: &Strip) -> Option<((f64, f64), String)> {
    let shape: SubjectShape = chart.site.subject_shape()?;
    let subject = chart.site.subject.as_ref()?;
    let name = subject.name.clone().unwrap_or_else(|| "subject".to_owned());
    strip.reaches(shape.bearing_deg).then(|| {
        (
            strip.at(shape.bearing_deg, shape.foot_deg.min(shape.top_deg)),
            name,
        )
    })
}

/// Draws the edges of the camera's frame.
pub fn draw_frame(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip, clip: &str) {
    let points = frame_edge(chart);
    let mut data = String::new();
    // The lower edge lies on the land, among its names.
    for above in points.split(|(_, altitude)| *altitude < -1.0) {
        for piece in strip.pieces(above) {
            data.push_str(&through(&piece));
            avoid(sheet, strip, &piece, 2.0);
        }
    }
    if data.is_empty() {
        return;
    }
    let mut edges = stroke(&data, &sheet.palette.faint(), 1.0);
    edges.assign("clip-path", sheet.url(clip));
    edges.assign("data-frame", "edges");
    sheet.draw(edges);
}

/// The edge of the camera's frame from its lower left corner over its upper ones
/// to its lower right and back, azimuth and altitude, degrees.
pub fn frame_edge(chart: &SkylineChart<'_>) -> Vec<(f64, f64)> {
    let Some(view) = &chart.frame else {
        return Vec::new();
    };
    let corners = [
        (-1.0, -1.0),
        (-1.0, 1.0),
        (1.0, 1.0),
        (1.0, -1.0),
        (-1.0, -1.0),
    ];
    let sides = corners.iter().zip(corners.iter().skip(1));
    sides
        .flat_map(|(from, to)| {
            (0..=24).map(move |step| {
                let part = f64::from(step) / 24.0;
                let between = |a: f64, b: f64| a + part * (b - a);
                let there = view.direction(FramePosition {
                    across: between(from.0, to.0),
                    up: between(from.1, to.1),
                });
                (there.azimuth_deg, there.altitude_deg)
            })
        })
        .collect()
}

/// Draws bearings below a strip, the camera direction first.
pub fn draw_bearings(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip, size: Size) {
    let bottom = strip.bottom();
    let facing = chart.facing_deg();
    if strip.reaches(facing) {
        let x = strip.at(facing, 0.0).0;
        sheet.line((x, bottom), (x, bottom + 7.0), 2.4);
        let text = format!("camera {}", bearing(facing));
        write_bearing(chart, sheet, &text, Type::SMALL_STRONG, (x, facing), strip);
    }
    let step = match size {
        Size::A4 => 30,
        Size::Phone => 45,
    };
    for toward in (0..360).step_by(step) {
        let azimuth = f64::from(toward);
        if !strip.reaches(azimuth) {
            continue;
        }
        let x = strip.at(azimuth, 0.0).0;
        let name = match toward {
            0 => "north ",
            90 => "east ",
            180 => "south ",
            270 => "west ",
            _ => "",
        };
        let text = format!("{name}{toward}°");
        if write_bearing(chart, sheet, &text, Type::SMALL, (x, azimuth), strip) {
            sheet.draw(element(
                "path",
                [
                    ("d", format!("M{} {}v6", px(x), px(bottom))),
                    ("stroke", sheet.palette.ink()),
                    ("stroke-width", "1.2".to_owned()),
                    ("data-bearing-deg", toward.to_string()),
                ],
            ));
        }
    }
}

/// Writes a bearing and below it what a compass shows; whether there was room.
fn write_bearing(
    chart: &SkylineChart<'_>,
    sheet: &mut Sheet,
    text: &str,
    style: Type,
    (x, azimuth): (f64, f64),
    strip: &Strip,
) -> bool {
    let room = strip.room();
    let bottom = strip.bottom();
    let inside = |text: &str, style: Type| {
        let half = 0.5 * style.width(text);
        x.clamp(
            room.left + half,
            (room.left + room.width - half).max(room.left + half),
        )
    };
    let spot = style.centred(text, inside(text, style), bottom + 18.0);
    if !sheet.placer.is_free(&spot.room) || sheet.write(text, style, [spot]).is_none() {
        return false;
    }
    if let Some(declination) = chart.magnetic_declination_deg {
        let compass = bearing(azimuth - declination);
        let compass = format!("{compass}M");
        let spot = Type::SMALL.centred(&compass, inside(&compass, Type::SMALL), bottom + 32.0);
        sheet.write(&compass, Type::SMALL, [spot]);
    }
    true
}

/// Whether a room is above the land of a strip.
pub fn is_sky(chart: &SkylineChart<'_>, strip: &Strip, room: &Room) -> bool {
    let ends = [
        room.left,
        room.left + 0.5 * room.width,
        room.left + room.width,
    ];
    ends.into_iter().all(|x| {
        let offset = (x - strip.left) / strip.across - strip.half_deg;
        let azimuth = strip.middle_deg + offset;
        let land = chart
            .site
            .skyline
            .as_ref()
            .map_or(0.0, |skyline| skyline.altitude_deg_at(azimuth));
        room.top + room.height < strip.at_offset(offset, land).1
    })
}
