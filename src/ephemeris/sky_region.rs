//! Where a body stays for some time, told from one place of it.

use super::{
    SKY_RATE, Sky, azimuth_deg,
    diurnal_circle::{Body, DiurnalCircle},
};

/// Nearer to the zenith or the nadir azimuths turn too fast to say anything of
/// them, degrees.
pub(crate) const NEAR_ZENITH_DEG: f64 = 85.0;

/// A part of the sky that a body does not leave in some time; it need not fill
/// it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SkyRegion {
    /// Its lowest and its highest true altitude, degrees.
    pub altitudes_deg: [f64; 2],
    /// Azimuth of its middle, degrees.
    pub azimuth_deg: f64,
    /// How far it goes to either side, degrees; 180 where nothing is known.
    pub reach_deg: f64,
}

impl Sky<'_> {
    /// Where a body stays in `from..=to`, from its place in the middle.
    pub(crate) fn region_of(&self, body: Body, [from, to]: [f64; 2]) -> SkyRegion {
        let middle = 0.5 * (from + to);
        let (local, stray) = self.direction_of(body, middle);
        let latitude = self.observer().latitude_sin_cos();
        let circle = DiurnalCircle::new(middle, local, latitude, SKY_RATE * stray);
        let sines = circle.sines_within([from, to]);
        let altitudes_deg = sines.map(|sine| sine.clamp(-1.0, 1.0).asin().to_degrees());
        let steepest_deg = altitudes_deg[0].abs().max(altitudes_deg[1].abs());
        let reach_deg = if steepest_deg < NEAR_ZENITH_DEG {
            let rate = SKY_RATE * turning(latitude, steepest_deg, stray);
            (rate * 0.5 * (to - from)).to_degrees().min(180.0)
        } else {
            180.0
        };
        SkyRegion {
            altitudes_deg,
            azimuth_deg: azimuth_deg(local),
            reach_deg,
        }
    }
}

/// How fast an azimuth turns at the most, as a share of the sky's rate, within so
/// many degrees of the horizon. `latitude`: its sine and cosine.
pub(crate) fn turning(latitude: (f64, f64), steepest_deg: f64, stray: f64) -> f64 {
    let (high_sin, high_cos) = steepest_deg.to_radians().sin_cos();
    latitude.0.abs() + (latitude.1 * high_sin + stray) / high_cos
}
