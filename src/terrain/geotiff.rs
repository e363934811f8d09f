//! Elevation in a GeoTIFF, of which only the blocks that are asked for are
//! read.
//!
//! # Source
//!
//! Adobe, *TIFF* revision 6.0 (1992); *OGC GeoTIFF Standard*, OGC 19-008r4
//! (2019); the tags 42112 (metadata) and 42113 (nodata) as GDAL's documentation
//! of its GeoTIFF driver gives them.

use super::{
    block_cache::Block,
    gdal_metadata,
    geo_keys::{GeoKeys, GeoReference},
    geotiff_place::lattice,
    lattice::{Bounds, Lattice},
    opening,
    refused::{Refused, Remedy},
    tiff_directory::{Directory, Source, bytes_at, damaged},
    tiff_samples::{Number, Packing, Prediction, Samples},
    tile_error::TileError,
    tile_layout::GROUND_HEIGHTS_M,
};
use std::{
    fmt,
    io::BufReader,
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};

/// Largest block, bytes unpacked: a strip of a whole tile of 5000 posts a side.
const LARGEST_BLOCK_BYTES: u64 = 1 << 27;
pub(super) const EXPECTED_POSTS: &str =
    "one height a post, in 16 or 32-bit integers or in floating point";

const COLUMNS: u16 = 256;
const ROWS: u16 = 257;
const BITS: u16 = 258;
const COMPRESSION: u16 = 259;
const COLOURS: u16 = 262;
const STRIPS: u16 = 273;
const BANDS: u16 = 277;
const STRIP_ROWS: u16 = 278;
const STRIP_SIZES: u16 = 279;
const PREDICTOR: u16 = 317;
const TILE_COLUMNS: u16 = 322;
const TILE_ROWS: u16 = 323;
const TILES: u16 = 324;
const TILE_SIZES: u16 = 325;
const FORMAT: u16 = 339;
const KEYS: u16 = 34735;
const METADATA: u16 = 42112;
const NODATA: u16 = 42113;

/// An open GeoTIFF.
pub(super) struct GeoTiff {
    pub path: PathBuf,
    pub lattice: Lattice,
    pub reference: GeoReference,
    pub rows: usize,
    pub columns: usize,
    pub bounds: Bounds,
    samples: Samples,
    blocks: Blocks,
    nodata: Option<f64>,
    /// Bytes of the file.
    length: u64,
    source: Mutex<Box<dyn Source>>,
}

/// The blocks, row by row.
struct Blocks {
    /// Rows and columns of a block.
    rows: usize,
    columns: usize,
    /// How many stand side by side.
    across: usize,
    /// Where each begins in the file, and its bytes there; none of a block that
    /// a sparse file leaves out.
    places: Vec<(u64, u64)>,
    /// Whether the last blocks reach beyond the last row.
    padded: bool,
}

impl fmt::Debug for GeoTiff {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("GeoTiff")
            .field("path", &self.path)
            .field("lattice", &self.lattice)
            .finish_non_exhaustive()
    }
}

impl GeoTiff {
    /// Opens the file at `path` and reads its header.
    pub fn open(path: &Path) -> Result<Self, TileError> {
        let about = opening::about(path)?;
        let file = BufReader::new(opening::open(path)?);
        Self::of(path, Box::new(file), about.len())
    }

    /// The same of any bytes, `length` of them.
    pub fn of(path: &Path, source: Box<dyn Source>, length: u64) -> Result<Self, TileError> {
        Self::header(path, source, length).map_err(|refused| refused.of(path))
    }

    fn header(path: &Path, mut source: Box<dyn Source>, length: u64) -> Result<Self, Refused> {
        let from = source.as_mut();
        let directory = Directory::read(from, length)?;
        let samples = samples(&directory, from)?;
        let nodata = nodata(&directory, from)?;
        let [rows, columns] = [ROWS, COLUMNS].map(|tag| directory.number(from, tag));
        let size = |number: Result<Option<u64>, Refused>| {
            let posts = u32::try_from(number?.unwrap_or(0)).unwrap_or(0);
            match posts {
                0 => Err(damaged("a damaged TIFF")),
                posts => Ok(posts as usize),
            }
        };
        let (rows, columns) = (size(rows)?, size(columns)?);
        let blocks = Blocks::read(&directory, from, [rows, columns], samples.number)?;
        let keys = directory.numbers(from, KEYS)?.unwrap_or_default();
        let keys: Vec<u16> = keys.into_iter().map(|key| key as u16).collect();
        let reference = GeoKeys(&keys).read()?;
        let metadata = directory.text(from, METADATA)?.unwrap_or_default();
        let reference = GeoReference {
            metres_per_unit: gdal_metadata::unit(&metadata, reference.metres_per_unit)?,
            ..reference
        };
        let lattice = lattice(&directory, from, &reference)?;
        let extent = [rows, columns].map(|posts| posts.saturating_sub(1) as f64);
        let bounds = Bounds::of(&lattice, extent);
        let on_earth = bounds.south_deg >= -91.0
            && bounds.north_deg <= 91.0
            && (-541.0..=541.0).contains(&bounds.west_deg)
            && (-541.0..=541.0).contains(&bounds.east_deg);
        if !on_earth {
            return Err(Refused::new(
                format!(
                    "posts from {:.3} to {:.3} degrees north and {:.3} to {:.3} east",
                    bounds.south_deg, bounds.north_deg, bounds.west_deg, bounds.east_deg
                ),
                "posts on the Earth",
                Remedy::ANEW,
            ));
        }
        Ok(Self {
            path: path.to_owned(),
            lattice,
            reference,
            rows,
            columns,
            bounds,
            samples,
            blocks,
            nodata,
            length,
            source: Mutex::new(source),
        })
    }

    /// The number of the block that holds a post, and the post's row and column
    /// in it.
    pub fn block_of(&self, row: usize, column: usize) -> (usize, [usize; 2]) {
        let Blocks {
            rows,
            columns,
            across,
            ..
        } = self.blocks;
        let number = row / rows * across + column / columns;
        (number, [row % rows, column % columns])
    }

    /// Reads a block; `None` for one without a known post that a sparse file
    /// leaves out.
    pub fn read(&self, number: usize) -> Result<Option<Block>, TileError> {
        let Blocks {
            rows,
            columns,
            across,
            padded,
            ..
        } = self.blocks;
        let (at, size) = self.blocks.places.get(number).copied().unwrap_or_default();
        if at == 0 || size == 0 {
            // Without a value for unknown posts such a block is all zeros.
            return Ok(self.nodata.is_none().then(|| Block {
                width: columns,
                heights_m: vec![0.0; rows * columns],
            }));
        }
        let first_row = number / across * rows;
        let rows = match padded {
            true => rows,
            false => rows.min(self.rows.saturating_sub(first_row)),
        };
        let packed = {
            let mut source = self.source.lock().unwrap_or_else(PoisonError::into_inner);
            bytes_at(source.as_mut(), self.length, at, size)
        };
        let posts = packed.and_then(|packed| self.samples.read(packed, rows, columns));
        let posts = posts.map_err(|refused| refused.of(&self.path))?;
        let (lowest, highest) = GROUND_HEIGHTS_M;
        let ground = f64::from(lowest)..=f64::from(highest);
        let unit = self.reference.metres_per_unit;
        // The value is written in more digits than the posts may have.
        let single = self.nodata.map(|value| value as f32);
        let is_nodata = |post: f64| match self.samples.number {
            Number::F32 => Some(post as f32) == single,
            _ => Some(post) == self.nodata,
        };
        // Posts beyond the edges fill the last tiles up.
        let first_column = number % across * columns;
        let own = |at: usize| {
            first_row + at / columns < self.rows && first_column + at % columns < self.columns
        };
        let mut heights_m = Vec::with_capacity(posts.len());
        for (at, post) in posts.into_iter().enumerate() {
            if post.is_nan() || is_nodata(post) {
                heights_m.push(f32::NAN);
            } else if ground.contains(&(post * unit)) {
                heights_m.push((post * unit) as f32);
            } else if own(at) {
                let place = [first_row + at / columns, first_column + at % columns];
                return Err(self.off_ground(place, post));
            } else {
                heights_m.push(f32::NAN);
            }
        }
        Ok(Some(Block {
            width: columns,
            heights_m,
        }))
    }

    fn off_ground(&self, [row, column]: [usize; 2], found: f64) -> TileError {
        let [latitude, longitude] = self.lattice.degrees([row as f64, column as f64]);
        let found_m = found * self.reference.metres_per_unit;
        let (lowest, highest) = GROUND_HEIGHTS_M;
        Refused::new(
            format!("a height of {found_m} m at {latitude:.4}, {longitude:.4}"),
            format!("heights from {lowest} to {highest} m"),
            match self.nodata {
                None => Remedy::Number("if it stands for unknown ground, say so", found),
                Some(_) => Remedy::ANEW,
            },
        )
        .of(&self.path)
    }
}

impl Blocks {
    fn read(
        directory: &Directory,
        source: &mut dyn Source,
        [rows, columns]: [usize; 2],
        number: Number,
    ) -> Result<Self, Refused> {
        let mut of = |tag| directory.number(source, tag);
        let tiled = of(TILE_COLUMNS)?.zip(of(TILE_ROWS)?);
        let (block_rows, block_columns) = match tiled {
            Some((wide, high)) => (high, wide),
            // The usual word for "all rows" is the largest number.
            None => (
                of(STRIP_ROWS)?.unwrap_or(u64::MAX).min(rows as u64),
                columns as u64,
            ),
        };
        if block_rows == 0 || block_columns == 0 {
            return Err(damaged("a damaged TIFF"));
        }
        let bytes = block_rows
            .checked_mul(block_columns)
            .and_then(|posts| posts.checked_mul(number.bytes() as u64));
        if bytes.is_none_or(|bytes| bytes > LARGEST_BLOCK_BYTES) {
            return Err(Refused::new(
                format!("blocks of {block_columns} x {block_rows} posts"),
                "blocks of up to 128 MiB",
                Remedy::PACK,
            ));
        }
        let (block_rows, block_columns) = (block_rows as usize, block_columns as usize);
        let (places, sizes) = match tiled {
            Some(_) => (TILES, TILE_SIZES),
            None => (STRIPS, STRIP_SIZES),
        };
        let mut all = |tag| Ok(directory.numbers(source, tag)?.unwrap_or_default());
        let (places, sizes) = (all(places)?, all(sizes)?);
        let across = columns.div_ceil(block_columns);
        let expected = rows.div_ceil(block_rows).checked_mul(across);
        if expected != Some(places.len()) || places.len() != sizes.len() {
            return Err(damaged("a damaged TIFF"));
        }
        let places: Vec<(u64, u64)> = places.into_iter().zip(sizes).collect();
        let whole = |(at, size): &(u64, u64)| {
            at.checked_add(*size)
                .is_some_and(|end| end <= directory.length)
        };
        if !places.iter().all(whole) {
            return Err(damaged("blocks beyond the end of the file"));
        }
        if places.iter().any(|(_, size)| *size > LARGEST_BLOCK_BYTES) {
            return Err(damaged("a block of more than 128 MiB"));
        }
        Ok(Self {
            rows: block_rows,
            columns: block_columns,
            across,
            places,
            padded: tiled.is_some(),
        })
    }
}

/// The form of the posts, if it is read here.
fn samples(directory: &Directory, source: &mut dyn Source) -> Result<Samples, Refused> {
    let mut of = |tag| directory.number(source, tag);
    let packing = Packing::of(of(COMPRESSION)?.unwrap_or(1))?;
    let bands = of(BANDS)?.unwrap_or(1);
    if bands != 1 {
        return Err(Refused::new(
            format!("{bands} bands"),
            EXPECTED_POSTS,
            Remedy::Convert("convert it", "gdal_translate -b 1"),
        ));
    }
    if of(COLOURS)?.unwrap_or(1) != 1 {
        return Err(Refused::new(
            "the colours of a picture",
            EXPECTED_POSTS,
            Remedy::Say("take the elevation file itself"),
        ));
    }
    let number = Number::of(of(FORMAT)?.unwrap_or(1), of(BITS)?.unwrap_or(1))?;
    let prediction = match of(PREDICTOR)?.unwrap_or(1) {
        1 => Prediction::Nothing,
        2 => Prediction::Difference,
        3 if matches!(number, Number::F32 | Number::F64) => Prediction::Bytes,
        _ => return Err(damaged("a damaged TIFF")),
    };
    Ok(Samples {
        packing,
        number,
        prediction: match packing {
            // Only packed posts are predicted.
            Packing::Plain | Packing::PackBits => Prediction::Nothing,
            Packing::Lzw | Packing::Deflate => prediction,
        },
        big_endian: directory.big_endian,
    })
}

/// The value of unknown posts.
fn nodata(directory: &Directory, source: &mut dyn Source) -> Result<Option<f64>, Refused> {
    let text = directory.text(source, NODATA)?.unwrap_or_default();
    match text.trim() {
        "" => Ok(None),
        text => match text.parse() {
            Ok(value) => Ok(Some(value)),
            Err(_) => Err(Refused::new(
                "a value of unknown posts that is no number",
                "a number",
                Remedy::Convert("convert it", "gdal_translate -a_nodata -9999"),
            )),
        },
    }
}
