//! `scan --together --spare`: spare nights and places, found again from the
//! windows of the plain scan.

use super::{json, program::Folder, program::Run};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

const MESA: &str = "demo-sites/tinaja-mesa.toml";
const CAY: &str = "demo-sites/candlenut-cay.toml";
const SITES: [&str; 4] = [
    MESA,
    CAY,
    "demo-sites/witkopje-pan.toml",
    "demo-sites/saltbush-tank.toml",
];
const RANGE: [&str; 4] = ["--from", "2027-05-20", "--to", "2027-07-31"];

fn date(text: &str) -> chrono::NaiveDate {
    text.parse().expect("a date")
}

/// Kilometres on a sphere: within 0.6 % of those on the ellipsoid.
fn sphere_km(from: &Value, to: &Value) -> f64 {
    let of = |site: &Value, key: &str| site[key].as_f64().expect("degrees").to_radians();
    let [lat, other] = [from, to].map(|site| of(site, "latitude_deg"));
    let east = of(to, "longitude_deg") - of(from, "longitude_deg");
    let haversine =
        ((other - lat) / 2.0).sin().powi(2) + lat.cos() * other.cos() * (east / 2.0).sin().powi(2);
    2.0 * 6371.0 * haversine.sqrt().asin()
}

/// The windows of one scan without `--together`: by name of the place and
/// night the best score.
fn best_of(document: &Value) -> BTreeMap<(String, String), f64> {
    let mut best = BTreeMap::new();
    for site in document["sites"].as_array().expect("sites") {
        for window in site["windows"].as_array().expect("windows") {
            let name = window["site"].as_str().expect("a name").to_owned();
            let night = window["night"].as_str().expect("a night").to_owned();
            let score = window["score"].as_f64().expect("a score");
            let known = best.entry((name, night)).or_insert(score);
            *known = f64::max(*known, score);
        }
    }
    best
}

#[test]
fn spares_are_the_best_of_each_evening_at_each_place() {
    let days = 3;
    for light in ["raking", "raking,dark"] {
        let args = [
            &["scan", "--quiet"],
            &SITES[..],
            &RANGE,
            &["--light", light, "--format", "json"],
        ]
        .concat();
        let plain = json(&args);
        let best = best_of(&plain);
        let together = json(&[&args[..], &["--together", "--spare", "3"]].concat());
        let (mut elsewhere, mut same) = (0, 0);
        for site in together["sites"].as_array().expect("sites") {
            let name = site["site"]["name"].as_str().expect("a name");
            let windows = site["windows"].as_array().expect("windows");
            let chosen = site["spare_nights"].as_array().expect("spares");
            assert_eq!(chosen.len(), windows.len());
            for (of, window) in chosen.iter().zip(windows) {
                assert_eq!(
                    (&of["rank"], &of["night"]),
                    (&window["rank"], &window["night"])
                );
                let night = date(of["night"].as_str().expect("a night"));
                let mut told = BTreeSet::new();
                let mut before = (night, f64::MAX);
                for spare in of["spares"].as_array().expect("spares") {
                    let place = spare["site"].as_str().expect("a name").to_owned();
                    let of_night = spare["night"].as_str().expect("a night").to_owned();
                    let score = spare["score"].as_f64().expect("a score");
                    let key = (place.clone(), of_night.clone());
                    assert_eq!(best.get(&key), Some(&score), "{spare}");
                    // In order of time, of an evening the best first.
                    let now = (date(&of_night), score);
                    assert!(
                        before.0 < now.0 || (before.0 == now.0 && before.1 >= now.1),
                        "{of}"
                    );
                    before = now;
                    let far = spare["distance_km"].as_f64().expect("km");
                    let sphere = sphere_km(&site["site"], spare);
                    assert!((far - sphere).abs() <= 0.006 * sphere, "{far} {sphere}");
                    assert_eq!(place == name, far == 0.0, "{spare}");
                    elsewhere += usize::from(place != name);
                    same += usize::from(now.0 == night);
                    assert!(told.insert(key), "twice: {spare}");
                }
                let expected: BTreeSet<(String, String)> = best
                    .keys()
                    .filter(|(place, of)| {
                        let least = i64::from(place == name);
                        (least..=days).contains(&(date(of) - night).num_days())
                    })
                    .cloned()
                    .collect();
                assert_eq!(told, expected, "{name} {night}");
            }
        }
        assert!(elsewhere > 20 && same > 5, "{elsewhere} {same}");
    }
}

#[test]
fn the_table_tells_where_and_how_far() {
    let folder = Folder::new();
    let site = |file: &str, name: &str, east: f64| {
        let text = format!(
            "name = \"{name}\"\nlatitude_deg = -31.4\nlongitude_deg = {}\n\
             time_zone = \"Australia/Adelaide\"\nbrief.light = \"dark\"\n",
            139.2 + east
        );
        folder.file(file, text)
    };
    let long = "The old sheep yards above the northern gorge of Arkaroola station";
    let one = site("one.toml", &format!("{long}, first gate"), 0.0);
    let two = site("two.toml", &format!("{long}, second gate"), 0.05);
    let far = site("far.toml", "Flats", 1.0);
    let asked = ["--together", "--spare", "2", "--top", "2", "--quiet"];
    let dates = ["--from", "2027-06-01", "--to", "2027-06-08"];
    let args = [&["scan", &one, &two, &far][..], &asked, &dates].concat();
    for width in [80, 120] {
        let text = Run::at(&folder).wide(width).of(&args).good();
        let (_, spares) = text
            .split_once("\nSpare nights and places")
            .expect("a table");
        for line in spares.lines().skip(1) {
            assert!(line.chars().count() <= width, "{line}");
            assert!(!line.ends_with(' '), "{line}");
        }
        // A degree of longitude there is 95.1 km, a twentieth 4.76 km.
        assert!(spares.contains(" 4.8 km"), "{spares}");
        assert!(spares.contains(" 95 km"), "{spares}");
        // Both gates are told apart, cut or not.
        let gates: BTreeSet<&str> = spares
            .lines()
            .filter_map(|line| Some(line[line.find("The ")?..].split("  ").next()?.trim()))
            .collect();
        assert_eq!(gates.len(), 2, "{spares}");
    }
    // Feet and miles where they are asked for.
    let miles = Run::at(&folder)
        .of(&[&args[..], &["--units", "feet"]].concat())
        .good();
    assert!(miles.contains(" mi\n"), "{miles}");
}

#[test]
fn views_are_no_spare_places_of_each_other() {
    let asked = ["--together", "--spare", "1", "--format", "json", "--quiet"];
    let document = json(&[&["scan", CAY, MESA][..], &RANGE, &asked].concat());
    for site in document["sites"].as_array().expect("sites") {
        for of in site["spare_nights"].as_array().expect("spares") {
            for spare in of["spares"].as_array().expect("spares") {
                if spare["site"] == site["site"]["name"] {
                    assert_ne!(spare["night"], of["night"], "{of}");
                }
            }
        }
    }
    // Without --together each site has its own nights, as ever.
    let alone = json(&[&["scan", CAY, MESA][..], &RANGE, &asked[1..]].concat());
    let nights = alone["sites"][0]["spare_nights"]
        .as_array()
        .expect("nights");
    let mut spares = nights.iter().map(|of| &of["spares"][0]);
    let spare = spares
        .find(|spare| !spare.is_null())
        .expect("a spare night");
    let keys: Vec<&String> = spare.as_object().expect("an object").keys().collect();
    assert_eq!(keys, ["night", "rank", "score"]);
}
