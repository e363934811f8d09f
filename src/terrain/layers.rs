//! A line of sight over rasters and tiles that overlap: the finest that knows
//! the ground tells it.

use super::{
    AbsentTiles, ElevationMosaic, ElevationTile,
    lattice::{Bounds, Lattice},
    raster_set::{Hand, Post, RasterSet},
    ray::{Knot, Stretch, cell_surface, split},
    tile_error::TileError,
};

/// One source of heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Layer {
    /// The raster of this index, its coordinates moved by whole turns.
    Raster(usize, Lattice),
    /// The tile that begins at this latitude and longitude.
    Tile([f64; 2]),
}

/// A line of sight on its way.
pub(super) struct LayeredWalk<'a, V> {
    pub mosaic: &'a ElevationMosaic,
    pub rasters: &'a RasterSet,
    pub absent: AbsentTiles,
    pub hand: &'a mut Hand,
    pub visit: &'a mut V,
}

/// A part of the line between two knots, as shares of it, and whether a finer
/// layer was there without a height.
#[derive(Clone, Copy)]
struct Part {
    from: f64,
    to: f64,
    void: bool,
}

impl<V: FnMut(Stretch)> LayeredWalk<'_, V> {
    /// Visits every stretch between two knots, in order of distance.
    pub fn walk(&mut self, from: Knot, to: Knot) -> Result<(), TileError> {
        let bounds = Bounds {
            south_deg: from.latitude_deg.min(to.latitude_deg),
            north_deg: from.latitude_deg.max(to.latitude_deg),
            west_deg: from.longitude_deg.min(to.longitude_deg),
            east_deg: from.longitude_deg.max(to.longitude_deg),
        };
        let layers = self.mosaic.layers_over(bounds);
        let whole = Part {
            from: 0.0,
            to: 1.0,
            void: false,
        };
        self.descend(&layers, [from, to], whole)
    }

    /// Follows a part of the line over the first of the layers, and what that
    /// does not know over the others.
    fn descend(&mut self, layers: &[Layer], line: [Knot; 2], part: Part) -> Result<(), TileError> {
        if part.to <= part.from {
            return Ok(());
        }
        let Some((layer, below)) = layers.split_first() else {
            self.absent(line, part);
            return Ok(());
        };
        let Some(grid) = self.grid(layer) else {
            return self.descend(below, line, part);
        };
        let [a, b] = line.map(|knot| grid.posts(knot));
        let inside = clip(a, b, grid.extent, part);
        if inside.to <= inside.from {
            return self.descend(below, line, part);
        }
        let before = Part {
            to: inside.from,
            ..part
        };
        self.descend(below, line, before)?;
        let at = |share: f64| [0, 1].map(|axis| a[axis] + share * (b[axis] - a[axis]));
        let length = inside.to - inside.from;
        let mut failed = None;
        // What this layer does not know, as far as it was followed.
        let mut unknown: Option<Part> = None;
        split(at(inside.from), at(inside.to), |start, end| {
            if failed.is_some() {
                return;
            }
            let (from, to) = (inside.from + start * length, inside.from + end * length);
            let (p, q) = (at(from), at(to));
            let cell = [0, 1].map(|axis| {
                let middle: f64 = 0.5 * (p[axis] + q[axis]);
                middle.floor().clamp(0.0, grid.extent[axis] - 1.0)
            });
            let walked = match self.cell(layer, cell) {
                Ok(Ok(posts)) => self.flush(below, line, unknown.take()).map(|()| {
                    let (from_m, to_m) = (distance(line, from), distance(line, to));
                    (self.visit)(Stretch {
                        from_m,
                        to_m,
                        surface: Some(cell_surface(posts, cell, [p, q], to_m - from_m)),
                    });
                }),
                Ok(Err(missing)) => {
                    let void = part.void || missing == Post::Void;
                    match &mut unknown {
                        Some(before) if before.void == void => {
                            before.to = to;
                            Ok(())
                        }
                        _ => {
                            let done = self.flush(below, line, unknown.take());
                            unknown = Some(Part { from, to, void });
                            done
                        }
                    }
                }
                Err(error) => Err(error),
            };
            failed = walked.err();
        });
        if let Some(error) = failed {
            return Err(error);
        }
        self.flush(below, line, unknown)?;
        let after = Part {
            from: inside.to,
            ..part
        };
        self.descend(below, line, after)
    }

    fn flush(
        &mut self,
        below: &[Layer],
        line: [Knot; 2],
        unknown: Option<Part>,
    ) -> Result<(), TileError> {
        match unknown {
            Some(part) => self.descend(below, line, part),
            None => Ok(()),
        }
    }

    /// Visits a part that no layer knows.
    fn absent(&mut self, line: [Knot; 2], part: Part) {
        (self.visit)(Stretch {
            from_m: distance(line, part.from),
            to_m: distance(line, part.to),
            surface: match self.absent {
                AbsentTiles::Sea if !part.void => Some([0.0; 3]),
                AbsentTiles::Sea | AbsentTiles::Unknown => None,
            },
        });
    }

    fn grid(&self, layer: &Layer) -> Option<Grid> {
        Some(match layer {
            Layer::Raster(index, lattice) => {
                let file = self.rasters.file(*index)?;
                Grid {
                    place: Place::Lattice(*lattice),
                    // The cells that begin at its own posts: those of the last
                    // row and column end in the rasters that continue it.
                    extent: [file.rows as f64, file.columns as f64],
                }
            }
            Layer::Tile(corner) => {
                let cells = f64::from(self.tile(*corner)?.cells_per_degree());
                Grid {
                    place: Place::Tile(*corner, cells),
                    extent: [cells; 2],
                }
            }
        })
    }

    fn tile(&self, corner: [f64; 2]) -> Option<&ElevationTile> {
        self.mosaic.tile(corner[0] as i64, corner[1] as i64)
    }

    fn cell(
        &mut self,
        layer: &Layer,
        cell: [f64; 2],
    ) -> Result<Result<[[f64; 2]; 2], Post>, TileError> {
        match layer {
            Layer::Raster(index, _) => {
                let cell = cell.map(|at| at as i64);
                self.rasters.cell(self.hand, *index, cell)
            }
            Layer::Tile(corner) => {
                let [row, column] = cell.map(|at| at as usize);
                let posts = self.tile(*corner).map(|tile| tile.cell_m(row, column));
                Ok(match posts {
                    Some([[Some(a), Some(b)], [Some(c), Some(d)]]) => Ok([[a, b], [c, d]]),
                    _ => Err(Post::Void),
                })
            }
        }
    }
}

/// Where the posts of a layer stand, and how many rows and columns of cells
/// they make.
struct Grid {
    place: Place,
    extent: [f64; 2],
}

enum Place {
    Lattice(Lattice),
    /// The corner, and the cells of a degree.
    Tile([f64; 2], f64),
}

impl Grid {
    fn posts(&self, knot: Knot) -> [f64; 2] {
        match &self.place {
            Place::Lattice(lattice) => lattice.posts(knot.latitude_deg, knot.longitude_deg),
            Place::Tile(corner, cells) => [
                (knot.latitude_deg - corner[0]) * cells,
                (knot.longitude_deg - corner[1]) * cells,
            ],
        }
    }
}

fn distance([from, to]: [Knot; 2], share: f64) -> f64 {
    from.distance_m + share * (to.distance_m - from.distance_m)
}

/// The part of the line from `a` to `b` inside the rectangle from 0 to
/// `extent`.
fn clip(a: [f64; 2], b: [f64; 2], extent: [f64; 2], part: Part) -> Part {
    let mut inside = part;
    for ((start, end), most) in a.into_iter().zip(b).zip(extent) {
        let change = end - start;
        if change == 0.0 {
            if !(0.0..=most).contains(&start) {
                inside.to = inside.from;
            }
            continue;
        }
        let (one, other) = (-start / change, (most - start) / change);
        inside.from = inside.from.max(one.min(other));
        inside.to = inside.to.min(one.max(other));
    }
    inside
}
