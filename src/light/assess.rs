//! The whole answer for one instant.

use super::{
    balance,
    land_light::LandLight,
    milky_way, moon_disc, moonlight,
    parts::Parts,
    photometry::{ZERO_MAG_CD_M2, diffuse_luminance_cd_m2, dimmed_by_mag},
    shadow::{self, LitSide},
    sky_behind::SkyBehind,
    ways::PlaceLight,
    zodiacal,
};

/// Where everything stands at an instant and what the place is like.
///
/// Values outside their range count as its nearer end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightInput {
    /// Geometric altitude of the Sun's centre, degrees, -90 to 90.
    pub sun_altitude_deg: f64,
    /// True azimuth of the Sun, degrees through east; counts in twilight only.
    pub sun_azimuth_deg: f64,
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
    /// True azimuth of the target, degrees through east.
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
    /// mag/arcsec2, 15 to 30; `None` where it is not known.
    pub milky_way_mag_arcsec2: Option<f64>,
    /// Zodiacal light behind the target above the air, S10, 0 to 10 000; see
    /// [`zodiacal::zodiacal_s10`].
    pub zodiacal_s10: f64,
    /// What the domes of towns add to the sky behind the target, cd/m2, 0 or
    /// more.
    pub glow_cd_m2: f64,
    /// Apparent altitude of the skyline below the Moon, seen from the subject,
    /// degrees; below the horizon where there is none. The sky glows on
    /// behind it.
    pub skyline_altitude_deg: f64,
    /// How much fainter the Moon is in the Earth's shadow than outside,
    /// magnitudes, 0 to 20; see [`eclipse_drop_mag`](super::eclipse_drop_mag).
    pub eclipse_drop_mag: f64,
}

/// A skyline that hides nothing, degrees.
pub const NO_SKYLINE_DEG: f64 = -90.0;

impl Default for LightInput {
    /// A moonless night with the target at 30 deg in the south, sky 21.8 and
    /// extinction 0.2, reflectance 0.15.
    fn default() -> Self {
        Self {
            sun_altitude_deg: -40.0,
            sun_azimuth_deg: 0.0,
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
            milky_way_mag_arcsec2: Some(milky_way::CORE_MAG_ARCSEC2),
            zodiacal_s10: zodiacal::IN_ZENITH_READING_S10,
            glow_cd_m2: 0.0,
            skyline_altitude_deg: NO_SKYLINE_DEG,
            eclipse_drop_mag: 0.0,
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
    /// Luminance of the Milky Way over that of the sky before it; `None` where
    /// the Milky Way's is not known.
    pub milky_way_contrast: Option<f64>,
    /// That contrast over the one in the same frame without Moon and twilight,
    /// 0 to 1.
    pub contrast_kept: f64,
    /// The lit part of the Moon's disc through the air, without the light of
    /// the air before it, cd/m2.
    pub moon_disc_cd_m2: f64,
    /// Land in the frame as lit at this instant, cd/m2.
    pub land_cd_m2: f64,
    /// Level ground, cd/m2.
    pub level_cd_m2: f64,
    /// An upright face turned to the Moon's azimuth, cd/m2.
    pub toward_moon_cd_m2: f64,
    /// An upright face turned away from it, cd/m2.
    pub away_cd_m2: f64,
    /// The face turned squarely to the camera, cd/m2.
    pub face_cd_m2: f64,
    /// Stops from the sky behind the target up to the foreground; near 0 one
    /// exposure holds both.
    pub land_vs_sky_stops: f64,
}

/// The sky behind the target at one instant, for a part of the cost of
/// [`assess`], and the same values.
///
/// Continuous in every condition; finite for finite ones.
pub fn sky_behind(conditions: &LightInput) -> SkyBehind {
    conditions.behind(&PlaceLight::of(conditions))
}

/// The land at one instant: the same values as [`assess`], and the light on
/// the land without its reflectance.
///
/// Continuous in every condition; finite for finite ones.
pub fn land_light(conditions: &LightInput) -> LandLight {
    LandLight::new(&Parts::of(conditions).input)
}

/// What the light is like at one instant.
///
/// Every number is finite for finite conditions, and continuous in all of
/// them but the names of `lit_side`.
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
    Assessment::of(&Parts::of(conditions))
}

impl Assessment {
    /// What the lights of an instant make together.
    pub(super) fn of(parts: &Parts) -> Self {
        let Parts { input, behind, .. } = parts;
        let c = &parts.conditions;
        let sky_cd_m2 = behind.sky_cd_m2();
        let light_angle_deg = input.light_angle_deg;
        let land = LandLight::new(input);
        let beam_lux = input.beam_lux;
        let camera_face_lux = input.upright_face_lux(180.0 - light_angle_deg);
        let lit = beam_lux > 0.0;
        let shadow_length_per_height = if lit {
            shadow::length_per_height(c.moon_altitude_deg)
        } else {
            None
        };

        let contrast_kept = behind.dark_cd_m2 / sky_cd_m2;
        Self {
            moonlight_lux: parts.moonlight_lux(),
            beam_lux,
            face_lux: moonlight::facing_camera_lux(beam_lux, c.moon_altitude_deg, light_angle_deg),
            ambient_lux: input.ambient_lux(),
            twilight_lux: input.twilight_lux,
            signed_light_angle_deg: parts.signed_light_angle_deg,
            lit_side: if lit {
                shadow::lit_side(parts.signed_light_angle_deg)
            } else {
                LitSide::Unlit
            },
            shadow_azimuth_deg: shadow_length_per_height
                .map(|_| shadow::azimuth_deg(c.moon_azimuth_deg)),
            shadow_length_per_height,
            shadow_depth_stops: parts.shadow_depth_stops(),
            dark_sky_cd_m2: behind.dark_cd_m2,
            sky_cd_m2,
            sky_mag_arcsec2: -2.5 * (sky_cd_m2 / ZERO_MAG_CD_M2).log10(),
            // Through max, so that no loss is 0 and not -0.
            sky_loss_mag: (-2.5 * contrast_kept.log10()).max(0.0),
            milky_way_contrast: behind.contrast(),
            contrast_kept,
            moon_disc_cd_m2: moon_disc::luminance_cd_m2(
                c.moon_phase_angle_deg,
                c.moon_altitude_deg,
                c.extinction_mag,
            ) * dimmed_by_mag(c.eclipse_drop_mag),
            land_cd_m2: land.land_cd_m2,
            level_cd_m2: land.level_cd_m2,
            toward_moon_cd_m2: land.toward_moon_cd_m2,
            away_cd_m2: land.away_cd_m2,
            face_cd_m2: diffuse_luminance_cd_m2(camera_face_lux, c.reflectance),
            land_vs_sky_stops: parts.land_vs_sky_stops(land.land_cd_m2),
        }
    }
}
