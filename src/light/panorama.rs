//! Frames and rows of a panorama turned on a tripod.

use super::{
    error::{LightError, in_range},
    framing::{Orientation, Pointing, View},
    optics::Optics,
};

/// Overlap of neighbouring frames where none is named. Common practice, no
/// source.
pub const DEFAULT_OVERLAP: f64 = 0.3;

/// Room left around the arch where none is named, degrees. Common practice, no
/// source.
pub const DEFAULT_ARCH_MARGIN_DEG: f64 = 10.0;

/// What the panorama must cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// In azimuth, degrees, 0 to 360.
    pub width_deg: f64,
    /// In altitude, degrees, 0 to 180.
    pub height_deg: f64,
    /// Altitude of its lower edge, degrees, -90 to 90.
    pub bottom_deg: f64,
}

/// A plan of frames.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Panorama {
    /// How the camera is held.
    pub orientation: Orientation,
    /// Frames in each row; set by the row nearest the horizon, which needs most.
    pub frames_per_row: u32,
    /// Rows.
    pub rows: u32,
    /// Turn from frame to frame, degrees of azimuth.
    pub yaw_step_deg: f64,
    /// Tilt from row to row, degrees; 0 for one row.
    pub pitch_step_deg: f64,
    /// Pitch of the lowest row, degrees.
    pub lowest_pitch_deg: f64,
    /// Overlap asked for, 0 to 0.9.
    pub overlap: f64,
}

/// Azimuth from one foot of the galactic arch to the other, by way of its top.
///
/// From azimuths (degrees) to degrees, 0..360; 180 for a flat horizon without
/// refraction, since the galaxy's plane is a great circle.
pub fn arch_width_deg(feet_azimuth_deg: [f64; 2], top_azimuth_deg: f64) -> f64 {
    let [first, second] = feet_azimuth_deg;
    let clockwise = |from: f64, to: f64| (to - from).rem_euclid(360.0);
    let across = clockwise(first, second);
    if clockwise(first, top_azimuth_deg) <= across {
        across
    } else {
        360.0 - across
    }
}

impl Span {
    /// The whole arch, from foot to foot and from the horizon to its top, with
    /// a margin (degrees) on every side.
    pub fn arch(
        feet_azimuth_deg: [f64; 2],
        top_azimuth_deg: f64,
        top_altitude_deg: f64,
        margin_deg: f64,
    ) -> Self {
        Self {
            width_deg: (arch_width_deg(feet_azimuth_deg, top_azimuth_deg) + 2.0 * margin_deg)
                .clamp(0.0, 360.0),
            height_deg: (top_altitude_deg + 2.0 * margin_deg).clamp(0.0, 180.0),
            bottom_deg: (-margin_deg).clamp(-90.0, 90.0),
        }
    }
}

impl Panorama {
    /// The fewest frames that cover a span.
    ///
    /// With the camera pitched by p, a frame's centre covers 1 / cos p times
    /// its field in azimuth, so the yaw step is divided by cos p; overlap grows
    /// toward the zenith.
    ///
    /// # Errors
    /// [`LightError::OutOfRange`] for a width outside 0 to 360, a height
    /// outside 0 to 180, a lower edge outside -90 to 90 or an overlap outside 0
    /// to 0.9.
    pub fn cover(
        optics: &Optics,
        orientation: Orientation,
        span: &Span,
        overlap: f64,
    ) -> Result<Self, LightError> {
        let width = in_range(
            "panorama width (deg)",
            span.width_deg,
            0.0,
            360.0,
            "0 to 360",
        )?;
        let height = in_range(
            "panorama height (deg)",
            span.height_deg,
            0.0,
            180.0,
            "0 to 180",
        )?;
        let bottom = in_range(
            "lower edge (deg)",
            span.bottom_deg,
            -90.0,
            90.0,
            "-90 to 90",
        )?;
        let overlap = in_range("overlap", overlap, 0.0, 0.9, "0 to 0.9")?;
        let level = View::new(optics, orientation, Pointing::new(0.0, 0.0));

        let rows = frames_across(height, level.height_deg(), overlap);
        let (lowest_pitch_deg, pitch_step_deg) = if rows == 1 {
            (bottom + 0.5 * height, 0.0)
        } else {
            (
                bottom + 0.5 * level.height_deg(),
                (height - level.height_deg()) / f64::from(rows - 1),
            )
        };
        let flattest_cos = (0..rows)
            .map(|row| lowest_pitch_deg + f64::from(row) * pitch_step_deg)
            .map(|pitch_deg| pitch_deg.to_radians().cos())
            .fold(1e-3, f64::max);
        let covered_deg = level.width_deg() / flattest_cos;
        let full_circle = (360.0 / (covered_deg * (1.0 - overlap))).ceil().max(1.0) as u32;
        let frames_per_row = if width >= 360.0 {
            full_circle
        } else {
            frames_across(width, covered_deg, overlap).min(full_circle)
        };
        Ok(Self {
            orientation,
            frames_per_row,
            rows,
            yaw_step_deg: covered_deg * (1.0 - overlap),
            pitch_step_deg,
            lowest_pitch_deg,
            overlap,
        })
    }
}

/// Frames side by side that cover a width with an overlap.
fn frames_across(width_deg: f64, field_deg: f64, overlap: f64) -> u32 {
    let step_deg = field_deg * (1.0 - overlap);
    // A hair less, so that a width of exactly n steps does not ask for n + 1.
    let steps = ((width_deg - field_deg) / step_deg - 1e-9).ceil();
    steps.max(0.0) as u32 + 1
}
