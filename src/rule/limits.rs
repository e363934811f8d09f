//! Bands of values that change with time, as margins.

use crate::{
    ephemeris::{Bounded, Reading},
    scene::Band,
};

/// A band of sines or fractions; an end that always holds is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    pub low: Option<f64>,
    pub high: Option<f64>,
}

impl Limits {
    /// From altitudes in degrees.
    pub(crate) fn of_altitudes(band: Band, geometric: impl Fn(f64) -> f64) -> Self {
        let sine = |altitude: f64| geometric(altitude).to_radians().sin();
        Self {
            low: (band.low > -90.0).then(|| sine(band.low)),
            high: (band.high < 90.0).then(|| sine(band.high)),
        }
    }

    pub(crate) fn of_fractions(band: Band) -> Self {
        Self {
            low: (band.low > 0.0).then_some(band.low),
            high: (band.high < 1.0).then_some(band.high),
        }
    }

    /// Whether all quantities of a range lie within; `None` if some may and some
    /// may not.
    pub(crate) fn of_all(self, [least, most]: [f64; 2]) -> Option<bool> {
        let over_low = |value| self.low.is_none_or(|low| low <= value);
        let under_high = |value| self.high.is_none_or(|high| value <= high);
        if over_low(least) && under_high(most) {
            Some(true)
        } else if !over_low(most) || !under_high(least) {
            Some(false)
        } else {
            None
        }
    }

    #[inline]
    pub(crate) fn read(self, quantity: Bounded) -> Reading {
        let low = self
            .low
            .map(|low| (quantity - Bounded::constant(low)).reading());
        let high = self
            .high
            .map(|high| (Bounded::constant(high) - quantity).reading());
        match (low, high) {
            (Some(low), Some(high)) => low.and(high),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => Reading::constant(1.0),
        }
    }
}
