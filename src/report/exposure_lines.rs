//! The lines of an exposure sheet: a name, and what is said about it.

use super::{
    grid::{FAINT, Grid, STRONG, Side},
    wrap::write_wrapped,
};
use std::io::{self, Write};

/// Columns that a text may take beside the names.
const TEXT_WIDTH: usize = 65;

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
        let mut lines = Vec::new();
        // A vector takes all.
        let _ = write_wrapped(&mut lines, "", text, TEXT_WIDTH);
        let mut name = name;
        for line in String::from_utf8_lossy(&lines).lines() {
            self.grid
                .styled_row([(name.to_owned(), FAINT), (line.to_owned(), STRONG)]);
            name = "";
        }
    }

    pub(super) fn write(&self, out: &mut impl Write) -> io::Result<()> {
        self.grid.write(out)
    }
}
