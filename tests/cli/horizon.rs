//! A site completed with its skylines and elevations from elevation files.

use super::{code, stderr};
use crate::program::{Folder, Run};
use std::fs;

const GROUND: [&str; 2] = ["skyline-utm32.tif", "degrees-i16-strips-none.tif"];

/// A folder with elevation files in `land`.
fn with_land() -> Folder {
    let folder = Folder::new();
    fs::create_dir(folder.path("land")).expect("a folder");
    for name in GROUND {
        let root = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/elevation/");
        fs::copy(format!("{root}{name}"), folder.path("land").join(name)).expect("a copy");
    }
    folder
}

fn complete(folder: &Folder, more: &[&str]) -> (i32, String) {
    let typed = [
        "sites",
        "horizon",
        "hut.toml",
        "land",
        "--distance-km",
        "1.5",
        "--step",
        "10",
    ];
    let args: Vec<&str> = typed.iter().chain(more).copied().collect();
    let output = Run::at(folder).output(&args);
    (code(&output), stderr(&output))
}

fn text(folder: &Folder, name: &str) -> String {
    fs::read_to_string(folder.path(name)).expect("a file")
}

#[test]
fn a_site_is_completed_and_used_and_its_text_stays() {
    let folder = with_land();
    let lines = [
        "# mine",
        "name = \"Hut\"   # the hut",
        "latitude_deg = 46.525",
        "longitude_deg = 8.027",
        "time_zone = \"Europe/Zurich\"",
        "",
        "[subject]   # it",
        "latitude_deg = 46.527",
        "longitude_deg = 8.03",
        "height_m = 10",
        "",
        "[brief]",
        "light = \"dark\"",
    ];
    let before = format!("\u{feff}{}\r\n", lines.join("\r\n"));
    folder.file("hut.toml", &before);
    let (ended, told) = complete(&folder, &[]);
    assert_eq!(ended, 0, "{told}");
    let after = text(&folder, "hut.toml");
    let added = [
        "elevation_m = 1907\r\n",
        "elevation_m = 1840\r\n",
        "\r\n[skyline]\r\nfile = \"hut.skyline.csv\"\r\n\
         subject_file = \"hut.subject-skyline.csv\"\r\n",
    ];
    let mut rest = after.clone();
    for part in added {
        assert_eq!(rest.matches(part).count(), 1, "{part:?} in {rest:?}");
        rest = rest.replacen(part, "", 1);
    }
    assert_eq!(rest, before);
    let good = Run::at(&folder).output(&["sites", "check", "hut.toml", "--elevation", "land"]);
    assert_eq!((code(&good), stderr(&good)), (0, String::new()));
    for name in ["hut.skyline.csv", "hut.subject-skyline.csv"] {
        assert_eq!(text(&folder, name).lines().count(), 37, "{name}");
    }
    // Again only with consent, and then nothing else changes.
    let (ended, told) = complete(&folder, &[]);
    assert_eq!(ended, 2);
    assert!(told.contains("add --replace"), "{told}");
    let (ended, _) = complete(&folder, &["--replace", "--eye-height-m", "30"]);
    assert_eq!(ended, 0);
    assert_eq!(text(&folder, "hut.toml"), after);
}

#[test]
fn each_view_gets_the_skyline_of_its_subject() {
    let folder = with_land();
    folder.file(
        "hut.toml",
        "latitude_deg = 46.525\nlongitude_deg = 8.027\ntime_zone = \"Europe/Zurich\"\n\
         subject.bearing_deg = 30\nsubject.distance_m = 200\n\n# the views\n\
         [[view]]\nname = \"North wall\"\nsubject.bearing_deg = 10\n\
         subject.distance_m = 300 # far\n\n[[view]]\nname = \"own\"\n\n\
         [[view]]\nname = \"no distance\"\nsubject.bearing_deg = 60\n",
    );
    let (ended, told) = complete(&folder, &[]);
    assert_eq!(ended, 0, "{told}");
    assert!(
        told.contains("no distance: no skyline from the subject"),
        "{told}"
    );
    assert_eq!(
        text(&folder, "hut.toml"),
        "latitude_deg = 46.525\nlongitude_deg = 8.027\ntime_zone = \"Europe/Zurich\"\n\
         subject.bearing_deg = 30\nsubject.distance_m = 200\nelevation_m = 1907\n\
         skyline.file = \"hut.skyline.csv\"\n\
         skyline.subject_file = \"hut.subject-skyline.csv\"\n\n# the views\n\
         [[view]]\nname = \"North wall\"\nsubject.bearing_deg = 10\n\
         subject.distance_m = 300 # far\n\
         skyline.subject_file = \"hut.north-wall.subject-skyline.csv\"\n\n\
         [[view]]\nname = \"own\"\n\n\
         [[view]]\nname = \"no distance\"\nsubject.bearing_deg = 60\n"
    );
    let good = Run::at(&folder).output(&["sites", "check", "hut.toml"]);
    assert_eq!(code(&good), 0, "{}", stderr(&good));
}

#[test]
fn an_elevation_off_the_ground_is_told_and_kept() {
    let folder = with_land();
    let site = "name = \"Hut\"\nlatitude_deg = 46.525\nlongitude_deg = 8.027\n\
                elevation_m = 1800\ntime_zone = \"Europe/Zurich\"\n";
    folder.file("hut.toml", site);
    let told = "Hut: elevation_m is 1800 m (0 where it is not given), the elevation files put the \
                ground at 1907 m, more than 30 m apart: check both, and the coordinates";
    let checked = Run::at(&folder).output(&["sites", "check", "hut.toml", "--elevation", "land"]);
    assert_eq!((code(&checked), stderr(&checked)), (0, format!("{told}\n")));
    let (ended, said) = complete(&folder, &[]);
    assert_eq!(ended, 0);
    assert!(said.contains(told), "{said}");
    assert!(text(&folder, "hut.toml").starts_with(site));
    // Nothing is known of a place elsewhere.
    let far = ["sites", "check", "good.toml", "--elevation", "land"];
    folder.file(
        "good.toml",
        "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"Australia/Adelaide\"\n",
    );
    let checked = Run::at(&folder).output(&far);
    let told = stderr(&checked);
    assert!(
        told.contains("the elevation files do not know the ground at -31.4, 139.2"),
        "{told}"
    );
}
