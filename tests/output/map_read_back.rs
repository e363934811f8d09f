//! The map as other libraries read it, against the CSV's numbers.
//!
//! `map_read.csv` holds what GDAL, GEOS and PROJ make of the map; here the map
//! of today is compared with the one they read, and their lengths and bearings
//! with the columns of the same night.
#![cfg(feature = "cli")]

use crate::common;
use crate::program;

use common::{Row, rows};
use program::{Folder, Run};
use serde_json::Value;

fn night(site: &str, format: &str) -> String {
    let rules = ["--target-offset", "-180..180", "--facing", "210"];
    let mut arguments = vec!["night", site, "--on", "2027-07-09", "--format", format];
    arguments.extend(rules);
    Run::here().of(&arguments).good()
}

fn parsed(site: &str, format: &str) -> Value {
    serde_json::from_str(&night(site, format)).expect("JSON")
}

/// Every number of a text, in its order.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|part| part.parse().ok())
        .collect()
}

fn of_site(site: &str) -> Vec<Row> {
    rows("map_read.csv")
        .into_iter()
        .filter(|row| row.text("night_of") == site)
        .collect()
}

const SITES: [&str; 2] = [
    "tests/data/night/paddock.toml",
    "tests/data/night/meridian.toml",
];

#[test]
fn the_map_is_the_one_that_other_libraries_read_and_found_valid() {
    for site in SITES {
        let map = parsed(site, "geojson");
        let features = map["features"].as_array().expect("features");
        let read = of_site(site);
        assert_eq!(features.len(), read.len());
        for (feature, row) in features.iter().zip(&read) {
            assert_eq!(feature["id"], row.text("id"));
            assert_eq!(feature["geometry"]["type"], row.text("type"));
            let ours = numbers(&feature["geometry"]["coordinates"].to_string());
            let theirs = numbers(row.text("wkt"));
            assert_eq!(ours.len(), theirs.len());
            for (a, b) in ours.iter().zip(&theirs) {
                assert!((a - b).abs() < 1e-6, "{}: {a} {b}", row.text("id"));
            }
            assert_eq!(row.text("valid"), "True");
            if row.text("type").contains("Polygon") {
                assert_eq!(row.text("counterclockwise"), "True");
            }
            let role = feature["properties"]["role"].as_str().expect("a role");
            let is_letter = |letter: char| letter.is_ascii_lowercase();
            assert!(role.chars().all(is_letter), "one word: {role}");
            let meaning = feature["properties"]["meaning"].as_str();
            let meaning = meaning.expect("a meaning");
            assert!(meaning.contains(' '), "plain words: {meaning}");
            // A score on every feature, to filter and colour by.
            let score = feature["properties"]["score"].as_f64().expect("a score");
            assert!((0.0..=100.0).contains(&score), "{score}");
            assert_eq!(feature["properties"]["light"], "raking");
            // No style, only what is.
            for style in ["stroke", "fill", "marker-color", "color"] {
                assert!(feature["properties"].get(style).is_none());
            }
        }
    }
}

#[test]
fn what_crosses_the_antimeridian_is_cut() {
    let read = of_site("tests/data/night/meridian.toml");
    let cut: Vec<&Row> = read
        .iter()
        .filter(|row| row.number("parts") > 1.0)
        .collect();
    assert!(!cut.is_empty());
    for row in cut {
        // In two parts, each on its own side: together they span the circle.
        assert!(row.number("west_deg") == -180.0 && row.number("east_deg") == 180.0);
    }
}

#[test]
fn lengths_and_bearings_on_the_ground_are_those_of_the_columns() {
    let mut lines = 0;
    for site in SITES {
        let report = parsed(site, "json");
        let windows = report["windows"].as_array().expect("windows");
        let height = report["site"]["subject"]["height_m"]
            .as_f64()
            .expect("metres");
        for row in of_site(site) {
            let id = row.text("id");
            let Some(window) = windows.iter().find(|window| {
                let start = window["start_utc"].as_str().expect("a time");
                id.contains(start)
            }) else {
                continue;
            };
            let column = |name: &str| window[name].as_f64().expect("a number");
            let (azimuth, length) = if id.ends_with("/shadow") {
                let length = height * column("shadow_length_per_height");
                (column("shadow_azimuth_deg"), Some(length))
            } else if id.ends_with("/moon") {
                (column("moon_azimuth_deg"), None)
            } else {
                continue;
            };
            lines += 1;
            // Coordinates are written to a centimetre, the ratio to 0.005.
            let slack_deg = (0.02 / row.number("length_m")).atan().to_degrees() + 0.01;
            let apart = (row.number("azimuth_deg") - azimuth + 180.0).rem_euclid(360.0) - 180.0;
            assert!(apart.abs() < slack_deg, "{id}: {apart}");
            if let Some(length) = length {
                let slack_m = 0.02 + 0.006 * height;
                assert!((row.number("length_m") - length).abs() < slack_m, "{id}");
            }
        }
    }
    assert!(lines >= 4, "{lines} lines compared");
}

#[test]
fn the_camera_stands_where_the_site_says() {
    for site in SITES {
        let report = parsed(site, "json");
        let camera = &of_site(site)[0];
        let place = numbers(camera.text("wkt"));
        assert_eq!(
            place[0],
            report["site"]["longitude_deg"].as_f64().expect("degrees")
        );
        assert_eq!(
            place[1],
            report["site"]["latitude_deg"].as_f64().expect("degrees")
        );
    }
}

/// All longitudes meet at a pole, and a sector from there is no line: its ring
/// has an area, counterclockwise (RFC 7946, section 3.1.6), as everywhere.
#[test]
fn rings_at_a_pole_run_counterclockwise() {
    for place in ["-90,0", "-90,139.2", "-90,-180", "-89.99999,0", "-89.9,45"] {
        let output = Run::here()
            .command()
            .args([
                "scan",
                "--time-zone=UTC",
                "--light=any",
                "--format=geojson",
                "--quiet",
            ])
            .args([
                "--from=2027-06-01",
                "--to=2027-06-20",
                &format!("--place={place}"),
            ])
            .output()
            .expect("it runs");
        let map: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let mut rings = 0;
        for feature in map["features"].as_array().expect("features") {
            let geometry = &feature["geometry"];
            let polygons = match geometry["type"].as_str() {
                Some("Polygon") => vec![geometry["coordinates"].clone()],
                Some("MultiPolygon") => geometry["coordinates"].as_array().expect("parts").clone(),
                _ => continue,
            };
            assert!(!polygons.is_empty(), "{place}: {feature}");
            for polygon in polygons {
                let ring: Vec<[f64; 2]> =
                    serde_json::from_value(polygon[0].clone()).expect("a ring of positions");
                let doubled: f64 = ring
                    .windows(2)
                    .map(|pair| pair[0][0] * pair[1][1] - pair[1][0] * pair[0][1])
                    .sum();
                assert!(doubled > 0.0, "{place}: {doubled} {ring:?}");
                rings += 1;
            }
        }
        assert!(rings > 0, "{place} has no window, so it proves nothing");
    }
}

/// Every feature has an id of its own (RFC 7946, section 3.2), whatever the
/// sites are called and however often one comes.
#[test]
fn ids_are_unique_for_any_name_and_any_row() {
    let folder = Folder::new();
    let rows = "name,latitude_deg,longitude_deg,subject.bearing_deg,subject.distance_m\n\
                北門,-31.4,139.2,0,50\n\
                北門,-31.4,139.2,180,50\n\
                北門,-31.4,139.2,0,50\n\
                北門/2,-31.4,139.2,0,50\n\
                北門%2F2,-31.4,139.2,0,50\n";
    let table = folder.file("gates.csv", rows);
    for more in [&[][..], &["--together"]] {
        let output = Run::here()
            .command()
            .args(["scan", "--format", "geojson", "--light", "any"])
            .args(["--from", "2027-06-01", "--to", "2027-06-03"])
            .args(["--target-offset", "-180..180"])
            .args(more)
            .arg(&table)
            .output()
            .expect("the program runs");
        assert!(output.status.success());
        let map: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let features = map["features"].as_array().expect("features");
        let ids: std::collections::HashSet<&str> = features
            .iter()
            .map(|feature| feature["id"].as_str().expect("an id"))
            .collect();
        assert!(features.len() >= 5 * 5, "{} features", features.len());
        assert_eq!(ids.len(), features.len());
    }
}

const REGION: &str = "tests/data/season_map/region.csv";
const REGION_RANGE: [&str; 4] = ["--from", "2027-05-01", "--to", "2027-07-31"];

fn season(more: &[&str]) -> String {
    let all = [&["scan", REGION, "--quiet"], &REGION_RANGE[..], more].concat();
    Run::here().of(&all).good()
}

/// A map of a region: a point per site and nothing else, with the counts that
/// the season's own records give, as other libraries read it.
#[test]
fn the_map_of_a_season_is_a_point_per_site_with_its_counts() {
    let text = season(&["--season", "--format", "geojson"]);
    let map: geojson::FeatureCollection = text.parse().expect("a collection of features");
    let read = rows("season_map_read.csv");
    let records = season(&["--season", "--format", "csv"]);
    let mut reader = csv::Reader::from_reader(records.as_bytes());
    let records: Vec<std::collections::HashMap<String, String>> = reader
        .deserialize()
        .map(|record| record.expect("a record"))
        .collect();
    assert_eq!(map.features.len(), 5);
    assert_eq!(read.len(), 5);
    for (feature, row) in map.features.iter().zip(&read) {
        let properties = feature.properties.as_ref().expect("properties");
        let of = |name: &str| properties.get(name).unwrap_or_else(|| panic!("no {name}"));
        let text = |name: &str| of(name).as_str().unwrap_or_default();
        let geometry = feature.geometry.as_ref().expect("a place");
        let geojson::GeometryValue::Point { coordinates } = &geometry.value else {
            panic!("no point: {geometry:?}");
        };
        // Longitude first (RFC 7946, section 3.1.1).
        let at = coordinates.as_slice();
        assert_eq!(
            at,
            [row.number("longitude_deg"), row.number("latitude_deg")]
        );
        for name in ["role", "site", "light", "own.guide"] {
            let value = properties.get(name).and_then(Value::as_str);
            assert_eq!(value.unwrap_or_default(), row.text(name), "{name}");
        }
        assert_eq!(text("best_night"), row.text("best_night").replace('/', "-"));
        for name in [
            "windows",
            "nights",
            "nights_raking",
            "nights_blend",
            "nights_dark",
        ] {
            assert_eq!(of(name).as_f64(), Some(row.number(name)), "{name}");
        }
        assert_eq!(of("score").as_f64(), row.text("score").parse().ok());
        assert!(of("nights_any").is_null(), "that kind was not asked for");
        // The same from the records of the nights.
        let of_site = || records.iter().filter(|night| night["site"] == text("site"));
        let count = |light: &str| of_site().filter(|night| night["light"] == light).count();
        for light in ["raking", "blend", "dark"] {
            let nights = of(&format!("nights_{light}")).as_u64();
            assert_eq!(nights, Some(count(light) as u64), "{light}");
        }
        let found = of_site().filter(|night| !night["light"].is_empty());
        // Beside a raking night a blend and a dark one count for less.
        let best = found.max_by(|a, b| {
            let worth = |night: &std::collections::HashMap<String, String>| {
                let score: f64 = night["score"].parse().expect("a score");
                let of_kind = match night["light"].as_str() {
                    "raking" => 1.0,
                    "blend" => 0.8,
                    _ => 0.6,
                };
                of_kind * score
            };
            worth(a).total_cmp(&worth(b))
        });
        let Some(best) = best else {
            assert!(of("score").is_null() && of("start_utc").is_null());
            continue;
        };
        let score: f64 = best["score"].parse().expect("a score");
        assert_eq!(of("score").as_f64(), Some(score));
        let night = of_site().find(|night| night["night"] == text("best_night"));
        let night = night.expect("the record of that night");
        for name in [
            "start_local",
            "end_local",
            "best_local",
            "utc_offset",
            "start_utc",
            "end_utc",
            "best_utc",
            "light",
        ] {
            assert_eq!(text(name), night[name], "{name}");
        }
    }
}

/// The point of a site in the map of a scan counts its windows, whatever is
/// shown of them.
#[test]
fn the_map_of_a_scan_counts_all_windows_of_a_site() {
    let scan = |more: &[&str]| season(&[&["--light", "dark"], more].concat());
    let windows = scan(&["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(windows.as_bytes());
    let windows: Vec<std::collections::HashMap<String, String>> = reader
        .deserialize()
        .map(|record| record.expect("a record"))
        .collect();
    for more in [&[][..], &["--top", "1"], &["--together"]] {
        let map = scan(&[&["--format", "geojson"], more].concat());
        let map: Value = serde_json::from_str(&map).expect("JSON");
        let features = map["features"].as_array().expect("features");
        let cameras: Vec<&Value> = features
            .iter()
            .map(|feature| &feature["properties"])
            .filter(|properties| properties["role"] == "camera")
            .collect();
        assert_eq!(cameras.len(), 5);
        for camera in cameras {
            let of_site = || windows.iter().filter(|row| row["site"] == camera["site"]);
            assert_eq!(camera["windows"].as_u64(), Some(of_site().count() as u64));
            let nights: std::collections::BTreeSet<&str> =
                of_site().map(|row| row["night"].as_str()).collect();
            assert_eq!(camera["nights"].as_u64(), Some(nights.len() as u64));
            assert_eq!(camera["nights_dark"], camera["nights"]);
            assert!(camera["nights_raking"].is_null());
            let best = of_site().next();
            let score = best.and_then(|best| best["score"].parse().ok());
            assert_eq!(camera["score"].as_f64(), score);
            if let Some(best) = best {
                assert_eq!(camera["best_night"], best["night"]);
                assert_eq!(camera["best_utc"], best["best_utc"]);
            }
        }
        let sectors = features
            .iter()
            .filter(|feature| feature["properties"]["role"] == "sector");
        for sector in sectors.map(|sector| &sector["properties"]) {
            let row = windows.iter().find(|row| {
                row["site"] == sector["site"] && row["start_utc"] == sector["start_utc"]
            });
            let score: f64 = row.expect("its row")["score"].parse().expect("a score");
            assert_eq!(sector["score"].as_f64(), Some(score));
        }
    }
}
