//! Terrain as a margin: how far a body stands above the ridge below it.

use super::{Check, check::Watch};
use crate::{
    ephemeris::{Body, LocalVector, Reading, Refraction, SKY_RATE, Sky},
    scene::{Site, Skyline},
};
use std::sync::Arc;

/// The skylines of a site, if they are known.
#[derive(Debug, Clone, Default)]
pub(crate) struct Terrain {
    /// Seen from the camera: limits what the camera sees.
    pub camera: Option<Arc<Skyline>>,
    /// Seen from the subject: limits when moonlight reaches it. The camera's if
    /// the subject has none of its own.
    pub subject: Option<Arc<Skyline>>,
}

impl Terrain {
    /// The skylines of `site`.
    pub fn of(site: &Site) -> Self {
        let shared = |skyline: &Option<Skyline>| skyline.clone().map(Arc::new);
        let camera = shared(&site.skyline);
        Self {
            subject: shared(&site.subject_skyline).or_else(|| camera.clone()),
            camera,
        }
    }
}

/// A skyline that a body is compared with.
#[derive(Debug, Clone)]
pub(crate) struct Ridge {
    skyline: Arc<Skyline>,
    /// Altitude that no part of the skyline reaches, degrees.
    above_all_deg: f64,
    /// Greatest change of the margin while the body is below that, degrees a
    /// second.
    fastest: f64,
}

/// No body rises or sinks faster, degrees a second: the sky's rate, the Moon's
/// own motion, and the change of refraction below the horizon.
const FASTEST_RISE: f64 = 1.35 * SKY_RATE * 180.0 / std::f64::consts::PI;
/// How far above the highest ridge the skyline still counts, degrees.
const CLEARANCE_DEG: f64 = 1.0;

impl Ridge {
    pub fn new(skyline: Arc<Skyline>) -> Self {
        let above_all_deg = (skyline.highest_deg() + CLEARANCE_DEG).min(89.9);
        // The higher the body, the faster its azimuth changes.
        let fastest_azimuth = FASTEST_RISE / above_all_deg.max(0.0).to_radians().cos();
        Self {
            above_all_deg,
            fastest: FASTEST_RISE + skyline.steepest_slope().abs() * fastest_azimuth,
            skyline,
        }
    }

    /// The apparent altitude of the ridge at an azimuth, degrees.
    pub fn altitude_deg_at(&self, azimuth_deg: f64) -> f64 {
        self.skyline.altitude_deg_at(azimuth_deg)
    }

    /// The rule that a body stands above the ridge.
    pub fn check(self, body: Body) -> Check {
        Check::Known(Arc::new(BodyOverRidge { ridge: self, body }))
    }

    /// The apparent altitude of a body above the ridge at its azimuth, degrees,
    /// and how long its sign must stay.
    ///
    /// Above every ridge only the body's altitude counts. Below, both the
    /// altitude and the ridge along the azimuth change, at most by `fastest`; a
    /// body that rises above and comes back has a margin of at least
    /// [`CLEARANCE_DEG`].
    pub fn read(&self, air: Refraction, body: LocalVector) -> Reading {
        let (east, north, up) = (body.east.value, body.north.value, body.up.value);
        let altitude_deg = air.apparent_deg(up.atan2(east.hypot(north)).to_degrees());
        let azimuth_deg = east.atan2(north).to_degrees().rem_euclid(360.0);
        let margin = altitude_deg - self.skyline.altitude_deg_at(azimuth_deg);
        let safe_seconds = if altitude_deg > self.above_all_deg {
            (altitude_deg - self.above_all_deg + CLEARANCE_DEG) / FASTEST_RISE
        } else {
            margin.abs().min(CLEARANCE_DEG) / self.fastest
        };
        Reading {
            margin,
            safe_seconds,
        }
    }
}

/// The rule that a body stands above a ridge.
struct BodyOverRidge {
    ridge: Ridge,
    body: Body,
}

impl Watch for BodyOverRidge {
    fn reading(&self, sky: &Sky<'_>, t: f64) -> Reading {
        let local = match self.body {
            Body::Moon => sky.moon(t).0,
            _ => sky.target(t),
        };
        self.ridge.read(sky.refraction(), local)
    }

    /// Whether a body is above the ridge at all times between two, seconds;
    /// `None` if its place in the middle does not tell.
    fn known(&self, sky: &Sky<'_>, times: [f64; 2]) -> Option<bool> {
        let region = sky.region_of(self.body, times);
        let [lowest, highest] = region
            .altitudes_deg
            .map(|deg| sky.refraction().apparent_deg(deg));
        let skyline = &self.ridge.skyline;
        if lowest > skyline.highest_deg() {
            return Some(true);
        }
        let (azimuth_deg, reach_deg) = (region.azimuth_deg(), region.reach_deg());
        let [least, most] =
            skyline.altitudes_between(azimuth_deg - reach_deg, azimuth_deg + reach_deg);
        if lowest > most {
            Some(true)
        } else if highest < least {
            Some(false)
        } else {
            None
        }
    }
}
