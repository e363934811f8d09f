//! Every time zone of the world at its own place, and at the same longitude
//! with the other sign (`tests/reference/zone_places.csv`).

mod common;

use common::{Row, rows};
use rakelight::{
    input::{Faults, parse_site},
    scene::{Site, Zone, zone_data_version},
};
use std::path::Path;

fn read(row: &Row, longitude_deg: f64) -> Result<Site, Faults> {
    let (zone, latitude_deg) = (row.text("zone"), row.number("latitude_deg"));
    let text = format!(
        "latitude_deg = {latitude_deg}\nlongitude_deg = {longitude_deg}\ntime_zone = \"{zone}\"\n"
    );
    parse_site("s.toml", &text, Path::new(""))
}

/// The zones of the table that the program's own zone data has too.
fn known_rows() -> Vec<Row> {
    let rows = rows("zone_places.csv");
    let (all, version) = (rows.len(), zone_data_version());
    let known: Vec<Row> = rows
        .into_iter()
        .filter(|row| Zone::named(row.text("zone")).is_ok())
        .collect();
    // A newer table may have a zone or two more.
    assert!(
        known.len() >= all.max(400) - 3,
        "{version}: {}",
        known.len()
    );
    known
}

#[test]
fn every_zone_suits_its_own_place() {
    for row in known_rows() {
        let longitude_deg = row.number("longitude_deg");
        if let Err(faults) = read(&row, longitude_deg) {
            panic!("{faults}");
        }
        let place = format!("{},{longitude_deg}", row.number("latitude_deg"));
        let zone = Zone::named(row.text("zone")).expect("a zone");
        Site::at_place(&place, Some(zone)).expect("a place");
    }
}

/// Zones that reach the date line so near to 180 degrees that the other sign
/// moves the Sun's time by few hours.
const AT_THE_DATE_LINE: [&str; 24] = [
    "America/Adak",
    "Asia/Anadyr",
    "Asia/Kamchatka",
    "Asia/Magadan",
    "Asia/Srednekolymsk",
    "Asia/Ust-Nera",
    "Pacific/Apia",
    "Pacific/Auckland",
    "Pacific/Chatham",
    "Pacific/Fakaofo",
    "Pacific/Fiji",
    "Pacific/Funafuti",
    "Pacific/Kanton",
    "Pacific/Kwajalein",
    "Pacific/Majuro",
    "Pacific/Midway",
    "Pacific/Nauru",
    "Pacific/Niue",
    "Pacific/Norfolk",
    "Pacific/Pago_Pago",
    "Pacific/Tarawa",
    "Pacific/Tongatapu",
    "Pacific/Wake",
    "Pacific/Wallis",
];

#[test]
fn a_longitude_with_the_wrong_sign_is_refused_beyond_40_degrees() {
    let (mut refused, mut at_the_date_line) = (0, 0);
    for row in known_rows() {
        let (zone, longitude_deg) = (row.text("zone"), row.number("longitude_deg"));
        let outcome = read(&row, -longitude_deg);
        if longitude_deg.abs() < 40.0 || zone.starts_with("Antarctica/") {
            continue;
        }
        if AT_THE_DATE_LINE.contains(&zone) {
            assert!(longitude_deg.abs() > 143.0, "{zone}");
            assert!(outcome.is_ok(), "{zone}");
            at_the_date_line += 1;
            continue;
        }
        let message = outcome.expect_err(zone).to_string();
        let remedy = format!("write {longitude_deg} for {}", -longitude_deg);
        assert!(message.ends_with(&remedy), "{message}");
        let (_, hours) = message
            .split_once(&format!("{}, ", -longitude_deg))
            .expect("hours");
        let hours: f64 = hours
            .split(' ')
            .next()
            .expect("hours")
            .parse()
            .expect("hours");
        // Zones that reach the date line count a day less, where that is nearer.
        let theirs = row.number("mirrored_hours");
        let off = |theirs: f64| (hours - theirs).abs() <= 0.051;
        assert!(
            off(theirs) || off((24.0 - theirs).abs()),
            "{message} not {theirs}"
        );
        refused += 1;
    }
    assert!(refused >= 250, "{refused}");
    assert_eq!(at_the_date_line, AT_THE_DATE_LINE.len());
}
