//! A window on the ground: directions and distances for a map.

use crate::{
    scene::{Site, SubjectPlace},
    search::{Planner, Window},
    terrain::GroundPoint,
};

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
    let interval = window.interval;
    let azimuth = |t: f64| {
        let moment = crate::ephemeris::Moment::from_seconds(t);
        planner.sky().target_azimuth_deg(moment)
    };
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
