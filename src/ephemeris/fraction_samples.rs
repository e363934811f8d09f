//! The Moon's illuminated fraction at a few times a day, for all places: most
//! nights need no more of it.

use super::fit::FRACTION_BEND;

/// From one sample to the next, seconds: a third of a day.
const STEP: f64 = 28_800.0;
/// How far the fraction can leave the straight line between two samples: what
/// bends no more than so leaves it by an eighth of the bend times the step
/// squared. A leap second, the steps between pieces and rounding add less than
/// the last term.
const OFF: f64 = FRACTION_BEND * STEP * STEP / 8.0 + 1e-5;

/// Samples of the fraction in equal steps.
#[derive(Debug, Clone)]
pub(super) struct FractionSamples {
    from: f64,
    samples: Vec<f64>,
}

impl FractionSamples {
    /// Of a function of UTC seconds from one time to another.
    pub fn of(from: f64, to: f64, fraction: impl Fn(f64) -> f64) -> Self {
        // None beyond the span, where the fraction is not known.
        let count = ((to - from) / STEP).max(0.0).floor() as usize + 1;
        let sample = |index| fraction(from + STEP * index as f64);
        Self {
            from,
            samples: (0..count).map(sample).collect(),
        }
    }

    /// The least and the most of it from one time to another; all that is
    /// possible where it is not known.
    #[inline]
    pub fn between(&self, from: f64, to: f64) -> [f64; 2] {
        let of_line = || {
            let (first, last) = ((from - self.from) / STEP, (to - self.from) / STEP);
            let ends = [self.on_line(first)?, self.on_line(last)?];
            let inner = self.samples.get(first as usize + 1..=last as usize)?;
            let all = || ends.iter().chain(inner).copied();
            Some([
                all().fold(f64::INFINITY, f64::min) - OFF,
                all().fold(f64::NEG_INFINITY, f64::max) + OFF,
            ])
        };
        of_line().unwrap_or([f64::NEG_INFINITY, f64::INFINITY])
    }

    /// The straight line between samples, `place` steps after the first.
    #[inline]
    fn on_line(&self, place: f64) -> Option<f64> {
        if place < 0.0 {
            return None;
        }
        let index = place as usize;
        let (before, after) = (self.samples.get(index)?, self.samples.get(index + 1)?);
        Some(before + (after - before) * (place - index as f64))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Ephemeris, Moment};

    #[test]
    fn the_fraction_of_each_night_lies_between_its_bounds_and_near_them() {
        let start = 26.0 * 365.25 * 86_400.0;
        let day = 86_400.0;
        let from = Moment::from_seconds(start);
        let ephemeris = Ephemeris::covering(from, from.plus_seconds(800.0 * day));
        for night in 1..780 {
            // From another hour every night.
            let first = start + f64::from(night) * (day + 777.0);
            let [least, most] = ephemeris.moon_fraction_between(first, first + day);
            let fractions = (0..=48).map(|step| {
                let t = first + f64::from(step) * day / 48.0;
                ephemeris.moon_fraction(t).value
            });
            let (lowest, highest) = fractions.fold((1.0_f64, 0.0_f64), |(low, high), next| {
                (low.min(next), high.max(next))
            });
            assert!(least <= lowest && highest <= most, "{night}");
            assert!(
                lowest - least < 2.0 * OFF && most - highest < 2.0 * OFF,
                "{night}"
            );
        }
        // Of what lies outside, nothing is known.
        let end = ephemeris.to().seconds();
        for unknown in [[start - 1.0, start + day], [end - day, end + 1.0]] {
            let [least, most] = ephemeris.moon_fraction_between(unknown[0], unknown[1]);
            assert!(least < 0.0 && most > 1.0);
        }
    }
}
