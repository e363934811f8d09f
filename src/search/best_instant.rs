//! The instant of a period with the highest score.
//!
//! The score is a smooth curve but where the Moon begins or ceases to light the
//! land: there a factor comes or goes and the score jumps. Samples show where
//! that is; between the jumps parabolas find each top that may be the highest.

use super::{
    interval::Interval,
    planner::Planner,
    sampling::{Sampling, beside},
    score::Factors,
    score_curve::Curve,
};
use crate::ephemeris::Moment;

/// How closely a jump of the score is found, seconds.
const JUMP_SECONDS: f64 = 1.0;
/// How closely the best instant is found where the score hardly changes,
/// seconds.
const BEST_SECONDS: f64 = 15.0;
/// Points of the score that are not worth another try.
const NO_GAIN: f64 = 1e-4;
/// Points by which the top of a curve that bends down may be missed. A score shows
/// tenths.
const LITTLE_GAIN: f64 = 0.01;
/// Tries after which a search for a top ends, whatever the curve.
const MOST_TRIES: usize = 16;
/// Part of the longer side that a try stands from the best so far where a
/// parabola does not help.
const GOLDEN_PART: f64 = 0.381_966_011_250_105_1;

/// An instant with its score.
#[derive(Debug, Clone, Copy)]
struct Tried {
    seconds: f64,
    score: f64,
    factors: Factors,
}

impl Tried {
    /// Its place on the curve of the score.
    fn place(&self) -> (f64, f64) {
        (self.seconds, self.score)
    }

    /// Whether the same factors count in both, so that the score may be smooth
    /// between them.
    fn is_like(&self, other: &Self) -> bool {
        let counted = |tried: &Self| {
            let factors = &tried.factors;
            [
                factors.contrast.is_some(),
                factors.balance.is_some(),
                factors.raking.is_some(),
            ]
        };
        counted(self) == counted(other)
    }
}

impl Planner {
    /// The instant of a period with the highest score, the first of equals, and
    /// its factors.
    ///
    /// A top between two samples is found where its neighbours rise toward it;
    /// a jump where the factors differ from one sample to the next.
    pub(super) fn best_of(
        &self,
        interval: Interval,
        sampling: Sampling,
        judge: impl Fn(Moment) -> Factors,
    ) -> (Moment, Factors) {
        let judged = |seconds: f64| {
            let factors = judge(Moment::from_seconds(seconds));
            Tried {
                seconds,
                score: factors.score(&self.rules.weights),
                factors,
            }
        };
        let best = best_instant(interval, sampling, &judged);
        (Moment::from_seconds(best.seconds), best.factors)
    }
}

fn best_instant(interval: Interval, sampling: Sampling, judged: &impl Fn(f64) -> Tried) -> Tried {
    let mut best = judged(interval.start);
    let mut last = best;
    let looks = sampling.looks(interval);
    let mut smooth = Vec::with_capacity(1 + looks.len());
    smooth.push(best);
    for seconds in looks {
        let next = judged(seconds);
        if !last.is_like(&next) {
            let [before, after] = jump(last, next, judged);
            let to_jump = (last.seconds, before.seconds);
            smooth.extend(beside(to_jump).into_iter().rev().map(judged));
            add(&mut smooth, before);
            best = best_along(&smooth, best, judged);
            smooth = vec![after];
            let from_jump = (next.seconds, after.seconds);
            smooth.extend(beside(from_jump).into_iter().map(judged));
        }
        add(&mut smooth, next);
        last = next;
    }
    best_along(&smooth, best, judged)
}

/// Adds a sample to a smooth part, unless its last one stands there already.
fn add(smooth: &mut Vec<Tried>, next: Tried) {
    if smooth.last().is_none_or(|last| last.seconds < next.seconds) {
        smooth.push(next);
    }
}

/// The instants right before and after a jump between two.
fn jump(mut before: Tried, mut after: Tried, judged: &impl Fn(f64) -> Tried) -> [Tried; 2] {
    while after.seconds - before.seconds > JUMP_SECONDS {
        let middle = judged(0.5 * (before.seconds + after.seconds));
        if middle.is_like(&before) {
            before = middle;
        } else {
            after = middle;
        }
    }
    [before, after]
}

/// The best of the samples of a smooth part, of the tops between them, and of
/// the best so far.
fn best_along(samples: &[Tried], best: Tried, judged: &impl Fn(f64) -> Tried) -> Tried {
    let better = |best: Tried, next: &Tried| match next.score > best.score {
        true => *next,
        false => best,
    };
    let mut best = samples.iter().fold(best, better);
    for index in 0..samples.len() {
        let before = index.checked_sub(1).and_then(|before| samples.get(before));
        if let Some(top) = top_near(before, &samples[index..], &best, judged) {
            best = better(best, &top);
        }
    }
    best
}

/// The top of the curve about a sample, the first of those `from` it on, with
/// that `before` it. `None` where the sample is no higher than its neighbours,
/// is a top itself, or where the top cannot be higher than `best`.
fn top_near(
    before: Option<&Tried>,
    from: &[Tried],
    best: &Tried,
    judged: &impl Fn(f64) -> Tried,
) -> Option<Tried> {
    let (sample, after) = (from.first()?, from.get(1));
    let is_top = before.is_none_or(|before| sample.score > before.score)
        && after.is_none_or(|after| sample.score >= after.score);
    if !is_top {
        return None;
    }
    match (before, after) {
        (Some(before), Some(after)) => {
            // Twice that for a curve that does not bend down.
            let may_be_best = sample.score + 2.0 * most_gain(before, sample, after) > best.score;
            may_be_best.then(|| top_between([*before, *sample, *after], from.get(2), judged))
        }
        // Only the side to which the curve goes on can show whether it rises.
        (None, Some(after)) => climb(*sample, *after, judged),
        (Some(before), None) => climb(*sample, *before, judged),
        (None, None) => None,
    }
}

/// By how much a curve that bends down can be higher between three instants than
/// at the middle one: it rises no steeper behind that than before it, from either
/// side.
fn most_gain(low: &Tried, top: &Tried, high: &Tried) -> f64 {
    let [left, right] = [top.seconds - low.seconds, high.seconds - top.seconds];
    let up = (top.score - low.score) * right / left;
    let down = (top.score - high.score) * left / right;
    up.max(down)
}

/// The top between an end of a smooth part and the sample next to it; `None`
/// where the end is the top.
fn climb(end: Tried, next: Tried, judged: &impl Fn(f64) -> Tried) -> Option<Tried> {
    let apart = next.seconds - end.seconds;
    if apart.abs() <= 2.0 * BEST_SECONDS {
        return None;
    }
    let inside = judged(end.seconds + BEST_SECONDS.copysign(apart));
    let rises = inside.score > end.score + NO_GAIN;
    rises.then(|| match apart > 0.0 {
        true => top_between([end, inside, next], None, judged),
        false => top_between([next, inside, end], None, judged),
    })
}

/// The top between two instants with a third between them that is as high as
/// either: by curves through these and one `beside` them, and by a part of the
/// longer side where they do not close in. A limit of a factor makes a corner of a
/// top, which no curve fits: the top counts as found only where the score falls so
/// near on both sides that a curve that bends down has nothing to gain.
fn top_between(
    [mut low, mut top, mut high]: [Tried; 3],
    beside: Option<&Tried>,
    judged: &impl Fn(f64) -> Tried,
) -> Tried {
    let mut beside = beside.copied();
    let mut widths = [f64::INFINITY; 2];
    for _ in 0..MOST_TRIES {
        let [left, right] = [top.seconds - low.seconds, high.seconds - top.seconds];
        let (longer, toward) = match right > left {
            true => (right, 1.0),
            false => (left, -1.0),
        };
        if longer <= BEST_SECONDS || most_gain(&low, &top, &high) < LITTLE_GAIN {
            break;
        }
        let Some(curve) = Curve::through(
            [low, top, high].map(|tried| tried.place()),
            beside.map(|tried| tried.place()),
        ) else {
            break;
        };
        let off = curve.vertex();
        let gain = curve.rise(off);
        let closes_in = left + right <= 0.5 * widths[0];
        widths = [widths[1], left + right];
        let step = if !closes_in {
            toward * GOLDEN_PART * longer
        } else if gain < 0.5 * LITTLE_GAIN || off.abs() < 0.5 * BEST_SECONDS {
            let near = (0.5 * LITTLE_GAIN / curve.bend).sqrt();
            toward * near.min(GOLDEN_PART * longer).max(BEST_SECONDS)
        } else {
            off
        };
        let next = judged(top.seconds + step);
        let dropped;
        (low, top, high, dropped) = match (next.score > top.score, step > 0.0) {
            (true, true) => (top, next, high, low),
            (true, false) => (low, next, top, high),
            (false, true) => (low, top, next, high),
            (false, false) => (next, top, high, low),
        };
        beside = Some(dropped);
    }
    top
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A curve of a score over hours, with a factor that counts from an hour on.
    fn tried(seconds: f64, score: f64, moonlit: bool) -> Tried {
        Tried {
            seconds,
            score,
            factors: Factors {
                balance: moonlit.then_some(1.0),
                ..Factors::default()
            },
        }
    }

    proptest! {
        #[test]
        fn the_highest_of_two_hills_and_a_jump_is_found(
            hours in 0.3..14.0_f64,
            hills in prop::array::uniform2((0.0..1.0_f64, 0.7..4.0_f64, 10.0..90.0_f64)),
            slope in -20.0..20.0_f64,
            rise in (0.0..1.0_f64, -20.0..20.0_f64),
            most in 30.0..150.0_f64,
        ) {
            let end = hours * 3600.0;
            let curve = |t: f64| {
                let hill = |(at, wide, height): (f64, f64, f64)| {
                    height * (-0.5 * ((t - at * end) / (3600.0 * wide)).powi(2)).exp()
                };
                let moonlit = t >= rise.0 * end;
                let jump = if moonlit { rise.1 } else { 0.0 };
                // A factor that is full makes corners.
                let full = hills.into_iter().map(hill).sum::<f64>().min(most);
                let score = full + slope * t / end + jump;
                tried(t, score, moonlit)
            };
            let found = best_instant(Interval::new(0.0, end), Sampling::PLAIN, &curve);
            let dense = (0..=(end as u32) / 5).map(|i| curve(f64::from(5 * i)).score);
            let highest = dense.fold(f64::NEG_INFINITY, f64::max);
            // The steepest of these corners falls by that within BEST_SECONDS.
            prop_assert!(found.score > highest - 0.2, "{} of {highest}", found.score);
        }
    }

    proptest! {
        #[test]
        fn a_broad_hill_is_found_by_few_looks(
            hours in 0.3..9.0_f64,
            (at, wide, height) in (-0.2..1.2_f64, 0.7..4.0_f64, 10.0..90.0_f64),
            slope in -10.0..10.0_f64,
            most in 30.0..150.0_f64,
        ) {
            let end = hours * 3600.0;
            let curve = |t: f64| {
                let hill = (-0.5 * ((t - at * end) / (3600.0 * wide)).powi(2)).exp();
                tried(t, (height * hill).min(most) + slope * t / end, true)
            };
            let found = best_instant(Interval::new(0.0, end), Sampling::RAKING, &curve);
            let dense = (0..=(end as u32) / 5).map(|i| curve(f64::from(5 * i)).score);
            let highest = dense.fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(found.score > highest - 0.2, "{} of {highest}", found.score);
        }
    }

    #[test]
    fn a_short_rise_to_the_end_takes_few_tries() {
        let count = std::cell::Cell::new(0);
        let found = best_instant(Interval::new(0.0, 2400.0), Sampling::PLAIN, &|t| {
            count.set(count.get() + 1);
            tried(t, t / 100.0, true)
        });
        assert_eq!(found.seconds, 2400.0);
        assert!(count.get() <= 4, "{} tries", count.get());
    }

    #[test]
    fn the_first_of_equals_is_best() {
        let whole = Interval::new(10.0, 9000.0);
        let level = best_instant(whole, Sampling::PLAIN, &|t| tried(t, 5.0, false));
        assert_eq!(level.seconds, 10.0);
    }
}
