//! The command line's contract: exit codes, precedence, bands as typed, hard
//! places, output whole or not at all. Reads like use.

use serde_json::Value;
use std::{
    fs,
    path::PathBuf,
    process::{Command, Output},
};

fn rakelight(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_rakelight"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("SOURCE_DATE_EPOCH", "1800000000")
        .env_remove("NO_COLOR")
        .args(args)
        .output()
        .expect("the program runs")
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("no signal ended it")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8 on standard output")
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8 on standard error")
}

/// The JSON of a run that found something.
fn json(args: &[&str]) -> Value {
    let output = rakelight(args);
    assert_eq!(code(&output), 0, "{args:?}: {}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn windows(document: &Value) -> &Vec<Value> {
    document["sites"][0]["windows"].as_array().expect("windows")
}

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    fn file(&self, name: &str, text: &str) -> String {
        let path = self.0.path().join(name);
        fs::write(&path, text).expect("a file");
        path.display().to_string()
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
}

const TANK: &str = "demo-sites/saltbush-tank.toml";
const YEAR: [&str; 4] = ["--from", "2027-01-01", "--to", "2027-12-31"];

fn scan(more: &[&str]) -> Vec<&'static str> {
    let mut args = vec!["scan"];
    args.extend(
        more.iter()
            .map(|arg| &*Box::leak(arg.to_string().into_boxed_str())),
    );
    args.extend(YEAR);
    args
}

#[test]
fn exit_codes() {
    assert_eq!(code(&rakelight(&scan(&[TANK]))), 0);
    // The core never stands at 89 degrees over 37 N.
    let none = rakelight(&scan(&[
        "demo-sites/tinaja-mesa.toml",
        "--core-altitude",
        "89..",
    ]));
    assert_eq!(code(&none), 1);
    assert!(stderr(&none).contains("Tinaja Mesa"), "{}", stderr(&none));
    assert_eq!(code(&rakelight(&scan(&["no-such-site.toml"]))), 2);
    assert_eq!(code(&rakelight(&["scan", "--no-such-option"])), 2);
    assert_eq!(code(&rakelight(&["scan", "--from", "2027-02-30"])), 2);
    assert_eq!(code(&rakelight(&["phases", "--from", "2027-01-01"])), 0);
    assert_eq!(code(&rakelight(&["--version"])), 0);
    for help in [["scan", "-h"], ["scan", "--help"]] {
        let text = stdout(&rakelight(&help));
        assert!(
            text.contains("0 nights were found"),
            "{help:?} tells the codes"
        );
    }
}

#[test]
fn a_site_left_out_under_keep_going_is_reported_and_exits_2() {
    let folder = Folder::new();
    let bad = folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let stopped = rakelight(&scan(&[&bad, TANK, "--format", "csv"]));
    assert_eq!(code(&stopped), 2);
    assert!(stopped.stdout.is_empty(), "nothing is written");
    let went_on = rakelight(&scan(&[&bad, TANK, "--format", "csv", "--keep-going"]));
    assert_eq!(code(&went_on), 2);
    assert!(stdout(&went_on).contains("Saltbush Tank"));
    assert!(stderr(&went_on).contains("bad.toml:1:16: latitude_deg: found 95"));
}

#[test]
fn every_error_of_every_file_in_one_run() {
    let folder = Folder::new();
    let one = folder.file(
        "one.toml",
        "latitude_deg = 95\nlongitude_deg = 10\nelevaton_m = 3\n",
    );
    let two = folder.file("two.toml", "latitude_deg = 5\nlongitude_deg = 'x'\n");
    let output = rakelight(&["sites", "check", &one, &two]);
    assert_eq!(code(&output), 2);
    let text = stderr(&output);
    for part in [
        "one.toml:1:16",
        "one.toml:3:1",
        "elevation_m",
        "two.toml:2:17",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
}

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
fn bands_and_places_with_a_minus_sign_work_as_typed() {
    let turned = json(&scan(&[
        TANK,
        "--core-offset",
        "-60..60",
        "--format",
        "json",
    ]));
    for window in windows(&turned) {
        let offset = window["core_offset_deg"].as_f64().expect("a number");
        assert!((-60.0..=60.0).contains(&offset));
    }
    let south = json(&scan(&["--place", "-34,-70", "--format", "json"]));
    assert_eq!(south["sites"][0]["site"]["latitude_deg"], -34.0);
    let swallowed = rakelight(&scan(&[TANK, "--core-offset", "--top", "3"]));
    assert_eq!(code(&swallowed), 2);
    assert!(stderr(&swallowed).contains("expected a band"));
}

#[test]
fn azimuth_runs_through_north() {
    // From 34 S the core passes north of the zenith at times: 300..60.
    let through = json(&scan(&[
        "--place",
        "-34,-70",
        "--light",
        "any",
        "--core-azimuth",
        "300..60",
        "--format",
        "json",
    ]));
    assert!(!windows(&through).is_empty());
    for window in windows(&through) {
        let azimuth = window["core_azimuth_deg"].as_f64().expect("a number");
        assert!(azimuth >= 299.99 || azimuth <= 60.01, "{azimuth}");
    }
}

#[test]
fn option_before_brief_before_site_before_default() {
    let folder = Folder::new();
    let site = folder.file(
        "site.toml",
        "latitude_deg = -31.4\nlongitude_deg = 139.2\n[brief]\ncore_altitude = \"12..\"\nmin_minutes = 30\nlight_side = \"left\"\n",
    );
    let brief = folder.file("brief.toml", "core_altitude = \"14..\"\nmin_minutes = 40\n");
    let document = json(&scan(&[
        &site,
        "--brief",
        &brief,
        "--core-altitude",
        "16..",
        "--moon-altitude",
        "0..90",
        "--moon-fraction",
        "0..1",
        "--light-angle",
        "0..180",
        "--format",
        "json",
    ]));
    let rules = &document["sites"][0]["rules"];
    let told = |key: &str| (rules[key]["value"].as_str(), rules[key]["from"].as_str());
    assert_eq!(told("core_altitude"), (Some("16.."), Some("option")));
    assert_eq!(told("min_minutes"), (Some("40"), Some("brief file")));
    assert_eq!(told("light_side"), (Some("left"), Some("site")));
    assert_eq!(told("sun_altitude"), (Some("..-18"), Some("default")));
    for window in windows(&document) {
        assert!(window["core_altitude_deg"].as_f64().expect("a number") >= 15.99);
        assert!(window["minutes"].as_f64().expect("a number") >= 39.9);
        // On the very edge either word is right.
        let angle = window["light_angle_deg"].as_f64().expect("a number");
        if (0.1..=179.9).contains(&angle) {
            assert_eq!(window["light_side"], "left");
        }
    }
    let explained = stdout(&rakelight(&["scan", &site, "--brief", &brief, "--explain"]));
    assert!(explained.contains("--core-altitude  14.."), "{explained}");
}

#[test]
fn csv_begins_with_the_promised_columns_and_equals_the_json() {
    let promised = "site,rank,score,night,start_local,end_local,best_local,utc_offset,start_utc,\
        end_utc,best_utc,minutes,core_altitude_deg,core_azimuth_deg,core_offset_deg,\
        moon_altitude_deg,moon_azimuth_deg,moon_fraction,moon_waxing,light_angle_deg,light_side,\
        moon_core_separation_deg,sun_altitude_deg,moonlight_lux,sky_mag_arcsec2,sky_loss_mag,\
        milky_way_contrast,contrast_kept,balance_stops,arch_altitude_deg,arch_azimuth_deg,\
        tilt_deg,shadow_length_per_height,score_contrast,score_balance,score_raking,\
        score_position,score_length";
    let csv = stdout(&rakelight(&scan(&[TANK, "--format", "csv"])));
    assert!(csv.starts_with(&format!("{promised},")));
    let document = json(&scan(&[TANK, "--format", "json"]));
    let lines = stdout(&rakelight(&scan(&[TANK, "--format", "ndjson"])));
    let lines: Vec<Value> = lines
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON line"))
        .collect();
    assert_eq!(&lines, windows(&document), "NDJSON holds the same windows");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let mut count = 0;
    for (row, window) in reader.records().zip(windows(&document)) {
        let row = row.expect("a row");
        count += 1;
        for (name, field) in header.iter().zip(&row) {
            match &window[name] {
                Value::Null => assert_eq!(field, "", "{name}"),
                Value::String(text) => assert_eq!(field, text, "{name}"),
                Value::Bool(flag) => assert_eq!(field, flag.to_string(), "{name}"),
                number => {
                    let (a, b): (f64, f64) = (
                        field.parse().expect("a number"),
                        number.as_f64().expect("a number"),
                    );
                    assert_eq!(a, b, "{name}");
                }
            }
        }
    }
    assert_eq!(count, windows(&document).len());
    assert!(count > 0);
}

#[test]
fn top_per_month_sort_and_across() {
    let ranks = |more: &[&str]| -> Vec<u64> {
        let mut args = vec!["demo-sites/tinaja-mesa.toml", "--format", "json"];
        args.extend(more);
        windows(&json(&scan(&args)))
            .iter()
            .map(|window| window["rank"].as_u64().expect("a rank"))
            .collect()
    };
    assert_eq!(ranks(&["--top", "4"]), [1, 2, 3, 4]);
    let mut by_date = ranks(&["--top", "4", "--sort", "date"]);
    assert_ne!(by_date, [1, 2, 3, 4]);
    by_date.sort_unstable();
    assert_eq!(by_date, [1, 2, 3, 4]);
    let months = json(&scan(&[
        "demo-sites/tinaja-mesa.toml",
        "--format",
        "json",
        "--per-month",
        "1",
    ]));
    let mut seen: Vec<&str> = windows(&months)
        .iter()
        .map(|window| &window["night"].as_str().expect("a date")[..7])
        .collect();
    seen.sort_unstable();
    let all = seen.len();
    seen.dedup();
    assert_eq!(seen.len(), all, "one a month");
    let across = stdout(&rakelight(&scan(&[
        TANK,
        "demo-sites/tinaja-mesa.toml",
        "--across",
        "--format",
        "ndjson",
        "--top",
        "6",
    ])));
    let across: Vec<Value> = across
        .lines()
        .map(|line| serde_json::from_str(line).expect("a JSON line"))
        .collect();
    let ranks: Vec<u64> = across.iter().filter_map(|w| w["rank"].as_u64()).collect();
    assert_eq!(ranks, [1, 2, 3, 4, 5, 6]);
    let scores: Vec<f64> = across.iter().filter_map(|w| w["score"].as_f64()).collect();
    assert!(scores.is_sorted_by(|a, b| a >= b));
}

#[test]
fn a_clock_change_inside_the_night() {
    // Lord Howe Island goes back by half an hour on 2027-04-04 at 02:00 (IANA
    // zone data): the night of the 3rd has two offsets.
    let document = json(&[
        "scan",
        "--place",
        "-31.56,159.07",
        "--time-zone",
        "Australia/Lord_Howe",
        "--from",
        "2027-04-03",
        "--to",
        "2027-04-03",
        "--light",
        "any",
        "--format",
        "json",
    ]);
    let window = &windows(&document)[0];
    assert_eq!(window["night"], "2027-04-03");
    for edge in ["start", "end"] {
        let local = window[format!("{edge}_local")].as_str().expect("a time");
        let utc = window[format!("{edge}_utc")].as_str().expect("a time");
        let local =
            chrono::NaiveDateTime::parse_from_str(local, "%Y-%m-%d %H:%M:%S").expect("local");
        let utc: chrono::DateTime<chrono::Utc> = utc.parse().expect("UTC");
        let offset = (local - utc.naive_utc()).num_minutes();
        let expected = if utc.to_rfc3339().as_str() < "2027-04-03T15:00:00+00:00" {
            660
        } else {
            630
        };
        assert_eq!(offset, expected, "{edge}");
    }
    // Wall-clock hours on both sides of the change.
    let clocked = json(&[
        "scan",
        "--place",
        "-31.56,159.07",
        "--time-zone",
        "Australia/Lord_Howe",
        "--from",
        "2027-04-03",
        "--to",
        "2027-04-03",
        "--light",
        "any",
        "--clock",
        "01:00..03:00",
        "--format",
        "json",
    ]);
    let minutes: f64 = windows(&clocked)
        .iter()
        .filter_map(|window| window["minutes"].as_f64())
        .sum();
    // Two hours on the clock are two and a half on that night.
    assert!((minutes - 150.0).abs() < 0.2, "{minutes}");
}

#[test]
fn the_far_north_in_june_and_december() {
    let north = |from: &str, to: &str| {
        rakelight(&[
            "scan",
            "--place",
            "69.6,20.6",
            "--time-zone",
            "Europe/Oslo",
            "--from",
            from,
            "--to",
            to,
            "--light",
            "any",
            "--target",
            "gal:80,0",
            "--format",
            "csv",
        ])
    };
    assert_eq!(
        code(&north("2027-06-10", "2027-06-20")),
        1,
        "no darkness in June"
    );
    let december = north("2027-12-10", "2027-12-20");
    assert_eq!(code(&december), 0);
    assert!(stdout(&december).lines().count() > 10);
}

#[test]
fn the_antimeridian_both_ways() {
    let at = |place: &str| {
        json(&[
            "scan",
            "--place",
            place,
            "--from",
            "2027-05-01",
            "--to",
            "2027-05-31",
            "--light",
            "any",
            "--format",
            "json",
        ])
    };
    let (east, west) = (at("-31,179.9"), at("-31,-179.9"));
    let starts = |document: &Value| -> Vec<i64> {
        windows(document)
            .iter()
            .map(|window| {
                let text = window["start_utc"].as_str().expect("a time");
                let time: chrono::DateTime<chrono::Utc> = text.parse().expect("a time");
                time.timestamp()
            })
            .collect()
    };
    let (mut east, mut west) = (starts(&east), starts(&west));
    east.sort_unstable();
    west.sort_unstable();
    // 179.9 W is 180.1 E: 0.2 degrees on, where everything comes 48 s sooner.
    let shared = east
        .iter()
        .filter(|e| west.iter().any(|w| (w - *e + 48).abs() < 10))
        .count();
    assert!(
        shared >= east.len().min(west.len()) - 1,
        "{shared} of {}",
        east.len()
    );
    assert!(shared > 20);
}

#[test]
fn whole_or_not_at_all() {
    let folder = Folder::new();
    let target = folder.path("out.csv");
    fs::write(&target, "old").expect("a file");
    let name = target.display().to_string();
    let good = rakelight(&scan(&[TANK, "--format", "csv", "-o", &name]));
    assert_eq!(code(&good), 0);
    assert!(good.stdout.is_empty());
    assert!(
        fs::read_to_string(&target)
            .expect("a file")
            .starts_with("site,rank")
    );
    fs::write(&target, "old").expect("a file");
    let bad = rakelight(&scan(&["no-such.toml", "--format", "csv", "-o", &name]));
    assert_eq!(code(&bad), 2);
    assert_eq!(fs::read_to_string(&target).expect("a file"), "old");
    let left: Vec<_> = fs::read_dir(folder.0.path()).expect("a folder").collect();
    assert_eq!(left.len(), 1, "no partial file stays");
    let nowhere = rakelight(&scan(&[TANK, "-o", "/no/such/folder/out.csv"]));
    assert_eq!(code(&nowhere), 2);
}

#[test]
fn the_same_bytes_for_any_number_of_threads() {
    let run = |jobs: &str| {
        let args = scan(&[
            TANK,
            "demo-sites/tinaja-mesa.toml",
            "demo-sites/gratalm-hut.toml",
            "--format",
            "ndjson",
            "--jobs",
            jobs,
        ]);
        rakelight(&args).stdout
    };
    let one = run("1");
    assert!(!one.is_empty());
    assert_eq!(one, run("2"));
    assert_eq!(one, run("8"));
}

#[test]
fn a_table_of_sites_from_standard_input() {
    use std::{io::Write, process::Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_rakelight"))
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
        .write_all(b"name,latitude_deg,longitude_deg,subject.bearing_deg\nNorth,37,-113,180\nSouth,-31,139,\n")
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
fn no_table_line_is_wider_than_80_columns() {
    for more in [
        &["--light", "raking"][..],
        &["--light", "dark"],
        &["--light", "blend"],
        &["--light", "any", "--all"],
        &["--across"],
    ] {
        let mut args = vec![
            "demo-sites/tinaja-mesa.toml",
            "demo-sites/saltbush-tank.toml",
        ];
        args.extend(more);
        let text = stdout(&rakelight(&scan(&args)));
        for line in text.lines() {
            assert!(
                line.chars().count() <= 80,
                "{}: {line}",
                line.chars().count()
            );
        }
        assert!(!text.contains('\u{1b}'), "no styles into a pipe");
    }
}

#[test]
fn a_ranking_says_how_many_of_how_many_are_shown() {
    let across = |more: &[&str]| {
        let sites = ["demo-sites/tinaja-mesa.toml", TANK, "--across"];
        stdout(&rakelight(&scan(&[&sites[..], more].concat())))
    };
    let rows = |text: &str| {
        let ranked = |line: &&str| line.trim_start().starts_with(|c: char| c.is_ascii_digit());
        text.lines().skip(1).filter(ranked).count()
    };
    let all = across(&["--all"]);
    let found = rows(&all);
    assert!(found > 30, "{found}");
    let head = format!("{found} windows at 2 sites in 365 evenings");
    assert_eq!(all.lines().next(), Some(head.as_str()));
    for (more, shown) in [(&["--top", "7"][..], 7), (&[], 20)] {
        let some = across(more);
        assert_eq!(rows(&some), shown);
        let told = format!("{head}, {shown} shown");
        assert_eq!(some.lines().next(), Some(told.as_str()), "{more:?}");
        let notes = across(&[more, &["--format", "markdown"]].concat());
        assert_eq!(notes.lines().next(), Some(format!("{told}.").as_str()));
    }
    let site = rakelight(&scan(&[TANK, "--top", "3", "--format", "markdown"]));
    let third = stdout(&site).lines().nth(2).map(str::to_owned);
    assert!(third.is_some_and(|line| line.ends_with("365 evenings, 3 shown.")));
}

#[test]
fn light_from_a_moon_that_is_down_is_empty_everywhere() {
    let night = |format: &str| {
        let args = [
            "night",
            TANK,
            "--on",
            "2027-05-30",
            "--step",
            "10",
            "--format",
            format,
        ];
        stdout(&rakelight(&args))
    };
    let document: Value = serde_json::from_str(&night("json")).expect("JSON");
    let steps = document["steps"].as_array().expect("steps");
    let mut down = 0;
    for step in steps {
        // The beam is bent: its upper limb shows for half a degree more.
        let altitude = step["moon_altitude_deg"].as_f64().expect("a number");
        if altitude.abs() < 0.6 {
            continue;
        }
        down += usize::from(altitude < 0.0);
        assert_eq!(step["light_angle_deg"].is_null(), altitude < 0.0, "{step}");
        assert_eq!(step["light_side"].is_null(), altitude < 0.0, "{step}");
        let time = step["time_utc"].as_str().expect("a time");
        let args = ["sky", TANK, "--time", time, "--format", "json"];
        let sky: Value = serde_json::from_str(&stdout(&rakelight(&args))).expect("JSON");
        let light = &sky["light"];
        assert_eq!(light["light_angle_deg"].is_null(), altitude < 0.0, "{time}");
        assert_eq!(light["light_side"], step["light_side"], "{time}");
        let told = stdout(&rakelight(&args[..4]));
        assert_eq!(told.contains("the Moon is down"), altitude < 0.0, "{told}");
    }
    assert!(
        down > 5 && down + 5 < steps.len(),
        "{down} of {}",
        steps.len()
    );
    let table = night("csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let names = reader.headers().expect("a header").clone();
    let column = |name: &str| names.iter().position(|n| n == name).expect("a column");
    let at = ["moon_altitude_deg", "light_angle_deg", "light_side"].map(column);
    let mut empty = 0;
    for row in reader.records() {
        let row = row.expect("a row");
        let altitude: f64 = row[at[0]].parse().expect("a number");
        if altitude.abs() > 0.6 {
            assert_eq!(row[at[1]].is_empty(), altitude < 0.0);
            assert_eq!(row[at[2]].is_empty(), altitude < 0.0);
            empty += usize::from(row[at[1]].is_empty());
        }
    }
    assert!(empty >= down);
}

#[test]
fn colour_only_when_wanted() {
    let always = rakelight(&scan(&[TANK, "--color", "always"]));
    assert!(stdout(&always).contains("\u{1b}["));
    let never = rakelight(&scan(&[TANK, "--color", "never"]));
    assert!(!stdout(&never).contains('\u{1b}'));
}

#[test]
fn a_local_time_that_does_not_exist_offers_the_choices() {
    let sky = |time: &str| rakelight(&["sky", "demo-sites/gratalm-hut.toml", "--time", time]);
    let skipped = sky("2027-03-28T02:30");
    assert_eq!(code(&skipped), 2);
    let text = stderr(&skipped);
    assert!(text.contains("+01:00") && text.contains("+02:00"), "{text}");
    let twice = sky("2027-10-31T02:30");
    assert_eq!(code(&twice), 2);
    let text = stderr(&twice);
    assert!(text.contains("+01:00") && text.contains("+02:00"), "{text}");
    assert_eq!(code(&sky("2027-10-31T02:30+01:00")), 0);
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
fn a_new_site_file_is_good_and_never_written_over_another() {
    let folder = Folder::new();
    let path = folder.path("mine.toml").display().to_string();
    assert_eq!(code(&rakelight(&["sites", "new", &path])), 0);
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
    assert_eq!(code(&checked), 0, "{}", stderr(&checked));
    assert!(stderr(&checked).contains("latitude 0, longitude 0"));
}

#[test]
fn a_file_gets_the_format_its_name_ends_in() {
    let folder = Folder::new();
    let begins = |name: &str, more: &[&str]| {
        let path = folder.path(name);
        let to = path.display().to_string();
        let base = ["--from", "2027-06-01", "--to", "2027-06-30", "-o", &to];
        let output = rakelight(&[&["scan"], &base[..], more].concat());
        assert_eq!(code(&output), 0, "{}", stderr(&output));
        fs::read_to_string(path).expect("a file")
    };
    assert!(begins("n.csv", &[]).starts_with("site,rank,score,"));
    assert!(begins("n.ICS", &[]).starts_with("BEGIN:VCALENDAR"));
    assert!(begins("n.geojson", &[]).starts_with('{'));
    assert!(begins("n.md", &[]).starts_with("## "));
    assert!(begins("n.json", &[]).starts_with('{'));
    for table in ["n", "n.txt", "n.unknown"] {
        assert!(begins(table, &[]).starts_with("Tinaja Mesa  "), "{table}");
    }
    // What is asked for goes before what the name says.
    assert!(begins("m.csv", &["--format", "table"]).starts_with("Tinaja Mesa  "));
    let night = folder.path("night.csv").display().to_string();
    let output = rakelight(&[
        "night",
        "demo-sites/tinaja-mesa.toml",
        "--on",
        "2027-06-09",
        "-o",
        &night,
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let text = fs::read_to_string(&night).expect("a file");
    assert!(
        text.lines().next().is_some_and(|line| line.contains(',')),
        "{text}"
    );
}

#[test]
fn a_range_nobody_typed_is_told() {
    let told = |more: &[&str]| {
        let output = rakelight(&[&["scan", "--top", "1"], more].concat());
        stdout(&output)
            .lines()
            .nth(1)
            .unwrap_or_default()
            .to_string()
    };
    // The clock of the test stands at 15 January 2027.
    assert!(told(&[]).contains("in 366 evenings, 2027-01-15 to 2028-01-15"));
    assert!(told(&["--to", "2027-06-30"]).contains(", 2027-01-15 to 2027-06-30"));
    let both = told(&["--from", "2027-06-01", "--to", "2027-06-30"]);
    assert!(both.ends_with("in 30 evenings, 1 shown"), "{both}");
}

#[test]
fn a_window_past_midnight_is_said_to_be_the_next_morning_s() {
    let said = "Named by the evening";
    let near = [
        "--from",
        "2027-03-28",
        "--to",
        "2027-04-05",
        "--near-misses",
        "1",
    ];
    let near = rakelight(&[&["scan", "demo-sites/saltbush-tank.toml"], &near[..]].concat());
    assert!(stdout(&near).contains("Fri 2027-04-02  05:32-05:52"));
    assert!(stdout(&near).contains(said), "{}", stdout(&near));
    let both = rakelight(&["scan", "--compare", "2027-05-29,2027-06-27"]);
    assert!(stdout(&both).contains(said), "{}", stdout(&both));
    let evening = "2027-07-09,2027-08-06";
    let evening = rakelight(&[
        "scan",
        "demo-sites/saltbush-tank.toml",
        "--compare",
        evening,
    ]);
    assert!(!stdout(&evening).contains(said));
}

#[test]
fn an_answer_without_its_windows_is_refused() {
    for more in [["--near-misses", "3"], ["--spare", "3"]] {
        let vary = ["scan", "--vary", "moon_fraction=..0.3,..0.5"];
        let output = rakelight(&[&vary[..], &more].concat());
        assert_eq!(code(&output), 2);
        assert!(stderr(&output).contains("one after the other"));
    }
}

#[test]
fn dark_means_dark_whatever_moon_the_site_likes() {
    // The site's own brief wants its raking Moon at 4 to 25 degrees.
    let document = json(&scan(&[
        "demo-sites/tinaja-mesa.toml",
        "--light",
        "dark",
        "--format",
        "json",
    ]));
    assert!(windows(&document).len() > 50);
    for window in windows(&document) {
        assert!(window["moon_altitude_deg"].as_f64().expect("a number") < -0.29);
        assert!(window["light_angle_deg"].is_null() && window["light_side"].is_null());
        assert_eq!(window["moonlight_lux"], 0.0);
    }
    assert_eq!(
        document["sites"][0]["rules"]["moon_altitude"]["from"],
        "default"
    );
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
        "horizon",
        &tile.display().to_string(),
        "--place",
        "-31.5,139.5",
        "--step-deg",
        "5",
        "--farthest-km",
        "20",
        "-o",
        &profile,
    ]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let site = folder.file(
        "site.toml",
        "latitude_deg = -31.5\nlongitude_deg = 139.5\n[horizon]\nfile = \"skyline.csv\"\n",
    );
    let checked = rakelight(&["sites", "check", &site]);
    assert_eq!(code(&checked), 0, "{}", stderr(&checked));
}

#[test]
fn a_night_tells_its_rules() {
    let night = |date: &str, more: &[&str]| {
        let mut args = vec!["night", "demo-sites/tinaja-mesa.toml", "--on", date];
        args.extend(more);
        rakelight(&args)
    };
    let told = night("2027-05-29", &["--rules", "--format", "json"]);
    assert_eq!(code(&told), 0);
    let document: Value = serde_json::from_slice(&told.stdout).expect("JSON");
    let reasons = &document["reasons"];
    assert_eq!(reasons["stretches"][0]["ended_by"], "sun_altitude");
    assert_eq!(reasons["stretches"][0]["begun_by"], "moon_ridge");
    let steps = document["steps"].as_array().expect("steps").len();
    for rule in reasons["rules"].as_array().expect("rules") {
        assert_eq!(rule["margins"].as_array().expect("margins").len(), steps);
    }
    let windows = document["windows"].as_array().expect("windows");
    assert_eq!(
        reasons["stretches"][0]["start_utc"],
        windows[0]["start_utc"]
    );
    // A night without a window gives its reasons unasked.
    let without = stdout(&night("2027-05-24", &[]));
    assert!(without.contains("At no time do all the rules hold."));
    assert_eq!(
        code(&night("2027-05-29", &["--rules", "--format", "csv"])),
        2
    );
}

#[test]
fn sky_and_phases_speak_json() {
    let sky = json(&[
        "sky",
        TANK,
        "--time",
        "2027-05-30T21:00",
        "--format",
        "json",
    ]);
    for pointer in [
        "/sun/altitude_deg",
        "/sun/apparent_altitude_deg",
        "/sun/azimuth_deg",
        "/moon/distance_km",
        "/moon/illuminated_fraction",
        "/moon/phase_angle_deg",
        "/moon/elongation_deg",
        "/moon/age_days",
        "/core/altitude_deg",
        "/moon_core_separation_deg",
        "/arch/top/altitude_deg",
        "/arch/top/galactic_longitude_deg",
        "/arch/feet/0/azimuth_deg",
        "/arch/feet/1/galactic_longitude_deg",
        "/light/moonlight_lux",
    ] {
        assert!(
            sky.pointer(pointer).is_some_and(Value::is_number),
            "{pointer}"
        );
    }
    assert_eq!(sky["time_utc"], "2027-05-30T11:30:00Z");
    assert!(sky["camera"]["iso"].as_u64().is_some_and(|iso| iso >= 100));
    let phases = json(&[
        "phases",
        "--from",
        "2027-02-01",
        "--to",
        "2027-03-01",
        "--format",
        "json",
    ]);
    assert_eq!(phases["eclipses"][0]["kind"], "penumbral");
    assert_eq!(phases["phases"][0]["kind"], "new");
}

#[cfg(unix)]
#[test]
fn a_closed_pipe_ends_the_program_quietly() {
    use std::{io::Read, process::Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_rakelight"))
        .args([
            "scan", "--place", "-31,139", "--light", "any", "--format", "csv",
        ])
        .args(["--from", "2001-01-01", "--to", "2030-12-31", "--quiet"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut first = [0_u8; 100];
    let mut out = child.stdout.take().expect("its output");
    out.read_exact(&mut first).expect("it writes");
    drop(out);
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(stderr(&output), "");
    assert_eq!(code(&output), 0);
}
