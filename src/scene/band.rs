//! Ranges of numbers that a rule allows.

use std::fmt::{self, Display, Formatter};

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
    /// Every number.
    pub const ANY: Self = Self::new(f64::NEG_INFINITY, f64::INFINITY);

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
            ("..", "; give at least one end, or leave the rule out"),
            ("nan..3", "; nan and inf are not accepted"),
            ("3..inf", "; nan and inf are not accepted"),
            ("1...5", "; for example 10..60"),
            ("1..2..3", "; for example 10..60"),
            ("--top", "; for example 10..60"),
            ("low", "; for example 10..60"),
            ("3..10°", "; a number stands alone: write 3..10"),
            ("3,5..10", "; write 3.5..10"),
            ("3,5", "; write 3.5.. or ..3.5"),
            ("9..3,5", "; the lower end comes first: write 3.5..9"),
        ] {
            assert_eq!(message(text), format!("found {text}, {band}{rest}"));
        }
        assert_eq!(
            message(""),
            format!("found nothing, {band}; for example 10..60")
        );
    }

    #[test]
    fn what_leaves_the_limits_is_told_what_is_near() {
        let read = |text: &str, lowest, highest| match Band::parse_within(text, lowest, highest) {
            Ok(band) => format!("accepted as {band:?}"),
            Err(error) => error.remedy.unwrap_or_default(),
        };
        for (text, remedy) in [
            ("10..95", "write 10..90"),
            ("-1e308..", "write -90.."),
            ("91..", "nothing near it is valid"),
            ("1e308..", "nothing near it is valid"),
            ("..-1e308", "nothing near it is valid"),
            ("95", "write ..90"),
            ("100,5..", "nothing near it is valid"),
            ("95..10", "nothing near it is valid"),
        ] {
            assert_eq!(read(text, -90.0, 90.0), remedy, "{text}");
        }
        for (text, remedy) in [
            (
                "170..-170",
                "behind the camera it is two bands: write 170..180 or -180..-170",
            ),
            (
                "170..190",
                "behind the camera it is two bands: write 170..180 or -180..-170",
            ),
            ("60..-60", "the lower end comes first: write -60..60"),
            (
                "150..200",
                "behind the camera it is two bands: write 150..180 or -180..-160",
            ),
            ("-400..0", "write -180..0"),
        ] {
            assert_eq!(read(text, -180.0, 180.0), remedy, "{text}");
        }
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
            ("3..500", "; the whole is 1, or 100%: write 3%..100%"),
            ("..120%", "; the whole is 1, or 100%: write ..100%"),
            ("120%..", "; nothing near it is valid"),
            ("10", "; write 10%.. or ..10%"),
            ("20..10", "; the lower end comes first: write 10%..20%"),
            ("1e308..", "; nothing near it is valid"),
            ("half", "; for example 3%..50%"),
            (
                "3..50%",
                "; both ends are percentages or neither: write 3%..50%",
            ),
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

        /// The advised value is accepted.
        #[test]
        fn remedies_are_taken(text in "[-+]?[0-9]{0,3}[.,]{0,3}[-0-9e]{0,5}(\\.\\.)?[-0-9%°]{0,5}") {
            for (form, read) in [
                ("altitude", (|text| Band::parse_within(text, -90.0, 90.0)) as fn(&str) -> _),
                ("offset", |text| Band::parse_within(text, -180.0, 180.0)),
                ("tilt", |text| Band::parse_within(text, 0.0, 90.0)),
                ("fraction", Band::parse_fraction),
                ("any", |text| text.parse()),
            ] {
                let Err(error) = read(&text) else { continue };
                let remedy = error.remedy.unwrap_or_default();
                let advised = remedy.split_once("write ").or(remedy.split_once("for example "));
                for typed in advised.map_or("", |(_, typed)| typed).split(" or ") {
                    prop_assert!(typed.is_empty() || read(typed).is_ok(), "{form} {text}: {remedy}");
                }
            }
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
