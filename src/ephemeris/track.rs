//! A smooth function of time, fitted once by Chebyshev pieces.

use crate::parallel;
use glam::DVec3;
use std::{
    f64::consts::PI,
    ops::{Add, Mul, Sub},
};

/// The values of a track: numbers or vectors.
pub(crate) trait Value:
    Copy + Default + Send + Sync + Add<Output = Self> + Sub<Output = Self> + Mul<f64, Output = Self>
{
}

impl Value for f64 {}
impl Value for DVec3 {}

/// A function of time on pieces of equal length, each a Chebyshev series with
/// `N` terms (a component).
///
/// Time is in seconds on the scale of the fit; beyond its ends the first and
/// last pieces are continued (and soon useless), so callers must stay within
/// the fitted range.
#[derive(Debug, Clone)]
pub(crate) struct Track<const N: usize, V = DVec3> {
    start: f64,
    piece_seconds: f64,
    pieces: Vec<[V; N]>,
}

impl<const N: usize, V: Value> Track<N, V> {
    /// Fits `function` over `start..=end` by interpolation at the Chebyshev
    /// points of pieces at most `longest_piece_seconds` long; no sample falls
    /// outside the range.
    pub fn fit(
        start: f64,
        end: f64,
        longest_piece_seconds: f64,
        function: impl Fn(f64) -> V + Sync,
    ) -> Self {
        let [track] = Self::fit_each(start, end, longest_piece_seconds, |t| [function(t)]);
        track
    }

    /// Fits several functions that come from one evaluation, on the same
    /// pieces.
    pub fn fit_each<const M: usize>(
        start: f64,
        end: f64,
        longest_piece_seconds: f64,
        functions: impl Fn(f64) -> [V; M] + Sync,
    ) -> [Self; M] {
        let count = ((end - start) / longest_piece_seconds).ceil().max(1.0) as usize;
        let piece_seconds = (end - start) / count as f64;
        let nodes: [f64; N] = std::array::from_fn(|k| (PI * (k as f64 + 0.5) / N as f64).cos());
        // basis[j][k] = T_j at node k, with the weight of the discrete
        // orthogonality of Chebyshev polynomials on these points.
        let basis: [[f64; N]; N] = std::array::from_fn(|j| {
            let weight = if j == 0 { 1.0 } else { 2.0 } / N as f64;
            std::array::from_fn(|k| weight * (PI * j as f64 * (k as f64 + 0.5) / N as f64).cos())
        });
        let fitted: Vec<[[V; N]; M]> = parallel::map(count, 1, |index| {
            let middle = start + (index as f64 + 0.5) * piece_seconds;
            let samples: [[V; M]; N] =
                std::array::from_fn(|k| functions(middle + 0.5 * piece_seconds * nodes[k]));
            std::array::from_fn(|m| {
                std::array::from_fn(|j| {
                    (0..N).fold(V::default(), |sum, k| sum + samples[k][m] * basis[j][k])
                })
            })
        });
        std::array::from_fn(|m| Self {
            start,
            piece_seconds,
            pieces: fitted.iter().map(|piece| piece[m]).collect(),
        })
    }

    /// The value at `time`, by Clenshaw's recurrence.
    #[inline]
    pub fn at(&self, time: f64) -> V {
        let (piece, x) = self.locate(time);
        let twice = 2.0 * x;
        let (mut b1, mut b2) = (V::default(), V::default());
        for coefficient in piece[1..].iter().rev() {
            (b1, b2) = (*coefficient + b1 * twice - b2, b1);
        }
        piece[0] + b1 * x - b2
    }

    /// The value and its change a second at `time`.
    #[inline]
    pub fn at_with_rate(&self, time: f64) -> (V, V) {
        let (piece, x) = self.locate(time);
        let mut value = piece[0];
        let mut slope = V::default();
        // T_0 = 1 and T_1 = x with slopes 0 and 1, then the recurrence and
        // its derivative side by side.
        let (mut t0, mut t1, mut d0, mut d1) = (1.0, x, 0.0, 1.0);
        for coefficient in &piece[1..] {
            value = value + *coefficient * t1;
            slope = slope + *coefficient * d1;
            (t0, t1, d0, d1) = (t1, 2.0 * x * t1 - t0, d1, 2.0 * t1 + 2.0 * x * d1 - d0);
        }
        (value, slope * (2.0 / self.piece_seconds))
    }

    #[inline]
    fn locate(&self, time: f64) -> (&[V; N], f64) {
        let place = (time - self.start) / self.piece_seconds;
        let index = (place.max(0.0) as usize).min(self.pieces.len() - 1);
        (&self.pieces[index], 2.0 * (place - index as f64) - 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn reproduces_a_turning_vector_and_its_rate() {
        let function = |t: f64| DVec3::new(t.cos(), t.sin(), 0.3 * t);
        let track: Track<10> = Track::fit(-3.0, 20.0, 1.7, function);
        for step in 0..=230 {
            let t = -3.0 + 0.1 * f64::from(step);
            let (value, rate) = track.at_with_rate(t);
            assert_abs_diff_eq!((track.at(t) - function(t)).length(), 0.0, epsilon = 1e-9);
            assert_abs_diff_eq!((value - function(t)).length(), 0.0, epsilon = 1e-9);
            let expected = DVec3::new(-t.sin(), t.cos(), 0.3);
            assert_abs_diff_eq!((rate - expected).length(), 0.0, epsilon = 1e-7);
        }
    }
}
