//! The files of a mosaic: which of them are read, and how many may be.

use super::{
    ElevationMosaic, ElevationTile, GroundPoint, TileCorner, TileError,
    elevation_file::ElevationFile, geotiff::GeoTiff, lattice::Bounds,
};
use std::{collections::HashMap, path::Path};

/// Tiles held at once: enough for 200 km around a place, at most 650 MB.
const MOST_TILES: usize = 25;
/// GeoTIFFs open at once: a system often lets a program open 1024 files.
const MOST_RASTERS: usize = 400;

impl ElevationMosaic {
    /// Reads the files at `paths`: tiles (`.hgt`) and GeoTIFFs (`.tif`).
    ///
    /// # Errors
    ///
    /// More than 25 tiles or 400 GeoTIFFs, two tiles of one square, or the
    /// first file that cannot be used.
    pub fn read<P: AsRef<Path>>(paths: &[P]) -> Result<Self, TileError> {
        Self::read_within(paths, None)
    }

    /// Reads those of the files at `paths` that have ground within `reach_m`
    /// metres of `place`; of the others only names and headers.
    ///
    /// # Errors
    ///
    /// As [`ElevationMosaic::read`], the numbers being those within reach.
    pub fn read_around<P: AsRef<Path>>(
        paths: &[P],
        place: GroundPoint,
        reach_m: f64,
    ) -> Result<Self, TileError> {
        let (latitude_deg, longitude_deg) = (place.latitude_deg(), place.longitude_deg());
        let reach = Bounds::around(latitude_deg, longitude_deg, reach_m);
        Self::read_within(paths, Some(reach))
    }

    fn read_within<P: AsRef<Path>>(paths: &[P], reach: Option<Bounds>) -> Result<Self, TileError> {
        let within =
            |bounds: Bounds| reach.is_none_or(|reach| bounds.turns_onto(reach).next().is_some());
        let mut named: HashMap<TileCorner, &Path> = HashMap::new();
        let mut tiles: Vec<&Path> = Vec::new();
        let mut rasters: Vec<GeoTiff> = Vec::new();
        let mut raster_count = 0;
        for path in paths.iter().map(AsRef::as_ref) {
            match ElevationFile::of(path)? {
                ElevationFile::Tile(corner) => {
                    if let Some(first) = named.insert(corner, path) {
                        return Err(TileError::Twice {
                            path: path.to_owned(),
                            first: first.to_owned(),
                        });
                    }
                    if within(corner.bounds()) {
                        tiles.push(path);
                    }
                }
                ElevationFile::Raster => {
                    let raster = GeoTiff::open(path)?;
                    if within(raster.bounds) {
                        raster_count += 1;
                        if raster_count <= MOST_RASTERS {
                            rasters.push(raster);
                        }
                    }
                }
            }
        }
        for (found, limit) in [(tiles.len(), MOST_TILES), (raster_count, MOST_RASTERS)] {
            if found > limit {
                return Err(TileError::TooMany { found, limit });
            }
        }
        let read = |path: &&Path| ElevationTile::read(path);
        let tiles: Vec<_> = tiles.iter().map(read).collect::<Result<_, _>>()?;
        Ok(Self::from_tiles(tiles).with_rasters(rasters))
    }
}
