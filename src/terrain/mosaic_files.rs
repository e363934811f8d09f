//! The files of a mosaic: which of them are read.

use super::{ElevationMosaic, ElevationShelf, GroundPoint, TileError};
use std::path::Path;

impl ElevationMosaic {
    /// Reads the files at `paths`: tiles (`.hgt`) and GeoTIFFs (`.tif`).
    ///
    /// # Errors
    ///
    /// More than 25 tiles or 400 GeoTIFFs, two tiles of one square, or the
    /// first file that cannot be used.
    pub fn read<P: AsRef<Path>>(paths: &[P]) -> Result<Self, TileError> {
        ElevationShelf::of(paths)?.all()
    }

    /// Reads those of the files at `paths` that have ground within `reach_m`
    /// metres of `place`; of the others only names and headers. For several
    /// places an [`ElevationShelf`] reads each file once.
    ///
    /// # Errors
    ///
    /// As [`ElevationMosaic::read`], the numbers being those within reach.
    pub fn read_around<P: AsRef<Path>>(
        paths: &[P],
        place: GroundPoint,
        reach_m: f64,
    ) -> Result<Self, TileError> {
        ElevationShelf::of(paths)?.around(place, reach_m)
    }
}
