//! The rows of a CSV file, one at a time, with their line numbers.

use super::csv_head::{Head, IsColumn};
use super::csv_lines::{END_MARK, LONGEST_ROW_BYTES, Lines};
use super::fault::{Fault, Faults, Place, not_utf8};
use super::value::{Kind, Value};
use crate::csv_style::CsvStyle;
use crate::scene::ValueError;
use csv::{ByteRecord, Reader, ReaderBuilder, StringRecord};
use std::io::Read;

/// A row and the line it begins on.
pub(crate) struct Row {
    pub line: usize,
    pub fields: StringRecord,
}

/// The header of a table, as its own reader reads it; `None` if it has none that
/// can be read.
pub(super) fn header_of(table: impl Read, is_column: IsColumn) -> Option<StringRecord> {
    let row = Rows::new("", table, true, is_column).next_row()?;
    row.ok().map(|row| row.fields)
}

/// The error for a column `name` that is already at `first` (from 0).
pub(crate) fn repeated_column(name: &str, first: usize) -> ValueError {
    let remedy = format!("it is column {} already: take one out", first + 1);
    ValueError::new(name, "each column once").with_remedy(remedy)
}

/// Reads rows with commas, semicolons or tabs between the fields, as the header
/// or a first line `sep=;` tells, and quotation marks as in RFC 4180; a byte
/// order mark, UTF-16 with one and any kind of line end are accepted.
pub(crate) struct Rows<R> {
    file: String,
    comments: bool,
    is_column: IsColumn,
    source: Source<R>,
    style: CsvStyle,
    is_utf16: bool,
    failed: bool,
    /// Bytes and fields of the row before, with a few more: room that suffices
    /// for most rows.
    room: (usize, usize),
}

enum Source<R> {
    /// Nothing has been read yet; `None` only while the reading begins.
    Ahead(Option<Lines<R>>),
    Begun(Box<Reader<Lines<R>>>),
}

/// By how many bytes a row is likely to be longer than that before it.
const MORE_BYTES: usize = 16;

/// The first bytes of files in which spreadsheets keep their sheets: an archive
/// (.xlsx, .ods) and a compound file (.xls).
const SPREADSHEETS: [&[u8]; 2] = [b"PK\x03\x04", b"\xd0\xcf\x11\xe0"];

/// The error for a spreadsheet instead of a table.
pub(super) fn no_spreadsheet() -> ValueError {
    ValueError::new("a spreadsheet or an archive", "a table in text")
        .with_remedy("open it in the spreadsheet and save it as CSV")
}

impl<R: Read> Rows<R> {
    /// The rows of `reader`, called `file` in errors; lines that begin with `#`
    /// are left out if `comments` is set. Where the header can be parted in
    /// several ways, it is meant so that a field of it `is_column`.
    pub fn new(file: &str, reader: R, comments: bool, is_column: IsColumn) -> Self {
        Self {
            file: file.to_owned(),
            comments,
            is_column,
            source: Source::Ahead(Some(Lines::new(reader))),
            style: CsvStyle::Comma,
            is_utf16: false,
            failed: false,
            room: (0, 0),
        }
    }

    /// How the table is laid out; known once a row has been read.
    pub fn style(&self) -> CsvStyle {
        self.style
    }

    /// A field as a value: a comma in a number is its decimal sign unless it
    /// stands between the fields.
    pub fn value<'a>(&self, written: &'a str) -> Value<'a> {
        Value {
            written,
            kind: match self.style {
                CsvStyle::Comma => Kind::Field,
                CsvStyle::Semicolon | CsvStyle::Tab => Kind::CommaField,
            },
        }
    }

    /// Finds out what separates the fields.
    fn begin(&mut self, mut lines: Lines<R>) -> Result<(), (Place, ValueError)> {
        let mut head = Head::new(self.comments);
        lines.look_ahead(&mut head);
        let start = lines.beginning();
        if SPREADSHEETS.iter().any(|sheet| start.starts_with(sheet)) {
            return Err((Place::START, no_spreadsheet()));
        }
        self.is_utf16 = lines.is_utf16();
        self.style = head.style(self.is_column)?;
        let reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.style.separator())
            .comment(self.comments.then_some(b'#'))
            .from_reader(lines);
        self.source = Source::Begun(Box::new(reader));
        Ok(())
    }

    /// The next row that can be read; what is wrong with those before it goes to
    /// `faults`.
    pub fn next_good_row(&mut self, faults: &mut Faults) -> Option<Row> {
        loop {
            match self.next_row()? {
                Ok(row) => return Some(row),
                Err(fault) => faults.extend([fault]),
            }
        }
    }

    /// The next row that is not empty; a fault if it isn't UTF-8 (reading can
    /// go on) or if the file can't be read (it can't).
    pub fn next_row(&mut self) -> Option<Result<Row, Fault>> {
        loop {
            if self.failed {
                return None;
            }
            let reader = match &mut self.source {
                Source::Begun(reader) => reader,
                Source::Ahead(lines) => {
                    let lines = lines.take()?;
                    if let Err((place, error)) = self.begin(lines) {
                        self.failed = true;
                        return Some(Err(Fault::at(&self.file, place, None, error)));
                    }
                    continue;
                }
            };
            let (bytes, fields) = self.room;
            let mut record = ByteRecord::with_capacity(bytes, fields);
            reader.get_mut().allowance = LONGEST_ROW_BYTES;
            let begins = reader.position().line();
            let read = reader.read_byte_record(&mut record);
            let after = usize::try_from(reader.position().line()).unwrap_or(usize::MAX);
            match read {
                Ok(true) => {}
                Ok(false) => return None,
                Err(error) => {
                    let is_too_long = reader.get_ref().allowance == 0;
                    self.failed = true;
                    return Some(Err(self.broken(begins, is_too_long, &error)));
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
            self.room = (record.as_slice().len() + MORE_BYTES, record.len() + 1);
            if record.iter().any(|field| field.trim_ascii() != field) {
                record.trim();
            }
            if record.iter().all(<[u8]>::is_empty) {
                continue;
            }
            return Some(match StringRecord::from_byte_record(record) {
                Ok(fields) => Ok(Row { line, fields }),
                Err(error) => {
                    let place = Place::new(line, error.utf8_error().field() + 1);
                    let row = error.into_byte_record();
                    let error = match self.is_utf16 {
                        true => half_character(),
                        false => not_utf8(row.get(0).unwrap_or_default()),
                    };
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

    fn broken(&self, begins: u64, is_too_long: bool, error: &csv::Error) -> Fault {
        let line = usize::try_from(begins).unwrap_or(usize::MAX);
        let what = if is_too_long {
            ValueError::new("a row of more than 1 MiB", "rows of a table")
                .with_remedy("look for a quotation mark that is not closed")
        } else {
            ValueError::new(&error.to_string(), "a file that can be read")
                .with_remedy("check the disk")
        };
        Fault::at(&self.file, Place::line(line), None, what)
    }
}

/// The error for a text in UTF-16 with half a pair or half a unit.
fn half_character() -> ValueError {
    ValueError::new("half a character of UTF-16", "whole characters")
        .with_remedy("save the file as UTF-8")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &[u8]) -> Vec<String> {
        let mut rows = Rows::new("t.csv", text, true, |name| name == "a");
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
        let mut rows = Rows::new("t.csv", text, false, |_| false);
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
