//! The part of a sky that the light at one instant depends on.

use super::{
    Horizontal, LocalFrame, Moment, Sky, SkyState, azimuth_deg, moon_phase::phase_angle_deg,
};
use glam::DVec3;

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

/// What the light on the land at one instant depends on: nothing of the target.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LandGeometry {
    pub moment: Moment,
    /// Geometric altitude of the Sun, degrees.
    pub sun_altitude_deg: f64,
    pub moon: Horizontal,
    /// Angle Sun-Moon-Earth, degrees.
    pub phase_angle_deg: f64,
}

impl From<&LightGeometry> for LandGeometry {
    #[inline]
    fn from(sky: &LightGeometry) -> Self {
        Self {
            moment: sky.moment,
            sun_altitude_deg: sky.sun_altitude_deg,
            moon: sky.moon,
            phase_angle_deg: sky.phase_angle_deg,
        }
    }
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

impl Sky<'_> {
    /// The part of [`Sky::at`] that the light depends on, for half its cost; the
    /// same to a millionth of a degree, since a sine tells little of an angle near
    /// 90 degrees.
    pub(crate) fn light_geometry(&self, moment: Moment) -> LightGeometry {
        let frame = self.observer().frame_at(moment);
        let (land, [sun, moon]) = self.land_and_bodies(&frame, moment);
        let (target, target_place, from_moon_cos) = if self.target_is_moon() {
            (moon, land.moon, 1.0)
        } else {
            let target = frame.star(self.target_track().at(moment));
            (target, self.of_unit(target, None), moon.dot(target))
        };
        LightGeometry {
            moment,
            sun_altitude_deg: land.sun_altitude_deg,
            sun_azimuth_deg: if land.sun_altitude_deg > TWILIGHT_FROM_DEG {
                azimuth_deg(sun)
            } else {
                0.0
            },
            moon: land.moon,
            target: target_place,
            sun_target_cos: sun.dot(target),
            phase_angle_deg: land.phase_angle_deg,
            moon_target_separation_deg: 90.0 - angle_deg_of_sine(from_moon_cos),
        }
    }

    /// The part of [`Self::light_geometry`] that the light on the land depends on.
    pub(crate) fn land_geometry(&self, moment: Moment) -> LandGeometry {
        let frame = self.observer().frame_at(moment);
        self.land_and_bodies(&frame, moment).0
    }

    /// The same with the unit vectors of Sun and Moon.
    #[inline(always)]
    fn land_and_bodies(
        &self,
        frame: &LocalFrame<'_>,
        moment: Moment,
    ) -> (LandGeometry, [DVec3; 2]) {
        let bodies_km = (
            self.ephemeris().sun_km(moment),
            self.ephemeris().moon_km(moment),
        );
        let unit = |km: DVec3| {
            let local = frame.body(km);
            let distance_km = local.length();
            (local / distance_km, distance_km)
        };
        let ((sun, _), (moon, moon_distance_km)) = (unit(bodies_km.0), unit(bodies_km.1));
        let land = LandGeometry {
            moment,
            sun_altitude_deg: angle_deg_of_sine(sun.z),
            moon: self.of_unit(moon, Some(moon_distance_km)),
            phase_angle_deg: phase_angle_deg(bodies_km.0, bodies_km.1),
        };
        (land, [sun, moon])
    }

    /// The place of a unit vector.
    #[inline]
    fn of_unit(&self, unit: DVec3, distance_km: Option<f64>) -> Horizontal {
        self.placed(unit, angle_deg_of_sine(unit.z), distance_km)
    }
}

/// The angle of a sine, degrees, -90 to 90.
#[inline]
fn angle_deg_of_sine(sine: f64) -> f64 {
    sine.clamp(-1.0, 1.0).asin().to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Direction, Ephemeris, Observer, Refraction};

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
