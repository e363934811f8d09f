//! A table of sites completed with a skyline for each row.

use super::{code, stderr};
use crate::program::{Folder, Run};
use std::{fs, path::Path, process::Output};

/// How each skyline is computed.
const HOW: [&str; 4] = ["--distance-km", "20", "--step", "15"];

/// A tile of 1201 by 1201 posts over made hills.
fn tile(south: i32, west: i32) -> Vec<u8> {
    let mut bytes = Vec::new();
    for row in (0..=1200).rev() {
        for column in 0..=1200 {
            let (y, x) = (1200 * south + row, 1200 * west + column);
            let height = 400 + (y * y / 977 + x * 3) % 311 + (x / 17 + y / 29) % 157;
            let height = i16::try_from(height).expect("a height");
            bytes.extend(height.to_be_bytes());
        }
    }
    bytes
}

/// A folder with four tiles in a square, and a GeoTIFF of the Alps elsewhere.
fn with_land() -> Folder {
    let folder = Folder::new();
    let land = folder.path("land");
    fs::create_dir(&land).expect("a folder");
    for (south, west) in [(10, 20), (10, 21), (11, 20), (11, 21)] {
        let name = format!("N{south}E0{west}.hgt");
        fs::write(land.join(name), tile(south, west)).expect("a tile");
    }
    let name = "skyline-utm32.tif";
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/elevation/");
    fs::copy(format!("{root}{name}"), land.join(name)).expect("a copy");
    folder
}

fn run(folder: &Folder, args: &[&str]) -> Output {
    Run::at(folder).output(&[&["sites", "horizon"], args, &HOW].concat())
}

fn text(folder: &Folder, name: &str) -> String {
    fs::read_to_string(folder.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn column(table: &str, name: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let at = header.iter().position(|heading| heading == name);
    let at = at.unwrap_or_else(|| panic!("no {name} in {header:?}"));
    reader
        .records()
        .map(|row| row.expect("a row")[at].to_owned())
        .collect()
}

/// Places far apart and near, on the border of tiles, with views and subjects,
/// and one that knows its elevation.
const PLACES: &str = "name,view,latitude_deg,longitude_deg,elevation_m,time_zone,\
                      subject.latitude_deg,subject.longitude_deg,subject.height_m,Guide\n\
                      Far corner,,11.7,21.8,,UTC,,,,a\n\
                      Corner,,10.3,20.3,,UTC,,,,\"b, c\"\n\
                      Edge,north,11.0,21.0,512.5,UTC,11.02,21.01,30,d\n\
                      Edge,south,11.0,21.0,512.5,UTC,10.98,20.99,,e\n\
                      ../x/Ö \"Q\",,10.9,20.95,,UTC,,,,f\n\
                      Alp,,46.525,8.027,,Europe/Zurich,,,,g\n";

#[test]
fn each_row_gets_the_skyline_that_the_site_alone_would_get() {
    let folder = with_land();
    folder.file("places.csv", PLACES);
    let how = ["--distance-km", "1.5", "--step", "15"];
    let args = ["sites", "horizon", "places.csv", "land", "-o", "done.csv"];
    let ended = Run::at(&folder).output(&[&args[..], &how].concat());
    assert_eq!(code(&ended), 0, "{}", stderr(&ended));
    let table = text(&folder, "done.csv");
    let files = column(&table, "skyline.file");
    assert_eq!(
        files,
        [
            "done.skylines/1-far-corner.skyline.csv",
            "done.skylines/2-corner.skyline.csv",
            // One place, one skyline.
            "done.skylines/3-edge-north.skyline.csv",
            "done.skylines/3-edge-north.skyline.csv",
            "done.skylines/5-x-ö-q.skyline.csv",
            "done.skylines/6-alp.skyline.csv",
        ]
    );
    assert_eq!(column(&table, "Guide"), ["a", "b, c", "d", "e", "f", "g"]);
    let elevations = column(&table, "elevation_m");
    assert_eq!(elevations[2], "512.5", "what is given stays");
    assert_eq!(elevations[5], "1907");
    let subjects = column(&table, "skyline.subject_file");
    let rows = PLACES.lines().skip(1).zip(files.iter().zip(&subjects));
    for (number, (line, (file, subject))) in rows.enumerate() {
        // A site file of that row alone.
        let fields: Vec<&str> = line.split(',').collect();
        let mut site = format!(
            "latitude_deg = {}\nlongitude_deg = {}\n",
            fields[2], fields[3]
        );
        if !subject.is_empty() {
            site += &format!(
                "subject.latitude_deg = {}\nsubject.longitude_deg = {}\n",
                fields[6], fields[7]
            );
            if !fields[8].is_empty() {
                site += &format!("subject.height_m = {}\n", fields[8]);
            }
        }
        site += "time_zone = \"UTC\"\n";
        let name = format!("row{number}.toml");
        folder.file(&name, site);
        let alone =
            Run::at(&folder).output(&[&["sites", "horizon", &name, "land"], &how[..]].concat());
        assert_eq!(code(&alone), 0, "{}", stderr(&alone));
        let same = format!("row{number}.skyline.csv");
        assert_eq!(text(&folder, file), text(&folder, &same), "{line}");
        let same = format!("row{number}.subject-skyline.csv");
        assert_eq!(subject.is_empty(), !folder.path(&same).exists(), "{line}");
        if !subject.is_empty() {
            assert_eq!(text(&folder, subject), text(&folder, &same), "{line}");
        }
    }
    assert_eq!(subjects.iter().filter(|name| !name.is_empty()).count(), 2);
    // The table is read as it is, skylines included.
    let check = Run::at(&folder).output(&["sites", "check", "done.csv"]);
    assert_eq!(code(&check), 0, "{}", stderr(&check));
    let scan = [
        "scan", "done.csv", "--by", "site", "--light", "dark", "--format", "csv", "--quiet",
    ];
    let range = ["--from", "2027-05-01", "--nights", "20"];
    let scanned = Run::at(&folder).of(&[&scan[..], &range].concat()).good();
    let flat = [
        "scan",
        "places.csv",
        "--by",
        "site",
        "--light",
        "dark",
        "--format",
        "csv",
        "--quiet",
    ];
    let flat = Run::at(&folder).of(&[&flat[..], &range].concat()).good();
    assert_eq!(scanned.lines().count(), 7);
    assert_ne!(column(&scanned, "minutes"), column(&flat, "minutes"));
}

#[test]
fn a_site_without_ground_fails_the_run_or_is_left_out() {
    let folder = with_land();
    folder.file(
        "places.csv",
        "name;latitude_deg;longitude_deg;time_zone;Guide\nSea;-5,5;100,25;UTC;x\n\
         Good;10,5;20,5;UTC;y\nwrong;95;20;UTC;z\nToo near the end;11,99;21,5;UTC;w\n",
    );
    let args = ["places.csv", "land", "-o", "done.csv"];
    let before = folder.names();
    // Without the wrong row first.
    let ended = run(&folder, &args);
    assert_eq!(code(&ended), 2);
    assert!(
        stderr(&ended).contains("places.csv:4:2: latitude_deg"),
        "{}",
        stderr(&ended)
    );
    assert_eq!(folder.names(), before);
    let ended = run(&folder, &[&args[..], &["--keep-going"]].concat());
    let told = stderr(&ended);
    assert_eq!(code(&ended), 3, "{told}");
    assert!(
        told.contains("places.csv:2: Sea: from the camera: found no tile that holds -5.5, 100.25"),
        "{told}"
    );
    assert!(told.ends_with("2 of 4 sites left out.\n"), "{told}");
    assert!(told.contains("1 with ground missing on the way"), "{told}");
    // The signs of the table stay.
    let table = text(&folder, "done.csv");
    let lines: Vec<&str> = table.lines().collect();
    assert_eq!(
        lines[0],
        "name;latitude_deg;longitude_deg;time_zone;Guide;skyline.file;elevation_m"
    );
    assert!(lines[1].starts_with("Good;10,5;20,5;UTC;y;done.skylines/2-good.skyline.csv;"));
    assert!(lines[2].starts_with("Too near the end;"));
    assert_eq!(lines.len(), 3);
}

#[test]
fn nothing_is_left_of_a_run_that_fails() {
    let folder = with_land();
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg\nGood,10.5,20.5\nSea,-5.5,100.25\n",
    );
    let before = folder.names();
    let ended = run(&folder, &["places.csv", "land", "-o", "done.csv"]);
    assert_eq!(code(&ended), 2);
    assert!(stderr(&ended).starts_with("rakelight: 1 site has no skyline\nplaces.csv:3: Sea: "));
    assert_eq!(folder.names(), before);
    folder.file(
        "sea.csv",
        "name,latitude_deg,longitude_deg\nSea,-5.5,100.25\n",
    );
    let before = folder.names();
    let ended = run(
        &folder,
        &["sea.csv", "land", "-o", "done.csv", "--keep-going"],
    );
    assert_eq!(code(&ended), 4);
    assert_eq!(folder.names(), before);
}

#[test]
fn what_is_there_is_kept_unless_told() {
    let folder = with_land();
    folder.file("mine.csv", "azimuth_deg,altitude_deg\n0,5\n");
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg,time_zone,skyline.file\n\
         Mine,10.5,20.5,UTC,mine.csv\nOther,10.6,20.6,UTC,\n",
    );
    let args = ["places.csv", "land", "-o", "done.csv"];
    assert_eq!(code(&run(&folder, &args)), 0);
    assert_eq!(
        column(&text(&folder, "done.csv"), "skyline.file"),
        ["mine.csv", "done.skylines/2-other.skyline.csv"]
    );
    // Neither the table nor its skylines are written over.
    let again = run(&folder, &args);
    assert_eq!(code(&again), 2);
    let told = stderr(&again);
    assert!(
        told.contains("2-other.skyline.csv: found a file of that name"),
        "{told}"
    );
    assert!(told.contains("add --replace"), "{told}");
    let again = run(&folder, &[&args[..], &["--replace"]].concat());
    assert_eq!(code(&again), 2);
    assert!(
        stderr(&again).contains("done.csv: found a table of sites"),
        "{}",
        stderr(&again)
    );
    let itself = run(&folder, &["places.csv", "land", "-o", "places.csv"]);
    assert_eq!(code(&itself), 2);
    assert!(
        stderr(&itself).contains("a file that this command reads"),
        "{}",
        stderr(&itself)
    );
    fs::remove_file(folder.path("done.csv")).expect("it");
    let again = run(&folder, &[&args[..], &["--replace", "--quiet"]].concat());
    assert_eq!((code(&again), stderr(&again)), (0, String::new()));
    assert_eq!(
        column(&text(&folder, "done.csv"), "skyline.file"),
        [
            "done.skylines/1-mine.skyline.csv",
            "done.skylines/2-other.skyline.csv"
        ]
    );
    assert_eq!(text(&folder, "mine.csv").lines().count(), 2);
}

#[test]
fn a_table_elsewhere_that_would_lose_its_files_is_refused_whole() {
    let folder = with_land();
    folder.file("times.csv", "date,from,to\n2027-05-28,21:00,02:30\n");
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg,time_zone,brief.times\nA,10.5,20.5,UTC,times.csv\n",
    );
    fs::create_dir(folder.path("out")).expect("a folder");
    let ended = run(&folder, &["places.csv", "land", "-o", "out/done.csv"]);
    assert_eq!(code(&ended), 2, "{}", stderr(&ended));
    assert!(stderr(&ended).contains("times.csv"), "{}", stderr(&ended));
    let left = fs::read_dir(folder.path("out")).expect("a folder").count();
    assert_eq!(left, 0, "nothing is left in it");
    assert_eq!(
        code(&run(&folder, &["places.csv", "land", "-o", "done.csv"])),
        0
    );
    assert!(Path::new(&folder.path("done.skylines")).is_dir());
}
