//! A window on the ground: directions and distances for a map.

use crate::{
    ephemeris::Moment,
    scene::{Site, SubjectPlace},
    search::{Interval, Planner, Window},
    terrain::GroundPoint,
};
use std::ops::Range;

/// Longest step of azimuth along the rim of a sector, degrees.
const RIM_STEP_DEG: f64 = 3.0;
/// The step for the target's azimuth, seconds; in one step it turns less than
/// half a circle unless it passes within a tenth of a degree of the zenith.
const LOOK_SECONDS: f64 = 60.0;
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
            let there = from.destination(bearing_deg, distance_m).ok()?;
            Some(there.point)
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
    match turns_one_way(planner, window) {
        true => swept_one_way(planner, window.interval, azimuth),
        false => swept_in_steps(window.interval, azimuth),
    }
}

/// Whether the target surely turns one way all through a window, clockwise in
/// the north: the azimuth of a star of declination d at a latitude f turns as
/// sin f - sin h sin d, of which h is the altitude.
fn turns_one_way(planner: &Planner, window: &Window) -> bool {
    /// More than refraction changes the sine of a declination.
    const SLACK: f64 = 0.02;
    /// More than rounding, and less than a turn, seconds.
    const LASTS: Range<f64> = 1.0..80_000.0;
    let target = &window.best.sky.target;
    let (sin_latitude, cos_latitude) = planner.site().latitude_deg.to_radians().sin_cos();
    let (sin, cos) = target.apparent_altitude_deg.to_radians().sin_cos();
    let north = cos * target.azimuth_deg.to_radians().cos();
    let sin_declination = sin_latitude * sin + cos_latitude * north;
    !planner.rules().target.is_moon()
        && LASTS.contains(&(window.interval.end - window.interval.start))
        && sin_declination.abs() + SLACK < sin_latitude.abs()
}

/// What a target sweeps that [turns one way](turns_one_way).
fn swept_one_way(
    planner: &Planner,
    interval: Interval,
    azimuth: impl Fn(f64) -> f64,
) -> (f64, f64) {
    let (first, last) = (azimuth(interval.start), azimuth(interval.end));
    if planner.site().latitude_deg > 0.0 {
        return (first, (last - first).rem_euclid(360.0));
    }
    let width = (first - last).rem_euclid(360.0);
    (first - width, width)
}

/// What any target sweeps.
fn swept_in_steps(interval: Interval, azimuth: impl Fn(f64) -> f64) -> (f64, f64) {
    let steps = ((interval.end - interval.start) / LOOK_SECONDS)
        .ceil()
        .max(1.0);
    let mut unwound = azimuth(interval.start);
    let (mut low, mut high) = (unwound, unwound);
    for step in 1..=steps as usize {
        let t = interval.start + (interval.end - interval.start) * step as f64 / steps;
        // The shorter way round from the last azimuth.
        unwound += (azimuth(t) - unwound + 180.0).rem_euclid(360.0) - 180.0;
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

    #[test]
    fn a_target_that_turns_one_way_sweeps_the_same_in_steps() {
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
        let mut counts = [0; 2];
        for latitude_deg in [-75.0, -40.0, -31.5, -10.0, 20.0, 35.0, 55.0] {
            let site = Site::new(latitude_deg, 139.2).expect("a place");
            let planner = Planner::new(site, &brief, dates).expect("rules for any site");
            let azimuth = |t: f64| planner.sky().target_azimuth_deg(Moment::from_seconds(t));
            for window in planner.windows() {
                let one_way = turns_one_way(&planner, &window);
                counts[usize::from(one_way)] += 1;
                if one_way {
                    let (from, width) = swept_one_way(&planner, window.interval, azimuth);
                    let steps = swept_in_steps(window.interval, azimuth);
                    assert_abs_diff_eq!(from, steps.0, epsilon = 1e-10);
                    assert_abs_diff_eq!(width, steps.1, epsilon = 1e-10);
                }
            }
        }
        assert!(counts.iter().all(|count| *count > 5), "{counts:?}");
    }
}
