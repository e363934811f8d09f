//! What the tests share: reading reference tables and judging a spread.
#![allow(dead_code, reason = "each test file uses a part of it")]

pub mod svg;

use rakelight::ephemeris::Moment;
use std::{collections::HashMap, path::PathBuf};

/// A row of a reference table, by column name.
pub struct Row(HashMap<String, String>);

impl Row {
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{column}: {text:?} is no number"))
    }

    pub fn moment(&self, column: &str) -> Moment {
        let text = self.text(column);
        Moment::from_utc(
            text.parse()
                .unwrap_or_else(|_| panic!("{column}: {text:?} is no time")),
        )
    }
}

/// All rows of `tests/reference/<name>`; its header comments tell the source.
pub fn rows(name: &str) -> Vec<Row> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(name);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let header = reader.headers().expect("a header").clone();
    reader
        .records()
        .map(|record| {
            let record = record.expect("a well-formed row");
            Row(header
                .iter()
                .map(String::from)
                .zip(record.iter().map(String::from))
                .collect())
        })
        .collect()
}

/// Prints the rms and the worst of `differences` and holds both to a bound.
#[allow(clippy::print_stdout, reason = "the figures are the point of the test")]
pub fn spread(what: &str, unit: &str, differences: &[f64], rms_bound: f64, worst_bound: f64) {
    let worst = differences.iter().fold(0.0_f64, |w, d| w.max(d.abs()));
    let rms = (differences.iter().map(|d| d * d).sum::<f64>() / differences.len() as f64).sqrt();
    println!(
        "{what}: rms {rms:.3e} {unit}, worst {worst:.3e} {unit} of {} rows",
        differences.len()
    );
    assert!(
        rms.is_finite() && rms <= rms_bound,
        "{what}: rms {rms}, bound {rms_bound}"
    );
    assert!(
        worst <= worst_bound,
        "{what}: worst {worst}, bound {worst_bound}"
    );
}

/// A small seeded generator (SplitMix64: Steele, Lea & Flood, OOPSLA 2014), so
/// that a failing case can be named by its number.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number from 0 to below `count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }
}
