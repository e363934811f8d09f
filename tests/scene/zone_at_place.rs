//! Every time zone of the world at its own place, and at the same longitude
//! with the other sign (`tests/reference/zone_places.csv`); the zone of a place
//! whose zone nobody gives (`zone_points.csv`, `zone_clocks.csv`).

use crate::common;

use common::{Row, rows};
use rakelight::{
    ephemeris::Moment,
    input::{Faults, parse_site},
    scene::{Site, Zone, ZoneFrom, zone_data_version, zone_of_place},
};
use std::{collections::HashMap, path::Path};

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

/// Offsets and their changes from 2000 to 2099: what two zones must share to
/// count as one.
type Clocks = (i32, Vec<(Moment, i32)>);

fn clocks(name: &str, known: &mut HashMap<String, Clocks>) -> Clocks {
    let of = |name: &str| {
        let zone = Zone::named(name).expect("a zone");
        let from = Moment::from_seconds(0.0);
        let to = from.plus_seconds(36_525.0 * 86_400.0);
        (zone.offset_seconds_at(from), zone.offset_changes(from, to))
    };
    let clocks = known.entry(name.to_owned()).or_insert_with(|| of(name));
    clocks.clone()
}

/// How many places were right by their clocks, asked back, wrong.
#[derive(Debug, Default, Clone, Copy)]
struct Tally {
    right: usize,
    same_name: usize,
    asked: usize,
    wrong: usize,
}

impl Tally {
    fn all(self) -> f64 {
        (self.right + self.asked + self.wrong) as f64
    }
}

#[test]
#[allow(clippy::print_stdout, reason = "the figures are the point of the test")]
fn the_zone_of_a_place_is_found_or_asked_for() {
    let mut known = HashMap::new();
    let mut tallies: HashMap<String, Tally> = HashMap::new();
    for row in rows("zone_points.csv") {
        let kind = row.text("kind").to_owned();
        let theirs: Vec<String> = row.text("zones").split(' ').map(str::to_owned).collect();
        // A newer table may have a zone that our zone data lacks.
        if theirs.iter().any(|name| Zone::named(name).is_err()) {
            println!("not in our zone data: {theirs:?}");
            continue;
        }
        let (latitude_deg, longitude_deg) =
            (row.number("latitude_deg"), row.number("longitude_deg"));
        let tally = tallies.entry(kind.clone()).or_default();
        match zone_of_place(latitude_deg, longitude_deg) {
            // Where they say that several zones are in use none of them is right
            // alone.
            Ok((ours, _)) => {
                let ours = ours.name();
                let same = |name: &String| clocks(name, &mut known) == clocks(ours, &mut known);
                let agree: Vec<bool> = theirs.iter().map(same).collect();
                if agree.iter().all(|same| *same) {
                    tally.right += 1;
                    tally.same_name += usize::from(theirs.iter().any(|name| name == ours));
                } else {
                    println!("{kind} {latitude_deg} {longitude_deg}: {ours}, not {theirs:?}");
                    tally.wrong += 1;
                }
            }
            Err(_) => tally.asked += 1,
        }
    }
    for (kind, least) in [("random", 3000), ("town", 1900)] {
        let tally = tallies.get(kind).copied().unwrap_or_default();
        let percent = |count: usize| 100.0 * count as f64 / tally.all();
        println!(
            "{kind}: {} places, {:.2} % right ({:.2} % by name), {:.2} % asked back, {:.2} % wrong",
            tally.all(),
            percent(tally.right),
            percent(tally.same_name),
            percent(tally.asked),
            percent(tally.wrong)
        );
        assert!(tally.all() >= f64::from(least), "{kind}");
        assert!(percent(tally.wrong) < 0.5, "{kind}");
        assert!(percent(tally.right) > 95.0, "{kind}");
    }
}

/// The cells leave out borders between zones that another library says keep the
/// same clocks; our zone data must say so too.
#[test]
fn zones_that_the_cells_count_as_one_keep_the_same_clocks() {
    let mut known = HashMap::new();
    let rows = rows("zone_clocks.csv");
    assert!(rows.len() >= 400, "{}", rows.len());
    for row in rows {
        let (zone, first) = (row.text("zone"), row.text("same_clocks"));
        let same = clocks(zone, &mut known) == clocks(first, &mut known);
        assert!(same, "{zone} {first}");
    }
}

#[test]
fn every_principal_place_of_a_zone_is_in_it() {
    let mut known = HashMap::new();
    let (mut found, mut asked) = (0, Vec::new());
    for row in known_rows() {
        let zone = row.text("zone");
        if zone.starts_with("Antarctica/") {
            continue;
        }
        match zone_of_place(row.number("latitude_deg"), row.number("longitude_deg")) {
            Ok((ours, from)) => {
                assert_eq!(from, ZoneFrom::Place, "{zone}");
                let same = clocks(ours.name(), &mut known) == clocks(zone, &mut known);
                assert!(same, "{zone}: {}", ours.name());
                found += 1;
            }
            Err(unclear) => {
                assert!(unclear.zones.contains(&zone), "{zone}: {unclear:?}");
                asked.push(zone.to_owned());
            }
        }
    }
    assert!(found > 380 && asked.len() < 30, "{found} {asked:?}");
}

#[test]
fn at_sea_and_in_the_antarctic_the_longitude_says_the_hour() {
    for (latitude_deg, longitude_deg, name) in [
        (30.0, -40.0, "-03:00"),
        (-40.0, 90.0, "+06:00"),
        (0.0, -140.0, "-09:00"),
        (40.0, 180.0, "+12:00"),
        (40.0, -180.0, "-12:00"),
        (90.0, 10.0, "+01:00"),
        (-90.0, 0.0, "UTC"),
        (-77.85, 166.67, "+11:00"),
    ] {
        let (zone, from) = zone_of_place(latitude_deg, longitude_deg).expect("a zone");
        assert_eq!((zone.name(), from), (name, ZoneFrom::Longitude));
    }
}

#[test]
fn a_place_at_a_border_is_asked_back_unless_its_clocks_are_the_same() {
    // The border of Arizona and Utah; that of Germany and Switzerland, and
    // Busingen, a German village within Switzerland.
    let unclear = zone_of_place(37.0, -112.0).expect_err("at a border");
    assert_eq!(unclear.zones, ["America/Denver", "America/Phoenix"]);
    assert!(unclear.at_border);
    for place in [(47.5586, 7.5886), (47.696, 8.69)] {
        let (zone, _) = zone_of_place(place.0, place.1).expect("the same clocks");
        assert!(zone.name().starts_with("Europe/"), "{}", zone.name());
    }
    let at = |zone: &str| {
        let text = format!("latitude_deg = 37\nlongitude_deg = -112\n{zone}");
        parse_site("s.toml", &text, Path::new(""))
    };
    let message = at("").expect_err("at a border").to_string();
    assert!(
        message.ends_with(
            "time_zone: found a place within 4 km of the border between America/Denver and \
             America/Phoenix, expected a time zone; add time_zone = \"America/Denver\" or \
             time_zone = \"America/Phoenix\""
        ),
        "{message}"
    );
    let site = at("time_zone = \"America/Phoenix\"\n").expect("a site");
    assert_eq!(site.zone_from, ZoneFrom::Given);
    let site = Site::at_place("37.5,-112", None).expect("a site");
    assert_eq!(
        (site.zone.name(), site.zone_from),
        ("America/Denver", ZoneFrom::Place)
    );
}
