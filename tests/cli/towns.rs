//! Towns on the horizon: what their light takes, where, and who is told.

use super::{json, rakelight, stdout};
use crate::program::Folder;
use serde_json::Value;
use std::collections::HashMap;

const PLACE: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\n\
                     time_zone = \"Australia/Adelaide\"\n[sky]\nzenith_mag_arcsec2 = 21.7\n";

/// A site with a town in that direction, 60 degrees wide and `top_deg` high.
fn with_town(bearing_deg: f64, top_deg: f64) -> String {
    format!(
        "{PLACE}[[sky.glow]]\nbearing_deg = {bearing_deg}\nhalf_width_deg = 30\n\
         altitude_deg = {top_deg}\nmag_arcsec2 = 19.5\n"
    )
}

/// The core's place and its light at a local time, without a Moon.
fn sky(site: &str, time: &str) -> Value {
    let folder = Folder::new();
    let site = folder.file("site.toml", site);
    json(&["sky", &site, "--time", time, "--format", "json"])
}

fn number(document: &Value, pointer: &str) -> f64 {
    let number = document.pointer(pointer).and_then(Value::as_f64);
    number.unwrap_or_else(|| panic!("no number at {pointer}"))
}

const CONTRAST: &str = "/light/milky_way_contrast";
const SKY_MAG: &str = "/light/sky_mag_arcsec2";
const AZIMUTH: &str = "/target/azimuth_deg";

#[test]
fn a_town_takes_contrast_toward_it_and_none_away_from_it() {
    let time = "2027-04-06T23:00";
    let alone = sky(PLACE, time);
    assert!(number(&alone, "/moon/apparent_altitude_deg") < -40.0);
    let (azimuth, contrast) = (number(&alone, AZIMUTH), number(&alone, CONTRAST));
    let beside = |off_deg: f64| {
        let bearing = (azimuth + off_deg).rem_euclid(360.0);
        number(&sky(&with_town(bearing, 25.0), time), CONTRAST)
    };
    let toward = beside(0.0);
    assert!(toward < 0.7 * contrast, "{toward} of {contrast}");
    // The farther beside the core, the less, to either side.
    let beside = |off: f64| [beside(off), beside(-off)];
    let mut last = toward;
    for off in [10.0, 25.0, 40.0, 55.0] {
        let [right, left] = beside(off);
        assert!((right - left).abs() < 1e-3, "{off}: {right} {left}");
        assert!(last < right && right < contrast, "{off}: {last} {right}");
        last = right;
    }
    // It ends at twice its half width.
    for off in [61.0, 120.0, 180.0] {
        assert_eq!(beside(off), [contrast; 2], "{off}");
    }
}

#[test]
fn low_in_the_middle_of_a_town_the_sky_is_as_its_meter_read_it() {
    let time = "2027-04-06T22:10";
    let alone = sky(PLACE, time);
    let altitude = number(&alone, "/target/apparent_altitude_deg");
    assert!((3.0..7.0).contains(&altitude), "{altitude}");
    // So high that little of it is lost at the core.
    let town = sky(&with_town(number(&alone, AZIMUTH), 90.0), time);
    let mag = number(&town, SKY_MAG);
    assert!((mag - 19.5).abs() < 0.2, "{mag}");
    assert!(number(&alone, SKY_MAG) > 20.7);
}

#[test]
fn a_row_and_a_note_tell_of_a_core_in_a_town() {
    let scan = |site: &str, format: &str| {
        let folder = Folder::new();
        let site = folder.file("site.toml", site);
        let asked = "--light dark --from 2027-04-05 --to 2027-04-08 --target-azimuth 100..160 \
                     --target-altitude 5..20 --quiet --format";
        let asked: Vec<&str> = asked.split_whitespace().chain([format]).collect();
        stdout(&rakelight(&[&["scan", &site][..], &asked].concat()))
    };
    let rows = |site: &str| -> Vec<HashMap<String, String>> {
        let csv = scan(site, "csv");
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let rows = reader.deserialize().map(|row| row.expect("a row"));
        rows.collect()
    };
    let contrast = |row: &HashMap<String, String>| -> f64 {
        row["milky_way_contrast"].parse().expect("a contrast")
    };
    let note = ": the core stands in the glow of a town";
    for (site, told) in [
        (PLACE.to_owned(), ""),
        (with_town(310.0, 25.0), "false"),
        (with_town(130.0, 25.0), "true"),
        // Above what it reaches.
        (with_town(130.0, 5.0), "false"),
    ] {
        let all = rows(&site);
        assert_eq!(all.len(), 4, "a window a night");
        let table = scan(&site, "table");
        for row in &all {
            assert_eq!(row["target_in_town_glow"], told, "{site}");
            let line = format!("site {}{note}", row["night"]);
            let noted = table.lines().any(|line_of_table| line_of_table == line);
            assert_eq!(noted, told == "true", "{table}");
        }
        assert_eq!(
            table.matches(note).count(),
            if told == "true" { 4 } else { 0 }
        );
    }
    // The town costs these nights a part of their score.
    let (toward, away) = (rows(&with_town(130.0, 25.0)), rows(&with_town(310.0, 25.0)));
    for row in &toward {
        let same = away.iter().find(|other| other["night"] == row["night"]);
        let same = same.expect("the same night");
        assert!(contrast(row) < contrast(same));
        let score = |row: &HashMap<String, String>| row["score"].parse::<f64>().expect("a score");
        assert!(score(row) < score(same));
    }
}
