//! The place from above: camera, frame, subject, shadow and light, to scale.

use super::{
    frame::FrameChart,
    frame_marks::about,
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle, stroke, through},
};
use crate::rule::offset_deg;

/// Longest shadow drawn, in distances from camera to subject: a longer one would
/// leave no room for the rest. The project's choice.
const LONGEST_SHADOW: f64 = 2.0;
/// Length of the stroke of moonlight, pixels, and its gap to the subject.
const STROKE: (f64, f64) = (62.0, 12.0);
/// A disc of a larger radius is drawn as its edge, pixels.
const POINT: f64 = 6.0;
/// Room kept about what is drawn, for words, pixels.
const ASIDE: f64 = 96.0;
const ABOVE: f64 = 26.0;
const BELOW: f64 = 30.0;

/// The plan. Points are in metres from the camera: to the right, and ahead.
#[derive(Debug, Clone)]
pub struct Above {
    pub(super) room: Room,
    /// The camera on the sheet.
    pub(super) camera: (f64, f64),
    /// Pixels per metre.
    pub(super) scale: f64,
    pub(super) distance_m: f64,
    pub(super) subject: (f64, f64),
    pub(super) shadow: Option<Shadow>,
}

#[derive(Debug, Clone)]
pub struct Shadow {
    pub corners: Vec<(f64, f64)>,
    pub length_m: f64,
    /// Whether it is longer than it is drawn.
    pub cut: bool,
}

/// So far in a direction from the camera direction, degrees.
pub fn toward(offset: f64, distance: f64) -> (f64, f64) {
    let (sin, cos) = offset.to_radians().sin_cos();
    (distance * sin, distance * cos)
}

/// Half a subject that is wider than tall, metres to the right and ahead: a bar
/// across the line of sight. A wall has no other extent that is known.
fn half_bar(chart: &FrameChart<'_>) -> Option<(f64, f64)> {
    let site = chart.site;
    let (width_m, assumed) = site.subject_width_m()?;
    let height_m = site.subject.as_ref()?.height_m?;
    let sight = offset_deg(site.subject_bearing_deg()?, chart.instant.facing_deg);
    let is_wide = !assumed && width_m > height_m;
    is_wide.then(|| toward(sight + 90.0, 0.5 * width_m))
}

impl Above {
    /// The plan; `None` where the subject's distance is not known.
    pub fn of(chart: &FrameChart<'_>, room: Room) -> Option<Self> {
        let (site, instant) = (chart.site, &chart.instant);
        let distance_m = site.subject_distance_m().filter(|metres| *metres > 0.0)?;
        let facing = instant.facing_deg;
        let subject = toward(offset_deg(site.subject_bearing_deg()?, facing), distance_m);
        let shadow = Self::shadow_of(chart, subject, distance_m);
        let mut points = vec![(0.0, 0.0), subject];
        if let Some((right, ahead)) = half_bar(chart) {
            points.extend(
                [-1.0, 1.0].map(|side| (subject.0 + side * right, subject.1 + side * ahead)),
            );
        }
        points.extend(
            shadow
                .iter()
                .flat_map(|shadow| shadow.corners.iter().copied()),
        );
        let span = |of: fn(&(f64, f64)) -> f64| {
            let values = || points.iter().map(of);
            let least = values().fold(f64::INFINITY, f64::min);
            (least, values().fold(f64::NEG_INFINITY, f64::max))
        };
        let (left, right) = span(|at| at.0);
        let (back, front) = span(|at| at.1);
        // The stroke of light reaches beyond the subject.
        let light = toward(instant.signed_light_angle_deg(), STROKE.0 + STROKE.1 + 8.0);
        let light = if instant.casts_shadow() {
            light
        } else {
            (0.0, 0.0)
        };
        let above = ABOVE + light.1.max(0.0);
        let inner = (room.width - 2.0 * ASIDE, room.height - above - BELOW);
        let scale = (inner.0 / (right - left).max(0.2 * distance_m)).min(inner.1 / (front - back));
        let middle = 0.5 * (left + right);
        let camera = (
            room.left + 0.5 * room.width - scale * middle,
            room.top + room.height - BELOW + scale * back,
        );
        Some(Self {
            room,
            camera,
            scale,
            distance_m,
            subject,
            shadow,
        })
    }

    fn shadow_of(chart: &FrameChart<'_>, at: (f64, f64), distance_m: f64) -> Option<Shadow> {
        let (site, light) = (chart.site, &chart.instant.light);
        let height_m = site.subject.as_ref()?.height_m?;
        let azimuth_deg = light.shadow_azimuth_deg?;
        let length_m = light.shadow_length_per_height? * height_m;
        if !chart.instant.casts_shadow() {
            return None;
        }
        let half_m = 0.5 * site.subject_width_m().map_or(0.0, |(width_m, _)| width_m);
        let drawn_m = length_m.min(LONGEST_SHADOW * distance_m);
        let offset = offset_deg(azimuth_deg, chart.instant.facing_deg);
        let corner = |side: f64, along_m: f64| {
            let (across, along) = match half_bar(chart) {
                Some((right, ahead)) => ((side * right, side * ahead), toward(offset, along_m)),
                None => (
                    toward(offset + 90.0, side * half_m),
                    toward(offset, along_m),
                ),
            };
            (at.0 + across.0 + along.0, at.1 + across.1 + along.1)
        };
        Some(Shadow {
            corners: vec![
                corner(-1.0, 0.0),
                corner(-1.0, drawn_m),
                corner(1.0, drawn_m),
                corner(1.0, 0.0),
            ],
            length_m,
            cut: drawn_m < length_m,
        })
    }

    /// Its lower edge.
    pub fn bottom(&self) -> f64 {
        self.room.top + self.room.height
    }

    pub(super) fn at(&self, (right, ahead): (f64, f64)) -> (f64, f64) {
        (
            self.camera.0 + self.scale * right,
            self.camera.1 - self.scale * ahead,
        )
    }

    /// Draws it.
    pub fn draw(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        sheet.define_clip("above", self.room);
        let mut ground = rectangle(self.room);
        for (key, value) in [
            ("fill", sheet.palette.paper()),
            ("data-axes", "above".to_owned()),
            (
                "data-facing-deg",
                format!("{:.4}", chart.instant.facing_deg),
            ),
            ("data-camera-x", px(self.camera.0)),
            ("data-camera-y", px(self.camera.1)),
            ("data-pixels-per-metre", format!("{:.6}", self.scale)),
        ] {
            svg::Node::assign(&mut ground, key, value);
        }
        sheet.draw(ground);
        self.draw_edges(chart, sheet);
        self.draw_shadow(sheet);
        self.draw_subject(chart, sheet);
        self.draw_camera(sheet);
        self.draw_light(chart, sheet);
        self.draw_north_and_scale(chart, sheet);
        self.draw_ways(chart, sheet);
        self.write_light(chart, sheet);
        self.write(chart, sheet);
    }

    /// The side edges of the frame, or of the panorama, on the level.
    fn draw_edges(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let Some(frames) = &chart.frames else {
            return;
        };
        let views: Vec<_> = frames.views().take(frames.bearings_deg.len()).collect();
        let ends = [(views.first(), -1.0), (views.last(), 1.0)];
        let bearings = [frames.bearings_deg.first(), frames.bearings_deg.last()];
        let (long, facing) = (self.room.width + self.room.height, chart.instant.facing_deg);
        for ((view, side), bearing) in ends.into_iter().zip(bearings) {
            let (Some(view), Some(bearing)) = (view, bearing) else {
                continue;
            };
            // At the level, or the lowest that such a camera sees.
            let Some(half_deg) = view.half_width_at_deg(0.0) else {
                continue;
            };
            let offset = offset_deg(*bearing, facing) + side * half_deg;
            let (right, ahead) = toward(offset, long);
            let end = (self.camera.0 + right, self.camera.1 - ahead);
            sheet.draw(element(
                "path",
                [
                    ("d", through(&[self.camera, end])),
                    ("stroke", sheet.palette.faint()),
                    ("stroke-width", "1".to_owned()),
                    ("clip-path", sheet.url("above")),
                    (
                        "data-edge-deg",
                        format!("{:.3}", (facing + offset).rem_euclid(360.0)),
                    ),
                ],
            ));
            let to = self.clipped(offset);
            sheet.placer.avoid_line(self.camera, to, 4.0);
        }
    }

    /// Where a line from the camera leaves the plan.
    fn clipped(&self, offset: f64) -> (f64, f64) {
        let (right, ahead) = toward(offset, 1.0);
        let side = |room: f64, rate: f64| {
            if rate > 1e-9 {
                room / rate
            } else {
                f64::INFINITY
            }
        };
        let to_right = self.room.left + self.room.width - self.camera.0;
        let to_left = self.camera.0 - self.room.left;
        let reach = side(to_right, right)
            .min(side(to_left, -right))
            .min(side(self.camera.1 - self.room.top, ahead))
            .min(side(self.bottom() - self.camera.1, -ahead));
        let reach = if reach.is_finite() {
            reach.max(0.0)
        } else {
            0.0
        };
        (self.camera.0 + reach * right, self.camera.1 - reach * ahead)
    }

    fn draw_shadow(&self, sheet: &mut Sheet) {
        let Some(shadow) = &self.shadow else {
            return;
        };
        let corners: Vec<(f64, f64)> = shadow.corners.iter().map(|at| self.at(*at)).collect();
        let [a, b, c, d] = corners.as_slice() else {
            return;
        };
        // A shadow that is cut has no end.
        let line = match shadow.cut {
            true => format!("{}{}", through(&[*a, *b]), through(&[*c, *d])),
            false => format!("{}Z", through(&corners)),
        };
        for (data, fill, weight, name) in [
            (
                format!("{}Z", through(&corners)),
                sheet.palette.land(),
                0.0,
                "shadow",
            ),
            (line, "none".to_owned(), 0.9, "shadow-edge"),
        ] {
            sheet.draw(element(
                "path",
                [
                    ("d", data),
                    ("fill", fill),
                    ("stroke", sheet.palette.ink()),
                    ("stroke-width", px(weight)),
                    ("data-body", name.to_owned()),
                ],
            ));
        }
        for (from, to) in [(*a, *b), (*d, *c)] {
            sheet.placer.avoid_line(from, to, 1.5);
        }
    }

    /// Radius of the subject's disc on the sheet; a bar has none.
    pub(super) fn radius(&self, chart: &FrameChart<'_>) -> f64 {
        let width_m = chart
            .site
            .subject_width_m()
            .map_or(0.0, |(width_m, _)| width_m);
        match half_bar(chart) {
            Some(_) => 0.0,
            None => (0.5 * self.scale * width_m).max(2.5),
        }
    }

    fn draw_subject(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let (x, y) = self.at(self.subject);
        let radius = self.radius(chart);
        if let Some(half) = half_bar(chart) {
            let (dx, dy) = (self.scale * half.0, self.scale * half.1);
            let (from, to) = ((x - dx, y + dy), (x + dx, y - dy));
            let mut bar = stroke(&through(&[from, to]), &sheet.palette.ink(), 4.0);
            svg::Node::assign(&mut bar, "data-body", "subject-bar");
            sheet.draw(bar);
            sheet.placer.avoid_line(from, to, 3.0);
            return;
        }
        // A disc that is more than a point is drawn as its edge.
        let fill = match radius > POINT {
            true => sheet.palette.paper(),
            false => sheet.palette.ink(),
        };
        sheet.draw(element(
            "circle",
            [
                ("cx", px(x)),
                ("cy", px(y)),
                ("r", px(radius)),
                ("fill", fill),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", px(if radius > POINT { 2.0 } else { 0.0 })),
                ("data-body", "subject-above".to_owned()),
            ],
        ));
        sheet.placer.avoid(x, y, radius + 2.0);
    }

    fn draw_camera(&self, sheet: &mut Sheet) {
        let (x, y) = self.camera;
        let data = through(&[(x - 6.0, y + 9.0), (x, y), (x + 6.0, y + 9.0)]);
        sheet.draw(element(
            "path",
            [
                ("d", format!("{data}Z")),
                ("fill", sheet.palette.paper()),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", "2".to_owned()),
            ],
        ));
        sheet.placer.avoid(x, y + 4.0, 8.0);
    }

    /// One stroke of moonlight that ends at the subject.
    fn draw_light(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let Some([tail, _, tip]) = self.light(chart) else {
            return;
        };
        sheet.line(tail, tip, 2.6);
        let angle = chart.instant.signed_light_angle_deg();
        for turn in [-28.0, 28.0] {
            let (right, ahead) = toward(angle + turn, 10.0);
            sheet.line(tip, (tip.0 + right, tip.1 - ahead), 2.6);
        }
        sheet.placer.avoid_line(tail, tip, 1.0);
    }

    /// Tail, middle and tip of that stroke; `None` without light that counts.
    fn light(&self, chart: &FrameChart<'_>) -> Option<[(f64, f64); 3]> {
        let angle = chart.instant.signed_light_angle_deg();
        let (x, y) = self.at(self.subject);
        let point = |part: f64| {
            let gap = STROKE.1.max(self.radius(chart) + 6.0);
            let (right, ahead) = toward(angle, part * STROKE.0 + gap);
            (x + right, y - ahead)
        };
        let shown = chart.instant.casts_shadow();
        shown.then(|| [1.0, 0.6, 0.0].map(point))
    }

    fn write_light(&self, chart: &FrameChart<'_>, sheet: &mut Sheet) {
        let Some([tail, middle, _]) = self.light(chart) else {
            return;
        };
        let text = "moonlight";
        let style = Type::SMALL_STRONG;
        let mut rooms = about(text, style, tail, 8.0);
        rooms.extend(about(text, style, middle, 10.0));
        let inside = rooms.into_iter().filter(|spot| self.room.holds(spot));
        sheet.write_over(text, style, Some(sheet.palette.paper()), inside);
    }
}
