//! A place on the turning Earth.

use super::{Moment, fit::LIGHT_KM_S};
use glam::DVec3;
use std::f64::consts::TAU;

/// Rate at which the sky turns, radians a second of UT1: the derivative of the
/// Earth rotation angle (IERS Conventions 2010, eq. 5.15).
pub const SKY_RATE: f64 = TAU * 1.002_737_811_911_354_4 / 86_400.0;

/// A camera's place on the WGS84 ellipsoid.
///
/// Turns geocentric CIRS vectors into the local frame *east, north, up*; the
/// horizontal plane is perpendicular to the ellipsoid's normal. The Earth's
/// rotation uses UT1 = UTC and no polar motion (up to 13.5" of rotation and
/// 0.6" of pole); diurnal aberration (0.3") is included; the deflection of the
/// plumb line (seldom over 20") is not.
#[derive(Debug, Clone, Copy)]
pub struct Observer {
    longitude_turns: f64,
    pub(crate) sin_latitude: f64,
    pub(crate) cos_latitude: f64,
    axis_km: f64,
    equator_km: f64,
    /// Speed of the turning ground over that of light: how far diurnal
    /// aberration shifts a direction toward the east.
    eastward_over_c: f64,
}

/// The local frame at one moment.
#[derive(Debug, Clone, Copy)]
pub struct LocalFrame<'a> {
    observer: &'a Observer,
    sin_turn: f64,
    cos_turn: f64,
}

impl Observer {
    /// The observer at geodetic latitude (north positive) and longitude (east
    /// positive) in degrees, and height in metres above the ellipsoid.
    pub fn new(latitude_deg: f64, longitude_deg: f64, elevation_m: f64) -> Self {
        let latitude = latitude_deg.to_radians();
        // WGS84 is ellipsoid 1; on the meridian of longitude 0 the geocentric
        // x is the distance from the axis. The call refuses only an unknown
        // ellipsoid or a height near the Earth's centre.
        let [x, _, z] = sofars::coords::gd2gc(1, 0.0, latitude, elevation_m).unwrap_or([0.0; 3]);
        let (sin_latitude, cos_latitude) = latitude.sin_cos();
        Self {
            longitude_turns: longitude_deg / 360.0,
            sin_latitude,
            // cos(90 degrees) is 6e-17 in floating point; the pole has no
            // meridian of its own, so it is set to exactly zero there.
            cos_latitude: if latitude_deg.abs() == 90.0 {
                0.0
            } else {
                cos_latitude
            },
            axis_km: z / 1000.0,
            equator_km: x / 1000.0,
            eastward_over_c: SKY_RATE * x / 1000.0 / LIGHT_KM_S,
        }
    }

    /// The local frame at `moment`.
    #[inline]
    pub fn frame_at(&self, moment: Moment) -> LocalFrame<'_> {
        let (sin_turn, cos_turn) = sin_cos_of_turns(self.turns_at(moment));
        LocalFrame {
            observer: self,
            sin_turn,
            cos_turn,
        }
    }

    /// How far the Earth has turned the meridian of the place past the celestial
    /// origin, turns, less whole ones.
    #[inline]
    pub(super) fn turns_at(&self, moment: Moment) -> f64 {
        rotation_turns(moment) + self.longitude_turns
    }

    /// Sine and cosine of the geodetic latitude.
    pub(crate) fn latitude_sin_cos(&self) -> (f64, f64) {
        (self.sin_latitude, self.cos_latitude)
    }

    /// The celestial pole of the northern hemisphere in the local frame.
    pub fn pole(&self) -> DVec3 {
        DVec3::new(0.0, self.cos_latitude, self.sin_latitude)
    }
}

impl LocalFrame<'_> {
    /// A direction at an infinite distance: CIRS to east, north, up.
    #[inline]
    pub fn star(&self, cirs: DVec3) -> DVec3 {
        let meridian = cirs.x * self.cos_turn + cirs.y * self.sin_turn;
        let east = cirs.y * self.cos_turn - cirs.x * self.sin_turn;
        let shift = self.observer.eastward_over_c;
        // Back to unit length, to the second order in 1.5e-6.
        self.tilted(meridian, east + shift, cirs.z) * (1.0 - east * shift)
    }

    /// A body's place: geocentric CIRS kilometres to east, north, up from the
    /// observer, kilometres.
    #[inline]
    pub fn body(&self, geocentric_km: DVec3) -> DVec3 {
        let g = geocentric_km;
        let meridian = g.x * self.cos_turn + g.y * self.sin_turn - self.observer.equator_km;
        let east = g.y * self.cos_turn - g.x * self.sin_turn;
        let east = east + self.observer.eastward_over_c * g.length();
        self.tilted(meridian, east, g.z - self.observer.axis_km)
    }

    #[inline]
    fn tilted(&self, meridian: f64, east: f64, axis: f64) -> DVec3 {
        let (s, c) = (self.observer.sin_latitude, self.observer.cos_latitude);
        DVec3::new(east, c * axis - s * meridian, c * meridian + s * axis)
    }
}

/// The Earth rotation angle, turns, less whole ones (IERS Conventions 2010, eq.
/// 5.15; Capitaine, Guinot & McCarthy 2000), with UT1 set equal to UTC.
#[inline]
fn rotation_turns(moment: Moment) -> f64 {
    let days = moment.seconds() / 86_400.0;
    // The whole days are dropped before they cost precision; a cast does it
    // without a call of the library.
    let part = days - days as i64 as f64;
    0.779_057_273_264_0 + 0.002_737_811_911_354_48 * days + part
}

/// Sine and cosine of an angle in turns, for a third of the cost of the
/// library's, which has to know every angle. Good to the last digit for
/// thousands of turns.
#[inline]
fn sin_cos_of_turns(turns: f64) -> (f64, f64) {
    // Added to a number, it leaves the nearest whole one in the last bits.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    let quarters = 4.0 * turns + WHOLE;
    // At most an eighth of a turn, where a few terms of the series do.
    let x = TAU * (turns - 0.25 * (quarters - WHOLE));
    let square = x * x;
    let series = |terms: &[f64]| {
        terms
            .iter()
            .rev()
            .fold(0.0, |sum, term| sum * square + term)
    };
    let sin = x * series(&SINE);
    let cos = series(&COSINE);
    match quarters.to_bits() & 3 {
        0 => (sin, cos),
        1 => (cos, -sin),
        2 => (-sin, -cos),
        _ => (-cos, sin),
    }
}

/// The series of the sine over its angle, and of the cosine, in squares of the
/// angle.
const SINE: [f64; 8] = [
    1.0,
    -1.0 / 6.0,
    1.0 / 120.0,
    -1.0 / 5_040.0,
    1.0 / 362_880.0,
    -1.0 / 39_916_800.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 1_307_674_368_000.0,
];
const COSINE: [f64; 9] = [
    1.0,
    -1.0 / 2.0,
    1.0 / 24.0,
    -1.0 / 720.0,
    1.0 / 40_320.0,
    -1.0 / 3_628_800.0,
    1.0 / 479_001_600.0,
    -1.0 / 87_178_291_200.0,
    1.0 / 20_922_789_888_000.0,
];

/// Altitude above the horizontal plane, degrees, of a local vector.
pub fn altitude_deg(local: DVec3) -> f64 {
    local.z.atan2(local.x.hypot(local.y)).to_degrees()
}

/// Azimuth from true north through east, degrees, 0 to 360, of a local vector.
pub fn azimuth_deg(local: DVec3) -> f64 {
    let azimuth = local.x.atan2(local.y).to_degrees();
    let azimuth = if azimuth < 0.0 {
        azimuth + 360.0
    } else {
        azimuth
    };
    // A tiny negative angle rounds to 360 itself.
    if azimuth >= 360.0 { 0.0 } else { azimuth }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sine_and_cosine_are_those_of_the_library() {
        for step in -400_000..400_000 {
            let turns = f64::from(step) * 2.718_281e-4;
            let (sin, cos) = sin_cos_of_turns(turns);
            // The library's angle is of one turn, so that it is as good.
            let (sin_there, cos_there) = (TAU * turns.fract()).sin_cos();
            assert!((sin - sin_there).abs() < 1e-15, "{turns}");
            assert!((cos - cos_there).abs() < 1e-15, "{turns}");
        }
        for (turns, expected) in [(0.0, (0.0, 1.0)), (0.25, (1.0, 0.0)), (-0.5, (0.0, -1.0))] {
            let (sin, cos) = sin_cos_of_turns(turns);
            assert_eq!((sin + 0.0, cos + 0.0), expected);
        }
    }
}
