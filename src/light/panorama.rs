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

/// Rows tried beyond the fewest. The project's choice: the second already has
/// room for edges that bend.
const MORE_ROWS: u32 = 8;

/// Frames in a row that a plan may have; a 3000 mm lens on the smallest sensor
/// needs fewer. The project's choice.
const MOST_IN_A_ROW: f64 = 1e6;

/// What the panorama must cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanoramaSpan {
    /// In azimuth, degrees, 0 to 360.
    pub width_deg: f64,
    /// In altitude, degrees, 0 to 180; what goes beyond the zenith is left out.
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
    /// Frames in each row; set by the row that needs most.
    pub frames_per_row: u32,
    /// Rows.
    pub rows: u32,
    /// Turn from frame to frame, degrees of azimuth.
    pub yaw_step_deg: f64,
    /// Pitch from row to row, degrees; 0 for one row.
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

impl PanoramaSpan {
    /// One row along half the horizon: as wide as a whole arch, where none is
    /// known.
    pub const HALF_THE_HORIZON: Self = Self {
        width_deg: 180.0,
        height_deg: 0.0,
        bottom_deg: 0.0,
    };

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
    /// The fewest frames that cover a span without a hole.
    ///
    /// The rows are spread evenly over the height, which ends at the zenith.
    /// Each frame must reach over its row's share of the height as far to the
    /// side as half the turn to the next. The turn follows from the least width
    /// of a frame over the altitudes of its row; below the horizon, where only
    /// land is, the frames may overlap less than asked, but they still meet.
    /// All rows have the same bearings.
    ///
    /// # Source
    /// Central projection ([`View::half_width_between_deg`]).
    ///
    /// # Errors
    /// [`LightError::OutOfRange`] for a width outside 0 to 360, a height
    /// outside 0 to 180, a lower edge outside -90 to 90 or an overlap outside 0
    /// to 0.9.
    pub fn cover(
        optics: &Optics,
        orientation: Orientation,
        span: &PanoramaSpan,
        overlap: f64,
    ) -> Result<Self, LightError> {
        Self::cover_within(optics, orientation, span, overlap, [u32::MAX, u32::MAX])
    }

    /// The same with at most so many frames in a row and so many rows.
    ///
    /// # Errors
    ///
    /// As [`Panorama::cover`], also where these do not cover the span.
    pub fn cover_within(
        optics: &Optics,
        orientation: Orientation,
        span: &PanoramaSpan,
        overlap: f64,
        [most_columns, most_rows]: [u32; 2],
    ) -> Result<Self, LightError> {
        let width_deg = in_range(
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
        let bottom_deg = in_range(
            "lower edge (deg)",
            span.bottom_deg,
            -90.0,
            90.0,
            "-90 to 90",
        )?;
        let overlap = in_range("overlap", overlap, 0.0, 0.9, "0 to 0.9")?;
        let height_deg = height.min(90.0 - bottom_deg);
        let level = View::new(optics, orientation, Pointing::new(0.0, 0.0));
        let fewest = frames_across(height_deg, level.height_deg(), overlap);
        // Rows that only just hold the height leave nothing for the edges that
        // bend; one or two more do, and may need fewer frames in all.
        (fewest..=fewest.saturating_add(MORE_ROWS).min(most_rows))
            .filter_map(|rows| {
                let row_deg = height_deg / f64::from(rows);
                let lowest_pitch_deg = bottom_deg + 0.5 * row_deg;
                let pitches = (0..rows).map(|row| lowest_pitch_deg + f64::from(row) * row_deg);
                let turn = pitches
                    .map(|pitch_deg| {
                        let view = View::new(optics, orientation, Pointing::new(0.0, pitch_deg));
                        Turn::of_row(&view, pitch_deg, row_deg, overlap)
                    })
                    .try_fold(Turn::WIDEST, |least, row| Some(least.and(row?)))?;
                let (frames_per_row, yaw_step_deg) = turn.frames(width_deg)?;
                Some(Self {
                    orientation,
                    frames_per_row,
                    rows,
                    yaw_step_deg,
                    pitch_step_deg: if rows == 1 { 0.0 } else { row_deg },
                    lowest_pitch_deg,
                    overlap,
                })
            })
            .filter(|plan| plan.frames_per_row <= most_columns)
            .min_by_key(Self::frames)
            .ok_or(LightError::OutOfRange {
                what: "panorama height (deg)",
                found: height,
                expected: "one that rows of frames can cover",
            })
    }

    /// Frames in all.
    pub fn frames(&self) -> u64 {
        u64::from(self.rows) * u64::from(self.frames_per_row)
    }

    /// The bearings of the frames of a row from the panorama's centre, degrees,
    /// right positive, from left to right.
    pub fn offsets_deg(&self) -> impl Iterator<Item = f64> + use<> {
        let (step_deg, last) = (self.yaw_step_deg, self.frames_per_row.saturating_sub(1));
        (0..=last).map(move |frame| (f64::from(frame) - 0.5 * f64::from(last)) * step_deg)
    }

    /// The pitches of the rows, degrees, the lowest first.
    pub fn pitches_deg(&self) -> impl Iterator<Item = f64> + use<> {
        let (lowest_deg, step_deg) = (self.lowest_pitch_deg, self.pitch_step_deg);
        (0..self.rows).map(move |row| lowest_deg + f64::from(row) * step_deg)
    }

    /// The time that one row takes, seconds, from the shutter time of a frame
    /// and the pause after it.
    pub fn row_s(&self, shutter_s: f64, pause_s: f64) -> f64 {
        f64::from(self.frames_per_row) * (shutter_s + pause_s)
    }
}

/// How far the camera may turn from frame to frame.
#[derive(Debug, Clone, Copy)]
struct Turn {
    /// Half the width that a frame fills from its row's lower to its upper
    /// edge, degrees.
    half_deg: f64,
    /// From frame to frame, degrees.
    step_deg: f64,
}

impl Turn {
    const WIDEST: Self = Self {
        half_deg: 180.0,
        step_deg: 360.0,
    };

    /// Of a row of this height around its pitch; `None` where it has a hole.
    fn of_row(view: &View, pitch_deg: f64, row_deg: f64, overlap: f64) -> Option<Self> {
        let (low_deg, high_deg) = (pitch_deg - 0.5 * row_deg, pitch_deg + 0.5 * row_deg);
        let half_deg = view.half_width_between_deg(low_deg, high_deg)?;
        let from_deg = if high_deg > 0.0 {
            low_deg.max(0.0)
        } else {
            low_deg
        };
        let narrowest_deg = view
            .half_width_at_deg(from_deg)?
            .min(view.half_width_at_deg(high_deg)?);
        // A hair less, so that frames that just meet still meet when rounded.
        let half_deg = half_deg - 1e-6;
        let step_deg = (2.0 * narrowest_deg * (1.0 - overlap)).min(2.0 * half_deg);
        (step_deg > 0.0).then_some(Self { half_deg, step_deg })
    }

    fn and(self, other: Self) -> Self {
        Self {
            half_deg: self.half_deg.min(other.half_deg),
            step_deg: self.step_deg.min(other.step_deg),
        }
    }

    /// Frames for a width and the turn between them, degrees.
    fn frames(self, width_deg: f64) -> Option<(u32, f64)> {
        let around = (360.0 / self.step_deg - 1e-9).ceil().max(1.0);
        let steps = ((width_deg - 2.0 * self.half_deg) / self.step_deg).ceil();
        let across = steps.max(0.0) + 1.0;
        if width_deg >= 360.0 || across > around {
            (around <= MOST_IN_A_ROW).then_some((around as u32, 360.0 / around))
        } else {
            (across <= MOST_IN_A_ROW).then_some((across as u32, self.step_deg))
        }
    }
}

/// Frames side by side that cover a width with an overlap.
fn frames_across(width_deg: f64, field_deg: f64, overlap: f64) -> u32 {
    let step_deg = field_deg * (1.0 - overlap);
    // A hair less, so that a width of exactly n steps does not ask for n + 1.
    let steps = ((width_deg - field_deg) / step_deg - 1e-9).ceil();
    steps.max(0.0) as u32 + 1
}
