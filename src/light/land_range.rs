//! How far the land may be off its computed brightness, and what that means
//! for one exposure.

/// How well the reflectance of the land is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReflectanceKnown {
    /// Not at all: the default stands for it.
    Default,
    /// A value was given, from a table or by eye.
    Given,
    /// It was found from a frame taken there.
    Calibrated,
}

/// Spread by all else in the land's light (shape, shade, colour), stops.
const REST_STOPS: f64 = 0.3;

/// Half width of the range of 16 to 84 % about the computed balance of land
/// and sky.
///
/// From how the reflectance is known and from the half widths that an unsure
/// zenith sky and an unsure extinction give (stops) to stops. A frame of one's
/// own calibrates reflectance and shape together.
///
/// # Source
/// The project's estimate: 0.5 stop for an unknown reflectance, 0.35 for a
/// given one, 0.3 for the rest, 0.2 for both once calibrated; independent, so
/// squares add.
pub fn half_width_stops(
    reflectance: ReflectanceKnown,
    half_zenith_stops: f64,
    half_extinction_stops: f64,
) -> f64 {
    let land = match reflectance {
        ReflectanceKnown::Default => f64::hypot(0.5, REST_STOPS),
        ReflectanceKnown::Given => f64::hypot(0.35, REST_STOPS),
        ReflectanceKnown::Calibrated => 0.2,
    };
    land.hypot(half_zenith_stops).hypot(half_extinction_stops)
}

/// Land against sky that one exposure holds, stops: three darker to one brighter.
/// Common practice, no source.
pub const ONE_FRAME_STOPS: (f64, f64) = (-3.0, 1.0);

/// Part of the range about a balance that one exposure holds.
///
/// From the balance of land and sky and the half width of its range (stops) to
/// 0..1: the share of the range inside [`ONE_FRAME_STOPS`]. Continuous while
/// the half width is not 0.
pub fn one_exposure_share(balance_stops: f64, half_width_stops: f64) -> f64 {
    // A range of no width is as good as one of a thousandth of a stop.
    let half = half_width_stops.max(0.001);
    let low = (balance_stops - half).max(ONE_FRAME_STOPS.0);
    let high = (balance_stops + half).min(ONE_FRAME_STOPS.1);
    ((high - low) / (2.0 * half)).clamp(0.0, 1.0)
}

/// How sure the balance of land and sky is at an instant.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct LandRange {
    /// Half width of the range of 16 to 84 %, stops.
    pub half_width_stops: f64,
    /// Whether one exposure holds land and sky.
    pub one_exposure: OneExposure,
}

impl LandRange {
    /// That of a balance with a half width, both in stops.
    pub fn new(balance_stops: f64, half_width_stops: f64) -> Self {
        let share = one_exposure_share(balance_stops, half_width_stops);
        Self {
            half_width_stops,
            one_exposure: OneExposure::of_share(share),
        }
    }
}

/// Share of the range from which one exposure is likely to do.
///
/// With three quarters of the range inside, seven of ten nights fit if the
/// errors follow the normal law. The project's choice.
pub const LIKELY_FROM: f64 = 0.75;

/// Share of the range below which one exposure will not do: three of ten nights
/// or fewer fit. The project's choice.
pub const PERHAPS_FROM: f64 = 0.25;

/// Whether one exposure holds land and sky.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OneExposure {
    /// A share of [`LIKELY_FROM`] or more.
    Likely,
    /// From [`PERHAPS_FROM`] to [`LIKELY_FROM`]: take a second frame for the
    /// land.
    Perhaps,
    /// Less.
    No,
}

impl OneExposure {
    /// The word for a share of the range, 0 to 1.
    pub fn of_share(share: f64) -> Self {
        if share >= LIKELY_FROM {
            Self::Likely
        } else if share >= PERHAPS_FROM {
            Self::Perhaps
        } else {
            Self::No
        }
    }
}
