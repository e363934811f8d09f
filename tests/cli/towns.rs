//! Towns on the horizon: what their light takes, where, and who is told.

use super::{json, rakelight, stdout};
use crate::program::Folder;
use serde_json::Value;
use std::collections::HashMap;

const PLACE: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\n\
                     time_zone = \"Australia/Adelaide\"\n[sky]\nzenith_mag_arcsec2 = 21.7\ntowns = false\n";

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

/// A place in the hills of Lower Austria; Vienna stands at 64 degrees.
const NEAR_VIENNA: &str = "latitude_deg = 47.9\nlongitude_deg = 15.4\n\
                           time_zone = \"Europe/Vienna\"\n[sky]\n";

fn towns_of(document: &Value) -> Vec<&str> {
    let towns = document["site"]["sky"]["towns"].as_array();
    let towns = towns.expect("a list of towns").iter();
    towns
        .map(|town| town["name"].as_str().expect("a name"))
        .collect()
}

#[test]
fn towns_brighten_a_sky_that_nobody_has_read() {
    let time = "2027-06-05T23:30";
    let with = |more: &str| sky(&format!("{NEAR_VIENNA}{more}"), time);
    let (lawful, off) = (with(""), with("towns = false\n"));
    assert_eq!(towns_of(&lawful)[0], "Vienna");
    assert_eq!(lawful["site"]["nearest_town"]["country"], "AT");
    assert!(off["site"].get("nearest_town").is_none());
    assert!(off["site"]["sky"].get("towns").is_none());
    const ZENITH: &str = "/site/sky/zenith_mag_arcsec2";
    assert_eq!(number(&off, ZENITH), 21.8);
    assert!((21.2..21.7).contains(&number(&lawful, ZENITH)));
    assert!(number(&lawful, CONTRAST) < number(&off, CONTRAST));
    assert!(number(&lawful, SKY_MAG) < number(&off, SKY_MAG));
    // A reading of the zenith stays, and one toward a town takes its place.
    let read = with("zenith_mag_arcsec2 = 21.5\n");
    assert_eq!(number(&read, ZENITH), 21.5);
    let seen = with("[[sky.glow]]\nbearing_deg = 70\nhalf_width_deg = 20\nmag_arcsec2 = 20\n");
    let seen = towns_of(&seen);
    assert!(!seen.contains(&"Vienna") && !seen.is_empty(), "{seen:?}");
    assert!(!seen.contains(&"Bratislava"), "{seen:?}");
}

#[test]
fn sites_check_tells_the_towns_first_that_of_the_subject() {
    let folder = Folder::new();
    let subject = "[subject]\nbearing_deg = 300\n";
    let site = folder.file("site.toml", format!("{NEAR_VIENNA}{subject}"));
    let told = stdout(&rakelight(&["sites", "check", &site]));
    let joined = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        joined.contains("39 km south-west of Sankt Pölten, AT)"),
        "{told}"
    );
    let linz = joined.find("Glow: Linz").expect("Linz");
    let vienna = joined.find("Glow: Vienna").expect("Vienna");
    assert!(linz < vienna, "{told}");
    assert!(
        joined.contains("in the camera's direction: sky there"),
        "{told}"
    );
    assert!(joined.contains("uncertain by a factor of 2 to 3"), "{told}");
    assert!(
        told.lines().skip(1).all(|line| line.chars().count() <= 80),
        "{told}"
    );
    let site = folder.file("off.toml", format!("{NEAR_VIENNA}towns = false\n"));
    let told = stdout(&rakelight(&["sites", "check", &site]));
    assert_eq!(told.lines().count(), 1, "{told}");
}
