//! Where a compass points at a site.

use super::Site;
use crate::{
    ephemeris::Moment,
    terrain::{MagneticError, MagneticField, decimal_year},
};

/// The eighth of the horizon in which a true bearing (degrees) points:
/// `north-west`.
pub fn compass_word(bearing_deg: f64) -> &'static str {
    const WORDS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    let eighth = (bearing_deg / 45.0).round().rem_euclid(8.0);
    WORDS.get(eighth as usize).copied().unwrap_or("north")
}

impl Site {
    /// The Earth's magnetic field at the site.
    ///
    /// # Errors
    ///
    /// A moment outside the years of the model.
    ///
    /// # Source
    ///
    /// [`MAGNETIC_MODEL`](crate::terrain::MAGNETIC_MODEL), used as in
    /// [`MagneticField::at`].
    pub fn magnetic_field(&self, moment: Moment) -> Result<MagneticField, MagneticError> {
        MagneticField::at(
            self.latitude_deg,
            self.longitude_deg,
            self.elevation_m,
            decimal_year(moment),
        )
    }

    /// How far magnetic north lies east of true north at the site, degrees,
    /// -180 to 180; `None` outside the years of the model.
    pub fn magnetic_declination_deg(&self, moment: Moment) -> Option<f64> {
        let field = self.magnetic_field(moment).ok()?;
        Some(field.declination_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(text: &str) -> Moment {
        Moment::from_utc(text.parse().expect("a time in the test"))
    }

    #[test]
    fn a_bearing_has_the_nearest_word() {
        for (bearing, word) in [
            (0.0, "north"),
            (22.4, "north"),
            (22.6, "north-east"),
            (228.0, "south-west"),
            (315.0, "north-west"),
            (337.6, "north"),
            (360.0, "north"),
        ] {
            assert_eq!(compass_word(bearing), word, "{bearing}");
        }
    }

    /// The values themselves are tested where the field is computed.
    #[test]
    fn a_site_has_the_declination_of_its_place() {
        let site = Site::new(-31.4, 139.2).expect("a place");
        let at = moment("2027-05-29T12:00:00Z");
        let field = MagneticField::at(-31.4, 139.2, 0.0, decimal_year(at)).expect("in range");
        assert_eq!(
            site.magnetic_declination_deg(at),
            Some(field.declination_deg)
        );
        assert_eq!(
            site.magnetic_declination_deg(moment("1995-01-01T00:00:00Z")),
            None
        );
    }
}
