//! From the bytes of a TIFF's block to its numbers: unpacking, prediction, byte
//! order.
//!
//! # Source
//!
//! Adobe, *TIFF* revision 6.0 (1992), sections 9 (PackBits), 13 (LZW) and 14
//! (differencing); *TIFF Technical Note 3* (2005) (prediction of floating
//! point); *Adobe Photoshop TIFF Technical Notes* (2002) (Deflate).

use super::{
    refused::{Refused, Remedy},
    tiff_directory::damaged,
};
use flate2::read::ZlibDecoder;
use std::io::Read;
use weezl::{BitOrder, LzwStatus, decode::Configuration};

/// How blocks are packed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Packing {
    Plain,
    Lzw,
    Deflate,
    PackBits,
}

/// What a post is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Number {
    I16,
    U16,
    I32,
    U32,
    F32,
    F64,
}

/// What is written in the place of a post.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Prediction {
    Nothing,
    /// The difference to the post before it.
    Difference,
    /// Differences of bytes, the highest of all posts of a row first.
    Bytes,
}

/// The form of the posts of a file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Samples {
    pub packing: Packing,
    pub number: Number,
    pub prediction: Prediction,
    pub big_endian: bool,
}

const UNPACKED: &str = "a block that cannot be unpacked";

impl Packing {
    pub fn of(code: u64) -> Result<Self, Refused> {
        let method = match code {
            1 => return Ok(Self::Plain),
            5 => return Ok(Self::Lzw),
            8 | 32946 => return Ok(Self::Deflate),
            32773 => return Ok(Self::PackBits),
            6 | 7 => "JPEG",
            34887 => "LERC",
            34925 => "LZMA",
            50000 => "Zstandard",
            50001 => "WebP",
            50002 => "JPEG XL",
            _ => "a method of its own",
        };
        Err(Refused::new(
            format!("posts packed by {method}"),
            "none, LZW, Deflate or PackBits",
            Remedy::PACK,
        ))
    }

    /// The first `size` bytes that `packed` holds; never more are made.
    fn unpack(self, packed: Vec<u8>, size: usize) -> Result<Vec<u8>, Refused> {
        let short = || damaged(UNPACKED);
        match self {
            Self::Plain => {
                let mut bytes = packed;
                if bytes.len() < size {
                    return Err(damaged("a block that is too short"));
                }
                bytes.truncate(size);
                Ok(bytes)
            }
            Self::Deflate => {
                let mut bytes = vec![0; size];
                let mut unpacker = ZlibDecoder::new(packed.as_slice());
                unpacker.read_exact(&mut bytes).map_err(|_| short())?;
                Ok(bytes)
            }
            Self::Lzw => {
                let mut bytes = vec![0; size];
                let form = Configuration::with_tiff_size_switch(BitOrder::Msb, 8);
                let mut unpacker = form.with_yield_on_full_buffer(true).build();
                let (mut from, mut to) = (packed.as_slice(), bytes.as_mut_slice());
                while !to.is_empty() {
                    let step = unpacker.decode_bytes(from, to);
                    from = from.get(step.consumed_in..).unwrap_or_default();
                    to = to.get_mut(step.consumed_out..).unwrap_or_default();
                    let more = step.consumed_in > 0 || step.consumed_out > 0;
                    match step.status {
                        Ok(LzwStatus::Ok | LzwStatus::NoProgress) if more => {}
                        _ if to.is_empty() => {}
                        _ => return Err(short()),
                    }
                }
                Ok(bytes)
            }
            Self::PackBits => {
                let mut bytes = Vec::with_capacity(size);
                let mut rest = packed.as_slice();
                while bytes.len() < size {
                    let (head, after) = rest.split_first().ok_or_else(short)?;
                    let count = usize::from(head.wrapping_neg());
                    rest = match *head {
                        128 => after,
                        129.. => {
                            let (byte, after) = after.split_first().ok_or_else(short)?;
                            bytes.extend(std::iter::repeat_n(*byte, count + 1));
                            after
                        }
                        literal => {
                            let length = usize::from(literal) + 1;
                            let (part, after) = after.split_at_checked(length).ok_or_else(short)?;
                            bytes.extend_from_slice(part);
                            after
                        }
                    };
                }
                bytes.truncate(size);
                Ok(bytes)
            }
        }
    }
}

impl Number {
    /// Of the format and the bits that the tags give; else what they are.
    pub fn of(format: u64, bits: u64) -> Result<Self, Refused> {
        let told = match (format, bits) {
            (2, 16) => return Ok(Self::I16),
            (1, 16) => return Ok(Self::U16),
            (2, 32) => return Ok(Self::I32),
            (1, 32) => return Ok(Self::U32),
            (3, 32) => return Ok(Self::F32),
            (3, 64) => return Ok(Self::F64),
            (_, 0..=8) => format!("{bits}-bit posts, as pictures have"),
            (1 | 2, _) => format!("{bits}-bit integers"),
            (3, _) => format!("{bits}-bit floating point"),
            _ => "posts that are no plain numbers".to_owned(),
        };
        let remedy = Remedy::Convert(
            "if they are metres, convert them",
            "gdal_translate -ot Float32",
        );
        Err(Refused::new(told, super::geotiff::EXPECTED_POSTS, remedy))
    }

    pub const fn bytes(self) -> usize {
        match self {
            Self::I16 | Self::U16 => 2,
            Self::I32 | Self::U32 | Self::F32 => 4,
            Self::F64 => 8,
        }
    }

    /// The number that these bits are.
    fn of_bits(self, bits: u64) -> f64 {
        match self {
            Self::I16 => f64::from(bits as u16 as i16),
            Self::U16 => f64::from(bits as u16),
            Self::I32 => f64::from(bits as u32 as i32),
            Self::U32 => f64::from(bits as u32),
            Self::F32 => f64::from(f32::from_bits(bits as u32)),
            Self::F64 => f64::from_bits(bits),
        }
    }
}

impl Samples {
    /// The posts of a block of so many rows and columns.
    pub fn read(&self, packed: Vec<u8>, rows: usize, columns: usize) -> Result<Vec<f64>, Refused> {
        let each = self.number.bytes();
        let bytes = self.packing.unpack(packed, rows * columns * each)?;
        let mut posts = Vec::with_capacity(rows * columns);
        for row in bytes.chunks_exact((columns * each).max(1)) {
            match self.prediction {
                Prediction::Nothing => {
                    posts.extend(row.chunks_exact(each).map(|post| self.post(post)));
                }
                Prediction::Difference => {
                    let mut sum = 0_u64;
                    for post in row.chunks_exact(each) {
                        // Cut to the width of a post where it is read.
                        sum = sum.wrapping_add(self.bits(post));
                        posts.push(self.number.of_bits(sum));
                    }
                }
                Prediction::Bytes => {
                    let mut sum = 0_u8;
                    let mut whole = vec![0_u64; columns];
                    for plane in row.chunks_exact(columns.max(1)) {
                        for (bits, byte) in whole.iter_mut().zip(plane) {
                            sum = sum.wrapping_add(*byte);
                            *bits = (*bits << 8) | u64::from(sum);
                        }
                    }
                    posts.extend(whole.into_iter().map(|bits| self.number.of_bits(bits)));
                }
            }
        }
        Ok(posts)
    }

    fn bits(&self, post: &[u8]) -> u64 {
        let add = |sum: u64, byte: &u8| (sum << 8) | u64::from(*byte);
        match self.big_endian {
            true => post.iter().fold(0, add),
            false => post.iter().rev().fold(0, add),
        }
    }

    fn post(&self, post: &[u8]) -> f64 {
        self.number.of_bits(self.bits(post))
    }
}
