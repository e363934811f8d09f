//! The motions of Earth, Moon and Sun from 1899 to 2100, packed.
//!
//! Only the pieces asked for are unpacked.

use super::track::Track;
use glam::DVec3;

/// The file; its layout is described in the script that makes it,
/// `tests/reference/make/sky.py`.
static PACKED: &[u8] = include_bytes!("sky.bin");

/// Components of a vector.
const AXES: usize = 3;
/// Where the series are described, after the file's name, version and days.
const SERIES_AT: usize = 14;
/// Days that the file holds from its first on.
const DAYS: u32 = 73_056;
/// How many series it holds.
const COUNT: usize = 4;

/// A series of the file with `N` terms: its place among them and the days of a
/// piece.
#[derive(Debug, Clone, Copy)]
pub(super) struct Series<const N: usize> {
    place: usize,
    pub piece_days: u32,
}

/// Celestial intermediate pole x, y and the CIO locator s, radians.
pub(super) const ORIENTATION: Series<7> = Series {
    place: 0,
    piece_days: 16,
};
/// The Earth's barycentric velocity over that of light, GCRS.
pub(super) const VELOCITY: Series<7> = Series {
    place: 1,
    piece_days: 32,
};
/// The Moon from the Earth's centre, CIRS, kilometres, as its light arrives.
pub(super) const MOON: Series<11> = Series {
    place: 2,
    piece_days: 8,
};
/// The Sun from the Earth's centre, CIRS, kilometres, apparent.
pub(super) const SUN: Series<7> = Series {
    place: 3,
    piece_days: 16,
};

impl<const N: usize> Series<N> {
    /// The pieces that cover `start..=end`, seconds since J2000 (TT).
    pub fn track(self, start: f64, end: f64) -> Track<N> {
        let packed = self.packed();
        Track::of_pieces(self.piece_days, start, end, |index| {
            packed.map_or([DVec3::ZERO; N], |packed| packed.piece(index))
        })
    }

    /// Its part of the file; `None` if the file does not hold it so.
    fn packed(self) -> Option<Packed<N>> {
        let mut rest = PACKED.get(SERIES_AT..)?;
        let descriptions: [Option<Description>; COUNT] =
            std::array::from_fn(|_| Description::read(&mut rest));
        let (before, others) = descriptions.split_at_checked(self.place)?;
        let description = others.first()?.as_ref()?;
        let bytes = before.iter().flatten().map(Description::bytes).sum();
        let as_told = description.piece_days == self.piece_days && description.terms == N;
        as_told.then_some(Packed {
            unit: description.unit,
            bits: description.bits.as_chunks().0.first_chunk()?,
            piece_bytes: description.piece_bytes(),
            data: rest.get(bytes..)?,
        })
    }
}

/// What the file says of a series.
struct Description {
    piece_days: u32,
    terms: usize,
    unit: f64,
    /// Of each coefficient, a component after the other.
    bits: &'static [u8],
}

impl Description {
    fn read(rest: &mut &'static [u8]) -> Option<Self> {
        let ([piece_days, terms], after) = rest.split_first_chunk()?;
        let (unit, after) = after.split_first_chunk()?;
        let (bits, after) = after.split_at_checked(AXES * usize::from(*terms))?;
        *rest = after;
        Some(Self {
            piece_days: u32::from(*piece_days).max(1),
            terms: usize::from(*terms),
            unit: f64::from_le_bytes(*unit),
            bits,
        })
    }

    fn piece_bytes(&self) -> usize {
        let bits: usize = self.bits.iter().map(|bits| usize::from(*bits)).sum();
        bits.div_ceil(8)
    }

    fn bytes(&self) -> usize {
        self.piece_bytes() * (DAYS / self.piece_days) as usize
    }
}

/// The pieces of a series.
#[derive(Clone, Copy)]
struct Packed<const N: usize> {
    unit: f64,
    bits: &'static [[u8; N]; AXES],
    piece_bytes: usize,
    data: &'static [u8],
}

impl<const N: usize> Packed<N> {
    /// The coefficients of a piece, counted from the file's first; what does
    /// not fit reads as zero.
    fn piece(&self, index: usize) -> [DVec3; N] {
        let data = index
            .checked_mul(self.piece_bytes)
            .and_then(|at| self.data.get(at..))
            .unwrap_or_default();
        let mut at = 0;
        let mut coefficients = [DVec3::ZERO; N];
        for (axis, bits) in self.bits.iter().enumerate() {
            for (coefficient, bits) in coefficients.iter_mut().zip(bits) {
                coefficient[axis] = signed(data, at, *bits) as f64 * self.unit;
                at += usize::from(*bits);
            }
        }
        coefficients
    }
}

/// The signed number of up to 57 bits that begins at a bit of `data`.
fn signed(data: &[u8], at: usize, bits: u8) -> i64 {
    let bytes = data.get(at / 8..).and_then(|bytes| bytes.first_chunk());
    let word = bytes.map_or(0, |bytes| u64::from_le_bytes(*bytes)) >> (at % 8);
    let unused = 64 - u32::from(bits);
    // No bits are no number; a shift by 64 has no value.
    word.checked_shl(unused)
        .map_or(0, |word| word as i64 >> unused)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::track::GRID_FIRST_DAY;

    /// A radian in arc seconds.
    const ARCSEC: f64 = 180.0 * 3600.0 / std::f64::consts::PI;

    #[test]
    fn the_file_is_as_the_reader_takes_it() {
        let (name, rest) = PACKED.split_at(6);
        assert_eq!(name, b"sky 1\n");
        let (first, rest) = rest.split_first_chunk().expect("the first day");
        assert_eq!(i32::from_le_bytes(*first), GRID_FIRST_DAY);
        let (days, mut rest) = rest.split_first_chunk().expect("the days");
        assert_eq!(u32::from_le_bytes(*days), DAYS);
        assert_eq!(PACKED.len() - rest.len(), SERIES_AT);
        let mut bytes = 0;
        for _ in 0..COUNT {
            let description = Description::read(&mut rest).expect("a description");
            assert_eq!(DAYS % description.piece_days, 0);
            // A number begins at any of the 8 bits of a byte.
            assert!(description.bits.iter().all(|bits| (1..=57).contains(bits)));
            bytes += description.bytes();
        }
        // At the end stand 8 bytes for reading on.
        assert_eq!(rest.len(), bytes + 8);
    }

    #[test]
    fn signed_numbers_of_any_width_are_read() {
        let data = [0b1011_0110, 0b0000_0001, 0, 0, 0, 0, 0, 0, 0x80];
        for (at, bits, value) in [(0, 3, -2), (1, 4, -5), (4, 5, -5), (4, 6, 27), (0, 0, 0)] {
            assert_eq!(signed(&data, at, bits), value, "{bits} bits at {at}");
        }
        assert_eq!(signed(&data, 15, 57), -1 << 56);
        // Beyond the end nothing stands.
        assert_eq!(signed(&data, 16, 8), 0);
        assert_eq!(signed(&data, usize::MAX, 8), 0);
    }

    /// The worst and the rms of the steps from each piece to the next, arc
    /// seconds.
    fn steps<const N: usize>(series: Series<N>, arcsec: impl Fn(DVec3, DVec3) -> f64) -> [f64; 2] {
        let packed = series.packed().expect("a series of the file");
        let count = (DAYS / series.piece_days) as usize;
        let [mut worst, mut squares] = [0.0_f64; 2];
        for index in 1..count {
            let (before, after) = (packed.piece(index - 1), packed.piece(index));
            let end: DVec3 = before.iter().sum();
            let (even, odd) = (after.iter().step_by(2), after.iter().skip(1).step_by(2));
            let start = even.sum::<DVec3>() - odd.sum::<DVec3>();
            let step = arcsec(end, start);
            worst = worst.max(step);
            squares += step * step;
        }
        [worst, (squares / (count - 1) as f64).sqrt()]
    }

    #[test]
    fn the_pieces_meet_at_their_edges() {
        let apart = |a: DVec3, b: DVec3| (a - b).length() * ARCSEC;
        let seen_apart = |a: DVec3, b: DVec3| (a - b).length() / a.length() * ARCSEC;
        // Found 0.021 and 0.0077, 0.017 and 0.0072, 0.023 and 0.0096, 0.027 and
        // 0.0104: what two pieces lack of the ephemeris, and the units.
        for ([worst, rms], bounds) in [
            (steps(ORIENTATION, apart), [0.025, 0.010]),
            (steps(VELOCITY, apart), [0.025, 0.010]),
            (steps(MOON, seen_apart), [0.03, 0.012]),
            (steps(SUN, seen_apart), [0.03, 0.012]),
        ] {
            assert!(worst < bounds[0] && rms < bounds[1], "{worst} {rms}");
        }
    }
}
