//! Numbers as people type them.

use super::value_error::ValueError;

/// What is said of `nan` and `inf`.
pub(crate) const NO_NUMBERS: &str = "nan and inf are not accepted";

/// The finite number that `text` spells, or nothing.
///
/// The text must begin and end with a digit: `5.` and `.5` are refused, so a
/// band like `1...5` has only one reading; `nan` and `inf` are no numbers here.
pub(crate) fn number(text: &str) -> Option<f64> {
    if let Some(value) = short_number(text.as_bytes()) {
        return Some(value);
    }
    let body = text.strip_prefix(['-', '+']).unwrap_or(text);
    let plain = body
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | 'e' | 'E' | '+' | '-'));
    let digits_at_ends = body.starts_with(|c: char| c.is_ascii_digit())
        && body.ends_with(|c: char| c.is_ascii_digit());
    if !plain || !digits_at_ends {
        return None;
    }
    let value: f64 = text.parse().ok()?;
    // Adding zero turns -0 into 0, so that it prints as people expect.
    value.is_finite().then_some(value + 0.0)
}

/// The number of [`number`], where it is up to fifteen digits with a point among
/// them or none: whole number and power of ten are exact, and so their quotient is
/// the nearest number.
pub(crate) fn short_number(text: &[u8]) -> Option<f64> {
    const MOST_DIGITS: usize = 15;
    const POWERS: [f64; MOST_DIGITS] = [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14,
    ];
    let (is_negative, body) = match text {
        [b'-', body @ ..] => (true, body),
        body => (false, body),
    };
    if body.len() > MOST_DIGITS {
        return None;
    }
    let mut whole = 0_i64;
    let mut decimals = None;
    for byte in body {
        match byte {
            b'0'..=b'9' => {
                whole = 10 * whole + i64::from(byte - b'0');
                decimals = decimals.map(|count| count + 1);
            }
            // Not the first sign, and not a second point.
            b'.' if decimals.is_none() && body.first() != Some(byte) => decimals = Some(0),
            _ => return None,
        }
    }
    if body.is_empty() || decimals == Some(0) {
        return None;
    }
    let value = whole as f64 / POWERS.get(decimals.unwrap_or(0))?;
    Some(if is_negative { 0.0 - value } else { value })
}

/// What to write instead of a text that is no number, and why.
pub(crate) enum Mended {
    /// No similar number is valid.
    Refused(&'static str),
    /// This number; the reason may be empty.
    Write(&'static str, String),
}

impl Mended {
    /// In words: the reason, then what is written for `meant`.
    pub(crate) fn advice(self, meant: impl Fn(&str) -> Option<String>) -> Option<String> {
        match self {
            Self::Refused(why) => Some(why.to_owned()),
            Self::Write(why, number) => meant(&number).map(|text| format!("{why}write {text}")),
        }
    }
}

/// The number meant by `text`, which is no number in our form.
pub(crate) fn mended(text: &str) -> Option<Mended> {
    let text = text.trim();
    let write = |why, meant: String| {
        number(&meant)?;
        Some(Mended::Write(why, meant))
    };
    let lower = text.to_ascii_lowercase();
    let bare = lower.trim_start_matches(['+', '-']);
    if matches!(bare, "nan" | "inf" | "infinity") {
        return Some(Mended::Refused(NO_NUMBERS));
    }
    const ALONE: &str = "a number stands alone: ";
    // As on lenses: f/2.8.
    if let Some(stem) = lower
        .strip_prefix("f/")
        .filter(|stem| number(stem).is_some())
    {
        return write(ALONE, stem.to_owned());
    }
    if let Some(found) = write("", format!("0{text}")).filter(|_| text.starts_with('.')) {
        return Some(found);
    }
    if text.contains('\u{2212}') {
        return write("a minus is a hyphen: ", text.replace('\u{2212}', "-"));
    }
    if text.matches(',').count() == 1
        && let Some(found) = write("", text.replace(',', "."))
    {
        return Some(found);
    }
    let quarter = text.chars().next_back();
    let stem = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    if stem == text {
        return None;
    }
    match quarter {
        Some('S' | 's' | 'W' | 'w') if !stem.starts_with('-') && text.len() <= stem.len() + 2 => {
            write("south and west are negative: ", format!("-{stem}"))
        }
        _ => write(ALONE, stem.to_owned()),
    }
}

/// What to do about `text`, which is no number, if that is clear; never a
/// number that `accepts` refuses.
pub(crate) fn number_hint(text: &str, accepts: impl Fn(f64) -> bool) -> Option<String> {
    mended(text)?.advice(|meant| {
        let accepted = number(meant).is_some_and(&accepts);
        accepted.then(|| meant.to_owned())
    })
}

/// The number in `text` if it lies from `low` to `high`.
///
/// # Errors
///
/// Text that is no finite number written in digits, and numbers outside.
///
/// # Example
///
/// ```
/// use rakelight::scene::number_within;
/// assert_eq!(number_within("2.8", 0.5, 64.0), Ok(2.8));
/// assert_eq!(
///     number_within("f/2.8", 0.5, 64.0).unwrap_err().to_string(),
///     "found f/2.8, expected a number from 0.5 to 64; a number stands alone: write 2.8"
/// );
/// ```
pub fn number_within(text: &str, low: f64, high: f64) -> Result<f64, ValueError> {
    let text = text.trim();
    let expected = || format!("a number from {low} to {high}");
    let within = |value: f64| (low..=high).contains(&value);
    match number(text) {
        Some(value) if within(value) => Ok(value),
        Some(_) => Err(ValueError::new(text, expected())),
        None => Err(ValueError::new(text, expected()).with_hint(number_hint(text, within))),
    }
}

/// Rounds away the last digits that adding and subtracting typed numbers
/// leaves behind, so that a value prints as it was typed.
pub(crate) fn tidy(value: f64) -> f64 {
    (value * 1e9).round() / 1e9 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn only_finite_numbers_with_digits_at_both_ends_count() {
        assert_eq!(number("-31.4"), Some(-31.4));
        assert_eq!(number("+3e2"), Some(300.0));
        assert_eq!(number("-0").map(f64::is_sign_negative), Some(false));
        for text in [
            "", "-", "5.", ".5", "nan", "inf", "1e999", "1 2", "--1", "0x1f",
        ] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    proptest! {
        /// The quick way finds what the usual one does, to the last digit.
        #[test]
        fn a_short_number_is_the_number(text in "-?[0-9]{0,9}[.]?[0-9]{0,9}") {
            let usual = text.parse::<f64>().ok().map(|value| value + 0.0);
            if let Some(value) = short_number(text.as_bytes()) {
                prop_assert_eq!(Some(value.to_bits()), usual.map(f64::to_bits), "{}", text);
            } else {
                let digits = text.trim_start_matches('-');
                let is_short = digits.len() <= 15 && !digits.starts_with('.');
                prop_assert!(!is_short || digits.is_empty() || digits.ends_with('.'), "{}", text);
            }
        }
    }

    #[test]
    fn hints_know_the_common_slips() {
        let hint = |text| number_hint(text, |number| number.abs() < 180.0).unwrap_or_default();
        assert_eq!(hint("31,4"), "write 31.4");
        assert_eq!(hint("31.4S"), "south and west are negative: write -31.4");
        assert_eq!(hint("31.4 N"), "a number stands alone: write 31.4");
        assert_eq!(hint("\u{2212}31.4"), "a minus is a hyphen: write -31.4");
        assert_eq!(hint("-inf"), "nan and inf are not accepted");
        assert_eq!(hint("north"), "");
        assert_eq!(hint("314,5"), "", "it would be refused again");
    }
}
