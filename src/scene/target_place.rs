//! Where the target stands to the subject.

use super::nearest::nearest;
use super::number::number_within;
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// Free sky between subject and target where none is given, degrees. Common
/// practice, no source.
const USUAL_CLEARANCE_DEG: f64 = 2.0;
/// The largest clearance accepted, degrees.
const WIDEST_DEG: f64 = 60.0;

/// Where the target must stand to the subject, which is solid.
///
/// Written as a word, with a colon and degrees of free sky behind it if they
/// are not two: `clear:1`, `over:5`, `beside`, `behind`, `any`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TargetPlace {
    /// Over or beside it, by so many degrees at least.
    Clear(f64),
    /// Above its top by so many degrees at least, and within its width.
    Over(f64),
    /// To one side of it, by so many degrees of azimuth at least.
    Beside(f64),
    /// Behind it.
    Behind,
    /// No rule: the subject hides nothing.
    Any,
}

const WORDS: [&str; 5] = ["clear", "over", "beside", "behind", "any"];
const EXPECTED: &str = "clear, over or beside (with degrees: over:5), behind or any";

impl TargetPlace {
    /// Clear of the subject by the usual clearance.
    pub const CLEAR: Self = Self::Clear(USUAL_CLEARANCE_DEG);

    /// The Moon's whole disc clear of the subject: its radius is at most 0.28
    /// degrees.
    pub const MOON_CLEAR: Self = Self::Clear(0.3);

    /// The degrees of free sky, if any are asked for.
    pub fn clearance_deg(&self) -> Option<f64> {
        match self {
            Self::Clear(degrees) | Self::Over(degrees) | Self::Beside(degrees) => Some(*degrees),
            Self::Behind | Self::Any => None,
        }
    }
}

impl FromStr for TargetPlace {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        let (word, degrees) = match text.split_once(':') {
            Some((word, degrees)) => (word.trim(), Some(degrees.trim())),
            None => (text, None),
        };
        let of: fn(f64) -> Self = match word {
            "clear" => Self::Clear,
            "over" => Self::Over,
            "beside" => Self::Beside,
            "behind" | "any" => {
                if degrees.is_some() {
                    return Err(
                        ValueError::new(text, EXPECTED).with_remedy(format!("write {word}"))
                    );
                }
                return Ok(if word == "any" {
                    Self::Any
                } else {
                    Self::Behind
                });
            }
            _ => {
                let meant = nearest(word, WORDS);
                let remedy = meant.map_or_else(
                    || "for example over:5".to_owned(),
                    |meant| format!("did you mean {meant}?"),
                );
                return Err(ValueError::new(text, EXPECTED).with_remedy(remedy));
            }
        };
        match degrees {
            Some(degrees) => number_within(degrees, 0.0, WIDEST_DEG).map(of),
            None => Ok(of(USUAL_CLEARANCE_DEG)),
        }
    }
}

impl Display for TargetPlace {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Clear(degrees) => write!(f, "clear:{degrees}"),
            Self::Over(degrees) => write!(f, "over:{degrees}"),
            Self::Beside(degrees) => write!(f, "beside:{degrees}"),
            Self::Behind => f.pad("behind"),
            Self::Any => f.pad("any"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_form_is_read_and_shown_as_typed() {
        for text in ["clear:1", "over:5.5", "beside:0", "behind", "any"] {
            let place: TargetPlace = text.parse().expect(text);
            assert_eq!(place.to_string(), text);
        }
        assert_eq!("clear".parse(), Ok(TargetPlace::CLEAR));
        assert_eq!(" over : 5 ".parse(), Ok(TargetPlace::Over(5.0)));
    }

    #[test]
    fn what_is_no_place_is_refused_with_the_remedy() {
        for (text, message) in [
            (
                "besides",
                "found besides, expected clear, over or beside (with degrees: over:5), behind or \
                 any; did you mean beside?",
            ),
            (
                "behind:3",
                "found behind:3, expected clear, over or beside (with degrees: over:5), behind or \
                 any; write behind",
            ),
            ("over:90", "found 90, expected a number from 0 to 60"),
        ] {
            let error = text.parse::<TargetPlace>().expect_err(text);
            assert_eq!(error.to_string(), message);
        }
    }
}
