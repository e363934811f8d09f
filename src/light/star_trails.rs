//! Star trails from frames one after the other.

use super::{
    error::{LightError, in_range},
    optics::Optics,
    series::{frame_shutter, pause, series_s},
    trail::{trail_px, turn_deg, turn_s},
};

/// Shutter time of a frame where none is named, seconds: the longest that
/// cameras time themselves. Common practice, no source.
pub const DEFAULT_TRAIL_SHUTTER_S: f64 = 30.0;

/// Length asked of star trails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TrailLength {
    /// Turn of the sky about its pole, degrees.
    Degrees(f64),
    /// Time, seconds.
    Seconds(f64),
}

/// A series of frames that become star trails.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct StarTrails {
    /// Shutter time of each frame, seconds.
    pub shutter_s: f64,
    /// Frames, the last one whole.
    pub frames: u32,
    /// From the first frame's beginning to the last one's end, seconds.
    pub total_s: f64,
    /// How far the sky turns in that time, degrees about its pole.
    pub turn_deg: f64,
    /// How long the fastest star's trail is, pixels on the axis.
    pub length_px: f64,
    /// The gap that a pause leaves in it, pixels on the axis.
    pub gap_px: f64,
}

/// The fewest frames that give trails of a length.
///
/// From a frame's shutter time and the pause after it (seconds) and the
/// declination of the fastest star in the frame (degrees).
///
/// # Errors
/// [`LightError::OutOfRange`] for a length outside 0.1 to 360 degrees, or the
/// time of that, a shutter time outside 1/4000 s to 1 h or a pause outside 0 to
/// 1 h.
pub fn plan_star_trails(
    optics: &Optics,
    length: TrailLength,
    shutter_s: f64,
    pause_s: f64,
    fastest_declination_deg: f64,
) -> Result<StarTrails, LightError> {
    let shutter_s = frame_shutter(shutter_s)?;
    let pause_s = pause(pause_s)?;
    let asked_deg = match length {
        TrailLength::Degrees(degrees) => degrees,
        TrailLength::Seconds(seconds) => turn_deg(seconds),
    };
    in_range("trail (deg)", asked_deg, 0.1, 360.0, "0.1 to 360")?;
    // A hair less, so that a time of exactly n frames does not ask for n + 1.
    let frames = (turn_s(asked_deg) + pause_s) / (shutter_s + pause_s) - 1e-9;
    let frames = frames.ceil().max(1.0) as u32;
    let total_s = series_s(frames, shutter_s, pause_s);
    Ok(StarTrails {
        shutter_s,
        frames,
        total_s,
        turn_deg: turn_deg(total_s),
        length_px: trail_px(optics, total_s, fastest_declination_deg),
        gap_px: if frames > 1 {
            trail_px(optics, pause_s, fastest_declination_deg)
        } else {
            0.0
        },
    })
}
