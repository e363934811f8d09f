//! From byte offsets to lines and columns.

use super::fault::Place;

/// Bytes from one counted offset to the next. A line may be as long as the
/// file, and each of its values needs its column: counting from the line's
/// start would take time in the square of its length.
const STRIDE: usize = 256;

/// Where the lines of a text begin.
pub(crate) struct LineIndex<'a> {
    text: &'a str,
    starts: Vec<usize>,
    /// How many characters begin before every multiple of [`STRIDE`].
    counted: Vec<usize>,
}

impl<'a> LineIndex<'a> {
    pub fn new(text: &'a str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = std::iter::once(0).chain(breaks.map(|(index, _)| index + 1));
        let strides = text.as_bytes().chunks(STRIDE);
        let counted = strides.scan(0, |sum, bytes| {
            let before = *sum;
            *sum += characters(bytes);
            Some(before)
        });
        Self {
            text,
            starts: starts.collect(),
            counted: counted.collect(),
        }
    }

    /// How many characters were counted before, and the bytes up to `offset`
    /// still to count.
    fn counted_before(&self, offset: usize) -> (usize, &'a [u8]) {
        // The end of the text may be the start of a stride that does not exist.
        let last = self.counted.len().saturating_sub(1);
        let stride = (offset / STRIDE).min(last);
        let left = self.text.as_bytes().get(stride * STRIDE..offset);
        let counted = self.counted.get(stride).copied();
        (counted.unwrap_or(0), left.unwrap_or_default())
    }

    /// How many characters begin before `offset`.
    fn characters_before(&self, offset: usize) -> usize {
        let (counted, left) = self.counted_before(offset);
        counted + characters(left)
    }

    /// Line and character of the byte at `offset`, from 1.
    pub fn place(&self, offset: usize) -> Place {
        let offset = offset.min(self.text.len());
        let line = self.starts.partition_point(|start| *start <= offset);
        let start = line.checked_sub(1).and_then(|index| self.starts.get(index));
        let start = start.copied().unwrap_or(0);
        let before = self.characters_before(offset) - self.characters_before(start);
        Place::new(line, before + 1)
    }

    /// The text of a line, counted from 1, without its end.
    pub fn line(&self, line: usize) -> &'a str {
        let start = line.checked_sub(1).and_then(|index| self.starts.get(index));
        let rest = start.and_then(|start| self.text.get(*start..));
        rest.and_then(|rest| rest.lines().next())
            .unwrap_or_default()
    }
}

/// How many characters begin in these bytes of a text: in UTF-8 every byte but
/// those `10xxxxxx` begins one.
fn characters(bytes: &[u8]) -> usize {
    let begins = bytes.iter().filter(|byte| **byte & 0xc0 != 0x80);
    begins.count()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The column of a value in a long line takes no longer than in a short
    /// line.
    #[test]
    fn few_bytes_are_counted_however_long_the_line() {
        for unit in ["1,", "é", "日本 ", "a\n"] {
            let text = unit.repeat((1 << 20) / unit.len());
            let index = LineIndex::new(&text);
            for offset in (0..=text.len()).step_by(997).chain([text.len()]) {
                let (_, left) = index.counted_before(offset);
                assert!(left.len() <= STRIDE, "{} at {offset}", left.len());
            }
            let middle = text.len() / unit.len() / 2 * unit.len();
            for offset in [0, middle, text.len()] {
                let start = text[..offset].rfind('\n').map_or(0, |at| at + 1);
                let column = text[start..offset].chars().count() + 1;
                assert_eq!(index.place(offset).column, Some(column));
            }
        }
    }

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
