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
