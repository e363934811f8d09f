//! What a feature of a map is: a word to filter by, and a sentence.

use super::waypoint::Role;
use crate::input::{CAMERA_MEANING, TRIPOD_MEANING};

/// What a feature of a map is. Points have the word that GPX and KML give them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum MapRole {
    /// Where a site's camera stands.
    Camera,
    /// What the picture is of.
    Subject,
    /// Where the target stands through a window.
    Sector,
    /// The subject's shadow by moonlight.
    Shadow,
    /// The direction of the Moon.
    Moon,
    /// Where the tripod has to be.
    Tripod,
    /// From the tripod to the subject.
    Sight,
}

impl MapRole {
    /// Every one of them.
    pub const ALL: [Self; 7] = [
        Self::Camera,
        Self::Subject,
        Self::Sector,
        Self::Shadow,
        Self::Moon,
        Self::Tripod,
        Self::Sight,
    ];

    /// Its word, the property `role`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Camera => Role::Camera.word(),
            Self::Subject => Role::Subject.word(),
            Self::Sector => "sector",
            Self::Shadow => "shadow",
            Self::Moon => "moon",
            Self::Tripod => Role::Tripod.word(),
            Self::Sight => "sight",
        }
    }

    /// What it is, the property `meaning`.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Camera => CAMERA_MEANING,
            Self::Subject => "the subject",
            Self::Sector => {
                "the directions from the camera in which the target stands through the window"
            }
            Self::Shadow => {
                "the subject's moonlight shadow on level ground, from its foot, at its real length"
            }
            Self::Moon => "a short stroke from the camera toward the Moon",
            Self::Tripod => TRIPOD_MEANING,
            Self::Sight => "the line of sight to the subject",
        }
    }
}
