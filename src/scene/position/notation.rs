//! The notations in which positions are written for people.

use super::super::choice::choose;
use super::grid_reference;
use super::utm::Grid;
use crate::scene::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// How a position is written; each is read back by
/// [`Position`](super::Position).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Notation {
    /// Decimal degrees: `37.1800 -113.4200`.
    #[default]
    Decimal,
    /// Degrees and minutes, to a thousandth: `37°10.800'N 113°25.200'W`.
    Minutes,
    /// Degrees, minutes and seconds, to a tenth: `37°10'48.0"N 113°25'12.0"W`.
    Seconds,
    /// UTM, to the metre: `12 north 285233 4117350`.
    Utm,
    /// MGRS, the square metre: `12S UG 85233 17350`.
    Mgrs,
    /// A `geo:` URI (RFC 5870): `geo:37.18000,-113.42000`.
    Geo,
    /// ISO 6709: `+371048.0-1132512.0/`.
    Iso6709,
}

impl Notation {
    /// Every notation with the word that asks for it.
    pub const ALL: [(&'static str, Self); 7] = [
        ("decimal", Self::Decimal),
        ("dm", Self::Minutes),
        ("dms", Self::Seconds),
        ("utm", Self::Utm),
        ("mgrs", Self::Mgrs),
        ("geo", Self::Geo),
        ("iso6709", Self::Iso6709),
    ];

    /// A position in this notation; decimal degrees with `decimals` of them,
    /// also beyond the grid of UTM and MGRS, which ends at 80 S and 84 N.
    pub fn text(self, latitude_deg: f64, longitude_deg: f64, decimals: usize) -> String {
        let decimal = || format!("{latitude_deg:.decimals$} {longitude_deg:.decimals$}");
        match self {
            Self::Decimal => decimal(),
            Self::Minutes | Self::Seconds => {
                let latitude = self.angle(latitude_deg, ['N', 'S']);
                format!("{latitude} {}", self.angle(longitude_deg, ['E', 'W']))
            }
            Self::Utm => match Grid::of(latitude_deg, longitude_deg) {
                Some(grid) => grid.text(),
                None => decimal(),
            },
            Self::Mgrs => grid_reference::text(latitude_deg, longitude_deg).unwrap_or_else(decimal),
            Self::Geo => format!("geo:{latitude_deg:.5},{longitude_deg:.5}"),
            Self::Iso6709 => {
                let latitude = packed(latitude_deg, 2);
                format!("{latitude}{}/", packed(longitude_deg, 3))
            }
        }
    }

    fn angle(self, degrees: f64, [positive, negative]: [char; 2]) -> String {
        let letter = if degrees < 0.0 { negative } else { positive };
        match self {
            Self::Minutes => {
                // Rounded as a whole, so that no 60 minutes are written.
                let thousandths = (degrees.abs() * 60_000.0).round();
                let whole = (thousandths / 60_000.0).floor();
                let minutes = (thousandths - whole * 60_000.0) / 1000.0;
                format!("{whole:.0}\u{b0}{minutes:06.3}'{letter}")
            }
            _ => {
                let (whole, minutes, seconds) = sexagesimal(degrees);
                format!("{whole:.0}\u{b0}{minutes:02.0}'{seconds:04.1}\"{letter}")
            }
        }
    }
}

/// Degrees, minutes and seconds, rounded to a tenth of a second as a whole.
fn sexagesimal(degrees: f64) -> (f64, f64, f64) {
    let tenths = (degrees.abs() * 36_000.0).round();
    let whole = (tenths / 36_000.0).floor();
    let rest = tenths - whole * 36_000.0;
    let minutes = (rest / 600.0).floor();
    (whole, minutes, (rest - minutes * 600.0) / 10.0)
}

fn packed(degrees: f64, width: usize) -> String {
    let sign = if degrees < 0.0 { '-' } else { '+' };
    let (whole, minutes, seconds) = sexagesimal(degrees);
    format!("{sign}{whole:0width$.0}{minutes:02.0}{seconds:04.1}")
}

impl FromStr for Notation {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        choose(text, &Self::ALL)
    }
}

impl Display for Notation {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let word = Self::ALL.iter().find(|(_, notation)| notation == self);
        f.pad(word.map_or("", |(word, _)| word))
    }
}
