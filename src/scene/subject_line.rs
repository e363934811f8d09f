//! The line from the camera to the subject.

use super::site::{Site, SubjectPlace};
use crate::terrain::{GeodesicLine, GroundPoint};

impl Site {
    /// True bearing of the subject from the camera, degrees from north through
    /// east; `None` without a subject, or if it stands where the camera stands.
    ///
    /// From coordinates it is the azimuth of the geodesic on WGS84 (Karney, J.
    /// Geodesy 87, 43, 2013).
    pub fn subject_bearing_deg(&self) -> Option<f64> {
        match self.subject.as_ref()?.place {
            SubjectPlace::Bearing { bearing_deg, .. } => Some(bearing_deg),
            SubjectPlace::Coordinates { .. } => self.subject_line().map(|line| line.bearing_deg),
        }
    }

    /// Distance of the subject over the ground, metres, where it is known.
    pub fn subject_distance_m(&self) -> Option<f64> {
        match self.subject.as_ref()?.place {
            SubjectPlace::Bearing { distance_m, .. } => distance_m,
            SubjectPlace::Coordinates { .. } => self.subject_line().map(|line| line.distance_m),
        }
    }

    /// The geodesic to a subject given by its coordinates.
    fn subject_line(&self) -> Option<GeodesicLine> {
        let SubjectPlace::Coordinates {
            latitude_deg,
            longitude_deg,
            ..
        } = self.subject.as_ref()?.place
        else {
            return None;
        };
        let camera = GroundPoint::new(self.latitude_deg, self.longitude_deg).ok()?;
        let subject = GroundPoint::new(latitude_deg, longitude_deg).ok()?;
        camera.line_to(subject)
    }
}

#[cfg(test)]
mod tests {
    use super::super::site::Subject;
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn flinders_peak_to_buninyong() {
        // Check line of the GDA94 Technical Manual (ICSM / Geoscience
        // Australia), after Vincenty, Survey Review 23 (176), 88 (1975);
        // GRS80 there, on WGS84 the same to a millimetre.
        let dms = |d: f64, m: f64, s: f64| d + m / 60.0 + s / 3600.0;
        let mut site =
            Site::new(-dms(37.0, 57.0, 3.72030), dms(144.0, 25.0, 29.52440)).expect("a place");
        site.subject = Some(Subject {
            name: None,
            place: SubjectPlace::Coordinates {
                latitude_deg: -dms(37.0, 39.0, 10.15610),
                longitude_deg: dms(143.0, 55.0, 35.38390),
                elevation_m: None,
            },
            height_m: None,
            width_m: None,
            reflectance: None,
            reflectance_measured: None,
        });
        let (bearing, distance) = (site.subject_bearing_deg(), site.subject_distance_m());
        assert_abs_diff_eq!(distance.expect("a distance"), 54_972.271, epsilon = 0.001);
        let published = dms(306.0, 52.0, 5.37);
        assert_abs_diff_eq!(
            bearing.expect("a bearing"),
            published,
            epsilon = 0.01 / 3600.0
        );
    }
}
