//! The lights that an instant is made of.

use super::{
    Assessment, LightInput, dark_sky,
    land_light::{LandInput, LandLight},
    milky_way,
    photometry::{dimmed_by_mag, luminance_cd_m2},
    scattered, shadow,
    sky_behind::SkyBehind,
    twilight,
    ways::{BeamWay, MoonWay, PlaceLight, TargetWay},
    zodiacal,
};
use crate::turn::in_one_turn;

/// The most that the domes of towns can add to a sky, cd/m2.
pub(super) const MOST_GLOW_CD_M2: f64 = 1.0;

/// Land and sky at one instant, for whoever needs several of their values.
pub(super) struct Parts {
    /// What they come from, in range.
    pub conditions: LightInput,
    /// The sky behind the target.
    pub behind: SkyBehind,
    /// What shines on the land.
    pub input: LandInput,
    /// Angle from the facing direction to the Moon, degrees, right positive.
    pub signed_light_angle_deg: f64,
    moon: MoonWay,
    target: TargetWay,
    beam: BeamWay,
}

impl Parts {
    pub fn of(conditions: &LightInput) -> Self {
        Self::at(&PlaceLight::of(conditions), conditions)
    }

    /// Of conditions at a place.
    pub fn at(place: &PlaceLight, conditions: &LightInput) -> Self {
        let c = conditions.in_range();
        let moon = c.moon_way();
        let angle = shadow::signed_light_angle_deg(c.moon_azimuth_deg, c.facing_deg);
        let (target, beam) = (c.target_way(&moon), c.beam_way(&moon));
        Self::along(c, place, moon, target, beam, angle)
    }

    /// Of conditions in range whose ways are known.
    fn along(
        c: LightInput,
        place: &PlaceLight,
        moon: MoonWay,
        target: TargetWay,
        beam: BeamWay,
        signed_light_angle_deg: f64,
    ) -> Self {
        let transmission = c.moon_transmission(&moon);
        let angle = signed_light_angle_deg.abs();
        Self {
            behind: c.sky_behind(place, &moon, &target, transmission),
            input: c.land_input(place, &moon, &beam, transmission, angle),
            signed_light_angle_deg,
            conditions: c,
            moon,
            target,
            beam,
        }
    }

    /// The Moon's beam on level ground, lux.
    pub fn moonlight_lux(&self) -> f64 {
        self.moon.on_level_ground_lux(&self.input)
    }

    /// How much darker the shadow is than the lit ground, stops; 0 where the
    /// Moon gives none.
    pub fn shadow_depth_stops(&self) -> f64 {
        self.moon.shadow_depth_stops(&self.input)
    }

    /// Stops from the sky behind the target up to the land in the frame.
    pub fn land_vs_sky_stops(&self, land_cd_m2: f64) -> f64 {
        (land_cd_m2 / self.behind.sky_cd_m2()).log2()
    }

    /// The same with another brightness of the zenith sky, on which nothing
    /// depends that comes from Moon and Sun.
    fn under_zenith(&self, zenith_mag_arcsec2: f64) -> Self {
        let conditions = LightInput {
            zenith_mag_arcsec2,
            ..self.conditions
        }
        .in_range();
        let path = self.target.shell_path;
        let zenith_cd_m2 = luminance_cd_m2(conditions.zenith_mag_arcsec2);
        Self {
            behind: SkyBehind {
                dark_cd_m2: conditions.dark_cd_m2(path, zenith_cd_m2),
                ..self.behind
            },
            input: LandInput {
                zenith_cd_m2,
                ..self.input
            },
            conditions,
            ..*self
        }
    }

    /// The balance of the land in the frame and the sky, stops.
    pub(super) fn balance_stops(&self) -> f64 {
        self.land_vs_sky_stops(LandLight::in_frame_cd_m2(&self.input))
    }
}

/// The balances of land and sky of an instant, stops: as it is, and under zenith
/// skies and airs that differ a little.
pub(crate) struct Balances(Parts);

impl Balances {
    pub fn of(conditions: &LightInput) -> Self {
        Self(Parts::of(conditions))
    }

    pub fn stops(&self) -> f64 {
        self.0.balance_stops()
    }

    /// The whole answer for the instant as it is.
    pub fn assessment(&self) -> Assessment {
        Assessment::of(&self.0)
    }

    /// With a zenith sky that is fainter by so many magnitudes.
    pub fn with_fainter_zenith(&self, mag: f64) -> f64 {
        let zenith_mag_arcsec2 = self.0.conditions.zenith_mag_arcsec2 + mag;
        self.0.under_zenith(zenith_mag_arcsec2).balance_stops()
    }

    /// With another extinction, on which all light depends. The Milky Way is not
    /// part of a balance.
    pub fn with_extinction(&self, extinction_mag: f64) -> f64 {
        let parts = &self.0;
        let conditions = LightInput {
            extinction_mag,
            milky_way_mag_arcsec2: None,
            ..parts.conditions
        };
        let angle = parts.signed_light_angle_deg;
        let (moon, target, beam) = (parts.moon, parts.target, parts.beam);
        let place = PlaceLight::of(&conditions);
        Parts::along(conditions.in_range(), &place, moon, target, beam, angle).balance_stops()
    }
}

impl LightInput {
    /// The Milky Way's contrast alone, as [`assess`](super::assess()) has it, for
    /// a third of the work: all that a score of the dark takes from the light.
    pub(crate) fn milky_way_contrast(&self, place: &PlaceLight) -> Option<f64> {
        self.behind(place).contrast()
    }

    /// The sky behind the target.
    pub(crate) fn behind(&self, place: &PlaceLight) -> SkyBehind {
        let c = self.in_range();
        let moon = c.moon_way();
        let (target, transmission) = (c.target_way(&moon), c.moon_transmission(&moon));
        c.sky_behind(place, &moon, &target, transmission)
    }

    pub(super) fn land_input(
        &self,
        place: &PlaceLight,
        moon: &MoonWay,
        beam: &BeamWay,
        transmission: f64,
        light_angle_deg: f64,
    ) -> LandInput {
        LandInput {
            beam_lux: if beam.outside_lux > 0.0 {
                beam.outside_lux * dimmed_by_mag(self.extinction_mag * beam.path)
            } else {
                0.0
            },
            skylight_lux: if moon.outside_lux > 0.0 {
                let air = place.scattering_air;
                scattered::skylight_by(moon.outside_lux, transmission, moon.sin_altitude, air)
            } else {
                0.0
            },
            moon_altitude_deg: self.moon_altitude_deg,
            light_angle_deg,
            zenith_cd_m2: place.zenith_cd_m2,
            extinction_mag: self.extinction_mag,
            twilight_lux: twilight::ground_lux(self.sun_altitude_deg),
            reflectance: self.reflectance,
        }
    }

    /// The sky behind the target without Moon and twilight, cd/m2, along its
    /// [`air_mass::shell_path`].
    fn dark_cd_m2(&self, path: f64, zenith_cd_m2: f64) -> f64 {
        let even_cd_m2 = zenith_cd_m2
            * dark_sky::growth_along(path, self.extinction_mag, dark_sky::AIRGLOW_PART);
        let zodiacal_cd_m2 = zodiacal::added_cd_m2(self.zodiacal_s10, self.extinction_mag, path);
        dark_sky::natural_cd_m2(even_cd_m2, zodiacal_cd_m2) + self.glow_cd_m2
    }

    fn sky_behind(
        &self,
        place: &PlaceLight,
        moon: &MoonWay,
        target: &TargetWay,
        transmission: f64,
    ) -> SkyBehind {
        let path = target.shell_path;
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
            scattered::scattered_cd_m2(
                moon.outside_lux,
                transmission,
                target.scattering,
                scattered::scattering_air_along(path, self.extinction_mag),
            )
        } else {
            0.0
        };
        SkyBehind {
            dark_cd_m2: self.dark_cd_m2(path, place.zenith_cd_m2),
            moonlit_cd_m2,
            twilight_cd_m2,
            milky_way_cd_m2: self.milky_way_mag_arcsec2.map(|mag| {
                milky_way::luminance_cd_m2(mag, self.target_altitude_deg, self.extinction_mag)
            }),
        }
    }

    /// The same with every value brought into its range.
    pub(super) fn in_range(&self) -> Self {
        Self {
            sun_altitude_deg: self.sun_altitude_deg.clamp(-90.0, 90.0),
            moon_altitude_deg: self.moon_altitude_deg.clamp(-90.0, 90.0),
            moon_phase_angle_deg: self.moon_phase_angle_deg.clamp(0.0, 180.0),
            target_altitude_deg: self.target_altitude_deg.clamp(0.0, 90.0),
            moon_target_separation_deg: self.moon_target_separation_deg.clamp(0.0, 180.0),
            // Brought to one turn each, so that their difference is finite.
            sun_azimuth_deg: in_one_turn(self.sun_azimuth_deg),
            moon_azimuth_deg: in_one_turn(self.moon_azimuth_deg),
            target_azimuth_deg: in_one_turn(self.target_azimuth_deg),
            facing_deg: in_one_turn(self.facing_deg),
            zenith_mag_arcsec2: self.zenith_mag_arcsec2.clamp(10.0, 25.0),
            extinction_mag: self.extinction_mag.clamp(0.0, 3.0),
            reflectance: self.reflectance.clamp(0.01, 1.0),
            milky_way_mag_arcsec2: self.milky_way_mag_arcsec2.map(|mag| mag.clamp(15.0, 30.0)),
            zodiacal_s10: self.zodiacal_s10.clamp(0.0, 10_000.0),
            glow_cd_m2: self.glow_cd_m2.clamp(0.0, MOST_GLOW_CD_M2),
            skyline_altitude_deg: self.skyline_altitude_deg.clamp(-90.0, 90.0),
            eclipse_drop_mag: self.eclipse_drop_mag.clamp(0.0, 20.0),
            ..*self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::{ScoredLight, assess};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_score_takes_the_values_of_the_whole_assessment(
            moon in (-20.0..90.0_f64, 0.0..360.0_f64, 0.0..180.0_f64),
            sun in (-40.0..0.0_f64, 0.0..360.0_f64),
            target in (-5.0..90.0_f64, 0.0..360.0_f64, 0.0..180.0_f64),
            place in (17.0..22.0_f64, 0.05..0.6_f64, 0.02..0.9_f64),
            rest in (0.0..360.0_f64, -90.0..30.0_f64, 0.0..12.0_f64, any::<bool>()),
        ) {
            let conditions = LightInput {
                moon_altitude_deg: moon.0,
                moon_azimuth_deg: moon.1,
                moon_phase_angle_deg: moon.2,
                sun_altitude_deg: sun.0,
                sun_azimuth_deg: sun.1,
                target_altitude_deg: target.0,
                target_azimuth_deg: target.1,
                moon_target_separation_deg: target.2,
                zenith_mag_arcsec2: place.0,
                extinction_mag: place.1,
                reflectance: place.2,
                facing_deg: rest.0,
                skyline_altitude_deg: rest.1,
                eclipse_drop_mag: rest.2,
                milky_way_mag_arcsec2: rest.3.then_some(20.7),
                ..LightInput::default()
            };
            let whole = assess(&conditions);
            let place_light = PlaceLight::of(&conditions);
            let scored = ScoredLight::at(&place_light, &conditions);
            prop_assert_eq!(scored, ScoredLight::from(&whole));
            prop_assert_eq!(conditions.milky_way_contrast(&place_light), whole.milky_way_contrast);
            let land = ScoredLight {
                milky_way_contrast: None,
                land_vs_sky_stops: 0.0,
                ..ScoredLight::from(&whole)
            };
            prop_assert_eq!(ScoredLight::of_land(&place_light, &conditions), land);
            let balances = Balances::of(&conditions);
            prop_assert_eq!(balances.stops(), whole.land_vs_sky_stops);
            let fainter = LightInput {
                zenith_mag_arcsec2: place.0 + 0.3,
                ..conditions
            };
            let stops = assess(&fainter).land_vs_sky_stops;
            prop_assert_eq!(balances.with_fainter_zenith(0.3), stops);
            let hazy = LightInput {
                extinction_mag: 1.35 * place.1,
                ..conditions
            };
            let stops = assess(&hazy).land_vs_sky_stops;
            prop_assert_eq!(balances.with_extinction(1.35 * place.1), stops);
        }
    }
}
