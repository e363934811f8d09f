//! The picture of a Moon that is the target: the disc to scale, with the land
//! where that is near.

use super::{
    Size,
    frame::FrameChart,
    frame_lens::{LensView, fitted, half_tan, placed},
};
use crate::{
    light::{FramePosition, Orientation, Pointing, View},
    scene::SubjectShape,
    search::Lens,
};

/// Room about Moon and subject in a picture of the Moon, degrees. The project's
/// choice.
const MOON_ROOM_DEG: f64 = 1.5;
/// Farther apart than this Moon and subject have no picture of their own,
/// degrees. The project's choice.
const FARTHEST_DEG: f64 = 30.0;

impl LensView {
    /// Moon and subject alone, to scale.
    pub(super) fn of_moon(
        chart: &FrameChart<'_>,
        size: Size,
        top: f64,
        lower: f64,
    ) -> Option<Self> {
        let instant = &chart.instant;
        let moon = &instant.sky.moon;
        let (azimuth, altitude) = (moon.azimuth_deg, moon.apparent_altitude_deg);
        if !instant.moon_is_up() {
            return None;
        }
        let shape = chart.site.subject_shape().filter(SubjectShape::is_solid);
        let level = Pointing::new(instant.facing_deg, 0.0);
        let land = shape.map_or(level, |shape| {
            Pointing::new(shape.bearing_deg, shape.foot_deg)
        });
        let here = Pointing::new(azimuth, altitude);
        // The Moon alone where the land is too far from it.
        let with_land = land.separation_deg(here) <= FARTHEST_DEG;
        let one = chart.frames.as_ref().and_then(|frames| {
            let axis = Pointing::new(*frames.bearings_deg.first()?, *frames.pitches_deg.first()?);
            Some((frames.one()?, axis))
        });
        let (view, axis) = match one {
            Some(one) => one,
            None => {
                // Any lens will do: only the directions count.
                let lens = Lens::of(chart.site, 1.0).ok()?;
                let axis = Pointing::between(if with_land { land } else { here }, here)?;
                let held = Orientation::Landscape;
                (View::new(lens.optics(), held, axis), axis)
            }
        };
        let near = |azimuth_deg: f64, altitude_deg: f64| {
            let off = crate::rule::offset_deg(azimuth_deg, axis.azimuth_deg).abs();
            let here = Pointing::new(azimuth_deg, altitude_deg);
            (off <= FARTHEST_DEG).then(|| view.position(here)).flatten()
        };
        let mut corners = Vec::new();
        for (dx, dy) in [(-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (1.0, -1.0)] {
            let (aside, up) = (MOON_ROOM_DEG * dx, MOON_ROOM_DEG * dy);
            let wide = altitude.to_radians().cos().max(0.05);
            corners.push(near(azimuth + aside / wide, altitude + up)?);
            if !with_land {
                continue;
            }
            let half = shape.map_or(0.0, |shape| shape.half_width_deg);
            let (foot, tip) = shape.map_or((0.0, 0.0), |shape| (shape.foot_deg, shape.top_deg));
            let end = if dy < 0.0 { foot } else { tip };
            corners.push(near(land.azimuth_deg + half * dx + aside, end + up)?);
        }
        let span = |of: fn(&FramePosition) -> f64| {
            let values = || corners.iter().map(of);
            let least = values().fold(f64::INFINITY, f64::min);
            (least, values().fold(f64::NEG_INFINITY, f64::max))
        };
        let (left, right) = span(|at| at.across);
        let (low, high) = span(|at| at.up);
        let tan = half_tan(&view);
        // Neither a strip nor a slit: at least half as wide as high, and back.
        let (wide, tall) = ((right - left) * tan.0, (high - low) * tan.1);
        let (wide, tall) = (wide.max(0.7 * tall), tall.max(0.45 * wide));
        let (width, height) = fitted(size, lower, wide / tall);
        let per_tan = width / wide;
        let whole = false;
        Some(Self {
            view,
            axis,
            room: placed(size, top, width, height),
            middle: (0.5 * (left + right), 0.5 * (low + high)),
            scale: (per_tan * tan.0, per_tan * tan.1),
            whole,
            heading: match with_land {
                true => "Moon and land through the lens, enlarged".to_owned(),
                false => "The Moon through the lens, enlarged".to_owned(),
            },
            reach: (2.0, size.width() - 2.0),
        })
    }
}
