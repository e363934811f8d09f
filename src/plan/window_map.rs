//! A window on the ground: directions and distances for a map.

use crate::{
    ephemeris::{Moment, SKY_RATE},
    scene::{Site, SubjectPlace},
    search::{Interval, Planner, Window},
    terrain::GroundPoint,
};

/// Longest step of azimuth along the rim of a sector, degrees.
const RIM_STEP_DEG: f64 = 3.0;
/// The step for the target's azimuth, seconds; in one step it turns less than
/// half a circle unless it passes within a tenth of a degree of the zenith.
const LOOK_SECONDS: f64 = 60.0;
/// Less than the target takes for a full turn, seconds.
const LONGEST_SECONDS: f64 = 80_000.0;
/// Shortest and longest radius of a sector, metres, for a map that shows both
/// camera and sector. The project's choice.
const RADIUS_M: (f64, f64) = (300.0, 5000.0);
/// A longer shadow is cut at this length, metres: no ground is level that far.
const LONGEST_SHADOW_M: f64 = 5000.0;

/// What a map shows of a window; coordinates are WGS84, degrees.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WindowMap {
    /// The camera.
    pub camera: GroundPoint,
    /// The subject, where its place is known.
    pub subject: Option<GroundPoint>,
    /// Azimuth of the sector's left side, degrees, 0 to 360.
    pub sector_from_deg: f64,
    /// Width of the sector that the target sweeps, clockwise, degrees.
    pub sector_width_deg: f64,
    /// Its rim as seen from the camera, from left to right.
    pub sector_rim: Vec<GroundPoint>,
    /// Its radius, metres.
    pub sector_radius_m: f64,
    /// Where the tip of the subject's shadow falls at the best instant, and
    /// the shadow's length in metres.
    pub shadow: Option<(GroundPoint, f64)>,
    /// The end of a short stroke from the camera toward the Moon at the best
    /// instant, while it is up.
    pub moon: Option<GroundPoint>,
}

/// The place of a site's subject, if it is known.
pub(super) fn subject_point(site: &Site) -> Option<GroundPoint> {
    match site.subject.as_ref()?.place {
        SubjectPlace::Coordinates {
            latitude_deg,
            longitude_deg,
            ..
        } => GroundPoint::new(latitude_deg, longitude_deg).ok(),
        SubjectPlace::Bearing {
            bearing_deg,
            distance_m,
        } => {
            let camera = camera_point(site)?;
            let there = camera.destination(bearing_deg, distance_m?).ok()?;
            Some(there.point)
        }
    }
}

pub(super) fn camera_point(site: &Site) -> Option<GroundPoint> {
    GroundPoint::new(site.latitude_deg, site.longitude_deg).ok()
}

impl WindowMap {
    /// Camera and subject of a site; `None` if its coordinates are invalid.
    pub fn places(site: &Site) -> Option<(GroundPoint, Option<GroundPoint>)> {
        Some((camera_point(site)?, subject_point(site)))
    }

    /// The map of a window of the planner's site; `None` if the site's
    /// coordinates are invalid.
    pub fn of(planner: &Planner, window: &Window) -> Option<Self> {
        let site = planner.site();
        let camera = camera_point(site)?;
        let subject = subject_point(site);
        let (from, width) = swept(planner, window);
        let distance_m = site.subject_distance_m();
        let radius_m = distance_m.map_or(1000.0, |d| (3.0 * d).clamp(RADIUS_M.0, RADIUS_M.1));
        let point = |from: GroundPoint, bearing_deg: f64, distance_m: f64| {
            Some(from.destination(bearing_deg, distance_m).ok()?.point)
        };
        let steps = (width / RIM_STEP_DEG).ceil().max(1.0) as usize;
        let rim = (0..=steps)
            .filter_map(|step| {
                let azimuth = from + width * step as f64 / steps as f64;
                point(camera, azimuth, radius_m)
            })
            .collect();
        // In a blend the land has its own instant.
        let lit = window.lit();
        let shadow = || {
            let height_m = site.subject.as_ref()?.height_m?;
            let length_m = height_m * lit.light.shadow_length_per_height?;
            let azimuth = lit.light.shadow_azimuth_deg?;
            let tip = point(subject?, azimuth, length_m.min(LONGEST_SHADOW_M))?;
            Some((tip, length_m.min(LONGEST_SHADOW_M)))
        };
        let moon = &lit.sky.moon;
        Some(Self {
            camera,
            subject,
            sector_from_deg: from.rem_euclid(360.0),
            sector_width_deg: width,
            sector_rim: rim,
            sector_radius_m: radius_m,
            shadow: shadow(),
            moon: lit
                .moon_is_up()
                .then(|| point(camera, moon.azimuth_deg, 0.25 * radius_m))
                .flatten(),
        })
    }
}

/// The azimuths that the target passes in a window: their beginning and width,
/// clockwise, at most a full turn.
fn swept(planner: &Planner, window: &Window) -> (f64, f64) {
    let azimuth = |t: f64| planner.sky().target_azimuth_deg(Moment::from_seconds(t));
    let steps = steps_of(window.interval);
    swept_in_steps(window.interval, azimuth, &turns(planner, window, steps))
}

/// How many steps of [`LOOK_SECONDS`] or less an interval has.
fn steps_of(interval: Interval) -> usize {
    let steps = ((interval.end - interval.start) / LOOK_SECONDS).ceil();
    steps.max(1.0) as usize
}

/// Which way the azimuth of a target surely turns all through the steps before
/// and after an instant; `None` where it may turn back.
type Turn = Option<Way>;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Clockwise,
    Counterclockwise,
}

/// How the target turns at the ends of the steps of a window. The azimuth of a
/// star of declination d turns at a latitude f as
/// sin f cos^2 d - cos f sin d cos d cos H, of which H is the hour angle.
fn turns(planner: &Planner, window: &Window, steps: usize) -> Vec<Turn> {
    /// More than all but the plain rotation of the sky changes it.
    const STRAY: f64 = 2e-4;
    let Interval { start, end } = window.interval;
    if planner.rules().target.is_moon() || end - start > LONGEST_SECONDS {
        return vec![None; steps + 1];
    }
    let best = &window.best.sky;
    let (sin_latitude, cos_latitude) = planner.site().latitude_deg.to_radians().sin_cos();
    let (up, level) = best.target.altitude_deg.to_radians().sin_cos();
    let (east, north) = best.target.azimuth_deg.to_radians().sin_cos();
    let (east, north) = (level * east, level * north);
    let sin_declination = sin_latitude * up + cos_latitude * north;
    // The cosine and the sine of the hour angle, times that of the declination.
    let best_hour = (cos_latitude * up - sin_latitude * north, -east);
    let turned =
        |(x, y): (f64, f64), (sin, cos): (f64, f64)| (x * cos - y * sin, y * cos + x * sin);
    let level = best_hour.0 * best_hour.0 + east * east;
    let (steady, swing) = (sin_latitude * level, cos_latitude * sin_declination);
    let step = SKY_RATE * (end - start) / steps as f64;
    let slack = swing.abs() * step + STRAY;
    let by = SKY_RATE * (start - best.moment.seconds());
    let mut hour = turned(best_hour, by.sin_cos());
    let step = step.sin_cos();
    (0..=steps)
        .map(|_| {
            let turn = steady - swing * hour.0;
            hour = turned(hour, step);
            match turn {
                _ if turn > slack => Some(Way::Clockwise),
                _ if turn < -slack => Some(Way::Counterclockwise),
                _ => None,
            }
        })
        .collect()
}

/// What a target sweeps whose azimuth turns so at the ends of the steps. Where it
/// turns one way through several steps, it is looked at before and after them.
fn swept_in_steps(interval: Interval, azimuth: impl Fn(f64) -> f64, turns: &[Turn]) -> (f64, f64) {
    let steps = turns.len().saturating_sub(1);
    let goes_on = |step: usize, turn: Turn| turns.get(step).is_some_and(|next| *next == turn);
    let mut unwound = azimuth(interval.start);
    let (mut low, mut high) = (unwound, unwound);
    let mut passed_over = false;
    for (step, turn) in turns.iter().enumerate().skip(1) {
        if turn.is_some() && goes_on(step - 1, *turn) && goes_on(step + 1, *turn) {
            passed_over = true;
            continue;
        }
        let t = interval.start + (interval.end - interval.start) * step as f64 / steps as f64;
        let now = azimuth(t);
        unwound = match turn {
            Some(Way::Clockwise) if passed_over => unwound + (now - unwound).rem_euclid(360.0),
            Some(Way::Counterclockwise) if passed_over => {
                unwound - (unwound - now).rem_euclid(360.0)
            }
            // The shorter way round from the last azimuth.
            _ => unwound + (now - unwound + 180.0).rem_euclid(360.0) - 180.0,
        };
        passed_over = false;
        low = low.min(unwound);
        high = high.max(unwound);
    }
    (low, (high - low).min(360.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{rule::Brief, scene::Dates};
    use approx::assert_abs_diff_eq;
    use chrono::NaiveDate;
    use std::cell::Cell;

    #[test]
    fn what_is_passed_over_changes_nothing() {
        let day = |day| NaiveDate::from_ymd_opt(2027, 6, day).expect("a date");
        let dates = Dates::new(day(1), day(10)).expect("ten nights");
        let mut brief = Brief::default();
        for (key, text) in [
            ("light", "any"),
            ("contrast", "0.."),
            ("sun_altitude", "..0"),
        ] {
            brief.set(key, text).expect("a rule");
        }
        let (mut looks, mut turns_back) = ([0; 2], 0);
        for latitude_deg in [
            -75.0, -40.0, -31.5, -28.9, -20.0, -10.0, 2.0, 20.0, 35.0, 55.0,
        ] {
            let site = Site::new(latitude_deg, 139.2).expect("a place");
            let planner = Planner::new(site, &brief, dates).expect("rules for any site");
            for window in planner.windows() {
                let looked = [Cell::new(0), Cell::new(0)];
                let azimuth = |looked: &Cell<usize>, t: f64| {
                    looked.set(looked.get() + 1);
                    planner.sky().target_azimuth_deg(Moment::from_seconds(t))
                };
                let turns = turns(&planner, &window, steps_of(window.interval));
                let sought = |of: usize, turns: &[Turn]| {
                    swept_in_steps(window.interval, |t| azimuth(&looked[of], t), turns)
                };
                let few = sought(0, &turns);
                let all = sought(1, &vec![None; turns.len()]);
                assert_abs_diff_eq!(few.0, all.0, epsilon = 1e-10);
                assert_abs_diff_eq!(few.1, all.1, epsilon = 1e-10);
                if turns.iter().all(Option::is_none) {
                    continue;
                }
                turns_back += usize::from(turns.iter().any(Option::is_none));
                for (sum, looked) in looks.iter_mut().zip(&looked) {
                    *sum += looked.get();
                }
            }
        }
        assert!(turns_back > 5, "{turns_back}");
        assert!(20 * looks[0] < looks[1], "{looks:?}");
    }
}
