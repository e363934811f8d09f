//! A frame of the sky on a mount that turns with it.

use super::{
    error::LightError,
    exposure::{Exposure, ExposureAims, exposure_at},
    optics::Optics,
    series::frame_shutter,
    trail::trail_px,
};

/// Settings while a mount follows the stars, and what the land does meanwhile.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Tracked {
    /// The settings.
    pub exposure: Exposure,
    /// How far the land moves on the sensor, pixels on the axis.
    pub land_blur_px: f64,
}

/// The settings that place the sky at a shutter time that a mount allows.
///
/// From the shutter time (seconds), the declination of the fastest star in the
/// frame (degrees), the luminances of sky and land (cd/m2) and the aims. The
/// mount turns the camera as the sky turns, so the land moves as the stars
/// would without it.
///
/// # Errors
/// [`LightError::OutOfRange`] for a shutter time outside 1/4000 s to 1 h.
pub fn plan_tracked(
    optics: &Optics,
    shutter_s: f64,
    fastest_declination_deg: f64,
    sky_cd_m2: f64,
    land_cd_m2: f64,
    aims: &ExposureAims,
) -> Result<Tracked, LightError> {
    let shutter_s = frame_shutter(shutter_s)?;
    Ok(Tracked {
        exposure: exposure_at(optics, shutter_s, sky_cd_m2, land_cd_m2, aims),
        land_blur_px: trail_px(optics, shutter_s, fastest_declination_deg),
    })
}
