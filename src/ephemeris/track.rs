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

/// The first day of every grid of pieces, from J2000 (TT): all tracks are cut at
/// fixed dates, so that a value does not depend on the range that was asked for.
pub(super) const GRID_FIRST_DAY: i32 = -36_528;
const DAY_SECONDS: f64 = 86_400.0;

/// A function of time on pieces of equal length, each a Chebyshev series with
/// `N` terms (a component).
///
/// Time is in seconds since J2000 (TT); beyond its ends the first and last
/// pieces are continued (and soon useless), so callers must stay within the
/// range that it was made for.
#[derive(Debug, Clone)]
pub(crate) struct Track<const N: usize, V = DVec3> {
    /// Numbers of the first and the last piece, from the grid's first day on.
    first: i32,
    last: i32,
    pieces_a_second: f64,
    pieces: Vec<[V; N]>,
}

impl<const N: usize, V: Value> Track<N, V> {
    /// The pieces that cover `start..=end`, each made from its number.
    pub fn of_pieces(
        piece_days: u32,
        start: f64,
        end: f64,
        piece: impl Fn(usize) -> [V; N] + Sync,
    ) -> Self {
        let [track] = Self::each_of_pieces(piece_days, start, end, |index| [piece(index)]);
        track
    }

    fn each_of_pieces<const M: usize>(
        piece_days: u32,
        start: f64,
        end: f64,
        piece: impl Fn(usize) -> [[V; N]; M] + Sync,
    ) -> [Self; M] {
        let pieces_a_second = 1.0 / (f64::from(piece_days) * DAY_SECONDS);
        let number = |time: f64| place(time, pieces_a_second) as i32;
        // A second more: rounding puts no moment of the range into a piece that
        // is not there.
        let first = number(start - 1.0).max(0);
        let last = number(end + 1.0).max(first);
        let made = parallel::map((last - first) as usize + 1, 1, |index| {
            piece(first as usize + index)
        });
        std::array::from_fn(|m| Self {
            first,
            last,
            pieces_a_second,
            pieces: made.iter().map(|piece| piece[m]).collect(),
        })
    }

    /// Fits `function` over the pieces that cover `start..=end`, by
    /// interpolation at their Chebyshev points.
    pub fn fit(piece_days: u32, start: f64, end: f64, function: impl Fn(f64) -> V + Sync) -> Self {
        let [track] = Self::fit_each(piece_days, start, end, |t| [function(t)]);
        track
    }

    /// Fits several functions that come from one evaluation, on the same
    /// pieces.
    pub fn fit_each<const M: usize>(
        piece_days: u32,
        start: f64,
        end: f64,
        functions: impl Fn(f64) -> [V; M] + Sync,
    ) -> [Self; M] {
        let nodes: [f64; N] = std::array::from_fn(|k| (PI * (k as f64 + 0.5) / N as f64).cos());
        // basis[j][k] = T_j at node k, with the weight of the discrete
        // orthogonality of Chebyshev polynomials on these points.
        let basis: [[f64; N]; N] = std::array::from_fn(|j| {
            let weight = if j == 0 { 1.0 } else { 2.0 } / N as f64;
            std::array::from_fn(|k| weight * (PI * j as f64 * (k as f64 + 0.5) / N as f64).cos())
        });
        let piece_seconds = f64::from(piece_days) * DAY_SECONDS;
        Self::each_of_pieces(piece_days, start, end, |index| {
            let middle =
                f64::from(GRID_FIRST_DAY) * DAY_SECONDS + (index as f64 + 0.5) * piece_seconds;
            let samples: [[V; M]; N] =
                std::array::from_fn(|k| functions(middle + 0.5 * piece_seconds * nodes[k]));
            std::array::from_fn(|m| {
                std::array::from_fn(|j| {
                    (0..N).fold(V::default(), |sum, k| sum + samples[k][m] * basis[j][k])
                })
            })
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
        (value, slope * (2.0 * self.pieces_a_second))
    }

    /// The values at so many equal steps in each piece, up to the end of the
    /// last: the first's time, seconds from one to the next, the values.
    pub fn in_steps(&self, a_piece: u32) -> ((f64, f64), impl Iterator<Item = V>) {
        let piece_seconds = 1.0 / self.pieces_a_second;
        let step = piece_seconds / f64::from(a_piece);
        let from = f64::from(GRID_FIRST_DAY) * DAY_SECONDS + f64::from(self.first) * piece_seconds;
        let count = self.pieces.len() * a_piece as usize;
        let values = (0..=count).map(move |index| self.at(from + index as f64 * step));
        ((from, step), values)
    }

    #[inline]
    fn locate(&self, time: f64) -> (&[V; N], f64) {
        let place = place(time, self.pieces_a_second);
        let number = (place as i32).max(self.first).min(self.last);
        let x = 2.0 * (place - f64::from(number)) - 1.0;
        (&self.pieces[(number - self.first) as usize], x)
    }
}

/// Pieces from the grid's first day to `time`: the same number whatever pieces
/// a track holds.
#[inline]
fn place(time: f64, pieces_a_second: f64) -> f64 {
    (time - f64::from(GRID_FIRST_DAY) * DAY_SECONDS) * pieces_a_second
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn reproduces_a_turning_vector_and_its_rate() {
        let day = DAY_SECONDS;
        let function = |t: f64| DVec3::new((t / day).cos(), (t / day).sin(), 0.3 * t / day);
        let track: Track<14> = Track::fit(2, -3.0 * day, 20.0 * day, function);
        for step in 0..=230 {
            let t = (-3.0 + 0.1 * f64::from(step)) * day;
            let (value, rate) = track.at_with_rate(t);
            assert_abs_diff_eq!((track.at(t) - function(t)).length(), 0.0, epsilon = 1e-9);
            assert_abs_diff_eq!((value - function(t)).length(), 0.0, epsilon = 1e-9);
            let expected = DVec3::new(-(t / day).sin(), (t / day).cos(), 0.3);
            assert_abs_diff_eq!((rate * day - expected).length(), 0.0, epsilon = 1e-7);
        }
    }

    #[test]
    fn a_moment_has_one_value_whatever_the_range() {
        let function = |t: f64| (t / DAY_SECONDS).sin();
        let long: Track<9, f64> = Track::fit(2, -1e9, 3e9, function);
        // Edges of pieces, which are even days, and moments near them.
        for days in [-11_000.0, -3.0, 0.0, 2.0, 8.0 - 1e-12, 30_000.0] {
            let t = days * DAY_SECONDS;
            for (before, after) in [(0.0, 0.0), (1e-7, 1e-7), (3.0, 1e6), (1e6, 0.5)] {
                let short: Track<9, f64> = Track::fit(2, t - before, t + after, function);
                assert_eq!(short.at(t), long.at(t), "{days} {before} {after}");
            }
        }
    }
}
