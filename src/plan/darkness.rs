//! How dark a night gets.

use crate::{
    ephemeris::{Event, EventKind, Moment, Sky},
    search::{Interval, Night},
};

/// The deepest kind of darkness that a night reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// The Sun's upper limb stays above the horizon.
    SunUp,
    /// The Sun sets and stays above -6 degrees.
    Civil,
    /// The Sun stays above -12 degrees.
    Nautical,
    /// The Sun stays above -18 degrees.
    Astronomical,
    /// The Sun goes below -18 degrees.
    Night,
}

/// How dark a night gets, and when.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Darkness {
    /// The deepest kind of darkness.
    pub depth: Depth,
    /// The Sun's least geometric altitude, degrees.
    pub lowest_sun_deg: f64,
    /// When that is.
    pub darkest: Moment,
    /// Whether the Sun never rises from noon to noon.
    pub sunless: bool,
}

impl Darkness {
    /// How dark `night` gets under `sky`; `events` are those of the night.
    pub fn of(sky: &Sky<'_>, night: &Night, events: &[Event]) -> Self {
        let altitude = |t: f64| sky.at(Moment::from_seconds(t)).sun.altitude_deg;
        // From noon to noon the Sun sinks and rises once.
        let (mut low, mut high) = (night.start.seconds(), night.end.seconds());
        while high - low > 1.0 {
            let third = (high - low) / 3.0;
            if altitude(low + third) < altitude(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        let darkest = Moment::from_seconds(0.5 * (low + high));
        let lowest_sun_deg = altitude(darkest.seconds());
        let crossed = |kind| events.iter().any(|event| event.kind == kind);
        let noon_deg = altitude(night.start.seconds());
        let crosses_rise = crossed(EventKind::Sunset) || crossed(EventKind::Sunrise);
        let depth = match lowest_sun_deg {
            h if h < -18.0 => Depth::Night,
            h if h < -12.0 => Depth::Astronomical,
            h if h < -6.0 => Depth::Nautical,
            _ if crosses_rise || noon_deg < 0.0 => Depth::Civil,
            _ => Depth::SunUp,
        };
        Self {
            depth,
            lowest_sun_deg,
            darkest,
            sunless: !crosses_rise && noon_deg < 0.0,
        }
    }
}

/// The first period of a night between an evening event and its morning twin;
/// if one of them is missing, from the night's beginning or to its end if
/// `holds_at` says that the state holds there.
pub(super) fn between(
    events: &[Event],
    dusk: EventKind,
    dawn: EventKind,
    night: &Night,
    holds_at: impl Fn(Moment) -> bool,
) -> Option<Interval> {
    let when = |kind| {
        events
            .iter()
            .find(|event| event.kind == kind)
            .map(|event| event.moment)
    };
    let from = when(dusk).or_else(|| holds_at(night.start).then_some(night.start))?;
    let to = events
        .iter()
        .find(|event| event.kind == dawn && event.moment > from)
        .map_or(night.end, |event| event.moment);
    Some(Interval::new(from.seconds(), to.seconds()))
}
