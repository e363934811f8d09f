//! A time-lapse: frames at an interval, shown as film.

use super::{
    error::{LightError, in_range},
    series::{frame_shutter, pause},
};

/// Frames that a second of film shows where none is named. Common practice, no
/// source.
pub const DEFAULT_FRAME_RATE: f64 = 25.0;

/// What a time-lapse is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeLapseAims {
    /// Time from the first frame's beginning to the last one's end, seconds.
    pub total_s: f64,
    /// From one frame's beginning to the next, seconds; the shortest in whole
    /// seconds where there is none.
    pub interval_s: Option<f64>,
    /// Frames that a second of film shows.
    pub frame_rate: f64,
}

/// A series of frames that become a film.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct TimeLapse {
    /// Longest shutter time of a frame, seconds.
    pub shutter_s: f64,
    /// From one frame's beginning to the next, seconds.
    pub interval_s: f64,
    /// Frames.
    pub frames: u32,
    /// From the first frame's beginning to the last one's end, seconds.
    pub total_s: f64,
    /// Frames that a second of film shows.
    pub frame_rate: f64,
    /// Length of the film, seconds.
    pub film_s: f64,
}

/// The frames of a time.
///
/// From a frame's longest shutter time and the least pause after it, seconds.
///
/// # Errors
/// [`LightError::IntervalTooShort`] for an interval shorter than shutter time
/// and pause, [`LightError::TimeLapseTooShort`] for one longer than the whole,
/// [`LightError::OutOfRange`] for a time outside 1 min to 24 h or a frame rate
/// outside 1 to 240.
pub fn plan_time_lapse(
    aims: &TimeLapseAims,
    shutter_s: f64,
    pause_s: f64,
) -> Result<TimeLapse, LightError> {
    let (shutter_s, pause_s) = (frame_shutter(shutter_s)?, pause(pause_s)?);
    let asked_s = aims.total_s;
    in_range("time-lapse (s)", asked_s, 60.0, 86_400.0, "60 to 86400")?;
    let frame_rate = in_range("frame rate", aims.frame_rate, 1.0, 240.0, "1 to 240")?;
    let least_s = shutter_s + pause_s;
    // A hair less, so that 4 s and 1 s make 5 s.
    let shortest_s = (least_s - 1e-9).ceil().max(1.0);
    let interval_s = aims.interval_s.unwrap_or(shortest_s);
    if interval_s < least_s - 1e-9 {
        return Err(LightError::IntervalTooShort {
            interval_s,
            least_s,
        });
    }
    if interval_s.is_nan() || interval_s > asked_s {
        return Err(LightError::TimeLapseTooShort {
            total_s: asked_s,
            interval_s,
        });
    }
    let frames = ((asked_s - shutter_s) / interval_s + 1e-9).floor().max(0.0) as u32 + 1;
    Ok(TimeLapse {
        shutter_s,
        interval_s,
        frames,
        total_s: f64::from(frames - 1) * interval_s + shutter_s,
        frame_rate,
        film_s: f64::from(frames) / frame_rate,
    })
}
