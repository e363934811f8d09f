//! Land under a sky that grows toward the horizon, and its faces.

use std::f64::consts::{FRAC_PI_4, PI};

use super::{
    balance::upright_mean_cosine,
    dark_sky::{level_ground_factor, upright_factor},
    moonlight::level_ground_by,
    photometry::diffuse_luminance_cd_m2,
};

/// What shines on the land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandInput {
    /// The Moon's beam on a surface that faces it, lux.
    pub beam_lux: f64,
    /// The moonlit sky on level ground, lux.
    pub skylight_lux: f64,
    /// Apparent altitude of the Moon, degrees; for the sky's light below the
    /// horizon as at it.
    pub moon_altitude_deg: f64,
    /// Angle between the camera direction and the Moon's azimuth, degrees, 0
    /// the Moon stands behind the subject, 180 behind the camera.
    pub light_angle_deg: f64,
    /// The dark sky at the zenith, cd/m2.
    pub zenith_cd_m2: f64,
    /// Extinction, V magnitudes per air mass.
    pub extinction_mag: f64,
    /// Twilight on level ground, lux; an upright face gets half, as from an
    /// even sky.
    pub twilight_lux: f64,
    /// Reflectance of land and subject, 0 to 1.
    pub reflectance: f64,
}

/// The light on the land and how bright it and its faces are.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LandLight {
    /// On level ground, lux.
    pub ground_lux: f64,
    /// On an upright round subject, mean of the half that the camera sees, the
    /// light from the ground before it left out, lux.
    pub upright_without_bounce_lux: f64,
    /// The same with the light from the ground, lux.
    pub upright_lux: f64,
    /// The land in the frame, cd/m2: level ground and upright subject, half
    /// each.
    pub land_cd_m2: f64,
    /// Level ground, cd/m2.
    pub level_cd_m2: f64,
    /// An upright face turned to the Moon's azimuth, cd/m2.
    pub toward_moon_cd_m2: f64,
    /// An upright face turned away from it, cd/m2.
    pub away_cd_m2: f64,
}

impl LandLight {
    /// The land under a light.
    ///
    /// Continuous; finite for finite input.
    ///
    /// # Source
    /// Lambert's law; dark sky by [`level_ground_factor`] and
    /// [`upright_factor`]; the moonlit sky on upright faces by the project's
    /// fit to a computation that follows light through a spherical atmosphere
    /// (backward Monte Carlo, all orders of scattering). The half-and-half
    /// mean is the project's choice.
    pub fn new(light: &LandInput) -> Self {
        let land = InFrame::of(light);
        let cd_m2 = |lux| diffuse_luminance_cd_m2(lux, light.reflectance);
        Self {
            ground_lux: land.ground_lux,
            upright_without_bounce_lux: land.upright_without_bounce_lux,
            upright_lux: land.upright_lux,
            land_cd_m2: cd_m2(land.lux()),
            level_cd_m2: cd_m2(land.ground_lux),
            toward_moon_cd_m2: cd_m2(light.upright_face_lux(0.0)),
            away_cd_m2: cd_m2(light.upright_face_lux(180.0)),
        }
    }

    /// The land in the frame alone, cd/m2.
    pub(super) fn in_frame_cd_m2(light: &LandInput) -> f64 {
        diffuse_luminance_cd_m2(InFrame::of(light).lux(), light.reflectance)
    }
}

/// The light on what the camera sees of the land, lux.
struct InFrame {
    ground_lux: f64,
    upright_without_bounce_lux: f64,
    upright_lux: f64,
}

impl InFrame {
    fn of(light: &LandInput) -> Self {
        let moon = light.moon_sin_cos();
        let ground_lux = light.ground_lux(moon);
        let upright_without_bounce_lux = light.upright_lux(
            moon,
            upright_mean_cosine(light.light_angle_deg),
            -FRAC_PI_4 * light.light_angle_deg.to_radians().cos(),
        );
        Self {
            ground_lux,
            upright_without_bounce_lux,
            upright_lux: upright_without_bounce_lux + 0.5 * light.reflectance * ground_lux,
        }
    }

    /// Level ground and upright subject, half each.
    fn lux(&self) -> f64 {
        0.5 * (self.ground_lux + self.upright_lux)
    }
}

impl LandInput {
    /// Sine and cosine of the Moon's altitude, below the horizon as at it.
    fn moon_sin_cos(&self) -> (f64, f64) {
        let altitude_deg = self.moon_altitude_deg.clamp(0.0, 90.0);
        altitude_deg.to_radians().sin_cos()
    }

    /// What falls on level ground, lux.
    fn ground_lux(&self, (sin, _): (f64, f64)) -> f64 {
        level_ground_by(self.beam_lux, sin) + self.ambient_lux()
    }

    /// What falls on level ground in the Moon's shadow, lux.
    pub fn ambient_lux(&self) -> f64 {
        PI * self.zenith_cd_m2 * level_ground_factor(self.extinction_mag)
            + self.skylight_lux
            + self.twilight_lux
    }

    /// What falls on an upright face, the light that the ground throws back
    /// included.
    ///
    /// From the angle between the Moon's azimuth and the direction to which
    /// the face is turned (degrees, 0 toward the Moon) to lux. The face turned
    /// to the camera has 180 less the light angle.
    pub fn upright_face_lux(&self, from_moon_deg: f64) -> f64 {
        let cos = from_moon_deg.to_radians().cos();
        let moon = self.moon_sin_cos();
        self.upright_lux(moon, cos.max(0.0), cos) + 0.5 * self.reflectance * self.ground_lux(moon)
    }

    /// What falls on something upright, without the light from the ground,
    /// lux: `beam_share` is the mean of Lambert's cosine for a beam along the
    /// ground, `toward_moon` the mean cosine of its faces to the Moon's
    /// azimuth.
    fn upright_lux(&self, (sin, cos): (f64, f64), beam_share: f64, toward_moon: f64) -> f64 {
        let altitude_deg = self.moon_altitude_deg.clamp(0.0, 90.0);
        // Of the moonlit sky: the even part, and the part from the Moon's side.
        let even = 1.08 - 0.48 * sin;
        let lopsided = 0.62 * cos * cos * (0.5 + 0.1 * altitude_deg).min(1.0);
        self.beam_lux * cos * beam_share
            + PI * self.zenith_cd_m2 * upright_factor(self.extinction_mag)
            + self.skylight_lux * (even + lopsided * toward_moon)
            + 0.5 * self.twilight_lux
    }
}

/// Reflectances that a frame may give.
const REFLECTANCE_RANGE: (f64, f64) = (0.01, 1.0);

/// Reflectance of the land from a frame taken there.
///
/// From the stops from the sky behind the target up to the land in the frame
/// (medians of the green channel, black level taken off), the luminance of
/// that sky (cd/m2), and the light at that time: `ground_lux` and
/// `upright_without_bounce_lux` of [`LandLight`], which do not depend on the
/// reflectance. `None` where no reflectance of 0.01 to 1 gives that frame.
///
/// On a moonless night both lights go with the sky, so the result does not
/// depend on the zenith reading.
///
/// # Source
/// The positive root of the square equation that [`LandLight::new`] is in the
/// reflectance.
pub fn reflectance_from_frame(
    stops_sky_to_land: f64,
    sky_cd_m2: f64,
    ground_lux: f64,
    upright_without_bounce_lux: f64,
) -> Option<f64> {
    let square = 0.25 * ground_lux;
    let linear = 0.5 * (ground_lux + upright_without_bounce_lux);
    let land = PI * sky_cd_m2 * stops_sky_to_land.exp2();
    // The form that loses no digits where the square term is small.
    let reflectance = 2.0 * land / (linear + (linear * linear + 4.0 * square * land).sqrt());
    (REFLECTANCE_RANGE.0..=REFLECTANCE_RANGE.1)
        .contains(&reflectance)
        .then_some(reflectance)
}
