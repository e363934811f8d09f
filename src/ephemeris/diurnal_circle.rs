//! When a body may stand within a band of altitudes, in closed form.

use super::SKY_RATE;
use glam::DVec3;
use std::f64::consts::{PI, TAU};

/// What moves over the sky and has a rule of its altitude.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Body {
    /// The Sun.
    Sun,
    /// The Moon.
    Moon,
    /// The target, which may be the Moon.
    Target,
}

/// Sines that a circle leaves for what its stray does not hold: a leap second
/// within the hours (3e-6 of the Moon), the steps between pieces of a track
/// (2e-7), rounding.
const SPARE: f64 = 1e-5;
/// Hours less far apart than this are one, seconds: a whole circle is closed.
const CLOSED_SECONDS: f64 = 0.01;

/// The way of a body over the sky as if it stood still among the stars from one
/// moment on.
///
/// The sine of its altitude is `base + swing cos(SKY_RATE (t - top))`, wrong by
/// no more than `stray` for each second from that moment, because the body
/// leaves its place among the stars no faster than that.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DiurnalCircle {
    /// When the body stands on it, seconds.
    moment: f64,
    base: f64,
    swing: f64,
    /// When the body is highest, seconds.
    top: f64,
    stray: f64,
}

impl DiurnalCircle {
    /// That of a unit vector, east, north and up, at `moment`, in a sky whose
    /// pole stands at a latitude with this sine and cosine. `stray`: how fast
    /// the vector leaves the plain rotation, radians a second.
    pub fn new(moment: f64, local: DVec3, latitude: (f64, f64), stray: f64) -> Self {
        let (s, c) = latitude;
        let axis = c * local.y + s * local.z;
        let meridian = c * local.z - s * local.y;
        Self {
            moment,
            base: s * axis,
            swing: c * (local.x * local.x + meridian * meridian).sqrt(),
            top: moment + local.x.atan2(meridian) / SKY_RATE,
            stray,
        }
    }

    /// The least and the greatest sine of the altitude in `from..=to`.
    pub fn sines_within(&self, [from, to]: [f64; 2]) -> [f64; 2] {
        let off = self.stray * self.farthest([from, to]) + SPARE;
        let angles = [from, to].map(|t| SKY_RATE * (t - self.top));
        let turns = angles.map(|angle| angle / TAU);
        let passes = |turn: f64| (turns[0] - turn).ceil() <= (turns[1] - turn).floor();
        let [first, last] = angles.map(f64::cos);
        let most = if passes(0.0) { 1.0 } else { first.max(last) };
        let least = if passes(0.5) { -1.0 } else { first.min(last) };
        [
            self.base + self.swing * least - off,
            self.base + self.swing * most + off,
        ]
    }

    /// How far the body can be from where it is known, in time, seconds.
    fn farthest(&self, [from, to]: [f64; 2]) -> f64 {
        (from - self.moment).abs().max((to - self.moment).abs())
    }

    /// The parts of `from..=to` in which the sine of the altitude may be at
    /// least `low` and at most `high`, in order. It is surely not in the rest.
    pub fn may_be_within(
        &self,
        [low, high]: [Option<f64>; 2],
        [from, to]: [f64; 2],
        mut part: impl FnMut(f64, f64),
    ) {
        let off = self.stray * self.farthest([from, to]) + SPARE;
        // Angles from the top. A circle without swing gives infinities, which
        // hold always or never, or no number, which counts as always.
        let reach = low.map_or(-1.0, |low| (low - off - self.base) / self.swing);
        let hole = high.map_or(1.0, |high| (high + off - self.base) / self.swing);
        if reach > 1.0 || hole < -1.0 {
            return;
        }
        let reach = if reach > -1.0 { reach.acos() } else { PI };
        let hole = if hole < 1.0 { hole.acos() } else { 0.0 };
        if hole > reach {
            return;
        }
        let (reach, hole) = (reach / SKY_RATE, hole / SKY_RATE);
        let turn = TAU / SKY_RATE;
        let mut top = self.top + turn * ((from - self.top) / turn - 0.5).floor();
        // Hours not yet told, which the next may continue.
        let mut open: Option<(f64, f64)> = None;
        while top - reach < to {
            let halves = [(top - reach, top - hole), (top + hole, top + reach)];
            for (start, end) in halves {
                let (start, end) = (start.max(from), end.min(to));
                if start >= end {
                    continue;
                }
                open = Some(match open {
                    Some((first, last)) if start <= last + CLOSED_SECONDS => (first, end),
                    Some((first, last)) => {
                        part(first, last);
                        (start, end)
                    }
                    None => (start, end),
                });
            }
            top += turn;
        }
        if let Some((first, last)) = open {
            part(first, last);
        }
    }
}
