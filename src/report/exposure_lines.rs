//! The lines of an exposure sheet: a name, and what is said about it.

use super::grid::{FAINT, Grid, STRONG, Side};
use std::io::{self, Write};

/// Names with their texts, which go on below where they are long.
pub(super) struct Lines {
    grid: Grid,
}

impl Lines {
    pub(super) fn new() -> Self {
        Self {
            grid: Grid::new([Side::Left, Side::Left]),
        }
    }

    /// Adds a name with its text; without a name it belongs to the line above.
    pub(super) fn row(&mut self, name: &str, text: &str) {
        self.grid
            .styled_row([(name.to_owned(), FAINT), (text.to_owned(), STRONG)]);
    }

    /// Writes the lines, `width` columns wide.
    pub(super) fn write(mut self, out: &mut impl Write, width: usize) -> io::Result<()> {
        self.grid.wrap_last(width.min(READING_WIDTH));
        self.grid.write(out)
    }
}

/// A sheet is read best in lines no longer than this.
const READING_WIDTH: usize = 80;
