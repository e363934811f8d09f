//! The galactic frame over a place at one moment.

use super::{Horizontal, Moment, Refraction, Sky};
use glam::DVec3;

/// Where any direction of the galactic frame stands over a place.
#[derive(Debug, Clone, Copy)]
pub struct Galaxy {
    pole: DVec3,
    origin: DVec3,
    ninety: DVec3,
    refraction: Refraction,
}

impl Sky<'_> {
    /// The galactic frame at `moment`.
    pub fn galaxy(&self, moment: Moment) -> Galaxy {
        let frame = self.observer().frame_at(moment);
        let pole = frame.star(self.ephemeris().galactic_pole().at(moment));
        let origin = frame.star(self.ephemeris().galactic_origin().at(moment));
        Galaxy {
            pole,
            origin,
            ninety: pole.cross(origin),
            refraction: self.refraction(),
        }
    }
}

impl Galaxy {
    /// Where the direction at galactic longitude and latitude (degrees, IAU
    /// 1958 frame in its ICRS form) stands.
    ///
    /// Without aberration (20"), like the arch.
    pub fn place(&self, longitude_deg: f64, latitude_deg: f64) -> Horizontal {
        let (sin_l, cos_l) = longitude_deg.to_radians().sin_cos();
        let (sin_b, cos_b) = latitude_deg.to_radians().sin_cos();
        let local = (self.origin * cos_l + self.ninety * sin_l) * cos_b + self.pole * sin_b;
        let altitude_deg = super::altitude_deg(local);
        Horizontal {
            altitude_deg,
            apparent_altitude_deg: self.refraction.apparent_deg(altitude_deg),
            azimuth_deg: super::azimuth_deg(local),
            distance_km: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Direction, Ephemeris, Observer};
    use approx::assert_abs_diff_eq;

    #[test]
    fn places_agree_with_stars_followed_and_with_the_arch() {
        let start = Moment::from_utc("2027-07-09T00:00:00Z".parse().expect("a time"));
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(86_400.0));
        let moment = start.plus_seconds(40_000.0);
        let observer = Observer::new(-31.4, 139.2, 120.0);
        for (longitude_deg, latitude_deg) in [(0.0, 0.0), (80.0, 0.0), (213.0, -40.0)] {
            let star = ephemeris.star(Direction::Galactic {
                longitude_deg,
                latitude_deg,
            });
            let sky = Sky::new(&ephemeris, &star, observer, Refraction::new(1010.0, 10.0));
            let snapshot = sky.at(moment);
            let place = sky.galaxy(moment).place(longitude_deg, latitude_deg);
            assert_abs_diff_eq!(
                place.altitude_deg,
                snapshot.target.altitude_deg,
                epsilon = 0.01
            );
            assert_abs_diff_eq!(
                place.azimuth_deg,
                snapshot.target.azimuth_deg,
                epsilon = 0.05
            );
            let arch = snapshot.arch.expect("an arch");
            let top = sky
                .galaxy(moment)
                .place(arch.top_galactic_longitude_deg, 0.0);
            // Diurnal aberration, up to 0.3", leaves the frame's axes that far
            // from perpendicular.
            assert_abs_diff_eq!(
                top.altitude_deg,
                arch.top_altitude_deg,
                epsilon = 0.3 / 3600.0
            );
        }
    }
}
