//! The land in the view: terrain, subject, shadow.

use super::{
    caption::bearing,
    frame_view::{FrameChart, Outlines},
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle, through},
};
use crate::scene::{LENS_HEIGHT_M, SubjectShape};

/// A subject whose size and distance are known.
struct KnownSubject {
    shape: SubjectShape,
    distance_m: f64,
    height_m: f64,
    width_m: f64,
    /// Height of the lens above the subject's foot, metres.
    above_foot_m: f64,
}

impl KnownSubject {
    fn of(chart: &FrameChart<'_>) -> Option<Self> {
        let site = chart.site;
        Some(Self {
            shape: site.subject_shape().filter(SubjectShape::is_solid)?,
            distance_m: site.subject_distance_m()?,
            height_m: site.subject.as_ref()?.height_m?,
            width_m: site.subject_width_m()?.0,
            above_foot_m: LENS_HEIGHT_M + site.elevation_m - site.subject_foot_m()?,
        })
    }

    /// Altitude of the level ground at the subject's foot, degrees, at a
    /// distance, metres.
    fn ground_deg(&self, distance_m: f64) -> f64 {
        (-self.above_foot_m).atan2(distance_m).to_degrees()
    }
}

/// Draws the land below the skyline.
pub fn draw_terrain(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    let room = outlines.room();
    let skyline = chart.site.skyline.as_ref();
    let mut edge: Vec<(f64, f64)> = Vec::new();
    let steps = (outlines.half_deg * 4.0) as i32;
    for step in -steps..=steps {
        let offset = f64::from(step) * 0.5;
        let azimuth = outlines.facing_deg + offset;
        let altitude = skyline.map_or(0.0, |skyline| skyline.altitude_deg_at(azimuth));
        let half = outlines.half_deg;
        if offset.abs() <= half {
            edge.push(outlines.at_offset(offset, altitude));
        }
    }
    for pair in edge.windows(2) {
        if let [a, b] = pair {
            sheet.placer.avoid_line(*a, *b, 2.0);
        }
    }
    let bottom = room.top + room.height;
    let land = format!(
        "{}L{} {}L{} {}Z",
        through(&edge),
        px(room.left + room.width),
        px(bottom),
        px(room.left),
        px(bottom)
    );
    for (data, fill, weight) in [
        (land, sheet.palette.land(), 0.0),
        (through(&edge), "none".to_owned(), 2.0),
    ] {
        sheet.draw(element(
            "path",
            [
                ("d", data),
                ("fill", fill),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", px(weight)),
                ("clip-path", sheet.url("view")),
                ("data-line", "terrain".to_owned()),
            ],
        ));
    }
}

/// Whether a point of the sheet lies on the land.
pub fn is_land(chart: &FrameChart<'_>, outlines: &Outlines, (x, y): (f64, f64)) -> bool {
    let room = outlines.room();
    let offset = (x - room.left) / outlines.scale() - outlines.half_deg;
    let skyline = chart.site.skyline.as_ref();
    let edge = skyline.map_or(0.0, |skyline| {
        skyline.altitude_deg_at(outlines.facing_deg + offset)
    });
    y > outlines.at_offset(offset, edge).1
}

/// Draws the subject to scale, with its lit face hatched, and its shadow.
pub fn draw_subject(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    let light = &chart.instant.light;
    let Some(subject) = KnownSubject::of(chart) else {
        if let Some(toward) = chart.site.subject_bearing_deg() {
            let (x, y) = outlines.at(toward, 0.0);
            sheet.line((x, y + 3.0), (x, y + 14.0), 2.4);
            sheet.placer.avoid(x, y + 8.0, 6.0);
        }
        return;
    };
    let half_width_m = 0.5 * subject.width_m;
    let shape = subject.shape;
    if let (Some(azimuth), Some(length)) =
        (light.shadow_azimuth_deg, light.shadow_length_per_height)
    {
        draw_shadow(&subject, sheet, outlines, azimuth, length, half_width_m);
    }
    let half_deg = shape.half_width_deg;
    let (left, top) = outlines.at(shape.bearing_deg - half_deg, shape.top_deg);
    let (right, bottom) = outlines.at(shape.bearing_deg + half_deg, shape.foot_deg);
    let body = Room {
        left,
        top,
        width: right - left,
        height: bottom - top,
    };
    let with = |room: Room, fill: String, stroke: f64| {
        let mut node = rectangle(room);
        for (key, value) in [
            ("fill", fill),
            ("stroke", sheet.palette.ink()),
            ("stroke-width", px(stroke)),
            ("clip-path", sheet.url("view")),
        ] {
            svg::Node::assign(&mut node, key, value);
        }
        node
    };
    let mut figure = with(body, sheet.palette.unlit(), 1.2);
    svg::Node::assign(&mut figure, "data-body", "subject");
    // Of a round tower's width, the part (1 - cos angle) / 2 is lit.
    let angle = light.signed_light_angle_deg;
    let part = 0.5 * (1.0 - angle.to_radians().cos());
    let lit = chart.instant.is_moonlit().then_some(Room {
        left: if angle < 0.0 {
            left
        } else {
            right - part * body.width
        },
        width: part * body.width,
        ..body
    });
    let faces = lit.map(|room| {
        [
            with(room, sheet.palette.lit(), 0.0),
            with(room, sheet.url("lit"), 0.8),
        ]
    });
    sheet.draw(figure);
    for face in faces.into_iter().flatten() {
        sheet.draw(face);
    }
    sheet.placer.avoid_line(
        (0.5 * (left + right), top),
        (0.5 * (left + right), bottom),
        0.5 * body.width.max(8.0),
    );
}

/// Draws the shadow on level ground at the subject's foot, in perspective.
fn draw_shadow(
    subject: &KnownSubject,
    sheet: &mut Sheet,
    outlines: &Outlines,
    azimuth_deg: f64,
    length_per_height: f64,
    half_width_m: f64,
) {
    let (sin_b, cos_b) = subject.shape.bearing_deg.to_radians().sin_cos();
    let (sin_s, cos_s) = azimuth_deg.to_radians().sin_cos();
    // Beyond this the ground is almost at the horizon.
    let length = (subject.height_m * length_per_height).min(200.0 * subject.distance_m);
    let side = |across: f64| {
        // Points along the shadow's edge, closer together near the foot.
        (0..=60)
            .map(|step| (f64::from(step) / 60.0).powi(2) * length)
            .map(|along| {
                let east = subject.distance_m * sin_b + along * sin_s + across * cos_s;
                let north = subject.distance_m * cos_b + along * cos_s - across * sin_s;
                let distance = east.hypot(north);
                (
                    east.atan2(north).to_degrees(),
                    subject.ground_deg(distance.max(0.01)),
                )
            })
            .collect::<Vec<_>>()
    };
    let mut edge = side(-half_width_m);
    let mut back = side(half_width_m);
    back.reverse();
    edge.extend(back);
    let pieces = outlines.pieces(&edge);
    // A shadow that crosses the seam behind the camera is left out.
    if let [whole] = pieces.as_slice() {
        sheet.draw(element(
            "path",
            [
                ("d", format!("{}Z", through(whole))),
                ("fill", sheet.palette.unlit()),
                ("clip-path", sheet.url("view")),
                ("data-body", "shadow".to_owned()),
            ],
        ));
    }
}

/// Writes the subject's name below it.
pub fn write_subject(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    let (Some(subject), Some(toward)) = (
        chart.site.subject.as_ref(),
        chart.site.subject_bearing_deg(),
    ) else {
        return;
    };
    let name = subject.name.clone().unwrap_or_else(|| "subject".to_owned());
    let name = super::text_width::shortened(&name, Type::SMALL.size, false, 260.0);
    let (x, y) = outlines.at(toward, 0.0);
    let inside = outlines.room();
    let rooms: Vec<_> = (0..12)
        .flat_map(|row| {
            let below = y + 22.0 + 8.0 * f64::from(row);
            [
                Type::SMALL.centred(&name, x, below),
                Type::SMALL.room(&name, x + 22.0, below),
                Type::SMALL.ending(&name, x - 22.0, below),
            ]
        })
        .filter(|room| inside.holds(room))
        .collect();
    let land = sheet.palette.land();
    sheet.write_over(&name, Type::SMALL, Some(land), rooms);
}

/// What is known about subject and shadow, in words.
pub fn subject_words(chart: &FrameChart<'_>) -> Option<String> {
    let subject = KnownSubject::of(chart)?;
    let light = &chart.instant.light;
    let shape = &subject.shape;
    let wide = if shape.width_assumed {
        "half as wide as it is tall (no width is given)".to_owned()
    } else {
        format!("{:.1}° wide", 2.0 * shape.half_width_deg)
    };
    let mut text = format!(
        "The subject, {:.1}° tall, is drawn to scale, {wide}.",
        shape.top_deg - shape.foot_deg
    );
    match (light.shadow_azimuth_deg, light.shadow_length_per_height) {
        (Some(azimuth), Some(length)) if chart.instant.is_moonlit() => {
            let metres = length * subject.height_m;
            let metres = if metres < 1000.0 {
                format!("{metres:.0} m")
            } else {
                "over a kilometre".to_owned()
            };
            text.push_str(&format!(
                " Hatched where the Moon lights it; its shadow falls toward {}, {metres} on level \
                 ground.",
                bearing(azimuth)
            ));
        }
        _ => text.push_str(" No moonlight falls on it."),
    }
    Some(text)
}
