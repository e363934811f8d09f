//! Where a compass points.

use crate::ephemeris::Moment;
use chrono::Datelike;
use world_magnetic_model::{
    GeomagneticField,
    time::Date,
    uom::si::{
        angle::degree,
        f32::{Angle, Length},
        length::meter,
        magnetic_flux_density::nanotesla,
    },
};

/// The model in use: the US/UK World Magnetic Model.
pub const MAGNETIC_MODEL: &str = "WMM2025";
/// The decimal years for which it is made.
pub const MAGNETIC_MODEL_YEARS: std::ops::RangeInclusive<f64> = FIRST_YEAR..=LAST_YEAR;
const FIRST_YEAR: f64 = 2025.0;
const LAST_YEAR: f64 = 2030.0;
/// Heights the model is made for, metres.
const HEIGHT_M: std::ops::RangeInclusive<f64> = -1_000.0..=850_000.0;
/// Horizontal field below which compasses are unreliable, and below which they
/// need caution, nanotesla (WMM2025 report, section 1.8).
const BLACKOUT_NT: f64 = 2000.0;
const CAUTION_NT: f64 = 6000.0;

/// How far a compass can be trusted at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CompassZone {
    /// Horizontal field of 6000 nT or more.
    Reliable,
    /// 2000 to 6000 nT: a compass may be some degrees off.
    Caution,
    /// Below 2000 nT, around the magnetic poles: unreliable.
    Blackout,
}

/// The Earth's magnetic field at a place and date.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct MagneticField {
    /// Northward component (true north), nanotesla.
    pub north_nt: f64,
    /// Eastward component, nanotesla.
    pub east_nt: f64,
    /// Downward component, nanotesla.
    pub down_nt: f64,
    /// Declination: how far magnetic north lies east of true north, degrees,
    /// -180 to 180. Magnetic bearing = true bearing - declination.
    pub declination_deg: f64,
    /// One standard deviation of the declination, degrees: the model's own
    /// error and the rock and iron it does not know; 0.2 to 0.4 in most places.
    pub declination_uncertainty_deg: f64,
    /// How far a compass can be trusted there.
    pub zone: CompassZone,
}

/// Why no magnetic field is known.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MagneticError {
    /// The model does not cover that year.
    #[error(
        "no magnetic declination for {year:.1}: the World Magnetic Model in use is valid from {FIRST_YEAR:.1} to {LAST_YEAR:.1}"
    )]
    OutOfYears {
        /// The decimal year asked for.
        year: f64,
    },
    /// Not a latitude.
    #[error("latitude {0} is not within -90 to 90 degrees")]
    Latitude(f64),
    /// Not a longitude.
    #[error("longitude {0} is not within -180 to 180 degrees, east positive")]
    Longitude(f64),
    /// Too deep or too high.
    #[error("height {0} m is not within -1000 to 850000 m")]
    Height(f64),
}

impl MagneticField {
    /// The field at geodetic latitude and longitude (degrees, WGS84), height
    /// above the ellipsoid (metres) and decimal year (see [`decimal_year`]).
    ///
    /// Within 0.1 nT of the model's published test values. The model itself
    /// is good to some tenths of a degree; see
    /// [`Self::declination_uncertainty_deg`].
    ///
    /// # Errors
    ///
    /// A year outside 2025.0 to 2030.0, coordinates or a height out of range
    /// or not finite.
    ///
    /// # Source
    ///
    /// NOAA/NCEI and BGS, *The US/UK World Magnetic Model for 2025-2030*, in
    /// the crate `world_magnetic_model`.
    pub fn at(
        latitude_deg: f64,
        longitude_deg: f64,
        height_m: f64,
        year: f64,
    ) -> Result<Self, MagneticError> {
        if !(FIRST_YEAR..=LAST_YEAR).contains(&year) {
            return Err(MagneticError::OutOfYears { year });
        }
        if !(-90.0..=90.0).contains(&latitude_deg) {
            return Err(MagneticError::Latitude(latitude_deg));
        }
        if !(-180.0..=180.0).contains(&longitude_deg) {
            return Err(MagneticError::Longitude(longitude_deg));
        }
        if !HEIGHT_M.contains(&height_m) {
            return Err(MagneticError::Height(height_m));
        }
        let on_day = |year: i32, ordinal: u16| {
            let date = Date::from_ordinal_date(year, ordinal).ok()?;
            GeomagneticField::new(
                Length::new::<meter>(height_m as f32),
                Angle::new::<degree>(latitude_deg as f32),
                Angle::new::<degree>(longitude_deg as f32),
                date,
            )
            .ok()
        };
        // The crate accepts whole days, and a day changes up to 0.3 nT; the
        // model is linear in time, so two days give every instant.
        let (Some(first), Some(last)) = (on_day(2025, 1), on_day(2029, 365)) else {
            // Impossible: every input was checked against the model's ranges.
            return Err(MagneticError::OutOfYears { year });
        };
        let share = (year - FIRST_YEAR) / (LAST_YEAR - FIRST_YEAR - 1.0 / 365.0);
        let between = |a: f32, b: f32| f64::from(a) + share * (f64::from(b) - f64::from(a));
        let part = |of: fn(&GeomagneticField) -> f32| between(of(&first), of(&last));
        let north_nt = part(|field| field.x().get::<nanotesla>());
        let east_nt = part(|field| field.y().get::<nanotesla>());
        let down_nt = part(|field| field.z().get::<nanotesla>());
        let horizontal_nt = north_nt.hypot(east_nt);
        let uncertainty =
            |field: &GeomagneticField| field.declination_uncertainty().get::<degree>();
        Ok(Self {
            north_nt,
            east_nt,
            down_nt,
            declination_deg: east_nt.atan2(north_nt).to_degrees(),
            declination_uncertainty_deg: f64::from(uncertainty(&first).max(uncertainty(&last))),
            zone: match horizontal_nt {
                h if h < BLACKOUT_NT => CompassZone::Blackout,
                h if h < CAUTION_NT => CompassZone::Caution,
                _ => CompassZone::Reliable,
            },
        })
    }

    /// The horizontal field, nanotesla.
    pub fn horizontal_nt(&self) -> f64 {
        self.north_nt.hypot(self.east_nt)
    }

    /// What a compass shows toward the true bearing `true_bearing_deg`,
    /// degrees, 0 to 360.
    pub fn magnetic_bearing_deg(&self, true_bearing_deg: f64) -> f64 {
        super::geodesic::full_circle(true_bearing_deg - self.declination_deg)
    }
}

/// The decimal year whose declination counts where a bearing is typed or
/// written as magnetic: the middle of the model's years. In most places the
/// declination is within half a degree of it through all of them, and nobody
/// says when a compass was read.
pub const MAGNETIC_YEAR: f64 = (FIRST_YEAR + LAST_YEAR) / 2.0;

/// The declination of [`MAGNETIC_YEAR`] at a place, degrees, east positive;
/// `None` where a compass is of no use.
pub(crate) fn usual_declination_deg(
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
) -> Option<f64> {
    let field = MagneticField::at(latitude_deg, longitude_deg, elevation_m, MAGNETIC_YEAR).ok()?;
    (field.zone != CompassZone::Blackout).then_some(field.declination_deg)
}

/// The decimal year of `moment`: 2027.5 is the middle of 2027.
pub fn decimal_year(moment: Moment) -> f64 {
    let utc = moment.to_utc();
    let start = |year: i32| {
        chrono::NaiveDate::from_ymd_opt(year, 1, 1)
            .map(|day| Moment::from_utc(day.and_time(chrono::NaiveTime::MIN).and_utc()).seconds())
    };
    let year = utc.year();
    match (start(year), start(year + 1)) {
        (Some(from), Some(to)) => f64::from(year) + (moment.seconds() - from) / (to - from),
        // Beyond chrono's years, a quarter of a million of them.
        _ => f64::from(year),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn published_test_values() {
        // NOAA/NCEI and BGS, The US/UK World Magnetic Model for 2025-2030,
        // table of test values: year, km, latitude, longitude, X, Y, Z, D.
        for (year, km, latitude, longitude, x, y, z, d) in [
            (2025.0, 0.0, 80.0, 0.0, 6521.6, 145.9, 54791.5, 1.28),
            (2025.0, 0.0, 0.0, 120.0, 39677.8, -109.6, -10580.2, -0.16),
            (2025.0, 0.0, -80.0, 240.0, 6117.5, 15751.9, -52022.5, 68.78),
            (2025.0, 100.0, 80.0, 0.0, 6216.0, 92.4, 52598.8, 0.85),
            (2025.0, 100.0, 0.0, 120.0, 37688.6, -96.2, -10152.1, -0.15),
            (
                2025.0, 100.0, -80.0, 240.0, 5907.6, 14780.3, -49540.7, 68.21,
            ),
            (2027.5, 0.0, 80.0, 0.0, 6500.8, 294.5, 54869.4, 2.59),
            (2027.5, 0.0, 0.0, 120.0, 39701.6, -167.4, -10381.8, -0.24),
            (2027.5, 0.0, -80.0, 240.0, 6200.7, 15730.3, -51783.7, 68.49),
            (2027.5, 100.0, 80.0, 0.0, 6196.7, 233.8, 52670.5, 2.16),
            (2027.5, 100.0, 0.0, 120.0, 37711.5, -148.7, -9969.8, -0.23),
            (
                2027.5, 100.0, -80.0, 240.0, 5984.0, 14760.1, -49317.7, 67.93,
            ),
        ] {
            let longitude = if longitude > 180.0 {
                longitude - 360.0
            } else {
                longitude
            };
            let field =
                MagneticField::at(latitude, longitude, km * 1000.0, year).expect("in range");
            assert_abs_diff_eq!(field.north_nt, x, epsilon = 0.1);
            assert_abs_diff_eq!(field.east_nt, y, epsilon = 0.1);
            assert_abs_diff_eq!(field.down_nt, z, epsilon = 0.1);
            assert_abs_diff_eq!(field.declination_deg, d, epsilon = 0.01);
            assert_eq!(field.zone, CompassZone::Reliable);
        }
        // One full-precision row of the coefficient archive.
        let field = MagneticField::at(43.0, 93.0, 65_000.0, 2025.0).expect("in range");
        assert_abs_diff_eq!(field.north_nt, 24_299.852_822, epsilon = 0.1);
        assert_abs_diff_eq!(field.east_nt, 210.517_066, epsilon = 0.1);
        assert_abs_diff_eq!(field.down_nt, 50_037.923_998, epsilon = 0.1);
        assert_abs_diff_eq!(field.declination_deg, 0.50, epsilon = 0.01);
    }

    #[test]
    fn outside_its_years_it_says_so() {
        for year in [2024.99, 2030.01, 1900.0, f64::NAN, f64::INFINITY] {
            let error = MagneticField::at(-31.4, 139.2, 120.0, year);
            assert!(
                matches!(error, Err(MagneticError::OutOfYears { .. })),
                "{year}"
            );
        }
        assert!(MagneticField::at(-31.4, 139.2, 120.0, 2030.0).is_ok());
        let error = MagneticField::at(-31.4, 139.2, 120.0, 2031.0).expect_err("too late");
        assert!(error.to_string().contains("2025.0 to 2030.0"));
        for (latitude, longitude, height) in [
            (f64::NAN, 0.0, 0.0),
            (90.5, 0.0, 0.0),
            (0.0, 200.0, 0.0),
            (0.0, 0.0, f64::NAN),
            (0.0, 0.0, 1e7),
        ] {
            assert!(MagneticField::at(latitude, longitude, height, 2026.0).is_err());
        }
    }

    #[test]
    fn compass_zones_around_the_magnetic_poles() {
        // WMM2025 report: the north magnetic pole lay at 85.8 N, 139.3 E at
        // 2025.0, the south at 63.9 S, 135.1 E (from memory).
        let zone = |latitude, longitude| {
            MagneticField::at(latitude, longitude, 0.0, 2025.0)
                .expect("in range")
                .zone
        };
        assert_eq!(zone(85.8, 139.3), CompassZone::Blackout);
        assert_eq!(zone(-63.9, 135.1), CompassZone::Blackout);
        assert_eq!(zone(-68.5, 135.1), CompassZone::Caution);
        assert_eq!(zone(-31.4, 139.2), CompassZone::Reliable);
        let pole = MagneticField::at(-63.9, 135.1, 0.0, 2025.0).expect("in range");
        assert!(pole.horizontal_nt() < 200.0, "{}", pole.horizontal_nt());
    }

    #[test]
    fn magnetic_bearing_is_true_less_declination() {
        let field = MagneticField::at(-80.0, -120.0, 0.0, 2025.0).expect("in range");
        assert_abs_diff_eq!(field.magnetic_bearing_deg(100.0), 31.22, epsilon = 0.01);
        assert_abs_diff_eq!(field.magnetic_bearing_deg(10.0), 301.22, epsilon = 0.01);
    }

    /// What is said of [`MAGNETIC_YEAR`]: in most places the years change little.
    #[test]
    fn the_declination_of_the_middle_year_holds_for_the_others() {
        let (mut near, mut all) = (0, 0);
        for latitude in (-6..=6).map(|step| 10.0 * f64::from(step)) {
            for longitude in (-18..18).map(|step| 10.0 * f64::from(step)) {
                let at = |year| {
                    let field = MagneticField::at(latitude, longitude, 0.0, year);
                    field.expect("in range").declination_deg
                };
                let usual = usual_declination_deg(latitude, longitude, 0.0).expect("a compass");
                all += 1;
                let turned = [FIRST_YEAR, LAST_YEAR].map(|year| (at(year) - usual).abs());
                near += i32::from(turned.iter().all(|degrees| *degrees < 0.5));
            }
        }
        assert!(10 * near >= 9 * all, "{near} of {all}");
    }

    #[test]
    fn decimal_years_of_whole_years() {
        let at =
            |text: &str| decimal_year(Moment::from_utc(text.parse().expect("a time in the test")));
        assert_abs_diff_eq!(at("2025-01-01T00:00:00Z"), 2025.0, epsilon = 1e-9);
        assert_abs_diff_eq!(at("2027-07-02T12:00:00Z"), 2027.5, epsilon = 1e-9);
        assert_abs_diff_eq!(at("2028-07-02T00:00:00Z"), 2028.5, epsilon = 1e-9);
        assert!(at("2029-12-31T23:59:59Z") < 2030.0);
    }
}
