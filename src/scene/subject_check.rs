//! What is said of a subject's place, seen together: slips in its coordinates
//! show as a subject too far away, or elsewhere than its bearing says.

use super::limits::{DISTANCES_M, SiteError};
use super::number::tidy;
use super::value_error::ValueError;
use crate::terrain::{GeodesicLine, GroundPoint};

/// Up to this distance anything may be the subject, metres. The project's
/// choice: a lighthouse over a bay is nearer.
const FAR_M: f64 = 20_000.0;
/// The apparent height from which a subject is large enough to be one beyond
/// that, degrees. The project's choice: a fifth of the Moon's disc.
const LEAST_APPARENT_HEIGHT_DEG: f64 = 0.1;
/// How far a bearing may be from that to the coordinates, degrees.
const BEARING_TOLERANCE_DEG: f64 = 2.0;
/// How far a distance may be from that to the coordinates: a share of it or
/// metres, whichever is more.
const DISTANCE_TOLERANCE: f64 = 0.05;
const DISTANCE_TOLERANCE_M: f64 = 20.0;

/// An error at `key` with `found` in our own words.
fn error_at(key: &'static str, found: String, expected: &str, remedy: String) -> SiteError {
    let error = ValueError {
        found,
        ..ValueError::new("", expected)
    };
    SiteError {
        key,
        error: error.with_remedy(remedy),
    }
}

/// The line from a camera to a subject, each as latitude and longitude,
/// degrees; `None` where there is none.
fn line_between(camera: (f64, f64), subject: (f64, f64)) -> Option<GeodesicLine> {
    let point = |(latitude_deg, longitude_deg)| GroundPoint::new(latitude_deg, longitude_deg).ok();
    point(camera)?.line_to(point(subject)?)
}

/// What is wrong with the bearing (degrees) and the distance (metres) that are
/// given beside coordinates at the end of `line`.
fn check_beside_coordinates(
    line: GeodesicLine,
    bearing_deg: Option<f64>,
    distance_m: Option<f64>,
) -> impl Iterator<Item = SiteError> {
    let around = |angle: f64| (angle + 180.0).rem_euclid(360.0) - 180.0;
    let bearing = bearing_deg.and_then(|bearing_deg| {
        let off_deg = around(bearing_deg - line.bearing_deg).abs();
        let remedy = if off_deg >= 180.0 - BEARING_TOLERANCE_DEG {
            "camera and subject may be swapped, else keep one of the two"
        } else {
            "keep one of the two"
        };
        (off_deg > BEARING_TOLERANCE_DEG).then(|| {
            error_at(
                "subject.bearing_deg",
                format!(
                    "bearing_deg {bearing_deg} beside coordinates that lie at {:.1}",
                    line.bearing_deg
                ),
                "a bearing within 2 degrees of theirs",
                remedy.to_owned(),
            )
        })
    });
    let distance = distance_m.and_then(|distance_m| {
        let tolerance_m = DISTANCE_TOLERANCE_M.max(DISTANCE_TOLERANCE * line.distance_m);
        ((distance_m - line.distance_m).abs() > tolerance_m).then(|| {
            error_at(
                "subject.distance_m",
                format!(
                    "distance_m {distance_m} beside coordinates {:.0} m away",
                    line.distance_m
                ),
                "a distance within 5 % or 20 m of theirs",
                "keep one of the two".to_owned(),
            )
        })
    });
    bearing.into_iter().chain(distance)
}

/// Whether a subject of a height (metres), if that is known, may be so far
/// away (metres).
fn may_be_seen(distance_m: f64, height_m: Option<f64>) -> bool {
    let tall_enough = |height_m: f64| height_m >= least_height_m(distance_m);
    distance_m <= FAR_M || (distance_m <= DISTANCES_M.1 && height_m.is_some_and(tall_enough))
}

fn least_height_m(distance_m: f64) -> f64 {
    distance_m * LEAST_APPARENT_HEIGHT_DEG.to_radians().tan()
}

fn too_far(key: &'static str, distance_m: f64, slip: Option<String>, check: &str) -> SiteError {
    let remedy = slip.unwrap_or_else(|| {
        if distance_m <= DISTANCES_M.1 {
            let least_m = least_height_m(distance_m).ceil();
            format!("{check}; if it is a mountain give subject.height_m, {least_m} or more")
        } else {
            check.to_owned()
        }
    });
    // Rounded up, so that it never reads as the limit itself.
    let shown_km = (distance_m / 100.0).ceil() / 10.0;
    error_at(
        key,
        format!("a subject {shown_km:.1} km from the camera"),
        "one within 20 km, or a mountain tall enough to be seen from there",
        remedy,
    )
}

/// What is wrong with a distance (metres) given as a number, for a subject of
/// a height (metres), if that is known.
pub(crate) fn check_distance(distance_m: f64, height_m: Option<f64>) -> Result<(), SiteError> {
    if may_be_seen(distance_m, height_m) {
        return Ok(());
    }
    let key = "subject.distance_m";
    Err(too_far(key, distance_m, None, "check distance_m"))
}

/// What is wrong with a subject's coordinates, seen from the camera's (latitude
/// and longitude, degrees): it is too far away for a subject of its height
/// (metres), if that is known.
fn check_far_coordinates(
    camera: (f64, f64),
    subject: (f64, f64),
    height_m: Option<f64>,
) -> Result<(), SiteError> {
    let distance_m = |subject| line_between(camera, subject).map_or(0.0, |line| line.distance_m);
    let far_m = distance_m(subject);
    if may_be_seen(far_m, height_m) {
        return Ok(());
    }
    let (latitude_deg, longitude_deg) = subject;
    let slips = [
        (
            "subject.latitude_deg",
            latitude_deg,
            (-latitude_deg, longitude_deg),
            "south",
        ),
        (
            "subject.longitude_deg",
            longitude_deg,
            (latitude_deg, -longitude_deg),
            "west",
        ),
    ];
    let slip = slips
        .into_iter()
        .find(|(_, _, meant, _)| distance_m(*meant) <= FAR_M);
    Err(match slip {
        Some((key, typed, _, negative)) => {
            let meant = tidy(-typed);
            let remedy = format!("{negative} is negative: write {meant} for {typed}");
            too_far(key, far_m, Some(remedy), "")
        }
        None => too_far("subject.latitude_deg", far_m, None, "check the coordinates"),
    })
}

/// What is wrong with a subject's coordinates, seen from the camera's (latitude
/// and longitude, degrees) and beside the other values given: they are where
/// the camera stands, too far away, or elsewhere than bearing (degrees) and
/// distance (metres) say.
pub(crate) fn check_subject_coordinates(
    camera: (f64, f64),
    subject: (f64, f64),
    bearing_deg: Option<f64>,
    distance_m: Option<f64>,
    height_m: Option<f64>,
) -> Vec<SiteError> {
    if camera == subject {
        let found = format!("{}, {}", subject.0, subject.1);
        let expected = "a place other than the camera's";
        let remedy = "give the subject its own place".to_owned();
        return vec![error_at("subject.latitude_deg", found, expected, remedy)];
    }
    // Coordinates so far off say nothing of bearing and distance.
    if let Err(far) = check_far_coordinates(camera, subject, height_m) {
        return vec![far];
    }
    let line = line_between(camera, subject);
    line.into_iter()
        .flat_map(|line| check_beside_coordinates(line, bearing_deg, distance_m))
        .collect()
}
