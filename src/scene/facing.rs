//! Where the camera looks, and the side the light comes from.

use super::Site;
use super::bearing::Bearing;
use super::choice::choose;
use super::nearest::nearest;
use super::number::{number, number_hint, tidy};
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// Where the camera looks.
///
/// Written as a bearing in degrees, true or with `M` behind it magnetic, `subject`, `target` or `arch`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Facing {
    /// A fixed true bearing, degrees.
    Bearing(f64),
    /// A fixed bearing from magnetic north, degrees; the rules at a site have
    /// it as a true one, see [`Self::at`].
    Magnetic(f64),
    /// The site's subject.
    Subject,
    /// The target, wherever it stands at each instant.
    Target,
    /// The highest point of the Milky Way's arch at each instant.
    Arch,
}

/// Compass points by name, for users who write one instead of a bearing.
const WINDS: [(&str, u16); 12] = [
    ("north", 0),
    ("n", 0),
    ("ne", 45),
    ("east", 90),
    ("e", 90),
    ("se", 135),
    ("south", 180),
    ("s", 180),
    ("sw", 225),
    ("west", 270),
    ("w", 270),
    ("nw", 315),
];

fn example() -> Option<String> {
    Some("for example 128".to_owned())
}

const EXPECTED: &str = "a true bearing from 0 to 360, subject, target or arch";

impl Facing {
    /// The facings that are written as a word, with that word.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("subject", Self::Subject),
        ("target", Self::Target),
        ("arch", Self::Arch),
    ];

    /// The same at a site, where a magnetic bearing is a true one.
    ///
    /// # Errors
    ///
    /// A magnetic bearing where a compass is of no use.
    pub fn at(self, site: &Site) -> Result<Self, ValueError> {
        match self {
            Self::Magnetic(degrees) => Bearing::Magnetic(degrees)
                .true_deg(site.latitude_deg, site.longitude_deg, site.elevation_m)
                .map(Self::Bearing),
            other => Ok(other),
        }
    }
}

impl FromStr for Facing {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let text = text.trim();
        if let Ok(facing) = choose(text, &Self::WORDS) {
            return Ok(facing);
        }
        match Bearing::with_north(text) {
            Some(Bearing::True(degrees)) => return Ok(Self::Bearing(degrees)),
            Some(Bearing::Magnetic(degrees)) => return Ok(Self::Magnetic(degrees)),
            None => {}
        }
        let refuse = || ValueError::new(text, EXPECTED);
        match number(text) {
            Some(bearing) if (0.0..=360.0).contains(&bearing) => {
                Ok(Self::Bearing(bearing.rem_euclid(360.0)))
            }
            Some(bearing) if (-180.0..0.0).contains(&bearing) => {
                Err(refuse().with_remedy(format!("write {}", tidy(bearing + 360.0))))
            }
            Some(bearing) => {
                let turned =
                    Some(tidy(bearing - 360.0)).filter(|turn| (0.0..=360.0).contains(turn));
                let remedy = turned.map(|turn| format!("write {turn}"));
                Err(refuse().with_hint(remedy.or_else(example)))
            }
            None => {
                let wind = WINDS
                    .iter()
                    .find(|(wind, _)| wind.eq_ignore_ascii_case(text));
                if let Some((_, bearing)) = wind {
                    return Err(refuse().with_remedy(format!("write {bearing}")));
                }
                let meant = nearest(text, Self::WORDS.iter().map(|(word, _)| *word));
                let remedy = meant.map(|word| format!("did you mean {word}?"));
                let remedy = remedy
                    .or_else(|| number_hint(text, |value| (0.0..=360.0).contains(&value)))
                    .or_else(example);
                Err(refuse().with_hint(remedy))
            }
        }
    }
}

impl Display for Facing {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Bearing(bearing_deg) => write!(f, "{bearing_deg}"),
            Self::Magnetic(bearing_deg) => write!(f, "{bearing_deg}M"),
            Self::Subject => f.pad("subject"),
            Self::Target => f.pad("target"),
            Self::Arch => f.pad("arch"),
        }
    }
}

/// The side of the camera direction from which the Moon may shine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left of the camera direction.
    Left,
    /// Right of the camera direction.
    Right,
    /// Either side.
    Either,
}

impl Side {
    /// Every side with the word that asks for it.
    pub const ALL: [(&'static str, Self); 3] = [
        ("left", Self::Left),
        ("right", Self::Right),
        ("either", Self::Either),
    ];
}

impl FromStr for Side {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        choose(text, &Self::ALL)
    }
}

impl Display for Side {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Either => "either",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_form_is_read_and_shown_as_typed() {
        for text in ["128.5", "0", "subject", "target", "arch"] {
            assert_eq!(
                text.parse::<Facing>().map(|f| f.to_string()),
                Ok(text.to_owned())
            );
        }
        assert_eq!("360".parse::<Facing>(), Ok(Facing::Bearing(0.0)));
        for (word, side) in Side::ALL {
            assert_eq!(word.parse::<Side>(), Ok(side));
            assert_eq!(side.to_string(), word);
        }
    }

    #[test]
    fn what_is_no_facing_is_refused_with_the_remedy() {
        for (text, rest) in [
            ("-30", "; write 330"),
            ("400", "; write 40"),
            ("1000", "; for example 128"),
            ("East", "; write 90"),
            ("uphill", "; for example 128"),
            ("subjct", "; did you mean subject?"),
            ("inf", "; nan and inf are not accepted"),
            ("128deg", "; a number stands alone: write 128"),
        ] {
            let error = text.parse::<Facing>().expect_err(text);
            assert_eq!(
                error.to_string(),
                format!("found {text}, expected {EXPECTED}{rest}")
            );
        }
        assert_eq!(
            "lft".parse::<Side>().expect_err("no side").to_string(),
            "found lft, expected one of left, right, either; did you mean left?"
        );
    }
}
