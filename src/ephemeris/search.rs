//! The moments at which a rule begins and ceases to hold.

use super::bounded::Reading;

/// The least step of a search, seconds. A period shorter than this may be
/// missed; a longer one cannot.
const LEAST_STEP: f64 = 1.0;
/// How far past a crossing a secant is meant to end, seconds: less than half of
/// [`LEAST_STEP`], so that it stays within its bracket and two of them close it.
const PAST_SECONDS: f64 = 0.4;
/// Of so many tries to close a bracket the last one halves it.
const HALVED_EVERY: u32 = 4;

/// How a rule's margin goes with time.
pub(crate) trait Course {
    /// Its margin, and how long its sign must stay.
    fn reading(&mut self, t: f64) -> Reading;

    /// The margin alone, to the same last bit.
    fn margin(&mut self, t: f64) -> f64 {
        self.reading(t).margin
    }
}

impl<F: FnMut(f64) -> Reading> Course for F {
    fn reading(&mut self, t: f64) -> Reading {
        self(t)
    }
}

/// What is known beforehand of a rule in a whole period.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Foreseen {
    /// It holds at all times.
    Holds,
    /// It never holds.
    Fails,
    /// It begins to hold, or ceases, once at the most.
    TurnsOnce,
    /// Nothing.
    Unknown,
}

impl From<Option<bool>> for Foreseen {
    fn from(holds: Option<bool>) -> Self {
        match holds {
            Some(true) => Self::Holds,
            Some(false) => Self::Fails,
            None => Self::Unknown,
        }
    }
}

/// The moments in `from..=to` (seconds) at which a margin changes sign, and
/// whether it holds at `from`.
///
/// Each step is as long as the sign is sure to stay, so no crossing is stepped
/// over; near a crossing the steps shrink to [`LEAST_STEP`] and the crossing is
/// solved inside the last one.
pub(crate) fn crossings(
    from: f64,
    to: f64,
    course: &mut impl Course,
    mut at: impl FnMut(f64),
) -> bool {
    let mut time = from;
    let mut now = course.reading(time);
    let holds_at_start = now.margin >= 0.0;
    // If nothing can change before the end, it is not read again there.
    while time < to && now.safe_seconds <= to - time {
        let next_time = (time + now.safe_seconds.max(LEAST_STEP)).min(to);
        let next = course.reading(next_time);
        if (next.margin >= 0.0) != (now.margin >= 0.0) {
            at(solve(time, now.margin, next_time, next.margin, course));
        }
        (time, now) = (next_time, next);
    }
    holds_at_start
}

/// The same where the margin changes sign once at the most.
pub(crate) fn one_crossing(
    from: f64,
    to: f64,
    course: &mut impl Course,
    mut at: impl FnMut(f64),
) -> bool {
    let [first, last] = [from, to].map(|t| course.margin(t));
    let holds_at_start = first >= 0.0;
    if holds_at_start != (last >= 0.0) {
        at(solve(from, first, to, last, course));
    }
    holds_at_start
}

/// The crossing between `a` and `b`, whose margins differ in sign, to a
/// hundredth of a second where the margin has a corner.
///
/// In a bracket a second wide a secant is already good to the millisecond. A
/// wider one is closed in on by secants that end a little past the crossing, so
/// that both sides come near; a halving now and then ends it whatever the curve.
/// A second secant leaves nothing of where the bracket stood, so that an edge is
/// the same whatever was asked before.
fn solve(
    mut a: f64,
    mut margin_a: f64,
    mut b: f64,
    mut margin_b: f64,
    course: &mut impl Course,
) -> f64 {
    let mut tries = 0;
    while b - a > LEAST_STEP {
        tries += 1;
        let near = secant(a, margin_a, b, margin_b);
        let next = if tries % HALVED_EVERY == 0 {
            0.5 * (a + b)
        } else if near - a < b - near {
            near + PAST_SECONDS
        } else {
            near - PAST_SECONDS
        };
        let margin = course.margin(next);
        if (margin >= 0.0) == (margin_a >= 0.0) {
            (a, margin_a) = (next, margin);
        } else {
            (b, margin_b) = (next, margin);
        }
    }
    let near = secant(a, margin_a, b, margin_b);
    let margin = course.margin(near);
    if (margin >= 0.0) == (margin_a >= 0.0) {
        secant(near, margin, b, margin_b)
    } else {
        secant(a, margin_a, near, margin)
    }
}

/// Where a line through two margins that differ in sign is 0.
fn secant(a: f64, margin_a: f64, b: f64, margin_b: f64) -> f64 {
    let share = margin_a / (margin_a - margin_b);
    if share.is_finite() {
        a + (b - a) * share.clamp(0.0, 1.0)
    } else {
        b
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::bounded::Bounded;

    fn found(from: f64, to: f64, mut reading: impl FnMut(f64) -> Reading) -> (bool, Vec<f64>) {
        let mut times = Vec::new();
        let start = crossings(from, to, &mut reading, |t| times.push(t));
        (start, times)
    }

    /// sin(rate t) - level, with its bounds.
    fn wave(rate: f64, level: f64) -> impl Fn(f64) -> Reading {
        move |t| {
            let sine = Bounded {
                value: (rate * t).sin(),
                rate: rate * (rate * t).cos(),
                slack: 0.0,
                most: 1.0,
                fastest: rate,
                sharpest: rate * rate,
            };
            (sine - Bounded::constant(level)).reading()
        }
    }

    #[test]
    fn every_crossing_of_a_wave_is_found() {
        let rate = 7.3e-5_f64;
        let (start, times) = found(0.0, 500_000.0, wave(rate, 0.3));
        assert!(!start);
        let first = 0.3_f64.asin();
        let expected: Vec<f64> = (0..)
            .flat_map(|k| {
                let turn = std::f64::consts::TAU * f64::from(k);
                [turn + first, turn + std::f64::consts::PI - first]
            })
            .map(|angle| angle / rate)
            .take_while(|t| *t <= 500_000.0)
            .collect();
        assert_eq!(times.len(), expected.len());
        for (t, e) in times.iter().zip(&expected) {
            assert!((t - e).abs() < 0.01, "{t} against {e}");
        }
    }

    #[test]
    fn one_crossing_is_found_from_far_away_in_few_tries() {
        let rate = 7.3e-5_f64;
        for level in [-0.95, -0.3, 0.0, 0.2, 0.9] {
            let wave = wave(rate, level);
            let quarter = std::f64::consts::FRAC_PI_2 / rate;
            let mut tries = 0;
            let mut reading = |t: f64| {
                tries += 1;
                wave(t)
            };
            let mut times = Vec::new();
            let starts = one_crossing(-quarter, quarter, &mut reading, |t| times.push(t));
            assert!(!starts && times.len() == 1);
            let expected = level.asin() / rate;
            assert!((times[0] - expected).abs() < 1e-3, "{level}: {times:?}");
            assert!(tries < 24, "{level}: {tries} tries");
        }
        let (mut above, mut times) = (wave(rate, -1.5), Vec::new());
        assert!(one_crossing(0.0, 1e5, &mut above, |t| times.push(t)));
        assert!(times.is_empty());
    }

    #[test]
    fn a_peak_that_clears_the_level_for_a_few_seconds_is_found() {
        let rate = 7.3e-5_f64;
        // Above the level for 10 s around the top.
        let level = (rate * 5.0).cos();
        let (_, times) = found(0.0, 86_400.0, wave(rate, level));
        assert_eq!(times.len(), 2);
        assert!((times[1] - times[0] - 10.0).abs() < 0.1);
    }

    #[test]
    fn a_wave_below_its_level_gives_nothing_and_takes_few_steps() {
        let mut steps = 0;
        let wave = wave(7.3e-5, 1.2);
        let (start, times) = found(0.0, 86_400.0, |t| {
            steps += 1;
            wave(t)
        });
        assert!(!start && times.is_empty());
        assert!(steps < 20, "{steps} steps");
    }

    #[test]
    fn what_cannot_change_is_asked_about_once() {
        let mut readings = 0;
        let (start, times) = found(0.0, 86_400.0, |_| {
            readings += 1;
            Reading {
                margin: 1.0,
                safe_seconds: 86_401.0,
            }
        });
        assert!(start && times.is_empty());
        assert_eq!(readings, 1);
    }

    #[test]
    fn crossings_at_both_edges_and_none_in_an_empty_range() {
        let (start, times) = found(0.0, 10.0, |t| Reading {
            margin: t - 10.0,
            safe_seconds: (t - 10.0).abs(),
        });
        assert!(!start);
        assert_eq!(times, vec![10.0]);
        let (start, times) = found(3.0, 3.0, |_| Reading::constant(1.0));
        assert!(start && times.is_empty());
    }
}
