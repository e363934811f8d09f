//! The dome of light over a town, as it is seen from a site.

/// Narrowest and widest half width that a dome has, degrees.
const HALF_WIDTH_RANGE_DEG: (f64, f64) = (1.0, 90.0);

/// Lowest and highest top of a dome, degrees.
const TOP_RANGE_DEG: (f64, f64) = (1.0, 90.0);

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
    /// mag/arcsec2, 10 to 22.
    pub mag_arcsec2: f64,
}

impl SkyGlow {
    /// Whether a direction stands in the dome: within the half width of its
    /// middle and not above its top.
    ///
    /// From true azimuth and apparent altitude, degrees.
    pub fn contains(&self, azimuth_deg: f64, altitude_deg: f64) -> bool {
        self.off_middle_deg(azimuth_deg) <= self.half_width_in_range_deg()
            && altitude_deg <= self.top_in_range_deg()
    }

    /// Angle of an azimuth from the middle, degrees, 0 to 180.
    pub(crate) fn off_middle_deg(&self, azimuth_deg: f64) -> f64 {
        let turned = (azimuth_deg - self.bearing_deg).rem_euclid(360.0);
        turned.min(360.0 - turned)
    }

    /// The half width within its range, degrees.
    pub(crate) fn half_width_in_range_deg(&self) -> f64 {
        self.half_width_deg
            .clamp(HALF_WIDTH_RANGE_DEG.0, HALF_WIDTH_RANGE_DEG.1)
    }

    /// The top within its range, degrees.
    pub(crate) fn top_in_range_deg(&self) -> f64 {
        self.top_altitude_deg
            .clamp(TOP_RANGE_DEG.0, TOP_RANGE_DEG.1)
    }
}
