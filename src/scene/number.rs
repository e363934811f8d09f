//! Numbers as people type them.

use super::value_error::ValueError;

/// The finite number that `text` spells, or nothing.
///
/// Digits must stand at both ends, so that `5.` and `.5` stay out and a band
/// like `1...5` has one reading only; `nan` and `inf` are no numbers here.
pub(super) fn number(text: &str) -> Option<f64> {
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

/// What to do about `text`, which is no number, where that can be told.
pub(super) fn number_hint(text: &str) -> Option<String> {
    let text = text.trim();
    let lower = text.to_ascii_lowercase();
    let bare = lower.trim_start_matches(['+', '-']);
    if matches!(bare, "nan" | "inf" | "infinity") {
        return Some("nan and inf are refused everywhere".to_owned());
    }
    // As lenses have it: f/2.8.
    if let Some(stem) = lower
        .strip_prefix("f/")
        .filter(|stem| number(stem).is_some())
    {
        return Some(format!("write the number alone: {stem}"));
    }
    if let Some(whole) = Some(format!("0{text}")).filter(|_| text.starts_with('.'))
        && number(&whole).is_some()
    {
        return Some(format!("write {whole}"));
    }
    if text.contains('\u{2212}') {
        let plain = text.replace('\u{2212}', "-");
        return number(&plain).map(|_| format!("write the minus sign as a hyphen: {plain}"));
    }
    if text.matches(',').count() == 1 {
        let pointed = text.replace(',', ".");
        if number(&pointed).is_some() {
            return Some(format!("write {pointed}"));
        }
    }
    let quarter = text.chars().next_back();
    let stem = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    if stem == text {
        return None;
    }
    number(stem)?;
    match quarter {
        Some('S' | 's' | 'W' | 'w') if !stem.starts_with('-') && text.len() <= stem.len() + 2 => {
            Some(format!("south and west are negative: write -{stem}"))
        }
        _ => Some(format!("write the number alone: {stem}")),
    }
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
///     "found f/2.8, expected a number from 0.5 to 64; write the number alone: 2.8"
/// );
/// ```
pub fn number_within(text: &str, low: f64, high: f64) -> Result<f64, ValueError> {
    let text = text.trim();
    let expected = || format!("a number from {low} to {high}");
    match number(text) {
        Some(value) if (low..=high).contains(&value) => Ok(value),
        Some(_) => Err(ValueError::new(text, expected())),
        None => Err(ValueError::new(text, expected()).with_hint(number_hint(text))),
    }
}

/// Rounds away the last digits that adding and subtracting typed numbers
/// leaves behind, so that a value prints as it was typed.
pub(super) fn tidy(value: f64) -> f64 {
    (value * 1e9).round() / 1e9 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn hints_know_the_common_slips() {
        let hint = |text| number_hint(text).unwrap_or_default();
        assert_eq!(hint("31,4"), "write 31.4");
        assert_eq!(hint("31.4S"), "south and west are negative: write -31.4");
        assert_eq!(hint("31.4 N"), "write the number alone: 31.4");
        assert_eq!(
            hint("\u{2212}31.4"),
            "write the minus sign as a hyphen: -31.4"
        );
        assert_eq!(hint("-inf"), "nan and inf are refused everywhere");
        assert_eq!(hint("north"), "");
    }
}
