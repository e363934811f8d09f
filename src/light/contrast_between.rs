//! Between which values a contrast stays while everything stays within known
//! bounds.

use super::{LightInput, air_mass, dark_sky, milky_way, moonlight, photometry, scattered};
use super::{moon_below::NO_GLOW_DEG, parts::MOST_GLOW_CD_M2, snow, twilight, zodiacal};

/// Bounds on what changes within some time, each the least and the greatest; the
/// rest is as in one instant of that time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Within {
    pub target_altitude_deg: [f64; 2],
    pub moon_altitude_deg: [f64; 2],
    pub sun_altitude_deg: [f64; 2],
    pub moon_target_separation_deg: [f64; 2],
    /// Angle between the azimuths of Sun and target, 0 to 180.
    pub azimuth_from_sun_deg: [f64; 2],
    /// What the domes of towns add.
    pub glow_cd_m2: [f64; 2],
    /// What the light of the Moon outside the air can be multiplied by.
    pub moonlight_factor: [f64; 2],
    /// What the zodiacal light can multiply the dark sky by.
    pub dark_factor: [f64; 2],
}

impl LightInput {
    /// The least and the greatest contrast of the Milky Way within some time;
    /// `None` where its brightness is not known.
    ///
    /// Each light goes one way with each altitude, so the ends of their bounds
    /// give its own; all lights together are no brighter than the brightest of
    /// each.
    pub(crate) fn contrast_between(&self, within: &Within) -> Option<[f64; 2]> {
        let c = self.in_range();
        let mag = c.milky_way_mag_arcsec2?;
        let [lowest, highest] = within.target_altitude_deg;
        let paths = Paths {
            shortest: air_mass::shell_path(highest),
            longest: air_mass::shell_path(lowest),
        };
        let dark = c.dark_between(&paths, within);
        let moonlit = c.moonlit_between(&paths, within);
        let twilight = twilight_between(within);
        let sky = |end: usize| dark[end] + moonlit[end] + twilight[end];
        let milky_way =
            |altitude_deg| milky_way::luminance_cd_m2(mag, altitude_deg, c.extinction_mag);
        Some([
            milky_way::contrast(milky_way(lowest), sky(1)),
            milky_way::contrast(milky_way(highest), sky(0)),
        ])
    }

    /// The sky without Moon and twilight, cd/m2.
    fn dark_between(&self, paths: &Paths, within: &Within) -> [f64; 2] {
        let k = self.extinction_mag;
        let ends = [paths.shortest, paths.longest];
        let added = ends.map(|path| zodiacal::added_cd_m2(self.zodiacal_s10, k, path));
        let zenith_cd_m2 = photometry::luminance_cd_m2(self.zenith_mag_arcsec2);
        let growth = dark_sky::growth_between(ends, k, dark_sky::AIRGLOW_PART);
        let even = growth.map(|growth| zenith_cd_m2 * growth);
        let dark = |even_cd_m2, added_cd_m2, end: usize| {
            let natural = dark_sky::natural_cd_m2(even_cd_m2, added_cd_m2);
            natural * within.dark_factor[end] + within.glow_cd_m2[end].min(MOST_GLOW_CD_M2)
        };
        [
            dark(even[0], added[0].min(added[1]), 0),
            dark(even[1], added[0].max(added[1]), 1),
        ]
    }

    /// Scattered moonlight, cd/m2.
    fn moonlit_between(&self, paths: &Paths, within: &Within) -> [f64; 2] {
        let [lowest, highest] = within.moon_altitude_deg;
        if highest < NO_GLOW_DEG {
            return [0.0, 0.0];
        }
        let k = self.extinction_mag;
        let [nearest, farthest] = within.moon_target_separation_deg;
        let full =
            moonlight::beam_outside_air_lux(self.moon_phase_angle_deg, self.moon_distance_km);
        let moonlit = |moon_deg: f64, scattering: f64, path: f64, end: usize| {
            if moon_deg < NO_GLOW_DEG {
                return 0.0;
            }
            let transmission = scattered::moon_transmission(moon_deg, k)
                * snow::sky_factor_over_snow(moon_deg, self.reflectance);
            scattered::scattered_cd_m2(
                full * within.moonlight_factor[end],
                transmission,
                scattering,
                scattered::scattering_air_along(path, k),
            )
        };
        let scattering = scattered::scattering_between(nearest, farthest);
        [
            moonlit(lowest, scattering[0], paths.shortest, 0),
            moonlit(highest, scattering[1], paths.longest, 1),
        ]
    }
}

/// The air's shell toward the target.
struct Paths {
    shortest: f64,
    longest: f64,
}

/// Twilight behind the target, cd/m2: the brighter, the higher the Sun, the lower
/// the target, and the nearer their azimuths.
fn twilight_between(within: &Within) -> [f64; 2] {
    let [deepest, highest] = within.sun_altitude_deg;
    if highest <= twilight::END_DEG {
        return [0.0, 0.0];
    }
    let [nearest, farthest] = within.azimuth_from_sun_deg;
    let [low_deg, high_deg] = within.target_altitude_deg;
    [
        twilight::sky_cd_m2(deepest) * twilight::direction_factor(high_deg, farthest),
        twilight::sky_cd_m2(highest) * twilight::direction_factor(low_deg, nearest),
    ]
}
