//! The whole hours of an axis of local time.

/// Hours between two that are named, the first that leaves them room.
const STEPS: [i64; 5] = [1, 2, 3, 4, 6];

/// The whole hours from one to another, counted from the midnight before, that
/// are named where an hour is so many pixels long and a name takes `least`.
pub fn named_hours(from: f64, to: f64, an_hour: f64, least: f64) -> impl Iterator<Item = i64> {
    let fits = |step: &i64| *step as f64 * an_hour >= least;
    let step = STEPS.into_iter().find(fits).unwrap_or(6);
    let hours = from.ceil() as i64..=to.floor() as i64;
    hours.filter(move |hour| hour.rem_euclid(step) == 0)
}
