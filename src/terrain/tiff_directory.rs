//! The first directory of a TIFF: its tags and their values.
//!
//! # Source
//!
//! Adobe, *TIFF* revision 6.0 (1992), section 2; for files of more than 4 GiB
//! the *BigTIFF* design (Aware Systems, 2007), as libtiff writes it.

use super::refused::{Refused, Remedy};
use crate::plain_words::system_words;
use std::{
    collections::BTreeMap,
    io::{self, ErrorKind, Read, Seek, SeekFrom},
};

/// Most tags of a directory; elevation files have some 20.
const MOST_TAGS: u64 = 4096;
/// Largest value of a tag, bytes: the places of two million blocks.
const LARGEST_VALUE: u64 = 1 << 23;
const EXPECTED: &str = "a whole GeoTIFF";

/// Where the bytes come from.
pub(super) trait Source: Read + Seek + Send {}
impl<T: Read + Seek + Send> Source for T {}

/// The tags of the first image; those of its overviews stand in others.
#[derive(Debug)]
pub(super) struct Directory {
    pub big_endian: bool,
    tags: BTreeMap<u16, Entry>,
    /// Bytes of the file.
    pub length: u64,
}

#[derive(Debug, Clone, Copy)]
struct Entry {
    kind: u16,
    count: u64,
    /// The value, if it fits, else its place.
    field: [u8; 8],
    wide: bool,
}

/// Of a file that is not as it was written.
pub(super) fn damaged(found: &str) -> Refused {
    Refused::new(found, EXPECTED, Remedy::ANEW)
}

/// Of a file that cannot be read on.
pub(super) fn unread(error: &io::Error) -> Refused {
    match error.kind() {
        ErrorKind::UnexpectedEof => damaged("a file that ends too early"),
        _ => Refused::new(
            system_words(error),
            EXPECTED,
            Remedy::Say("check the path and the disk"),
        ),
    }
}

/// So many bytes from a place; never more than the file has.
pub(super) fn bytes_at(
    source: &mut dyn Source,
    length: u64,
    at: u64,
    count: u64,
) -> Result<Vec<u8>, Refused> {
    let whole = at.checked_add(count).is_some_and(|end| end <= length);
    let Some(size) = usize::try_from(count).ok().filter(|_| whole) else {
        return Err(damaged("a file that ends too early"));
    };
    let mut bytes = vec![0; size];
    source
        .seek(SeekFrom::Start(at))
        .and_then(|_| source.read_exact(&mut bytes))
        .map_err(|error| unread(&error))?;
    Ok(bytes)
}

/// The number that up to eight bytes hold.
fn number(bytes: &[u8], big_endian: bool) -> u64 {
    let add = |sum: u64, byte: &u8| (sum << 8) | u64::from(*byte);
    match big_endian {
        true => bytes.iter().fold(0, add),
        false => bytes.iter().rev().fold(0, add),
    }
}

impl Directory {
    pub fn read(source: &mut dyn Source, length: u64) -> Result<Self, Refused> {
        let no_tiff = || {
            let remedy = Remedy::Run("see what it is", "gdalinfo");
            Refused::new("something that is no TIFF", "a GeoTIFF", remedy)
        };
        let head = bytes_at(source, length, 0, 8.min(length))?;
        let big_endian = match head.get(..2) {
            Some(b"II") => false,
            Some(b"MM") => true,
            _ => return Err(no_tiff()),
        };
        let of = |bytes: &[u8]| number(bytes, big_endian);
        let wide = match head.get(2..4).map(of) {
            Some(42) => false,
            // The size of places in the file, and two bytes that are zero.
            Some(43) if head.get(4..6).map(of) == Some(8) => true,
            _ => return Err(no_tiff()),
        };
        let (place, counter, each, field) = match wide {
            true => ((8, 8), 8, 20, 8),
            false => ((4, 4), 2, 12, 4),
        };
        let start = of(&bytes_at(source, length, place.0, place.1)?);
        let count = of(&bytes_at(source, length, start, counter)?);
        if count == 0 || count > MOST_TAGS {
            return Err(damaged("a damaged TIFF"));
        }
        let entries = start
            .checked_add(counter)
            .ok_or_else(|| damaged("a damaged TIFF"))?;
        let entries = bytes_at(source, length, entries, count * each)?;
        let mut tags = BTreeMap::new();
        for entry in entries.chunks_exact(each as usize) {
            let (head, value) = entry.split_at(entry.len() - field);
            let (id, rest) = head.split_at(2);
            let (kind, count) = rest.split_at(2);
            let mut held = [0; 8];
            for (to, from) in held.iter_mut().zip(value) {
                *to = *from;
            }
            let entry = Entry {
                kind: of(kind) as u16,
                count: of(count),
                field: held,
                wide,
            };
            tags.entry(of(id) as u16).or_insert(entry);
        }
        Ok(Self {
            big_endian,
            tags,
            length,
        })
    }

    /// The bytes of a tag's value and the size of each part.
    fn value(
        &self,
        source: &mut dyn Source,
        tag: u16,
    ) -> Result<Option<(u16, usize, Vec<u8>)>, Refused> {
        let Some(entry) = self.tags.get(&tag) else {
            return Ok(None);
        };
        let each: u64 = match entry.kind {
            1 | 2 | 6 | 7 => 1,
            3 | 8 => 2,
            4 | 9 | 11 | 13 => 4,
            5 | 10 | 12 | 16 | 17 | 18 => 8,
            _ => return Err(damaged("a damaged TIFF")),
        };
        let size = entry.count.checked_mul(each);
        let size = size.filter(|size| *size <= LARGEST_VALUE).ok_or_else(|| {
            Refused::new(
                "a header of more than 8 MiB",
                "larger blocks, fewer of them",
                Remedy::PACK,
            )
        })?;
        let held = if entry.wide { 8 } else { 4 };
        let field = entry.field.get(..held).unwrap_or_default();
        let bytes = if size <= held as u64 {
            field.get(..size as usize).unwrap_or_default().to_vec()
        } else {
            let at = number(field, self.big_endian);
            bytes_at(source, self.length, at, size)?
        };
        Ok(Some((entry.kind, each as usize, bytes)))
    }

    /// The whole numbers of a tag, if the file has it.
    pub fn numbers(&self, source: &mut dyn Source, tag: u16) -> Result<Option<Vec<u64>>, Refused> {
        match self.value(source, tag)? {
            None => Ok(None),
            Some((1 | 3 | 4 | 13 | 16 | 18, each, bytes)) => {
                let parts = bytes.chunks_exact(each);
                Ok(Some(
                    parts.map(|part| number(part, self.big_endian)).collect(),
                ))
            }
            Some(_) => Err(damaged("a damaged TIFF")),
        }
    }

    /// The first whole number of a tag.
    pub fn number(&self, source: &mut dyn Source, tag: u16) -> Result<Option<u64>, Refused> {
        let numbers = self.numbers(source, tag)?;
        Ok(numbers.and_then(|numbers| numbers.first().copied()))
    }

    /// The floating-point numbers of a tag.
    pub fn doubles(&self, source: &mut dyn Source, tag: u16) -> Result<Option<Vec<f64>>, Refused> {
        match self.value(source, tag)? {
            None => Ok(None),
            Some((12, each, bytes)) => {
                let parts = bytes.chunks_exact(each);
                let double = |part| f64::from_bits(number(part, self.big_endian));
                Ok(Some(parts.map(double).collect()))
            }
            Some(_) => Err(damaged("a damaged TIFF")),
        }
    }

    /// The text of a tag, up to its end.
    pub fn text(&self, source: &mut dyn Source, tag: u16) -> Result<Option<String>, Refused> {
        match self.value(source, tag)? {
            Some((2, _, bytes)) => {
                let end = bytes.iter().position(|byte| *byte == 0);
                let text = bytes.get(..end.unwrap_or(bytes.len()));
                Ok(text.map(|text| String::from_utf8_lossy(text).into_owned()))
            }
            _ => Ok(None),
        }
    }
}
