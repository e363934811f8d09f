//! Bands of values that change with time, as margins.

use crate::{
    ephemeris::{Bounded, Reading},
    scene::Band,
};
use std::ops::Sub;

/// The margin of a band without ends.
const ANY: f64 = 1.0;

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
        match self.inside(quantity, Bounded::constant) {
            (Some(low), Some(high)) => low.reading().and(high.reading()),
            (Some(one), None) | (None, Some(one)) => one.reading(),
            (None, None) => Reading::constant(ANY),
        }
    }

    /// The margin of [`read`](Self::read) alone, to the same last bit.
    #[inline]
    pub(crate) fn margin(self, quantity: f64) -> f64 {
        match self.inside(quantity, |end| end) {
            (Some(low), Some(high)) => low.min(high),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => ANY,
        }
    }

    /// How far a quantity is inside either end.
    #[inline]
    fn inside<Q: Copy + Sub<Output = Q>>(
        self,
        quantity: Q,
        constant: impl Fn(f64) -> Q,
    ) -> (Option<Q>, Option<Q>) {
        (
            self.low.map(|low| quantity - constant(low)),
            self.high.map(|high| constant(high) - quantity),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_margin_alone_is_that_of_a_reading(
            low in proptest::option::of(-1.0..1.0_f64),
            high in proptest::option::of(-1.0..1.0_f64),
            value in -1.0..1.0_f64,
            near in any::<bool>(),
        ) {
            let limits = Limits { low, high };
            let value = if near { low.or(high).unwrap_or(value) } else { value };
            let reading = limits.read(Bounded::constant(value));
            prop_assert_eq!(limits.margin(value).to_bits(), reading.margin.to_bits());
        }
    }
}
