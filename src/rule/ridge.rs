//! Terrain as a margin: how far a body stands above the ridge below it.

use super::{Check, check::Watch};
use crate::{
    ephemeris::{Body, Foreseen, Reading, Refraction, SKY_RATE, Sky, SkyRegion, product},
    scene::{Site, Skyline},
};
use glam::DVec3;
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
/// Farther to either side a body may go any way, degrees.
const MOST_REACH_DEG: f64 = 60.0;
/// What goes one way goes it so fast at least, degrees for each degree that the
/// sky turns: rounding is far less.
const ONE_WAY: f64 = 1e-6;

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
    pub fn read(&self, air: Refraction, local: DVec3) -> Reading {
        let (altitude_deg, margin) = self.over(air, local);
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

    /// The apparent altitude of a body, east, north and up, and how far that is
    /// above the ridge at its azimuth, degrees.
    fn over(&self, air: Refraction, local: DVec3) -> (f64, f64) {
        let (east, north, up) = (local.x, local.y, local.z);
        let altitude_deg = air.apparent_deg(up.atan2(east.hypot(north)).to_degrees());
        let azimuth_deg = east.atan2(north).to_degrees().rem_euclid(360.0);
        let margin = altitude_deg - self.skyline.altitude_deg_at(azimuth_deg);
        (altitude_deg, margin)
    }

    /// Whether a body in a part of the sky goes one way all the time as the ridge
    /// sees it, up or down: `from_deg` and `to_deg` are the ends of its azimuths.
    fn goes_one_way(
        &self,
        air: Refraction,
        region: &SkyRegion,
        [from_deg, to_deg]: [f64; 2],
    ) -> bool {
        let reach_deg = 0.5 * (to_deg - from_deg);
        if reach_deg > MOST_REACH_DEG {
            return false;
        }
        let rates = region.rates(reach_deg);
        let rise = product(air.slopes_above(region.altitudes_deg[0]), rates.altitude);
        let slopes = self.skyline.slopes_between(from_deg, to_deg);
        let ridge = product(slopes, rates.azimuth);
        rise[0] - ridge[1] > ONE_WAY || rise[1] - ridge[0] < -ONE_WAY
    }
}

/// The rule that a body stands above a ridge.
struct BodyOverRidge {
    ridge: Ridge,
    body: Body,
}

impl Watch for BodyOverRidge {
    fn reading(&self, sky: &Sky<'_>, t: f64) -> Reading {
        let (local, _) = sky.direction_of(self.body, t);
        self.ridge.read(sky.refraction(), local)
    }

    fn margin(&self, sky: &Sky<'_>, t: f64) -> f64 {
        let (local, _) = sky.direction_of(self.body, t);
        self.ridge.over(sky.refraction(), local).1
    }

    /// What the place of the body in the middle of a period tells.
    fn foreseen(&self, sky: &Sky<'_>, times: [f64; 2]) -> Foreseen {
        let (air, region) = (sky.refraction(), sky.region_of(self.body, times));
        let [lowest, highest] = region.altitudes_deg.map(|deg| air.apparent_deg(deg));
        let skyline = &self.ridge.skyline;
        if lowest > skyline.highest_deg() {
            return Foreseen::Holds;
        }
        let (azimuth_deg, reach_deg) = (region.azimuth_deg(), region.reach_deg());
        let ends = [azimuth_deg - reach_deg, azimuth_deg + reach_deg];
        let [least, most] = skyline.altitudes_between(ends[0], ends[1]);
        if lowest > most {
            Foreseen::Holds
        } else if highest < least {
            Foreseen::Fails
        } else if self.ridge.goes_one_way(air, &region, ends) {
            Foreseen::TurnsOnce
        } else {
            Foreseen::Unknown
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        ephemeris::{Direction, Ephemeris, Moment, Observer},
        rule::Watched,
        search::Intervals,
    };

    /// The periods over ridges with slopes of every kind are those of a search by
    /// steps alone.
    #[test]
    fn what_is_foreseen_of_a_ridge_changes_no_edge() {
        let start = Moment::from_seconds(27.0 * 365.25 * 86_400.0);
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(62.0 * 86_400.0));
        let star = ephemeris.star(Direction::Core);
        let air = Refraction::new(1010.0, 10.0);
        let ridges = [
            vec![(0.0, 6.0)],
            vec![
                (0.0, 2.0),
                (80.0, 14.0),
                (95.0, -1.0),
                (200.0, 9.0),
                (260.0, 0.5),
            ],
            (0..72)
                .map(|i| (5.0 * f64::from(i), f64::from(i * 7 % 11)))
                .collect(),
            vec![(100.0, 5.0), (102.0, 30.0), (240.0, 40.0), (243.0, 1.0)],
        ];
        let turns = std::cell::Cell::new(0);
        let (mut edges, mut farthest) = (0, 0.0_f64);
        for points in ridges {
            let skyline = Arc::new(Skyline::new(points).expect("points"));
            for latitude in [-66.0, -29.0, 0.0, 37.0, 51.0, 89.0] {
                let observer = Observer::new(latitude, 17.0, 300.0);
                let sky = Sky::new(&ephemeris, &star, observer, air);
                for body in [Body::Moon, Body::Target] {
                    let ridge = Ridge::new(Arc::clone(&skyline));
                    let watch: &dyn Watch = &BodyOverRidge { ridge, body };
                    let sky = &sky;
                    for day in 0..60 {
                        let from = start.seconds() + 4000.0 + f64::from(day) * 86_400.0;
                        let day = Intervals::one(from, from + 40_000.0);
                        let foreseen = |from, to| {
                            let told = watch.foreseen(sky, [from, to]);
                            turns.set(turns.get() + u32::from(told == Foreseen::TurnsOnce));
                            told
                        };
                        let found = day.where_foreseen(60.0, foreseen, Watched { watch, sky });
                        let plainly = day.where_holds(Watched { watch, sky });
                        assert_eq!(found.as_slice().len(), plainly.as_slice().len());
                        for (a, b) in found.as_slice().iter().zip(plainly.as_slice()) {
                            for off in [a.start - b.start, a.end - b.end] {
                                farthest = farthest.max(off.abs());
                                edges += 1;
                            }
                        }
                    }
                }
            }
        }
        assert!(farthest < 0.01, "{farthest}");
        assert!(turns.get() > 500 && edges > 1000, "{turns:?} {edges}");
    }
}
