//! The Moon in a picture: to scale, in its true shape, with the Earth's shadow
//! on it.

use super::{
    frame::FrameChart,
    frame_band::Project,
    moon_shape::{OnDisc, limb, lit_part, umbra},
    sheet::{Sheet, element, px, through},
};

/// Below this radius the disc is a dot, pixels.
const LEAST_SHAPE: f64 = 2.5;
/// The least radius of that dot, pixels.
const LEAST_DOT: f64 = 1.6;
/// Step over which the projection is taken as plain, degrees.
const STEP_DEG: f64 = 0.05;

/// A disc on the sheet: its middle, and where a radius to the right and one
/// upward go.
struct Disc {
    middle: (f64, f64),
    right: (f64, f64),
    up: (f64, f64),
}

impl Disc {
    /// The Moon's disc in a projection, which stretches it away from its axis.
    fn of(chart: &FrameChart<'_>, project: &Project<'_>) -> Option<Self> {
        let moon = &chart.instant.sky.moon;
        let (azimuth, altitude) = (moon.azimuth_deg, moon.apparent_altitude_deg);
        let middle = project(azimuth, altitude)?;
        let level = altitude.to_radians().cos().max(1e-3);
        let beside = project(azimuth + STEP_DEG / level, altitude)?;
        let above = project(azimuth, altitude + STEP_DEG)?;
        let per = chart.instant.sky.moon_radius_deg() / STEP_DEG;
        let arm = |to: (f64, f64)| (per * (to.0 - middle.0), per * (to.1 - middle.1));
        Some(Self {
            middle,
            right: arm(beside),
            up: arm(above),
        })
    }

    fn radius(&self) -> f64 {
        0.5 * (self.right.0.hypot(self.right.1) + self.up.0.hypot(self.up.1))
    }

    fn point(&self, (right, up): OnDisc) -> (f64, f64) {
        (
            self.middle.0 + right * self.right.0 + up * self.up.0,
            self.middle.1 + right * self.right.1 + up * self.up.1,
        )
    }

    fn outline(&self, shape: &[OnDisc]) -> String {
        let points: Vec<(f64, f64)> = shape.iter().map(|at| self.point(*at)).collect();
        format!("{}Z", through(&points))
    }
}

/// The radius of the Moon as it is drawn, pixels; 0 where it is not.
pub fn radius_px(chart: &FrameChart<'_>, project: &Project<'_>) -> f64 {
    Disc::of(chart, project).map_or(0.0, |disc| disc.radius())
}

/// Draws the Moon: a dot where it is tiny, else limb, lit part and umbra. Behind
/// the land it is a dotted outline; in the umbra it is never a white disc.
pub fn draw_moon(chart: &FrameChart<'_>, sheet: &mut Sheet, clip: &str, project: &Project<'_>) {
    let Some(disc) = Disc::of(chart, project) else {
        return;
    };
    let instant = &chart.instant;
    let hidden = chart.moon_state() == crate::search::InPicture::BehindRidge;
    let magnitude = chart.umbra.map_or(0.0, |umbra| umbra.magnitude());
    let phase = instant.sky.phase.illuminated_fraction;
    let (x, y) = disc.middle;
    if disc.radius() < LEAST_SHAPE {
        // More than half in the umbra a dot is a ring.
        let dark = hidden || magnitude > 0.5;
        sheet.draw(element(
            "circle",
            [
                ("cx", px(x)),
                ("cy", px(y)),
                ("r", px(disc.radius().max(LEAST_DOT))),
                (
                    "fill",
                    if dark {
                        "none".to_owned()
                    } else {
                        sheet.palette.ink()
                    },
                ),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", "0.8".to_owned()),
                ("clip-path", sheet.url(clip)),
                ("data-body", "moon".to_owned()),
                ("data-umbral", px(magnitude)),
            ],
        ));
        return;
    }
    let dashes = if hidden { "1.5 2.5" } else { "none" };
    let url = sheet.url(clip);
    let (unlit, lit) = (sheet.palette.unlit(), sheet.palette.lit());
    let fill = |grey: String| if hidden { "none".to_owned() } else { grey };
    draw_part(
        sheet,
        &disc,
        &limb(),
        (fill(unlit.clone()), dashes, 0.0),
        &url,
        "moon",
    );
    if magnitude < 1.0 {
        let shape = lit_part(phase, chart.bright_limb_from_zenith_deg);
        draw_part(
            sheet,
            &disc,
            &shape,
            (fill(lit), dashes, 0.0),
            &url,
            "moon-lit",
        );
    }
    if let Some(shadow) = chart.umbra.filter(|_| magnitude < 1.0 && !hidden) {
        let mut within = element("clipPath", [("id", sheet.id("disc"))]);
        svg::Node::append(&mut within, element("path", [("d", disc.outline(&limb()))]));
        sheet.define(within);
        let url = sheet.url("disc");
        draw_part(
            sheet,
            &disc,
            &umbra(&shadow),
            (unlit, "none", 1.0),
            &url,
            "umbra",
        );
    }
    draw_part(
        sheet,
        &disc,
        &limb(),
        ("none".to_owned(), dashes, 1.2),
        &url,
        "moon-limb",
    );
}

fn draw_part(
    sheet: &mut Sheet,
    disc: &Disc,
    shape: &[OnDisc],
    (fill, dashes, weight): (String, &str, f64),
    clip: &str,
    name: &str,
) {
    sheet.draw(element(
        "path",
        [
            ("d", disc.outline(shape)),
            ("fill", fill),
            ("stroke", sheet.palette.ink()),
            ("stroke-width", px(weight)),
            ("stroke-dasharray", dashes.to_owned()),
            ("clip-path", clip.to_owned()),
            ("data-body", name.to_owned()),
            ("data-x", px(disc.middle.0)),
            ("data-y", px(disc.middle.1)),
        ],
    ));
}
