//! Positions as people have them: one reader for every notation, one file for
//! each, and the notations in which positions are written.
//!
//! A text can have several readings. A reader gives all of them; where more
//! than one is left, none is taken, and the error shows each in a form that
//! has no other reading.

mod angle;
mod geo_uri;
mod grid_reference;
mod iso6709;
mod link;
mod notation;
mod pair;
mod utm;

pub(crate) use angle::{Axis, single_coordinate};
pub use notation::Notation;

use super::coordinates::check_coordinates;
use super::length::{LengthUnit, length_within};
use super::limits::ELEVATIONS_M;
use super::number::{Mended, mended, number, tidy};
use super::value_error::ValueError;
use std::str::FromStr;

/// A point on the Earth: WGS84 latitude and longitude, and a height where one
/// was given.
///
/// It is read from any notation in which people have positions: see
/// *Positions* in `docs/formats.md`.
///
/// # Example
///
/// ```
/// use rakelight::scene::Position;
/// let read = |text: &str| text.parse::<Position>();
/// let place = read("31\u{b0}24'S 139\u{b0}12'E, 120 m")?;
/// assert_eq!(place, read("geo:-31.4,139.2,120")?);
/// assert_eq!(place, read("-312400+1391200+120/")?);
/// # Ok::<(), rakelight::scene::ValueError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    /// Degrees, north positive, -90 to 90.
    pub latitude_deg: f64,
    /// Degrees, east positive, -180 to 180.
    pub longitude_deg: f64,
    /// Metres above the sea, where it was given.
    pub elevation_m: Option<f64>,
}

const EXPECTED: &str = "a latitude and a longitude, with or without an elevation";
const EXAMPLE: &str = "for example -31.4,139.2";
/// A text longer than this is no position, characters: the longest link that
/// browsers and servers commonly keep is as long. The project's choice.
const LONGEST: usize = 2000;
/// Two readings nearer than this are one, degrees: a millimetre.
const SAME_DEG: f64 = 1e-8;
/// The most readings that an error shows.
const SHOWN_READINGS: usize = 4;

/// What a reader of one notation finds in a text.
enum Read {
    /// The text is not in this notation.
    NotMine,
    /// Every reading that it has.
    Readings(Vec<Position>),
    /// It is in this notation, and wrong.
    Wrong(ValueError),
}

impl Read {
    fn of(result: Result<Position, ValueError>) -> Self {
        match result {
            Ok(position) => Self::Readings(vec![position]),
            Err(error) => Self::Wrong(error),
        }
    }
}

impl Position {
    /// A position of numbers that were not yet checked.
    fn at(latitude_deg: f64, longitude_deg: f64, elevation_m: Option<f64>) -> Self {
        Self {
            // Adding zero turns -0 into 0.
            latitude_deg: latitude_deg + 0.0,
            longitude_deg: longitude_deg + 0.0,
            elevation_m,
        }
    }

    fn is_same(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < SAME_DEG;
        near(self.latitude_deg, other.latitude_deg)
            && near(self.longitude_deg, other.longitude_deg)
            && self.elevation_m == other.elevation_m
    }

    /// Every number in its limits.
    fn check(&self) -> Result<(), ValueError> {
        let (latitude, longitude) =
            check_coordinates(Some(self.latitude_deg), Some(self.longitude_deg));
        if let Some(error) = latitude.or(longitude) {
            return Err(error);
        }
        match self.elevation_m {
            Some(metres) => check_elevation(&metres.to_string(), metres),
            None => Ok(()),
        }
    }

    /// As decimal degrees and metres, in the form that has one reading alone.
    pub(crate) fn plain_text(&self) -> String {
        let pair = format!("{},{}", tidy(self.latitude_deg), tidy(self.longitude_deg));
        match self.elevation_m {
            Some(metres) => format!("{pair},{} m", tidy(metres)),
            None => pair,
        }
    }
}

fn elevation_limits() -> String {
    let (low, high) = ELEVATIONS_M;
    format!("an elevation from {low} to {high} metres")
}

fn check_elevation(found: &str, metres: f64) -> Result<(), ValueError> {
    let (low, high) = ELEVATIONS_M;
    match (low..=high).contains(&metres) {
        true => Ok(()),
        false => Err(ValueError::new(found, elevation_limits())),
    }
}

/// Decimal degrees between commas, as in every example of this program; it has
/// one reading even where commas might be decimal ones.
fn read_plain(text: &str) -> Read {
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    let (&[latitude, longitude] | &[latitude, longitude, _]) = parts.as_slice() else {
        return Read::NotMine;
    };
    let (Some(latitude_deg), Some(longitude_deg)) = (number(latitude), number(longitude)) else {
        return Read::NotMine;
    };
    let elevation_m = match parts.get(2) {
        None => None,
        Some(part) => {
            let (low, high) = ELEVATIONS_M;
            match length_within(part, LengthUnit::Metre, low, high) {
                Ok(metres) => Some(metres),
                Err(error) => {
                    return Read::Wrong(ValueError {
                        expected: elevation_limits(),
                        ..error
                    });
                }
            }
        }
    };
    let position = Position::at(latitude_deg, longitude_deg, elevation_m);
    Read::of(position.check().map(|()| position))
}

/// The readers, the strictest first.
const READERS: [fn(&str) -> Read; 7] = [
    read_plain,
    geo_uri::read,
    link::read,
    iso6709::read,
    // Before UTM, whose letters of metres may look like a square.
    grid_reference::read,
    utm::read,
    pair::read,
];

impl FromStr for Position {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let typed = text.trim();
        if typed.chars().count() > LONGEST {
            return Err(ValueError::new(typed, EXPECTED).with_remedy(EXAMPLE));
        }
        let text = &plain_signs(typed);
        for reader in READERS {
            match reader(text) {
                Read::NotMine => {}
                Read::Wrong(error) => return Err(error),
                Read::Readings(readings) => return only(typed, readings),
            }
        }
        Err(refuse(typed).with_remedy(meant(typed)))
    }
}

fn refuse(text: &str) -> ValueError {
    ValueError::new(text, EXPECTED)
}

/// The one reading that is left, or the question which of them is meant.
fn only(text: &str, readings: Vec<Position>) -> Result<Position, ValueError> {
    let mut possible: Vec<Position> = Vec::new();
    let mut wrong = None;
    for reading in readings {
        match reading.check() {
            Ok(()) if possible.iter().any(|known| known.is_same(&reading)) => {}
            Ok(()) => possible.push(reading),
            Err(error) => wrong = wrong.or(Some(error)),
        }
    }
    match (possible.as_slice(), wrong) {
        ([one], _) => Ok(*one),
        ([], Some(error)) => Err(error),
        ([], None) => Err(refuse(text).with_remedy(EXAMPLE)),
        _ => Err(ask(text, possible.iter().map(Position::plain_text))),
    }
}

/// The error for a text with several readings, each as it can be typed.
fn ask(text: &str, readings: impl Iterator<Item = String>) -> ValueError {
    let readings: Vec<String> = readings.take(SHOWN_READINGS).collect();
    ValueError::new(text, "a position with one reading")
        .with_remedy(format!("write {}", readings.join(" or ")))
}

/// The text with one sign for each meaning: a hyphen for minus, `°`, `'`, `"`
/// for degrees, minutes and seconds, plain blanks, no brackets around it.
fn plain_signs(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2013}' => plain.push('-'),
            '\u{ba}' | '\u{2da}' => plain.push('\u{b0}'),
            '\u{2032}' | '\u{2019}' | '\u{2018}' | '\u{b4}' | '\u{2b9}' => plain.push('\''),
            '\u{2033}' | '\u{201d}' | '\u{201c}' | '\u{2ba}' => plain.push('"'),
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => plain.push(' '),
            other => plain.push(other),
        }
    }
    let plain = plain.replace("''", "\"");
    let bare = plain.trim();
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some(inner) = bare
            .strip_prefix(open)
            .and_then(|rest| rest.strip_suffix(close))
        {
            return inner.trim().to_owned();
        }
    }
    bare.to_owned()
}

/// What to write for a place whose parts between commas are not all numbers.
fn meant(text: &str) -> String {
    if let Some(half) = half_a_position(text) {
        return half;
    }
    let mut why = "";
    let mut parts = Vec::new();
    for part in text.split(',').map(str::trim) {
        match mended(part) {
            _ if number(part).is_some() => parts.push(part.to_owned()),
            Some(Mended::Write(reason, meant)) => {
                if why.is_empty() {
                    why = reason;
                }
                parts.push(meant);
            }
            Some(Mended::Refused(why)) => return why.to_owned(),
            None => return EXAMPLE.to_owned(),
        }
    }
    let meant = parts.join(",");
    match read_plain(&meant) {
        Read::Readings(_) => format!("{why}write {meant}"),
        Read::Wrong(_) | Read::NotMine => EXAMPLE.to_owned(),
    }
}

/// What is said of a latitude or a longitude alone.
fn half_a_position(text: &str) -> Option<String> {
    let plain = plain_signs(text);
    let has_signs = plain.contains(|c: char| c == '\u{b0}' || c.is_ascii_alphabetic());
    let reading = angle::readings(&plain).into_iter().next()?;
    let half = match reading.axis {
        _ if !has_signs => return None,
        Some(angle::Axis::Longitude) => "a latitude",
        _ => "a longitude",
    };
    Some(format!("{half} is missing: {EXAMPLE}"))
}
