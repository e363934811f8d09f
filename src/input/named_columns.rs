//! The columns of a table that is read by the names in its header.

use super::csv_rows::{Row, Rows, repeated_column};
use super::fault::{Fault, Faults, Place};
use super::read_csv::fields_text;
use crate::scene::ValueError;
use std::io::Read;

/// Where the columns that a reader knows are; others are for people.
pub(super) struct NamedColumns {
    /// Of each name asked for, where it is.
    at: Vec<Option<usize>>,
    count: usize,
    /// The line of the header.
    pub line: usize,
    /// The word for the sign between the fields.
    sign: &'static str,
}

impl NamedColumns {
    /// Reads the header. `names` are those known, any number of which may be
    /// missing; `expected` and `remedy` are for a table without a line.
    ///
    /// # Errors
    ///
    /// No line, and a known column that occurs twice.
    pub fn read(
        file: &str,
        rows: &mut Rows<impl Read>,
        names: &[&str],
        (expected, remedy): (&str, &str),
    ) -> Result<(Self, Row), Faults> {
        let header = match rows.next_row() {
            Some(Ok(row)) => row,
            Some(Err(fault)) => return Err(fault.into()),
            None => {
                let error = ValueError::new("", expected).with_remedy(remedy);
                return Err(Fault::at(file, Place::START, None, error).into());
            }
        };
        let mut at = Vec::new();
        for name in names {
            let is_it = |(_, field): &(usize, &str)| field.eq_ignore_ascii_case(name);
            let mut same = header.fields.iter().enumerate().filter(is_it);
            let first = same.next().map(|(index, _)| index);
            if let (Some(first), Some((again, field))) = (first, same.next()) {
                let place = Place::new(header.line, again + 1);
                return Err(Fault::at(file, place, None, repeated_column(field, first)).into());
            }
            at.push(first);
        }
        let columns = Self {
            at,
            count: header.fields.len(),
            line: header.line,
            sign: rows.style().word(),
        };
        Ok((columns, header))
    }

    /// Where the column of `names` with this number is, from 0.
    pub fn at(&self, name: usize) -> Option<usize> {
        self.at.get(name).copied().flatten()
    }

    /// The fault of a header that lacks a column.
    pub fn lacking(&self, file: &str, header: &Row, expected: &str, remedy: &str) -> Faults {
        let found: Vec<&str> = header.fields.iter().collect();
        let error = ValueError::new(&found.join(","), expected).with_remedy(remedy);
        Fault::at(file, Place::new(self.line, 1), None, error).into()
    }

    /// Checks that a row has as many fields as the header.
    ///
    /// # Errors
    ///
    /// A row with more or fewer.
    pub fn check(&self, file: &str, row: &Row) -> Result<(), Faults> {
        let found = row.fields.len();
        if found == self.count {
            return Ok(());
        }
        let expected = format!("{}, as many as in the header", fields_text(self.count));
        let sign = self.sign;
        let error =
            ValueError::new(&fields_text(found), expected).with_remedy(match found > self.count {
                true => format!("a field with a {sign} in it goes between quotation marks"),
                false => format!("an empty field keeps its {sign}"),
            });
        Err(Fault::at(file, Place::line(row.line), None, error).into())
    }
}
