//! Ranges of numbers that a rule allows.

use super::number::{number, number_hint};
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// A closed range of a number; an open end is an infinity.
///
/// Written `A..B`, `A..` or `..B`.
///
/// # Example
///
/// ```
/// use rakelight::scene::Band;
/// let band: Band = "-60..60".parse()?;
/// assert!(band.contains(60.0));
/// assert_eq!(band.to_string(), "-60..60");
/// assert_eq!(
///     "30".parse::<Band>().unwrap_err().to_string(),
///     "found 30, expected a band A..B, A.. or ..B; write 30.. or ..30"
/// );
/// # Ok::<(), rakelight::scene::ValueError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lowest value allowed; `-inf` where any low value is.
    pub low: f64,
    /// Highest value allowed; `+inf` where any high value is.
    pub high: f64,
}

impl Band {
    /// The band from `low` to `high`.
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// The band without a lower end.
    pub const fn up_to(high: f64) -> Self {
        Self::new(f64::NEG_INFINITY, high)
    }

    /// The band without an upper end.
    pub const fn from(low: f64) -> Self {
        Self::new(low, f64::INFINITY)
    }

    /// Whether `value` lies in the band, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The band in `text`, whose ends must lie from `lowest` to `highest`.
    ///
    /// # Errors
    ///
    /// Whatever is no band, runs backwards, or leaves those limits.
    pub fn parse_within(text: &str, lowest: f64, highest: f64) -> Result<Self, ValueError> {
        let band: Self = text.parse()?;
        band.check_within(text, lowest, highest)?;
        Ok(band)
    }

    /// The band of a fraction from 0 to 1 in `text`; `3%..50%` is `0.03..0.5`.
    ///
    /// # Errors
    ///
    /// Whatever is no band, runs backwards, leaves 0 to 1, or has a percent
    /// sign at one of its two ends only.
    pub fn parse_fraction(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        if let Some((low, high)) = text.split_once("..") {
            let both = !low.is_empty() && !high.is_empty();
            if both && low.contains('%') != high.contains('%') {
                return Err(ValueError::new(text, FRACTION_EXPECTED)
                    .with_remedy("write both ends as percentages or neither"));
            }
        }
        let band = parse_ends(text, FRACTION_EXPECTED, |end| match end.strip_suffix('%') {
            // Dividing keeps 7% at the 0.07 that typing 0.07 gives.
            Some(percent) => number(percent.trim_end()).map(|value| value / 100.0),
            None => number(end),
        })?;
        if band.check_within(text, 0.0, 1.0).is_err() {
            let within = |most: f64| band.check_within(text, 0.0, most).is_ok();
            let remedy = if text.contains('%') {
                "the whole is 100%".to_owned()
            } else if within(100.0) {
                let percent = |end: f64| match end {
                    end if end.is_finite() => format!("{end}%"),
                    _ => String::new(),
                };
                format!("write {}..{}", percent(band.low), percent(band.high))
            } else {
                "the whole is 1, or 100%".to_owned()
            };
            return Err(ValueError::new(text, FRACTION_EXPECTED).with_remedy(remedy));
        }
        Ok(band)
    }

    fn check_within(&self, text: &str, lowest: f64, highest: f64) -> Result<(), ValueError> {
        let outside = |end: f64| end.is_finite() && !(lowest..=highest).contains(&end);
        if outside(self.low) || outside(self.high) {
            let expected = format!("a band within {lowest}..{highest}");
            let kept = Self::new(self.low.max(lowest), self.high.min(highest));
            let open = |kept: f64, end: f64| if end.is_finite() { kept } else { end };
            let kept = Self::new(open(kept.low, self.low), open(kept.high, self.high));
            let remedy = (kept.low < kept.high).then(|| format!("write {kept}"));
            return Err(ValueError::new(text.trim(), expected).with_hint(remedy));
        }
        Ok(())
    }
}

const EXPECTED: &str = "a band A..B, A.. or ..B";
const FRACTION_EXPECTED: &str = "a band of fractions from 0 to 1, or of percentages";

/// The band in `text`, each of its ends read by `end`.
fn parse_ends(
    text: &str,
    expected: &str,
    end: impl Fn(&str) -> Option<f64>,
) -> Result<Band, ValueError> {
    let text = text.trim();
    let refuse = || ValueError::new(text, expected);
    let example = || {
        Some(match expected {
            FRACTION_EXPECTED => "for example 3%..50%".to_owned(),
            _ => "for example 10..60".to_owned(),
        })
    };
    let Some((low_text, high_text)) = text.split_once("..") else {
        let error = refuse().with_hint(no_dots_hint(text, &end));
        return Err(error.with_hint(example()));
    };
    let (low_text, high_text) = (low_text.trim(), high_text.trim());
    if low_text.is_empty() && high_text.is_empty() {
        return Err(refuse().with_remedy("give one end at least, or leave the rule out"));
    }
    let read = |typed: &str, open: f64| {
        if typed.is_empty() {
            return Ok(open);
        }
        end(typed).ok_or_else(|| {
            // Of three dots nobody can tell which belong to a number.
            let hint = number_hint(typed).filter(|_| !text.contains("..."));
            refuse().with_hint(hint).with_hint(example())
        })
    };
    let low = read(low_text, f64::NEG_INFINITY)?;
    let high = read(high_text, f64::INFINITY)?;
    if low > high {
        return Err(refuse().with_remedy(format!(
            "the lower end comes first: write {high_text}..{low_text}"
        )));
    }
    Ok(Band { low, high })
}

/// What to do about `text`, which has no `..` in it.
fn no_dots_hint(text: &str, end: &impl Fn(&str) -> Option<f64>) -> Option<String> {
    if end(text).is_some() {
        return Some(format!("write {text}.. or ..{text}"));
    }
    for separator in ["-", "\u{2013}", ":", " to "] {
        // The first character may be a minus sign.
        let skip = text.chars().next().map_or(0, char::len_utf8);
        let Some(at) = text.get(skip..).and_then(|rest| rest.find(separator)) else {
            continue;
        };
        let low = text.get(..skip + at).unwrap_or_default().trim();
        let high = text
            .get(skip + at + separator.len()..)
            .unwrap_or_default()
            .trim();
        if end(low).is_some() && end(high).is_some() {
            return Some(format!("write {low}..{high}"));
        }
    }
    number_hint(text)
}

impl FromStr for Band {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        parse_ends(text, EXPECTED, number)
    }
}

impl Display for Band {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        if self.low > f64::NEG_INFINITY {
            write!(f, "{}", self.low)?;
        }
        f.write_str("..")?;
        if self.high < f64::INFINITY {
            write!(f, "{}", self.high)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn message(text: &str) -> String {
        match text.parse::<Band>() {
            Ok(band) => format!("accepted as {band:?}"),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn every_form_is_read() {
        let read = |text: &str| text.parse::<Band>();
        assert_eq!(read("10..30"), Ok(Band::new(10.0, 30.0)));
        assert_eq!(read("-60..-5.5"), Ok(Band::new(-60.0, -5.5)));
        assert_eq!(read("10.."), Ok(Band::from(10.0)));
        assert_eq!(read("..-18"), Ok(Band::up_to(-18.0)));
        assert_eq!(read(" 3 .. 30 "), Ok(Band::new(3.0, 30.0)));
        assert_eq!(read("5..5"), Ok(Band::new(5.0, 5.0)));
    }

    #[test]
    fn what_is_no_band_is_refused_with_the_remedy() {
        let band = "expected a band A..B, A.. or ..B";
        for (text, rest) in [
            ("30", "; write 30.. or ..30"),
            ("30..10", "; the lower end comes first: write 10..30"),
            ("10-30", "; write 10..30"),
            ("-60-60", "; write -60..60"),
            ("10 to 30", "; write 10..30"),
            ("..", "; give one end at least, or leave the rule out"),
            ("nan..3", "; nan and inf are refused everywhere"),
            ("3..inf", "; nan and inf are refused everywhere"),
            ("1...5", "; for example 10..60"),
            ("1..2..3", "; for example 10..60"),
            ("--top", "; for example 10..60"),
            ("low", "; for example 10..60"),
            ("3..10°", "; write the number alone: 10"),
            ("3,5..10", "; write 3.5"),
        ] {
            assert_eq!(message(text), format!("found {text}, {band}{rest}"));
        }
        assert_eq!(
            message(""),
            format!("found nothing, {band}; for example 10..60")
        );
    }

    #[test]
    fn fractions_take_percentages() {
        let read = |text: &str| Band::parse_fraction(text).map_err(|error| error.to_string());
        assert_eq!(read("..50%"), Ok(Band::up_to(0.5)));
        assert_eq!(read("3%..50%"), Ok(Band::new(0.03, 0.5)));
        assert_eq!(read("0.03..0.5"), Ok(Band::new(0.03, 0.5)));
        let expected = "expected a band of fractions from 0 to 1, or of percentages";
        for (text, rest) in [
            ("3..50", "; write 3%..50%"),
            ("..50", "; write ..50%"),
            ("3..500", "; the whole is 1, or 100%"),
            ("..120%", "; the whole is 100%"),
            ("half", "; for example 3%..50%"),
            ("3..50%", "; write both ends as percentages or neither"),
            ("50%..3%", "; the lower end comes first: write 3%..50%"),
            ("50%", "; write 50%.. or ..50%"),
        ] {
            assert_eq!(read(text), Err(format!("found {text}, {expected}{rest}")));
        }
    }

    proptest! {
        #[test]
        fn what_is_shown_can_be_typed(low in -1e6_f64..1e6, width in 0.0_f64..1e6, open in 0..3) {
            let band = match open {
                0 => Band::new(low, low + width),
                1 => Band::from(low),
                _ => Band::up_to(low),
            };
            prop_assert_eq!(band.to_string().parse::<Band>(), Ok(band));
        }

        #[test]
        fn no_text_is_a_surprise(text in ".{0,40}") {
            if let Ok(band) = text.parse::<Band>() {
                prop_assert!(band.low <= band.high);
            }
            if let Ok(band) = Band::parse_fraction(&text) {
                prop_assert!(band.low <= band.high);
            }
        }
    }
}
