//! Quantities with known limits to their change, so that a search over time can
//! take long steps and still miss nothing.

use std::ops::{Add, Mul, Neg, Sub};

/// A quantity at one moment, with bounds on its change.
///
/// Value, rate and bounds give a time before which its sign cannot change
/// ([`Bounded::reading`]). Sums and products carry the bounds along, so a rule
/// is written as plain arithmetic on sky directions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounded {
    /// Value now.
    pub value: f64,
    /// Change a second now, up to `slack`.
    pub rate: f64,
    /// How far the true rate may be from `rate`.
    pub slack: f64,
    /// Greatest absolute value, ever.
    pub most: f64,
    /// Greatest absolute rate, ever, a second.
    pub fastest: f64,
    /// Greatest absolute change of the rate, ever, a second squared.
    pub sharpest: f64,
}

/// The sign of a rule's margin now, and how long it must stay so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The margin: the rule holds where it is not negative.
    pub margin: f64,
    /// Seconds, counted forward, within which the margin's sign cannot change.
    pub safe_seconds: f64,
}

impl Bounded {
    /// A number that never changes.
    pub const fn constant(value: f64) -> Self {
        Self {
            value,
            rate: 0.0,
            slack: 0.0,
            most: value.abs(),
            fastest: 0.0,
            sharpest: 0.0,
        }
    }

    /// The margin's sign and how long it must stay.
    #[inline]
    pub fn reading(self) -> Reading {
        let distance = self.value.abs();
        // Speed toward zero, at worst, now.
        let closing = self.slack - self.rate * self.value.signum();
        // First root of distance = closing h + sharpest h^2 / 2, in the form
        // that does not cancel.
        let discriminant = closing * closing + 2.0 * self.sharpest * distance;
        let by_curve = if self.sharpest.is_finite() {
            let denominator = closing + discriminant.sqrt();
            if denominator > 0.0 {
                2.0 * distance / denominator
            } else {
                f64::INFINITY
            }
        } else {
            0.0
        };
        let by_speed = if self.fastest > 0.0 {
            distance / self.fastest
        } else {
            f64::INFINITY
        };
        Reading {
            margin: self.value,
            safe_seconds: by_curve.max(by_speed),
        }
    }
}

impl Add for Bounded {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            rate: self.rate + other.rate,
            slack: self.slack + other.slack,
            most: self.most + other.most,
            fastest: self.fastest + other.fastest,
            sharpest: self.sharpest + other.sharpest,
        }
    }
}

impl Neg for Bounded {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self {
            value: -self.value,
            rate: -self.rate,
            ..self
        }
    }
}

impl Sub for Bounded {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for Bounded {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            rate: self.rate * other.value + self.value * other.rate,
            slack: self.slack * other.value.abs() + self.value.abs() * other.slack,
            most: self.most * other.most,
            fastest: self.fastest * other.most + self.most * other.fastest,
            sharpest: self.sharpest * other.most
                + 2.0 * self.fastest * other.fastest
                + self.most * other.sharpest,
        }
    }
}

impl Mul<f64> for Bounded {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        let size = factor.abs();
        Self {
            value: self.value * factor,
            rate: self.rate * factor,
            slack: self.slack * size,
            most: self.most * size,
            fastest: self.fastest * size,
            sharpest: self.sharpest * size,
        }
    }
}

impl Reading {
    /// A margin that never changes.
    pub const fn constant(margin: f64) -> Self {
        Self {
            margin,
            safe_seconds: f64::INFINITY,
        }
    }

    fn holds(self) -> bool {
        self.margin >= 0.0
    }

    /// Both rules: the smaller margin.
    #[inline]
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        let margin = self.margin.min(other.margin);
        let safe_seconds = match (self.holds(), other.holds()) {
            // Both must keep their sign, or the one that fails must.
            (true, true) => self.safe_seconds.min(other.safe_seconds),
            (false, true) => self.safe_seconds,
            (true, false) => other.safe_seconds,
            (false, false) => self.safe_seconds.max(other.safe_seconds),
        };
        Self {
            margin,
            safe_seconds,
        }
    }

    /// Either rule: the greater margin.
    #[inline]
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        self.negated().and(other.negated()).negated()
    }

    /// The opposite rule.
    #[inline]
    #[must_use]
    pub fn negated(self) -> Self {
        Self {
            margin: -self.margin,
            ..self
        }
    }
}
