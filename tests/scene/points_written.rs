//! GPX and KML that the program writes, read back by other libraries and by
//! itself, and compared with its GeoJSON.
#![cfg(feature = "cli")]

use crate::program;

use kml::{Kml, types::Geometry};
use program::{Folder, Run};
use rakelight::input::{Points, PointsForm};
use serde_json::Value;

/// A name that is markup to XML and HTML, a formula within, and more.
const NAMED: &str = "name = \"<b>A & B</b> 'q' 北\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\n\
    elevation_m = -12.5\ntime_zone = \"Australia/Adelaide\"\nnotes = \"a < b & <script>c</script>\"\n\
    [subject]\nname = \"]]> & <hut>\"\nbearing_deg = 90\ndistance_m = 200\nheight_m = 8\n\
    [brief]\nlight = \"dark\"\n";

/// A point as any of the readers gives it.
#[derive(Debug, Clone, PartialEq)]
struct Read {
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: Option<f64>,
    role: String,
    text: String,
}

fn of_gpx(text: &str) -> Vec<Read> {
    let gpx = gpx::read(text.as_bytes()).expect("GPX");
    assert_eq!(gpx.version, gpx::GpxVersion::Gpx11);
    let points = gpx.waypoints.into_iter();
    points
        .map(|point| Read {
            latitude_deg: point.point().y(),
            longitude_deg: point.point().x(),
            elevation_m: point.elevation,
            name: point.name.expect("a name"),
            role: point.type_.expect("a type"),
            text: point.description.expect("a description"),
        })
        .collect()
}

fn of_kml(text: &str) -> Vec<Read> {
    let whole: Kml<f64> = text.parse().expect("KML");
    let mut found = Vec::new();
    gather(whole, &mut found);
    found
}

fn gather(part: Kml<f64>, into: &mut Vec<Read>) {
    match part {
        Kml::KmlDocument(document) => {
            for part in document.elements {
                gather(part, into);
            }
        }
        Kml::Document { elements, .. } => {
            for part in elements {
                gather(part, into);
            }
        }
        Kml::Placemark(mark) => {
            let Some(Geometry::Point(point)) = mark.geometry else {
                panic!("no point: {mark:?}");
            };
            let role = mark
                .children
                .iter()
                .find(|child| child.name == "ExtendedData");
            let value = role.and_then(|role| role.children.first()?.children.first());
            into.push(Read {
                name: mark.name.expect("a name"),
                latitude_deg: point.coord.y,
                longitude_deg: point.coord.x,
                elevation_m: point.coord.z,
                role: value
                    .and_then(|value| value.content.clone())
                    .expect("a role"),
                text: mark.description.expect("a description"),
            });
        }
        _ => {}
    }
}

/// The points of the map in GeoJSON: role, longitude, latitude.
fn of_geojson(text: &str) -> Vec<(String, f64, f64)> {
    let map: Value = serde_json::from_str(text).expect("JSON");
    let features = map["features"].as_array().expect("features");
    features
        .iter()
        .filter(|feature| feature["geometry"]["type"] == "Point")
        .map(|feature| {
            let at = &feature["geometry"]["coordinates"];
            let role = feature["properties"]["role"].as_str().expect("a role");
            let number = |index: usize| at[index].as_f64().expect("a number");
            (role.to_owned(), number(0), number(1))
        })
        .collect()
}

const COMMANDS: [&[&str]; 3] = [
    &["tripod", "s.toml", "--time", "2027-06-05T21:30"],
    &["night", "s.toml", "--on", "2027-06-05"],
    &[
        "scan",
        "s.toml",
        "--from",
        "2027-06-01",
        "--to",
        "2027-08-31",
    ],
];

fn written(args: &[&str], format: &str) -> String {
    let folder = Folder::new();
    folder.file("s.toml", NAMED);
    let mut args = args.to_vec();
    args.extend(["--format", format]);
    Run::at(&folder).of(&args).good()
}

#[test]
fn other_readers_find_the_same_points_in_both_forms() {
    for command in COMMANDS {
        let (gpx_text, kml_text) = (written(command, "gpx"), written(command, "kml"));
        let (gpx, kml) = (of_gpx(&gpx_text), of_kml(&kml_text));
        let bare = |read: &Read| Read {
            text: String::new(),
            ..read.clone()
        };
        let bare_of = |points: &[Read]| points.iter().map(bare).collect::<Vec<_>>();
        assert_eq!(bare_of(&gpx), bare_of(&kml), "{command:?}");
        let roles: Vec<&str> = gpx.iter().map(|point| point.role.as_str()).collect();
        match command[0] {
            "tripod" => assert_eq!(roles, ["tripod", "camera", "subject"]),
            _ => assert_eq!(roles, ["camera", "subject"]),
        }
        let camera = gpx
            .iter()
            .find(|point| point.role == "camera")
            .expect("a camera");
        assert_eq!(camera.name, "<b>A & B</b> 'q' 北");
        assert_eq!((camera.latitude_deg, camera.longitude_deg), (-31.4, 139.2));
        assert_eq!(camera.elevation_m, Some(-12.5));
        assert!(camera.text.ends_with("Notes: a < b & <script>c</script>"));
        let subject = gpx
            .iter()
            .find(|point| point.role == "subject")
            .expect("a subject");
        assert_eq!(subject.name, "]]> & <hut>");
        // They stand where the map has them.
        for (role, longitude_deg, latitude_deg) in of_geojson(&written(command, "geojson")) {
            let Some(point) = gpx.iter().find(|point| role == point.role) else {
                panic!("no {role} in {command:?}");
            };
            assert!((point.latitude_deg - latitude_deg).abs() < 1e-7);
            assert!((point.longitude_deg - longitude_deg).abs() < 1e-7);
        }
        // In KML a description is HTML, in which no name is a tag.
        for (gpx, kml) in gpx.iter().zip(&kml) {
            let html = gpx
                .text
                .replace('&', "&amp;")
                .replace('<', "&lt;")
                .replace('>', "&gt;");
            let html = html
                .replace('\'', "&apos;")
                .replace('"', "&quot;")
                .replace('\n', "<br>");
            assert_eq!(kml.text, html);
        }
    }
}

#[test]
fn what_is_written_is_read_as_sites() {
    for (form, format) in [(PointsForm::Gpx, "gpx"), (PointsForm::Kml, "kml")] {
        let text = written(COMMANDS[0], format);
        let sites: Vec<_> = Points::new("m", form, text.as_bytes())
            .map(|site| site.expect("a site"))
            .collect();
        let names: Vec<&str> = sites.iter().map(|site| site.name.as_str()).collect();
        let camera = "<b>A & B</b> 'q' 北";
        assert_eq!(
            names,
            [&format!("{camera}: tripod"), camera, "]]> & <hut>"],
            "{format}"
        );
        assert_eq!(sites[1].elevation_m, -12.5);
        // The description of KML is HTML; one of GPX is a text that may be.
        if form == PointsForm::Kml {
            let notes = sites[1].notes.as_deref();
            assert_eq!(notes, Some("Notes: a < b & <script>c</script>"));
        }
    }
}

#[test]
fn the_windows_of_a_scan_stand_in_the_description_of_its_camera() {
    let text = written(COMMANDS[2], "gpx");
    let camera = of_gpx(&text).remove(0);
    let mut lines = camera.text.lines();
    let csv = written(COMMANDS[2], "csv");
    let mut rows = csv::Reader::from_reader(csv.as_bytes());
    let columns = rows.headers().expect("a header").clone();
    let column = |row: &csv::StringRecord, name: &str| {
        let at = columns.iter().position(|column| column == name);
        row[at.unwrap_or_else(|| panic!("no column {name}"))].to_owned()
    };
    let rows: Vec<csv::StringRecord> = rows.records().map(|row| row.expect("a row")).collect();
    assert!(rows.len() > 20, "{} windows", rows.len());
    let found = rows.len();
    assert_eq!(
        lines.next(),
        Some(&*format!(
            "{found} windows in 92 evenings, times in Australia/Adelaide"
        ))
    );
    for row in rows.iter().take(20) {
        let line = lines.next().expect("a line");
        let score: f64 = column(row, "score").parse().expect("a score");
        let night = column(row, "night");
        assert!(line.contains(&format!(" {night}: ")), "{line}");
        assert!(line.contains("+09:30, best "), "{line}");
        let told = line
            .split("score ")
            .nth(1)
            .and_then(|rest| rest.split(';').next());
        let told: f64 = told.expect("a score").parse().expect("a number");
        assert!((told - score).abs() <= 0.51, "{line} {score}");
    }
    assert_eq!(lines.next(), Some(&*format!("... and {} more", found - 20)));
    assert_eq!(lines.next(), Some("Notes: a < b & <script>c</script>"));
    assert_eq!(lines.next(), None);
}

#[test]
fn the_ending_of_a_file_gives_the_form_and_own_files_may_be_written_over() {
    let folder = Folder::new();
    folder.file("s.toml", NAMED);
    folder.file("hike.gpx", "<gpx><wpt lat=\"1\" lon=\"2\"/></gpx>");
    folder.file("hike.kml", "<kml/>");
    folder.file(
        "hike.geojson",
        "{\"type\":\"FeatureCollection\",\"features\":[]}",
    );
    let scan = |out: &str| {
        let dates = ["--from", "2027-06-01", "--to", "2027-06-30"];
        let mut args = vec!["scan", "s.toml", "-o", out];
        args.extend(dates);
        Run::at(&folder).of(&args)
    };
    for ending in ["gpx", "kml", "geojson"] {
        let name = format!("out.{ending}");
        for _ in 0..2 {
            let ended = scan(&name);
            assert_eq!(ended.code, 0, "{}", ended.err);
        }
        let text = std::fs::read_to_string(folder.path(&name)).expect("a file");
        match ending {
            "gpx" => assert_eq!(of_gpx(&text).len(), 2),
            "kml" => assert_eq!(of_kml(&text).len(), 2),
            _ => {}
        }
        let foreign = format!("hike.{ending}");
        let before = std::fs::read(folder.path(&foreign)).expect("a file");
        let ended = scan(&foreign);
        if ending == "geojson" {
            // A map without a feature holds nothing to lose.
            assert_eq!(ended.code, 0);
            continue;
        }
        assert_eq!(ended.code, 2);
        assert!(ended.err.contains("found a map's points"), "{}", ended.err);
        assert_eq!(
            std::fs::read(folder.path(&foreign)).expect("a file"),
            before
        );
    }
}

#[test]
fn many_sites_stand_in_one_file_each_once() {
    let dates = [
        "--from",
        "2027-05-01",
        "--to",
        "2027-06-30",
        "--light",
        "dark",
    ];
    for more in [&[][..], &["--together"]] {
        let mut args = vec![
            "scan",
            "demo-sites/saltbush-tank.toml",
            "demo-sites/tinaja-mesa.toml",
        ];
        args.extend(dates);
        args.extend(more);
        args.extend(["--format", "gpx"]);
        let read = of_gpx(&Run::here().of(&args).out);
        let names: Vec<&str> = read.iter().map(|point| point.name.as_str()).collect();
        let expected = [
            "Saltbush Tank",
            "water tank on its stand",
            "Tinaja Mesa",
            "lone juniper on the rim",
        ];
        assert_eq!(names, expected, "{more:?}");
    }
}

const HIKE: &str = "<gpx version=\"1.1\"><wpt lat=\"-31.4\" lon=\"139.2\"><name>old mill</name></wpt>\
    <wpt lat=\"-31.5\" lon=\"139.3\"><name>ford</name></wpt>\
    <wpt lat=\"-31.6\" lon=\"139.4\"><name>ford</name></wpt><trk/></gpx>";
const BRIEF: &str = "time_zone = \"Australia/Adelaide\"\n[camera]\nfocal_mm = 11\nf_number = 1.8\n";

#[test]
fn a_point_is_meant_by_its_name_or_number_wherever_a_site_is_taken() {
    let (here, there) = (Folder::new(), Folder::new());
    there.file("hike.gpx", HIKE);
    here.file("b.toml", BRIEF);
    let run = |args: &[&str]| Run::at(&here).env("RAKELIGHT_SITES", there.text()).of(args);
    let night = |site: &str| run(&["night", site, "--on", "2027-06-05", "--brief", "b.toml"]);
    assert!(night("hike#old mill").good().contains("old mill  -31.4000"));
    assert!(night("hike#3").good().contains("ford  -31.6000"));
    let ford = night("hike#ford");
    assert_eq!(ford.code, 2);
    assert!(ford.err.contains("#2 or #3"), "{}", ford.err);
    // Commands in which few rules are typed take the same file.
    let at = ["--time", "2027-06-05T21:30", "--brief", "b.toml"];
    for command in ["sky", "exposure"] {
        let mut args = vec![command, "hike#OLD MILL"];
        args.extend(at);
        let ended = run(&args);
        assert!(!ended.err.contains("no time zone"), "{}", ended.err);
        assert!(ended.good().contains("f/1.8"), "{command}");
    }
    let mut place = vec!["sky", "--place=-31.4,139.2", "--format=json"];
    place.extend(at);
    let place = run(&place).good();
    assert!(place.contains("Australia/Adelaide"), "{place}");
    let listed = run(&["sites", "list"]).good();
    assert_eq!(
        listed
            .lines()
            .filter(|line| line.contains("hike.gpx"))
            .count(),
        3
    );
    let addresses = run(&["sites", "list", "--addresses=hike#"]).good();
    assert_eq!(addresses, "hike#old mill\nhike#ford\n");
    let checked = run(&["sites", "check", "hike"]);
    assert_eq!(checked.out.lines().count(), 3);
    assert!(checked.err.contains("left out 1 track"), "{}", checked.err);
}
