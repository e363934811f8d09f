//! Columns of text for a terminal.

pub use super::emphasis::{Emphasis, FAINT, PLAIN, STRONG};
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// Columns that a wrapped text has at least, however narrow the terminal.
const LEAST_ROOM: usize = 12;

/// A text in lines of at most `room` columns where its blanks and commas allow.
fn broken(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for piece in text.split_inclusive([' ', ',']) {
        if let Some(line) = lines.last_mut() {
            if line.is_empty() || line.width() + piece.trim_end().width() <= room {
                line.push_str(piece);
            } else {
                lines.push(piece.to_owned());
            }
        }
    }
    lines
        .iter()
        .map(|line| line.trim_end().to_owned())
        .collect()
}

/// Which side of its column a text keeps to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A grid of texts under a heading. Emphasis is written as terminal styles; a
/// writer that is not a terminal strips them.
#[derive(Debug, Clone)]
pub struct Grid {
    sides: Vec<Side>,
    /// Blanks before each column except the first.
    gaps: Vec<usize>,
    heading: Vec<Vec<String>>,
    rows: Vec<Vec<(String, Emphasis)>>,
}

impl Grid {
    /// A grid whose columns are aligned on these sides.
    pub fn new(sides: impl Into<Vec<Side>>) -> Self {
        Self {
            sides: sides.into(),
            gaps: Vec::new(),
            heading: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// Sets the blanks before each column; the default is two.
    pub fn gaps(&mut self, gaps: impl Into<Vec<usize>>) {
        self.gaps = gaps.into();
    }

    /// Adds a line of headings.
    pub fn heading<S: Into<String>>(&mut self, texts: impl IntoIterator<Item = S>) {
        self.heading
            .push(texts.into_iter().map(Into::into).collect());
    }

    /// Adds a row.
    pub fn row<S: Into<String>>(&mut self, texts: impl IntoIterator<Item = S>) {
        self.styled_row(texts.into_iter().map(|text| (text, PLAIN)));
    }

    /// Adds a row with emphasis.
    pub fn styled_row<S: Into<String>>(&mut self, texts: impl IntoIterator<Item = (S, Emphasis)>) {
        self.rows.push(
            texts
                .into_iter()
                .map(|(text, style)| (text.into(), style))
                .collect(),
        );
    }

    /// The widest text of each column.
    fn widths(&self) -> Vec<usize> {
        (0..self.sides.len())
            .map(|column| {
                let headings = self.heading.iter().filter_map(|line| line.get(column));
                let cells = self.rows.iter().filter_map(|row| row.get(column));
                headings
                    .map(|text| text.width())
                    .chain(cells.map(|(text, _)| text.width()))
                    .max()
                    .unwrap_or(0)
            })
            .collect()
    }

    /// Terminal columns that a full line fills.
    pub fn width(&self) -> usize {
        let widths = self.widths();
        let between: usize = self.all_gaps().take(widths.len()).skip(1).sum();
        between + widths.iter().sum::<usize>()
    }

    /// Takes columns out, in the order given, until a line fits in `width`; which
    /// ones it took.
    pub fn shed<'a>(&mut self, width: usize, order: &'a [usize]) -> &'a [usize] {
        let widths = self.widths();
        let fits = |gone: &[usize]| {
            let columns = widths.iter().zip(self.all_gaps()).enumerate();
            let left = columns.filter(|(column, _)| !gone.contains(column));
            let filled = left.map(|(_, (width, gap))| (*width, gap));
            let first_gap = filled.clone().next().map_or(0, |(_, gap)| gap);
            filled.map(|(width, gap)| width + gap).sum::<usize>() - first_gap <= width
        };
        let enough = (0..order.len()).find(|&taken| fits(&order[..taken]));
        let (gone, _) = order.split_at(enough.unwrap_or(order.len()));
        let mut falling = gone.to_vec();
        falling.sort_unstable_by(|a, b| b.cmp(a));
        falling.into_iter().for_each(|column| self.remove(column));
        gone
    }

    /// The blanks before each column.
    fn all_gaps(&self) -> impl Iterator<Item = usize> + Clone {
        self.gaps.iter().copied().chain(std::iter::repeat(2))
    }

    fn remove(&mut self, column: usize) {
        if column >= self.sides.len() {
            return;
        }
        self.sides.remove(column);
        if column < self.gaps.len() {
            self.gaps.remove(column);
        }
        for line in self.heading.iter_mut().filter(|line| column < line.len()) {
            line.remove(column);
        }
        for row in self.rows.iter_mut().filter(|row| column < row.len()) {
            row.remove(column);
        }
    }

    /// Sets the texts of the last column into as many lines as `width` needs,
    /// broken at blanks and after commas.
    pub fn wrap_last(&mut self, width: usize) {
        let over = self.width().saturating_sub(width);
        let widths = self.widths();
        let Some((last, room)) = widths.len().checked_sub(1).zip(
            widths
                .last()
                .map(|w| w.saturating_sub(over).max(LEAST_ROOM)),
        ) else {
            return;
        };
        if over == 0 {
            return;
        }
        let rows = std::mem::take(&mut self.rows);
        for mut row in rows {
            let Some((text, style)) = row.get(last).cloned() else {
                self.rows.push(row);
                continue;
            };
            let mut lines = broken(&text, room).into_iter();
            if let Some(cell) = row.get_mut(last) {
                cell.0 = lines.next().unwrap_or_default();
            }
            self.rows.push(row);
            for line in lines {
                let mut more = vec![(String::new(), PLAIN); last];
                more.push((line, style));
                self.rows.push(more);
            }
        }
    }

    /// Writes the grid; no line ends in blanks.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        let widths = self.widths();
        for line in &self.heading {
            let cells = line.iter().map(|text| (text.as_str(), PLAIN));
            self.write_line(out, &widths, cells)?;
        }
        for row in &self.rows {
            let cells = row.iter().map(|(text, style)| (text.as_str(), *style));
            self.write_line(out, &widths, cells)?;
        }
        Ok(())
    }

    fn write_line<'a>(
        &self,
        out: &mut impl Write,
        widths: &[usize],
        cells: impl Iterator<Item = (&'a str, Emphasis)>,
    ) -> io::Result<()> {
        // Blanks are held back until something follows, so that no line ends
        // in blanks.
        let mut owed = 0;
        let gaps = self.gaps.iter().copied().chain(std::iter::repeat(2));
        let columns = cells.zip(widths).zip(&self.sides).zip(gaps).enumerate();
        for (index, ((((text, style), width), side), gap)) in columns {
            owed += if index > 0 { gap } else { 0 };
            let blank = width.saturating_sub(text.width());
            if *side == Side::Right {
                owed += blank;
            }
            if !text.is_empty() {
                write!(out, "{:owed$}{style}{text}{style:#}", "")?;
                owed = 0;
            }
            if *side == Side::Left {
                owed += blank;
            }
        }
        writeln!(out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_lines_end_clean() {
        let mut grid = Grid::new([Side::Right, Side::Left, Side::Left]);
        grid.heading(["n", "name", "rest"]);
        grid.row(["1", "Küste", ""]);
        grid.row(["10", "x", "y"]);
        let mut out = Vec::new();
        grid.write(&mut out).expect("a vector takes all");
        let text = anstream_free(&out);
        assert_eq!(text, " n  name   rest\n 1  Küste\n10  x      y\n");
        assert_eq!(grid.width(), 15);
    }

    fn written(grid: &Grid) -> String {
        let mut out = Vec::new();
        grid.write(&mut out).expect("a vector takes all");
        anstream_free(&out)
    }

    #[test]
    fn columns_go_in_their_order_until_the_others_fit() {
        let mut grid = Grid::new([Side::Left, Side::Left, Side::Left, Side::Left]);
        grid.heading(["aaa", "bbb", "ccc", "ddd"]);
        grid.row(["1", "2", "3", "4"]);
        grid.shed(13, &[2, 1]);
        assert_eq!(written(&grid), "aaa  bbb  ddd\n1    2    4\n");
        grid.shed(8, &[0, 1]);
        assert_eq!(written(&grid), "bbb  ddd\n2    4\n");
        // Nothing more may go.
        grid.shed(2, &[]);
        assert_eq!(grid.width(), 8);
    }

    #[test]
    fn the_last_column_breaks_at_blanks_and_commas() {
        let mut grid = Grid::new([Side::Left, Side::Left]);
        grid.row(["key", "contrast=1,balance=1,raking=1"]);
        grid.row(["other", "short"]);
        grid.wrap_last(30);
        assert_eq!(
            written(&grid),
            "key    contrast=1,balance=1,\n       raking=1\nother  short\n"
        );
    }

    /// The text without terminal styles.
    fn anstream_free(bytes: &[u8]) -> String {
        let text = String::from_utf8_lossy(bytes);
        let mut plain = String::new();
        let mut escape = false;
        for c in text.chars() {
            match (escape, c) {
                (false, '\u{1b}') => escape = true,
                (true, 'm') => escape = false,
                (false, c) => plain.push(c),
                _ => {}
            }
        }
        plain
    }
}
