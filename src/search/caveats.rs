//! What makes the figures of a window or an instant less certain.

use super::interval::{Interval, Intervals};
use crate::{
    ephemeris::{Body, Direction, Moment, Reading, Refraction, Sky, SkyState},
    rule::Limits,
    scene::{Band, Forecast, Site},
};
use std::sync::{Arc, OnceLock};

/// Within so many degrees of the horizon the Moon depends on haze, ridge and
/// refraction: its light reddens and fades by magnitudes (common practice, no
/// source).
pub const MOON_NEAR_HORIZON_DEG: f64 = 3.0;
/// Below so many degrees a target is seen through ten or more air masses, too
/// many for the Milky Way (Kasten and Young 1989 give 10.3 at 5 degrees; that
/// this is too many is common practice, no source).
pub const TARGET_LOW_DEG: f64 = 5.0;

/// What is doubtful for less than that is not, seconds.
const LEAST_SECONDS: f64 = 1.0;
/// Share of a period from which on what is doubtful in it makes the whole
/// doubtful. The project's choice.
pub const DOUBTFUL_SHARE: f64 = 0.25;

/// What makes figures doubtful.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
#[non_exhaustive]
pub struct Caveats {
    /// The Moon's centre stands within [`MOON_NEAR_HORIZON_DEG`] of the
    /// horizon, above or below.
    pub moon_near_horizon: bool,
    /// The target stands under [`TARGET_LOW_DEG`]; not said of the Moon, which
    /// is to stand low.
    pub target_low: bool,
    /// The site's dark sky is a guess or comes from a Bortle class, not from a
    /// meter reading.
    pub sky_guessed: bool,
    /// The site's forecast has mostly cloud for it, see
    /// [`CloudOver::is_mostly_cloud`](crate::scene::CloudOver::is_mostly_cloud).
    pub cloud_forecast: bool,
}

impl Caveats {
    /// The doubts about one instant.
    pub fn of(site: &Site, target: Direction, sky: &SkyState) -> Self {
        Self {
            moon_near_horizon: sky.moon.apparent_altitude_deg.abs() < MOON_NEAR_HORIZON_DEG,
            target_low: !target.is_moon() && sky.target.apparent_altitude_deg < TARGET_LOW_DEG,
            sky_guessed: site.sky.approximate,
            cloud_forecast: mostly_cloud(site.forecast.as_deref(), sky.moment, sky.moment),
        }
    }

    /// Both together.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self {
            moon_near_horizon: self.moon_near_horizon || other.moon_near_horizon,
            target_low: self.target_low || other.target_low,
            sky_guessed: self.sky_guessed || other.sky_guessed,
            cloud_forecast: self.cloud_forecast || other.cloud_forecast,
        }
    }

    /// Those about the night, without those about the site.
    #[must_use]
    pub fn of_the_night(self) -> Self {
        Self {
            sky_guessed: false,
            ..self
        }
    }

    /// Whether there is any.
    pub fn any(self) -> bool {
        self != Self::default()
    }
}

/// The doubts over one place, made ready for any period of time.
#[derive(Debug, Clone)]
pub struct CaveatWatch {
    air: Refraction,
    /// Made when the first period is asked about: most sites of a long table
    /// have none in a night.
    low: OnceLock<Low>,
    sky_guessed: bool,
    forecast: Option<Arc<Forecast>>,
}

/// Where Moon and target stand low.
#[derive(Debug, Clone, Copy)]
struct Low {
    moon: Limits,
    target: Limits,
}

impl Low {
    /// In the air of a place.
    fn of(air: Refraction) -> Self {
        let apparent = |low, high| Limits::of_altitudes(Band::new(low, high), |h| air.true_deg(h));
        Self {
            moon: apparent(-MOON_NEAR_HORIZON_DEG, MOON_NEAR_HORIZON_DEG),
            target: apparent(-90.0, TARGET_LOW_DEG),
        }
    }
}

impl CaveatWatch {
    /// The doubts of a site.
    pub fn of(site: &Site) -> Self {
        Self {
            air: site.air.refraction(),
            low: OnceLock::new(),
            sky_guessed: site.sky.approximate,
            forecast: site.forecast.clone(),
        }
    }

    fn low(&self) -> &Low {
        self.low.get_or_init(|| Low::of(self.air))
    }

    /// The doubts about a period with its best instant: what holds at that
    /// instant, or for [`DOUBTFUL_SHARE`] of the period or more.
    pub fn over(&self, sky: &Sky<'_>, interval: Interval, best: Moment) -> Caveats {
        let low = self.low();
        let is_low = |t: f64| low.target.read(sky.up_of(Body::Target, t));
        Caveats {
            target_low: !sky.target_is_moon() && counts(interval, best, is_low),
            ..self.over_land(sky, interval, best)
        }
    }

    /// The same about a period in which the target is not in the picture.
    pub(super) fn over_land(&self, sky: &Sky<'_>, interval: Interval, best: Moment) -> Caveats {
        let low = self.low();
        let is_near = |t: f64| low.moon.read(sky.up_of(Body::Moon, t));
        Caveats {
            moon_near_horizon: counts(interval, best, is_near),
            target_low: false,
            sky_guessed: self.sky_guessed,
            cloud_forecast: mostly_cloud(
                self.forecast.as_deref(),
                interval.first(),
                interval.last(),
            ),
        }
    }
}

/// Whether what is doubtful counts for a period with its best instant.
fn counts(interval: Interval, best: Moment, doubtful: impl FnMut(f64) -> Reading) -> bool {
    let period = Intervals::one(interval.start, interval.end);
    let times = period.where_holds(doubtful);
    let minutes: f64 = times.as_slice().iter().map(Interval::minutes).sum();
    // If a rule ends the period at the same threshold, rounding alone would decide
    // on which side the edge lies; many a period is best at its edge.
    let at_best = times.as_slice().iter().any(|held| {
        let lasts = held.end - held.start >= LEAST_SECONDS;
        lasts && held.start <= best.seconds() && best.seconds() <= held.end
    });
    at_best || minutes >= DOUBTFUL_SHARE * interval.minutes()
}

/// Whether mostly cloud is foretold for a period.
fn mostly_cloud(forecast: Option<&Forecast>, from: Moment, to: Moment) -> bool {
    let over = forecast.and_then(|forecast| forecast.cloud_over(from, to));
    over.is_some_and(|over| over.is_mostly_cloud())
}
