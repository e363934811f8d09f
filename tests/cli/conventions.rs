//! Positions, lengths and bearings for people as they are asked for, and the
//! same typed in; numbers of machine formats stay as they are.

use super::{code, rakelight, stderr, stdout};
use crate::program::Folder;
use serde_json::Value;

const AT: [&str; 2] = ["--time", "2027-05-13T09:00Z"];

/// A number of the instant at a place, with more options.
fn instant(place: &str, more: &[&str]) -> Value {
    let mut args = vec!["sky", "--place", place, "--format", "json", "--quiet"];
    args.extend(AT);
    args.extend(more);
    let output = rakelight(&args);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    serde_json::from_str(&stdout(&output)).expect("JSON")
}

/// UTM and MGRS as pyproj 3.7.2 and mgrs 1.6.0 have them.
#[test]
fn the_place_that_is_printed_can_be_typed() {
    let folder = Folder::new();
    let site = folder.file("mesa.toml", "position = \"37.18341, -113.42527, 1900\"\n");
    for (notation, printed, digits_deg) in [
        ("decimal", "37.1834 -113.4253, 1900 m", 5e-5),
        ("dm", "37°11.005'N 113°25.516'W, 1900 m", 1e-5),
        ("dms", "37°11'00.3\"N 113°25'31.0\"W, 1900 m", 2e-5),
        ("geo", "geo:37.18341,-113.42527, 1900 m", 1e-5),
        ("iso6709", "+371100.3-1132531.0/, 1900 m", 2e-5),
        ("utm", "12 north 284711 4117974, 1900 m", 1e-5),
        ("mgrs", "12S TG 84710 17973, 1900 m", 1e-5),
    ] {
        let output = rakelight(&["sites", "check", &site, "--coordinates", notation]);
        let text = stdout(&output);
        let zone_and_town = "America/Denver, 9 km north-east of Washington, US";
        let expected = format!("mesa: good ({printed}, {zone_and_town})");
        // The light of towns follows.
        assert_eq!(text.lines().next(), Some(&*expected));
        let place = printed.trim_end_matches(", 1900 m");
        let read = instant(place, &[]);
        for (key, value) in [("latitude_deg", 37.18341), ("longitude_deg", -113.42527)] {
            let off = read["site"][key].as_f64().expect("a number") - value;
            assert!(off.abs() <= digits_deg, "{place}: {off}");
        }
    }
}

/// The declinations are test values of the model's report for 2027.5, at sea
/// level (NOAA/NCEI and BGS, The US/UK World Magnetic Model for 2025-2030).
#[test]
fn a_magnetic_bearing_is_turned_by_the_declination() {
    for (place, declination_deg) in [("80,0", 2.59), ("0,120", -0.24), ("-80,-120", 68.49)] {
        for facing in ["100M", "100 magnetic"] {
            let read = instant(place, &["--facing", facing]);
            let facing_deg = read["facing_deg"].as_f64().expect("a number");
            let off = facing_deg - (100.0 + declination_deg);
            assert!(off.abs() < 0.01, "{place} {facing}: {facing_deg}");
        }
        let read = instant(place, &["--facing", "100T"]);
        assert_eq!(read["facing_deg"], 100.0);
        // Out again, as a compass has it.
        let mut args = vec!["sky", "--place", place, "--facing", "100M", "--quiet"];
        args.extend(AT);
        args.extend(["--bearings", "magnetic"]);
        let text = stdout(&rakelight(&args));
        assert!(text.contains("Camera direction 100°M"), "{text}");
        let said = format!("declination {:.1}°", declination_deg.abs());
        assert_eq!(text.matches(&said).count(), 1, "{text}");
    }
}

#[test]
fn bearings_of_files_may_be_magnetic() {
    let folder = Folder::new();
    let text = "position = \"-80, -120\"\n\
                [subject]\nbearing_deg = \"100M\"\ndistance_m = 500\n\
                [[sky.glow]]\nbearing_deg = \"10 magnetic\"\nmag_arcsec2 = 20\n";
    let toml = folder.file("pole.toml", text);
    let csv = folder.file(
        "pole.csv",
        "name,position,subject.bearing_deg,sky.glow\npole,\"-80, -120\",100M,10M 20 15 20\n",
    );
    let views = folder.file(
        "views.toml",
        "position = \"-80, -120\"\n[[view]]\nname = \"a\"\nbearing_deg = \"100M\"\n",
    );
    for (file, facing) in [(&toml, "168.49"), (&csv, "168.49"), (&views, "168.49")] {
        let mut args = vec!["sky", file, "--format", "json", "--quiet"];
        args.extend(AT);
        let output = rakelight(&args);
        let read: Value = serde_json::from_str(&stdout(&output)).expect("JSON");
        let facing_deg = read["facing_deg"].as_f64().expect("a number");
        assert_eq!(format!("{facing_deg:.2}"), facing, "{file}");
        let glow = read["site"]["sky"]["glow"][0]["bearing_deg"].as_f64();
        if let Some(glow_deg) = glow {
            assert_eq!(format!("{glow_deg:.2}"), "78.49", "{file}");
        }
    }
}

#[test]
fn numbers_of_machine_formats_stay_as_they_are() {
    let folder = Folder::new();
    let site = folder.file(
        "tank.toml",
        "position = \"-31.4, 139.2, 120\"\ntime_zone = \"Australia/Adelaide\"\n\
         [subject]\nbearing_deg = 128\ndistance_m = 300\nheight_m = 8\n",
    );
    let asked = [
        "--coordinates",
        "mgrs",
        "--units",
        "feet",
        "--bearings",
        "magnetic",
    ];
    let range = ["--from", "2027-04-20", "--to", "2027-05-20"];
    let mut runs: Vec<Vec<&str>> = Vec::new();
    for format in ["csv", "ndjson", "geojson"] {
        let mut run = vec!["scan", &site, "--facing", "target", "--format", format];
        run.extend(range);
        runs.push(run);
    }
    for format in ["json", "geojson"] {
        let mut run = vec!["tripod", &site, "--format", format];
        run.extend(["--time", "2027-05-13T21:30"]);
        runs.push(run);
    }
    let mut night = vec!["night", &site, "--format", "csv", "--on", "2027-05-13"];
    night.push("--quiet");
    runs.push(night);
    for run in runs {
        let plain = rakelight(&run);
        let mut other = run.clone();
        other.extend(asked);
        let asked = rakelight(&other);
        assert!(!plain.stdout.is_empty(), "{run:?}: {}", stderr(&plain));
        assert_eq!(stdout(&plain), stdout(&asked), "{run:?}");
    }
}

#[test]
fn people_get_feet_and_compass_bearings_where_they_ask() {
    let folder = Folder::new();
    let site = folder.file(
        "tank.toml",
        "position = \"-31.4, 139.2, 400 ft\"\ntime_zone = \"Australia/Adelaide\"\n\
         [subject]\nbearing_deg = \"100M\"\ndistance_m = \"1000 ft\"\nheight_m = \"30 ft\"\n",
    );
    let run = |args: &[&str]| {
        let mut all = args.to_vec();
        all.extend([&site, "--units", "feet", "--bearings", "magnetic"]);
        let output = rakelight(&all);
        assert_eq!(code(&output), 0, "{}", stderr(&output));
        stdout(&output)
    };
    let range = ["scan", "--from", "2027-04-20", "--to", "2027-06-20"];
    let table = run(&[&range[..], &["--facing", "target"]].concat());
    let markdown = run(&[&range[..], &["--facing", "target", "--format", "md"]].concat());
    let night = run(&["night", "--on", "2027-05-13", "--facing", "target"]);
    let handout = run(&["handout", "--on", "2027-05-13", "--facing", "target"]);
    for text in [&table, &markdown, &night, &handout] {
        assert!(
            text.contains("-31.4000 139.2000, 400 ft, bearings M"),
            "{text}"
        );
    }
    let tripod = run(&["tripod", "--time", "2027-05-13T21:30", "--facing", "target"]);
    assert!(
        tripod.contains("°M") && tripod.contains(" ft up"),
        "{tripod}"
    );
    for unit in [" m ", " m.", " km", "° true"] {
        assert!(!tripod.contains(unit), "{unit}: {tripod}");
    }
}
