//! Several elevation files as one surface.

use super::{
    AbsentTiles, ElevationTile, GroundPoint, TileCorner, TileError,
    block_cache::BlockCache,
    geotiff::GeoTiff,
    height_facts::HeightFact,
    lattice::{Bounds, Frame, METRES_PER_DEGREE},
    layers::{Layer, LayeredWalk},
    raster_set::{Hand, POSTS_HELD, Post, RasterSet, Shelved},
    ray::{Knot, Stretch, walk_tiles},
};
use std::{
    collections::HashMap,
    path::{Path, PathBuf},
    sync::Arc,
};

/// Elevation tiles and GeoTIFFs, side by side or over each other, of one
/// resolution or several: where they overlap, the finest that knows the ground
/// tells it.
///
/// Tiles are in memory. Of GeoTIFFs only the blocks that are asked for are
/// read, and up to 256 MiB of heights of them are kept.
#[derive(Debug, Clone, Default)]
pub struct ElevationMosaic {
    tiles: HashMap<TileCorner, Arc<ElevationTile>>,
    rasters: Option<Arc<RasterSet>>,
    /// Every source, the finest first, if there are rasters.
    order: Vec<Source>,
}

#[derive(Debug, Clone, Copy)]
enum Source {
    Raster(usize),
    Tile(TileCorner),
}

/// What the elevation files say about a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ground {
    /// Height above the sea, metres.
    Height(f64),
    /// In a file, but beside a void.
    Void,
    /// In no file.
    NoTile,
}

impl ElevationMosaic {
    /// The mosaic of these tiles.
    pub fn from_tiles(tiles: impl IntoIterator<Item = ElevationTile>) -> Self {
        Self::of_shared(tiles.into_iter().map(Arc::new))
    }

    /// The same of tiles that others use too.
    pub(super) fn of_shared(tiles: impl IntoIterator<Item = Arc<ElevationTile>>) -> Self {
        Self {
            tiles: tiles
                .into_iter()
                .map(|tile| (tile.corner(), tile))
                .collect(),
            ..Self::default()
        }
    }

    /// The mosaic of one GeoTIFF that is in memory; `path` is for errors.
    ///
    /// # Errors
    ///
    /// Anything but an elevation model in a form that is read here.
    pub fn from_geotiff(path: &Path, bytes: Vec<u8>) -> Result<Self, TileError> {
        let length = bytes.len() as u64;
        let raster = GeoTiff::of(path, Box::new(std::io::Cursor::new(bytes)), length)?;
        let shelved = Shelved {
            number: 0,
            file: Arc::new(raster),
        };
        let cache = Arc::new(BlockCache::new(POSTS_HELD));
        Ok(Self::default().with_rasters(vec![shelved], cache))
    }

    pub(super) fn with_rasters(mut self, rasters: Vec<Shelved>, cache: Arc<BlockCache>) -> Self {
        if rasters.is_empty() {
            return self;
        }
        let fineness = rasters.iter().map(|one| one.file.lattice.resolution_m());
        let mut order: Vec<(f64, Source)> = fineness
            .enumerate()
            .map(|(index, metres)| (metres, Source::Raster(index)))
            .collect();
        let mut corners: Vec<_> = self.tiles.iter().collect();
        corners.sort_by_key(|(corner, _)| **corner);
        order.extend(corners.into_iter().map(|(corner, tile)| {
            let metres = METRES_PER_DEGREE / f64::from(tile.cells_per_degree());
            (metres, Source::Tile(*corner))
        }));
        // Stable: of equally fine ones the first given comes first.
        order.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        self.order = order.into_iter().map(|(_, source)| source).collect();
        self.rasters = Some(Arc::new(RasterSet::new(rasters, cache)));
        self
    }

    /// Whether it has no file.
    pub fn is_empty(&self) -> bool {
        self.tiles.is_empty() && self.rasters.is_none()
    }

    /// What a reader should know about the heights of the GeoTIFFs, each fact
    /// once, in the order of the files.
    pub fn height_facts(&self) -> Vec<HeightFact> {
        let files = self.rasters.iter().flat_map(|rasters| rasters.files());
        HeightFact::of(files.map(|file| file.reference))
    }

    /// The file of the finest source that holds a place, for messages.
    pub(super) fn file_over(&self, point: GroundPoint) -> Option<PathBuf> {
        let rasters = self.rasters.as_deref()?;
        let bounds = Bounds::around(point.latitude_deg(), point.longitude_deg(), 0.0);
        let path = |layer: Layer| match layer {
            Layer::Raster(index, _) => rasters.file(index).map(|file| file.path.clone()),
            Layer::Tile(_) => None,
        };
        self.layers_over(bounds).into_iter().find_map(path)
    }

    /// Whether it has GeoTIFFs.
    pub(super) const fn has_rasters(&self) -> bool {
        self.rasters.is_some()
    }

    /// The tile that begins at whole degrees; the longitude may run past 180.
    pub(super) fn tile(&self, south_deg: i64, west_deg: i64) -> Option<&ElevationTile> {
        let corner = TileCorner {
            south_deg: i16::try_from(south_deg).ok()?,
            west_deg: i16::try_from((west_deg + 180).rem_euclid(360) - 180).ok()?,
        };
        self.tiles.get(&corner).map(Arc::as_ref)
    }

    /// The sources that have ground in a rectangle, the finest first.
    pub(super) fn layers_over(&self, bounds: Bounds) -> Vec<Layer> {
        let mut layers = Vec::new();
        for source in &self.order {
            match source {
                Source::Raster(index) => {
                    let Some(file) = self.rasters.as_ref().and_then(|set| set.file(*index)) else {
                        continue;
                    };
                    // A grid in metres takes any longitude as it is.
                    let most = match file.lattice.frame {
                        Frame::Degrees => usize::MAX,
                        Frame::Utm(_) => 1,
                    };
                    let turns = file.bounds.turns_onto(bounds).take(most);
                    layers.extend(turns.map(|by| Layer::Raster(*index, file.lattice.turned(by))));
                }
                Source::Tile(corner) => {
                    let (south, west) = (f64::from(corner.south_deg), f64::from(corner.west_deg));
                    let turns = corner.bounds().turns_onto(bounds);
                    layers.extend(turns.map(|by| Layer::Tile([south, west + by])));
                }
            }
        }
        layers
    }

    /// Visits every stretch of the line between two knots, in order of
    /// distance.
    pub(super) fn walk(
        &self,
        hand: &mut Hand,
        absent: AbsentTiles,
        from: Knot,
        to: Knot,
        visit: &mut impl FnMut(Stretch),
    ) -> Result<(), TileError> {
        let Some(rasters) = self.rasters.as_deref() else {
            walk_tiles(self, absent, from, to, visit);
            return Ok(());
        };
        LayeredWalk {
            mosaic: self,
            rasters,
            absent,
            hand,
            visit,
        }
        .walk(from, to)
    }

    /// The ground at `point`, between the four nearest posts (bilinear).
    ///
    /// A void counts only where its weight is not zero. On the edge between
    /// two tiles either one will do.
    ///
    /// # Errors
    ///
    /// A block of a GeoTIFF that cannot be read or holds heights that no ground
    /// has.
    pub fn ground(&self, point: GroundPoint) -> Result<Ground, TileError> {
        let Some(rasters) = self.rasters.as_deref() else {
            return Ok(self.ground_of_tiles(point));
        };
        let (latitude, longitude) = (point.latitude_deg(), point.longitude_deg());
        let mut found = Ground::NoTile;
        let mut hand = Hand::default();
        for layer in self.layers_over(Bounds::around(latitude, longitude, 0.0)) {
            let here = match layer {
                Layer::Raster(index, lattice) => {
                    let at = lattice.posts(latitude, longitude);
                    match rasters.between(&mut hand, index, at, true)? {
                        Post::Height(height) => Ground::Height(height),
                        Post::Void => Ground::Void,
                        Post::Outside => Ground::NoTile,
                    }
                }
                Layer::Tile([south, west]) => {
                    let (north, east) = (latitude - south, longitude - west);
                    let within = (0.0..=1.0).contains(&north) && (0.0..=1.0).contains(&east);
                    match self.tile(south as i64, west as i64).filter(|_| within) {
                        Some(tile) => {
                            height_in(tile, north, east).map_or(Ground::Void, Ground::Height)
                        }
                        None => Ground::NoTile,
                    }
                }
            };
            match here {
                Ground::Height(_) => return Ok(here),
                Ground::Void => found = Ground::Void,
                Ground::NoTile => {}
            }
        }
        Ok(found)
    }

    fn ground_of_tiles(&self, point: GroundPoint) -> Ground {
        let (latitude, longitude) = (point.latitude_deg(), point.longitude_deg());
        let (south, west) = (latitude.floor(), longitude.floor());
        // A place on an edge belongs to the tile on either side of it.
        let souths = [Some(south), (latitude == south).then_some(south - 1.0)];
        let wests = [Some(west), (longitude == west).then_some(west - 1.0)];
        let mut found = Ground::NoTile;
        for south in souths.into_iter().flatten() {
            for west in wests.into_iter().flatten() {
                let Some(tile) = self.tile(south as i64, west as i64) else {
                    continue;
                };
                match height_in(tile, latitude - south, longitude - west) {
                    Some(height) => return Ground::Height(height),
                    None => found = Ground::Void,
                }
            }
        }
        found
    }
}

/// Height at degrees north and east of the tile's corner.
fn height_in(tile: &ElevationTile, north_deg: f64, east_deg: f64) -> Option<f64> {
    let cells = f64::from(tile.cells_per_degree());
    let along = |degrees: f64| {
        let posts = degrees * cells;
        let cell = posts.floor().clamp(0.0, cells - 1.0);
        (cell as usize, posts - cell)
    };
    let ((row, v), (column, u)) = (along(north_deg), along(east_deg));
    let [[sw, se], [nw, ne]] = tile.cell_m(row, column);
    let weighted = [
        (sw, (1.0 - u) * (1.0 - v)),
        (se, u * (1.0 - v)),
        (nw, (1.0 - u) * v),
        (ne, u * v),
    ];
    weighted
        .into_iter()
        .filter(|(_, weight)| *weight != 0.0)
        .try_fold(0.0, |sum, (post, weight)| Some(sum + weight * post?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// A tile whose posts are `height(north, east)`, in posts.
    fn tile(south_deg: i16, west_deg: i16, height: impl Fn(i32, i32) -> i16) -> ElevationTile {
        let mut bytes = Vec::new();
        for north in (0..1201).rev() {
            for east in 0..1201 {
                bytes.extend(height(north, east).to_be_bytes());
            }
        }
        let corner = TileCorner {
            south_deg,
            west_deg,
        };
        ElevationTile::from_bytes(corner, Path::new("test"), &bytes).expect("a tile")
    }

    fn ground(mosaic: &ElevationMosaic, latitude: f64, longitude: f64) -> Ground {
        let place = GroundPoint::new(latitude, longitude).expect("a place");
        mosaic.ground(place).expect("tiles in memory")
    }

    #[test]
    fn between_posts_it_is_bilinear() {
        let mosaic = ElevationMosaic::from_tiles([tile(10, 20, |n, e| (2 * n + 3 * e) as i16)]);
        let at = |north: f64, east: f64| match ground(
            &mosaic,
            10.0 + north / 1200.0,
            20.0 + east / 1200.0,
        ) {
            Ground::Height(height) => height,
            other => panic!("{other:?}"),
        };
        for (north, east) in [(0.0, 0.0), (3.25, 7.5), (1200.0, 1200.0), (1199.9, 0.1)] {
            assert_abs_diff_eq!(at(north, east), 2.0 * north + 3.0 * east, epsilon = 1e-6);
        }
        assert_eq!(ground(&mosaic, 9.999, 20.5), Ground::NoTile);
        assert_eq!(ground(&mosaic, 10.5, 21.001), Ground::NoTile);
    }

    #[test]
    fn a_void_counts_where_it_weighs() {
        let mosaic = ElevationMosaic::from_tiles([tile(0, 0, |n, e| {
            if (n, e) == (600, 600) { i16::MIN } else { 100 }
        })]);
        assert_eq!(ground(&mosaic, 0.5, 0.5), Ground::Void);
        assert_eq!(
            ground(&mosaic, 0.5 + 0.5 / 1200.0, 0.5 - 0.5 / 1200.0),
            Ground::Void
        );
        // Along the next line of posts its weight is zero.
        assert_eq!(
            ground(&mosaic, 0.5, 0.5 + 2.0 / 1200.0),
            Ground::Height(100.0)
        );
    }

    #[test]
    fn tiles_join_at_their_edges_and_across_the_antimeridian() {
        let mosaic = ElevationMosaic::from_tiles([
            tile(-1, 179, |_, e| e as i16),
            tile(-1, -180, |_, e| (1200 - e) as i16),
        ]);
        let height = |longitude| match ground(&mosaic, -0.5, longitude) {
            Ground::Height(height) => height,
            other => panic!("{other:?}"),
        };
        assert_abs_diff_eq!(height(180.0), 1200.0, epsilon = 1e-9);
        assert_abs_diff_eq!(height(-180.0), 1200.0, epsilon = 1e-9);
        assert_abs_diff_eq!(height(179.999), 1198.8, epsilon = 1e-6);
        assert_abs_diff_eq!(height(-179.999), 1198.8, epsilon = 1e-6);
        assert_eq!(ground(&mosaic, 0.0, 179.5), Ground::Height(600.0));
    }

    #[test]
    fn too_many_tiles_are_refused_before_any_is_read() {
        let names: Vec<String> = (0..26).map(|east| format!("N00E{east:03}.hgt")).collect();
        let error = ElevationMosaic::read(&names).expect_err("too many");
        assert!(matches!(
            error,
            TileError::TooMany {
                found: 26,
                limit: 25
            }
        ));
        assert!(ElevationMosaic::read(&["N00E000.hgt"]).is_err());
        // Those out of reach are not even looked for.
        let far = GroundPoint::new(40.0, 100.0).expect("a place");
        let none = ElevationMosaic::read_around(&names, far, 60_000.0).expect("none in reach");
        assert!(none.is_empty());
    }
}
