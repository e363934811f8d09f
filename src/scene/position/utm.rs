//! UTM: a zone, a hemisphere or a band of latitude, easting and northing.
//!
//! The grid ends at 80 degrees south and 84 degrees north.

use super::{Position, Read, ask};
use crate::scene::ValueError;
use crate::scene::length::metres_with_unit;
use crate::scene::number::{number, tidy};
use crate::terrain::UtmZone;

/// Latitudes that the grid covers, degrees.
const LATITUDES_DEG: (f64, f64) = (-80.0, 84.0);
/// How far beyond its edge a band or the grid is still read, degrees: a square
/// that the edge cuts has its middle on either side.
const EDGE_DEG: f64 = 0.01;
const EASTINGS_M: (f64, f64) = (100_000.0, 900_000.0);
/// The bands of 8 degrees from 80 S, the last one of 12.
const BANDS: &str = "CDEFGHJKLMNPQRSTUVWX";

/// A place on the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grid {
    pub zone: u8,
    pub is_north: bool,
    pub easting_m: f64,
    /// From the equator in the north, from 10 000 km south of it in the south.
    pub northing_m: f64,
}

/// The band of latitude with this letter, degrees.
pub(super) fn band_deg(letter: char) -> Option<(f64, f64)> {
    let index = BANDS.find(letter)?;
    let from = -80.0 + 8.0 * index as f64;
    Some((from, if letter == 'X' { 84.0 } else { from + 8.0 }))
}

/// The letter of a latitude's band.
pub(super) fn band_of(latitude_deg: f64) -> Option<char> {
    let index = ((latitude_deg + 80.0) / 8.0).floor().clamp(0.0, 19.0);
    BANDS.chars().nth(index as usize)
}

/// Whether a latitude lies in a band, or so near that it may be meant.
pub(super) fn is_in_band(latitude_deg: f64, (from, to): (f64, f64)) -> bool {
    (from - EDGE_DEG..=to + EDGE_DEG).contains(&latitude_deg)
}

impl Grid {
    /// The place of a position on the grid; `None` beyond it.
    ///
    /// The zones around Norway and Svalbard are those of the grid, see NGA,
    /// *Universal Grids and Grid Reference Systems*, NGA.STND.0037 (2014).
    pub fn of(latitude_deg: f64, longitude_deg: f64) -> Option<Self> {
        if !(LATITUDES_DEG.0..=LATITUDES_DEG.1).contains(&latitude_deg) {
            return None;
        }
        let turned = (longitude_deg + 180.0).rem_euclid(360.0);
        let regular = (turned / 6.0).floor().min(59.0) as u8 + 1;
        let longitude_deg = turned - 180.0;
        let zone = match (latitude_deg, longitude_deg) {
            (56.0..64.0, 3.0..12.0) => 32,
            (72.0..=84.0, 0.0..9.0) => 31,
            (72.0..=84.0, 9.0..21.0) => 33,
            (72.0..=84.0, 21.0..33.0) => 35,
            (72.0..=84.0, 33.0..42.0) => 37,
            _ => regular,
        };
        let is_north = latitude_deg >= 0.0;
        let [easting_m, northing_m] =
            UtmZone::new(zone, !is_north)?.from_degrees(latitude_deg, longitude_deg);
        Some(Self {
            zone,
            is_north,
            easting_m,
            northing_m,
        })
    }

    /// Latitude and longitude, degrees; `None` for a zone that is none.
    pub fn degrees(&self) -> Option<(f64, f64)> {
        let zone = UtmZone::new(self.zone, !self.is_north)?;
        let [latitude, east] = zone.to_degrees(self.easting_m, self.northing_m);
        let longitude = (east + 180.0).rem_euclid(360.0) - 180.0;
        Some((tidy(latitude), tidy(longitude)))
    }

    /// As it is typed, to the metre: `12 north 285233 4117350`. A letter for the
    /// hemisphere would have two readings.
    pub fn text(&self) -> String {
        let hemisphere = if self.is_north { "north" } else { "south" };
        format!(
            "{} {hemisphere} {:.0} {:.0}",
            self.zone, self.easting_m, self.northing_m
        )
    }

    /// Whether the grid has such a place, on the right side of the equator.
    fn is_possible(&self) -> bool {
        let Some((latitude, _)) = self.degrees() else {
            return false;
        };
        let (low, high) = LATITUDES_DEG;
        let side = match self.is_north {
            true => (0.0, high),
            false => (low, 0.0),
        };
        is_in_band(latitude, side)
    }
}

/// What stands behind the number of the zone.
#[derive(Clone, Copy)]
enum Letter {
    North,
    South,
    /// `S` and `N` may be a band or a hemisphere.
    Band(char),
    None,
}

pub(super) fn read(text: &str) -> Read {
    let Some((zone, letter, rest)) = zone_of(text) else {
        return Read::NotMine;
    };
    let Some((easting_m, northing_m, height)) = two_lengths(&rest) else {
        return Read::NotMine;
    };
    // Smaller numbers are degrees.
    if easting_m < 1000.0 {
        return Read::NotMine;
    }
    let grid = |is_north| Grid {
        zone,
        is_north,
        easting_m,
        northing_m,
    };
    let fits = Grid::is_possible;
    let possible: Vec<Grid> = match letter {
        Letter::North => vec![grid(true)],
        Letter::South => vec![grid(false)],
        Letter::None => vec![grid(true), grid(false)],
        Letter::Band('N') => vec![grid(true)],
        Letter::Band(letter) => {
            let of_band = band_deg(letter).and_then(|band| {
                let grid = grid(band.0 >= 0.0);
                let (latitude, _) = grid.degrees()?;
                is_in_band(latitude, band).then_some(grid)
            });
            let of_half = (letter == 'S').then_some(grid(false));
            of_band.into_iter().chain(of_half).collect()
        }
    };
    let mut possible: Vec<Grid> = possible.into_iter().filter(fits).collect();
    let (low, high) = EASTINGS_M;
    if !(low..=high).contains(&easting_m) {
        possible.clear();
    }
    match possible.as_slice() {
        [] => Read::Wrong(
            ValueError::new(
                text,
                "a zone from 1 to 60 with the easting (100000 to 900000) and the northing of a \
                 place in it",
            )
            .with_remedy("for example 54 south 328870 6524666"),
        ),
        [one] => match one.degrees() {
            Some((latitude, longitude)) => Read::of(Ok(Position::at(latitude, longitude, height))),
            None => Read::NotMine,
        },
        several => Read::Wrong(ask(
            text,
            several.iter().map(|grid| {
                let elevation = height.map_or(String::new(), |metres| format!(" {metres} m"));
                format!("{}{elevation}", grid.text())
            }),
        )),
    }
}

/// The zone and its letter at the beginning, and the rest.
fn zone_of(text: &str) -> Option<(u8, Letter, String)> {
    let upper = text.to_ascii_uppercase();
    let mut rest = upper.trim();
    for word in ["UTM", "ZONE"] {
        let bare = rest.strip_prefix(word).unwrap_or(rest);
        rest = bare.trim_start_matches([' ', ':', ',']);
    }
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .filter(|end| (1..=2).contains(end))?;
    let (zone, rest) = rest.split_at_checked(end)?;
    let zone: u8 = zone.parse().ok()?;
    let rest = rest.trim_start();
    let end = rest.find(|c: char| !c.is_alphabetic())?;
    let (word, after) = rest.split_at_checked(end)?;
    let letter = match word {
        "NORTH" => Letter::North,
        "SOUTH" => Letter::South,
        "" => Letter::None,
        // The letter of an easting: `12 E 285233`.
        "E" if after.trim_start().starts_with(|c: char| c.is_ascii_digit())
            && after.contains('N') =>
        {
            return Some((zone, Letter::None, rest.to_owned()));
        }
        _ => {
            let mut letters = word.chars();
            let letter = letters.next()?;
            letters.next().is_none().then_some(Letter::Band(letter))?
        }
    };
    Some((zone, letter, after.to_owned()))
}

/// Easting and northing, metres, with or without their letters, and an
/// elevation behind them.
fn two_lengths(rest: &str) -> Option<(f64, f64, Option<f64>)> {
    let mut words: Vec<&str> = rest
        .split([' ', ',', ';'])
        .filter(|word| !word.is_empty())
        .collect();
    words.retain(|word| !["E", "N", "ME", "MN"].contains(word));
    let length = |word: &str, letter: &str| -> Option<f64> {
        let word = word.strip_prefix(letter).unwrap_or(word);
        let word = word.strip_suffix(letter).unwrap_or(word);
        number(word.strip_suffix('M').unwrap_or(word)).filter(|metres| *metres >= 0.0)
    };
    let (first, more) = words.split_first()?;
    // Between a number and its unit may be a blank.
    let (second, more) = match more.split_first()? {
        (&"M", more) => more.split_first()?,
        (second, more) => (second, more),
    };
    let pair = (length(first, "E")?, length(second, "N")?);
    let elevation_m = match more {
        [] | ["M"] => None,
        more => {
            let joined = more.join(" ");
            Some(metres_with_unit(&joined).or_else(|| number(&joined))?)
        }
    };
    Some((pair.0, pair.1, elevation_m))
}
