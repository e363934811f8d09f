//! A CSV table of sites, as it comes through a pipe.

use super::{NOWHERE, said, site};
use rakelight::{
    input::{Faults, SiteTable},
    scene::Site,
};
use std::{
    io::{self, Read},
    path::Path,
};

pub fn run(data: &[u8]) {
    let whole = rows(data);
    for row in &whole {
        match row {
            Ok(row) => site::check(row),
            Err(faults) => said::check_faults(faults),
        }
    }
    // However a pipe parts the bytes, the rows are the same.
    for most in [1, 7] {
        assert_eq!(rows(Parted { data, most }), whole, "read by {most}");
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
struct Parted<'a> {
    data: &'a [u8],
    most: usize,
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
