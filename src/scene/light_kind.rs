//! The kind of light asked for.

use super::choice::choose;
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// The kind of light asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LightKind {
    /// A low Moon from the side, in the same frame as the target.
    Raking,
    /// No Moon.
    Dark,
    /// The Moon low and to the side, and a dark period in the same night.
    Blend,
    /// No rule about the Moon.
    Any,
}

impl LightKind {
    /// Whether it needs a Moon that lights the land from the side.
    pub fn is_sidelit(self) -> bool {
        matches!(self, Self::Raking | Self::Blend)
    }

    /// The words of all kinds.
    pub const WORDS: &[&str] = &["raking", "dark", "blend", "any"];

    /// Every kind with the word that asks for it.
    pub const ALL: [(&'static str, Self); 4] = [
        ("raking", Self::Raking),
        ("dark", Self::Dark),
        ("blend", Self::Blend),
        ("any", Self::Any),
    ];
}

impl FromStr for LightKind {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        choose(text, &Self::ALL)
    }
}

impl LightKind {
    /// The word that asks for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Raking => "raking",
            Self::Dark => "dark",
            Self::Blend => "blend",
            Self::Any => "any",
        }
    }
}

impl Display for LightKind {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}
