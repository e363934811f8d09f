//! The picture through the lens: a rectilinear projection, as the camera makes
//! it.

use super::{
    Size,
    frame::FrameChart,
    frame_band::{BandStyle, Project, draw_band},
    frame_course::{draw_hours, draw_line, followed},
    frame_marks::{about, draw_cross},
    frame_moon::{draw_moon, radius_px},
    land::draw_land,
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle, through},
    thinned::through_thinned,
};
use crate::{
    light::{FramePosition, Pointing, View},
    report::words::clock,
    search::InPicture,
};

/// Skyline within this of the axis is drawn, degrees of azimuth.
const ASIDE_DEG: f64 = 85.0;

/// What the lens shows, and where on the sheet.
#[derive(Debug, Clone)]
pub struct LensView {
    pub(super) view: View,
    /// The axis: true bearing and pitch, degrees.
    pub(super) axis: Pointing,
    pub(super) room: Room,
    /// Middle of what is shown, half frames from the frame's middle.
    pub(super) middle: (f64, f64),
    /// Pixels per half frame, across and up.
    pub(super) scale: (f64, f64),
    /// Whether the frame's own edges are those of the picture.
    pub(super) whole: bool,
    pub(super) heading: String,
    /// How far words beside it may reach, pixels.
    pub(super) reach: (f64, f64),
}

/// No picture is lower than this, pixels.
const LEAST_HEIGHT: f64 = 180.0;

/// The widest and the highest that the picture becomes, pixels.
fn most(size: Size) -> (f64, f64) {
    match size {
        Size::A4 => (558.0, 380.0),
        Size::Phone => (size.right() - size.left(), 420.0),
    }
}

impl LensView {
    /// The view of the one frame that holds land and target, or of the Moon and
    /// the subject where the Moon is the target; `None` where there is no such
    /// frame.
    pub fn of(chart: &FrameChart<'_>, size: Size, top: f64, lower: f64) -> Option<Self> {
        if chart.rules.target.is_moon() {
            return Self::of_moon(chart, size, top, lower);
        }
        let frames = chart.frames.as_ref()?;
        let view = frames.one()?;
        let axis = Pointing::new(*frames.bearings_deg.first()?, *frames.pitches_deg.first()?);
        let tan = half_tan(&view);
        let (width, height) = fitted(size, lower, tan.0 / tan.1);
        Some(Self {
            view,
            axis,
            room: placed(size, top, width, height),
            middle: (0.0, 0.0),
            scale: (0.5 * width, 0.5 * height),
            whole: true,
            heading: "Through the lens".to_owned(),
            reach: (2.0, size.width() - 2.0),
        })
    }

    /// What stands above it.
    pub fn heading(&self) -> &str {
        &self.heading
    }

    /// Its lower edge.
    pub fn bottom(&self) -> f64 {
        self.room.top + self.room.height
    }

    /// Its width.
    pub fn width(&self) -> f64 {
        self.room.width
    }

    /// Moves its left edge there; words on its right end before `right`.
    pub fn move_to(&mut self, left: f64, right: f64) {
        self.room.left = left;
        self.reach.1 = right;
    }

    /// The point of a place in the frame.
    pub(super) fn point(&self, at: FramePosition) -> (f64, f64) {
        (
            self.room.left + 0.5 * self.room.width + self.scale.0 * (at.across - self.middle.0),
            self.room.top + 0.5 * self.room.height - self.scale.1 * (at.up - self.middle.1),
        )
    }

    /// The point of a direction; `None` behind the camera, and far outside.
    pub(super) fn at(&self, azimuth_deg: f64, altitude_deg: f64) -> Option<(f64, f64)> {
        let at = self
            .view
            .position(Pointing::new(azimuth_deg, altitude_deg))?;
        let (x, y) = self.point(at);
        let far = 12.0 * self.room.width.max(self.room.height);
        (x.abs() < far && y.abs() < far).then_some((x, y))
    }

    /// Whether a point is in the picture.
    pub(super) fn shows(&self, (x, y): (f64, f64)) -> bool {
        let room = self.room;
        (room.left..=room.left + room.width).contains(&x)
            && (room.top..=room.top + room.height).contains(&y)
    }

    /// Draws it.
    pub fn draw(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        sheet.define_clip("lens", self.room);
        let mut ground = rectangle(self.room);
        for (key, value) in [
            ("fill", sheet.palette.paper()),
            ("data-axes", "lens".to_owned()),
            (
                "data-axis-azimuth-deg",
                format!("{:.4}", self.axis.azimuth_deg),
            ),
            (
                "data-axis-altitude-deg",
                format!("{:.4}", self.axis.altitude_deg),
            ),
            (
                "data-middle-across",
                format!("{:.6}", self.middle.0 * half_tan(&self.view).0),
            ),
            (
                "data-middle-up",
                format!("{:.6}", self.middle.1 * half_tan(&self.view).1),
            ),
            (
                "data-pixels-per-unit",
                format!("{:.4}", self.scale.0 / half_tan(&self.view).0),
            ),
        ] {
            svg::Node::assign(&mut ground, key, value);
        }
        sheet.draw(ground);
        let project = |azimuth: f64, altitude: f64| self.at(azimuth, altitude);
        let of_moon = chart.rules.target.is_moon();
        if !of_moon {
            let style = BandStyle {
                clip: "lens",
                width: self.room.width,
                lowest_deg: -5.0,
                edge: 1.2,
                apart: 1.0,
            };
            draw_band(&chart.galaxy, sheet, &project, &style);
        }
        let moon = &chart.instant.sky.moon;
        let hidden = chart.moon_state() == InPicture::BehindRidge;
        let disc = self
            .at(moon.azimuth_deg, moon.apparent_altitude_deg)
            .filter(|at| chart.instant.moon_is_up() && self.shows(*at));
        // The land hides what stands behind it.
        let width = self.room.width;
        draw_line(chart, sheet, &project, "lens", width, followed(chart));
        if disc.is_some() && !hidden {
            draw_moon(chart, sheet, "lens", &project);
        }
        self.draw_land(chart, sheet, &project);
        self.draw_subject(chart, sheet);
        if disc.is_some() && hidden {
            draw_moon(chart, sheet, "lens", &project);
        }
        self.draw_target(chart, sheet);
        draw_hours(chart, sheet, &project, self.room);
        self.draw_frame(sheet);
        if let Some((x, y)) = disc {
            let radius = radius_px(chart, &project).max(3.0);
            sheet.placer.avoid(x, y, radius);
            let style = Type::STRONG;
            let rooms = about("Moon", style, (x, y), radius + 4.0);
            let inside = rooms.into_iter().filter(|spot| self.room.holds(spot));
            sheet.write_over("Moon", style, Some(sheet.palette.paper()), inside);
        }
        self.write_subject(chart, sheet);
        self.write_outside(chart, sheet);
    }

    /// The land below the skyline.
    fn draw_land(&self, chart: &FrameChart<'_>, sheet: &mut Sheet, project: &Project<'_>) {
        let skyline = chart.site.skyline.as_ref();
        let steps = (ASIDE_DEG * 4.0) as i32;
        let edge: Vec<(f64, f64)> = (-steps..=steps)
            .map(|step| self.axis.azimuth_deg + 0.25 * f64::from(step))
            .map(|azimuth| {
                let altitude = skyline.map_or(0.0, |skyline| skyline.altitude_deg_at(azimuth));
                (azimuth, altitude)
            })
            .collect();
        let line: Vec<(f64, f64)> = edge
            .iter()
            .filter_map(|(azimuth, altitude)| project(*azimuth, *altitude))
            .collect();
        let (Some(first), Some(last)) = (line.first(), line.last()) else {
            return;
        };
        let below = self.bottom().max(first.1).max(last.1) + 10.0;
        draw_land(
            sheet,
            (&line, through_thinned(&line)),
            below,
            "lens",
            (["land", "skyline"], 1.8),
        );
        for pair in line.windows(2) {
            if let [a, b] = pair
                && self.shows(*a)
            {
                sheet.placer.avoid_line(*a, *b, 1.5);
            }
        }
    }

    /// The subject, solid and to scale, hatched where the Moon lights it; a tick
    /// where its size is not known.
    fn draw_subject(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let Some(shape) = chart.site.subject_shape() else {
            return;
        };
        if !shape.is_solid() {
            if let Some((x, y)) = self.at(shape.bearing_deg, shape.foot_deg)
                && self.shows((x, y))
            {
                sheet.line((x, y + 2.0), (x, y + 11.0), 2.4);
                sheet.placer.avoid(x, y + 7.0, 6.0);
            }
            return;
        }
        let part = |from: f64, to: f64| {
            let corner = |along: f64, altitude: f64| {
                let offset = (2.0 * along - 1.0) * shape.half_width_deg;
                self.at(shape.bearing_deg + offset, altitude)
            };
            let corners = [
                corner(from, shape.top_deg),
                corner(to, shape.top_deg),
                corner(to, shape.foot_deg),
                corner(from, shape.foot_deg),
            ];
            let corners: Option<Vec<_>> = corners.into_iter().collect();
            corners
        };
        let Some(body) = part(0.0, 1.0) else {
            return;
        };
        // Of a round tower's width, the part (1 - cos angle) / 2 is lit.
        let angle = chart.instant.light.signed_light_angle_deg;
        let share = 0.5 * (1.0 - angle.to_radians().cos());
        let lit = match angle < 0.0 {
            true => part(0.0, share),
            false => part(1.0 - share, 1.0),
        };
        let lit = lit.filter(|_| chart.instant.casts_shadow());
        let shapes = [
            (Some(body.clone()), sheet.palette.unlit(), 0.0, "subject"),
            (lit.clone(), sheet.palette.lit(), 0.0, "lit"),
            (lit, sheet.url("lit"), 0.0, "lit-hatch"),
            (Some(body.clone()), "none".to_owned(), 1.2, "outline"),
        ];
        for (corners, fill, weight, name) in shapes {
            let Some(corners) = corners else {
                continue;
            };
            sheet.draw(element(
                "path",
                [
                    ("d", format!("{}Z", through(&corners))),
                    ("fill", fill),
                    ("stroke", sheet.palette.ink()),
                    ("stroke-width", px(weight)),
                    ("clip-path", sheet.url("lens")),
                    ("data-body", name.to_owned()),
                ],
            ));
        }
        if let [a, b, c, d] = body.as_slice()
            && self.shows(*a)
        {
            for part in [0.0, 0.25, 0.5, 0.75, 1.0] {
                let along = |from: (f64, f64), to: (f64, f64)| {
                    (
                        from.0 + part * (to.0 - from.0),
                        from.1 + part * (to.1 - from.1),
                    )
                };
                sheet.placer.avoid_line(along(*a, *b), along(*d, *c), 2.0);
            }
        }
    }

    /// The target as a cross that stands free of the hatching.
    fn draw_target(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let target = &chart.instant.sky.target;
        let at = self.at(target.azimuth_deg, target.apparent_altitude_deg);
        let Some((x, y)) = at.filter(|at| {
            self.shows(*at) && target.apparent_altitude_deg > -0.5 && !chart.rules.target.is_moon()
        }) else {
            return;
        };
        draw_cross(sheet, (x, y), 8.0, "target");
        let name = chart.rules.target_name();
        let text = format!("{name} {}", clock(chart.site, chart.instant.moment()));
        let style = Type::STRONG;
        let rooms = about(&text, style, (x, y), 12.0);
        let inside = rooms.into_iter().filter(|spot| self.room.holds(spot));
        sheet.write_over(&text, style, Some(sheet.palette.paper()), inside);
    }

    /// The frame's rectangle; in a picture of the Moon that of the picture, with
    /// the frame's own edges where they are in it.
    fn draw_frame(&self, sheet: &mut Sheet) {
        let mut border = rectangle(self.room);
        let weight = if self.whole { 2.4 } else { 1.0 };
        for (key, value) in [
            ("fill", "none".to_owned()),
            ("stroke", sheet.palette.ink()),
            ("stroke-width", px(weight)),
            (
                "data-frame",
                if self.whole { "frame" } else { "part" }.to_owned(),
            ),
        ] {
            svg::Node::assign(&mut border, key, value);
        }
        sheet.draw(border);
    }
}

/// Tangents of half the field, across and up.
pub fn half_tan(view: &View) -> (f64, f64) {
    let half = |field_deg: f64| (0.5 * field_deg).to_radians().tan();
    (half(view.width_deg()), half(view.height_deg()))
}

/// Width and height of a picture of this ratio, pixels.
pub fn fitted(size: Size, lower: f64, ratio: f64) -> (f64, f64) {
    let (width, height) = most(size);
    // What must go from the height goes from the picture that has this width.
    let height = (height.min(width / ratio) - lower).max(LEAST_HEIGHT);
    (width.min(height * ratio), height.min(width / ratio))
}

/// Where a picture of this size stands, in the middle of the sheet.
pub fn placed(size: Size, top: f64, width: f64, height: f64) -> Room {
    Room {
        left: 0.5 * (size.width() - width),
        top,
        width,
        height,
    }
}
