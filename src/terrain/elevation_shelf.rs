//! The elevation files for many places: which of them lie around each, and
//! those read last, so that each is read once where places are taken in a good
//! order.

use super::{
    ElevationMosaic, ElevationTile, GroundPoint, TileCorner, TileError,
    block_cache::BlockCache,
    elevation_file::ElevationFile,
    geotiff::GeoTiff,
    lattice::Bounds,
    raster_set::{POSTS_HELD, Shelved},
};
use std::{
    collections::{BTreeSet, HashMap},
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
};

/// Tiles held at once: enough for 200 km around a place, at most 650 MB.
const MOST_TILES: usize = 25;
/// GeoTIFFs open at once: a system often lets a program open 1024 files.
const MOST_RASTERS: usize = 400;
/// Places that are computed together, at most.
const MOST_PLACES: usize = 256;

/// Elevation files of which names and headers are known, for skylines of many
/// places.
///
/// Every mosaic of it shares what is read: up to 25 tiles, 400 open GeoTIFFs
/// and 256 MiB of heights of them, besides those that are in use.
#[derive(Debug)]
pub struct ElevationShelf {
    files: Vec<(PathBuf, Kind)>,
    held: Mutex<Held>,
    blocks: Arc<BlockCache>,
}

/// A file by its name or header.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Tile(TileCorner),
    Raster(Bounds),
}

/// What was read, by the number of its file.
#[derive(Debug, Default)]
struct Held {
    tiles: HashMap<usize, Arc<ElevationTile>>,
    rasters: HashMap<usize, Arc<GeoTiff>>,
}

impl ElevationShelf {
    /// The files at `paths`: tiles (`.hgt`) and GeoTIFFs (`.tif`). Of GeoTIFFs
    /// the headers are read.
    ///
    /// # Errors
    ///
    /// Two tiles of one square, or the first file that cannot be used.
    pub fn of<P: AsRef<Path>>(paths: &[P]) -> Result<Self, TileError> {
        let mut named: HashMap<TileCorner, &Path> = HashMap::new();
        let mut files = Vec::new();
        let mut held = Held::default();
        for path in paths.iter().map(AsRef::as_ref) {
            let kind = match ElevationFile::of(path)? {
                ElevationFile::Tile(corner) => {
                    if let Some(first) = named.insert(corner, path) {
                        return Err(TileError::Twice {
                            path: path.to_owned(),
                            first: first.to_owned(),
                        });
                    }
                    Kind::Tile(corner)
                }
                ElevationFile::Raster => {
                    let raster = GeoTiff::open(path)?;
                    let bounds = raster.bounds;
                    if held.rasters.len() < MOST_RASTERS {
                        held.rasters.insert(files.len(), Arc::new(raster));
                    }
                    Kind::Raster(bounds)
                }
            };
            files.push((path.to_owned(), kind));
        }
        Ok(Self {
            files,
            held: Mutex::new(held),
            blocks: Arc::new(BlockCache::new(POSTS_HELD)),
        })
    }

    /// The surface of those files that have ground within `reach_m` metres of
    /// `place`.
    ///
    /// # Errors
    ///
    /// More than 25 tiles or 400 GeoTIFFs, and the first file that cannot be
    /// read.
    pub fn around(&self, place: GroundPoint, reach_m: f64) -> Result<ElevationMosaic, TileError> {
        self.surface(&self.near(place, reach_m))
    }

    /// The surface of all files.
    ///
    /// # Errors
    ///
    /// As [`ElevationShelf::around`].
    pub fn all(&self) -> Result<ElevationMosaic, TileError> {
        self.surface(&(0..self.files.len()).collect())
    }

    /// Places, each with its reach in metres, by their numbers in batches whose
    /// files can be held at once: neighbours follow each other.
    pub fn batches(&self, places: &[(GroundPoint, f64)]) -> Vec<Vec<usize>> {
        let mut order: Vec<usize> = (0..places.len()).collect();
        let key = |number: &usize| {
            places.get(*number).map(|(place, _)| {
                let (latitude, longitude) = (place.latitude_deg(), place.longitude_deg());
                // Heights lie in rows from west to east.
                let row = (latitude.fract().rem_euclid(1.0) * 100.0) as i64;
                (latitude.floor() as i64, longitude.floor() as i64, row)
            })
        };
        order.sort_by_key(key);
        let mut batches: Vec<Vec<usize>> = Vec::new();
        let mut needed = BTreeSet::new();
        for number in order {
            let Some((place, reach_m)) = places.get(number) else {
                continue;
            };
            let mut with = self.near(*place, *reach_m);
            let alone = with.clone();
            with.extend(&needed);
            match batches.last_mut() {
                Some(batch) if batch.len() < MOST_PLACES && self.excess(&with).is_none() => {
                    batch.push(number);
                    needed = with;
                }
                _ => {
                    batches.push(vec![number]);
                    needed = alone;
                }
            }
        }
        batches
    }

    /// The numbers of the files that have ground around a place.
    fn near(&self, place: GroundPoint, reach_m: f64) -> BTreeSet<usize> {
        let reach = Bounds::around(place.latitude_deg(), place.longitude_deg(), reach_m);
        let is_near = |kind: &Kind| {
            let bounds = match kind {
                Kind::Tile(corner) => corner.bounds(),
                Kind::Raster(bounds) => *bounds,
            };
            bounds.turns_onto(reach).next().is_some()
        };
        let files = self.files.iter().enumerate();
        let near = files.filter(|(_, (_, kind))| is_near(kind));
        near.map(|(number, _)| number).collect()
    }

    /// Why so many files cannot be held at once.
    fn excess(&self, numbers: &BTreeSet<usize>) -> Option<TileError> {
        let kinds = || numbers.iter().filter_map(|number| self.files.get(*number));
        let tiles = kinds().filter(|(_, kind)| matches!(kind, Kind::Tile(_)));
        let tiles = tiles.count();
        [(tiles, MOST_TILES), (kinds().count() - tiles, MOST_RASTERS)]
            .into_iter()
            .find(|(found, limit)| found > limit)
            .map(|(found, limit)| TileError::TooMany { found, limit })
    }

    fn surface(&self, numbers: &BTreeSet<usize>) -> Result<ElevationMosaic, TileError> {
        if let Some(excess) = self.excess(numbers) {
            return Err(excess);
        }
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        let Held { tiles, rasters } = &mut *held;
        make_room(tiles, numbers, MOST_TILES);
        make_room(rasters, numbers, MOST_RASTERS);
        let mut of_tiles = Vec::new();
        let mut of_rasters = Vec::new();
        for number in numbers {
            let Some((path, kind)) = self.files.get(*number) else {
                continue;
            };
            match kind {
                Kind::Tile(_) => {
                    let tile = match tiles.get(number) {
                        Some(tile) => Arc::clone(tile),
                        None => Arc::new(ElevationTile::read(path)?),
                    };
                    tiles.insert(*number, Arc::clone(&tile));
                    of_tiles.push(tile);
                }
                Kind::Raster(_) => {
                    let raster = match rasters.get(number) {
                        Some(raster) => Arc::clone(raster),
                        None => Arc::new(GeoTiff::open(path)?),
                    };
                    rasters.insert(*number, Arc::clone(&raster));
                    of_rasters.push(Shelved {
                        number: *number,
                        file: raster,
                    });
                }
            }
        }
        let mosaic = ElevationMosaic::of_shared(of_tiles);
        Ok(mosaic.with_rasters(of_rasters, Arc::clone(&self.blocks)))
    }
}

/// Lets go of what nobody uses, if with the files of these numbers more than
/// `most` would be held.
fn make_room<T>(held: &mut HashMap<usize, Arc<T>>, numbers: &BTreeSet<usize>, most: usize) {
    let missing = numbers.iter().filter(|number| !held.contains_key(number));
    if held.len() + missing.count() > most {
        held.retain(|number, one| numbers.contains(number) || Arc::strong_count(one) > 1);
    }
}
