//! The kinds of elevation files, by their names.

use super::{
    elevation_tile::TileCorner,
    opening,
    refused::{Refused, Remedy},
    tile_error::TileError,
};
use std::path::Path;

/// Endings of the files that are read, without regard to capitals.
pub const ELEVATION_ENDINGS: [&str; 3] = ["hgt", "tif", "tiff"];

/// A file of heights that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ElevationFile {
    /// A tile of the `.hgt` layout, which begins at this corner.
    Tile(TileCorner),
    /// A GeoTIFF; where it lies stands in its header.
    Raster,
}

impl ElevationFile {
    /// The kind of the file at `path`, by its name.
    ///
    /// # Errors
    ///
    /// A name that gives no place, and any other form of elevation data, with
    /// what to type to convert it.
    pub fn of(path: &Path) -> Result<Self, TileError> {
        let ending = path.extension().and_then(|ending| ending.to_str());
        let ending = ending.unwrap_or_default().to_ascii_lowercase();
        if ["tif", "tiff"].contains(&ending.as_str()) {
            return Ok(Self::Raster);
        }
        match other(&ending) {
            // Is it there at all?
            Some(refused) => opening::about(path).and(Err(refused.of(path))),
            None => TileCorner::from_name(path).map(Self::Tile),
        }
    }
}

/// What to do about a file of another ending, if it is known.
fn other(ending: &str) -> Option<Refused> {
    let grid = Remedy::Convert("convert it", "gdal_translate");
    let (found, remedy) = match ending {
        "asc" | "grd" => ("a grid of numbers in text", grid),
        "bil" | "bip" | "bsq" | "flt" | "img" | "adf" | "dem" | "ter" => ("another raster", grid),
        "dt0" | "dt1" | "dt2" => ("a DTED tile", grid),
        "vrt" => ("a list of rasters", grid),
        "jp2" | "j2k" => ("a JPEG 2000", grid),
        "nc" | "grib" | "h5" | "hdf" => ("a file of scientific data", grid),
        "png" | "jpg" | "jpeg" | "webp" => (
            "a picture",
            Remedy::Say("take the elevation file itself, a GeoTIFF"),
        ),
        "las" | "laz" | "xyz" => (
            "a cloud of points",
            Remedy::Say("take the grid of heights that is made from it, a GeoTIFF"),
        ),
        "zip" => ("a zip archive", Remedy::Run("unpack it", "unzip")),
        "gz" => ("a packed file", Remedy::Run("unpack it", "gunzip -k")),
        "bz2" => ("a packed file", Remedy::Run("unpack it", "bunzip2 -k")),
        "xz" => ("a packed file", Remedy::Run("unpack it", "unxz -k")),
        "tar" | "tgz" => ("an archive", Remedy::Run("unpack it", "tar xf")),
        "7z" => ("an archive", Remedy::Run("unpack it", "7z x")),
        _ => return None,
    };
    Some(Refused::new(
        found,
        "an elevation tile (.hgt) or a GeoTIFF (.tif)",
        remedy,
    ))
}
