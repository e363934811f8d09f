//! The whole answer for one instant.

use super::{
    air_mass, balance, dark_sky,
    land_light::{LandInput, LandLight},
    milky_way,
    moon_below::NO_GLOW_DEG,
    moon_disc, moonlight,
    photometry::{ZERO_MAG_CD_M2, diffuse_luminance_cd_m2, dimmed_by_mag, luminance_cd_m2},
    scattered,
    shadow::{self, LitSide},
    sky_behind::SkyBehind,
    snow, twilight, zodiacal,
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
    let c = conditions.in_range();
    c.sky_behind(&c.moon_in_air())
}

/// The land at one instant: the same values as [`assess`], and the light on
/// the land without its reflectance.
///
/// Continuous in every condition; finite for finite ones.
pub fn land_light(conditions: &LightInput) -> LandLight {
    let c = conditions.in_range();
    let angle_deg = shadow::signed_light_angle_deg(c.moon_azimuth_deg, c.facing_deg).abs();
    LandLight::new(&c.land_input(&c.moon_in_air(), angle_deg))
}

/// What is left of the dark sky where subtracting zodiacal light that the
/// zenith reading holds would take more: a part of the sky by its growth
/// alone.
const LEAST_DARK_PART: f64 = 0.25;

/// The Moon's light on its way down.
struct MoonInAir {
    /// Outside the air, in the shadow of the Earth too, lux.
    outside_lux: f64,
    /// Part that reaches the air which scatters it, over snow more.
    transmission: f64,
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
    let c = conditions.in_range();
    let moon = c.moon_in_air();
    let behind = c.sky_behind(&moon);
    let sky_cd_m2 = behind.sky_cd_m2();

    let signed_light_angle_deg = shadow::signed_light_angle_deg(c.moon_azimuth_deg, c.facing_deg);
    let light_angle_deg = signed_light_angle_deg.abs();
    let input = c.land_input(&moon, light_angle_deg);
    let land = LandLight::new(&input);
    let beam_lux = input.beam_lux;
    let moonlight_lux = moonlight::level_ground_lux(beam_lux, c.moon_altitude_deg);
    let ambient_lux = input.ambient_lux();
    let camera_face_lux = input.upright_face_lux(180.0 - light_angle_deg);
    let lit = beam_lux > 0.0;
    let shadow_length_per_height = if lit {
        shadow::length_per_height(c.moon_altitude_deg)
    } else {
        None
    };

    let contrast_kept = behind.dark_cd_m2 / sky_cd_m2;
    Assessment {
        moonlight_lux,
        beam_lux,
        face_lux: moonlight::facing_camera_lux(beam_lux, c.moon_altitude_deg, light_angle_deg),
        ambient_lux,
        twilight_lux: input.twilight_lux,
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
        land_vs_sky_stops: (land.land_cd_m2 / sky_cd_m2).log2(),
    }
}

impl LightInput {
    /// The Milky Way's contrast alone, as [`assess`] has it, for a third of the
    /// work: all that a score of the dark takes from the light.
    pub(crate) fn milky_way_contrast(&self) -> Option<f64> {
        let c = self.in_range();
        c.sky_behind(&c.moon_in_air()).contrast()
    }

    /// The Moon's light in the air, below the horizon too.
    fn moon_in_air(&self) -> MoonInAir {
        if self.moon_altitude_deg < NO_GLOW_DEG {
            return MoonInAir {
                outside_lux: 0.0,
                transmission: 0.0,
            };
        }
        let bright =
            moonlight::beam_outside_air_lux(self.moon_phase_angle_deg, self.moon_distance_km);
        MoonInAir {
            outside_lux: bright * dimmed_by_mag(self.eclipse_drop_mag),
            transmission: scattered::moon_transmission(self.moon_altitude_deg, self.extinction_mag)
                * snow::sky_factor_over_snow(self.moon_altitude_deg, self.reflectance),
        }
    }

    /// The Moon's beam on a surface that faces it, lux: of the part of its disc
    /// above the horizon and the skyline.
    fn beam_lux(&self, outside_lux: f64) -> f64 {
        let over_deg = self.skyline_altitude_deg.max(0.0);
        let disc = moonlight::disc_above_horizon(
            self.moon_altitude_deg - over_deg,
            moonlight::semi_diameter_deg(self.moon_distance_km),
        );
        if disc == 0.0 || outside_lux == 0.0 {
            return 0.0;
        }
        let path = air_mass::extinction_path(self.moon_altitude_deg);
        disc * outside_lux * dimmed_by_mag(self.extinction_mag * path)
    }

    fn land_input(&self, moon: &MoonInAir, light_angle_deg: f64) -> LandInput {
        LandInput {
            beam_lux: self.beam_lux(moon.outside_lux),
            skylight_lux: scattered::skylight_lux(
                moon.outside_lux,
                moon.transmission,
                self.moon_altitude_deg,
                self.extinction_mag,
            ),
            moon_altitude_deg: self.moon_altitude_deg,
            light_angle_deg,
            zenith_cd_m2: luminance_cd_m2(self.zenith_mag_arcsec2),
            extinction_mag: self.extinction_mag,
            twilight_lux: twilight::ground_lux(self.sun_altitude_deg),
            reflectance: self.reflectance,
        }
    }

    fn sky_behind(&self, moon: &MoonInAir) -> SkyBehind {
        let path = air_mass::shell_path(self.target_altitude_deg);
        let zenith_cd_m2 = luminance_cd_m2(self.zenith_mag_arcsec2);
        let even_cd_m2 = zenith_cd_m2
            * dark_sky::growth_along(path, self.extinction_mag, dark_sky::AIRGLOW_PART);
        let zodiacal_cd_m2 = zodiacal::added_cd_m2(self.zodiacal_s10, self.extinction_mag, path);
        let natural_cd_m2 = (even_cd_m2 + zodiacal_cd_m2).max(LEAST_DARK_PART * even_cd_m2);
        let twilight_cd_m2 = if self.sun_altitude_deg > twilight::END_DEG {
            twilight::sky_cd_m2(self.sun_altitude_deg)
                * twilight::direction_factor(
                    self.target_altitude_deg,
                    self.target_azimuth_deg - self.sun_azimuth_deg,
                )
        } else {
            0.0
        };
        let moonlit_cd_m2 = if moon.outside_lux > 0.0 {
            scattered::luminance_cd_m2(
                moon.outside_lux,
                moon.transmission,
                self.moon_target_separation_deg,
                scattered::scattering_air_along(path, self.extinction_mag),
            )
        } else {
            0.0
        };
        SkyBehind {
            dark_cd_m2: natural_cd_m2 + self.glow_cd_m2,
            moonlit_cd_m2,
            twilight_cd_m2,
            milky_way_cd_m2: self.milky_way_mag_arcsec2.map(|mag| {
                milky_way::luminance_cd_m2(mag, self.target_altitude_deg, self.extinction_mag)
            }),
        }
    }

    /// The same with every value brought into its range.
    fn in_range(&self) -> Self {
        Self {
            sun_altitude_deg: self.sun_altitude_deg.clamp(-90.0, 90.0),
            moon_altitude_deg: self.moon_altitude_deg.clamp(-90.0, 90.0),
            moon_phase_angle_deg: self.moon_phase_angle_deg.clamp(0.0, 180.0),
            target_altitude_deg: self.target_altitude_deg.clamp(0.0, 90.0),
            moon_target_separation_deg: self.moon_target_separation_deg.clamp(0.0, 180.0),
            // Brought to one turn each, so that their difference is finite.
            sun_azimuth_deg: self.sun_azimuth_deg.rem_euclid(360.0),
            moon_azimuth_deg: self.moon_azimuth_deg.rem_euclid(360.0),
            target_azimuth_deg: self.target_azimuth_deg.rem_euclid(360.0),
            facing_deg: self.facing_deg.rem_euclid(360.0),
            zenith_mag_arcsec2: self.zenith_mag_arcsec2.clamp(10.0, 25.0),
            extinction_mag: self.extinction_mag.clamp(0.0, 3.0),
            reflectance: self.reflectance.clamp(0.01, 1.0),
            milky_way_mag_arcsec2: self.milky_way_mag_arcsec2.map(|mag| mag.clamp(15.0, 30.0)),
            zodiacal_s10: self.zodiacal_s10.clamp(0.0, 10_000.0),
            glow_cd_m2: self.glow_cd_m2.clamp(0.0, 1.0),
            skyline_altitude_deg: self.skyline_altitude_deg.clamp(-90.0, 90.0),
            eclipse_drop_mag: self.eclipse_drop_mag.clamp(0.0, 20.0),
            ..*self
        }
    }
}
