//! What fuzzing has found, each with the least input that showed it.

use rakelight::scene::SiteTable;
use std::{io::Read, path::Path};

/// Gives one byte at a time, as a slow pipe may.
struct Dripping<'a>(&'a [u8]);

impl Read for Dripping<'_> {
    fn read(&mut self, out: &mut [u8]) -> std::io::Result<usize> {
        self.0.take(1).read(out).inspect(|count| {
            self.0 = self.0.get(*count..).unwrap_or_default();
        })
    }
}

fn names(table: impl Read) -> Vec<String> {
    match SiteTable::new("t.csv", Path::new(""), table) {
        Ok(rows) => rows
            .map(|row| row.map_or_else(|faults| faults.to_string(), |site| site.name))
            .collect(),
        Err(faults) => vec![faults.to_string()],
    }
}

#[test]
fn a_byte_order_mark_may_come_in_pieces() {
    let table = "\u{feff}name,latitude_deg,longitude_deg\nA,1,2\n";
    assert_eq!(names(table.as_bytes()), ["A"]);
    assert_eq!(names(Dripping(table.as_bytes())), ["A"]);
    for short in ["", "a", "\n", "\r"] {
        assert_eq!(
            names(Dripping(short.as_bytes())),
            names(short.as_bytes()),
            "{short:?}"
        );
    }
}
