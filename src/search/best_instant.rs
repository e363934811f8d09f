//! The instant of a period with the highest score.
//!
//! The score is a smooth curve but where the Moon begins or ceases to light the
//! land: there a factor comes or goes and the score jumps. Samples show where
//! that is; between the jumps parabolas find each top that may be the highest.

use super::{interval::Interval, planner::Planner, score::Factors};
use crate::ephemeris::Moment;

/// Samples of a period stand this far apart or nearer, minutes, in a long one
/// [`LONG_SAMPLE_MINUTES`]. The light changes with a fraction of the sky's
/// rotation.
const SAMPLE_MINUTES: f64 = 20.0;
const LONG_SAMPLE_MINUTES: f64 = 40.0;
/// Samples of a period that is not long, but for the first.
const FEW: f64 = 8.0;
/// Times as many samples where the Moon may rise or set within the period: low
/// down it changes the light within minutes.
const DENSER: f64 = 2.0;
/// Samples beside a jump, and there beside the ends, minutes.
const BESIDE_MINUTES: [f64; 4] = [2.0, 4.0, 9.0, 16.0];
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
        let best = best_instant(interval, self.aim.is_for_any_moon(), &judged);
        (Moment::from_seconds(best.seconds), best.factors)
    }
}

fn best_instant(interval: Interval, for_any_moon: bool, judged: &impl Fn(f64) -> Tried) -> Tried {
    let mut best = judged(interval.start);
    let mut last = best;
    let mut smooth = vec![best];
    for seconds in looks(interval, for_any_moon) {
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

/// When the samples of a period after its first are taken, in order, seconds.
fn looks(interval: Interval, for_any_moon: bool) -> Vec<f64> {
    let Interval { start, end } = interval;
    let denser = if for_any_moon { DENSER } else { 1.0 };
    let minutes = interval.minutes() * denser;
    let steps = (minutes / SAMPLE_MINUTES).ceil().clamp(2.0, FEW * denser);
    let steps = steps.max((minutes / LONG_SAMPLE_MINUTES).ceil());
    let step = (end - start) / steps;
    let mut looks: Vec<f64> = (1..=steps as u32)
        .map(|index| (start + step * f64::from(index)).min(end))
        .collect();
    if for_any_moon {
        looks.extend(beside((start + step, start)));
        looks.extend(beside((end - step, end)));
        looks.sort_by(f64::total_cmp);
    }
    looks
}

/// Times [`BESIDE_MINUTES`] from the second of two times on, toward the first
/// and before it, seconds.
fn beside((other, from): (f64, f64)) -> Vec<f64> {
    let apart = (other - from).abs();
    let off = BESIDE_MINUTES.map(|minutes| 60.0 * minutes);
    let off = off.into_iter().filter(|seconds| *seconds < apart);
    off.map(|seconds| from + seconds.copysign(other - from))
        .collect()
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
        let Some(curve) = Curve::through([&low, &top, &high], beside.as_ref()) else {
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

/// The curve through three instants, and through a fourth if there is one.
///
/// From the middle one to u seconds after it, it rises by `slope` u - `bend` u^2 +
/// `twist` u (u + `left`) (u - `right`) points.
struct Curve {
    left: f64,
    right: f64,
    slope: f64,
    bend: f64,
    twist: f64,
}

impl Curve {
    /// `None` where the three lie on a level line, or have no scores.
    fn through([low, top, high]: [&Tried; 3], beside: Option<&Tried>) -> Option<Self> {
        let [left, right] = [top.seconds - low.seconds, high.seconds - top.seconds];
        let [up, down] = [top.score - low.score, top.score - high.score];
        let scale = left * right * (left + right);
        let parabola = Self {
            left,
            right,
            slope: (right * right * up - left * left * down) / scale,
            bend: (left * down + right * up) / scale,
            twist: 0.0,
        };
        // No comparison holds of a score that is no number.
        let bends_down = parabola.bend > 0.0 && left > 0.0 && right > 0.0;
        let twist = beside.map_or(0.0, |beside| {
            let off = beside.seconds - top.seconds;
            (beside.score - top.score - parabola.rise(off)) / parabola.twisted(off)
        });
        let twist = if twist.is_finite() { twist } else { 0.0 };
        bends_down.then_some(Self { twist, ..parabola })
    }

    /// How far its top is from the middle instant, seconds; that of the parabola
    /// where the twist leaves none between the three.
    fn vertex(&self) -> f64 {
        let Self {
            left,
            right,
            slope,
            bend,
            twist,
        } = *self;
        let plain = 0.5 * slope / bend;
        let [a, half, c] = [
            3.0 * twist,
            bend + twist * (right - left),
            slope - twist * left * right,
        ];
        // a u^2 - 2 half u + c = 0, the root that stays where there is no twist.
        let root = half * half - a * c;
        let top = c / (half + root.sqrt());
        if half > 0.0 && top > -left && top < right {
            top
        } else {
            plain
        }
    }

    /// How much higher it is so many seconds off.
    fn rise(&self, off: f64) -> f64 {
        off * (self.slope - self.bend * off) + self.twist * self.twisted(off)
    }

    /// How much higher a twist of one makes it there.
    fn twisted(&self, off: f64) -> f64 {
        off * (off + self.left) * (off - self.right)
    }
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
            let found = best_instant(Interval::new(0.0, end), false, &curve);
            let dense = (0..=(end as u32) / 5).map(|i| curve(f64::from(5 * i)).score);
            let highest = dense.fold(f64::NEG_INFINITY, f64::max);
            // The steepest of these corners falls by that within BEST_SECONDS.
            prop_assert!(found.score > highest - 0.2, "{} of {highest}", found.score);
        }
    }

    #[test]
    fn a_short_rise_to_the_end_takes_few_tries() {
        let count = std::cell::Cell::new(0);
        let found = best_instant(Interval::new(0.0, 2400.0), false, &|t| {
            count.set(count.get() + 1);
            tried(t, t / 100.0, true)
        });
        assert_eq!(found.seconds, 2400.0);
        assert!(count.get() <= 4, "{} tries", count.get());
    }

    #[test]
    fn the_first_of_equals_is_best() {
        let whole = Interval::new(10.0, 9000.0);
        let level = best_instant(whole, false, &|t| tried(t, 5.0, false));
        assert_eq!(level.seconds, 10.0);
    }
}
