//! The time zone of a place, out of a tree of cells.
//!
//! `zones/` holds the tree as `tests/reference/make/zone_cells.py` writes it,
//! where its form is told. It is read in place: nothing is built at the start, and
//! a place costs a dozen steps.
//!
//! # Source
//!
//! timezone-boundary-builder, made from OpenStreetMap, © OpenStreetMap
//! contributors, Open Database License 1.0, which covers `zones/` too.

static NAMES: &str = include_str!("zones/names.txt");
static NODES: &[u8] = include_bytes!("zones/nodes.bin");
static BLOCKS: &[u8] = include_bytes!("zones/blocks.bin");

/// What the cells were made from, for people.
pub const ZONE_BORDERS: &str =
    "timezone-boundary-builder 2026c, (c) OpenStreetMap contributors, ODbL 1.0";

/// Children from here on are blocks, and from [`LINES`] on answers.
const FIRST_BLOCK: usize = 0x40_0000;
const FIRST_LINE: usize = 0x80_0000;

/// How often 180 degrees are halved for the finest cells.
const FINEST: u32 = 13;
/// The diagonal of the finest cells at the equator, rounded up, kilometres.
pub(crate) const WITHIN_KM: u32 = 4;

/// What the cells say about a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cell {
    /// No zone: the high sea, or the Antarctic.
    None,
    /// One zone.
    One(&'static str),
    /// Zones with spaces between them, whose clocks differ, or did when the cells
    /// were made.
    Several {
        names: &'static str,
        /// Whether a border crosses the cell; else all are in use throughout.
        at_border: bool,
    },
}

/// The cell of a place; degrees, north and east positive.
pub(crate) fn cell_at(latitude_deg: f64, longitude_deg: f64) -> Cell {
    let (line, depth) = line_at(latitude_deg, longitude_deg).unwrap_or_default();
    match NAMES.lines().nth(line).unwrap_or_default() {
        "" => Cell::None,
        names if names.contains(' ') => Cell::Several {
            names,
            at_border: depth == FINEST,
        },
        name => Cell::One(name),
    }
}

/// The line of the names, and how often 180 degrees were halved for the cell.
fn line_at(latitude_deg: f64, longitude_deg: f64) -> Option<(usize, u32)> {
    // Places in units of the finest cells, from -180 and -90 degrees; casts
    // saturate, so that any number gives a cell.
    let size = 1_u32 << FINEST;
    let of_square = |degrees: f64| (degrees / 180.0 * f64::from(size)) as u32;
    let column = of_square(longitude_deg + 180.0).min(2 * size - 1);
    let row = of_square(latitude_deg + 90.0).min(size - 1);
    let quadrant = |depth: u32| {
        let bit = FINEST - depth;
        2 * (row >> bit & 1) + (column >> bit & 1)
    };
    let mut at = (column >> FINEST) as usize;
    for depth in 1..=FINEST {
        let child = 4 * at + quadrant(depth) as usize;
        at = number(NODES, 3 * child, 3)?;
        if at >= FIRST_LINE {
            return Some((at - FIRST_LINE, depth));
        }
        if at >= FIRST_BLOCK {
            let of_16 = 4 * quadrant(FINEST - 1) + quadrant(FINEST);
            return Some((line_of_block(at - FIRST_BLOCK, of_16)?, FINEST));
        }
    }
    None
}

/// The line of one of the 16 cells of a block.
fn line_of_block(block: usize, cell: u32) -> Option<usize> {
    let both = number(BLOCKS, 6 * block, 2)?;
    let code = number(BLOCKS, 6 * block + 2, 4)? >> (2 * (15 - cell)) & 3;
    let only = |name: Option<&str>| NAMES.lines().position(|line| Some(line) == name);
    let mut names = NAMES.lines().nth(both)?.split(' ');
    match code {
        0 => Some(0),
        1 => only(names.next()),
        2 => only(names.nth(1)),
        _ => Some(both),
    }
}

/// A number of some bytes, big end first.
fn number(bytes: &[u8], at: usize, count: usize) -> Option<usize> {
    let digits = bytes.get(at..at.checked_add(count)?)?;
    Some(
        digits
            .iter()
            .fold(0, |number, digit| number << 8 | usize::from(*digit)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Zone;

    #[test]
    fn our_zone_data_knows_every_name() {
        for name in NAMES.lines().flat_map(|line| line.split(' ')) {
            assert!(name.is_empty() || Zone::named(name).is_ok(), "{name}");
        }
        assert_eq!(NAMES.lines().next(), Some(""));
    }

    #[test]
    fn the_tree_is_whole() {
        let (nodes, blocks) = (NODES.len() / 12, BLOCKS.len() / 6);
        let lines = NAMES.lines().count();
        assert_eq!((NODES.len() % 12, BLOCKS.len() % 6), (0, 0));
        for child in 0..4 * nodes {
            let child = number(NODES, 3 * child, 3).expect("a child");
            let fits = match child {
                FIRST_LINE.. => child - FIRST_LINE < lines,
                FIRST_BLOCK.. => child - FIRST_BLOCK < blocks,
                _ => (2..nodes).contains(&child),
            };
            assert!(fits, "{child:#x}");
        }
        for block in 0..blocks {
            for cell in 0..16 {
                assert!(line_of_block(block, cell).is_some(), "{block} {cell}");
            }
        }
    }

    #[test]
    fn any_number_has_a_cell() {
        let numbers = [
            f64::NAN,
            f64::NEG_INFINITY,
            -1e300,
            -180.0,
            -90.0,
            0.0,
            90.0,
            180.0,
            1e300,
            f64::INFINITY,
        ];
        for latitude_deg in numbers {
            for longitude_deg in numbers {
                assert!(line_at(latitude_deg, longitude_deg).is_some());
            }
        }
        assert_eq!(cell_at(46.95, 7.45), Cell::One("Europe/Zurich"));
        assert_eq!(cell_at(0.0, -140.0), Cell::None);
    }
}
