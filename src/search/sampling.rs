//! When the score of a period is looked at before its tops are sought.

use super::{interval::Interval, planner::Planner};

/// Samples of a period stand this far apart or nearer, minutes, in a long one
/// [`LONG_SAMPLE_MINUTES`]. The light changes with a fraction of the sky's
/// rotation.
const SAMPLE_MINUTES: f64 = 20.0;
const LONG_SAMPLE_MINUTES: f64 = 40.0;
/// Samples beside a jump, and beside the ends where the Moon may rise or set,
/// minutes.
const BESIDE_MINUTES: [f64; 4] = [2.0, 4.0, 9.0, 16.0];

/// How many samples of a period are taken: the project's choice, held to dense
/// looks by tests.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sampling {
    /// Those of a period that is not long, but for the first.
    few: f64,
    /// How many times as many there are.
    denser: f64,
    /// Whether more stand beside the ends.
    beside_ends: bool,
}

impl Sampling {
    pub const PLAIN: Self = Self {
        few: 8.0,
        denser: 1.0,
        beside_ends: false,
    };
    /// Where the Moon may rise or set within the period: low down it changes the
    /// light within minutes.
    pub const ANY_MOON: Self = Self {
        denser: 2.0,
        beside_ends: true,
        ..Self::PLAIN
    };
    /// Where a low Moon stays to the side: it goes through the altitudes of raking
    /// light in hours, and the score is one broad hill.
    pub const RAKING: Self = Self {
        few: 4.0,
        ..Self::PLAIN
    };

    /// When the samples of a period after its first are taken, in order, seconds.
    pub fn looks(self, interval: Interval) -> Vec<f64> {
        let Interval { start, end } = interval;
        let minutes = interval.minutes() * self.denser;
        let steps = (minutes / SAMPLE_MINUTES).ceil();
        let steps = steps.clamp(2.0, self.few * self.denser);
        let steps = steps.max((minutes / LONG_SAMPLE_MINUTES).ceil());
        let step = (end - start) / steps;
        let mut looks: Vec<f64> = (1..=steps as u32)
            .map(|index| (start + step * f64::from(index)).min(end))
            .collect();
        if self.beside_ends {
            looks.extend(beside((start + step, start)));
            looks.extend(beside((end - step, end)));
            looks.sort_by(f64::total_cmp);
        }
        looks
    }
}

/// Times [`BESIDE_MINUTES`] from the second of two times on, toward the first
/// and before it, seconds.
pub(super) fn beside((other, from): (f64, f64)) -> Vec<f64> {
    let apart = (other - from).abs();
    let off = BESIDE_MINUTES.map(|minutes| 60.0 * minutes);
    let off = off.into_iter().filter(|seconds| *seconds < apart);
    off.map(|seconds| from + seconds.copysign(other - from))
        .collect()
}

impl Planner {
    /// How the best instants of windows are looked for.
    pub(super) fn sampling(&self) -> Sampling {
        if self.aim.is_for_any_moon() {
            Sampling::ANY_MOON
        } else if self.aim.is_of_the_dark() {
            Sampling::PLAIN
        } else {
            self.sampling_of_land()
        }
    }

    /// The same of periods in which the Moon lights the land. Where the subject
    /// has a skyline the light comes and goes with it.
    pub(super) fn sampling_of_land(&self) -> Sampling {
        if self.aim.is_of_low_side_light() && self.terrain.subject.is_none() {
            Sampling::RAKING
        } else {
            Sampling::PLAIN
        }
    }
}
