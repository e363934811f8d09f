//! Which sign stands between the fields of a table: its header tells, or a
//! first line `sep=;`, which spreadsheets write and read.

use super::fault::Place;
use crate::csv_style::CsvStyle;
use crate::scene::{ValueError, shown};

/// Whether a word is the name of a column that a reader knows.
pub(crate) type IsColumn = fn(&str) -> bool;

const TOLD: &str = "sep=";
/// More than such a line has, bytes.
const LONGEST_TOLD: usize = 64;

/// The beginning of a table, read until it is clear what separates its fields.
pub(super) struct Head {
    /// Lines that begin with `#` are no header.
    comments: bool,
    /// The first line so far.
    first: Vec<u8>,
    first_is_over: bool,
    /// One for each sign.
    readings: [Reading; 3],
    /// What a first line `sep=` says.
    told: Option<Result<CsvStyle, ValueError>>,
}

impl Head {
    pub fn new(comments: bool) -> Self {
        Self {
            comments,
            first: Vec::new(),
            first_is_over: false,
            readings: CsvStyle::ALL.map(Reading::new),
            told: None,
        }
    }

    /// Reads the next byte.
    pub fn take(&mut self, byte: u8) {
        if !self.first_is_over {
            if byte == b'\n' {
                self.first_is_over = true;
                self.told = Some(&self.first)
                    .filter(|first| first.len() < LONGEST_TOLD)
                    .and_then(|first| told(first));
            } else {
                // A longer line is no such line.
                if self.first.len() < LONGEST_TOLD {
                    self.first.push(byte);
                }
            }
        }
        for reading in &mut self.readings {
            reading.take(byte, self.comments);
        }
    }

    /// Whether nothing that follows can change the answer.
    pub fn is_over(&self) -> bool {
        self.told.is_some() || self.readings.iter().all(|reading| reading.is_over)
    }

    /// The length of a first line that is no row.
    pub fn to_skip(&self) -> Option<usize> {
        self.told.as_ref().map(|_| self.first.len())
    }

    /// The sign between the fields, or where and why none can be told.
    pub fn style(self, is_column: IsColumn) -> Result<CsvStyle, (Place, ValueError)> {
        if let Some(told) = self.told {
            return told.map_err(|error| (Place::START, error));
        }
        let several = |reading: &&Reading| reading.fields.len() > 1;
        let several: Vec<&Reading> = self.readings.iter().filter(several).collect();
        let known: Vec<&Reading> = several
            .iter()
            .filter(|reading| reading.fields.iter().any(|field| is_column(field)))
            .copied()
            .collect();
        match (several.as_slice(), known.as_slice()) {
            ([], _) => Ok(CsvStyle::Comma),
            ([only], _) | (_, [only]) => Ok(only.style),
            (doubtful, []) | (_, doubtful) => {
                let counts: Vec<String> = doubtful.iter().map(|one| one.words()).collect();
                let line = doubtful.first().map_or(1, |one| one.line);
                let error = ValueError {
                    found: format!("a header of {}", counts.join(" or ")),
                    ..ValueError::new("", "one sign between all columns")
                };
                let error = error.with_remedy(
                    "put the same sign between all, and a name with another in it between \
                     quotation marks",
                );
                Err((Place::line(line), error))
            }
        }
    }
}

/// What the first line says if it is one such as `sep=;`. A spreadsheet that
/// saves the table again may put it in quotation marks or repeat the sign.
fn told(line: &[u8]) -> Option<Result<CsvStyle, ValueError>> {
    let text = std::str::from_utf8(line).ok()?;
    let bare = text.trim_matches([' ', '"']);
    let is_told = bare.get(..TOLD.len())?.eq_ignore_ascii_case(TOLD);
    let signs = bare.get(TOLD.len()..).filter(|_| is_told)?;
    let only = |style: &CsvStyle| {
        let signs = signs.as_bytes();
        !signs.is_empty() && signs.iter().all(|sign| *sign == style.separator())
    };
    let style = CsvStyle::ALL.into_iter().find(only);
    Some(style.ok_or_else(|| {
        ValueError::new(text, "sep= and a comma, a semicolon or a tab")
            .with_remedy("for example sep=;")
    }))
}

/// The header as one sign parts it.
struct Reading {
    style: CsvStyle,
    fields: Vec<String>,
    field: Vec<u8>,
    state: State,
    /// Whether the line is a comment.
    is_comment: bool,
    /// The line that is being read, from 1; then the header's last.
    line: usize,
    is_over: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    FieldStart,
    Plain,
    Quoted,
    /// Behind a quotation mark in a quoted field.
    Closed,
}

impl Reading {
    fn new(style: CsvStyle) -> Self {
        Self {
            style,
            fields: Vec::new(),
            field: Vec::new(),
            state: State::FieldStart,
            is_comment: false,
            line: 1,
            is_over: false,
        }
    }

    fn take(&mut self, byte: u8, comments: bool) {
        if self.is_over {
            return;
        }
        let line_starts = self.fields.is_empty() && self.state == State::FieldStart;
        self.is_comment |= comments && line_starts && byte == b'#';
        match (byte, self.state) {
            (b'\n', state) if state != State::Quoted => self.end_line(),
            _ if self.is_comment => self.state = State::Plain,
            (byte, state) if byte == self.style.separator() && state != State::Quoted => {
                self.end_field();
            }
            (b'"', State::FieldStart) => self.state = State::Quoted,
            (b'"', State::Quoted) => self.state = State::Closed,
            (b'"', State::Closed) => {
                self.field.push(byte);
                self.state = State::Quoted;
            }
            (_, state) => {
                self.field.push(byte);
                self.state = match state {
                    State::Quoted => State::Quoted,
                    _ => State::Plain,
                };
                self.line += usize::from(byte == b'\n');
            }
        }
    }

    fn end_field(&mut self) {
        let field = String::from_utf8_lossy(&self.field).trim().to_owned();
        self.fields.push(field);
        self.field.clear();
        self.state = State::FieldStart;
    }

    /// Ends a line: that of the header, or one that is passed over.
    fn end_line(&mut self) {
        self.end_field();
        if !self.is_comment && self.fields.iter().any(|field| !field.is_empty()) {
            self.is_over = true;
            return;
        }
        self.is_comment = false;
        self.fields.clear();
        self.line += 1;
    }

    fn words(&self) -> String {
        let first = self.fields.first().map(|first| shown(first));
        format!(
            "{} columns with {}s ({}, ...)",
            self.fields.len(),
            self.style.word(),
            first.unwrap_or_default()
        )
    }
}
