//! All round the camera in one strip: azimuth across, altitude up, at one scale.

use super::{
    Size,
    caption::bearing,
    frame::FrameChart,
    frame_band::{BandStyle, draw_band, path},
    frame_course::{Body, NIGHT_SUN_DEG, draw_line, is_shown},
    frame_marks::{about, draw_cross},
    land::draw_land,
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle, stroke},
    thinned::through_thinned,
};
use crate::{light::FramePosition, report::words::bearing_words, rule::offset_deg, scene::North};

/// Lowest altitude shown, degrees.
const LOWEST_DEG: f64 = -6.0;
/// The least of the highest altitudes shown, degrees.
const LEAST_TOP_DEG: f64 = 35.0;
/// Room below it for the ticks' figures, one line of them, pixels.
const FIGURES: f64 = 16.0;

/// The strip.
#[derive(Debug, Clone, Copy)]
pub struct Strip {
    facing_deg: f64,
    top_deg: f64,
    room: Room,
    /// Pixels per degree.
    scale: f64,
    lines: f64,
    size: Size,
}

impl Strip {
    /// Where it stands.
    pub fn of(chart: &FrameChart<'_>, size: Size, top: f64) -> Self {
        let instant = &chart.instant;
        let mut top_deg = LEAST_TOP_DEG;
        let mut reach = |altitude: f64| top_deg = top_deg.max(altitude + 8.0);
        let course = chart.course.iter();
        let dark = course
            .flat_map(|course| &course.series.instants)
            .filter(|instant| instant.sky.sun.altitude_deg < NIGHT_SUN_DEG);
        for at in dark.chain([instant]) {
            reach(at.sky.target.apparent_altitude_deg);
            reach(at.sky.moon.apparent_altitude_deg);
        }
        for view in chart.frames.iter().flat_map(|frames| frames.views()) {
            for across in [-1.0, 0.0, 1.0] {
                reach(
                    view.direction(FramePosition { across, up: 1.0 })
                        .altitude_deg,
                );
            }
        }
        let width = size.right() - size.left();
        let scale = width / 360.0;
        let top_deg = top_deg.min(90.0).ceil();
        Self {
            facing_deg: instant.facing_deg,
            top_deg,
            room: Room {
                left: size.left(),
                top,
                width,
                height: scale * (top_deg - LOWEST_DEG),
            },
            scale,
            lines: match chart.magnetic_declination_deg {
                Some(_) => 2.0,
                None => 1.0,
            },
            size,
        }
    }

    /// The lower edge of its figures.
    pub fn bottom(&self) -> f64 {
        self.room.top + self.room.height + FIGURES * self.lines + 4.0
    }

    fn at_offset(&self, offset: f64, altitude: f64) -> (f64, f64) {
        (
            self.room.left + 0.5 * self.room.width + self.scale * offset,
            self.room.top + self.scale * (self.top_deg - altitude),
        )
    }

    fn at(&self, azimuth: f64, altitude: f64) -> (f64, f64) {
        self.at_offset(offset_deg(azimuth, self.facing_deg), altitude)
    }

    /// Draws it.
    pub fn draw(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        sheet.define_clip("strip", self.room);
        let mut ground = rectangle(self.room);
        for (key, value) in [
            ("fill", sheet.palette.paper()),
            ("data-axes", "strip".to_owned()),
            ("data-facing-deg", format!("{:.4}", self.facing_deg)),
            ("data-top-deg", px(self.top_deg)),
            ("data-pixels-per-deg", format!("{:.5}", self.scale)),
        ] {
            svg::Node::assign(&mut ground, key, value);
        }
        sheet.draw(ground);
        self.shade_behind(sheet);
        let project = |azimuth: f64, altitude: f64| Some(self.at(azimuth, altitude));
        let width = self.room.width;
        let of_moon = chart.rules.target.is_moon();
        if !of_moon {
            let style = BandStyle {
                clip: "strip",
                width,
                lowest_deg: 0.0,
                edge: 0.7,
                apart: if self.size == Size::A4 { 2.0 } else { 3.0 },
            };
            draw_band(&chart.galaxy, sheet, &project, &style);
            draw_line(chart, sheet, &project, "strip", width, Body::Target);
        }
        draw_line(chart, sheet, &project, "strip", width, Body::Moon);
        self.draw_land(chart, sheet);
        self.draw_frames(chart, sheet);
        self.draw_bodies(chart, sheet);
        let baseline = self.room.top + 14.0;
        let paper = sheet.palette.paper();
        for (text, right) in [("behind you", false), ("behind you", true)] {
            let style = Type::SMALL;
            let rooms = (0..6)
                .map(|step| baseline + 13.0 * f64::from(step))
                .map(|y| match right {
                    true => style.ending(text, self.room.left + width - 4.0, y),
                    false => style.room(text, self.room.left + 4.0, y),
                });
            let inside = rooms.filter(|spot| self.room.holds(spot));
            sheet.write_over(text, style, Some(paper.clone()), inside);
        }
        self.write_bearings(chart, sheet);
    }

    fn shade_behind(&self, sheet: &mut Sheet) {
        for offset in [-180.0, 90.0] {
            let (left, _) = self.at_offset(offset, 0.0);
            let mut shade = rectangle(Room {
                left,
                width: 90.0 * self.scale,
                ..self.room
            });
            for (key, value) in [
                ("fill", sheet.palette.land()),
                ("fill-opacity", "0.4".to_owned()),
            ] {
                svg::Node::assign(&mut shade, key, value);
            }
            sheet.draw(shade);
        }
    }

    fn draw_land(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let skyline = chart.site.skyline.as_ref();
        let edge: Vec<(f64, f64)> = (-360..=360)
            .map(|step| 0.5 * f64::from(step))
            .map(|offset| {
                let azimuth = self.facing_deg + offset;
                let altitude = skyline.map_or(0.0, |skyline| skyline.altitude_deg_at(azimuth));
                self.at_offset(offset, altitude)
            })
            .collect();
        let bottom = self.room.top + self.room.height;
        let names = ["strip-skyline", "strip-skyline"];
        draw_land(
            sheet,
            (&edge, through_thinned(&edge)),
            bottom,
            "strip",
            (names, 1.4),
        );
    }

    /// The outline of each frame; those of a panorama with their numbers.
    fn draw_frames(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let Some(frames) = &chart.frames else {
            return;
        };
        let one = frames.count() == 1;
        let project = |azimuth: f64, altitude: f64| Some(self.at(azimuth, altitude));
        let corners = [
            (-1.0, -1.0),
            (-1.0, 1.0),
            (1.0, 1.0),
            (1.0, -1.0),
            (-1.0, -1.0),
        ];
        for view in frames.views() {
            let mut line = Vec::new();
            for pair in corners.windows(2) {
                let [from, to] = pair else {
                    continue;
                };
                for step in 0..=24 {
                    let part = f64::from(step) / 24.0;
                    let there = view.direction(FramePosition {
                        across: from.0 + part * (to.0 - from.0),
                        up: from.1 + part * (to.1 - from.1),
                    });
                    line.push((there.azimuth_deg, there.altitude_deg));
                }
            }
            let data = path(&project, self.room.width, &line);
            let mut outline = stroke(&data, &sheet.palette.ink(), if one { 2.0 } else { 0.9 });
            for (key, value) in [
                ("clip-path", sheet.url("strip")),
                ("data-frame", "outline".to_owned()),
            ] {
                svg::Node::assign(&mut outline, key, value);
            }
            sheet.draw(outline);
        }
        if one {
            return;
        }
        for (index, toward) in frames.bearings_deg.iter().enumerate() {
            let text = (index + 1).to_string();
            let (x, y) = self.at(*toward, LOWEST_DEG);
            let spot = Type::SMALL_STRONG.centred(&text, x, y - 2.0);
            sheet.write_over(
                &text,
                Type::SMALL_STRONG,
                Some(sheet.palette.land()),
                [spot],
            );
        }
    }

    /// Where target and Moon are now, with their names.
    fn draw_bodies(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let sky = &chart.instant.sky;
        let paper = sheet.palette.paper();
        let mut named = Vec::new();
        if !chart.rules.target.is_moon() && sky.target.apparent_altitude_deg > 0.0 {
            let at = self.at(sky.target.azimuth_deg, sky.target.apparent_altitude_deg);
            draw_cross(sheet, at, 5.0, "strip-target");
            named.push((chart.rules.target_name(), at));
        }
        if chart.instant.moon_is_up() {
            let at = self.at(sky.moon.azimuth_deg, sky.moon.apparent_altitude_deg);
            draw_cross(sheet, at, 5.0, "strip-moon");
            named.push(("Moon", at));
        }
        if !chart.instant.moon_is_up() {
            named.extend(self.middle_of_way(chart).map(|at| ("Moon's course", at)));
        }
        for (name, at) in named {
            let style = Type::SMALL_STRONG;
            let rooms = about(name, style, at, 8.0);
            let inside = rooms.into_iter().filter(|spot| self.room.holds(spot));
            sheet.write_over(name, style, Some(paper.clone()), inside);
        }
    }

    /// A point of the Moon's course that is drawn, about its middle.
    fn middle_of_way(&self, chart: &FrameChart<'_>) -> Option<(f64, f64)> {
        let course = chart.course.as_ref()?;
        let instants = course.series.instants.iter();
        let shown: Vec<_> = instants
            .filter(|instant| is_shown(chart, Body::Moon, instant))
            .collect();
        let moon = &shown.get(shown.len() / 2)?.sky.moon;
        Some(self.at(moon.azimuth_deg, moon.apparent_altitude_deg))
    }

    /// True bearings below it, what the compass shows under them.
    fn write_bearings(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let bottom = self.room.top + self.room.height;
        let style = Type::SMALL;
        let declination = chart.magnetic_declination_deg;
        let rows = match declination {
            Some(_) => vec![(0.0, "true"), (FIGURES, "compass")],
            None => vec![(0.0, "true")],
        };
        for (row, name) in &rows {
            let spot = style.room(name, self.room.left, bottom + 14.0 + row);
            sheet.write(name, style, [spot]);
        }
        let step = if self.size == Size::A4 { 45 } else { 90 };
        let around = (0..360).step_by(step).map(f64::from);
        // The camera direction comes first and keeps its place.
        for toward in std::iter::once(self.facing_deg).chain(around) {
            let offset = offset_deg(toward, self.facing_deg);
            let (x, _) = self.at_offset(offset, 0.0);
            let middle = toward == self.facing_deg;
            let style = if middle { Type::SMALL_STRONG } else { style };
            let text = match toward {
                _ if middle => bearing(toward),
                0.0 => "north 0°".to_owned(),
                90.0 => "east 90°".to_owned(),
                180.0 => "south 180°".to_owned(),
                270.0 => "west 270°".to_owned(),
                other => bearing(other),
            };
            let spot = style.centred(&text, x, bottom + 14.0);
            if sheet.write(&text, style, [spot]).is_none() {
                continue;
            }
            sheet.draw(element(
                "path",
                [
                    (
                        "d",
                        format!("M{} {}v{}", px(x), px(bottom), if middle { 5 } else { 3 }),
                    ),
                    ("stroke", sheet.palette.ink()),
                    (
                        "stroke-width",
                        if middle { "2.4" } else { "1.2" }.to_owned(),
                    ),
                    ("data-bearing-deg", px(toward)),
                ],
            ));
            if let Some(declination_deg) = declination {
                let north = North::Magnetic { declination_deg };
                let text = bearing_words(north, toward, 0).replace('M', "");
                let spot = style.centred(&text, x, bottom + 14.0 + FIGURES);
                sheet.write(&text, style, [spot]);
            }
        }
    }
}
