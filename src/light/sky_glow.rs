//! The dome of light over a town.

use super::{interpolation::between, photometry::luminance_cd_m2};

/// Narrowest and widest half width that a dome has, degrees.
const HALF_WIDTH_RANGE_DEG: (f64, f64) = (1.0, 90.0);

/// Lowest and highest top of a dome, degrees.
const TOP_RANGE_DEG: (f64, f64) = (1.0, 90.0);

/// Altitude from which a bearing begins to lose its meaning, degrees.
const ROUND_FROM_DEG: f64 = 45.0;

/// A town's dome as a photographer sees it on the horizon.
///
/// Values outside their range count as its nearer end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyGlow {
    /// Where its middle stands: true bearing, degrees through east.
    pub bearing_deg: f64,
    /// How far to either side of its middle the glow has fallen to half,
    /// degrees, 1 to 90; it ends twice as far out. A far town has 10 to 20, a
    /// near one 30 to 60.
    pub half_width_deg: f64,
    /// How high it is seen to reach, degrees, 1 to 90: there a tenth of it is
    /// left.
    pub top_altitude_deg: f64,
    /// The sky at its brightest, near the horizon, as a meter reads it or as
    /// one judges it: all the light there, the natural sky included, V
    /// mag/arcsec2, 10 to 25.
    pub mag_arcsec2: f64,
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
    let brightest = luminance_cd_m2(glow.mag_arcsec2.clamp(10.0, 25.0)) - dark_sky_there_cd_m2;
    let half_width_deg = glow.half_width_deg();
    let altitude_deg = altitude_deg.clamp(0.0, 90.0);
    let across = across(glow.off_middle_deg(azimuth_deg) / half_width_deg);
    let round = ((altitude_deg - ROUND_FROM_DEG) / (90.0 - ROUND_FROM_DEG)).max(0.0);
    let sideways = between(across, half_width_deg / 180.0, round);
    let upward = (-std::f64::consts::LN_10 * altitude_deg / glow.top_altitude_deg()).exp();
    brightest.max(0.0) * sideways * upward
}

impl SkyGlow {
    /// Whether a direction stands in the dome: within the half width of its
    /// middle and not above its top.
    ///
    /// From true azimuth and apparent altitude, degrees.
    pub fn contains(&self, azimuth_deg: f64, altitude_deg: f64) -> bool {
        self.off_middle_deg(azimuth_deg) <= self.half_width_deg()
            && altitude_deg <= self.top_altitude_deg()
    }

    /// Angle of an azimuth from the middle, degrees, 0 to 180.
    fn off_middle_deg(&self, azimuth_deg: f64) -> f64 {
        let turned = (azimuth_deg - self.bearing_deg).rem_euclid(360.0);
        turned.min(360.0 - turned)
    }

    fn half_width_deg(&self) -> f64 {
        self.half_width_deg
            .clamp(HALF_WIDTH_RANGE_DEG.0, HALF_WIDTH_RANGE_DEG.1)
    }

    fn top_altitude_deg(&self) -> f64 {
        self.top_altitude_deg
            .clamp(TOP_RANGE_DEG.0, TOP_RANGE_DEG.1)
    }
}

/// Fall of the glow sideways, from half widths off the middle to 1..0.
fn across(half_widths: f64) -> f64 {
    let cos = (half_widths.min(2.0) * std::f64::consts::FRAC_PI_4).cos();
    cos * cos
}
