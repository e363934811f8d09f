//! The entries of a timetable.

use super::night_step::NightStep;
use crate::{
    ephemeris::{EventKind, Horizontal, Moment},
    scene::Side,
};

/// A body that an event is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// The Sun.
    Sun,
    /// The Moon.
    Moon,
    /// The target.
    Target,
}

/// An event in a timetable. Windows are numbered from 1 in order of time.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum NightEvent {
    /// Time to arrive, while it is light.
    Arrive,
    /// Rise, set, transit or twilight.
    Sky(EventKind),
    /// The Moon's centre clears the ridge: its light reaches the land.
    MoonClearsRidge,
    /// The Moon's centre goes behind the ridge: the land falls dark.
    MoonBehindRidge,
    /// The target clears the ridge as seen from the camera.
    TargetClearsRidge,
    /// The target goes behind that ridge.
    TargetBehindRidge,
    /// The Moon's centre goes behind the subject: backlight.
    MoonBehindSubject,
    /// It comes out from behind it.
    MoonClearsSubject,
    /// The target goes behind the subject.
    TargetBehindSubject,
    /// It comes out from behind it.
    TargetClearsSubject,
    /// The target enters the limits of the rules.
    TargetInPlace,
    /// The target leaves them.
    TargetLeavesPlace,
    /// A window opens.
    WindowOpens(usize),
    /// A window's best instant.
    WindowBest(usize),
    /// A window closes.
    WindowCloses(usize),
    /// The moonlit period of a blend begins.
    LandBegins(usize),
    /// Its best instant.
    LandBest(usize),
    /// It ends.
    LandEnds(usize),
    /// The Moon is exactly 90 degrees to the side: shadows run straight across
    /// the view.
    LightSquare(Side),
    /// The Moon passes the camera direction: shadows run toward the camera.
    LightAhead,
    /// The Moon passes behind the camera: shadows run away from it.
    LightBehind,
    /// The Moon, which is the target, passes the subject's bearing.
    MoonOverSubject,
    /// The Moon touches the umbra.
    EclipseBegins,
    /// The whole Moon is in the umbra.
    TotalityBegins,
    /// The middle of an eclipse; penumbral ones are hardly seen.
    EclipseGreatest {
        /// Whether only the penumbra is touched.
        penumbral: bool,
    },
    /// The Moon begins to leave the umbra.
    TotalityEnds,
    /// The Moon has left the umbra.
    EclipseEnds,
    /// The clocks change; the offset from UTC afterwards, seconds.
    ClocksChange(i32),
}

/// One line of a timetable.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TimetableEntry {
    /// What happens.
    pub event: NightEvent,
    /// Sky and light then.
    pub step: NightStep,
}

impl TimetableEntry {
    /// When.
    pub fn moment(&self) -> Moment {
        self.step.instant.moment()
    }

    /// The position of the body that it is about.
    pub fn place(&self) -> Option<Horizontal> {
        let sky = &self.step.instant.sky;
        self.event.body().map(|body| match body {
            Body::Sun => sky.sun,
            Body::Moon => sky.moon,
            Body::Target => sky.target,
        })
    }
}

impl NightEvent {
    /// The body it is about.
    pub fn body(&self) -> Option<Body> {
        use EventKind as Kind;
        Some(match self {
            Self::Sky(Kind::Moonrise | Kind::MoonTransit | Kind::Moonset)
            | Self::MoonClearsRidge
            | Self::MoonBehindRidge
            | Self::MoonBehindSubject
            | Self::MoonClearsSubject
            | Self::LandBegins(_)
            | Self::LandBest(_)
            | Self::LandEnds(_)
            | Self::LightSquare(_)
            | Self::LightAhead
            | Self::LightBehind
            | Self::MoonOverSubject
            | Self::EclipseBegins
            | Self::TotalityBegins
            | Self::EclipseGreatest { .. }
            | Self::TotalityEnds
            | Self::EclipseEnds => Body::Moon,
            Self::Sky(Kind::TargetRise | Kind::TargetTransit | Kind::TargetSet)
            | Self::TargetClearsRidge
            | Self::TargetBehindRidge
            | Self::TargetBehindSubject
            | Self::TargetClearsSubject
            | Self::TargetInPlace
            | Self::TargetLeavesPlace
            | Self::WindowOpens(_)
            | Self::WindowBest(_)
            | Self::WindowCloses(_) => Body::Target,
            Self::Sky(_) => Body::Sun,
            Self::Arrive | Self::ClocksChange(_) => return None,
        })
    }

    /// Its name in machine formats.
    pub fn key(&self) -> &'static str {
        use EventKind as Kind;
        match self {
            Self::Arrive => "arrive",
            Self::Sky(kind) => match kind {
                Kind::Sunset => "sunset",
                Kind::CivilDusk => "civil_dusk",
                Kind::NauticalDusk => "nautical_dusk",
                Kind::AstronomicalDusk => "astronomical_dusk",
                Kind::AstronomicalDawn => "astronomical_dawn",
                Kind::NauticalDawn => "nautical_dawn",
                Kind::CivilDawn => "civil_dawn",
                Kind::Sunrise => "sunrise",
                Kind::Moonrise => "moonrise",
                Kind::MoonTransit => "moon_transit",
                Kind::Moonset => "moonset",
                Kind::TargetRise => "target_rise",
                Kind::TargetTransit => "target_transit",
                Kind::TargetSet => "target_set",
            },
            Self::MoonClearsRidge => "moon_clears_ridge",
            Self::MoonBehindRidge => "moon_behind_ridge",
            Self::TargetClearsRidge => "target_clears_ridge",
            Self::TargetBehindRidge => "target_behind_ridge",
            Self::MoonBehindSubject => "moon_behind_subject",
            Self::MoonClearsSubject => "moon_clears_subject",
            Self::TargetBehindSubject => "target_behind_subject",
            Self::TargetClearsSubject => "target_clears_subject",
            Self::TargetInPlace => "target_in_place",
            Self::TargetLeavesPlace => "target_leaves_place",
            Self::WindowOpens(_) => "window_opens",
            Self::WindowBest(_) => "window_best",
            Self::WindowCloses(_) => "window_closes",
            Self::LandBegins(_) => "moonlit_land_begins",
            Self::LandBest(_) => "moonlit_land_best",
            Self::LandEnds(_) => "moonlit_land_ends",
            Self::LightSquare(_) => "light_square",
            Self::LightAhead => "light_ahead",
            Self::LightBehind => "light_behind",
            Self::MoonOverSubject => "moon_over_subject",
            Self::EclipseBegins => "eclipse_begins",
            Self::TotalityBegins => "totality_begins",
            Self::EclipseGreatest { .. } => "eclipse_greatest",
            Self::TotalityEnds => "totality_ends",
            Self::EclipseEnds => "eclipse_ends",
            Self::ClocksChange(_) => "clocks_change",
        }
    }

    /// The window it belongs to, from 1.
    pub fn window(&self) -> Option<usize> {
        match self {
            Self::WindowOpens(n)
            | Self::WindowBest(n)
            | Self::WindowCloses(n)
            | Self::LandBegins(n)
            | Self::LandBest(n)
            | Self::LandEnds(n) => Some(*n),
            _ => None,
        }
    }
}
