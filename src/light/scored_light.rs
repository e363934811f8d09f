//! What a score takes from the light of an instant.

use super::{Assessment, LightInput, PlaceLight, parts::Parts, shadow};

/// What a score takes from the light of an instant; each value as
/// [`Assessment`] has it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct ScoredLight {
    pub beam_lux: f64,
    pub signed_light_angle_deg: f64,
    pub shadow_depth_stops: f64,
    pub milky_way_contrast: Option<f64>,
    pub land_vs_sky_stops: f64,
}

impl ScoredLight {
    /// For two thirds of the work of [`assess`](super::assess()).
    pub fn at(place: &PlaceLight, conditions: &LightInput) -> Self {
        let parts = Parts::at(place, conditions);
        Self {
            beam_lux: parts.input.beam_lux,
            signed_light_angle_deg: parts.signed_light_angle_deg,
            shadow_depth_stops: parts.shadow_depth_stops(),
            milky_way_contrast: parts.behind.contrast(),
            land_vs_sky_stops: parts.balance_stops(),
        }
    }

    /// Of the light on the land alone: what the sky behind the target has part in
    /// is 0.
    pub fn of_land(place: &PlaceLight, conditions: &LightInput) -> Self {
        let c = conditions.in_range();
        let moon = c.moon_way();
        let angle = shadow::signed_light_angle_deg(c.moon_azimuth_deg, c.facing_deg);
        let (beam, transmission) = (c.beam_way(&moon), c.moon_transmission(&moon));
        let land = c.land_input(place, &moon, &beam, transmission, angle.abs());
        Self {
            beam_lux: land.beam_lux,
            signed_light_angle_deg: angle,
            shadow_depth_stops: moon.shadow_depth_stops(&land),
            ..Self::default()
        }
    }
}

impl From<&Assessment> for ScoredLight {
    fn from(light: &Assessment) -> Self {
        Self {
            beam_lux: light.beam_lux,
            signed_light_angle_deg: light.signed_light_angle_deg,
            shadow_depth_stops: light.shadow_depth_stops,
            milky_way_contrast: light.milky_way_contrast,
            land_vs_sky_stops: light.land_vs_sky_stops,
        }
    }
}
