//! Frames one after the other: their shutter time, pauses and whole time.

use super::{
    error::{LightError, in_range},
    exposure::SHUTTER_SCALE_S,
};

/// A frame's shutter time, seconds, where a camera has it.
///
/// # Errors
/// [`LightError::OutOfRange`] outside 1/4000 s to 1 h.
pub(super) fn frame_shutter(seconds: f64) -> Result<f64, LightError> {
    let shortest_s = SHUTTER_SCALE_S[SHUTTER_SCALE_S.len() - 1];
    in_range(
        "shutter time (s)",
        seconds,
        shortest_s,
        3600.0,
        "1/4000 s to 1 h",
    )
}

/// A pause between frames, seconds.
///
/// # Errors
/// [`LightError::OutOfRange`] outside 0 to 1 h.
pub(super) fn pause(seconds: f64) -> Result<f64, LightError> {
    in_range("pause (s)", seconds, 0.0, 3600.0, "0 to 3600")
}

/// How long so many frames take with a pause between them, seconds.
pub(super) fn series_s(frames: u32, shutter_s: f64, pause_s: f64) -> f64 {
    f64::from(frames) * shutter_s + f64::from(frames.saturating_sub(1)) * pause_s
}
