//! What the subject covers of the view from the camera.

use super::site::{Site, SubjectPlace};
use crate::terrain::CurvedEarth;

/// Height of a lens above the ground where none is given, metres. Common
/// practice, no source.
pub const LENS_HEIGHT_M: f64 = 1.5;

/// Width over height of a subject whose width is not given. The project's
/// choice: wider than a tower, narrower than a barn.
const USUAL_WIDTH_PER_HEIGHT: f64 = 0.5;

/// What the subject covers of the view from the camera: an upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SubjectShape {
    /// True bearing of its middle, degrees.
    pub bearing_deg: f64,
    /// Apparent altitude of its foot, degrees; 0 where distance or elevation
    /// are not known.
    pub foot_deg: f64,
    /// Apparent altitude of its top, degrees; the foot's where its height or
    /// its distance is not known.
    pub top_deg: f64,
    /// Half its width, degrees of azimuth; 0 where its size or its distance is
    /// not known.
    pub half_width_deg: f64,
    /// Whether its width is not given, so that it is half its height.
    pub width_assumed: bool,
}

impl SubjectShape {
    /// Whether it is large enough to hide anything.
    pub fn is_solid(&self) -> bool {
        self.half_width_deg > 0.0 && self.top_deg > self.foot_deg
    }

    /// Whether a direction lies behind it: degrees, the azimuth true, the
    /// altitude apparent.
    pub fn hides(&self, azimuth_deg: f64, altitude_deg: f64) -> bool {
        let offset_deg = (azimuth_deg - self.bearing_deg + 180.0).rem_euclid(360.0) - 180.0;
        self.is_solid() && offset_deg.abs() < self.half_width_deg && altitude_deg < self.top_deg
    }
}

impl Site {
    /// Height of the subject's foot, metres: the camera's where none is given.
    pub fn subject_foot_m(&self) -> Option<f64> {
        Some(match self.subject.as_ref()?.place {
            SubjectPlace::Coordinates {
                elevation_m: Some(elevation_m),
                ..
            } => elevation_m,
            _ => self.elevation_m,
        })
    }

    /// The subject's width, metres, and whether it is only assumed.
    pub fn subject_width_m(&self) -> Option<(f64, bool)> {
        let subject = self.subject.as_ref()?;
        let assumed = || Some((USUAL_WIDTH_PER_HEIGHT * subject.height_m?, true));
        subject.width_m.map(|width| (width, false)).or_else(assumed)
    }

    /// What the subject covers of the view from a lens [`LENS_HEIGHT_M`] above
    /// the ground at the site; `None` without a subject.
    ///
    /// The Earth is curved and the air lifts the top as in [`CurvedEarth`].
    pub fn subject_shape(&self) -> Option<SubjectShape> {
        let bearing_deg = self.subject_bearing_deg()?;
        let subject = self.subject.as_ref()?;
        let (Some(distance_m), Some(foot_m)) = (self.subject_distance_m(), self.subject_foot_m())
        else {
            return Some(SubjectShape {
                bearing_deg,
                foot_deg: 0.0,
                top_deg: 0.0,
                half_width_deg: 0.0,
                width_assumed: false,
            });
        };
        let eye_m = self.elevation_m + LENS_HEIGHT_M;
        let earth = CurvedEarth::default();
        let altitude_deg = |height_m| earth.elevation_angle_deg(eye_m, height_m, distance_m);
        let top_m = foot_m + subject.height_m.unwrap_or(0.0);
        let (width_m, width_assumed) = self.subject_width_m().unwrap_or((0.0, false));
        Some(SubjectShape {
            bearing_deg,
            foot_deg: altitude_deg(foot_m),
            top_deg: altitude_deg(top_m),
            half_width_deg: (0.5 * width_m).atan2(distance_m).to_degrees(),
            width_assumed,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::site::Subject;
    use super::*;
    use approx::assert_abs_diff_eq;

    fn site(distance_m: Option<f64>, height_m: Option<f64>, width_m: Option<f64>) -> Site {
        let site = Site::new(-31.4, 139.2).expect("a place");
        site.with_subject(Subject {
            name: None,
            place: SubjectPlace::Bearing {
                bearing_deg: 350.0,
                distance_m,
            },
            height_m,
            width_m,
            reflectance: None,
            reflectance_measured: None,
        })
        .expect("a subject")
    }

    #[test]
    fn it_covers_what_its_size_and_distance_say() {
        let known = site(Some(100.0), Some(21.5), Some(20.0));
        let shape = known.subject_shape().expect("a subject");
        // Plane triangles; the curve of the Earth takes 0.7 mm at 100 m.
        assert_abs_diff_eq!(shape.foot_deg, -0.8594, epsilon = 1e-3);
        assert_abs_diff_eq!(shape.top_deg, 11.3099, epsilon = 1e-3);
        assert_abs_diff_eq!(shape.half_width_deg, 5.7106, epsilon = 1e-3);
        assert!(!shape.width_assumed);
        assert!(shape.hides(355.0, 11.0) && shape.hides(345.0, 3.0));
        assert!(!shape.hides(356.0, 3.0) && !shape.hides(350.0, 12.0));
        let assumed = site(Some(100.0), Some(20.0), None);
        let shape = assumed.subject_shape().expect("a subject");
        assert!(shape.width_assumed);
        assert_abs_diff_eq!(shape.half_width_deg, 2.8624, epsilon = 1e-3);
    }

    #[test]
    fn what_is_not_known_hides_nothing() {
        for site in [
            site(None, Some(20.0), Some(5.0)),
            site(Some(50.0), None, None),
        ] {
            let shape = site.subject_shape().expect("a subject");
            assert!(!shape.is_solid() && !shape.hides(350.0, -1.0));
        }
    }
}
