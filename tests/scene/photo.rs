//! Photographs: what their Exif says, against ExifRead
//! (`tests/reference/photos.csv`), and what `sky --photo` makes of it.

use crate::common;

use crate::program;

use common::rows;
use program::{Folder, HERE, Run};
use rakelight::input::parse_photo;
use serde_json::Value;
use std::fs;

fn path(name: &str) -> String {
    format!("{HERE}/tests/data/photos/{name}")
}

#[test]
fn exif_is_read_as_another_library_reads_it() {
    let rows = rows("photos.csv");
    assert!(rows.len() >= 13);
    for row in rows {
        let file = row.text("file");
        let photo = parse_photo(fs::read(path(file)).expect("a picture")).expect(file);
        let said = |value: Option<f64>, key: &str| match row.text(key) {
            "" => assert_eq!(value, None, "{file} {key}"),
            _ => {
                let value = value.unwrap_or_else(|| panic!("{file}: no {key}"));
                assert!(
                    (value - row.number(key)).abs() < 1e-6,
                    "{file} {key} {value}"
                );
            }
        };
        said(photo.place_deg.map(|place| place.0), "latitude_deg");
        said(photo.place_deg.map(|place| place.1), "longitude_deg");
        said(photo.elevation_m, "elevation_m");
        said(photo.focal_mm, "focal_mm");
        said(photo.f_number, "f_number");
        said(photo.shutter_s, "shutter_s");
        said(photo.iso.map(f64::from), "iso");
        let time = |time: Option<chrono::NaiveDateTime>| {
            let form = "%Y-%m-%dT%H:%M:%S%.f";
            time.map_or(String::new(), |time| time.format(form).to_string())
        };
        let clock = time(photo.clock);
        assert_eq!(
            clock.trim_end_matches('0'),
            row.text("clock").trim_end_matches('0'),
            "{file}"
        );
        assert_eq!(time(photo.gps_time), row.text("gps_utc"), "{file}");
        let offset = photo.offset_minutes.map_or(String::new(), |minutes| {
            rakelight::scene::offset_text(60 * minutes)
        });
        assert_eq!(offset, row.text("offset"), "{file}");
    }
}

fn json(args: &[&str]) -> Value {
    let ended = Run::here().of(&[&["sky", "--format", "json"], args].concat());
    assert_eq!(ended.code, 0, "{}", ended.err);
    serde_json::from_str(&ended.out).expect("JSON")
}

fn text(args: &[&str]) -> String {
    let ended = Run::here().wide(1000).of(&[&["sky"], args].concat());
    assert_eq!(ended.code, 0, "{}", ended.err);
    ended.out
}

fn refusal(args: &[&str]) -> String {
    let ended = Run::here().of(&[&["sky"], args].concat());
    assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{}", ended.err);
    ended.err
}

/// The photo's instant and place give the answer that time and place give when
/// they are typed.
#[test]
fn the_sky_of_a_photo_is_that_of_its_time_and_place() {
    let typed = json(&[
        "--place",
        "37.18,-113.42,1900",
        "--time",
        "2027-05-29T03:45",
    ]);
    for file in [
        "whole.jpg",
        "whole.tif",
        "whole.png",
        "clock.jpg",
        "home-clock.jpg",
        "winter-offset.jpg",
    ] {
        let photo = json(&["--photo", &path(file)]);
        for key in ["time_utc", "sun", "moon", "target", "light", "site"] {
            assert_eq!(photo[key], typed[key], "{file} {key}");
        }
    }
    assert!(typed.get("photo").is_none());
}

#[test]
fn the_clock_that_counts_is_the_best_there_is() {
    for (file, from, ahead_s) in [
        ("whole.jpg", "gps", 0.25),
        ("clock.jpg", "zone", 0.0),
        ("home-clock.jpg", "gps", 95.0),
        ("winter-offset.jpg", "offset", 0.0),
    ] {
        let photo = &json(&["--photo", &path(file)])["photo"];
        assert_eq!(photo["time_from"], from, "{file}");
        let found = photo["clock_ahead_s"].as_f64().expect("seconds");
        assert!((found - ahead_s).abs() <= 0.5, "{file} {found}");
    }
    let home = text(&["--photo", &path("home-clock.jpg")]);
    assert!(
        home.contains("The camera's clock was 1 min 35 s ahead of GPS time; GPS time counts"),
        "{home}"
    );
    assert!(home.contains("The camera's offset from UTC was +02:00, that of America/Denver -06:00; GPS time counts"), "{home}");
    let winter = text(&["--photo", &path("winter-offset.jpg")]);
    assert!(
        winter.contains(
            "was -07:00, that of America/Denver -06:00; the camera's clock with its offset counts"
        ),
        "{winter}"
    );
    let whole = text(&["--photo", &path("whole.jpg")]);
    assert!(!whole.contains("counts"), "{whole}");
    // A time that is typed counts before all of them.
    let typed = json(&["--photo", &path("whole.jpg"), "--time", "2027-05-29T04:45"]);
    assert_eq!(typed["time_utc"], "2027-05-29T10:45:00Z");
    assert_eq!(typed["photo"]["time_from"], "given");
    assert_eq!(typed["photo"]["clock_ahead_s"], -3600.0);
}

/// Stops are differences of exposure value: f/2.8 for 20 s at ISO 3200 against
/// the plan's settings, by hand.
#[test]
fn settings_stand_beside_the_plan() {
    let whole = json(&["--photo", &path("whole.jpg")]);
    let number = |value: &Value| value.as_f64().expect("a number");
    let (photo, plan) = (&whole["photo"], &whole["camera"]);
    let stops = (20.0 / number(&plan["shutter_s"]) * 3200.0 / number(&plan["iso"])).log2();
    for key in ["sky_placement_stops", "land_placement_stops"] {
        let more = number(&photo[key]) - number(&plan[key]);
        assert!((more - stops).abs() < 0.011, "{key} {more} {stops}");
    }
    let longest_s = number(&photo["longest_shutter_s"]);
    assert!(number(&plan["shutter_s"]) <= longest_s && longest_s < 20.0);
    let words = text(&["--photo", &path("whole.jpg")]);
    let times = format!(
        "Its shutter was {:.1} times the longest without trails",
        20.0 / longest_s
    );
    assert!(words.contains(&times), "{words}");
    assert!(
        words.contains("The photo: f/2.8, 20 s, ISO 3200, 20 mm, time from its GPS"),
        "{words}"
    );
    let bare = json(&["--photo", &path("no-lens.jpg")]);
    assert_eq!(bare["photo"]["longest_shutter_s"], Value::Null);
    assert_eq!(bare["camera"], Value::Null);
}

#[test]
fn a_site_gives_what_the_photo_lacks() {
    let folder = Folder::new();
    let site = folder.file(
        "tank.toml",
        "latitude_deg = 37.3\nlongitude_deg = -113.42\nsubject.bearing_deg = 100\nelevation_m = 12\n",
    );
    let lacking = json(&["--photo", &path("no-place.jpg"), &site]);
    assert_eq!(lacking["site"]["latitude_deg"], 37.3);
    assert_eq!(lacking["time_utc"], "2027-05-29T09:45:00Z");
    assert_eq!(lacking["photo"]["from_site_m"], Value::Null);
    let moved = json(&["--photo", &path("whole.jpg"), &site]);
    assert_eq!(moved["site"]["latitude_deg"], 37.18);
    assert_eq!(moved["site"]["elevation_m"], 12.0);
    assert_eq!(moved["facing_deg"], 100.0);
    // 0.12 degrees of latitude are 13.3 km.
    let away_m = moved["photo"]["from_site_m"].as_f64().expect("metres");
    assert!((away_m - 13_317.0).abs() < 20.0, "{away_m}");
    let words = text(&["--photo", &path("whole.jpg"), &site]);
    assert!(
        words.contains("The photo was taken 13.3 km from the site"),
        "{words}"
    );
    let typed = json(&["--photo", &path("whole.jpg"), "--place", "37.3,-113.42"]);
    assert_eq!(typed["site"]["latitude_deg"], 37.3);
}

/// The photograph is its own site, which a brief file completes as any other;
/// where it lies between two zones, that of the file counts.
#[test]
fn a_brief_file_gives_what_the_photo_lacks() {
    let folder = Folder::new();
    let brief = folder.file(
        "b.toml",
        "time_zone = \"America/Phoenix\"\n[subject]\nbearing_deg = 100\n\
         [camera]\nsensor_mm = [23.5, 15.6]\npixels = [6000, 4000]\nfocal_mm = 11\n",
    );
    for file in ["whole.jpg", "border.jpg", "border-offset.jpg"] {
        let told = json(&["--photo", &path(file), "--brief", &brief]);
        assert_eq!(told["site"]["time_zone"], "America/Phoenix", "{file}");
        assert_eq!(told["site"]["time_zone_from"], "given", "{file}");
        assert_eq!(told["facing_deg"], 100.0, "{file}");
    }
    // The lens stays that of the photo, on the sensor of the file: a smaller one
    // with smaller pixels is held for less time.
    let whole = path("whole.jpg");
    let longest_s = |more: &[&str]| {
        let args = [&["--photo", &whole], more].concat();
        let told = json(&args);
        assert_eq!(told["photo"]["focal_mm"], 20.0);
        told["photo"]["longest_shutter_s"]
            .as_f64()
            .expect("seconds")
    };
    assert!(longest_s(&["--brief", &brief]) < longest_s(&[]));
    // An option counts before the file.
    let typed = json(&[
        "--photo",
        &path("border.jpg"),
        "--place=37,-112",
        "--time-zone=America/Denver",
        "--brief",
        &brief,
    ]);
    assert_eq!(typed["site"]["time_zone"], "America/Denver");
    assert_eq!(typed["facing_deg"], 100.0);
}

/// Without a site too, the bearings of a photo are told from the north asked for.
#[test]
fn the_bearings_of_a_photo_are_told_as_asked() {
    let table = |args: &[&str]| {
        let told = text(&[args, &["--bearings", "magnetic"]].concat());
        let lines = told.lines().skip(1).take(7);
        lines.collect::<Vec<_>>().join("\n")
    };
    let typed = table(&["--place=37.18,-113.42,1900", "--time=2027-05-29T03:45"]);
    assert!(typed.contains("°M"), "{typed}");
    assert_eq!(table(&["--photo", &path("whole.jpg")]), typed);
}

#[test]
fn what_is_missing_is_asked_for() {
    let place = refusal(&["--photo", &path("no-place.jpg")]);
    assert!(
        place.contains("add a SITE, or --place LATITUDE,LONGITUDE"),
        "{place}"
    );
    let time = refusal(&["--photo", &path("no-time.jpg")]);
    assert!(
        time.contains(
            "found a photo that does not say when it was taken, expected a time; add --time"
        ),
        "{time}"
    );
    let twice = refusal(&["--photo", &path("south.jpg")]);
    assert!(
        twice.contains("add --time 2027-04-04T02:30:00+10:30 or 2027-04-04T02:30:00+09:30"),
        "{twice}"
    );
    let border = refusal(&["--photo", &path("border.jpg")]);
    let (_, remedy) = border.split_once("; add ").expect("a remedy");
    let (first, _) = remedy.split_once(" or ").expect("two zones");
    let photo = path("border.jpg");
    let typed: Vec<&str> = ["--photo", &photo]
        .into_iter()
        .chain(first.split(' '))
        .collect();
    assert_eq!(json(&typed)["site"]["time_zone"], "America/Denver");
    let known = json(&["--photo", &path("border-offset.jpg")]);
    assert_eq!(known["site"]["time_zone"], "-07:00");
}

#[test]
fn bad_files_are_refused_in_words_of_our_own() {
    let folder = Folder::new();
    let whole = fs::read(path("whole.jpg")).expect("a picture");
    for (name, bytes) in [
        ("empty.jpg", &[][..]),
        ("text.jpg", b"not a picture"),
        ("short.jpg", &whole[..40]),
        ("start.tif", b"II*\0"),
    ] {
        let file = folder.file(name, bytes);
        let message = refusal(&["--photo", &file]);
        assert!(
            message.contains("expected a photograph with Exif"),
            "{message}"
        );
    }
    let none = refusal(&["--photo", &path("no-exif.jpg")]);
    assert!(none.contains("found a picture without Exif"), "{none}");
    // Nothing of a stranger's text comes out.
    let absurd = Run::here().of(&["sky", "--photo", &path("absurd.jpg")]);
    assert!(
        absurd.code == 2 && !absurd.err.contains(['\u{1b}', '|']),
        "{}",
        absurd.err
    );
    let gone = refusal(&["--photo", &folder.path("gone.jpg").display().to_string()]);
    assert!(gone.contains("no such file"), "{gone}");
    let directory = refusal(&["--photo", &folder.text()]);
    assert!(directory.contains("a directory"), "{directory}");
    let kept = folder.file("mine.jpg", &whole);
    let over = refusal(&["--photo", &kept, "-o", &kept]);
    assert!(over.contains("a file that this command reads"), "{over}");
    assert_eq!(fs::read(&kept).expect("the photo"), whole);
}

/// A raw file is Exif and then a picture of any size.
#[test]
fn a_huge_file_is_read_from_its_beginning() {
    let folder = Folder::new();
    let file = folder.file("raw.tif", fs::read(path("whole.tif")).expect("a picture"));
    let open = fs::File::options()
        .write(true)
        .open(&file)
        .expect("the file");
    open.set_len(1 << 40).expect("a hole");
    let huge = json(&["--photo", &file]);
    assert_eq!(huge["photo"]["iso"], 3200);
}

#[test]
fn exposure_and_chart_take_a_photo_too() {
    let photo = path("whole.jpg");
    let run = |args: &[&str]| {
        let ended = Run::here().wide(1000).of(args);
        assert_eq!(ended.code, 0, "{}", ended.err);
        ended.out
    };
    let sheet = run(&["exposure", "--photo", &photo]);
    assert!(
        sheet.contains("The photo: f/2.8, 20 s, ISO 3200, 20 mm"),
        "{sheet}"
    );
    let sheet = run(&["exposure", "--photo", &photo, "--format", "json"]);
    let sheet: Value = serde_json::from_str(&sheet).expect("JSON");
    let longest_s = |value: &Value| value.as_f64().expect("seconds");
    let of_sheet = longest_s(&sheet["shutter_limit_s"]);
    let of_photo = longest_s(&sheet["photo"]["longest_shutter_s"]);
    assert!((of_sheet - of_photo).abs() < 0.006, "{of_sheet} {of_photo}");
    assert_eq!(sheet["photo"], json(&["--photo", &photo])["photo"]);
    let picture = run(&["chart", "frame", "--photo", &photo]);
    assert!(
        picture.starts_with("<svg") && picture.contains("03:45"),
        "{picture:.300}"
    );
}
