//! Places and cameras as they are given: typed, read, piped in, made anew.

use super::{code, rakelight, scan, stderr, stdout};
use crate::program::{Folder, Run};
use serde_json::Value;
use std::{fs, io::Write, process::Stdio};

#[test]
fn swapped_coordinates_are_asked_about() {
    let folder = Folder::new();
    let swapped = folder.file(
        "swapped.toml",
        "latitude_deg = 139.2\nlongitude_deg = -31.4\n",
    );
    let output = rakelight(&["sites", "check", &swapped]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("swapped"), "{}", stderr(&output));
    let place = rakelight(&scan(&["--place", "139.2,-31.4"]));
    assert_eq!(code(&place), 2);
    assert!(stderr(&place).contains("swapped"), "{}", stderr(&place));
}

#[test]
fn a_table_of_sites_from_standard_input() {
    let mut child = Run::here()
        .command()
        .args([
            "scan",
            "-",
            "--from",
            "2027-01-01",
            "--to",
            "2027-12-31",
            "--format",
            "csv",
        ])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    child
        .stdin
        .take()
        .expect("its input")
        .write_all(b"name,latitude_deg,longitude_deg,subject.bearing_deg\nNorth,37.2,-113,180\nSouth,-31,139,\n")
        .expect("it reads");
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let text = stdout(&output);
    let (north, south) = (text.find("\nNorth,"), text.find("\nSouth,"));
    assert!(
        north < south && north.is_some(),
        "in the order of the input"
    );
}

#[test]
fn the_built_in_site_is_said_to_be_one() {
    let output = rakelight(&["scan", "--from", "2027-05-01", "--to", "2027-07-31"]);
    assert_eq!(code(&output), 0);
    assert!(stderr(&output).contains("built-in demo site Tinaja Mesa, an invented place"));
    let hushed = rakelight(&[
        "scan",
        "--from",
        "2027-05-01",
        "--to",
        "2027-07-31",
        "--quiet",
    ]);
    assert_eq!(stderr(&hushed), "");
}

#[test]
fn a_camera_that_cannot_be_is_refused_where_it_is_read() {
    let folder = Folder::new();
    let refused = |camera: &str, told: &str| {
        let text = format!("latitude_deg = -31\nlongitude_deg = 139\n[camera]\n{camera}\n");
        let output = rakelight(&["sites", "check", &folder.file("camera.toml", &text)]);
        assert_eq!(code(&output), 2, "{camera}");
        assert!(stderr(&output).contains(told), "{}", stderr(&output));
    };
    refused(
        "focal_mm = 4000",
        "camera.toml:4:12: camera.focal_mm: found 4000",
    );
    refused("sensor_mm = [300, 24]", "expected a number from 1 to 200");
    refused(
        "pixels = [20, 10]",
        "camera.toml:4:10: camera.pixels: found 36 mm over 20 pixels, 1800.000 micrometres",
    );
    refused(
        "pixels = [900000, 10]",
        "expected 0.5 to 50 micrometres a pixel",
    );
}

#[test]
fn a_new_site_file_with_a_place_is_good_and_never_written_over_another() {
    let folder = Folder::new();
    let path = folder.path("mine.toml").display().to_string();
    assert_eq!(code(&rakelight(&["sites", "new", &path])), 0);
    let unset = std::fs::read_to_string(&path).expect("the new file");
    let filled_in = unset.replace("\nlatitude_deg = 0.0", "\nlatitude_deg = 47.1");
    std::fs::write(&path, filled_in).expect("the file");
    assert_eq!(code(&rakelight(&["sites", "check", &path])), 0);
    let again = rakelight(&["sites", "new", &path]);
    assert_eq!(code(&again), 2);
    assert!(stderr(&again).contains("stays as it is"));
}

#[test]
fn a_new_site_file_is_found_by_its_name() {
    let folder = Folder::new();
    let path = folder.path("old tank").display().to_string();
    let made = rakelight(&["sites", "new", &path]);
    assert_eq!(code(&made), 0);
    assert!(folder.path("old tank.toml").exists());
    // What is said to be typed next can be typed so.
    assert!(stderr(&made).contains(&format!("sites check \"{path}.toml\"")));
    // Nobody's place is where a new file puts it.
    let checked = rakelight(&["sites", "check", &path]);
    assert_eq!(code(&checked), 2, "{}", stderr(&checked));
    let message = stderr(&checked);
    assert!(message.contains("latitude_deg: found 0, 0, a point of the Atlantic"));
    assert!(message.contains("fill in latitude_deg and longitude_deg"));
    assert_eq!(message.lines().count(), 2, "{message}");
}

#[test]
fn a_computed_skyline_is_read_back_by_a_site() {
    // A made 3 arc-second tile: a wall of 300 m two kilometres to the north.
    let folder = Folder::new();
    let mut bytes = Vec::with_capacity(1201 * 1201 * 2);
    for row in 0..1201_i32 {
        for _ in 0..1201 {
            bytes.extend(i16::to_be_bytes(if row == 576 { 300 } else { 0 }));
        }
    }
    let tile = folder.path("S32E139.hgt");
    fs::write(&tile, bytes).expect("a tile");
    let profile = folder.path("skyline.csv").display().to_string();
    let output = rakelight(&[
        "sites",
        "skyline",
        &tile.display().to_string(),
        "--place",
        "-31.5,139.5",
        "--step",
        "5",
        "--distance-km",
        "20",
        "-o",
        &profile,
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let site = folder.file(
        "site.toml",
        "latitude_deg = -31.5\nlongitude_deg = 139.5\n[skyline]\nfile = \"skyline.csv\"\n",
    );
    let checked = rakelight(&["sites", "check", &site]);
    assert_eq!(code(&checked), 0, "{}", stderr(&checked));
}

/// Where clocks change at a border a brief file tells the zone, of a place that
/// is typed and of the points of a map; it is what the error asks for.
#[test]
fn a_brief_file_gives_the_zone_at_a_border() {
    let folder = Folder::new();
    let map = folder.file(
        "hike.gpx",
        "<gpx version=\"1.1\"><wpt lat=\"37\" lon=\"-112\"/></gpx>",
    );
    let sky = |more: &[&str]| {
        let time = ["sky", "--time=2027-05-13T12:00Z", "--format=json"];
        rakelight(&[&time, more].concat())
    };
    let refused = sky(&[&map]);
    assert_eq!(code(&refused), 2);
    let told = stderr(&refused);
    let (_, lines) = told
        .trim_end()
        .split_once("give --brief a file with ")
        .unwrap_or_else(|| panic!("{told}"));
    let lines: Vec<&str> = lines.split(" or ").collect();
    assert_eq!(lines.len(), 2);
    for line in lines {
        let brief = folder.file("b.toml", line);
        for place in [&map, "--place=37,-112"] {
            let answer = sky(&[place, "--brief", &brief]);
            assert_eq!(code(&answer), 0, "{}", stderr(&answer));
            let answer: Value = serde_json::from_str(&stdout(&answer)).expect("JSON");
            let zone = answer["site"]["time_zone"].as_str().expect("a zone");
            assert!(line.contains(&format!("\"{zone}\"")), "{zone} for {line}");
        }
        let checked = rakelight(&["sites", "check", &map, "--brief", &brief]);
        assert_eq!(code(&checked), 0, "{}", stderr(&checked));
    }
}

/// A skyline has no clock: no zone is asked for where two meet.
#[test]
fn a_skyline_needs_no_zone() {
    let folder = Folder::new();
    let tile = folder.path("N36W112.hgt");
    fs::write(&tile, vec![0; 1201 * 1201 * 2]).expect("a tile");
    let output = rakelight(&[
        "sites",
        "skyline",
        &tile.display().to_string(),
        "--place=36.985,-111.9",
        "--step=30",
        "--distance-km=1",
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
}
