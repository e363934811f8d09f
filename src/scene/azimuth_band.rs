//! Ranges of azimuth that a rule allows.

use super::number::{Mended, NO_NUMBERS, mended, number, tidy};
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

/// Any angle brought to `0..360`, rounded to a billionth of a degree.
fn round_turn(angle_deg: f64) -> f64 {
    tidy(angle_deg.rem_euclid(360.0)).rem_euclid(360.0)
}

impl FromStr for AzimuthBand {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        let Some((from_text, to_text)) = text.split_once("..") else {
            return Err(ValueError::new(text, EXPECTED).with_remedy(EXAMPLE));
        };
        if let Some(band) = read(from_text).zip(read(to_text)).and_then(Self::of_ends) {
            return Ok(band);
        }
        Err(ValueError::new(text, EXPECTED).with_remedy(remedy(from_text, to_text)))
    }
}

impl AzimuthBand {
    fn of_ends((from_deg, to_deg): (f64, f64)) -> Option<Self> {
        if from_deg == 0.0 && to_deg == 360.0 {
            return Some(Self::WHOLE_CIRCLE);
        }
        let band = Self::between(from_deg, to_deg);
        (band.width_deg > 0.0).then_some(band)
    }
}

/// An end as it may be written.
fn read(text: &str) -> Option<f64> {
    number(text.trim()).filter(|azimuth| (0.0..=360.0).contains(azimuth))
}

/// What to write for two ends that are no band.
fn remedy(from_text: &str, to_text: &str) -> String {
    let ends = [from_text.trim(), to_text.trim()];
    if let [Some(from), Some(to)] = ends.map(read)
        && round_turn(from) == round_turn(to)
    {
        return "for the whole circle write 0..360".to_owned();
    }
    let mut why = "";
    let meant = ends.map(|end| {
        let value = match (number(end), mended(end)) {
            (Some(value), _) => value,
            (None, Some(Mended::Write(reason, meant))) => {
                why = reason;
                number(&meant)?
            }
            (None, Some(Mended::Refused(reason))) => {
                why = reason;
                return None;
            }
            (None, None) => return None,
        };
        // One turn too many or too few is a slip; anything beyond that meant
        // something else.
        let turned = match value {
            _ if (0.0..=360.0).contains(&value) => value,
            _ if value < 0.0 => tidy(value + 360.0),
            _ => tidy(value - 360.0),
        };
        (0.0..=360.0).contains(&turned).then_some(turned)
    });
    match meant {
        [Some(from), Some(to)] if AzimuthBand::of_ends((from, to)).is_some() => {
            format!("{why}write {from}..{to}")
        }
        _ if why.contains(NO_NUMBERS) => why.to_owned(),
        _ => EXAMPLE.to_owned(),
    }
}

const EXAMPLE: &str = "for example 320..40, which goes through north";

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
            ("40..40", "; for the whole circle write 0..360"),
            ("360..0", "; for the whole circle write 0..360"),
            ("-40..40", "; write 320..40"),
            ("140", "; for example 320..40, which goes through north"),
            ("140..", "; for example 320..40, which goes through north"),
            ("140..400", "; write 140..40"),
            (
                "140..900",
                "; for example 320..40, which goes through north",
            ),
            ("140..inf", "; nan and inf are not accepted"),
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
