//! Lengths as people type them: a number, with or without a unit.

use super::number::{number, number_within, tidy};
use super::value_error::ValueError;

/// A unit of length that can be typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// The metre.
    Metre,
    /// The kilometre.
    Kilometre,
    /// The international foot, 0.3048 m.
    Foot,
    /// The international yard, 0.9144 m.
    Yard,
    /// The international mile, 1609.344 m.
    Mile,
}

/// Every word for a unit, in lower case.
const WORDS: [(&str, LengthUnit); 18] = [
    ("m", LengthUnit::Metre),
    ("metre", LengthUnit::Metre),
    ("metres", LengthUnit::Metre),
    ("meter", LengthUnit::Metre),
    ("meters", LengthUnit::Metre),
    ("km", LengthUnit::Kilometre),
    ("kilometres", LengthUnit::Kilometre),
    ("kilometers", LengthUnit::Kilometre),
    ("ft", LengthUnit::Foot),
    ("foot", LengthUnit::Foot),
    ("feet", LengthUnit::Foot),
    ("'", LengthUnit::Foot),
    ("yd", LengthUnit::Yard),
    ("yards", LengthUnit::Yard),
    ("mi", LengthUnit::Mile),
    ("mile", LengthUnit::Mile),
    ("miles", LengthUnit::Mile),
    ("\u{2032}", LengthUnit::Foot),
];

impl LengthUnit {
    /// How many metres it has: exact, by the international yard and pound
    /// agreement of 1959.
    pub const fn metres(self) -> f64 {
        match self {
            Self::Metre => 1.0,
            Self::Kilometre => 1000.0,
            Self::Foot => 0.3048,
            Self::Yard => 0.9144,
            Self::Mile => 1609.344,
        }
    }

    /// Its sign: `m`, `km`, `ft`, `yd`, `mi`.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Kilometre => "km",
            Self::Foot => "ft",
            Self::Yard => "yd",
            Self::Mile => "mi",
        }
    }
}

/// A text's number and the unit behind it; `None` where no unit stands there.
fn number_and_unit(text: &str) -> Option<(&str, LengthUnit)> {
    let text = text.trim();
    let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
    let (digits, word) = text.split_at_checked(end)?;
    if word.is_empty() {
        return None;
    }
    let word = word.trim().to_ascii_lowercase();
    let (_, unit) = WORDS.iter().find(|(known, _)| *known == word)?;
    Some((digits.trim(), *unit))
}

/// Whether a text ends with a number and a unit.
pub(crate) fn has_unit(text: &str) -> bool {
    number_and_unit(text).is_some()
}

/// The length in a text that has a unit, metres; `None` where it has none or
/// no number.
pub(crate) fn metres_with_unit(text: &str) -> Option<f64> {
    let (digits, unit) = number_and_unit(text)?;
    let plain = digits.replace('\u{2212}', "-");
    number(&plain).map(|value| tidy(value * unit.metres()))
}

/// The length in `text`, in `unit`, which counts where the text has no unit of
/// its own; it must lie from `low` to `high` of them.
///
/// # Errors
///
/// Text that is no length, and lengths outside.
///
/// # Example
///
/// ```
/// use rakelight::scene::{LengthUnit, length_within};
/// assert_eq!(length_within("6230 ft", LengthUnit::Metre, -500.0, 9000.0), Ok(1898.904));
/// assert_eq!(length_within("2mi", LengthUnit::Kilometre, 0.0, 10.0), Ok(3.218688));
/// ```
pub fn length_within(text: &str, unit: LengthUnit, low: f64, high: f64) -> Result<f64, ValueError> {
    let Some((digits, _)) = number_and_unit(text) else {
        return number_within(text, low, high);
    };
    let expected = || format!("a number from {low} to {high}, or a length with its unit");
    match metres_with_unit(text).map(|metres| tidy(metres / unit.metres())) {
        Some(value) if (low..=high).contains(&value) => Ok(value),
        Some(_) => {
            let sign = unit.sign();
            Err(ValueError::new(
                text.trim(),
                format!("a length from {low} {sign} to {high} {sign}"),
            ))
        }
        None => Err(ValueError::new(text.trim(), expected()).with_hint(comma_hint(text, digits))),
    }
}

/// What a comma in a number with a unit may mean: `6,230 ft`.
pub(crate) fn comma_hint(text: &str, digits: &str) -> Option<String> {
    let (whole, rest) = digits.split_once(',')?;
    let unit = text.trim().get(digits.len()..)?;
    let decimal = format!("{whole}.{rest}{unit}");
    let joined = format!("{whole}{rest}{unit}");
    metres_with_unit(&decimal)?;
    Some(match rest.len() {
        3 => format!("a comma has two readings: write {joined} or {decimal}"),
        _ => format!("write {decimal}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_read_and_numbers_without_one_are_in_the_units_of_the_key() {
        let metres = |text| length_within(text, LengthUnit::Metre, -500.0, 9000.0);
        for (text, value) in [
            ("1900", 1900.0),
            ("1900 m", 1900.0),
            ("1900m", 1900.0),
            ("1.9 km", 1900.0),
            ("6230 ft", 1898.904),
            ("100 feet", 30.48),
            ("\u{2212}10 ft", -3.048),
            ("2 mi", 3218.688),
            ("100 yd", 91.44),
        ] {
            assert_eq!(metres(text), Ok(value), "{text}");
        }
        let kilometres = |text| length_within(text, LengthUnit::Kilometre, 0.0, 10.0);
        assert_eq!(kilometres("5"), Ok(5.0));
        assert_eq!(kilometres("500 m"), Ok(0.5));
    }

    #[test]
    fn what_is_no_length_is_refused_with_the_remedy() {
        for (text, message) in [
            (
                "6,230 ft",
                "found 6,230 ft, expected a number from -500 to 9000, or a length with its unit; \
                 a comma has two readings: write 6230 ft or 6.230 ft",
            ),
            (
                "1,9 km",
                "found 1,9 km, expected a number from -500 to 9000, or a length with its unit; \
                 write 1.9 km",
            ),
            (
                "40000 ft",
                "found 40000 ft, expected a length from -500 m to 9000 m",
            ),
        ] {
            let error = length_within(text, LengthUnit::Metre, -500.0, 9000.0).expect_err(text);
            assert_eq!(error.to_string(), message);
        }
    }
}
