//! The log of a site: what came of past nights.

use super::csv_rows::{Rows, repeated_column};
use super::fault::{Fault, Faults, Place};
use super::read_csv::fields_text;
use crate::scene::{
    LogEntry, SiteLog, ValueError, name::check_name, name::check_notes, parse_date,
};
use csv::StringRecord;
use std::io::Read;

const HEADER: &str = "the columns date and found, and view where there are several";
const HEADER_REMEDY: &str = "begin with the line date,view,found";
/// The most columns of a log.
const MOST_COLUMNS: usize = 50;

/// Whether a header has a known column of this name.
pub(super) fn is_column(name: &str) -> bool {
    ["date", "view", "found"].contains(&name)
}

/// Whether a table has the header that [`read_log`] accepts.
pub(crate) fn has_log_header(header: &StringRecord) -> bool {
    let has = |name: &str| header.iter().any(|field| field == name);
    has("date") && has("found")
}

/// Reads a table with the columns `date`, `found` and, if wished, `view`; other
/// columns are kept. Lines that begin with `#` are comments.
///
/// # Errors
///
/// Everything wrong in the file, with line and field.
pub fn read_log(file: &str, table: impl Read) -> Result<SiteLog, Faults> {
    let mut rows = Rows::new(file, table, true, is_column);
    let mut faults = Faults::default();
    let header = match rows.next_row() {
        Some(Ok(row)) => row,
        Some(Err(fault)) => return Err(fault.into()),
        None => {
            let error = ValueError::new("", HEADER).with_remedy(HEADER_REMEDY);
            return Err(Fault::at(file, Place::START, None, error).into());
        }
    };
    let names: Vec<&str> = header.fields.iter().collect();
    let place = |column: usize| Place::new(header.line, column + 1);
    let find = |name: &str| names.iter().position(|known| *known == name);
    let (Some(date), Some(found)) = (find("date"), find("found")) else {
        let found = names.join(",");
        let remedy = match found.contains([';', '\t']) {
            true => "put commas between the columns",
            false => HEADER_REMEDY,
        };
        let error = ValueError::new(&found, HEADER).with_remedy(remedy);
        return Err(Fault::at(file, place(0), None, error).into());
    };
    if names.len() > MOST_COLUMNS {
        let error = ValueError::new(
            &format!("{} columns", names.len()),
            format!("at most {MOST_COLUMNS} columns"),
        )
        .with_remedy("look for the end of the first line");
        return Err(Fault::at(file, place(0), None, error).into());
    }
    for (index, name) in names.iter().enumerate() {
        let first = names.iter().position(|known| known == name);
        let error = match first.filter(|first| *first < index) {
            Some(first) => Some(repeated_column(name, first)),
            None => check_name(name).err(),
        };
        faults.extend(error.map(|error| Fault::at(file, place(index), None, error)));
    }
    let view = find("view");
    let mut entries = Vec::new();
    while let Some(row) = rows.next_good_row(&mut faults) {
        if row.fields.len() != names.len() {
            let (seen, expected) = (fields_text(row.fields.len()), fields_text(names.len()));
            let error = ValueError::new(&seen, format!("{expected}, as many as in the header"))
                .with_remedy(match row.fields.len() > names.len() {
                    true => "a field with a comma in it goes between quotation marks",
                    false => "an empty field keeps its comma",
                });
            faults.extend([Fault::at(file, Place::line(row.line), None, error)]);
            continue;
        }
        let mut entry = LogEntry {
            date: chrono::NaiveDate::MIN,
            view: None,
            found: String::new(),
            more: Vec::new(),
        };
        for (index, (name, text)) in names.iter().zip(&row.fields).enumerate() {
            let set = match index {
                _ if index == date => parse_date(text).map(|date| entry.date = date),
                _ if Some(index) == view && text.is_empty() => Ok(()),
                _ if Some(index) == view => check_name(text).map(|view| entry.view = Some(view)),
                _ if text.is_empty() => Ok(()),
                _ => check_notes(text).map(|text| match index == found {
                    true => entry.found = text,
                    false => entry.more.push(((*name).to_owned(), text)),
                }),
            };
            if let Err(error) = set {
                let place = Place::new(row.line, index + 1);
                faults.extend([Fault::at(file, place, Some(name), error)]);
            }
        }
        entries.push(entry);
    }
    faults.or_value(SiteLog::new(entries))
}
