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

/// How altitude and azimuth of a body change: the least and the most, degrees for
/// each degree that the sky turns.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rates {
    pub altitude: [f64; 2],
    pub azimuth: [f64; 2],
}

impl SkyRegion {
    /// How a body that stays here moves; `reach_deg` is how far to either side.
    ///
    /// A body rises by the cosine of the latitude times the sine of its azimuth;
    /// its azimuth turns by the sine of the latitude, less the cosine times the
    /// cosine of the azimuth times the tangent of the altitude.
    pub fn rates(&self, reach_deg: f64) -> Rates {
        let (sin_latitude, cos_latitude) = self.latitude;
        let level = self.local.x.hypot(self.local.y);
        let (sin, cos) = (self.local.x / level, self.local.y / level);
        let turned = reach_deg.to_radians();
        let around = |value: f64, across: f64| {
            let off = sine_off(value, across, turned);
            [(value - off).max(-1.0), (value + off).min(1.0)]
        };
        let spread = |[least, most]: [f64; 2], by: f64| [least - by, most + by];
        let rise = product(around(sin, cos), [cos_latitude; 2]);
        let tangents = self.altitudes_deg.map(|deg| deg.to_radians().tan());
        let steepest = tangents[0].abs().max(tangents[1].abs());
        let [least, most] = product(product(around(cos, sin), tangents), [cos_latitude; 2]);
        Rates {
            altitude: spread(rise, self.stray),
            azimuth: spread(
                [sin_latitude - most, sin_latitude - least],
                self.stray * steepest.hypot(1.0),
            ),
        }
    }

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

/// By how much the sine of an angle may change at the most while the angle turns
/// by no more than `turned`, radians, from where its sine and cosine are known.
pub(crate) fn sine_off(sin: f64, cos: f64, turned: f64) -> f64 {
    cos.abs() * turned + 0.5 * sin.abs() * turned * turned
}

/// The least and the most of the products of two numbers in two ranges.
pub(crate) fn product(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let all = [a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1]];
    [
        all.into_iter().fold(f64::INFINITY, f64::min),
        all.into_iter().fold(f64::NEG_INFINITY, f64::max),
    ]
}

/// How fast an azimuth turns at the most, as a share of the sky's rate, within so
/// many degrees of the horizon. `latitude`: its sine and cosine.
pub(crate) fn turning(latitude: (f64, f64), steepest_deg: f64, stray: f64) -> f64 {
    let (high_sin, high_cos) = steepest_deg.to_radians().sin_cos();
    latitude.0.abs() + (latitude.1 * high_sin + stray) / high_cos
}
