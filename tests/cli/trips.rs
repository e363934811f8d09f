//! Trips through the program: places, moves, spare places and nights, what is
//! said where there is none.

use super::program::{Folder, Run};
use serde_json::Value;

/// Three places within a day's drive of each other, one two days away, and the
/// first place again under another name and file.
const PLACES: &str = "name,latitude_deg,longitude_deg,time_zone\n\
    Red Gap,-31.4,139.2,Australia/Adelaide\n\
    Salt Arm,-30.9,138.2,Australia/Adelaide\n\
    Old Shed,-32.2,140.1,Australia/Adelaide\n\
    Far Dune,-28.2,136.5,Australia/Darwin\n\
    Red Gap,-31.4,139.2,Australia/Adelaide\n";
const MONTHS: [&str; 3] = ["--from=2027-05-01", "--to=2027-07-31", "--light=dark"];

fn folder() -> Folder {
    let folder = Folder::new();
    folder.file("places.csv", PLACES);
    folder
}

fn trips(folder: &Folder, more: &[&str]) -> Vec<Value> {
    let args = [&["trip", "places.csv", "--format=json"], &MONTHS[..], more].concat();
    let text = Run::at(folder).of(&args).good();
    let document: Value = serde_json::from_str(&text).expect("JSON");
    document["trips"].as_array().expect("trips").clone()
}

fn sites(trip: &Value) -> Vec<String> {
    let nights = trip["nights"].as_array().expect("nights");
    let site = |night: &Value| {
        night["session"]["site"]
            .as_str()
            .unwrap_or("free")
            .to_owned()
    };
    nights.iter().map(site).collect()
}

#[test]
fn sites_at_one_position_are_one_place() {
    let folder = folder();
    // The two Red Gaps would otherwise be two places 0 km apart.
    for trip in trips(&folder, &["--stay=1", "--top=9"]) {
        let sites = sites(&trip);
        assert_eq!(sites.len(), 5);
        assert!(sites.windows(2).all(|pair| pair[0] != pair[1]), "{sites:?}");
        for night in trip["nights"].as_array().expect("nights") {
            let spare = &night["spare_place"];
            assert_ne!(spare["site"], night["session"]["site"]);
            assert!(spare["move_km"].as_f64().is_none_or(|km| km <= 300.0));
        }
    }
}

#[test]
fn a_table_of_moves_decides_what_is_within_reach() {
    let folder = folder();
    let all = ["Red Gap", "Salt Arm", "Old Shed", "Far Dune"];
    let mut rows = String::from("from,to,km,hours\n");
    for (index, from) in all.iter().enumerate() {
        for to in &all[..index] {
            rows += &format!("{from},{to},2000,30\n");
        }
    }
    rows += "Elsewhere,Red Gap,1,1\n";
    folder.file("moves.csv", &rows);
    let args = ["trip", "places.csv", "--stay=1", "--moves=moves.csv"];
    let ended = Run::at(&folder).of(&[&args[..], &MONTHS].concat());
    assert_eq!(ended.code, 1, "{}", ended.err);
    assert!(ended.err.contains("left out 1 row"), "{}", ended.err);
    // What is advised gives a trip.
    for remedy in ["--stay 5", "--nights 1", "--max-km 2000 --max-hours 30"] {
        assert!(ended.err.contains(remedy), "{remedy}: {}", ended.err);
        let typed: Vec<&str> = remedy.split(' ').collect();
        let again = match typed.first() {
            Some(&"--stay") => ["trip", "places.csv", "--moves=moves.csv"].to_vec(),
            _ => args.to_vec(),
        };
        let again = [&again[..], &MONTHS, &typed].concat();
        assert_eq!(Run::at(&folder).of(&again).code, 0, "{remedy}");
    }
}

#[test]
fn a_free_evening_lies_between_places_two_days_apart() {
    let folder = folder();
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg\nA,-31.4,139.2\nB,-28.2,136.5\n",
    );
    let close = trips(
        &folder,
        &[
            "--stay=1",
            "--nights=3",
            "--free=1",
            "--max-km=320",
            "--max-hours=6",
        ],
    );
    assert_eq!(close[0]["nights"][1]["role"], "free");
    let [first, last] = [0, 2].map(|night| &close[0]["nights"][night]["session"]["site"]);
    assert_ne!(first, last);
}

#[test]
fn one_site_and_no_window_are_told() {
    let folder = folder();
    let one = [
        "trip",
        "--place=-31.4,139.2",
        "--light=dark",
        "--from=2027-05-01",
        "--to=2027-05-31",
    ];
    assert!(Run::at(&folder).of(&one).good().starts_with("Best trip: "));
    let none = [
        "trip",
        "--place=62,10",
        "--from=2027-06-01",
        "--to=2027-06-30",
    ];
    let ended = Run::at(&folder).of(&none);
    assert_eq!((ended.code, ended.out.as_str()), (1, ""));
    assert!(
        ended.err.contains("No trip: no window at 1 place"),
        "{}",
        ended.err
    );
}

#[test]
fn the_csv_has_a_row_for_each_evening() {
    let folder = folder();
    let args = [
        "trip",
        "places.csv",
        "--format=csv",
        "--top=2",
        "--nights=4",
    ];
    let text = Run::at(&folder).of(&[&args[..], &MONTHS].concat()).good();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().expect("a header").clone();
    let column = |name: &str| head.iter().position(|known| known == name).expect(name);
    let rows: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), 8);
    let scores = rows
        .iter()
        .take(4)
        .map(|row| row[column("score")].parse::<f64>());
    let sum: f64 = scores.map(|score| score.expect("a score")).sum();
    let trip: f64 = rows[0][column("trip_score")].parse().expect("a sum");
    // Each score is rounded to a tenth.
    assert!((sum - trip).abs() <= 0.25, "{sum} {trip}");
}

#[test]
fn no_line_is_wider_than_its_terminal() {
    let folder = folder();
    for width in ["60", "80", "120"] {
        let args = ["trip", "places.csv", "--stay=1"];
        let args = [&args[..], &MONTHS].concat();
        let text = Run::at(&folder).env("COLUMNS", width).of(&args).good();
        let most: usize = width.parse().expect("a number");
        for line in text.lines() {
            assert!(line.chars().count() <= most, "{line}");
        }
        assert!(text.contains("Move by day, after sleep"), "{text}");
    }
}
