//! Several elevation tiles as one surface.

use super::{ElevationTile, GroundPoint, TileCorner, TileError};
use std::{collections::HashMap, path::Path};

/// Tiles held at once: enough for 200 km around a place, at most 650 MB.
const MOST_TILES: usize = 25;

/// Elevation tiles, side by side, of one resolution or several.
#[derive(Debug, Clone, Default)]
pub struct ElevationMosaic {
    tiles: HashMap<TileCorner, ElevationTile>,
}

/// What the tiles say about a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ground {
    /// Height above the sea, metres.
    Height(f64),
    /// In a tile, but beside a void.
    Void,
    /// In no tile.
    NoTile,
}

impl ElevationMosaic {
    /// Reads the tiles at `paths`.
    ///
    /// # Errors
    ///
    /// More than 25 paths, two tiles of one square, or the first tile that
    /// cannot be used.
    pub fn read<P: AsRef<Path>>(paths: &[P]) -> Result<Self, TileError> {
        if paths.len() > MOST_TILES {
            return Err(TileError::TooMany {
                found: paths.len(),
                limit: MOST_TILES,
            });
        }
        let mut tiles = HashMap::with_capacity(paths.len());
        let mut names: HashMap<TileCorner, &Path> = HashMap::new();
        for path in paths {
            let corner = TileCorner::from_name(path.as_ref())?;
            if let Some(first) = names.insert(corner, path.as_ref()) {
                return Err(TileError::Twice {
                    path: path.as_ref().to_owned(),
                    first: first.to_owned(),
                });
            }
            let tile = ElevationTile::read(path.as_ref())?;
            tiles.insert(tile.corner(), tile);
        }
        Ok(Self { tiles })
    }

    /// The mosaic of these tiles.
    pub fn from_tiles(tiles: impl IntoIterator<Item = ElevationTile>) -> Self {
        Self {
            tiles: tiles
                .into_iter()
                .map(|tile| (tile.corner(), tile))
                .collect(),
        }
    }

    /// Whether it has no tile.
    pub fn is_empty(&self) -> bool {
        self.tiles.is_empty()
    }

    /// The tile that begins at whole degrees; the longitude may run past 180.
    pub(super) fn tile(&self, south_deg: i64, west_deg: i64) -> Option<&ElevationTile> {
        self.tiles.get(&TileCorner {
            south_deg: i16::try_from(south_deg).ok()?,
            west_deg: i16::try_from((west_deg + 180).rem_euclid(360) - 180).ok()?,
        })
    }

    /// The ground at `point`, between the four nearest posts (bilinear).
    ///
    /// A void counts only where its weight is not zero. On the edge between
    /// two tiles either one will do.
    pub fn ground(&self, point: GroundPoint) -> Ground {
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
        mosaic.ground(GroundPoint::new(latitude, longitude).expect("a place"))
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
        let paths = vec!["no-such-file"; 26];
        let error = ElevationMosaic::read(&paths).expect_err("too many");
        assert!(matches!(
            error,
            TileError::TooMany {
                found: 26,
                limit: 25
            }
        ));
        assert!(ElevationMosaic::read(&["N00E000.hgt"]).is_err());
    }
}
