//! Where a star or the Sun stands at equal steps of time, for all places: a
//! circle over any of them comes from it by arithmetic alone.

use super::{Moment, Observer, SKY_RATE, diurnal_circle::DiurnalCircle, fit::tt};
use glam::DVec3;
use std::f64::consts::TAU;

/// Nearer to the pole a right ascension may turn too fast to lie on a line
/// between steps: cosine of the declination.
const NEAR_POLE_COS: f64 = 0.01;

/// Places in equal steps of time.
#[derive(Debug, Clone)]
pub(super) struct EquatorPlaces {
    from: f64,
    step_seconds: f64,
    places: Vec<Place>,
    /// How far the body can leave the straight lines between places, and their
    /// continuation for half a day, radians.
    off: f64,
}

/// A direction as seen from the Earth's centre.
#[derive(Debug, Clone, Copy)]
struct Place {
    /// Right ascension from the celestial origin, turns, which go on counting.
    turns: f64,
    /// Of the declination.
    sin: f64,
    cos: f64,
}

impl EquatorPlaces {
    /// Of vectors, CIRS, of any length, in steps from a time on (TT).
    pub fn of(
        ((from, step_seconds), vectors): ((f64, f64), impl Iterator<Item = DVec3>),
        off: f64,
    ) -> Self {
        let mut turns = 0.0;
        let places = vectors.map(|vector| {
            let unit = vector.normalize_or_zero();
            let here = unit.y.atan2(unit.x) / TAU;
            turns += (here - turns) - (here - turns).round();
            Place {
                turns,
                sin: unit.z,
                cos: unit.x.hypot(unit.y),
            }
        });
        Self {
            from,
            step_seconds,
            places: places.collect(),
            off,
        }
    }

    /// The body's way over the sky of an observer for half a day about a
    /// moment; `None` where the places do not tell.
    #[inline]
    pub fn circle(&self, observer: &Observer, moment: Moment) -> Option<DiurnalCircle> {
        let steps = (tt(moment) - self.from) / self.step_seconds;
        // A negative number makes 0.
        let index = steps as usize;
        let (before, after) = (self.places.get(index)?, self.places.get(index + 1)?);
        if steps < 0.0 || before.cos.min(after.cos) < NEAR_POLE_COS {
            return None;
        }
        let share = steps - index as f64;
        let between = |before: f64, after: f64| before + (after - before) * share;
        let (sin_latitude, cos_latitude) = observer.latitude_sin_cos();
        let (more_sin, more_cos) = (after.sin - before.sin, after.cos - before.cos);
        let right_ascension = between(before.turns, after.turns);
        let past_meridian = observer.turns_at(moment) - right_ascension;
        let rate = SKY_RATE - TAU * (after.turns - before.turns) / self.step_seconds;
        let seconds_past = TAU * (past_meridian - past_meridian.floor()) / rate;
        Some(DiurnalCircle {
            moment: moment.seconds(),
            base: sin_latitude * between(before.sin, after.sin),
            swing: cos_latitude * between(before.cos, after.cos),
            top: moment.seconds() - seconds_past,
            rate,
            stray: (more_sin * more_sin + more_cos * more_cos).sqrt() / self.step_seconds,
            off: self.off,
        })
    }
}
