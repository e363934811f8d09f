//! A CSV table of sites, as it comes through a pipe.

use super::{NOWHERE, said, site};
use chrono::NaiveDate;
use rakelight::{
    CsvStyle,
    input::{Faults, SiteTable},
    report::{CsvLayout, calendar_csv, rows::calendar::MONTH},
    scene::Site,
    search::months,
};
use std::{
    collections::BTreeSet,
    io::{self, Read},
    path::Path,
};

pub fn run(data: &[u8]) {
    let whole = rows(data);
    for row in &whole {
        match row {
            Ok(row) => {
                site::check(row);
                written(row);
            }
            Err(faults) => said::check_faults(faults),
        }
    }
    // However a pipe parts the bytes, the rows are the same.
    for most in [1, 7] {
        assert_eq!(rows(Parted { data, most }), whole, "read by {most}");
    }
}

/// In every style a row of values and the user's own has as many fields as the
/// header, no two columns have one name, and the own values are read back.
fn written(site: &Site) {
    let names = || site.own.iter().map(|(name, _)| name.to_owned());
    for style in CsvStyle::ALL {
        let layout = CsvLayout::new(style, names().chain(names()));
        let mut out = Vec::new();
        calendar_csv::write_header(&mut out, MONTH, &layout).expect("a vector");
        let day = NaiveDate::from_ymd_opt(2027, 5, 1).expect("a day");
        let months = months(day, day, &[]);
        calendar_csv::write(&mut out, MONTH, site, &months, &layout).expect("a vector");
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .delimiter(style.separator())
            .from_reader(out.as_slice());
        let rows: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
        let [header, row] = rows.as_slice() else {
            panic!("{rows:?}")
        };
        let columns: BTreeSet<&str> = header.iter().collect();
        assert_eq!(columns.len(), header.len(), "{header:?}");
        let own = row.len() - names().count();
        let values: Vec<&str> = row.iter().skip(own).collect();
        let expected: Vec<&str> = site.own.iter().map(|(_, value)| value).collect();
        assert_eq!(values, expected);
    }
}

/// The rows, or why there are none.
fn rows(reader: impl Read) -> Vec<Result<Site, Faults>> {
    match SiteTable::new("t.csv", Path::new(NOWHERE), reader) {
        Ok(table) => table.collect(),
        Err(faults) => vec![Err(faults)],
    }
}

/// Gives few bytes at a time.
pub struct Parted<'a> {
    pub data: &'a [u8],
    pub most: usize,
}

impl Read for Parted<'_> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let count = self.most.min(out.len()).min(self.data.len());
        let (given, left) = self.data.split_at(count);
        out[..count].copy_from_slice(given);
        self.data = left;
        Ok(count)
    }
}
