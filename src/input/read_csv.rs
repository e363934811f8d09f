//! Sites from a CSV table, one a row.

use super::address::{Layout as Address, Picker};
use super::csv_rows::{Row, Rows, repeated_column};
use super::fault::{Fault, Faults, Place};
use super::opening::{Opening, nobody};
use super::own_column::{own_name, passed_through};
use super::read_views::VIEW;
use super::site_defaults::SiteDefaults;
use super::site_draft::{Context, SiteDraft};
use super::site_files::Beside;
use super::site_keys::{GivenKey, site_key, site_key_count};
use super::whence::Whence;
use super::written_table::{WrittenRow, WrittenTable};
use crate::csv_style::CsvStyle;
use crate::scene::Site;
use crate::scene::own::{MOST_OWN, too_many};
use crate::scene::{ValueError, shown};
use csv::StringRecord;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The columns of place, of which a table of sites has the first or the others.
const PLACE: [&str; 3] = [POSITION, "latitude_deg", "longitude_deg"];
const POSITION: &str = "position";
/// Columns that every table of sites must have; with a column of positions the
/// name alone.
const REQUIRED: [&str; 3] = ["name", "latitude_deg", "longitude_deg"];

/// The sites of a CSV table, read row by row; the table may be of any length.
///
/// The first row gives the columns by the keys of a site file, dotted for
/// tables (`subject.bearing_deg`); an empty field gives nothing. Other columns
/// are the user's own and pass through. Each item is
/// the site of one row or everything wrong in that row, with its line and, as
/// column, the number of the field. Reading goes on after a wrong row. A table
/// without rows is a fault too.
pub struct SiteTable<R> {
    file: String,
    directory: PathBuf,
    files: Beside,
    /// The first row, as it is written.
    header: StringRecord,
    /// The key of each column, `own.` before those of the user's own.
    columns: Vec<GivenKey>,
    rows: Rows<R>,
    /// The header's line, until a row has been read.
    empty_after: Option<usize>,
    /// Where the last row stands.
    last: Whence,
    defaults: Arc<SiteDefaults>,
}

impl<R: Read> SiteTable<R> {
    /// The table in `table`, called `file` in errors; skylines are looked up
    /// from `directory`.
    ///
    /// # Errors
    ///
    /// An empty table, unknown, repeated and missing columns.
    pub fn new(file: &str, directory: &Path, table: R) -> Result<Self, Faults> {
        let mut rows = Rows::new(file, table, false, is_column);
        let header = match rows.next_row() {
            Some(Ok(row)) => row,
            Some(Err(fault)) => return Err(fault.into()),
            None => {
                let error = ValueError::new("", "a header with the names of the columns")
                    .with_remedy(format!("begin with the line {}", REQUIRED.join(",")));
                return Err(Fault::at(file, Place::START, None, error).into());
            }
        };
        let columns = check_header(file, &header, rows.style())?;
        let opening = nobody();
        Ok(Self {
            file: file.to_owned(),
            directory: directory.to_owned(),
            files: Beside::new(directory, &opening),
            columns: columns.into_iter().map(GivenKey::of).collect(),
            rows,
            empty_after: Some(header.line),
            header: header.fields,
            last: Whence::default(),
            defaults: Arc::default(),
        })
    }

    /// The same table, which calls `opening` with each file that a row refers
    /// to.
    #[must_use]
    pub fn telling(self, opening: Opening) -> Self {
        let files = Beside::new(&self.directory, &opening);
        Self { files, ..self }
    }

    /// The names of the columns of the user's own, in the order of the table.
    pub fn own_columns(&self) -> Vec<String> {
        let own = self.columns.iter().filter_map(|key| own_name(&key.name));
        own.map(str::to_owned).collect()
    }

    /// The same table with what a brief file gives to sites that lack it.
    #[must_use]
    pub fn with_defaults(self, defaults: Arc<SiteDefaults>) -> Self {
        Self { defaults, ..self }
    }

    /// The sites of the rows that an address means. The others are not checked,
    /// but where none is meant, rows that can't be read are told.
    ///
    /// # Errors
    ///
    /// No such row, or several that are not the views of one place.
    pub(super) fn picked(mut self, address: &str) -> Result<Vec<Result<Site, Faults>>, Faults> {
        let (name_column, view_column) = (self.column("name"), self.column(VIEW));
        let file = self.file.clone();
        let mut picker = Picker::new(&file, Address::Table, address);
        let mut broken = Faults::default();
        while let Some(row) = self.rows.next_row() {
            match row {
                Ok(row) => {
                    let field = |column: Option<usize>| column.and_then(|at| row.fields.get(at));
                    let name = field(name_column).unwrap_or_default().to_owned();
                    let view = field(view_column).filter(|view| !view.is_empty());
                    let view = view.map(str::to_owned);
                    picker.offer(&name, view.as_deref(), row);
                }
                Err(fault) => broken.extend([fault]),
            }
        }
        match picker.end() {
            Ok(rows) => Ok(rows.iter().map(|row| self.site(row)).collect()),
            Err(faults) => {
                broken.extend(faults);
                Err(broken)
            }
        }
    }

    /// The whole table with its rows as they are written.
    ///
    /// # Errors
    ///
    /// A table without rows.
    pub(super) fn written(mut self) -> Result<WrittenTable, Faults> {
        let mut rows = Vec::new();
        while let Some(row) = self.rows.next_row() {
            rows.push(match row {
                Ok(row) => WrittenRow {
                    line: row.line,
                    site: self.site(&row),
                    fields: row.fields.iter().map(str::to_owned).collect(),
                },
                Err(fault) => WrittenRow {
                    line: fault.line.unwrap_or(0),
                    site: Err(fault.into()),
                    fields: Vec::new(),
                },
            });
        }
        if let Some(Err(empty)) = self.next().filter(|_| rows.is_empty()) {
            return Err(empty);
        }
        Ok(WrittenTable {
            style: self.rows.style(),
            header: self.header.iter().map(str::to_owned).collect(),
            rows,
        })
    }

    /// Passes over so many rows, good or not; says how many there were.
    pub(super) fn pass_over(&mut self, most: usize) -> usize {
        let rows = std::iter::from_fn(|| self.rows.next_row());
        let passed = rows.take(most).count();
        if passed > 0 {
            self.empty_after = None;
        }
        passed
    }

    /// Where the row stands that was read last.
    pub(super) fn whence(&self) -> Whence {
        self.last.clone()
    }

    /// The number of the column of a key.
    fn column(&self, key: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.name == key)
    }

    /// Where a row stands.
    fn whence_of(&self, row: &Row) -> Whence {
        let name = self.column("name").and_then(|at| row.fields.get(at));
        Whence {
            line: Some(row.line),
            name: name.filter(|name| !name.is_empty()).map(str::to_owned),
        }
    }

    fn site(&self, row: &Row) -> Result<Site, Faults> {
        let file = self.file.as_str();
        let (found, expected) = (row.fields.len(), self.columns.len());
        let sign = self.rows.style().word();
        if found != expected {
            let error = ValueError::new(
                &fields_text(found),
                format!("{}, as many as in the header", fields_text(expected)),
            )
            .with_remedy(if found > expected {
                format!("a field with a {sign} in it goes between quotation marks")
            } else {
                format!("an empty field keeps its {sign}")
            });
            return Err(Fault::at(file, Place::line(row.line), None, error).into());
        }
        let mut draft = SiteDraft::default();
        for (index, (key, written)) in self.columns.iter().zip(&row.fields).enumerate() {
            if !written.is_empty() {
                let place = Place::new(row.line, index + 1);
                draft.set_given(file, key, &self.rows.value(written), place);
            }
        }
        draft.finish(&Context {
            file,
            default_name: None,
            well_formed: true,
            start: Place::line(row.line),
            files: &self.files,
            defaults: &self.defaults,
        })
    }
}

/// A number of fields, in words.
pub(crate) fn fields_text(count: usize) -> String {
    match count {
        1 => "1 field".to_owned(),
        _ => format!("{count} fields"),
    }
}

/// Columns that only results have, which have columns of place too.
const OF_RESULTS: [&str; 7] = [
    "nights_raking",
    "nights_blend",
    "nights_dark",
    "nights_any",
    "best_night",
    "start_utc",
    "best_utc",
];
/// The same, in words that a list of one's own may have: they count beside `site`.
const OF_RESULTS_BESIDE_SITE: [&str; 3] = ["night", "nights", "windows"];

/// Whether the first row of `table` is meant as that of a table of sites: it has
/// columns of place and is not that of a result, which has no column `name`.
pub(crate) fn has_site_header(header: &StringRecord) -> bool {
    let has = |wanted: &[&str]| header.iter().any(|name| wanted.contains(&name));
    let of_result = has(&OF_RESULTS) || (has(&["site"]) && has(&OF_RESULTS_BESIDE_SITE));
    has(&PLACE) && (has(&["name"]) || !of_result)
}

fn is_column(name: &str) -> bool {
    site_key(name).is_some()
}

fn check_header(file: &str, header: &Row, style: CsvStyle) -> Result<Vec<String>, Faults> {
    let mut faults = Faults::default();
    let mut columns: Vec<String> = Vec::new();
    let most = site_key_count() + MOST_OWN;
    if header.fields.len() > most {
        let error = ValueError::new(
            &format!("{} columns", header.fields.len()),
            format!(
                "at most {most} columns, one for each key of a site and {MOST_OWN} of your own"
            ),
        )
        .with_remedy("look for the end of the first line");
        return Err(Fault::at(file, Place::line(header.line), None, error).into());
    }
    for (index, name) in header.fields.iter().enumerate() {
        let place = Place::new(header.line, index + 1);
        let key = if name.is_empty() {
            let remedy = format!("give it a name, or take the {} out", style.word());
            Err(ValueError::new("", "the name of a column").with_remedy(remedy))
        } else {
            match site_key(name) {
                Some(key) if own_name(&key).is_none() => Ok(name.to_owned()),
                _ => passed_through(name),
            }
        };
        // A rule may have two words.
        let key = key.and_then(|key| {
            let same = |column: &String| *column == key || site_key(column) == site_key(&key);
            match columns.iter().position(same) {
                Some(first) => Err(repeated_column(name, first)),
                None => Ok(key),
            }
        });
        columns.push(key.unwrap_or_else(|error| {
            faults.0.push(Fault::at(file, place, None, error));
            String::new()
        }));
    }
    let own: Vec<&str> = columns.iter().filter_map(|key| own_name(key)).collect();
    if own.len() > MOST_OWN {
        let place = Place::line(header.line);
        let error = too_many(own.len());
        return Err(Fault::at(file, place, None, error).into());
    }
    // A misspelt required column is reported already.
    if faults.0.is_empty() {
        let has_position = columns.iter().any(|column| column == POSITION);
        let needed = if has_position { 1 } else { REQUIRED.len() };
        for key in REQUIRED.into_iter().take(needed) {
            if !columns.iter().any(|column| column == key) {
                let remedy = "add it to the header and to each row".to_owned();
                let error = ValueError::new("", format!("a column {key}"))
                    .with_remedy(remedy + &called_otherwise(&own));
                faults
                    .0
                    .push(Fault::at(file, Place::line(header.line), Some(key), error));
            }
        }
    }
    faults.or_value(columns)
}

/// Which columns may be a required one under another name.
fn called_otherwise(own: &[&str]) -> String {
    const LISTED: usize = 5;
    let listed: Vec<String> = own.iter().take(LISTED).map(|name| shown(name)).collect();
    let more = if own.len() > LISTED { ", ..." } else { "" };
    match listed.as_slice() {
        [] => String::new(),
        listed => format!(
            ", or call the column that holds it so ({}{more})",
            listed.join(", ")
        ),
    }
}

impl<R: Read> Iterator for SiteTable<R> {
    type Item = Result<Site, Faults>;

    fn next(&mut self) -> Option<Self::Item> {
        let Some(row) = self.rows.next_row() else {
            let line = self.empty_after.take()?;
            let error = ValueError::new("a header alone", "a row for each site below it")
                .with_remedy("add a row, or leave the table out");
            return Some(Err(
                Fault::at(&self.file, Place::line(line), None, error).into()
            ));
        };
        self.empty_after = None;
        self.last = match &row {
            Ok(row) => self.whence_of(row),
            Err(fault) => Whence {
                line: fault.line,
                name: None,
            },
        };
        Some(row.map_err(Faults::from).and_then(|row| self.site(&row)))
    }
}
