//! The dome of light over a town.

use super::{dark_sky, interpolation::between, photometry::luminance_cd_m2};
use crate::scene::{DarkSky, SkyGlow};

/// Altitude from which a bearing begins to lose its meaning, degrees.
const ROUND_FROM_DEG: f64 = 45.0;

/// Altitude at which the brightness of a dome is read, degrees.
const READ_AT_DEG: f64 = 5.0;

/// The natural sky near the horizon, where the brightness of a dome is read,
/// cd/m2: what its reading has besides its own light.
pub fn sky_under_domes_cd_m2(sky: &DarkSky) -> f64 {
    luminance_cd_m2(sky.zenith_mag_arcsec2)
        * dark_sky::growth(READ_AT_DEG, sky.extinction_mag, dark_sky::AIRGLOW_PART)
}

/// What a dome adds to the sky in a direction.
///
/// From the dome, the natural dark sky where its brightness was read (near the
/// horizon under the dome, cd/m2), true azimuth and apparent altitude (degrees;
/// below the horizon as at it) to cd/m2. Never negative: a dome no brighter
/// than the natural sky adds nothing. Continuous, across north and at the
/// zenith too.
///
/// # Source
/// The shape is the project's choice: the square of a cosine in bearing, half
/// at the half width; an exponential in altitude, a tenth at the top. Toward
/// the zenith, where no bearing has a meaning, it passes into its own mean
/// round the circle.
pub fn added_cd_m2(
    glow: &SkyGlow,
    dark_sky_there_cd_m2: f64,
    azimuth_deg: f64,
    altitude_deg: f64,
) -> f64 {
    Dome::of(glow, dark_sky_there_cd_m2).added_cd_m2(azimuth_deg, altitude_deg)
}

/// A dome that is ready to be asked for many directions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dome {
    glow: SkyGlow,
    half_width_deg: f64,
    top_deg: f64,
    /// In its middle at the horizon, cd/m2, 0 or more.
    brightest_cd_m2: f64,
}

impl Dome {
    /// From the dome and the natural dark sky where its brightness was read, see
    /// [`added_cd_m2`].
    pub fn of(glow: &SkyGlow, dark_sky_there_cd_m2: f64) -> Self {
        let brightest = luminance_cd_m2(glow.mag_arcsec2.clamp(10.0, 25.0)) - dark_sky_there_cd_m2;
        Self {
            glow: *glow,
            half_width_deg: glow.half_width_in_range_deg(),
            top_deg: glow.top_in_range_deg(),
            brightest_cd_m2: brightest.max(0.0),
        }
    }

    /// See [`added_cd_m2`].
    pub fn added_cd_m2(&self, azimuth_deg: f64, altitude_deg: f64) -> f64 {
        let altitude_deg = altitude_deg.clamp(0.0, 90.0);
        let across = across(self.glow.off_middle_deg(azimuth_deg) / self.half_width_deg);
        let round = ((altitude_deg - ROUND_FROM_DEG) / (90.0 - ROUND_FROM_DEG)).max(0.0);
        let sideways = between(across, self.half_width_deg / 180.0, round);
        self.brightest_cd_m2 * sideways * self.upward(altitude_deg)
    }

    /// The least and the most of it for directions within `reach_deg` of an
    /// azimuth, between two altitudes. It falls upward, and away from its
    /// middle; where it passes into its mean, it lies between both.
    pub fn added_between(
        &self,
        azimuth_deg: f64,
        reach_deg: f64,
        [lowest_deg, highest_deg]: [f64; 2],
    ) -> [f64; 2] {
        let off_deg = self.glow.off_middle_deg(azimuth_deg);
        let sideways = |off_deg: f64| across(off_deg / self.half_width_deg);
        let mut ends = [
            sideways((off_deg + reach_deg).min(180.0)),
            sideways((off_deg - reach_deg).max(0.0)),
        ];
        if highest_deg > ROUND_FROM_DEG {
            let mean = self.half_width_deg / 180.0;
            ends = [ends[0].min(mean), ends[1].max(mean)];
        }
        let added = |sideways: f64, altitude_deg: f64| {
            self.brightest_cd_m2 * sideways * self.upward(altitude_deg.clamp(0.0, 90.0))
        };
        [added(ends[0], highest_deg), added(ends[1], lowest_deg)]
    }

    /// What is left of it at an altitude, 0 to 1.
    fn upward(&self, altitude_deg: f64) -> f64 {
        (-std::f64::consts::LN_10 * altitude_deg / self.top_deg).exp()
    }
}

/// Steepest change of the logarithm of a sky with domes by the domes, per degree
/// that a direction above `lowest_deg` moves, over a sky that is no darker than
/// `dark_cd_m2` without them.
///
/// Upward each dome is an exponential, so all of them together fall no faster
/// than the fastest, and by their share of the sky. Sideways the square of a
/// cosine over a floor of 1/r of its height changes by r/sqrt(1 + r) of the
/// cosine's own slope, where azimuths turn fastest. The passing into a mean
/// begins at [`ROUND_FROM_DEG`].
pub(crate) fn steepest(domes: &[Dome], lowest_deg: f64, dark_cd_m2: f64) -> f64 {
    let (mut upward, mut sideways, mut all) = (0.0_f64, 0.0, 0.0);
    for dome in domes {
        let over_dark = dome.brightest_cd_m2 / dark_cd_m2;
        let here = over_dark * dome.upward(lowest_deg.max(0.0));
        let round = over_dark * dome.upward(lowest_deg.max(ROUND_FROM_DEG));
        upward = upward.max(2.31 / dome.top_deg);
        sideways += 1.2 / dome.half_width_deg * here / (1.0 + here).sqrt() + 0.03 * round;
        all += here;
    }
    upward * all / (1.0 + all) + sideways
}

/// Fall of the glow sideways, from half widths off the middle to 1..0.
fn across(half_widths: f64) -> f64 {
    let cos = (half_widths.min(2.0) * std::f64::consts::FRAC_PI_4).cos();
    cos * cos
}
