//! Bearings as people type them: true, or magnetic as a compass shows them.

use super::number::number;
use super::value_error::ValueError;
use crate::terrain::{full_circle, usual_declination_deg};

/// A bearing with the north that it is counted from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Bearing {
    /// Degrees from true north.
    True(f64),
    /// Degrees from magnetic north, wherever that is.
    Magnetic(f64),
}

/// What may stand behind a bearing, in lower case; the longer first.
const SUFFIXES: [(&str, bool); 5] = [
    ("magnetic", true),
    ("mag", true),
    ("m", true),
    ("true", false),
    ("t", false),
];

impl Bearing {
    /// The bearing in a text that names its north, `148M`, `148 magnetic`,
    /// `148T`, `148 true`; `None` for a number alone and for anything else.
    ///
    /// Degrees from 0 to below 360.
    pub fn with_north(text: &str) -> Option<Self> {
        let text = text.trim();
        // Nearly every bearing is a number alone.
        if !text.ends_with(|c: char| c.is_ascii_alphabetic()) {
            return None;
        }
        let lower = text.to_ascii_lowercase();
        let (digits, is_magnetic) = SUFFIXES
            .iter()
            .find_map(|(suffix, is_magnetic)| Some((lower.strip_suffix(suffix)?, *is_magnetic)))?;
        let digits = digits.trim_end();
        let digits = digits.strip_suffix(['\u{b0}', '\u{ba}']).unwrap_or(digits);
        let degrees = number(digits.trim_end()).filter(|value| (0.0..=360.0).contains(value))?;
        let degrees = degrees.rem_euclid(360.0);
        Some(match is_magnetic {
            true => Self::Magnetic(degrees),
            false => Self::True(degrees),
        })
    }

    /// The true bearing at a place (degrees, metres).
    ///
    /// # Errors
    ///
    /// A magnetic bearing where a compass is of no use.
    pub fn true_deg(
        self,
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: f64,
    ) -> Result<f64, ValueError> {
        match self {
            Self::True(degrees) => Ok(degrees),
            Self::Magnetic(degrees) => {
                usual_declination_deg(latitude_deg, longitude_deg, elevation_m)
                    .map(|declination| {
                        // Finer than any compass, and short when it is printed.
                        let true_deg = (1000.0 * (degrees + declination)).round() / 1000.0;
                        full_circle(true_deg)
                    })
                    .ok_or_else(|| {
                        let found = format!("{degrees} magnetic near a magnetic pole");
                        ValueError::new(&found, "a true bearing where a compass is of no use")
                            .with_remedy(format!("for example {degrees}T"))
                    })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_north_is_told_by_a_letter_or_a_word() {
        for text in [
            "148M",
            "148 M",
            "148m",
            "148\u{b0}M",
            "148 magnetic",
            "148 mag",
        ] {
            assert_eq!(
                Bearing::with_north(text),
                Some(Bearing::Magnetic(148.0)),
                "{text}"
            );
        }
        for text in ["148T", "148 true", "148.0 t"] {
            assert_eq!(
                Bearing::with_north(text),
                Some(Bearing::True(148.0)),
                "{text}"
            );
        }
        for text in ["148", "M", "400M", "-5M", "148 metric", "nanM", "subject"] {
            assert_eq!(Bearing::with_north(text), None, "{text}");
        }
    }
}
