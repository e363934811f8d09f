//! From byte offsets to lines and columns.

use super::fault::Place;

/// Where the lines of a text begin.
pub(super) struct LineIndex<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> LineIndex<'a> {
    pub fn new(text: &'a str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = std::iter::once(0).chain(breaks.map(|(index, _)| index + 1));
        Self {
            text,
            starts: starts.collect(),
        }
    }

    /// Line and character of the byte at `offset`, from 1.
    pub fn place(&self, offset: usize) -> Place {
        let offset = offset.min(self.text.len());
        let line = self.starts.partition_point(|start| *start <= offset);
        let start = line.checked_sub(1).and_then(|index| self.starts.get(index));
        let before = self.text.get(start.copied().unwrap_or(0)..offset);
        Place::new(line, before.unwrap_or_default().chars().count() + 1)
    }

    /// The text of a line, counted from 1, without its end.
    pub fn line(&self, line: usize) -> &'a str {
        let start = line.checked_sub(1).and_then(|index| self.starts.get(index));
        let rest = start.and_then(|start| self.text.get(*start..));
        rest.and_then(|rest| rest.lines().next())
            .unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let index = LineIndex::new("a\nZürich = 1\n");
        assert_eq!(index.place(0), Place::new(1, 1));
        assert_eq!(index.place(2), Place::new(2, 1));
        assert_eq!(index.place("a\nZü".len()), Place::new(2, 3));
        assert_eq!(index.place(9999), Place::new(3, 1));
        assert_eq!(
            [0, 1, 2, 3].map(|line| index.line(line)),
            ["", "a", "Zürich = 1", ""]
        );
    }
}
