//! How people at a site have positions, lengths and bearings: what is asked of
//! the texts for them. Machine formats do not heed it.

use super::choice::choose;
use super::position::Notation;
use super::value_error::ValueError;
use crate::terrain::{full_circle, usual_declination_deg};
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// In what lengths are told to people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Metres and kilometres.
    #[default]
    Metric,
    /// Feet and miles.
    Feet,
}

/// From which north bearings are told to people.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum North {
    /// True north.
    #[default]
    True,
    /// Magnetic north, so many degrees east of true north.
    Magnetic {
        /// Degrees, east positive.
        declination_deg: f64,
    },
}

/// How texts for people are written; the default is decimal degrees, metres
/// and true bearings.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Conventions {
    /// The notation of positions.
    pub coordinates: Notation,
    /// The unit of lengths.
    pub units: Units,
    /// The north of bearings.
    pub north: North,
}

impl North {
    /// Every north with the word that asks for it.
    pub const WORDS: [(&'static str, bool); 2] = [("true", false), ("magnetic", true)];

    /// Magnetic north as it is at a place (degrees, metres) on the date that
    /// counts for typed bearings too, see
    /// [`MAGNETIC_YEAR`](crate::terrain::MAGNETIC_YEAR).
    pub fn magnetic_at(latitude_deg: f64, longitude_deg: f64, elevation_m: f64) -> Self {
        let declination = usual_declination_deg(latitude_deg, longitude_deg, elevation_m);
        declination.map_or(Self::True, |declination_deg| Self::Magnetic {
            declination_deg,
        })
    }

    /// A true bearing as counted from this north, degrees, 0 to 360.
    pub fn bearing_deg(self, true_deg: f64) -> f64 {
        match self {
            Self::True => true_deg,
            Self::Magnetic { declination_deg } => full_circle(true_deg - declination_deg),
        }
    }
}

/// Whether a word of [`North::WORDS`] asks for magnetic north.
///
/// # Errors
///
/// Any other word.
pub fn asks_magnetic(text: &str) -> Result<bool, ValueError> {
    choose(text, &North::WORDS)
}

impl Units {
    /// Every choice with the word that asks for it.
    pub const ALL: [(&'static str, Self); 2] = [("metric", Self::Metric), ("feet", Self::Feet)];
}

impl FromStr for Units {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        choose(text, &Self::ALL)
    }
}

impl Display for Units {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Metric => "metric",
            Self::Feet => "feet",
        })
    }
}
