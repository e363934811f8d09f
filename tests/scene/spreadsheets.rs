//! Tables as Python, pandas and LibreOffice save them
//! (tests/reference/make/spreadsheets.py), and the program's own tables in each
//! style, read back by the csv crate and by the program.

use crate::program;

use csv::{ReaderBuilder, StringRecord};
use program::{Folder, Run};
use rakelight::{CsvStyle, Site, Skyline, read_sites, site_table_template};
use std::path::{Path, PathBuf};

/// Tables with the same two sites.
const SAME: [&str; 8] = [
    "csv_semicolon.csv",
    "csv_sep_line.csv",
    "libreoffice_de.csv",
    "libreoffice_en.csv",
    "libreoffice_unicode_text_fr.csv",
    "pandas_semicolon.csv",
    "pandas_semicolon_points.csv",
    "pandas_unicode_text.csv",
];

fn reference(name: &str) -> PathBuf {
    Path::new("tests/reference/spreadsheets").join(name)
}

fn sites(name: &str) -> Vec<Site> {
    let sites = read_sites(&reference(name)).expect("a header");
    sites.map(|site| site.expect("a site")).collect()
}

#[test]
fn tables_of_other_programs_are_the_same_sites() {
    for name in SAME {
        let sites = sites(name);
        let [mesa, hut] = sites.as_slice() else {
            panic!("{name}: {sites:?}")
        };
        assert_eq!(mesa.name, "Tinaja Mesa", "{name}");
        assert_eq!(
            (mesa.latitude_deg, mesa.longitude_deg, mesa.elevation_m),
            (37.18, -113.42, 1900.5),
            "{name}"
        );
        assert_eq!(
            mesa.notes.as_deref(),
            Some("last mile on foot; snow, too"),
            "{name}"
        );
        let camera = mesa.camera.expect("a camera");
        assert_eq!(camera.sensor_mm, [35.9, 23.9], "{name}");
        let glow: Vec<(f64, f64)> = mesa
            .sky_glow
            .iter()
            .map(|glow| (glow.bearing_deg, glow.mag_arcsec2))
            .collect();
        assert_eq!(glow, [(70.0, 20.5), (210.0, 19.8)], "{name}");
        assert_eq!(mesa.own.get("guide"), Some("Mara"), "{name}");
        // The user's own values are passed through as they are written.
        let fee = mesa.own.get("permit fee").expect("a fee");
        assert_eq!(fee.replace(',', "."), "12.5", "{name}");
        assert_eq!(hut.name, "Gratalm Hütte", "{name}");
        assert_eq!(
            (hut.latitude_deg, hut.longitude_deg, hut.elevation_m),
            (46.9275, 10.8125, 2310.0),
            "{name}"
        );
        assert_eq!(
            hut.notes.as_deref(),
            Some("says \"closed\" in May"),
            "{name}"
        );
        assert_eq!(hut.own.get("guide"), Some("Jörg & Ann; both"), "{name}");
        assert_eq!(hut.own.get("permit fee"), None, "{name}");
    }
}

#[test]
fn heights_shown_with_a_sign_between_thousands_are_refused_with_both_readings() {
    let table = read_sites(&reference("libreoffice_thousands_de.csv")).expect("a header");
    let told: Vec<String> = table
        .map(|site| site.expect_err("a doubtful height").to_string())
        .collect();
    let remedy = "the sign may part thousands or decimals: write";
    assert!(told[0].contains(":2:4:") && told[0].ends_with(&format!("{remedy} 1,9010 or 1901")));
    assert!(told[1].contains(":3:4:") && told[1].ends_with(&format!("{remedy} 2,31 or 2310")));
}

#[test]
fn a_workbook_is_met_with_what_to_do() {
    let told = read_sites(&reference("places.xlsx"))
        .err()
        .expect("no table");
    let told = told.to_string();
    assert!(
        told.ends_with("open it in the spreadsheet and save it as CSV"),
        "{told}"
    );
}

#[test]
fn a_skyline_with_decimal_commas_is_read() {
    let bytes = std::fs::read(reference("skyline_semicolon.csv")).expect("a skyline");
    let skyline = Skyline::read("s.csv", bytes.as_slice()).expect("a skyline");
    assert_eq!(
        skyline.points(),
        [(0.0, 2.5), (90.5, 1.125), (180.0, -0.25)]
    );
}

#[test]
fn the_table_to_begin_with_is_read_in_every_style() {
    for style in CsvStyle::ALL {
        let folder = Folder::new();
        folder.file("t.csv", site_table_template(style).expect("a table"));
        let sites: Vec<_> = read_sites(&folder.path("t.csv"))
            .expect("a header")
            .collect();
        assert!(matches!(sites.as_slice(), [Ok(_)]), "{style:?} {sites:?}");
    }
}

/// What the program writes, read by the csv crate.
fn written(folder: &Folder, typed: &[&str], style: CsvStyle) -> Vec<StringRecord> {
    let mut typed = typed.to_vec();
    typed.extend(["--quiet", "--format", "csv", "--csv-style", style.word()]);
    let output = Run::at(folder)
        .command()
        .args(typed)
        .output()
        .expect("a run");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .delimiter(style.separator())
        .from_reader(output.stdout.as_slice());
    reader.records().map(|row| row.expect("a row")).collect()
}

const TABLE: &str = "name;latitude_deg;longitude_deg;time_zone;guide;Score\n\
                     A;37,18;-113,42;America/Denver;\"Mara; \"\"J\"\", x\";7\n\
                     B;37,18;-113,42;America/Denver;;\n";
const SITE: &str = "name = \"C\"\nlatitude_deg = 37.18\nlongitude_deg = -113.42\n\
                    time_zone = \"America/Denver\"\n[own]\nzoo = 1.50\nguide = \"Joon\"\n\
                    [[view]]\nname = \"v\"\nbearing_deg = 180\nown.guide = \"Ann\"\n\
                    own.lens = \"wide\"\n";

#[test]
fn every_style_is_the_same_table_and_own_columns_are_one_header() {
    let folder = Folder::new();
    folder.file("t.csv", TABLE);
    folder.file("c.toml", SITE);
    let range = ["--from", "2027-05-28", "--to", "2027-05-30"];
    let scan = ["scan", "t.csv", "c.toml"];
    let commands: [Vec<&str>; 4] = [
        [&scan[..], &range].concat(),
        [&scan[..], &range, &["--by", "month"]].concat(),
        [&scan[..], &range, &["--by", "year"]].concat(),
        vec!["night", "c.toml", "--on", "2027-05-29"],
    ];
    for typed in commands {
        let usual = written(&folder, &typed, CsvStyle::Comma);
        assert!(usual.len() > 3, "{typed:?}");
        for style in CsvStyle::ALL {
            let rows = written(&folder, &typed, style);
            assert_eq!(rows.len(), usual.len(), "{typed:?} {style:?}");
            let own = usual[0]
                .iter()
                .position(|name| name == "guide" || name == "zoo");
            let own = own.expect("a column of one's own");
            for (row, usual) in rows.iter().zip(&usual) {
                assert_eq!(row.len(), usual.len());
                for (index, (cell, usual)) in row.iter().zip(usual).enumerate() {
                    let expected = match usual.parse::<f64>() {
                        Ok(_) if index < own => style.number(usual),
                        _ => usual.to_owned(),
                    };
                    assert_eq!(cell, expected, "{typed:?} {style:?}");
                }
            }
            let tail: Vec<&str> = rows[0].iter().skip(own).collect();
            let cells = |name: &str, column: &str| -> String {
                let at = own
                    + tail
                        .iter()
                        .position(|other| *other == column)
                        .expect("a column");
                let row = rows.iter().find(|row| &row[0] == name).expect("a row");
                row[at].to_owned()
            };
            if typed[0] == "night" {
                assert_eq!(tail, ["zoo", "guide", "lens"]);
            } else {
                // A column of ours has that name but for a capital.
                assert_eq!(tail, ["guide", "own.Score", "zoo", "lens"]);
                assert_eq!(cells("A", "guide"), "Mara; \"J\", x");
                assert_eq!(cells("A", "own.Score"), "7");
                assert_eq!(cells("B", "guide"), "");
            }
            assert_eq!(cells("C", "guide"), "Ann");
            assert_eq!(cells("C", "zoo"), "1.50");
            assert_eq!(cells("C", "lens"), "wide");
        }
    }
}

#[test]
fn a_table_on_standard_input_gives_its_columns_too_and_a_sort_by_rank_keeps_them() {
    let folder = Folder::new();
    folder.file("c.toml", SITE);
    folder.file("t.csv", TABLE);
    let typed = [
        "scan",
        "c.toml",
        "-",
        "--from",
        "2027-05-28",
        "--to",
        "2027-05-30",
        "--quiet",
        "--format",
        "csv",
        "--together",
    ];
    let input = std::fs::File::open(folder.path("t.csv")).expect("a table");
    let output = Run::at(&folder)
        .command()
        .args(typed)
        .stdin(input)
        .output()
        .expect("a run");
    let text = String::from_utf8(output.stdout).expect("text");
    let header = text.lines().next().expect("a header");
    assert!(
        header.ends_with(",cloud_forecast_most_percent,zoo,guide,lens,own.Score"),
        "{header}"
    );
    assert!(
        text.lines()
            .any(|line| line.starts_with("A,,") && line.ends_with(",7")),
        "{text}"
    );
}

#[test]
fn json_maps_and_calendars_carry_them() {
    let folder = Folder::new();
    folder.file(
        "t.csv",
        "name,latitude_deg,longitude_deg,time_zone,guide,category\n\
         A,37.18,-113.42,America/Denver,Mara,\"trip, \"\"first\"\"\"\n",
    );
    let run = |format: &str| {
        let typed = [
            "scan",
            "t.csv",
            "--from",
            "2027-05-29",
            "--to",
            "2027-05-29",
            "--quiet",
            "--format",
            format,
        ];
        let output = Run::at(&folder)
            .command()
            .args(typed)
            .output()
            .expect("a run");
        String::from_utf8(output.stdout).expect("text")
    };
    let own = serde_json::json!({"guide": "Mara", "category": "trip, \"first\""});
    let json: serde_json::Value = serde_json::from_str(&run("json")).expect("JSON");
    assert_eq!(json["sites"][0]["site"]["own"], own);
    let line: serde_json::Value = serde_json::from_str(&run("ndjson")).expect("JSON");
    assert_eq!(line["own"], own);
    let map: serde_json::Value = serde_json::from_str(&run("geojson")).expect("JSON");
    let features = map["features"].as_array().expect("features");
    assert!(!features.is_empty());
    for feature in features {
        assert_eq!(feature["properties"]["own.guide"], "Mara");
    }
    let calendar = run("ical");
    assert!(
        calendar.contains("\r\nCATEGORIES:trip\\, \"first\"\r\n"),
        "{calendar}"
    );
}
