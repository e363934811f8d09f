//! A frame for the land alone, with the camera still in its place.

use super::{
    error::{LightError, in_range},
    exposure::{
        ExposureAims, IsoRange, Reach, SHUTTER_SCALE_S, iso_for, metered_ev100, placement,
        printed_shutter_s,
    },
    optics::Optics,
    photometry::ev100_of_settings,
    series::{frame_shutter, pause, series_s},
};

/// Longest shutter time of a land frame where none is named, seconds.
///
/// The project's choice: warm pixels and a frame lost to a passing light grow
/// with the time, and nothing on the land needs more.
pub const DEFAULT_LAND_SHUTTER_S: f64 = 240.0;

/// What the land's own frame aims at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandAims {
    /// Where the land goes, stops from mid-tone.
    pub placement_stops: f64,
    /// f-number; the lens's where there is none.
    pub f_number: Option<f64>,
    /// Longest shutter time, seconds.
    pub longest_shutter_s: f64,
    /// Frames of the same settings, to be averaged against noise.
    pub frames: u32,
    /// Speeds to choose from.
    pub iso: IsoRange,
}

impl Default for LandAims {
    /// One frame at mid-tone, at the lens's f-number.
    fn default() -> Self {
        Self {
            placement_stops: 0.0,
            f_number: None,
            longest_shutter_s: DEFAULT_LAND_SHUTTER_S,
            frames: 1,
            iso: ExposureAims::default().iso,
        }
    }
}

/// Settings for the land alone.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct LandFrame {
    /// f-number.
    pub f_number: f64,
    /// Shutter, seconds: on the printed scale up to 30 s, whole seconds of bulb
    /// beyond.
    pub shutter_s: f64,
    /// ISO speed, the lowest in the range whose shutter is not too long.
    pub iso: u32,
    /// Whether the placement is reached.
    pub reach: Reach,
    /// Where the land falls, stops from mid-tone.
    pub placement_stops: f64,
    /// Frames.
    pub frames: u32,
    /// From the first frame's beginning to the last one's end, seconds.
    pub total_s: f64,
}

/// The settings that place the land, stars or no stars.
///
/// From the land's luminance (cd/m2, held to 1e-9..1e6), the aims and the pause
/// between frames (seconds). The lowest ISO has the least noise, so the shutter
/// is as long as it may be.
///
/// # Source
/// ISO 2720:1974: t = N^2 100 / (S 2^EV100).
///
/// # Errors
/// [`LightError::OutOfRange`] for a shutter time outside 1/4000 s to 1 h, an
/// f-number outside 0.5 to 128, no frame or a pause outside 0 to 1 h.
pub fn plan_land_frame(
    optics: &Optics,
    land_cd_m2: f64,
    aims: &LandAims,
    pause_s: f64,
) -> Result<LandFrame, LightError> {
    let longest_s = frame_shutter(aims.longest_shutter_s)?;
    let pause_s = pause(pause_s)?;
    let f_number = aims.f_number.unwrap_or(optics.f_number());
    in_range("f-number", f_number, 0.5, 128.0, "0.5 to 128")?;
    let frames = aims.frames;
    in_range("frames", frames.into(), 1.0, f64::INFINITY, "at least 1")?;
    let land_ev100 = metered_ev100(land_cd_m2);
    let wanted_ev100 = land_ev100 - placement(aims.placement_stops);
    // The ISO of a second's shutter is the product of ISO and shutter.
    let iso_seconds = iso_for(f_number, 1.0, wanted_ev100);
    let iso = aims
        .iso
        .speeds()
        .find(|speed| iso_seconds / f64::from(*speed) <= longest_s * (1.0 + 1e-9))
        .unwrap_or(aims.iso.highest());
    let exact_s = iso_seconds / f64::from(iso);
    let shutter_s = settable_s(exact_s, longest_s);
    let settings_ev100 = ev100_of_settings(f_number, shutter_s, f64::from(iso));
    Ok(LandFrame {
        f_number,
        shutter_s,
        iso,
        reach: Reach::between(
            exact_s,
            SHUTTER_SCALE_S[SHUTTER_SCALE_S.len() - 1],
            longest_s,
        ),
        placement_stops: land_ev100 - settings_ev100,
        frames,
        total_s: series_s(frames, shutter_s, pause_s),
    })
}

/// The time nearest in stops that can be set and is not too long.
fn settable_s(seconds: f64, longest_s: f64) -> f64 {
    let bulb_from_s = SHUTTER_SCALE_S[0];
    if seconds.min(longest_s) > bulb_from_s {
        return seconds.round().min(longest_s);
    }
    let longest_s = printed_shutter_s(longest_s).unwrap_or(longest_s);
    let away = |shutter_s: f64| (shutter_s / seconds).log2().abs();
    SHUTTER_SCALE_S
        .into_iter()
        .filter(|shutter_s| *shutter_s <= longest_s)
        .min_by(|a, b| away(*a).total_cmp(&away(*b)))
        .unwrap_or(longest_s)
}
