//! When a body may stand within a band of altitudes, in closed form.

use super::{Moment, SKY_RATE, Sky};
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
pub(super) const SPARE: f64 = 1e-5;
/// Hours less far apart than this are one, seconds: a whole circle is closed.
const CLOSED_SECONDS: f64 = 0.01;

/// The way of a body over the sky as if it kept its declination, and its pace
/// among the stars, from one moment on.
///
/// The sine of its altitude is `base + swing cos(rate (t - top))`, wrong by no
/// more than `stray` for each second from that moment, because the body leaves
/// that way no faster, and by `off` at any time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DiurnalCircle {
    /// When the body stands on it, seconds.
    pub(super) moment: f64,
    pub(super) base: f64,
    pub(super) swing: f64,
    /// When the body is highest, seconds.
    pub(super) top: f64,
    /// How fast it turns, radians a second.
    pub(super) rate: f64,
    pub(super) stray: f64,
    pub(super) off: f64,
}

impl DiurnalCircle {
    /// That of a body which stands still among the stars: of a unit vector, east,
    /// north and up, at `moment`, in a sky whose pole stands at a latitude with
    /// this sine and cosine. `stray`: how fast the vector leaves the plain
    /// rotation, radians a second.
    pub fn new(moment: f64, local: DVec3, latitude: (f64, f64), stray: f64) -> Self {
        let (s, c) = latitude;
        let axis = c * local.y + s * local.z;
        let meridian = c * local.z - s * local.y;
        Self {
            moment,
            base: s * axis,
            swing: c * (local.x * local.x + meridian * meridian).sqrt(),
            top: moment + local.x.atan2(meridian) / SKY_RATE,
            rate: SKY_RATE,
            stray,
            off: SPARE,
        }
    }

    /// The least and the greatest sine of the altitude in `from..=to`.
    pub fn sines_within(&self, [from, to]: [f64; 2]) -> [f64; 2] {
        let off = self.stray * self.farthest([from, to]) + self.off;
        let angles = [from, to].map(|t| self.rate * (t - self.top));
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
        let off = self.stray * self.farthest([from, to]) + self.off;
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
        let (reach, hole) = (reach / self.rate, hole / self.rate);
        let turn = TAU / self.rate;
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

impl Sky<'_> {
    /// A body's way over the sky for half a day about `t`.
    pub(crate) fn diurnal_circle(&self, body: Body, t: f64) -> DiurnalCircle {
        let (observer, moment) = (self.observer(), Moment::from_seconds(t));
        let known = match body {
            Body::Sun => self.ephemeris().sun_circle(observer, moment),
            Body::Target => self.target_track().circle(observer, moment),
            Body::Moon => None,
        };
        known.unwrap_or_else(|| {
            let (u, stray) = self.direction_of(body, t);
            DiurnalCircle::new(t, u, observer.latitude_sin_cos(), SKY_RATE * stray)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Direction, Ephemeris, Observer, Refraction};

    /// Sun and stars, those at a pole among them, over two centuries and the
    /// whole Earth.
    #[test]
    fn a_body_stays_near_its_circle_for_half_a_day() {
        let day = 86_400.0;
        let star = |right_ascension_deg, declination_deg| Direction::Icrs {
            right_ascension_deg,
            declination_deg,
        };
        let declinations = [-90.0, -89.7, -88.0, -29.0, 0.0, 66.5, 89.3, 89.5, 90.0];
        // Of what a circle allows: the most that was used by Sun and stars.
        let mut used = [0.0_f64; 2];
        for (part, declination) in declinations.into_iter().cycle().take(27).enumerate() {
            let part = part as f64;
            let from = Moment::from_seconds((part * 7.6 - 99.9) * 365.25 * day);
            let ephemeris = Ephemeris::covering(from, from.plus_seconds(40.0 * day));
            let target = ephemeris.star(star(part * 77.0, declination));
            for step in 0..400 {
                let step = f64::from(step);
                let latitude = (-90.0 + step * 0.5).clamp(-90.0, 90.0);
                let observer = Observer::new(latitude, step * 17.0 - 180.0, 3000.0);
                let sky = Sky::new(&ephemeris, &target, observer, Refraction::NONE);
                let t = from.seconds() + (0.6 + step * 0.097) * day;
                for (which, body) in [Body::Sun, Body::Target].into_iter().enumerate() {
                    let circle = sky.diurnal_circle(body, t);
                    for later in [-0.5, -0.3, -0.01, 0.0, 0.2, 0.5] {
                        let at = t + later * day;
                        let angle = circle.rate * (at - circle.top);
                        let sine = circle.base + circle.swing * angle.cos();
                        let off = (sky.up_of(body, at).value - sine).abs();
                        let allowed = circle.stray * (at - t).abs() + circle.off;
                        used[which] = used[which].max(off / allowed);
                    }
                }
            }
        }
        assert!(used[0] < 0.9 && used[1] < 0.9, "{used:?}");
        // The bounds are no wider than they have to be.
        assert!(used[0] > 0.3 && used[1] > 0.1, "{used:?}");
    }
}
