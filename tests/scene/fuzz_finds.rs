//! What fuzzing has found, each with the least input that showed it.

use rakelight::{
    input::{SiteTable, parse_site},
    rule::Brief,
    scene::Zone,
};
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

#[test]
fn a_path_in_a_message_hides_nothing() {
    let text = "name = \"a\"\nlatitude_deg = 1\nlongitude_deg = 2\n\
                [skyline]\nfile = \"my\u{202e}skyline.csv\"\n";
    let faults = parse_site("s.toml", text, Path::new("nowhere")).expect_err("no such file");
    assert_eq!(
        faults.to_string(),
        "s.toml:5:8: skyline.file: found nowhere/my\\u{202e}skyline.csv (no such file), \
         expected a skyline file; check the path"
    );
    let long = text.replace("skyline.csv", &"x".repeat(100_000));
    let faults = parse_site("s.toml", &long, Path::new("nowhere")).expect_err("too long");
    let told = faults.to_string();
    assert!(
        told.ends_with("expected a path of at most 500 characters"),
        "{told}"
    );
    assert!(told.len() < 300, "{told}");
}

#[test]
fn no_time_rounds_into_the_year_2100() {
    for text in ["2099-12-31T23:59:59.999", "2099-12-31T23:59:59.999Z"] {
        let error = Zone::UTC.parse_time(text).expect_err(text);
        assert!(error.to_string().contains("from 1900 to 2099"), "{error}");
    }
    assert!(Zone::UTC.parse_time("2099-12-31T23:59:59.4").is_ok());
}

/// Sets `key`, then again to what it shows.
fn shown_and_typed(key: &str, text: &str) -> (Brief, Result<Brief, String>) {
    let mut first = Brief::default();
    first.set(key, text).expect(text);
    let (_, shown) = first.entries().remove(0);
    let mut second = Brief::default();
    let again = second.set(key, &shown).map_err(|error| error.to_string());
    (first, again.map(|()| second))
}

#[test]
fn a_small_weight_is_shown_as_it_was_typed() {
    let small = "contrast=1e-12,balance=0,raking=0,position=0,length=0";
    let (first, again) = shown_and_typed("weights", small);
    assert_eq!(again, Ok(first));
}

#[test]
fn an_azimuth_band_is_shown_as_it_was_typed() {
    for text in [
        "0.0000000005..1",
        "1.0000000005..2.000000001",
        "0.1000000004..359.9999999996",
        "359.9999999999..1",
    ] {
        let (first, again) = shown_and_typed("target_azimuth", text);
        assert_eq!(again, Ok(first), "{text}");
    }
    // Nearer than anything that an azimuth means.
    for text in ["1..0.9999999999", "0..0.0000000001", "0..359.9999999999"] {
        let refused = Brief::default()
            .set("target_azimuth", text)
            .expect_err(text);
        let told = refused.to_string();
        assert!(
            told.ends_with("; for the whole circle write 0..360"),
            "{told}"
        );
    }
}

#[test]
fn a_long_number_is_not_said_back() {
    let zeros = "0".repeat(10_000);
    for (key, text) in [
        ("facing", format!("{zeros}1,5")),
        ("facing", format!("{zeros}1W")),
        ("target_altitude", format!("{zeros}1")),
        ("target_altitude", format!("{zeros}2..{zeros}1")),
        ("target_altitude", format!("{zeros}1-{zeros}2")),
    ] {
        let error = Brief::default().set(key, &text).expect_err(key);
        assert!(error.to_string().len() < 300, "{error}");
    }
    // A latitude may stand in quotes, another number may not.
    for (latitude, extinction) in [
        (format!("\"{zeros}95\""), "0.2".to_owned()),
        (format!("\"{zeros}1x\""), "0.2".to_owned()),
        ("1".to_owned(), format!("\"{zeros}0.2\"")),
    ] {
        let text = format!(
            "name = \"a\"\nlatitude_deg = {latitude}\nlongitude_deg = 2\n\
             sky.extinction_mag = {extinction}\n"
        );
        let faults = parse_site("s.toml", &text, Path::new("")).expect_err("a fault");
        assert!(faults.to_string().len() < 300, "{faults}");
    }
}
