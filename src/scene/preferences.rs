//! How much each kind of light is worth beside the others.

use super::{
    light_kind::LightKind,
    named_numbers::{NamedNumbers, named_numbers_text},
    value_error::ValueError,
};
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// The greatest preference accepted.
const GREATEST: f64 = 100.0;

/// What a night of each kind of light is worth beside an equally good one of
/// another kind. Only the ratios count.
///
/// Written `raking=1,dark=0.6`; what is left out keeps its default. The
/// defaults are this project's choice: a blend is one more exposure and its
/// alignment, a dark night leaves the land black.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preferences {
    /// That of a low Moon from the side.
    pub raking: f64,
    /// That of such a Moon and a dark period in one night.
    pub blend: f64,
    /// That of no Moon.
    pub dark: f64,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            raking: 1.0,
            blend: 0.8,
            dark: 0.6,
        }
    }
}

const NAMES: [&str; 3] = ["raking", "blend", "dark"];
const EXPECTED: NamedNumbers<'_> = NamedNumbers {
    names: &NAMES,
    most: GREATEST,
    expected: "preferences such as raking=1,dark=0.6 of raking, blend, dark",
    what: "kind of light",
    example: "dark=0.8",
};

impl Preferences {
    /// Names and preferences in order.
    pub const fn entries(&self) -> [(&'static str, f64); 3] {
        let [raking, blend, dark] = NAMES;
        [
            (raking, self.raking),
            (blend, self.blend),
            (dark, self.dark),
        ]
    }

    /// What a kind is worth. Any light stands beside no other.
    pub const fn of(&self, kind: LightKind) -> f64 {
        match kind {
            LightKind::Raking => self.raking,
            LightKind::Blend => self.blend,
            LightKind::Dark => self.dark,
            LightKind::Any => 1.0,
        }
    }

    /// What a kind is worth beside those it is asked with, as a part of the one
    /// that is worth most, 0 to 1.
    pub fn beside(&self, kind: LightKind, kinds: &[LightKind]) -> f64 {
        let most = kinds.iter().map(|kind| self.of(*kind)).fold(0.0, f64::max);
        match most > 0.0 {
            true => (self.of(kind) / most).clamp(0.0, 1.0),
            false => 1.0,
        }
    }

    fn slot(&mut self, name: &str) -> Option<&mut f64> {
        match name {
            "raking" => Some(&mut self.raking),
            "blend" => Some(&mut self.blend),
            "dark" => Some(&mut self.dark),
            _ => None,
        }
    }
}

impl FromStr for Preferences {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let mut preferences = Self::default();
        for (name, value) in EXPECTED.read(text)? {
            if let Some(slot) = preferences.slot(name) {
                *slot = value;
            }
        }
        Ok(preferences)
    }
}

impl Display for Preferences {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(&named_numbers_text(&self.entries()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn preferences_are_read_and_shown() {
        let preferences: Preferences = "dark=0.9".parse().expect("preferences");
        assert_eq!((preferences.dark, preferences.raking), (0.9, 1.0));
        assert_eq!(preferences.to_string().parse(), Ok(preferences));
        let told = |text: &str| text.parse::<Preferences>().expect_err(text).to_string();
        assert!(told("drak=1").ends_with("did you mean dark?"));
        assert!(told("dark=-1").contains("found -1"));
        assert!(told("dark").ends_with("for example dark=0.8"));
        assert!(told("dark=1,dark=1").starts_with("found dark again"));
    }

    #[test]
    fn a_kind_alone_is_worth_all_and_others_a_part_of_the_best() {
        let preferences = Preferences::default();
        let (raking, dark) = (LightKind::Raking, LightKind::Dark);
        assert_eq!(preferences.beside(dark, &[dark]), 1.0);
        assert_eq!(preferences.beside(dark, &[dark, raking]), 0.6);
        assert_eq!(preferences.beside(raking, &[dark, raking]), 1.0);
        let none: Preferences = "raking=0,dark=0".parse().expect("zeros");
        assert_eq!(none.beside(dark, &[dark, raking]), 1.0);
    }
}
