//! Rasters of several files, each post found in the file that has it.

use super::{
    block_cache::{Block, BlockCache},
    geotiff::GeoTiff,
    lattice::{Frame, Lattice},
    tile_error::TileError,
};
use std::sync::Arc;

/// Posts kept in memory: 256 MiB.
pub(super) const POSTS_HELD: usize = 1 << 26;
/// Blocks that a reader keeps at hand, of each raster: a line of sight is near
/// the corner of four at most.
const AT_HAND: usize = 4;

/// Open rasters and the blocks read last.
#[derive(Debug)]
pub(super) struct RasterSet {
    rasters: Vec<Joined>,
    cache: Arc<BlockCache>,
}

/// An open raster and its number among all whose blocks a cache keeps.
#[derive(Debug)]
pub(super) struct Shelved {
    pub number: usize,
    pub file: Arc<GeoTiff>,
}

/// A raster by its number, and where its first post stands on the lattice of
/// another.
type Next = (usize, [i64; 2]);
/// A raster by its number, and its own lattice.
type Beside = (usize, Lattice);

/// A raster and those that continue it.
#[derive(Debug)]
struct Joined {
    shelved: Shelved,
    /// Rasters on the same lattice that begin where this one ends, and where
    /// their first post stands on it.
    next: Vec<Next>,
    /// Rasters beside it on other lattices, moved by whole turns.
    beside: Vec<Beside>,
}

/// What is known at a place of a raster.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Post {
    /// Height above the sea, metres.
    Height(f64),
    /// In the raster, where it has no height.
    Void,
    /// In no raster.
    Outside,
}

/// The blocks that one line of sight has at hand.
#[derive(Default)]
pub(super) struct Hand(Vec<(usize, usize, Option<Arc<Block>>)>);

impl RasterSet {
    /// These files, whose blocks the `cache` keeps.
    pub fn new(files: Vec<Shelved>, cache: Arc<BlockCache>) -> Self {
        let beside: Vec<_> = (0..files.len())
            .map(|index| neighbours(&files, index))
            .collect();
        let rasters = files
            .into_iter()
            .zip(beside)
            .map(|(shelved, (next, beside))| Joined {
                shelved,
                next,
                beside,
            })
            .collect();
        Self { rasters, cache }
    }

    pub fn files(&self) -> impl Iterator<Item = &GeoTiff> {
        self.rasters.iter().map(|joined| &*joined.shelved.file)
    }

    pub fn file(&self, index: usize) -> Option<&GeoTiff> {
        self.rasters.get(index).map(|joined| &*joined.shelved.file)
    }

    /// A post of raster `index`; a post or two beyond its edges are looked up
    /// in the rasters that continue it.
    pub fn post(
        &self,
        hand: &mut Hand,
        index: usize,
        [row, column]: [i64; 2],
    ) -> Result<Post, TileError> {
        let Some(joined) = self.rasters.get(index) else {
            return Ok(Post::Outside);
        };
        if let Some(post) = self.own(hand, index, [row, column])? {
            return Ok(post);
        }
        let mut found = Post::Outside;
        for (other, [north, west]) in &joined.next {
            match self.own(hand, *other, [row - north, column - west])? {
                Some(Post::Height(height)) => return Ok(Post::Height(height)),
                Some(post) => found = post,
                None => {}
            }
        }
        let place = joined
            .shelved
            .file
            .lattice
            .degrees([row as f64, column as f64]);
        for (other, lattice) in &joined.beside {
            let at = lattice.posts(place[0], place[1]);
            match self.between(hand, *other, at, false)? {
                Post::Height(height) => return Ok(Post::Height(height)),
                Post::Void => found = Post::Void,
                Post::Outside => {}
            }
        }
        Ok(found)
    }

    /// The four posts of a cell, those on its first row and those on the next;
    /// else why one is missing.
    pub fn cell(
        &self,
        hand: &mut Hand,
        index: usize,
        [row, column]: [i64; 2],
    ) -> Result<Result<[[f64; 2]; 2], Post>, TileError> {
        let mut heights = [[0.0; 2]; 2];
        let mut missing = None;
        for (down, line) in (0..).zip(&mut heights) {
            for (along, height) in (0..).zip(line.iter_mut()) {
                match self.post(hand, index, [row + down, column + along])? {
                    Post::Height(found) => *height = found,
                    Post::Void => missing = Some(Post::Void),
                    Post::Outside => missing = missing.or(Some(Post::Outside)),
                }
            }
        }
        Ok(missing.map_or(Ok(heights), Err))
    }

    /// The height between the four nearest posts (bilinear) at a row and a
    /// column; with `joined` also across the edges. A post without a weight
    /// need not be there.
    pub fn between(
        &self,
        hand: &mut Hand,
        index: usize,
        [row, column]: [f64; 2],
        joined: bool,
    ) -> Result<Post, TileError> {
        // Nearer to a line of posts than this it is on it: 0.1 mm where they are
        // 90 m apart. Two lattices meet as well as their headers have digits.
        let on_line = if joined { 1e-6 } else { 1e-3 };
        let Some(file) = self.file(index) else {
            return Ok(Post::Outside);
        };
        let snapped = [row, column].map(|at| match (at - at.round()).abs() < on_line {
            true => at.round(),
            false => at,
        });
        let inside = (-1.0..=file.rows as f64).contains(&snapped[0])
            && (-1.0..=file.columns as f64).contains(&snapped[1]);
        if !inside {
            return Ok(Post::Outside);
        }
        let first = snapped.map(f64::floor);
        let [v, u] = [snapped[0] - first[0], snapped[1] - first[1]];
        let mut sum = 0.0;
        let mut missing = None;
        for (down, weight_v) in [(0, 1.0 - v), (1, v)] {
            for (along, weight_u) in [(0, 1.0 - u), (1, u)] {
                let weight = weight_v * weight_u;
                if weight == 0.0 {
                    continue;
                }
                let at = [first[0] as i64 + down, first[1] as i64 + along];
                let post = match joined {
                    true => self.post(hand, index, at)?,
                    false => self.own(hand, index, at)?.unwrap_or(Post::Outside),
                };
                match post {
                    Post::Height(height) => sum += weight * height,
                    Post::Void => missing = Some(Post::Void),
                    Post::Outside => missing = missing.or(Some(Post::Outside)),
                }
            }
        }
        Ok(missing.unwrap_or(Post::Height(sum)))
    }

    /// A post of the raster itself; `None` beyond its edges.
    fn own(
        &self,
        hand: &mut Hand,
        index: usize,
        [row, column]: [i64; 2],
    ) -> Result<Option<Post>, TileError> {
        let Some(Joined { shelved, .. }) = self.rasters.get(index) else {
            return Ok(None);
        };
        let file = &*shelved.file;
        let (Ok(row), Ok(column)) = (usize::try_from(row), usize::try_from(column)) else {
            return Ok(None);
        };
        if row >= file.rows || column >= file.columns {
            return Ok(None);
        }
        let (number, [row, column]) = file.block_of(row, column);
        let block = self.block(hand, index, shelved, number)?;
        let height = block.and_then(|block| block.post_m(row, column));
        Ok(Some(height.map_or(Post::Void, Post::Height)))
    }

    /// The block of a raster; `None` for one that its file leaves out.
    fn block<'h>(
        &self,
        hand: &'h mut Hand,
        index: usize,
        shelved: &Shelved,
        number: usize,
    ) -> Result<Option<&'h Block>, TileError> {
        let Hand(held) = hand;
        let here = |held: &[(usize, usize, Option<Arc<Block>>)]| {
            held.iter()
                .position(|(raster, block, _)| *raster == index && *block == number)
        };
        if here(held).is_none() {
            let block = match self.cache.get(shelved.number, number) {
                Some(block) => Some(block),
                None => {
                    let read = shelved.file.read(number)?.map(Arc::new);
                    if let Some(block) = &read {
                        self.cache.put(shelved.number, number, block);
                    }
                    read
                }
            };
            let mut of_raster = held
                .iter()
                .enumerate()
                .filter(|(_, (raster, _, _))| *raster == index);
            let oldest = of_raster.next().map(|(at, _)| at);
            if of_raster.count() + 1 >= AT_HAND
                && let Some(oldest) = oldest
            {
                held.remove(oldest);
            }
            held.push((index, number, block));
        }
        let at = here(held).and_then(|at| held.get(at));
        Ok(at.and_then(|(_, _, block)| block.as_deref()))
    }
}

/// The rasters that begin at an edge of one, on its lattice or on another.
fn neighbours(files: &[Shelved], index: usize) -> (Vec<Next>, Vec<Beside>) {
    let (mut next, mut beside) = (Vec::new(), Vec::new());
    let Some(Shelved { file, .. }) = files.get(index) else {
        return (next, beside);
    };
    let whole = |posts: usize| i64::try_from(posts).unwrap_or(i64::MAX / 4);
    for (
        other,
        Shelved {
            file: candidate, ..
        },
    ) in files.iter().enumerate()
    {
        if candidate.lattice.frame != file.lattice.frame {
            continue;
        }
        for turn in candidate.bounds.turns_onto(file.bounds) {
            if other == index && turn == 0.0 {
                continue;
            }
            let lattice = candidate.lattice.turned(turn);
            let extent = [candidate.rows as f64, candidate.columns as f64];
            match file.lattice.offset_of(&lattice, extent) {
                Some([north, west]) => {
                    let touches = north <= whole(file.rows)
                        && west <= whole(file.columns)
                        && north + whole(candidate.rows) >= 0
                        && west + whole(candidate.columns) >= 0;
                    if touches {
                        next.push((other, [north, west]));
                    }
                }
                None if alike(&file.lattice, &lattice) => beside.push((other, lattice)),
                None => {}
            }
            // Only degrees come round again.
            if file.lattice.frame != Frame::Degrees {
                break;
            }
        }
    }
    (next, beside)
}

/// Whether the cells of two lattices are of about the same size: sets of tiles
/// in degrees widen their cells toward the poles, step by step.
fn alike(a: &Lattice, b: &Lattice) -> bool {
    [0, 1].into_iter().all(|axis| {
        let ratio = (a.step[axis] / b.step[axis]).abs();
        (0.3..=3.5).contains(&ratio)
    })
}
