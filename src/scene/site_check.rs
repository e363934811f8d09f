//! Sites made of possible numbers.

use super::coordinates::{check_coordinates, coordinate_name};
use super::limits::{
    DISTANCES_M, ELEVATIONS_M, EXTINCTIONS_MAG, GLOW_ALTITUDES_DEG, GLOW_HALF_WIDTHS_DEG,
    GLOW_MAGS, HEIGHTS_M, Limits, PRESSURES_HPA, REFLECTANCES, SiteError, TEMPERATURES_C, WIDTHS_M,
    ZENITH_MAGS,
};
use super::site::{Air, Site, Subject, SubjectPlace};
use super::value_error::ValueError;
use super::zone::Zone;
use super::zone_of_place::{ZoneFrom, zone_of_place};

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
    /// A place at sea level of which nothing else is known: UTC, no subject,
    /// every default. Degrees; north and east positive.
    ///
    /// # Errors
    ///
    /// A latitude beyond 90 degrees or a longitude beyond 180, or NaN.
    pub fn new(latitude_deg: f64, longitude_deg: f64) -> Result<Self, SiteError> {
        let name = coordinate_name(latitude_deg, longitude_deg);
        let zone = (Zone::UTC, ZoneFrom::Nobody);
        let site = Self::bare(name, latitude_deg, longitude_deg, 0.0, zone);
        site.check()?;
        Ok(site)
    }

    /// This site at an elevation, metres, in the air usual there.
    ///
    /// # Errors
    ///
    /// An elevation beyond -500 to 9000 metres.
    pub fn with_elevation_m(mut self, elevation_m: f64) -> Result<Self, SiteError> {
        self.elevation_m = elevation_m;
        self.air = Air::standard(elevation_m);
        self.check()?;
        Ok(self)
    }

    /// This site in a time zone.
    #[must_use]
    pub fn with_zone(mut self, zone: Zone) -> Self {
        self.zone = zone;
        self.zone_from = ZoneFrom::Given;
        self
    }

    /// This site in the time zone of its place, see [`zone_of_place`].
    ///
    /// # Errors
    ///
    /// A place near a border at which clocks change, or where several clocks are
    /// in use.
    pub fn with_zone_of_place(mut self) -> Result<Self, SiteError> {
        let found = zone_of_place(self.latitude_deg, self.longitude_deg);
        (self.zone, self.zone_from) =
            found.map_err(|unclear| unclear.to_site_error(|zone| format!("give {zone}")))?;
        Ok(self)
    }

    /// This site with a subject.
    ///
    /// # Errors
    ///
    /// A subject with a number outside its limits.
    pub fn with_subject(mut self, subject: Subject) -> Result<Self, SiteError> {
        self.subject = Some(subject);
        self.check()?;
        Ok(self)
    }

    /// Checks that every number of the site is possible; those of a site file
    /// always are.
    ///
    /// # Errors
    ///
    /// The first number that is outside its limits or NaN.
    pub fn check(&self) -> Result<(), SiteError> {
        let keys = ["latitude_deg", "longitude_deg"];
        check_place(keys, self.latitude_deg, self.longitude_deg)?;
        check("elevation_m", Some(self.elevation_m), ELEVATIONS_M)?;
        let (sky, air) = (&self.sky, &self.air);
        let zenith = Some(sky.zenith_mag_arcsec2);
        check("sky.zenith_mag_arcsec2", zenith, ZENITH_MAGS)?;
        let extinction = Some(sky.extinction_mag);
        check("sky.extinction_mag", extinction, EXTINCTIONS_MAG)?;
        for glow in &self.sky_glow {
            check("sky.glow", Some(glow.bearing_deg), (0.0, 360.0))?;
            check("sky.glow", Some(glow.half_width_deg), GLOW_HALF_WIDTHS_DEG)?;
            check("sky.glow", Some(glow.top_altitude_deg), GLOW_ALTITUDES_DEG)?;
            check("sky.glow", Some(glow.mag_arcsec2), GLOW_MAGS)?;
        }
        check("air.pressure_hpa", Some(air.pressure_hpa), PRESSURES_HPA)?;
        check("air.temperature_c", Some(air.temperature_c), TEMPERATURES_C)?;
        let Some(subject) = &self.subject else {
            return Ok(());
        };
        check("subject.height_m", subject.height_m, HEIGHTS_M)?;
        check("subject.width_m", subject.width_m, WIDTHS_M)?;
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
                    width_m: None,
                    reflectance: None,
                    reflectance_measured: None,
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
