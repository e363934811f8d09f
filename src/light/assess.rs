//! The whole answer for one instant.

use super::{
    air_mass,
    balance::{self, Illumination},
    dark_sky,
    eclipse::MoonEclipse,
    milky_way, moonlight,
    photometry::{ZERO_MAG_CD_M2, diffuse_luminance_cd_m2, dimmed_by_mag, luminance_cd_m2},
    scattered,
    shadow::{self, LitSide},
    twilight,
};

/// Where everything stands at an instant and what the place is like.
///
/// Values outside their range count as its nearer end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightInput {
    /// Geometric altitude of the Sun's centre, degrees, -90 to 90.
    pub sun_altitude_deg: f64,
    /// Apparent altitude of the Moon's centre, degrees, -90 to 90.
    pub moon_altitude_deg: f64,
    /// True azimuth of the Moon, degrees through east.
    pub moon_azimuth_deg: f64,
    /// Phase angle, degrees, 0 full to 180 new.
    pub moon_phase_angle_deg: f64,
    /// Distance of the Moon's centre from the observer, km, 340 000 to 420 000.
    pub moon_distance_km: f64,
    /// Apparent altitude of the target, degrees; below the horizon as at it.
    pub target_altitude_deg: f64,
    /// True azimuth of the target, degrees through east. The sky model is even
    /// in azimuth but for the Moon's glow, so only the separation counts today.
    pub target_azimuth_deg: f64,
    /// Angle between Moon and target on the sky, degrees, 0 to 180.
    pub moon_target_separation_deg: f64,
    /// True bearing in which the camera looks, degrees through east.
    pub facing_deg: f64,
    /// Moonless sky at the zenith, V mag/arcsec2, 10 to 25.
    pub zenith_mag_arcsec2: f64,
    /// Extinction, V magnitudes per air mass, 0 to 3.
    pub extinction_mag: f64,
    /// Diffuse reflectance of the land, 0.01 to 1.
    pub reflectance: f64,
    /// Surface brightness of the target's Milky Way above the air, V
    /// mag/arcsec2, 15 to 30; [`milky_way::CORE_MAG_ARCSEC2`] for the core.
    pub milky_way_mag_arcsec2: f64,
    /// Whether terrain keeps the Moon's beam from the subject. The sky still
    /// glows.
    pub moon_shaded: bool,
    /// The Moon in the Earth's shadow.
    pub eclipse: MoonEclipse,
}

impl Default for LightInput {
    /// A moonless night with the target at 30 deg in the south, sky 21.8 and
    /// extinction 0.2, reflectance 0.15.
    fn default() -> Self {
        Self {
            sun_altitude_deg: -40.0,
            moon_altitude_deg: -40.0,
            moon_azimuth_deg: 270.0,
            moon_phase_angle_deg: 90.0,
            moon_distance_km: moonlight::MEAN_DISTANCE_KM,
            target_altitude_deg: 30.0,
            target_azimuth_deg: 180.0,
            moon_target_separation_deg: 90.0,
            facing_deg: 180.0,
            zenith_mag_arcsec2: 21.8,
            extinction_mag: 0.2,
            reflectance: balance::DEFAULT_REFLECTANCE,
            milky_way_mag_arcsec2: milky_way::CORE_MAG_ARCSEC2,
            moon_shaded: false,
            eclipse: MoonEclipse::None,
        }
    }
}

/// What decides the trip at an instant.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Assessment {
    /// The Moon's beam on level ground, lux.
    pub moonlight_lux: f64,
    /// The Moon's beam on a surface that faces it, lux.
    pub beam_lux: f64,
    /// The Moon's beam on an upright face turned squarely to the camera, lux.
    pub face_lux: f64,
    /// Dark sky, moonlit sky and twilight on level ground, lux.
    pub ambient_lux: f64,
    /// The part of `ambient_lux` that the Sun gives, lux.
    pub twilight_lux: f64,
    /// Angle from the facing direction to the Moon, degrees, -180 to 180, right
    /// positive.
    pub signed_light_angle_deg: f64,
    /// Which side of the subject is lit, as seen from the camera.
    pub lit_side: LitSide,
    /// Direction in which shadows fall, degrees through east; `None` where the
    /// Moon gives no shadow.
    pub shadow_azimuth_deg: Option<f64>,
    /// Shadow on level ground for each unit of height; `None` where the Moon
    /// gives no shadow.
    pub shadow_length_per_height: Option<f64>,
    /// How much darker the shadow is than the lit ground, stops; 0 where the
    /// Moon gives none.
    pub shadow_depth_stops: f64,
    /// Sky behind the target without Moon and twilight, cd/m2.
    pub dark_sky_cd_m2: f64,
    /// Sky behind the target as it is, without the Milky Way, cd/m2.
    pub sky_cd_m2: f64,
    /// The same in V mag/arcsec2.
    pub sky_mag_arcsec2: f64,
    /// What Moon and twilight take from the sky's darkness, magnitudes, 0 or more.
    pub sky_loss_mag: f64,
    /// Luminance of the Milky Way over that of the sky before it.
    pub milky_way_contrast: f64,
    /// That contrast over the one in the same frame without Moon and twilight,
    /// 0 to 1.
    pub contrast_kept: f64,
    /// Land in the frame as lit at this instant, cd/m2.
    pub land_cd_m2: f64,
    /// The face turned squarely to the camera, cd/m2.
    pub face_cd_m2: f64,
    /// Stops from the sky behind the target up to the foreground; near 0 one
    /// exposure holds both.
    pub land_vs_sky_stops: f64,
}

/// What the light is like at one instant.
///
/// Every number is finite for finite conditions. Continuous in all of them but
/// the two switches (`moon_shaded`, `eclipse`) and the names of `lit_side`.
///
/// # Example
/// ```
/// use rakelight::light::{LightInput, LitSide, assess};
///
/// // A half Moon, 12 deg up, square from the left of a camera that looks south.
/// let light = assess(&LightInput {
///     moon_altitude_deg: 12.0,
///     moon_azimuth_deg: 90.0,
///     ..LightInput::default()
/// });
/// assert_eq!(light.lit_side, LitSide::Left);
/// assert!(light.moonlight_lux > 0.002);
/// assert!(light.contrast_kept < 1.0);
/// ```
pub fn assess(conditions: &LightInput) -> Assessment {
    let c = conditions.in_range();

    let semi_diameter_deg = moonlight::semi_diameter_deg(c.moon_distance_km);
    let disc = moonlight::disc_above_horizon(c.moon_altitude_deg, semi_diameter_deg);
    let moon_shines = disc > 0.0 && c.eclipse.moonlight_factor() > 0.0;

    // The sky behind the target.
    let target_path = air_mass::shell_path(c.target_altitude_deg);
    let zenith_cd_m2 = luminance_cd_m2(c.zenith_mag_arcsec2);
    let dark_sky_cd_m2 = zenith_cd_m2
        * dark_sky::growth_along(target_path, c.extinction_mag, dark_sky::AIRGLOW_PART);
    let twilight_lux = twilight::ground_lux(c.sun_altitude_deg);
    let mut sky_cd_m2 = dark_sky_cd_m2 + twilight::sky_cd_m2(c.sun_altitude_deg);
    // An even sky of the zenith's brightness: the growth toward the horizon
    // counts little on level ground.
    let mut ambient_lux = std::f64::consts::PI * zenith_cd_m2 + twilight_lux;

    let mut beam_lux = 0.0;
    if moon_shines {
        let outside_lux =
            moonlight::beam_outside_air_lux(c.moon_phase_angle_deg, c.moon_distance_km);
        let transmission =
            scattered::moon_transmission(c.moon_altitude_deg, semi_diameter_deg, c.extinction_mag);
        sky_cd_m2 += scattered::luminance_cd_m2(
            outside_lux,
            transmission,
            c.moon_target_separation_deg,
            scattered::scattering_air_along(target_path, c.extinction_mag),
        );
        ambient_lux += scattered::skylight_lux(
            outside_lux,
            transmission,
            c.moon_altitude_deg,
            c.extinction_mag,
        );
        if !c.moon_shaded {
            let path = air_mass::extinction_path(c.moon_altitude_deg);
            beam_lux = disc * outside_lux * dimmed_by_mag(c.extinction_mag * path);
        }
    }

    // The land.
    let signed_light_angle_deg = shadow::signed_light_angle_deg(c.moon_azimuth_deg, c.facing_deg);
    let light_angle_deg = signed_light_angle_deg.abs();
    let moonlight_lux = moonlight::level_ground_lux(beam_lux, c.moon_altitude_deg);
    let face_lux = moonlight::facing_camera_lux(beam_lux, c.moon_altitude_deg, light_angle_deg);
    let land_cd_m2 = balance::land_cd_m2(
        &Illumination {
            beam_lux,
            moon_altitude_deg: c.moon_altitude_deg,
            light_angle_deg,
            ambient_lux,
        },
        c.reflectance,
    );
    let face_ambient_lux = 0.5 * (ambient_lux + c.reflectance * (moonlight_lux + ambient_lux));
    let lit = beam_lux > 0.0;
    let shadow_length_per_height = if lit {
        shadow::length_per_height(c.moon_altitude_deg)
    } else {
        None
    };

    let milky_way_cd_m2 = milky_way::luminance_cd_m2(
        c.milky_way_mag_arcsec2,
        c.target_altitude_deg,
        c.extinction_mag,
    );
    let contrast_kept = dark_sky_cd_m2 / sky_cd_m2;
    Assessment {
        moonlight_lux,
        beam_lux,
        face_lux,
        ambient_lux,
        twilight_lux,
        signed_light_angle_deg,
        lit_side: if lit {
            shadow::lit_side(signed_light_angle_deg)
        } else {
            LitSide::Unlit
        },
        shadow_azimuth_deg: shadow_length_per_height
            .map(|_| shadow::azimuth_deg(c.moon_azimuth_deg)),
        shadow_length_per_height,
        shadow_depth_stops: if lit {
            shadow::depth_stops(moonlight_lux, ambient_lux)
        } else {
            0.0
        },
        dark_sky_cd_m2,
        sky_cd_m2,
        sky_mag_arcsec2: -2.5 * (sky_cd_m2 / ZERO_MAG_CD_M2).log10(),
        // Through max, so that no loss is 0 and not -0.
        sky_loss_mag: (-2.5 * contrast_kept.log10()).max(0.0),
        milky_way_contrast: milky_way::contrast(milky_way_cd_m2, sky_cd_m2),
        contrast_kept,
        land_cd_m2,
        face_cd_m2: diffuse_luminance_cd_m2(face_lux + face_ambient_lux, c.reflectance),
        land_vs_sky_stops: (land_cd_m2 / sky_cd_m2).log2(),
    }
}

impl LightInput {
    /// The same with every value brought into its range.
    fn in_range(&self) -> Self {
        Self {
            sun_altitude_deg: self.sun_altitude_deg.clamp(-90.0, 90.0),
            moon_altitude_deg: self.moon_altitude_deg.clamp(-90.0, 90.0),
            moon_phase_angle_deg: self.moon_phase_angle_deg.clamp(0.0, 180.0),
            target_altitude_deg: self.target_altitude_deg.clamp(0.0, 90.0),
            moon_target_separation_deg: self.moon_target_separation_deg.clamp(0.0, 180.0),
            // Brought to one turn each, so that their difference is finite.
            moon_azimuth_deg: self.moon_azimuth_deg.rem_euclid(360.0),
            facing_deg: self.facing_deg.rem_euclid(360.0),
            zenith_mag_arcsec2: self.zenith_mag_arcsec2.clamp(10.0, 25.0),
            extinction_mag: self.extinction_mag.clamp(0.0, 3.0),
            reflectance: self.reflectance.clamp(0.01, 1.0),
            milky_way_mag_arcsec2: self.milky_way_mag_arcsec2.clamp(15.0, 30.0),
            ..*self
        }
    }
}
