//! The blocks of rasters that were read last, within a bound on memory.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, PoisonError},
};

/// Heights of one block of a raster, row by row, metres above the sea.
#[derive(Debug, PartialEq)]
pub(super) struct Block {
    /// Posts in a row.
    pub width: usize,
    /// NaN where nothing is known. Single precision is good to 0.5 mm at the
    /// top of Everest.
    pub heights_m: Vec<f32>,
}

impl Block {
    /// The height of a post; `None` where nothing is known or beyond the edge.
    pub fn post_m(&self, row: usize, column: usize) -> Option<f64> {
        if column >= self.width {
            return None;
        }
        let height = self.heights_m.get(row * self.width + column)?;
        (!height.is_nan()).then_some(f64::from(*height))
    }
}

/// Blocks by raster and number.
#[derive(Debug)]
pub(super) struct BlockCache {
    most_posts: usize,
    held: Mutex<Held>,
}

#[derive(Debug, Default)]
struct Held {
    blocks: HashMap<(usize, usize), (Arc<Block>, u64)>,
    posts: usize,
    uses: u64,
}

impl BlockCache {
    /// A cache of blocks with so many posts in all, four bytes each.
    pub fn new(most_posts: usize) -> Self {
        Self {
            most_posts,
            held: Mutex::default(),
        }
    }

    pub fn get(&self, raster: usize, block: usize) -> Option<Arc<Block>> {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.uses += 1;
        let now = held.uses;
        let (block, used) = held.blocks.get_mut(&(raster, block))?;
        *used = now;
        Some(Arc::clone(block))
    }

    /// Keeps a block; those used longest ago make room for it.
    pub fn put(&self, raster: usize, number: usize, block: &Arc<Block>) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.uses += 1;
        let entry = (Arc::clone(block), held.uses);
        held.posts += block.heights_m.len();
        if let Some((before, _)) = held.blocks.insert((raster, number), entry) {
            held.posts -= before.heights_m.len();
        }
        if held.posts <= self.most_posts {
            return;
        }
        // A quarter at a time, so that the search for the oldest is rare.
        let mut ages: Vec<_> = held
            .blocks
            .iter()
            .map(|(key, (_, used))| (*used, *key))
            .collect();
        ages.sort_unstable();
        for (_, key) in ages {
            if held.posts <= self.most_posts / 4 * 3 {
                break;
            }
            if let Some((gone, _)) = held.blocks.remove(&key) {
                held.posts -= gone.heights_m.len();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_make_room_and_the_bound_holds() {
        let cache = BlockCache::new(1000);
        let block = |posts| {
            Arc::new(Block {
                width: 10,
                heights_m: vec![0.0; posts],
            })
        };
        for number in 0..10 {
            cache.put(0, number, &block(100));
        }
        assert!(cache.get(0, 0).is_some());
        cache.put(1, 0, &block(100));
        let held = |cache: &BlockCache| cache.held.lock().expect("a lock").posts;
        assert!(held(&cache) <= 750);
        assert!(cache.get(0, 0).is_some(), "used a moment ago");
        assert!(cache.get(0, 1).is_none(), "the oldest");
        assert!(cache.get(1, 0).is_some());
        // One that is too large for it is used and not kept.
        cache.put(2, 0, &block(5000));
        assert!(held(&cache) <= 1000);
    }
}
