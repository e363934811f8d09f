//! The rules by name.

/// Which rule a margin belongs to; its name is that of the option.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum RuleName {
    /// Evenings that suit.
    Weekdays,
    /// Local wall-clock hours.
    Clock,
    /// Altitude of the Sun.
    SunAltitude,
    /// Illuminated fraction of the Moon.
    MoonFraction,
    /// Altitude of the target.
    CoreAltitude,
    /// Altitude of the Moon.
    MoonAltitude,
    /// Azimuth of the target.
    CoreAzimuth,
    /// Azimuth of the target relative to the facing direction.
    CoreOffset,
    /// Angle of the light.
    LightAngle,
    /// Side of the light.
    LightSide,
    /// Altitude of the arch's highest point.
    ArchAltitude,
    /// Azimuth of that point relative to the facing direction.
    ArchOffset,
    /// Tilt of the Milky Way at the target.
    Tilt,
    /// The site's terrain below the target, seen from the camera.
    CoreRidge,
    /// The site's terrain below the Moon, seen from the subject.
    MoonRidge,
    /// Length of the window.
    MinMinutes,
}

impl RuleName {
    /// The rule's option, without its dashes, and its key in a brief; the two
    /// ridges come from the site's `[horizon]` and have no option.
    pub fn key(self) -> &'static str {
        match self {
            Self::Weekdays => "weekdays",
            Self::Clock => "clock",
            Self::SunAltitude => "sun_altitude",
            Self::MoonFraction => "moon_fraction",
            Self::CoreAltitude => "core_altitude",
            Self::MoonAltitude => "moon_altitude",
            Self::CoreAzimuth => "core_azimuth",
            Self::CoreOffset => "core_offset",
            Self::LightAngle => "light_angle",
            Self::LightSide => "light_side",
            Self::ArchAltitude => "arch_altitude",
            Self::ArchOffset => "arch_offset",
            Self::Tilt => "tilt",
            Self::CoreRidge => "core_ridge",
            Self::MoonRidge => "moon_ridge",
            Self::MinMinutes => "min_minutes",
        }
    }
}
