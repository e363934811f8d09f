//! The rows of a CSV file, one at a time, with their line numbers.

use super::fault::{Fault, Place, not_utf8};
use crate::scene::ValueError;
use csv::{ByteRecord, ReaderBuilder, StringRecord};
use std::io::{self, BufRead, BufReader, Read};

/// No row may be longer; without a limit an unclosed quotation mark would read
/// the rest of a file of any size into memory.
const LONGEST_ROW_BYTES: usize = 1 << 20;
/// Added after the last line: if it comes back at the end of a field, that
/// field's quotation mark was never closed. No text contains it, since it is
/// not UTF-8.
const END_MARK: &[u8] = b"\xff\xfe end of the file \xff\xfe";

/// A row and the line it begins on.
pub(crate) struct Row {
    pub line: usize,
    pub fields: StringRecord,
}

/// The error for a column `name` that is already at `first` (from 0).
pub(crate) fn repeated_column(name: &str, first: usize) -> ValueError {
    let remedy = format!("it is column {} already: take one out", first + 1);
    ValueError::new(name, "each column once").with_remedy(remedy)
}

/// Reads rows with commas between fields and quotation marks as in RFC 4180; a
/// byte order mark and any kind of line end are accepted.
pub(crate) struct Rows<R> {
    file: String,
    reader: csv::Reader<Lines<R>>,
    failed: bool,
}

impl<R: Read> Rows<R> {
    /// The rows of `reader`, called `file` in errors; lines that begin with `#`
    /// are left out if `comments` is set.
    pub fn new(file: &str, reader: R, comments: bool) -> Self {
        let reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .comment(comments.then_some(b'#'))
            .from_reader(Lines::new(reader));
        Self {
            file: file.to_owned(),
            reader,
            failed: false,
        }
    }

    /// The next row that is not empty; a fault if it isn't UTF-8 (reading can
    /// go on) or if the file can't be read (it can't).
    pub fn next_row(&mut self) -> Option<Result<Row, Fault>> {
        loop {
            if self.failed {
                return None;
            }
            let mut record = ByteRecord::new();
            self.reader.get_mut().allowance = LONGEST_ROW_BYTES;
            let begins = self.reader.position().line();
            match self.reader.read_byte_record(&mut record) {
                Ok(true) => {}
                Ok(false) => return None,
                Err(error) => {
                    self.failed = true;
                    return Some(Err(self.broken(begins, &error)));
                }
            }
            if record.len() == 1 && record.get(0) == Some(END_MARK) {
                self.failed = true;
                return None;
            }
            // The reader only knows the line after the row: it counts blank
            // lines and comments before a row as part of it.
            let breaks: usize = record
                .iter()
                .map(|field| field.iter().filter(|byte| **byte == b'\n').count())
                .sum();
            let after = usize::try_from(self.reader.position().line()).unwrap_or(usize::MAX);
            if record
                .iter()
                .next_back()
                .is_some_and(|field| field.ends_with(END_MARK))
            {
                self.failed = true;
                let place = Place::new(after.saturating_sub(breaks).max(1), record.len());
                return Some(Err(self.unclosed(place, &record)));
            }
            let line = after.saturating_sub(1 + breaks).max(1);
            record.trim();
            if record.iter().all(<[u8]>::is_empty) {
                continue;
            }
            return Some(match StringRecord::from_byte_record(record) {
                Ok(fields) => Ok(Row { line, fields }),
                Err(error) => {
                    let place = Place::new(line, error.utf8_error().field() + 1);
                    let row = error.into_byte_record();
                    let error = not_utf8(row.get(0).unwrap_or_default());
                    Err(Fault::at(&self.file, place, None, error))
                }
            });
        }
    }

    /// The fault of a field whose quotation mark is open at the file's end.
    fn unclosed(&self, place: Place, record: &ByteRecord) -> Fault {
        let field = record.iter().next_back().unwrap_or_default();
        let field = field.strip_suffix(END_MARK).unwrap_or(field);
        let text = String::from_utf8_lossy(field);
        let error = ValueError::new(
            &format!("\"{}", text.lines().next().unwrap_or_default()),
            "a closing quotation mark",
        )
        .with_remedy("close it, or leave the first one out");
        Fault::at(&self.file, place, None, error)
    }

    fn broken(&self, begins: u64, error: &csv::Error) -> Fault {
        let line = usize::try_from(begins).unwrap_or(usize::MAX);
        let what = if self.reader.get_ref().allowance == 0 {
            ValueError::new("a row of more than 1 MiB", "rows of a table")
                .with_remedy("look for a quotation mark that is not closed")
        } else {
            ValueError::new(&error.to_string(), "a file that can be read")
                .with_remedy("check the disk")
        };
        Fault::at(&self.file, Place::line(line), None, what)
    }
}

/// Passes text on with a bare line feed after every line, the last one too, so
/// that lines can be counted, then the end mark; never more than the allowance.
struct Lines<R> {
    inner: BufReader<R>,
    ready: Vec<u8>,
    given: usize,
    allowance: usize,
    /// A carriage return whose line feed may follow.
    held_return: bool,
    last: u8,
    ended: bool,
    /// Bytes to wait for before any is passed on.
    least: usize,
}

/// The three bytes of a byte order mark and one more: the parser recognises the
/// mark only in one piece, which a pipe need not deliver, and treats a mark
/// with nothing after it as the end of the file.
const FIRST_PIECE_BYTES: usize = 4;

impl<R: Read> Lines<R> {
    fn new(inner: R) -> Self {
        Self {
            inner: BufReader::new(inner),
            ready: Vec::new(),
            given: 0,
            allowance: LONGEST_ROW_BYTES,
            held_return: false,
            last: b'\n',
            ended: false,
            least: FIRST_PIECE_BYTES,
        }
    }

    /// Makes the next bytes ready; there are none at the end of the file.
    fn refill(&mut self) -> io::Result<()> {
        self.ready.clear();
        self.given = 0;
        while self.ready.len() < self.least {
            let chunk = self.inner.fill_buf()?;
            let length = chunk.len();
            for byte in chunk {
                if self.held_return && *byte != b'\n' {
                    self.ready.push(b'\n');
                }
                self.held_return = *byte == b'\r';
                if !self.held_return {
                    self.ready.push(*byte);
                }
            }
            self.inner.consume(length);
            if length == 0 {
                if self.held_return || self.last != b'\n' {
                    self.held_return = false;
                    self.ready.push(b'\n');
                    self.last = b'\n';
                }
                if !self.ended {
                    self.ended = true;
                    self.ready.extend(END_MARK);
                }
                return Ok(());
            }
            self.last = self.ready.last().copied().unwrap_or(self.last);
        }
        self.least = 1;
        Ok(())
    }
}

impl<R: Read> Read for Lines<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        if self.allowance == 0 {
            return Err(io::Error::other("a row is too long"));
        }
        if self.given >= self.ready.len() {
            self.refill()?;
        }
        let waiting = self.ready.get(self.given..).unwrap_or_default();
        let count = waiting.len().min(out.len()).min(self.allowance);
        for (to, from) in out.iter_mut().zip(waiting.iter().take(count)) {
            *to = *from;
        }
        self.given += count;
        self.allowance -= count;
        Ok(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &[u8]) -> Vec<String> {
        let mut rows = Rows::new("t.csv", text, true);
        let mut seen = Vec::new();
        while let Some(row) = rows.next_row() {
            seen.push(match row {
                Ok(row) => format!("{} {:?}", row.line, row.fields.iter().collect::<Vec<_>>()),
                Err(fault) => fault.to_string(),
            });
        }
        seen
    }

    #[test]
    fn each_row_knows_its_line() {
        let expected = [r#"1 ["a", "b"]"#, r#"4 ["1", "x\ny"]"#, r#"7 ["3", "4"]"#];
        for text in [
            "a,b\n\n# words\n1,\"x\ny\"\n\n3,4\n",
            "\u{feff}a,b\n\n# words\n1,\"x\ny\"\n,\n3,4",
            "a,b\r\n\r\n# words\r\n1,\"x\r\ny\"\r\n\r\n 3 , 4 \r\n",
            "a,b\r\r# words\r1,\"x\ry\"\r\r3,4\r",
        ] {
            assert_eq!(lines(text.as_bytes()), expected, "{text:?}");
        }
        assert_eq!(lines(b""), [] as [&str; 0]);
    }

    #[test]
    fn a_row_that_is_not_utf8_does_not_end_the_reading() {
        assert_eq!(
            lines(b"a,b\n1,\xff\n3,4\n"),
            [
                r#"1 ["a", "b"]"#,
                "t.csv:2:2: found bytes that are not UTF-8, expected UTF-8 text; \
                 save the file as UTF-8",
                r#"3 ["3", "4"]"#,
            ]
        );
    }

    #[test]
    fn a_quotation_mark_that_stays_open_is_told_where_it_stands() {
        let fault = |place: &str, found: &str| {
            format!(
                "t.csv:{place}: found {found}, expected a closing quotation mark; \
                 close it, or leave the first one out"
            )
        };
        for (text, faulty) in [
            ("a,b\n\n1,\"2\n3,4\n", fault("3:2", "\"2")),
            ("a,b\n\"1,2\n\n3,4", fault("2:1", "\"1,2")),
            ("a,b\n1,\"", fault("2:2", "\"")),
        ] {
            assert_eq!(
                lines(text.as_bytes()),
                [r#"1 ["a", "b"]"#, &faulty],
                "{text}"
            );
        }
        let closed = [r#"1 ["a", "b"]"#, r#"2 ["1", "2"]"#];
        assert_eq!(lines(b"a,b\n1,\"2\n \""), closed);
    }

    #[test]
    fn an_endless_row_is_refused() {
        let text = std::io::Read::chain(&b"a,b\n1,\""[..], std::io::repeat(b'x'));
        let mut rows = Rows::new("t.csv", text, false);
        assert!(rows.next_row().is_some_and(|row| row.is_ok()));
        let fault = rows.next_row().and_then(Result::err).expect("a fault");
        assert_eq!(
            fault.to_string(),
            "t.csv:2: found a row of more than 1 MiB, expected rows of a table; \
             look for a quotation mark that is not closed"
        );
        assert!(rows.next_row().is_none());
    }
}
