//! The rules in force: a brief with every blank filled in.

use super::rule_name::RuleName;
use crate::{
    ephemeris::Direction,
    scene::{
        AzimuthBand, Band, Brief, ClockBand, Facing, LightKind, Side, Site, ValueError, Weights,
    },
};
use chrono::WeekdaySet;

/// Every rule of a scan. A rule that is off is `None`.
///
/// Fields are as in [`Brief`], with the blanks filled.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rules {
    /// The kind of light.
    pub light: LightKind,
    /// What must stand in the sky.
    pub target: Direction,
    /// Where the camera looks.
    pub facing: Facing,
    /// Apparent altitude of the target, degrees.
    pub core_altitude: Band,
    /// True azimuth of the target.
    pub core_azimuth: Option<AzimuthBand>,
    /// Azimuth of the target relative to the facing direction, degrees.
    pub core_offset: Option<Band>,
    /// Geometric altitude of the arch's highest point, degrees.
    pub arch_altitude: Option<Band>,
    /// Azimuth of that point relative to the facing direction, degrees.
    pub arch_offset: Option<Band>,
    /// Angle of the Milky Way's plane to the horizon at the target, degrees.
    pub tilt: Option<Band>,
    /// Geometric altitude of the Sun's centre, degrees.
    pub sun_altitude: Band,
    /// Apparent altitude of the Moon's centre, degrees.
    pub moon_altitude: Option<Band>,
    /// Illuminated fraction, 0 to 1.
    pub moon_fraction: Option<Band>,
    /// Angle between the facing direction and the Moon's azimuth, degrees.
    pub light_angle: Option<Band>,
    /// The side of the facing direction on which the Moon may stand.
    pub light_side: Side,
    /// Shortest useful window, minutes.
    pub min_minutes: f64,
    /// Local wall-clock hours that suit.
    pub clock: Option<ClockBand>,
    /// Evenings that suit.
    pub weekdays: Option<WeekdaySet>,
    /// What counts how much in the score.
    pub weights: Weights,
}

/// A facing direction was asked for that the site cannot give.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{site} has no subject to face: give the site a [subject] with bearing_deg, or face a bearing, target or arch"
)]
pub struct NoSubject {
    /// The site's name.
    pub site: String,
}

/// The Moon's altitude that counts as no Moon, degrees: its upper limb, at
/// most 0.28 degrees above the centre, is below the apparent horizon.
pub(crate) const NO_MOON: Band = Band::up_to(-0.3);

impl Rules {
    /// The rules a brief makes at a site.
    ///
    /// The defaults, all common practice: target at 10 degrees or more, Sun at
    /// -18 or lower; for raking light the Moon at 3 to 30 degrees, 0.03 to 0.5
    /// lit, 40 to 150 degrees from the facing direction; for a dark night the
    /// Moon's upper limb below the horizon; a useful window lasts 20 minutes.
    ///
    /// # Errors
    ///
    /// [`NoSubject`] where the brief faces the subject and the site has none.
    pub fn new(brief: &Brief, site: &Site) -> Result<Self, NoSubject> {
        let light = brief.light.unwrap_or(LightKind::Raking);
        let facing = match (brief.facing, site.subject.is_some()) {
            (Some(Facing::Subject), false) => {
                return Err(NoSubject {
                    site: site.name.clone(),
                });
            }
            (Some(facing), _) => facing,
            (None, true) => Facing::Subject,
            (None, false) => Facing::Target,
        };
        let sidelit = light.is_sidelit();
        let raking = |band: Band| sidelit.then_some(band);
        Ok(Self {
            light,
            target: brief.target.unwrap_or(Direction::Core),
            facing,
            core_altitude: brief.core_altitude.unwrap_or(Band::from(10.0)),
            core_azimuth: brief.core_azimuth,
            core_offset: brief
                .core_offset
                .or((facing == Facing::Subject).then_some(Band::new(-60.0, 60.0))),
            arch_altitude: brief.arch_altitude,
            arch_offset: brief.arch_offset,
            tilt: brief.tilt,
            sun_altitude: brief.sun_altitude.unwrap_or(Band::up_to(-18.0)),
            moon_altitude: brief.moon_altitude.or(match light {
                LightKind::Raking | LightKind::Blend => Some(Band::new(3.0, 30.0)),
                LightKind::Dark => Some(NO_MOON),
                LightKind::Any => None,
            }),
            moon_fraction: brief.moon_fraction.or(raking(Band::new(0.03, 0.5))),
            light_angle: brief.light_angle.or(raking(Band::new(40.0, 150.0))),
            light_side: brief.light_side.unwrap_or(Side::Either),
            min_minutes: brief.min_minutes.unwrap_or(20.0),
            clock: brief.clock,
            weekdays: brief.weekdays,
            weights: brief.weights.unwrap_or_default(),
        })
    }

    /// These rules with one of them said anew, as an option or a brief gives
    /// it; what others mean by default stays as it is.
    ///
    /// # Errors
    ///
    /// An unknown key, or a value that the key does not take.
    pub fn with(&self, key: &str, text: &str) -> Result<Self, ValueError> {
        let mut said = Brief::default();
        said.set(key, text)?;
        let said = said.or(&self.to_brief());
        Ok(Self {
            light: said.light.unwrap_or(self.light),
            target: said.target.unwrap_or(self.target),
            facing: said.facing.unwrap_or(self.facing),
            core_altitude: said.core_altitude.unwrap_or(self.core_altitude),
            core_azimuth: said.core_azimuth,
            core_offset: said.core_offset,
            arch_altitude: said.arch_altitude,
            arch_offset: said.arch_offset,
            tilt: said.tilt,
            sun_altitude: said.sun_altitude.unwrap_or(self.sun_altitude),
            moon_altitude: said.moon_altitude,
            moon_fraction: said.moon_fraction,
            light_angle: said.light_angle,
            light_side: said.light_side.unwrap_or(self.light_side),
            min_minutes: said.min_minutes.unwrap_or(self.min_minutes),
            clock: said.clock,
            weekdays: said.weekdays,
            weights: said.weights.unwrap_or(self.weights),
        })
    }

    /// These rules with one of them taken away altogether, however little
    /// sense that makes by day or below the horizon.
    #[must_use]
    pub fn without(&self, rule: RuleName) -> Self {
        const ANY_ALTITUDE: Band = Band::new(f64::NEG_INFINITY, f64::INFINITY);
        let mut rest = self.clone();
        match rule {
            RuleName::Weekdays => rest.weekdays = None,
            RuleName::Clock => rest.clock = None,
            RuleName::SunAltitude => rest.sun_altitude = ANY_ALTITUDE,
            RuleName::MoonFraction => rest.moon_fraction = None,
            RuleName::CoreAltitude => rest.core_altitude = ANY_ALTITUDE,
            RuleName::MoonAltitude => rest.moon_altitude = None,
            RuleName::CoreAzimuth => rest.core_azimuth = None,
            RuleName::CoreOffset => rest.core_offset = None,
            RuleName::LightAngle => rest.light_angle = None,
            RuleName::LightSide => rest.light_side = Side::Either,
            RuleName::ArchAltitude => rest.arch_altitude = None,
            RuleName::ArchOffset => rest.arch_offset = None,
            RuleName::Tilt => rest.tilt = None,
            RuleName::MinMinutes => rest.min_minutes = 0.0,
            // The land stays where it is.
            RuleName::CoreRidge | RuleName::MoonRidge => {}
        }
        rest
    }

    /// What a rule says, as it can be typed; `None` where it is off.
    pub fn text_of(&self, rule: RuleName) -> Option<String> {
        self.to_brief()
            .entries()
            .into_iter()
            .find(|(key, _)| *key == rule.key())
            .map(|(_, text)| text)
    }

    /// The rules as a brief that says everything.
    pub fn to_brief(&self) -> Brief {
        Brief {
            light: Some(self.light),
            target: Some(self.target),
            core_altitude: Some(self.core_altitude),
            core_azimuth: self.core_azimuth,
            facing: Some(self.facing),
            core_offset: self.core_offset,
            arch_altitude: self.arch_altitude,
            arch_offset: self.arch_offset,
            tilt: self.tilt,
            sun_altitude: Some(self.sun_altitude),
            moon_altitude: self.moon_altitude,
            moon_fraction: self.moon_fraction,
            light_angle: self.light_angle,
            light_side: Some(self.light_side),
            min_minutes: Some(self.min_minutes),
            clock: self.clock,
            weekdays: self.weekdays,
            weights: Some(self.weights),
        }
    }
}
