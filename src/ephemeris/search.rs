//! The moments at which a rule begins and ceases to hold.

use super::bounded::Reading;

/// The least step of a search, seconds. A period shorter than this may be
/// missed; a longer one cannot.
const LEAST_STEP: f64 = 1.0;

/// The moments in `from..=to` (seconds) at which `reading` changes sign, and
/// whether it holds at `from`.
///
/// Each step is as long as the sign is sure to stay, so no crossing is stepped
/// over; near a crossing the steps shrink to [`LEAST_STEP`] and the crossing is
/// solved inside the last one.
pub(crate) fn crossings(
    from: f64,
    to: f64,
    mut reading: impl FnMut(f64) -> Reading,
    mut at: impl FnMut(f64),
) -> bool {
    let mut time = from;
    let mut now = reading(time);
    let holds_at_start = now.margin >= 0.0;
    // If nothing can change before the end, it is not read again there.
    while time < to && now.safe_seconds <= to - time {
        let next_time = (time + now.safe_seconds.max(LEAST_STEP)).min(to);
        let next = reading(next_time);
        if (next.margin >= 0.0) != (now.margin >= 0.0) {
            at(solve(
                time,
                now.margin,
                next_time,
                next.margin,
                &mut reading,
            ));
        }
        (time, now) = (next_time, next);
    }
    holds_at_start
}

/// The crossing between `a` and `b`, whose margins differ in sign, to a
/// hundredth of a second where the margin has a corner.
///
/// By construction the bracket is a second wide and a secant is already good to
/// the millisecond; the loop only guards a bound that was too tight. A second
/// secant leaves nothing of where the bracket stood, so that an edge is the same
/// whatever was asked before.
fn solve(
    mut a: f64,
    mut margin_a: f64,
    mut b: f64,
    mut margin_b: f64,
    reading: &mut impl FnMut(f64) -> Reading,
) -> f64 {
    while b - a > LEAST_STEP {
        let middle = 0.5 * (a + b);
        let margin = reading(middle).margin;
        if (margin >= 0.0) == (margin_a >= 0.0) {
            (a, margin_a) = (middle, margin);
        } else {
            (b, margin_b) = (middle, margin);
        }
    }
    let near = secant(a, margin_a, b, margin_b);
    let margin = reading(near).margin;
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

    fn found(from: f64, to: f64, reading: impl FnMut(f64) -> Reading) -> (bool, Vec<f64>) {
        let mut times = Vec::new();
        let start = crossings(from, to, reading, |t| times.push(t));
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
