//! Which way the Moon's lit edge points.

use super::{Ephemeris, Moment, Sky};
use glam::DVec3;

/// The component of `toward` perpendicular to the unit vector `from`.
fn across(from: DVec3, toward: DVec3) -> DVec3 {
    toward - from * from.dot(toward)
}

/// Angle of the direction from a body at `body` toward the Sun, from the
/// direction of `pole` through `pole` x `body`, degrees, 0 to 360; 0 where it
/// has none.
pub(super) fn limb_angle_deg(body: DVec3, sun: DVec3, pole: DVec3) -> f64 {
    let Some(center) = body.try_normalize() else {
        return 0.0;
    };
    let sunward = across(center, sun - body);
    let up = across(center, pole);
    let side = up.cross(center);
    // Left of `up` as seen from within the sphere, and as long as it: the
    // cosine of the body's latitude.
    let angle = sunward
        .dot(side)
        .atan2(sunward.dot(up))
        .to_degrees()
        .rem_euclid(360.0);
    if angle >= 360.0 { 0.0 } else { angle }
}

impl Ephemeris {
    /// Position angle of the midpoint of the Moon's bright limb, geocentric,
    /// degrees from the celestial pole of date through east, 0 to 360.
    ///
    /// Meeus, *Astronomical Algorithms*, 2nd ed., eq. 48.5, written on vectors.
    pub fn bright_limb_position_angle_deg(&self, moment: Moment) -> f64 {
        limb_angle_deg(self.moon_km(moment), self.sun_km(moment), DVec3::Z)
    }
}

impl Sky<'_> {
    /// Direction in which the Moon's bright limb points as the observer sees
    /// it, degrees clockwise from straight up, 0 to 360: 90 when the right side
    /// is lit.
    ///
    /// From the topocentric directions of Moon and Sun in the local frame, so
    /// the parallactic angle is included.
    pub fn bright_limb_from_zenith_deg(&self, moment: Moment) -> f64 {
        let frame = self.observer().frame_at(moment);
        let moon = frame.body(self.ephemeris().moon_km(moment));
        let sun = frame.body(self.ephemeris().sun_km(moment));
        (360.0 - limb_angle_deg(moon, sun, DVec3::Z)).rem_euclid(360.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Direction, Observer, Refraction, tt_minus_utc_seconds};
    use approx::assert_abs_diff_eq;

    #[test]
    fn worked_example_of_meeus_48a() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 48.a: 1992 April 12
        // at 0h TD, position angle of the bright limb 285.0 degrees.
        let utc = Moment::from_utc("1992-04-12T00:00:00Z".parse().expect("a time"));
        let moment = utc.plus_seconds(-tt_minus_utc_seconds(utc));
        let ephemeris =
            Ephemeris::covering(utc.plus_seconds(-86_400.0), utc.plus_seconds(86_400.0));
        assert_abs_diff_eq!(
            ephemeris.bright_limb_position_angle_deg(moment),
            285.0,
            epsilon = 0.05
        );
    }

    #[test]
    fn the_local_angle_is_the_position_angle_less_the_parallactic_angle() {
        // Meeus, eq. 14.1 for the parallactic angle q; ch. 48: the zenith
        // angle of the bright limb is its position angle less q, and position
        // angles run counterclockwise as seen. Parallax tilts it by less than
        // two degrees away from new Moon.
        let start = Moment::from_utc("2027-07-08T00:00:00Z".parse().expect("a time"));
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(3.0 * 86_400.0));
        let core = ephemeris.star(Direction::Core);
        for latitude in [-31.4_f64, 0.5, 46.6, 69.6] {
            let observer = Observer::new(latitude, 139.2, 0.0);
            let sky = Sky::new(&ephemeris, &core, observer, Refraction::NONE);
            for hour in 0..70 {
                let moment = start.plus_seconds(3600.0 * f64::from(hour));
                let frame = observer.frame_at(moment);
                let moon = frame.body(ephemeris.moon_km(moment)).normalize();
                let pole = observer.pole();
                let declination_sine = moon.dot(pole);
                if moon.z.abs() > 0.98 || moon.z < 0.0 {
                    continue;
                }
                // Hour angle west of the meridian, from the local frame.
                let (s, c) = latitude.to_radians().sin_cos();
                let hour_angle = (-moon.x).atan2(c * moon.z - s * moon.y);
                let (dec_s, dec_c) = (
                    declination_sine,
                    (1.0 - declination_sine * declination_sine).sqrt(),
                );
                let q = (hour_angle.sin() * c)
                    .atan2(s * dec_c - c * dec_s * hour_angle.cos())
                    .to_degrees();
                let expected = -(ephemeris.bright_limb_position_angle_deg(moment) - q);
                let ours = sky.bright_limb_from_zenith_deg(moment);
                let off = (ours - expected + 180.0).rem_euclid(360.0) - 180.0;
                assert!(
                    off.abs() < 2.0,
                    "{latitude} {hour}: {ours} against {expected}"
                );
            }
        }
    }
}
