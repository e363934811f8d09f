//! Ranges of azimuth that a rule allows.

use super::number::{number, number_hint, tidy};
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// A range of azimuths, run through clockwise from one end to the other.
///
/// `320..40` goes through north; `0..360` is the whole circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AzimuthBand {
    /// Where it begins, degrees from true north through east, `0..360`.
    pub from_deg: f64,
    /// How far it goes clockwise, degrees, `0..=360`.
    pub width_deg: f64,
}

const EXPECTED: &str = "two azimuths A..B, clockwise, each from 0 to 360";

impl AzimuthBand {
    /// All azimuths.
    pub const WHOLE_CIRCLE: Self = Self {
        from_deg: 0.0,
        width_deg: 360.0,
    };

    /// The band that runs clockwise from `from_deg` to `to_deg` (true azimuths,
    /// any turn), both rounded to a billionth of a degree so that the far end
    /// comes back as it was typed; equal azimuths give a band of no width.
    pub fn between(from_deg: f64, to_deg: f64) -> Self {
        let (from_deg, to_deg) = (round_turn(from_deg), round_turn(to_deg));
        Self {
            from_deg,
            width_deg: round_turn(to_deg - from_deg),
        }
    }

    /// Where it ends, degrees, `0..360`.
    pub fn to_deg(&self) -> f64 {
        round_turn(self.from_deg + self.width_deg)
    }

    /// Whether `azimuth_deg` (any turn) lies in the band, ends included.
    pub fn contains(&self, azimuth_deg: f64) -> bool {
        (azimuth_deg - self.from_deg).rem_euclid(360.0) <= self.width_deg
    }
}

/// An angle of any turn as one of `0..360`, to a billionth of a degree.
fn round_turn(angle_deg: f64) -> f64 {
    tidy(angle_deg.rem_euclid(360.0)).rem_euclid(360.0)
}

impl FromStr for AzimuthBand {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        let refuse = || ValueError::new(text, EXPECTED);
        let Some((from_text, to_text)) = text.split_once("..") else {
            let error = refuse().with_hint(number_hint(text).filter(|_| number(text).is_none()));
            return Err(error.with_hint(example()));
        };
        let read = |typed: &str| {
            let typed = typed.trim();
            let value = number(typed).ok_or_else(|| {
                let error = refuse().with_hint(number_hint(typed));
                error.with_hint(example())
            })?;
            if (-180.0..0.0).contains(&value) {
                let turned = tidy(value + 360.0);
                return Err(refuse().with_remedy(format!("write {turned} for {value}")));
            }
            if !(0.0..=360.0).contains(&value) {
                let turned = Some(tidy(value - 360.0)).filter(|turned| *turned <= 360.0);
                let remedy = turned.filter(|turned| *turned >= 0.0);
                let error =
                    refuse().with_hint(remedy.map(|turn| format!("write {turn} for {value}")));
                return Err(error.with_hint(example()));
            }
            Ok(value)
        };
        let (from_deg, to_deg) = (read(from_text)?, read(to_text)?);
        if from_deg == 0.0 && to_deg == 360.0 {
            return Ok(Self::WHOLE_CIRCLE);
        }
        let band = Self::between(from_deg, to_deg);
        if band.width_deg == 0.0 {
            return Err(refuse().with_remedy("the whole circle is 0..360"));
        }
        Ok(band)
    }
}

fn example() -> Option<String> {
    Some("name both: 320..40 goes through north".to_owned())
}

impl Display for AzimuthBand {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        if self.width_deg >= 360.0 {
            return f.write_str("0..360");
        }
        write!(f, "{}..{}", self.from_deg, self.to_deg())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn bands_wrap_through_north() {
        let band: AzimuthBand = "320..40".parse().expect("a band");
        assert_eq!((band.from_deg, band.width_deg), (320.0, 80.0));
        assert!(band.contains(0.0) && band.contains(40.0) && band.contains(-40.0));
        assert!(!band.contains(41.0) && !band.contains(180.0));
        assert_eq!(band.to_string(), "320..40");
        let whole: AzimuthBand = "0..360".parse().expect("a band");
        assert!(whole.contains(123.4) && whole.contains(359.9));
        assert_eq!(whole.to_string(), "0..360");
        assert_eq!(
            "40..360".parse::<AzimuthBand>().map(|b| b.width_deg),
            Ok(320.0)
        );
        assert_eq!(
            "360..40".parse::<AzimuthBand>().map(|b| b.from_deg),
            Ok(0.0)
        );
    }

    #[test]
    fn what_is_no_band_is_refused_with_the_remedy() {
        for (text, rest) in [
            ("40..40", "; the whole circle is 0..360"),
            ("360..0", "; the whole circle is 0..360"),
            ("-40..40", "; write 320 for -40"),
            ("140", "; name both: 320..40 goes through north"),
            ("140..", "; name both: 320..40 goes through north"),
            ("140..400", "; write 40 for 400"),
            ("140..900", "; name both: 320..40 goes through north"),
            ("140..inf", "; nan and inf are refused everywhere"),
        ] {
            let error = text.parse::<AzimuthBand>().expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("found {text}, expected {EXPECTED}{rest}")
            );
        }
    }

    proptest! {
        #[test]
        fn what_is_typed_is_shown_again(from in 0_u32..36_000, to in 0_u32..36_000) {
            prop_assume!(from != to);
            let text = format!("{}..{}", f64::from(from) / 100.0, f64::from(to) / 100.0);
            let band: AzimuthBand = text.parse().map_err(|e: ValueError| TestCaseError::fail(e.to_string()))?;
            prop_assert_eq!(band.to_string(), text);
            prop_assert!(band.contains(f64::from(from) / 100.0));
        }

        #[test]
        fn no_text_is_a_surprise(text in ".{0,40}") {
            if let Ok(band) = text.parse::<AzimuthBand>() {
                prop_assert!((0.0..360.0).contains(&band.from_deg));
                prop_assert!(band.width_deg > 0.0 && band.width_deg <= 360.0);
            }
        }
    }
}
