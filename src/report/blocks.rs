//! Columns side by side in as many blocks as a terminal needs.

use super::{
    grid::Grid,
    wrap::{shortened_apart, write_note},
};
use std::{
    io::{self, Write},
    ops::Range,
};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// The most of `count` columns that stand side by side in `width`, whichever of
/// them are in a block; at least one.
pub(super) fn most_across(
    count: usize,
    width: usize,
    grid: impl Fn(Range<usize>) -> Grid,
) -> usize {
    // A column is at least one character with two blanks before it.
    let mut across = count.min(width / 3).max(1);
    while across > 1 && chunks(count, across).any(|some| grid(some).width() > width) {
        across -= 1;
    }
    across
}

/// `count` columns in blocks of at most `across`.
pub(super) fn chunks(count: usize, across: usize) -> impl Iterator<Item = Range<usize>> {
    let across = across.max(1);
    let starts = (0..count).step_by(across);
    starts.map(move |start| start..count.min(start + across))
}

/// `count` columns in as few blocks of similar length as fit in `width`, rather
/// than full ones and a short rest.
pub(super) fn balanced(
    count: usize,
    width: usize,
    grid: impl Fn(Range<usize>) -> Grid,
) -> impl Iterator<Item = Range<usize>> {
    let blocks = count.div_ceil(most_across(count, width, grid));
    chunks(count, count.div_ceil(blocks.max(1)))
}

/// Writes `count` columns beside one another, in blocks of at most `width`, and
/// below them what a star means if there is one.
///
/// # Errors
///
/// Any error of `out`.
pub(super) fn write_starred(
    out: &mut impl Write,
    count: usize,
    width: usize,
    grid: impl Fn(Range<usize>) -> (Grid, bool),
) -> io::Result<()> {
    let across = most_across(count, width, |some| grid(some).0);
    let mut starred = false;
    for some in chunks(count, across) {
        let (grid, stars) = grid(some);
        starred |= stars;
        grid.write(out)?;
        writeln!(out)?;
    }
    if starred {
        write_note(out, "* the best of its row", width)?;
    }
    Ok(())
}

/// These names, unless all are the same and need no telling.
pub(super) fn unless_alike<'a>(names: impl Iterator<Item = &'a str>) -> Option<Vec<&'a str>> {
    let names: Vec<&str> = names.collect();
    let mut pairs = names.iter().zip(names.iter().skip(1));
    pairs.any(|(one, next)| one != next).then_some(names)
}

/// Width of a heading that its column does not need, characters: two or three
/// words.
const HEAD_WIDTH: usize = 16;
/// A heading is cut to so many characters, or to more if two would then read
/// the same.
const LONGEST_HEAD: usize = 48;

/// Headings for columns whose texts are up to `room` wide: names, each over as
/// many lines as it needs, all with as many lines, the last one filled.
#[derive(Debug, Clone)]
pub(super) struct Heads(Vec<Vec<String>>);

impl Heads {
    /// The headings of columns with these names.
    pub fn of(names: &[&str], room: usize) -> Self {
        let short = shortened_apart(names, LONGEST_HEAD);
        let text = |name: &&str| short.get(name).cloned().unwrap_or_default();
        let room = room.max(HEAD_WIDTH);
        Self(names.iter().map(|name| broken(&text(name), room)).collect())
    }

    /// The lines of the heading over some of the columns, each behind an empty
    /// one over the names of the rows; none is empty.
    pub fn lines(&self, some: Range<usize>) -> Vec<Vec<String>> {
        let of_block = self.0.get(some).unwrap_or_default();
        let count = of_block.iter().map(Vec::len).max().unwrap_or_default();
        let filled = of_block.iter().flatten().any(|text| !text.is_empty());
        (0..if filled { count } else { 0 })
            .map(|line| {
                let texts = of_block.iter().map(|lines| {
                    // The last line of a name is the one above its column.
                    let above = count - lines.len();
                    let at = line.checked_sub(above).and_then(|line| lines.get(line));
                    at.cloned().unwrap_or_default()
                });
                std::iter::once(String::new()).chain(texts).collect()
            })
            .collect()
    }
}

/// A name in lines of at most `room` columns: broken at blanks, behind slashes
/// and commas, and inside words that are longer.
fn broken(name: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut push = |piece: &str| {
        let Some(line) = lines.last_mut() else { return };
        if line.is_empty() || line.width() + piece.trim_end().width() <= room {
            line.push_str(piece);
        } else {
            lines.push(piece.to_owned());
        }
    };
    for piece in name.split_inclusive([' ', '/']) {
        if piece.trim_end().width() <= room {
            push(piece);
            continue;
        }
        let mut part = String::new();
        for character in piece.chars() {
            if part.width() + character.width().unwrap_or(0) > room {
                push(&part);
                part.clear();
            }
            part.push(character);
        }
        push(&part);
    }
    let lines = lines.iter().map(|line| line.trim_end().to_owned());
    lines.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_break_at_blanks_and_slashes_and_inside_long_words() {
        assert_eq!(
            broken("Candlenut Cay, the beacon", 16),
            ["Candlenut Cay,", "the beacon"]
        );
        assert_eq!(
            broken("America/Argentina/La_Rioja", 16),
            ["America/", "Argentina/", "La_Rioja"]
        );
        assert_eq!(broken("abcdefghij", 4), ["abcd", "efgh", "ij"]);
        assert_eq!(broken("", 4), [""]);
    }

    #[test]
    fn heads_stand_on_their_columns_and_no_two_are_equal() {
        let long = "x".repeat(60);
        let (one, two) = (format!("{long} one"), format!("{long} two"));
        let heads = Heads::of(&["Mesa", &one, &two], 5);
        let lines = heads.lines(0..3);
        assert!(
            lines
                .iter()
                .flatten()
                .all(|text| text.width() <= HEAD_WIDTH)
        );
        let column = |at: usize| {
            lines
                .iter()
                .map(|line| line[at].clone())
                .collect::<String>()
        };
        assert_eq!(lines.last().map(|line| &*line[1]), Some("Mesa"));
        assert_ne!(column(2), column(3));
    }

    #[test]
    fn blocks_are_of_similar_length() {
        let grid = |some: Range<usize>| {
            let mut grid = Grid::new(vec![super::super::grid::Side::Left; some.len()]);
            grid.row(some.map(|_| "12345678"));
            grid
        };
        let all: Vec<_> = balanced(10, 80, grid).collect();
        assert_eq!(all, [0..5, 5..10]);
        assert_eq!(balanced(0, 80, grid).count(), 0);
        assert_eq!(balanced(3, 1, grid).count(), 3);
    }
}
