//! The ways of the light to land and sky, whatever is in the air along them.

use super::{
    LightInput, air_mass,
    land_light::LandInput,
    moon_below::NO_GLOW_DEG,
    moonlight,
    photometry::{dimmed_by_mag, luminance_cd_m2},
    scattered, shadow, snow,
};

/// What the light of a place takes from its sky and its air at any instant.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PlaceLight {
    pub(super) zenith_cd_m2: f64,
    /// Part of the Moon's light that the air scatters over the whole sky.
    pub(super) scattering_air: f64,
}

/// The Moon's light before the air takes its part.
#[derive(Clone, Copy)]
pub(super) struct MoonWay {
    /// In the shadow of the Earth too, lux; 0, and nothing more known of it, where
    /// the Moon is so low that none of it comes into the air.
    pub outside_lux: f64,
    pub sin_altitude: f64,
    pub shell_path: f64,
    /// How much more of it there is in the air over snow.
    pub over_snow: f64,
}

/// Where the sky behind the target stands.
#[derive(Clone, Copy)]
pub(super) struct TargetWay {
    pub shell_path: f64,
    /// How much of the Moon's light is scattered so far from it.
    pub scattering: f64,
}

/// The Moon's beam on its way down.
#[derive(Clone, Copy)]
pub(super) struct BeamWay {
    /// Before the air takes its part, lux.
    pub outside_lux: f64,
    pub path: f64,
}

impl PlaceLight {
    /// That of some conditions, of which only the place counts.
    pub fn of(conditions: &LightInput) -> Self {
        let c = conditions.in_range();
        Self {
            zenith_cd_m2: luminance_cd_m2(c.zenith_mag_arcsec2),
            scattering_air: scattered::scattering_air_of_all(c.extinction_mag),
        }
    }
}

impl MoonWay {
    pub fn on_level_ground_lux(&self, land: &LandInput) -> f64 {
        moonlight::level_ground_by(land.beam_lux, self.sin_altitude)
    }

    pub fn shadow_depth_stops(&self, land: &LandInput) -> f64 {
        if land.beam_lux > 0.0 {
            shadow::depth_stops(self.on_level_ground_lux(land), land.ambient_lux())
        } else {
            0.0
        }
    }
}

impl LightInput {
    pub(super) fn moon_way(&self) -> MoonWay {
        if self.moon_altitude_deg < NO_GLOW_DEG {
            return MoonWay {
                outside_lux: 0.0,
                sin_altitude: 0.0,
                shell_path: 1.0,
                over_snow: 1.0,
            };
        }
        let bright =
            moonlight::beam_outside_air_lux(self.moon_phase_angle_deg, self.moon_distance_km);
        let (sin_altitude, cos_altitude) = self.moon_altitude_deg.to_radians().sin_cos();
        MoonWay {
            outside_lux: if self.eclipse_drop_mag > 0.0 {
                bright * dimmed_by_mag(self.eclipse_drop_mag)
            } else {
                bright
            },
            sin_altitude,
            shell_path: air_mass::shell_path_by(cos_altitude),
            over_snow: snow::sky_factor_over_snow(self.moon_altitude_deg, self.reflectance),
        }
    }

    pub(super) fn target_way(&self, moon: &MoonWay) -> TargetWay {
        TargetWay {
            shell_path: air_mass::shell_path(self.target_altitude_deg),
            scattering: if moon.outside_lux > 0.0 {
                scattered::scattering(self.moon_target_separation_deg)
            } else {
                0.0
            },
        }
    }

    /// The beam on a surface that faces the Moon: of the part of its disc above
    /// the horizon and the skyline.
    pub(super) fn beam_way(&self, moon: &MoonWay) -> BeamWay {
        let over_deg = self.skyline_altitude_deg.max(0.0);
        let disc = moonlight::disc_above_horizon(
            self.moon_altitude_deg - over_deg,
            moonlight::semi_diameter_deg(self.moon_distance_km),
        );
        let outside_lux = disc * moon.outside_lux;
        BeamWay {
            outside_lux,
            path: if outside_lux > 0.0 {
                let altitude_deg = self.moon_altitude_deg.max(0.0);
                air_mass::extinction_path_by(altitude_deg, moon.sin_altitude.max(0.0))
            } else {
                1.0
            },
        }
    }

    /// Part of the Moon's light that reaches the air which scatters it, over snow
    /// more.
    pub(super) fn moon_transmission(&self, moon: &MoonWay) -> f64 {
        if moon.outside_lux == 0.0 {
            return 0.0;
        }
        let (path, altitude_deg) = (moon.shell_path, self.moon_altitude_deg);
        scattered::moon_transmission_along(path, altitude_deg, self.extinction_mag) * moon.over_snow
    }
}
