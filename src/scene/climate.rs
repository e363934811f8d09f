//! How often the nights of a place are clear.

use super::value_error::ValueError;
use chrono::{Datelike, NaiveDate};

/// The twelve months, as messages name them.
pub(crate) const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The share of clear nights in each month of an average year.
///
/// What a clear night is, its source decides: here it is one in which the
/// picture can be taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Climate([f64; 12]);

impl Climate {
    /// The climate with these shares of clear nights, January to December, each
    /// from 0 to 1.
    ///
    /// # Errors
    ///
    /// The first share below 0 or above 1, or NaN.
    pub fn new(clear_nights: [f64; 12]) -> Result<Self, ValueError> {
        match clear_nights.iter().find(|share| !is_share(**share)) {
            Some(wrong) => Err(ValueError::new(
                &wrong.to_string(),
                "shares of clear nights from 0 to 1",
            )),
            None => Ok(Self(clear_nights.map(|share| share + 0.0))),
        }
    }

    /// The shares of clear nights, January to December, 0 to 1.
    pub fn clear_nights(&self) -> [f64; 12] {
        self.0
    }

    /// The chance that the night of this evening is clear, 0 to 1: the share of
    /// the evening's month, the same from its first evening to its last.
    pub fn clear_chance(&self, evening: NaiveDate) -> f64 {
        let month = usize::try_from(evening.month0()).unwrap_or(0);
        self.0.get(month).copied().unwrap_or(0.0)
    }

    /// How many of these nights are clear in an average year: the sum of their
    /// chances.
    pub fn expected_clear<'a>(&self, evenings: impl IntoIterator<Item = &'a NaiveDate>) -> f64 {
        let chances = evenings
            .into_iter()
            .map(|evening| self.clear_chance(*evening));
        // A sum begins at -0.
        chances.fold(0.0, |sum, chance| sum + chance)
    }
}

/// Whether a number can be a share of the whole.
fn is_share(share: f64) -> bool {
    (0.0..=1.0).contains(&share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_evening_has_the_share_of_its_month() {
        let shares = std::array::from_fn(|month| month as f64 / 20.0);
        let climate = Climate::new(shares).expect("shares");
        let date = |text: &str| text.parse::<NaiveDate>().expect("a date");
        for (evening, share) in [
            ("2027-01-01", 0.0),
            ("2027-01-31", 0.0),
            ("2028-02-29", 0.05),
            ("2027-12-31", 0.55),
        ] {
            assert_eq!(climate.clear_chance(date(evening)), share, "{evening}");
        }
    }

    #[test]
    fn no_climate_holds_what_is_no_share() {
        for wrong in [-0.01, 1.01, f64::NAN, f64::INFINITY] {
            let mut shares = [0.5; 12];
            shares[11] = wrong;
            assert!(Climate::new(shares).is_err(), "{wrong}");
        }
        let edges = Climate::new([0.0, 1.0, -0.0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5]);
        let third = edges.map(|climate| climate.clear_nights()[2]);
        assert!(third.is_ok_and(|zero| zero.is_sign_positive()));
    }
}
