//! Advice about a night: facts, no sentences.

use super::darkness::Depth;
use crate::{
    ephemeris::Moment,
    light::{Exposure, LandFrame},
    search::{FramePlan, Interval},
};

/// One thing to do or to know in a night. Moments are within the night; signed
/// light angles are those of [`crate::rule::Conditions::signed_light_angle_deg`].
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Advice {
    /// The Sun never rises.
    Sunless,
    /// It gets no darker than this.
    NotDark(Depth),
    /// When to arrive.
    Arrive {
        /// The time to arrive.
        by: Moment,
        /// The sunset that follows.
        sunset: Moment,
    },
    /// At no time of the night are all rules met.
    NoWindow,
    /// How to take the frames of a window.
    Window(WindowAdvice),
    /// How land and target of a window get into the picture.
    Framing {
        /// The plan at the window's best instant.
        plan: FramePlan,
        /// The part of the window in which one frame does, where it is not the
        /// whole.
        part: Option<Interval>,
    },
    /// Why no single frame holds land and target on a night without a window.
    NotOneFrame {
        /// When the target is highest in the dark.
        at: Moment,
        /// The plan then.
        plan: FramePlan,
    },
    /// Where the subject's shadow falls at the light of a window.
    Shadow {
        /// Its length on level ground, metres.
        length_m: f64,
        /// The true azimuth in which it falls, degrees.
        azimuth_deg: f64,
        /// Where that is as seen from the camera.
        way: ShadowWay,
    },
    /// Which frames come first.
    Frames(FrameOrder),
    /// A Moon that washes the sky out.
    BrightMoon {
        /// Its illuminated fraction, 0 to 1.
        illuminated_fraction: f64,
        /// How much it brightens the sky at most, magnitudes.
        sky_loss_mag: f64,
    },
    /// Twilight on the side of the night in which the pictures are taken.
    Twilight(Interval),
    /// The clocks change from noon to noon.
    ClocksChange,
}

/// How to take the frames of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WindowAdvice {
    /// Its number, from 1 in order of time; `None` if it is the only one.
    pub number: Option<usize>,
    /// The period.
    pub interval: Interval,
    /// Its best instant.
    pub best: Moment,
    /// Settings at that instant.
    pub exposure: Exposure,
    /// How to take the land.
    pub land: LandAdvice,
    /// Settings for a frame of the land alone, when it is lit best; `None` where
    /// the lens cannot.
    pub land_frame: Option<LandFrame>,
}

/// How to take the land of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum LandAdvice {
    /// One exposure likely holds land and sky.
    OneExposure {
        /// How many stops the land is brighter than the sky; darker is negative.
        stops: f64,
    },
    /// The land needs its own frame.
    OwnFrame {
        /// How many stops it is brighter than the sky; darker is negative.
        stops: f64,
    },
    /// The picture is of the Moon's disc over the land.
    MoonDisc {
        /// How many stops the disc is brighter than the land.
        over_land_stops: f64,
        /// How many stops it is brighter than the sky beside it, 0 or more.
        over_sky_stops: f64,
    },
    /// The land of a blend is taken by moonlight.
    Moonlit {
        /// The moonlit period.
        interval: Interval,
        /// Its best instant.
        best: Moment,
        /// The signed light angle then, degrees.
        signed_light_angle_deg: f64,
    },
}

/// Which frames come first, those of the land by moonlight or those of the dark
/// sky: the longest period of each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FrameOrder {
    /// Moonlit land, then dark sky.
    MoonlitFirst(MoonlitFrames, Interval),
    /// Dark sky, then moonlit land.
    DarkFirst(Interval, MoonlitFrames),
    /// There is no dark period with the target in place.
    MoonlitAlone(MoonlitFrames),
    /// The Moon does not light the land in the dark hours.
    DarkAlone(Interval),
}

/// Frames of the land by moonlight.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct MoonlitFrames {
    /// The period.
    pub interval: Interval,
    /// The Moon's apparent altitude half way, degrees.
    pub moon_altitude_deg: f64,
    /// The signed light angle half way, degrees.
    pub signed_light_angle_deg: f64,
}

/// Which way a shadow falls, seen from the camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShadowWay {
    /// Within 45 degrees of the camera direction.
    Away,
    /// Within 45 degrees of the direction back to the camera.
    Toward,
    /// To the left.
    Left,
    /// To the right.
    Right,
}
