//! Places near another over the WGS84 ellipsoid: a map has many for each window.

use super::{
    geodesic::{CoordinateError, GroundPoint},
    utm::{FLATTENING, RADIUS_M},
};

/// As far as one step goes, metres.
const FARTHEST_M: f64 = 5000.0;
/// Nearer to a pole a bearing turns too fast for one step, degrees.
const FARTHEST_NORTH_DEG: f64 = 80.0;
/// Square of the ellipsoid's eccentricity.
const ECCENTRICITY_2: f64 = FLATTENING * (2.0 - FLATTENING);

/// What changes along a geodesic: latitude, longitude and bearing, radians.
type Course = [f64; 3];

impl GroundPoint {
    /// The place of [`Self::destination`], for less than half the work where it
    /// is near: the equations of a geodesic in one step of the classical
    /// Runge-Kutta method. The two are 5e-8 metres apart at most.
    ///
    /// # Errors
    ///
    /// As [`Self::destination`].
    pub(crate) fn place_toward(
        self,
        bearing_deg: f64,
        distance_m: f64,
    ) -> Result<Self, CoordinateError> {
        let is_near = (0.0..=FARTHEST_M).contains(&distance_m)
            && self.latitude_deg().abs() <= FARTHEST_NORTH_DEG
            && bearing_deg.is_finite();
        if !is_near {
            return Ok(self.destination(bearing_deg, distance_m)?.point);
        }
        let start = [
            self.latitude_deg().to_radians(),
            0.0,
            bearing_deg.to_radians(),
        ];
        let on = |change: Course, metres: f64| -> Course {
            std::array::from_fn(|index| start[index] + metres * change[index])
        };
        let first = change_per_metre(start);
        let second = change_per_metre(on(first, 0.5 * distance_m));
        let third = change_per_metre(on(second, 0.5 * distance_m));
        let last = change_per_metre(on(third, distance_m));
        let moved_deg = |index: usize| {
            let sum = first[index] + 2.0 * (second[index] + third[index]) + last[index];
            (distance_m / 6.0 * sum).to_degrees()
        };
        let longitude_deg = self.longitude_deg() + moved_deg(1);
        Self::new(
            self.latitude_deg() + moved_deg(0),
            match longitude_deg {
                east if east > 180.0 => east - 360.0,
                west if west < -180.0 => west + 360.0,
                within => within,
            },
        )
    }
}

/// How latitude, longitude and bearing change for each metre of a geodesic.
///
/// # Source
///
/// W. Torge, *Geodesy*, 3rd ed. (2001), the system of differential equations of
/// the geodesic (from memory).
fn change_per_metre([latitude, _, bearing]: Course) -> Course {
    let (sin, cos) = latitude.sin_cos();
    let (eastward, northward) = bearing.sin_cos();
    let square = 1.0 - ECCENTRICITY_2 * sin * sin;
    // One over the radii of curvature across the meridian and along it.
    let across = square.sqrt() / RADIUS_M;
    let along = across * square / (1.0 - ECCENTRICITY_2);
    let turned = eastward * across / cos;
    [northward * along, turned, turned * sin]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_near_place_is_the_destination(
            latitude in -89.9..89.9_f64,
            longitude in -180.0..=180.0_f64,
            bearing in -720.0..720.0_f64,
            distance in 0.0..6000.0_f64,
        ) {
            let from = GroundPoint::new(latitude, longitude).expect("a place");
            let near = from.place_toward(bearing, distance).expect("finite");
            let far = from.destination(bearing, distance).expect("finite").point;
            let north_m = 111_700.0 * (near.latitude_deg() - far.latitude_deg());
            let east = (near.longitude_deg() - far.longitude_deg() + 180.0).rem_euclid(360.0);
            let east_m = 111_700.0 * latitude.to_radians().cos() * (east - 180.0);
            prop_assert!(north_m.hypot(east_m) < 5e-8, "{north_m} {east_m}");
        }
    }

    #[test]
    fn what_is_no_line_is_refused() {
        let here = GroundPoint::new(10.0, 20.0).expect("a place");
        assert!(here.place_toward(f64::NAN, 1.0).is_err());
        assert!(here.place_toward(0.0, -1.0).is_err());
        assert!(here.place_toward(0.0, f64::NAN).is_err());
    }
}
