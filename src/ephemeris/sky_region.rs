//! Where a body stays for some time, told from one place of it.

use super::{
    SKY_RATE, Sky, azimuth_deg,
    diurnal_circle::{Body, DiurnalCircle},
};
use glam::DVec3;

/// Nearer to the zenith or the nadir azimuths turn too fast to say anything of
/// them, degrees.
pub(crate) const NEAR_ZENITH_DEG: f64 = 85.0;

/// A part of the sky that a body does not leave in some time; it need not fill
/// it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SkyRegion {
    /// Its lowest and its highest true altitude, degrees.
    pub altitudes_deg: [f64; 2],
    /// Where the body stands in the middle of that time: east, north, up.
    local: DVec3,
    /// How fast it leaves the plain rotation, as a share of the sky's rate.
    stray: f64,
    /// Sine and cosine.
    latitude: (f64, f64),
    /// Half of that time, seconds.
    half_seconds: f64,
}

impl SkyRegion {
    /// Azimuth of its middle, degrees.
    pub fn azimuth_deg(&self) -> f64 {
        azimuth_deg(self.local)
    }

    /// How far it goes to either side of that, degrees; 180 where nothing is
    /// known.
    pub fn reach_deg(&self) -> f64 {
        let [lowest, highest] = self.altitudes_deg;
        let steepest_deg = lowest.abs().max(highest.abs());
        if steepest_deg < NEAR_ZENITH_DEG {
            let rate = SKY_RATE * turning(self.latitude, steepest_deg, self.stray);
            (rate * self.half_seconds).to_degrees().min(180.0)
        } else {
            180.0
        }
    }
}

impl Sky<'_> {
    /// Where a body stays in `from..=to`, from its place in the middle.
    pub(crate) fn region_of(&self, body: Body, [from, to]: [f64; 2]) -> SkyRegion {
        let middle = 0.5 * (from + to);
        let (local, stray) = self.direction_of(body, middle);
        let latitude = self.observer().latitude_sin_cos();
        let circle = DiurnalCircle::new(middle, local, latitude, SKY_RATE * stray);
        let sines = circle.sines_within([from, to]);
        SkyRegion {
            altitudes_deg: sines.map(|sine| sine.clamp(-1.0, 1.0).asin().to_degrees()),
            local,
            stray,
            latitude,
            half_seconds: 0.5 * (to - from),
        }
    }
}

/// How fast an azimuth turns at the most, as a share of the sky's rate, within so
/// many degrees of the horizon. `latitude`: its sine and cosine.
pub(crate) fn turning(latitude: (f64, f64), steepest_deg: f64, stray: f64) -> f64 {
    let (high_sin, high_cos) = steepest_deg.to_radians().sin_cos();
    latitude.0.abs() + (latitude.1 * high_sin + stray) / high_cos
}
