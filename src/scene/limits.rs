//! The limits that a site's numbers keep, whoever gives them.

use super::coordinates::check_coordinates;
use super::site::{Site, SubjectPlace};
use super::value_error::ValueError;
use crate::terrain::GROUND_HEIGHTS_M;

/// A lowest and a highest value, both allowed.
pub(crate) type Limits = (f64, f64);

/// Elevation of a camera or of a subject's foot, metres.
pub(crate) const ELEVATIONS_M: Limits = (GROUND_HEIGHTS_M.0 as f64, GROUND_HEIGHTS_M.1 as f64);
/// Distance to a subject, metres.
pub(crate) const DISTANCES_M: Limits = (0.1, 200_000.0);
/// Height of a subject, metres.
pub(crate) const HEIGHTS_M: Limits = (0.01, 9000.0);
/// Diffuse reflectance.
pub(crate) const REFLECTANCES: Limits = (0.0, 1.0);
/// Zenith brightness of the dark sky, V mag/arcsec2.
pub(crate) const ZENITH_MAGS: Limits = (14.0, 22.5);
/// Extinction, V magnitudes per air mass.
pub(crate) const EXTINCTIONS_MAG: Limits = (0.05, 2.0);
/// Air pressure, hPa.
pub(crate) const PRESSURES_HPA: Limits = (200.0, 1100.0);
/// Air temperature, degrees Celsius.
pub(crate) const TEMPERATURES_C: Limits = (-90.0, 60.0);

/// A site's number that is outside its limits, or none at all.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {error}")]
#[non_exhaustive]
pub struct SiteError {
    /// The key of the site file that it would be read from.
    pub key: &'static str,
    /// What is wrong with it.
    pub error: ValueError,
}

/// What is wrong with a number under `key`, if anything.
fn check(key: &'static str, value: Option<f64>, limits: Limits) -> Result<(), SiteError> {
    let (low, high) = limits;
    match value {
        Some(value) if !(low..=high).contains(&value) => {
            let expected = format!("a number from {low} to {high}");
            let error = ValueError::new(&value.to_string(), expected);
            Err(SiteError { key, error })
        }
        _ => Ok(()),
    }
}

fn check_place(
    keys: [&'static str; 2],
    latitude_deg: f64,
    longitude_deg: f64,
) -> Result<(), SiteError> {
    let (latitude, longitude) = check_coordinates(Some(latitude_deg), Some(longitude_deg));
    let [of_latitude, of_longitude] = keys;
    let wrong = latitude
        .map(|error| (of_latitude, error))
        .or(longitude.map(|error| (of_longitude, error)));
    wrong.map_or(Ok(()), |(key, error)| Err(SiteError { key, error }))
}

impl Site {
    /// Whether every number of the site is one that can be; what a site file
    /// gives always is.
    ///
    /// # Errors
    ///
    /// The first number that is outside its limits, or none (NaN).
    pub fn check(&self) -> Result<(), SiteError> {
        let keys = ["latitude_deg", "longitude_deg"];
        check_place(keys, self.latitude_deg, self.longitude_deg)?;
        check("elevation_m", Some(self.elevation_m), ELEVATIONS_M)?;
        let (sky, air) = (&self.sky, &self.air);
        let zenith = Some(sky.zenith_mag_arcsec2);
        check("sky.zenith_mag_arcsec2", zenith, ZENITH_MAGS)?;
        let extinction = Some(sky.extinction_mag);
        check("sky.extinction_mag", extinction, EXTINCTIONS_MAG)?;
        check("air.pressure_hpa", Some(air.pressure_hpa), PRESSURES_HPA)?;
        check("air.temperature_c", Some(air.temperature_c), TEMPERATURES_C)?;
        let Some(subject) = &self.subject else {
            return Ok(());
        };
        check("subject.height_m", subject.height_m, HEIGHTS_M)?;
        check("subject.reflectance", subject.reflectance, REFLECTANCES)?;
        match subject.place {
            SubjectPlace::Bearing {
                bearing_deg,
                distance_m,
            } => {
                check("subject.bearing_deg", Some(bearing_deg), (0.0, 360.0))?;
                check("subject.distance_m", distance_m, DISTANCES_M)
            }
            SubjectPlace::Coordinates {
                latitude_deg,
                longitude_deg,
                elevation_m,
            } => {
                let keys = ["subject.latitude_deg", "subject.longitude_deg"];
                check_place(keys, latitude_deg, longitude_deg)?;
                check("subject.elevation_m", elevation_m, ELEVATIONS_M)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Subject;

    #[test]
    fn a_site_that_cannot_be_is_refused_whatever_is_wrong_with_it() {
        let good = || Site::new(-31.4, 139.2).expect("a place");
        for place in [
            (f64::NAN, 0.0),
            (91.0, 0.0),
            (0.0, 181.0),
            (0.0, f64::INFINITY),
        ] {
            assert!(Site::new(place.0, place.1).is_err(), "{place:?}");
        }
        let changes: [fn(&mut Site); 6] = [
            |site| site.latitude_deg = f64::NAN,
            |site| site.elevation_m = 1e6,
            |site| site.sky.zenith_mag_arcsec2 = f64::NAN,
            |site| site.air.pressure_hpa = 0.0,
            |site| site.air.temperature_c = f64::NEG_INFINITY,
            |site| {
                site.subject = Some(Subject {
                    name: None,
                    place: SubjectPlace::Bearing {
                        bearing_deg: f64::NAN,
                        distance_m: None,
                    },
                    height_m: None,
                    reflectance: None,
                });
            },
        ];
        assert_eq!(good().check(), Ok(()));
        for change in changes {
            let mut site = good();
            change(&mut site);
            assert!(site.check().is_err(), "{site:?}");
        }
    }
}
