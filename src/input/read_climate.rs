//! How often nights are clear, from a table: a row a month.

use super::csv_rows::{Row, Rows};
use super::fault::{Fault, Faults, Place};
use super::named_columns::NamedColumns;
use super::share::clear_share;
use crate::scene::by_site::site_word;
use crate::scene::name::check_name;
use crate::scene::{BySite, Climate, MONTHS, ValueError};
use csv::StringRecord;
use std::collections::BTreeMap;
use std::io::Read;

/// The most rows of a file: of five thousand sites.
const MOST_ROWS: usize = 60_000;
const COLUMNS: [&str; 3] = ["month", "clear", "site"];
const HEADER: (&str, &str) = (
    "the columns month and clear, and site where it serves several",
    "begin with the line month,clear",
);

fn is_column(name: &str) -> bool {
    COLUMNS.iter().any(|known| name.eq_ignore_ascii_case(known))
}

/// Whether a table has the header that [`read_climate`] accepts.
pub(super) fn has_climate_header(header: &StringRecord) -> bool {
    let has = |name: &str| header.iter().any(|field| field.eq_ignore_ascii_case(name));
    has("month") && has("clear")
}

/// The months of a site so far.
struct Year {
    /// The site as the file has it first.
    name: String,
    /// The line of its first row.
    line: usize,
    shares: [Option<f64>; 12],
}

/// Reads a table with the columns `month` (1 to 12), `clear` (the share of
/// clear nights, 0 to 1 or in percent) and, if wished, `site`; other columns are
/// for people. Lines that begin with `#` are comments. Each month stands in it
/// once for each site, without that column once for all.
///
/// # Errors
///
/// Everything wrong in the file, with line and field.
pub fn read_climate(file: &str, table: impl Read) -> Result<BySite<Climate>, Faults> {
    let mut rows = Rows::new(file, table, true, is_column);
    let (columns, header) = NamedColumns::read(file, &mut rows, &COLUMNS, HEADER)?;
    let (Some(month), Some(clear)) = (columns.at(0), columns.at(1)) else {
        return Err(columns.lacking(file, &header, HEADER.0, HEADER.1));
    };
    let mut reader = Reader {
        file,
        places: (month, clear, columns.at(2)),
        years: BTreeMap::new(),
        faults: Faults::default(),
    };
    let mut count = 0;
    while let Some(row) = rows.next_row() {
        count += 1;
        let row = match row {
            Ok(row) => row,
            Err(fault) => {
                reader.faults.extend([fault]);
                continue;
            }
        };
        if count > MOST_ROWS {
            let error = ValueError::new("more rows", format!("at most {MOST_ROWS} rows"))
                .with_remedy("keep the sites that are needed");
            let fault = Fault::at(file, Place::line(row.line), None, error);
            reader.faults.extend([fault]);
            break;
        }
        match columns.check(file, &row) {
            Ok(()) => reader.row(&rows, &row),
            Err(faults) => reader.faults.extend(faults),
        }
    }
    reader.finish(columns.line)
}

struct Reader<'a> {
    file: &'a str,
    /// Where month, share and site stand.
    places: (usize, usize, Option<usize>),
    /// Each site's by the word that it is found under.
    years: BTreeMap<String, Year>,
    faults: Faults,
}

impl Reader<'_> {
    fn fault(&mut self, place: Place, key: &str, error: ValueError) {
        let fault = Fault::at(self.file, place, Some(key), error);
        self.faults.extend([fault]);
    }

    fn row<R: Read>(&mut self, rows: &Rows<R>, row: &Row) {
        let (month, clear, site) = self.places;
        let field = |at: usize| row.fields.get(at).unwrap_or_default();
        let place = |at: usize| Place::new(row.line, at + 1);
        let name = match site.map(|at| check_name(field(at)).map_err(|error| (at, error))) {
            None => String::new(),
            Some(Ok(name)) => name,
            Some(Err((at, error))) => return self.fault(place(at), "site", error),
        };
        let number = match rows.value(field(month)).whole_within(1, 12) {
            Ok(number) => usize::try_from(number).unwrap_or(1) - 1,
            Err(error) => return self.fault(place(month), "month", error),
        };
        let Some(of_month) = MONTHS.get(number) else {
            return;
        };
        let share = match clear_share(&rows.value(field(clear)), of_month) {
            Ok(share) => share,
            Err(error) => return self.fault(place(clear), "clear", error),
        };
        let year = self.years.entry(site_word(&name)).or_insert_with(|| Year {
            name,
            line: row.line,
            shares: [None; 12],
        });
        match year.shares.get_mut(number) {
            Some(known @ None) => *known = Some(share),
            _ => {
                let error = ValueError::new(
                    &format!("{of_month} again{}", of_site(&year.name)),
                    "each month once",
                )
                .with_remedy("keep one of the two rows");
                self.fault(place(month), "month", error);
            }
        }
    }

    fn finish(mut self, header: usize) -> Result<BySite<Climate>, Faults> {
        if self.years.is_empty() && self.faults.0.is_empty() {
            let error = ValueError::new("a header alone", "a row for each month below it")
                .with_remedy("add the rows, or leave the file out");
            return Err(Fault::at(self.file, Place::line(header), None, error).into());
        }
        let mut climates = BySite::default();
        // A month whose row was refused is not missing as well.
        let whole = self.faults.0.is_empty();
        for (word, year) in std::mem::take(&mut self.years) {
            let missing = MONTHS.iter().zip(&year.shares);
            let missing: Vec<&str> = missing
                .filter(|(_, share)| share.is_none())
                .map(|(month, _)| *month)
                .collect();
            if !missing.is_empty() && whole {
                let error = ValueError::new(
                    &format!("no {}{}", missing.join(", "), of_site(&year.name)),
                    "a row for each of the twelve months",
                )
                .with_remedy("add what is missing");
                self.fault(Place::line(year.line), "month", error);
            }
            let shares = year.shares.map(|share| share.unwrap_or(0.0));
            match Climate::new(shares) {
                Ok(climate) => climates.insert(&word, climate),
                Err(error) => self.fault(Place::line(year.line), "clear", error),
            }
        }
        self.faults.or_value(climates)
    }
}

/// The site that a message is about; nothing in a table for all sites.
fn of_site(name: &str) -> String {
    match name {
        "" => String::new(),
        name => format!(" for {name}"),
    }
}
