//! How a target is written: `core`, `moon`, or a fixed direction among the
//! stars as `gal:L,B` or `icrs:RA,DEC`, in degrees.

use super::number::{number, number_hint};
use super::value_error::ValueError;
use serde::{Serialize, Serializer};
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

pub use crate::ephemeris::Direction;

const EXPECTED: &str = "core, moon, gal:L,B or icrs:RA,DEC (degrees; -180..360 and -90..90)";

/// How the Moon is typed.
const MOON: &str = "moon";

impl FromStr for Direction {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        if text.eq_ignore_ascii_case("core") {
            return Ok(Self::Core);
        }
        if text.eq_ignore_ascii_case(MOON) {
            return Ok(Self::Moon);
        }
        let refuse = || ValueError::new(text, EXPECTED);
        let example = || Some("for example icrs:266.4,-29".to_owned());
        let refuse_pair = || refuse().with_hint(example());
        let (frame, pair) = text.split_once(':').ok_or_else(refuse_pair)?;
        let (first, second) = pair.split_once(',').ok_or_else(refuse_pair)?;
        let read = |typed: &str, low: f64, high: f64| {
            let typed = typed.trim();
            let value = number(typed).ok_or_else(|| {
                let sexagesimal = typed.contains(['h', 'd', 'm', ':']);
                refuse().with_hint(if sexagesimal {
                    Some("an hour is 15 degrees, for example icrs:266.4,-29".to_owned())
                } else {
                    let hint = number_hint(typed, |value| (low..=high).contains(&value));
                    let hint = hint.map(|hint| match hint.contains("write ") {
                        true => format!("{hint} for {typed}"),
                        false => hint,
                    });
                    hint.or_else(example)
                })
            })?;
            if (low..=high).contains(&value) {
                Ok(value)
            } else {
                let limits =
                    format!("{value} lies beyond {low} and {high}: nothing near it is valid");
                Err(refuse().with_remedy(limits))
            }
        };
        let (around, up) = (read(first, -180.0, 360.0)?, read(second, -90.0, 90.0)?);
        match frame.trim().to_ascii_lowercase().as_str() {
            "gal" => Ok(Self::Galactic {
                longitude_deg: around,
                latitude_deg: up,
            }),
            "icrs" => Ok(Self::Icrs {
                right_ascension_deg: around,
                declination_deg: up,
            }),
            _ => Err(refuse_pair()),
        }
    }
}

impl Display for Direction {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Core => f.pad("core"),
            Self::Moon => f.pad(MOON),
            Self::Galactic {
                longitude_deg,
                latitude_deg,
            } => write!(f, "gal:{longitude_deg},{latitude_deg}"),
            Self::Icrs {
                right_ascension_deg,
                declination_deg,
            } => write!(f, "icrs:{right_ascension_deg},{declination_deg}"),
        }
    }
}

impl Serialize for Direction {
    /// As it is typed.
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_form_is_read_and_shown_as_typed() {
        for text in [
            "core",
            "moon",
            "gal:0,-5.5",
            "gal:-60,0",
            "icrs:266.417,-29.008",
        ] {
            let direction: Direction = text.parse().expect("a direction");
            assert_eq!(direction.to_string(), text);
        }
    }

    #[test]
    fn what_is_no_direction_is_refused_with_the_remedy() {
        for (text, rest) in [
            ("sun", "; for example icrs:266.4,-29"),
            ("gal:0", "; for example icrs:266.4,-29"),
            (
                "gal:0,95",
                "; 95 lies beyond -90 and 90: nothing near it is valid",
            ),
            ("fk5:1,2", "; for example icrs:266.4,-29"),
            (
                "icrs:17h45m,-29",
                "; an hour is 15 degrees, for example icrs:266.4,-29",
            ),
            ("gal:nan,0", "; nan and inf are not accepted"),
        ] {
            let error = text.parse::<Direction>().expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("found {text}, expected {EXPECTED}{rest}")
            );
        }
    }
}
