//! Distances and bearings over the WGS84 ellipsoid.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};

/// Points closer to each other than this have no bearing, metres.
const SAME_POINT_M: f64 = 1e-3;

/// A place on the WGS84 ellipsoid, its coordinates checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundPoint {
    latitude_deg: f64,
    longitude_deg: f64,
}

/// Numbers that are no coordinates, bearing or distance.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CoordinateError {
    /// Not a latitude.
    #[error("latitude {0} is not within -90 to 90 degrees")]
    Latitude(f64),
    /// Not a longitude.
    #[error("longitude {0} is not within -180 to 180 degrees, east positive")]
    Longitude(f64),
    /// Not a bearing.
    #[error("bearing {0} is not a finite number of degrees")]
    Bearing(f64),
    /// Not a distance.
    #[error("distance {0} is not a finite number of metres, 0 or more")]
    Distance(f64),
}

/// The shortest way between two places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GeodesicLine {
    /// True bearing at the first place toward the second, degrees, 0 to 360.
    pub bearing_deg: f64,
    /// True bearing at the second place back to the first, degrees, 0 to 360.
    pub reverse_bearing_deg: f64,
    /// Length over the ellipsoid, metres.
    pub distance_m: f64,
}

/// Where a path over the ellipsoid ends.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Destination {
    /// The place reached.
    pub point: GroundPoint,
    /// True bearing in which the path continues there, degrees, 0 to 360.
    pub bearing_deg: f64,
}

impl GroundPoint {
    /// The place at geodetic latitude (north positive, -90 to 90) and
    /// longitude (east positive, -180 to 180), degrees.
    ///
    /// # Errors
    ///
    /// Coordinates out of these ranges or not finite.
    pub fn new(latitude_deg: f64, longitude_deg: f64) -> Result<Self, CoordinateError> {
        if !(-90.0..=90.0).contains(&latitude_deg) {
            return Err(CoordinateError::Latitude(latitude_deg));
        }
        if !(-180.0..=180.0).contains(&longitude_deg) {
            return Err(CoordinateError::Longitude(longitude_deg));
        }
        Ok(Self {
            latitude_deg,
            longitude_deg,
        })
    }

    /// Geodetic latitude, degrees, north positive.
    pub const fn latitude_deg(self) -> f64 {
        self.latitude_deg
    }

    /// Geodetic longitude, degrees, east positive, -180 to 180.
    pub const fn longitude_deg(self) -> f64 {
        self.longitude_deg
    }

    /// The shortest way to `other`; `None` where the two are the same place to
    /// a millimetre, which has no bearing.
    ///
    /// Good to 15 nanometres on the ellipsoid, as its source states.
    ///
    /// # Source
    ///
    /// C. F. F. Karney, "Algorithms for geodesics", *Journal of Geodesy* 87,
    /// 43-55 (2013), in the port `geographiclib-rs`.
    ///
    /// # Example
    ///
    /// ```
    /// use rakelight::terrain::GroundPoint;
    /// let paris = GroundPoint::new(48.836389, 2.337222)?;
    /// let washington = GroundPoint::new(38.921389, -77.065556)?;
    /// let line = paris.line_to(washington).expect("two places");
    /// assert_eq!(line.distance_m.round(), 6_181_632.0);
    /// # Ok::<(), rakelight::terrain::CoordinateError>(())
    /// ```
    pub fn line_to(self, other: Self) -> Option<GeodesicLine> {
        // Distance and both azimuths, the second one pointing onward.
        let (distance_m, onward_here, onward_there): (f64, f64, f64) = {
            let (s, a1, a2, _arc) = Geodesic::wgs84().inverse(
                self.latitude_deg,
                self.longitude_deg,
                other.latitude_deg,
                other.longitude_deg,
            );
            (s, a1, a2)
        };
        (distance_m > SAME_POINT_M).then(|| GeodesicLine {
            bearing_deg: full_circle(onward_here),
            reverse_bearing_deg: full_circle(onward_there + 180.0),
            distance_m,
        })
    }

    /// The place `distance_m` metres away along the true bearing `bearing_deg`
    /// (any finite number of degrees).
    ///
    /// # Errors
    ///
    /// A bearing or distance that is not finite, a negative distance.
    ///
    /// # Source
    ///
    /// As [`Self::line_to`].
    pub fn destination(
        self,
        bearing_deg: f64,
        distance_m: f64,
    ) -> Result<Destination, CoordinateError> {
        if !bearing_deg.is_finite() {
            return Err(CoordinateError::Bearing(bearing_deg));
        }
        if !distance_m.is_finite() || distance_m < 0.0 {
            return Err(CoordinateError::Distance(distance_m));
        }
        let (latitude_deg, longitude_deg, onward): (f64, f64, f64) = Geodesic::wgs84().direct(
            self.latitude_deg,
            self.longitude_deg,
            bearing_deg,
            distance_m,
        );
        Ok(Destination {
            point: Self::new(latitude_deg, longitude_deg)?,
            bearing_deg: full_circle(onward),
        })
    }
}

/// An angle brought to 0 (inclusive) to 360 (exclusive) degrees.
pub(crate) fn full_circle(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(360.0);
    // rem_euclid of a tiny negative angle rounds to 360 itself.
    if turned >= 360.0 { 0.0 } else { turned }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    fn point(latitude_deg: f64, longitude_deg: f64) -> GroundPoint {
        GroundPoint::new(latitude_deg, longitude_deg).expect("coordinates in the test")
    }

    fn dms(degrees: f64, minutes: f64, seconds: f64) -> f64 {
        degrees + minutes / 60.0 + seconds / 3600.0
    }

    #[test]
    fn karney_2013_direct() {
        // Karney, J. Geodesy 87, 43 (2013), example: from 40 N, azimuth 30,
        // 10 000 km.
        let there = point(40.0, 0.0)
            .destination(30.0, 10_000_000.0)
            .expect("finite");
        assert_abs_diff_eq!(
            there.point.latitude_deg(),
            41.793_310_205_06,
            epsilon = 1e-11
        );
        assert_abs_diff_eq!(
            there.point.longitude_deg(),
            137.844_900_043_77,
            epsilon = 1e-11
        );
        assert_abs_diff_eq!(there.bearing_deg, 149.090_169_318_07, epsilon = 1e-11);
    }

    #[test]
    fn karney_2013_inverse_nearly_antipodal() {
        // Karney 2013, example: -30 to 29.9, 179.8 degrees apart.
        let line = point(-30.0, 0.0)
            .line_to(point(29.9, 179.8))
            .expect("apart");
        assert_abs_diff_eq!(line.bearing_deg, 161.890_524_736_33, epsilon = 1e-10);
        assert_abs_diff_eq!(
            line.reverse_bearing_deg,
            18.090_737_245_74 + 180.0,
            epsilon = 1e-10
        );
        assert_abs_diff_eq!(line.distance_m, 19_989_832.827_610, epsilon = 1e-6);
    }

    #[test]
    fn geographiclib_examples() {
        // GeographicLib 2.1 (the second is its documentation's example).
        let line = point(40.6, -73.8)
            .line_to(point(1.4, 104.0))
            .expect("apart");
        assert_abs_diff_eq!(line.bearing_deg, 3.261_289, epsilon = 1e-6);
        assert_abs_diff_eq!(line.distance_m, 15_347_674.108, epsilon = 1e-3);
        let line = point(-41.32, 174.81)
            .line_to(point(40.96, -5.50))
            .expect("apart");
        assert_abs_diff_eq!(line.bearing_deg, 161.067_670_0, epsilon = 1e-7);
        assert_abs_diff_eq!(line.distance_m, 19_959_679.267, epsilon = 1e-3);
    }

    #[test]
    fn flinders_peak_to_buninyong() {
        // ICSM / Geoscience Australia, GDA94 Technical Manual, check line of
        // Vincenty's formulas: 54972.271 m, 306 52 05.37, 127 10 25.07.
        let flinders = point(-dms(37.0, 57.0, 3.720_30), dms(144.0, 25.0, 29.524_40));
        let buninyong = point(-dms(37.0, 39.0, 10.156_10), dms(143.0, 55.0, 35.383_90));
        let line = flinders.line_to(buninyong).expect("apart");
        assert_abs_diff_eq!(line.distance_m, 54_972.271, epsilon = 1e-3);
        let arcsec = 1.0 / 3600.0;
        assert_abs_diff_eq!(
            line.bearing_deg,
            dms(306.0, 52.0, 5.37),
            epsilon = 0.01 * arcsec
        );
        assert_abs_diff_eq!(
            line.reverse_bearing_deg,
            dms(127.0, 10.0, 25.07),
            epsilon = 0.01 * arcsec
        );
    }

    #[test]
    fn meeus_11_c_paris_to_washington() {
        // Meeus, Astronomical Algorithms, 2nd ed., ex. 11.c: 6181.63 km.
        let paris = point(dms(48.0, 50.0, 11.0), dms(2.0, 20.0, 14.0));
        let washington = point(dms(38.0, 55.0, 17.0), -dms(77.0, 3.0, 56.0));
        let line = paris.line_to(washington).expect("apart");
        assert_abs_diff_eq!(line.distance_m, 6_181_630.0, epsilon = 10.0);
    }

    #[test]
    fn a_spherical_bearing_would_be_off_by_a_tenth_of_a_degree() {
        // At 45 degrees over 20 km the two differ by up to 0.096.
        let (from, to) = (point(45.0, 7.0), point(45.13, 7.18));
        let line = from.line_to(to).expect("apart");
        let (p, q, l) = (
            45.0_f64.to_radians(),
            45.13_f64.to_radians(),
            0.18_f64.to_radians(),
        );
        let spherical = (l.sin() * q.cos())
            .atan2(p.cos() * q.sin() - p.sin() * q.cos() * l.cos())
            .to_degrees();
        let apart = (line.bearing_deg - spherical).abs();
        assert!((0.08..0.1).contains(&apart), "{apart}");
    }

    #[test]
    fn what_is_no_place_is_refused() {
        assert!(GroundPoint::new(90.1, 0.0).is_err());
        assert!(GroundPoint::new(f64::NAN, 0.0).is_err());
        assert!(GroundPoint::new(0.0, f64::INFINITY).is_err());
        assert!(GroundPoint::new(0.0, 181.0).is_err());
        let here = point(10.0, 20.0);
        assert_eq!(here.line_to(here), None);
        assert!(here.destination(f64::NAN, 1.0).is_err());
        assert!(here.destination(0.0, -1.0).is_err());
        assert!(here.destination(0.0, f64::INFINITY).is_err());
    }

    proptest! {
        #[test]
        fn there_and_back_again(
            latitude in -89.0..89.0_f64,
            longitude in -180.0..180.0_f64,
            bearing in 0.0..360.0_f64,
            distance in 1.0..300_000.0_f64,
        ) {
            let from = point(latitude, longitude);
            let to = from.destination(bearing, distance).expect("finite").point;
            let line = from.line_to(to).expect("apart");
            prop_assert!((line.distance_m - distance).abs() < 1e-6);
            let off = (line.bearing_deg - bearing + 180.0).rem_euclid(360.0) - 180.0;
            prop_assert!(off.abs().to_radians() * distance < 1e-6);
            let back = to.line_to(from).expect("apart");
            prop_assert!((back.distance_m - line.distance_m).abs() < 1e-6);
            prop_assert!((back.bearing_deg - line.reverse_bearing_deg).abs() < 1e-6);
        }
    }
}
