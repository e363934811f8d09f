//! The sky in the view: Milky Way, Moon, target, the camera's frame.

use super::{
    frame_view::{FrameChart, Outlines},
    moon_shape::draw_moon,
    sheet::{Sheet, Type, element, px, stroke, through},
};
use crate::{light::FramePosition, rule::offset_deg};

/// Half the width of the band about the galactic equator, degrees: the bright
/// part of the Milky Way is about 15 degrees wide. Common practice, no source.
pub const HALF_BAND_DEG: f64 = 7.5;
/// Galactic longitude from stroke to stroke, degrees.
const STROKE_DEG: f64 = 2.5;
/// How far a stroke leans along the band, degrees.
const LEAN_DEG: f64 = 6.0;
/// Radius of the Moon as drawn where it is not the target, pixels.
const MOON_RADIUS: f64 = 13.0;

/// Radius of the Moon as drawn, pixels: to scale where it is the target.
fn moon_radius(chart: &FrameChart<'_>, outlines: &Outlines) -> f64 {
    match chart.rules.target.is_moon() {
        true => outlines.scale() * chart.instant.sky.moon_radius_deg(),
        false => MOON_RADIUS,
    }
}

/// Draws the Milky Way as one hatched band, where the picture is not of the Moon.
pub fn draw_band(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    if chart.rules.target.is_moon() {
        return;
    }
    let place = |longitude: f64, latitude: f64| {
        let place = chart.galaxy.place(longitude, latitude);
        (place.azimuth_deg, place.apparent_altitude_deg)
    };
    let mut strokes = String::new();
    let mut draw = |directions: &[(f64, f64)]| {
        if directions.iter().any(|direction| direction.1 > -15.0) {
            for piece in outlines.pieces(directions) {
                strokes.push_str(&through(&piece));
            }
        }
    };
    let mut longitude = 0.0;
    while longitude < 360.0 {
        let stroke: Vec<(f64, f64)> = (0..=24)
            .map(|step| f64::from(step) / 12.0 - 1.0)
            .map(|part| place(longitude + 0.5 * LEAN_DEG * part, HALF_BAND_DEG * part))
            .collect();
        draw(&stroke);
        longitude += STROKE_DEG;
    }
    let mut hatch = stroke(&strokes, &sheet.palette.faint(), 0.9);
    svg::Node::assign(&mut hatch, "clip-path", sheet.url("view"));
    sheet.draw(hatch);
    for (latitude, weight, name) in [
        (-HALF_BAND_DEG, 1.4, "band-edge"),
        (HALF_BAND_DEG, 1.4, "band-edge"),
        (0.0, 0.0, "galactic-equator"),
    ] {
        let line: Vec<(f64, f64)> = (0..=720)
            .map(|step| place(f64::from(step) * 0.5, latitude))
            .collect();
        let mut data = String::new();
        for piece in outlines.pieces(&line) {
            data.push_str(&through(&piece));
            for pair in piece.windows(2) {
                if let [a, b] = pair
                    && latitude == 0.0
                    && outlines.shows(*a)
                {
                    sheet.placer.avoid_line(*a, *b, 4.0);
                }
            }
        }
        let mut edge = stroke(&data, &sheet.palette.ink(), weight);
        svg::Node::assign(&mut edge, "clip-path", sheet.url("view"));
        svg::Node::assign(&mut edge, "data-line", name);
        sheet.draw(edge);
    }
}

/// Draws the camera's frame as four corner marks, and the panorama's frames as
/// numbered ticks.
pub fn draw_corners(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    let Some(view) = chart.view() else {
        return;
    };
    if chart.rules.target.is_moon() && !chart.shows_corners(&view) {
        return;
    }
    let mut data = String::new();
    for (across, up) in [(-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)] {
        // The marks follow both edges from the corner, so that they bend as
        // the frame does on this sheet.
        for (toward_x, toward_y) in [(-across, 0.0), (0.0, -up)] {
            let arm: Vec<(f64, f64)> = (0..=8)
                .map(|step| f64::from(step) / 8.0 * 0.25)
                .map(|part| {
                    let there = view.direction(FramePosition {
                        across: across + toward_x * part,
                        up: up + toward_y * part,
                    });
                    (there.azimuth_deg, there.altitude_deg)
                })
                .collect();
            for piece in outlines.pieces(&arm) {
                data.push_str(&through(&piece));
                for pair in piece.windows(2) {
                    if let [a, b] = pair {
                        sheet.placer.avoid_line(*a, *b, 4.0);
                    }
                }
            }
        }
    }
    let mut marks = stroke(&data, &sheet.palette.ink(), 3.0);
    svg::Node::assign(&mut marks, "clip-path", sheet.url("view"));
    svg::Node::assign(&mut marks, "data-frame", "corners");
    sheet.draw(marks);
    let Some((plan, middle)) = chart.panorama() else {
        return;
    };
    let top = outlines.room().top;
    for (frame, from_middle) in plan.offsets_deg().enumerate() {
        let offset = offset_deg(middle + from_middle, 0.0);
        if offset.abs() > outlines.half_deg {
            continue;
        }
        let (x, _) = outlines.at_offset(offset, 0.0);
        let text = (frame + 1).to_string();
        sheet.line((x, top - 7.0), (x, top + 7.0), 2.0);
        sheet.write(
            &text,
            Type::SMALL,
            [
                Type::SMALL.room(&text, x + 4.0, top - 3.0),
                Type::SMALL.ending(&text, x - 4.0, top - 3.0),
            ],
        );
    }
}

/// Draws the Moon in its true shape, and the target as a tick across the band.
pub fn draw_moon_and_target(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    let sky = &chart.instant.sky;
    if chart.rules.target.is_moon() {
        if chart.moon_behind_terrain() {
            draw_disc(chart, sheet, outlines);
        }
        return;
    }
    let target = outlines.at(sky.target.azimuth_deg, sky.target.apparent_altitude_deg);
    if sky.target.apparent_altitude_deg > -0.5 && outlines.shows(target) {
        let (x, y) = target;
        let arm = 10.0;
        let data = format!(
            "M{} {}H{}M{} {}V{}",
            px(x - arm),
            px(y),
            px(x + arm),
            px(x),
            px(y - arm),
            px(y + arm)
        );
        let mut tick = stroke(&data, &sheet.palette.paper(), 6.0);
        sheet.draw(tick.clone());
        for (key, value) in [
            ("stroke", sheet.palette.ink()),
            ("stroke-width", "2.4".to_owned()),
            ("data-body", "target".to_owned()),
            ("data-x", px(x)),
            ("data-y", px(y)),
        ] {
            svg::Node::assign(&mut tick, key, value);
        }
        sheet.draw(tick);
        sheet.placer.avoid(x, y, arm + 2.0);
    }
    draw_disc(chart, sheet, outlines);
    if let Some(arch) = sky.arch {
        let (x, y) = outlines.at(
            arch.top_azimuth_deg,
            chart
                .galaxy
                .place(arch.top_galactic_longitude_deg, 0.0)
                .apparent_altitude_deg,
        );
        if outlines.shows((x, y)) {
            sheet.draw(element(
                "path",
                [
                    ("d", format!("M{} {}v-9", px(x), px(y + 4.5))),
                    ("stroke", sheet.palette.ink()),
                    ("stroke-width", "2".to_owned()),
                    ("data-body", "arch-top".to_owned()),
                    ("data-x", px(x)),
                    ("data-y", px(y)),
                ],
            ));
        }
    }
}

/// Draws a Moon that is the target and whose middle is clear of the land: land
/// and subject are drawn over it, and may hide a part.
pub fn draw_moon_behind_land(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    if chart.rules.target.is_moon() && !chart.moon_behind_terrain() {
        draw_disc(chart, sheet, outlines);
    }
}

fn draw_disc(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    if !chart.instant.moon_is_up() {
        return;
    }
    let sky = &chart.instant.sky;
    let (x, y) = outlines.at(sky.moon.azimuth_deg, sky.moon.apparent_altitude_deg);
    let radius = moon_radius(chart, outlines);
    let shape = (
        sky.phase.illuminated_fraction,
        chart.bright_limb_from_zenith_deg,
    );
    draw_moon(sheet, (x, y), radius, shape, chart.moon_behind_terrain());
    sheet.placer.avoid(x, y, radius + 3.0);
}

/// Writes the labels in the view. They come last, to avoid everything drawn.
pub fn draw_words(chart: &FrameChart<'_>, sheet: &mut Sheet, outlines: &Outlines) {
    let sky = &chart.instant.sky;
    let inside = outlines.room();
    let paper = sheet.palette.paper();
    let around = |text: &str, style: Type, (x, y): (f64, f64), gap: f64| {
        let mut rooms = Vec::new();
        for far in 0..14 {
            let gap = gap + 9.0 * f64::from(far);
            rooms.push(style.room(text, x + gap, y + 5.0));
            rooms.push(style.ending(text, x - gap, y + 5.0));
            rooms.push(style.centred(text, x, y - gap));
            rooms.push(style.centred(text, x, y + gap + 10.0));
            rooms.push(style.room(text, x + gap, y - gap));
            rooms.push(style.ending(text, x - gap, y - gap));
        }
        rooms.retain(|room| inside.holds(room));
        rooms
    };
    if chart.instant.moon_is_up() {
        let moon = outlines.at(sky.moon.azimuth_deg, sky.moon.apparent_altitude_deg);
        let text = if chart.moon_behind_terrain() {
            "Moon, behind the terrain"
        } else {
            "Moon"
        };
        let rooms = around(text, Type::STRONG, moon, moon_radius(chart, outlines) + 5.0);
        if let Some(spot) = sheet.placer.place(text, rooms) {
            let middle = (spot.left + 0.5 * spot.width, spot.top + 0.5 * spot.height);
            let ground = if super::frame_land::is_land(chart, outlines, middle) {
                sheet.palette.land()
            } else {
                paper.clone()
            };
            sheet.set(text, Type::STRONG, Some(ground), spot);
        }
    }
    let target = outlines.at(sky.target.azimuth_deg, sky.target.apparent_altitude_deg);
    let of_moon = chart.rules.target.is_moon();
    if !of_moon && sky.target.apparent_altitude_deg > -0.5 && outlines.shows(target) {
        let word = chart.rules.target_name();
        let rooms = around(word, Type::STRONG, target, 14.0);
        sheet.write_over(word, Type::STRONG, Some(paper.clone()), rooms);
    }
    if let Some(arch) = sky.arch.filter(|_| !of_moon) {
        let top = outlines.at(arch.top_azimuth_deg, arch.top_altitude_deg);
        if outlines.shows(top) {
            let text = "arch highest";
            let rooms = around(text, Type::SMALL, top, 12.0);
            sheet.write_over(text, Type::SMALL, Some(paper.clone()), rooms);
        }
    }
    super::frame_land::write_subject(chart, sheet, outlines);
    if of_moon {
        return;
    }
    // The Milky Way's name is near the middle of its visible part.
    let seen: Vec<(f64, f64)> = (0..180)
        .map(|step| {
            chart
                .galaxy
                .place(f64::from(step) * 2.0, HALF_BAND_DEG + 1.0)
        })
        .filter(|place| place.apparent_altitude_deg > 4.0)
        .map(|place| outlines.at(place.azimuth_deg, place.apparent_altitude_deg))
        .filter(|point| outlines.shows(*point))
        .collect();
    let text = "Milky Way";
    let rooms: Vec<_> = seen
        .iter()
        .skip(seen.len() / 3)
        .flat_map(|(x, y)| {
            [
                Type::SMALL.centred(text, *x, y - 6.0),
                Type::SMALL.room(text, x + 5.0, *y),
                Type::SMALL.ending(text, x - 5.0, *y),
            ]
        })
        .filter(|room| inside.holds(room))
        .collect();
    sheet.write_over(text, Type::SMALL, Some(paper), rooms);
}
