//! The part of a sky that the light at one instant depends on.

use super::{Horizontal, Moment, SkyState};

/// What the light at one instant depends on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LightGeometry {
    pub moment: Moment,
    /// Geometric altitude of the Sun, degrees.
    pub sun_altitude_deg: f64,
    /// True azimuth of the Sun, degrees; 0 while it is too low for twilight.
    pub sun_azimuth_deg: f64,
    pub moon: Horizontal,
    pub target: Horizontal,
    /// Cosine of the angle between the Sun and the target.
    pub sun_target_cos: f64,
    /// Angle Sun-Moon-Earth, degrees.
    pub phase_angle_deg: f64,
    pub moon_target_separation_deg: f64,
}

impl From<&SkyState> for LightGeometry {
    fn from(sky: &SkyState) -> Self {
        Self {
            moment: sky.moment,
            sun_altitude_deg: sky.sun.altitude_deg,
            sun_azimuth_deg: sky.sun.azimuth_deg,
            moon: sky.moon,
            target: sky.target,
            sun_target_cos: separation_cos(&sky.sun, &sky.target),
            phase_angle_deg: sky.phase.phase_angle_deg,
            moon_target_separation_deg: sky.moon_target_separation_deg,
        }
    }
}

/// Lowest Sun whose azimuth counts, degrees: below it there is no twilight.
pub(crate) const TWILIGHT_FROM_DEG: f64 = -20.0;

/// Cosine of the angle between two places of one sky, without refraction.
fn separation_cos(a: &Horizontal, b: &Horizontal) -> f64 {
    let (a_up, a_level) = a.altitude_deg.to_radians().sin_cos();
    let (b_up, b_level) = b.altitude_deg.to_radians().sin_cos();
    let turn = (a.azimuth_deg - b.azimuth_deg).to_radians();
    a_up * b_up + a_level * b_level * turn.cos()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Direction, Ephemeris, Observer, Refraction, Sky};

    /// From sines it is as from the whole sky to a millionth of a degree.
    #[test]
    fn what_the_light_depends_on_is_that_of_the_whole_sky() {
        let start = Moment::from_seconds(27.0 * 365.25 * 86_400.0);
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(40.0 * 86_400.0));
        for direction in [Direction::Core, Direction::Moon] {
            let track = ephemeris.star(direction);
            for latitude in [-90.0, -66.0, -29.0, 0.0, 18.0, 51.0, 89.0] {
                let observer = Observer::new(latitude, 17.0, 1500.0);
                let sky = Sky::new(&ephemeris, &track, observer, Refraction::new(1010.0, 10.0));
                for step in 0..2000 {
                    let moment = start.plus_seconds(10.0 + f64::from(step) * 1700.0);
                    let (short, long) = (
                        sky.light_geometry(moment),
                        LightGeometry::from(&sky.at(moment)),
                    );
                    compare(&short, &long);
                }
            }
        }
    }

    fn compare(short: &LightGeometry, long: &LightGeometry) {
        let mut pairs = vec![
            (short.sun_altitude_deg, long.sun_altitude_deg),
            (short.sun_target_cos, long.sun_target_cos),
            (short.phase_angle_deg, long.phase_angle_deg),
            (
                short.moon_target_separation_deg,
                long.moon_target_separation_deg,
            ),
        ];
        if short.sun_altitude_deg > TWILIGHT_FROM_DEG {
            pairs.push((short.sun_azimuth_deg, long.sun_azimuth_deg));
        }
        for (a, b) in [(short.moon, long.moon), (short.target, long.target)] {
            pairs.push((a.altitude_deg, b.altitude_deg));
            pairs.push((a.apparent_altitude_deg, b.apparent_altitude_deg));
            pairs.push((a.azimuth_deg, b.azimuth_deg));
            let km = [a, b].map(|place| place.distance_km.unwrap_or_default());
            pairs.push((km[0], km[1]));
        }
        for (a, b) in pairs {
            assert!((a - b).abs() < 1e-6, "{a} {b}: {short:?} {long:?}");
        }
    }
}
