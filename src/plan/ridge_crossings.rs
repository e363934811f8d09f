//! When a body clears the ridge or the subject and goes behind it.

use super::timetable::Body;
use crate::{
    ephemeris::{LocalVector, Moment, Reading, Sky, crossings},
    rule::{Ridge, Wall},
    scene::{Site, Skyline},
};
use std::sync::Arc;

/// A body's centre on the skyline, or at the subject's edge.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RidgeCrossing {
    /// When, good to a tenth of a second.
    pub moment: Moment,
    /// Whether the body appears; otherwise it goes behind.
    pub clears: bool,
}

/// Every time from `from` to `to` at which the centre of the Moon or the target
/// crosses a skyline, by its apparent altitude; none for the Sun.
///
/// No period longer than a second is missed: each step is as long as the body
/// and the steepest slope of the skyline allow.
pub fn ridge_crossings(
    sky: &Sky<'_>,
    skyline: &Skyline,
    body: Body,
    from: Moment,
    to: Moment,
) -> Vec<RidgeCrossing> {
    let ridge = Ridge::new(Arc::new(skyline.clone()));
    let air = sky.refraction();
    crossings_of(
        sky,
        body,
        |_, place| ridge.read(air, place.values()),
        from,
        to,
    )
}

/// The same for the site's subject, while the body is above the horizon; none
/// where the subject hides nothing.
pub fn subject_crossings(
    sky: &Sky<'_>,
    site: &Site,
    body: Body,
    from: Moment,
    to: Moment,
) -> Vec<RidgeCrossing> {
    let Some(wall) = Wall::of(site) else {
        return Vec::new();
    };
    let clear = |t, place| wall.hides(sky, t, place).negated();
    crossings_of(sky, body, clear, from, to)
}

/// When a body becomes clear and stops to be, by a reading of its place.
fn crossings_of(
    sky: &Sky<'_>,
    body: Body,
    clear: impl Fn(f64, LocalVector) -> Reading,
    from: Moment,
    to: Moment,
) -> Vec<RidgeCrossing> {
    let mut reading = |t: f64| match body {
        Body::Moon => clear(t, sky.moon(t).0),
        Body::Target => clear(t, sky.target(t)),
        Body::Sun => Reading::constant(1.0),
    };
    let mut times = Vec::new();
    let mut clear = crossings(from.seconds(), to.seconds(), &mut reading, |t| {
        times.push(t)
    });
    times
        .into_iter()
        .map(|t| {
            clear = !clear;
            RidgeCrossing {
                moment: Moment::from_seconds(t),
                clears: clear,
            }
        })
        .collect()
}
