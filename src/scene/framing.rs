//! What must be in one frame.

use super::choice::choose;
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// How land and target must be held by the camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Framing {
    /// In one frame.
    One,
    /// In one frame or in a panorama.
    Panorama,
    /// No rule.
    Any,
}

impl Framing {
    /// Every value with its word.
    pub const ALL: [(&'static str, Self); 3] = [
        ("one", Self::One),
        ("panorama", Self::Panorama),
        ("any", Self::Any),
    ];
}

impl FromStr for Framing {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        choose(text, &Self::ALL)
    }
}

impl Display for Framing {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::One => "one",
            Self::Panorama => "panorama",
            Self::Any => "any",
        })
    }
}

/// Whether the Moon may be in the frame that holds land and target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoonInFrame {
    /// It must be outside.
    No,
    /// It must be inside.
    Only,
    /// No rule.
    Any,
}

impl MoonInFrame {
    /// Every value with its word.
    pub const ALL: [(&'static str, Self); 3] =
        [("no", Self::No), ("only", Self::Only), ("any", Self::Any)];
}

impl FromStr for MoonInFrame {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        choose(text, &Self::ALL)
    }
}

impl Display for MoonInFrame {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::No => "no",
            Self::Only => "only",
            Self::Any => "any",
        })
    }
}
