//! What is said is true: of a Moon that is down, of a blend, of another target
//! than the core, of columns that are shown, of a night with one window.
#![cfg(feature = "cli")]

use crate::program;

use program::{Folder, Run};
use serde_json::Value;

/// Dark desert, a subject, no camera, no meter reading.
const SITE: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"Australia/Adelaide\"\n\
                    [subject]\nbearing_deg = 128\ndistance_m = 140\nheight_m = 17\n";
const JUNE: &str = "--from 2027-06-01 --to 2027-06-30";

fn out(typed: &str) -> String {
    let folder = Folder::new();
    folder.file("here.toml", SITE);
    folder.file("moon.toml", format!("{SITE}[brief]\ntarget = \"moon\"\n"));
    let args: Vec<&str> = typed.split_whitespace().collect();
    let run = Run::at(&folder).env("COLUMNS", "80").of(&args);
    assert_eq!(run.code, 0, "{typed}: {}", run.err);
    run.out
}

fn windows(typed: &str) -> Vec<Value> {
    let document: Value = serde_json::from_str(&out(typed)).expect("JSON");
    document["sites"][0]["windows"]
        .as_array()
        .expect("windows")
        .clone()
}

/// Calendar text with its folded lines joined (RFC 5545, section 3.1).
fn events(typed: &str) -> Vec<String> {
    let text = out(typed).replace("\r\n ", "");
    text.split("BEGIN:VEVENT")
        .skip(1)
        .map(String::from)
        .collect()
}

#[test]
fn a_moon_that_is_down_lights_from_nowhere() {
    let table = out("scan here.toml --light any --compare 2027-06-05 --compare 2027-06-06");
    let row = |name: &str| {
        let line = table.lines().find(|line| line.starts_with(name));
        line.unwrap_or_else(|| panic!("no {name}")).to_owned()
    };
    let cells = |name: &str| -> Vec<String> {
        let line = row(name);
        line.split_whitespace().skip(2).map(String::from).collect()
    };
    let altitudes = cells("Moon altitude");
    let all_down = altitudes.iter().all(|text| text.starts_with('-'));
    assert!(altitudes.len() == 2 && all_down, "{table}");
    assert_eq!(cells("light from"), ["-", "-"]);
}

#[test]
fn a_star_marks_a_better_value_and_has_a_key() {
    let table = out("scan here.toml --light any --compare 2027-06-05 --compare 2027-06-06");
    for line in table.lines().filter(|line| line.contains(" *")) {
        let values: Vec<&str> = line.rsplit(' ').filter(|word| !word.is_empty()).collect();
        assert_ne!(
            values[0].trim_start_matches('*'),
            values[1].trim_start_matches('*'),
            "{line}"
        );
    }
    assert_eq!(
        table.contains(" *"),
        table.contains("\n* the best of its row\n")
    );
}

#[test]
fn a_blend_says_which_comes_first_and_no_balance_of_another_time() {
    let scan = format!("scan here.toml --light blend {JUNE}");
    let records = windows(&format!("{scan} --format json"));
    let events = events(&format!("{scan} --format ical"));
    assert!(!events.is_empty() && events.len() == records.len());
    let text = |record: &Value, name: &str| record[name].as_str().expect("a time").to_owned();
    for event in &events {
        let start = event.split("DTSTART:").nth(1).expect("a start");
        let digits = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
        let start = digits(start.split_whitespace().next().expect("a time"));
        // The event begins with the first of its two periods.
        let first = |record: &Value| {
            let (dark, moonlit) = (text(record, "start_utc"), text(record, "moonlit_start_utc"));
            digits(&dark.min(moonlit))
        };
        let record = records
            .iter()
            .find(|record| first(record) == start)
            .expect("the window of the event");
        let land_first = text(record, "moonlit_start_utc") < text(record, "start_utc");
        let order = match land_first {
            true => [
                "moonlit land\\, then dark sky",
                "Moonlit land: ",
                "Dark sky: ",
            ],
            false => [
                "dark sky\\, then moonlit land",
                "Dark sky: ",
                "Moonlit land: ",
            ],
        };
        let [title, periods @ ..] = order;
        assert!(event.contains(title), "{event}");
        let places = periods.map(|period| event.find(period).expect("a period"));
        assert!(places.is_sorted(), "{event}");
        assert!(!event.contains("against the sky"), "{event}");
    }
    let markdown = out(&format!("{scan} --format markdown"));
    assert!(markdown.contains("| moonlit land |") && !markdown.contains("land, stops"));
}

#[test]
fn an_event_gives_no_altitude_of_a_moon_that_is_down() {
    // A blend tells the Moon of its moonlit land.
    for (light, height) in [("dark", "% lit\\, below the horizon"), ("blend", "° up")] {
        let events = events(&format!(
            "scan here.toml --light {light} {JUNE} --format ical"
        ));
        assert!(!events.is_empty(), "{light}");
        for event in events {
            assert!(!event.contains("lit\\, -"), "{event}");
            let moon = event.split("Moon ").nth(1).unwrap_or_default();
            assert!(moon.contains(height), "{event}");
        }
    }
}

#[test]
fn only_the_core_is_called_core() {
    let other = "--target gal:80,0 --target-offset=-180..180";
    let from = "--from 2027-09-01 --to 2027-10-31";
    for typed in [
        format!("scan here.toml --light any {from} {other}"),
        format!("scan here.toml --light any {from} {other} --format markdown"),
        format!("scan here.toml --light any {from} {other} --format ical"),
        format!("scan here.toml --light any --compare 2027-09-05 --compare 2027-09-06 {other}"),
        "sky here.toml --time 2027-09-05T21:00 --target gal:80,0".to_string(),
        format!("night here.toml --on 2027-09-05 {other}"),
    ] {
        let text = out(&typed).to_lowercase();
        assert!(text.contains("target"), "{typed}: {text}");
        let called = text
            .split(|c: char| !c.is_alphabetic())
            .any(|word| word == "core");
        assert!(!called, "{typed}: {text}");
    }
}

/// Whatever a command says of the Moon as target: no core, no Milky Way, no Moon
/// from the Moon.
#[test]
fn the_moon_is_not_called_the_core() {
    let moon = "--target moon";
    let season = "--from 2027-03-01 --to 2027-08-31";
    let time = "2027-05-20T17:40";
    let facing = "--facing 115";
    for typed in [
        format!("scan here.toml {moon} {facing} {season}"),
        format!("scan here.toml {moon} {facing} {season} --format markdown"),
        format!("scan here.toml {moon} {facing} {season} --format ical"),
        format!("scan here.toml {moon} {facing} {season} --season"),
        format!("scan here.toml {moon} {facing} {season} --by month"),
        format!("scan here.toml {moon} {facing} {season} --near-misses 3 --advise"),
        format!("scan here.toml {moon} {facing} {season} --vary target_altitude=0..5,0..20"),
        format!("scan here.toml {moon} {facing} --compare 2027-05-20 --compare 2027-05-21"),
        format!("scan here.toml {moon} {facing} {season} --spare 2"),
        format!("night here.toml {moon} {facing} --on 2027-05-20"),
        format!("night here.toml {moon} {facing} --on 2027-05-20 --format markdown"),
        format!("handout here.toml {moon} {facing} --on 2027-05-20"),
        format!("sky here.toml {moon} --time {time}"),
        format!("tripod here.toml {moon} --time {time}"),
        format!("exposure moon.toml --time {time}"),
        format!("chart frame here.toml {moon} --time {time}"),
        format!("chart night here.toml {moon} {facing} --on 2027-05-20"),
        format!("chart season here.toml {moon} {facing} {season}"),
    ] {
        let said = out(&typed);
        assert!(!said.is_empty(), "{typed}");
        let words: Vec<&str> = said.split(|c: char| !c.is_alphanumeric()).collect();
        assert!(!words.contains(&"core"), "{typed}: {said}");
        for wrong in [
            "Milky Way",
            "from the Moon",
            "Moon to Moon",
            "Moon, Moon",
            "the Moon and the Moon",
            "Moon rises",
            "washed out",
        ] {
            assert!(!said.contains(wrong), "{typed}: {wrong} in {said}");
        }
    }
}

/// A column that is empty for the Moon is empty, not 0, and one for the Moon is
/// empty for a star.
#[test]
fn columns_without_a_meaning_are_empty() {
    let season = "--from 2027-05-01 --to 2027-06-30 --format json";
    let of_moon = windows(&format!(
        "scan here.toml --target moon --facing 115 {season}"
    ));
    let of_core = windows(&format!("scan here.toml --light any {season}"));
    assert!(!of_moon.is_empty() && !of_core.is_empty());
    for window in &of_moon {
        for name in [
            "moon_target_separation_deg",
            "milky_way_contrast",
            "tilt_deg",
        ] {
            assert_eq!(window[name], Value::Null, "{name}");
        }
        assert!(window["moon_disc_vs_land_stops"].is_number());
        // No camera.
        assert_eq!(window["moon_diameter_px"], Value::Null);
        let diameter = window["moon_diameter_arcmin"].as_f64().expect("a number");
        assert!((29.0..34.0).contains(&diameter));
    }
    for window in &of_core {
        for name in [
            "moon_disc_vs_land_stops",
            "moon_disc_vs_sky_stops",
            "moon_diameter_arcmin",
            "moon_diameter_px",
        ] {
            assert_eq!(window[name], Value::Null, "{name}");
        }
    }
}

#[test]
fn a_note_is_about_columns_that_are_shown() {
    let table = |light: &str| out(&format!("scan here.toml --light {light} {JUNE}"));
    let dark = table("dark")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let note = "not a meter reading: Milky Way and stops are approximate.";
    assert!(dark.contains(note), "{dark}");
    let blend = table("blend")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let note = "not a meter reading: Milky Way is approximate.";
    assert!(
        blend.contains("moonlit") && blend.contains(note) && !blend.contains("stops"),
        "{blend}"
    );
}

/// At any width, for any kinds of light: each clause of the key has its column,
/// and each column that needs one its clause.
#[test]
fn the_key_is_about_the_columns_that_are_shown() {
    let folder = Folder::new();
    let camera = "[camera]\nsensor_mm = [36, 24]\nfocal_mm = 20\n";
    folder.file("here.toml", format!("{SITE}{camera}"));
    let climate = "[climate]\nclear_nights = [0.5,0.5,0.5,0.5,0.5,0.5,0.5,0.5,0.5,0.5,0.5,0.5]\n";
    folder.file("often.toml", format!("{SITE}{climate}{camera}"));
    let mut seen = [false; 6];
    for width in ["50", "60", "70", "80", "100", "130"] {
        for light in ["raking", "dark", "blend", "raking,dark", "blend,dark"] {
            for (site, top) in [("here.toml", "1"), ("often.toml", "30")] {
                let typed = ["scan", site, "--light", light, "--top", top];
                let summer = ["--from", "2027-05-01", "--to", "2027-08-31"];
                let args: Vec<&str> = typed.into_iter().chain(summer).collect();
                let run = Run::at(&folder).env("COLUMNS", width).of(&args);
                let lines: Vec<&str> = run.out.lines().skip(2).collect();
                let first = lines
                    .iter()
                    .position(|line| line.trim_start().starts_with("1 "));
                let (heads, rest) = lines.split_at(first.expect("a first row"));
                let heads = heads.join(" ");
                let words: Vec<&str> = rest
                    .iter()
                    .flat_map(|line| line.split_whitespace())
                    .collect();
                let key = words.join(" ").to_lowercase();
                let pairs = [
                    ("moonlit", "moonlit: "),
                    ("clear", "clear nights: "),
                    ("from", "light 79°l: "),
                    ("frame", "frame: lands"),
                    ("Milky", "milky way: "),
                    ("land", "land stops: "),
                ];
                for ((head, clause), seen) in pairs.iter().zip(&mut seen) {
                    let is_shown = heads.split_whitespace().any(|word| word == *head);
                    assert_eq!(
                        key.contains(clause),
                        is_shown,
                        "{width} {light} {clause}\n{}",
                        run.out
                    );
                    *seen |= is_shown;
                }
            }
        }
    }
    assert_eq!(seen, [true; 6]);
}

#[test]
fn only_among_several_has_a_window_a_number() {
    let mut counts = [false; 2];
    for night in ["2027-06-05", "2027-07-09", "2027-06-29", "2027-06-15"] {
        for light in ["dark", "blend", "any", "raking"] {
            let typed = format!("night here.toml --on {night} --light {light} --format json");
            let document: Value = serde_json::from_str(&out(&typed)).expect("JSON");
            let several = document["windows"].as_array().expect("windows").len() > 1;
            let text = document.to_string();
            let numbered = text.contains("indow 1");
            assert_eq!(numbered, several, "{typed}");
            counts[usize::from(several)] = true;
        }
    }
    assert!(counts[0]);
}

#[test]
fn lines_within_a_window_are_marked_without_bold() {
    let typed = "night here.toml --on 2027-06-05 --light dark";
    let table = out(typed);
    assert!(table.contains("* within a window") && !table.contains("bold"));
    let markdown = out(&format!("{typed} --format markdown"));
    assert!(markdown.contains("\nTime in bold: within a window.\n"));
    let document: Value =
        serde_json::from_str(&out(&format!("{typed} --format json"))).expect("JSON");
    let bound = |name: &str| {
        document["windows"][0][name]
            .as_str()
            .expect("a time")
            .to_owned()
    };
    let (start, end) = (bound("start_utc"), bound("end_utc"));
    let steps = document["steps"].as_array().expect("steps");
    assert!(!steps.is_empty());
    for step in steps {
        let utc = step["time_utc"].as_str().expect("a time").to_owned();
        let local = step["time_local"].as_str().expect("a time");
        let clock = local.get(11..16).expect("a clock time");
        let inside = start <= utc && utc <= end;
        assert_eq!(table.contains(&format!("\n{clock}* ")), inside, "{clock}");
        let bold = markdown.contains(&format!("\n| **{clock}** |"));
        assert_eq!(bold, inside, "{clock}");
    }
    // A night without a window marks nothing and says so of nothing.
    let none = out("night here.toml --on 2027-06-19  --light dark");
    assert!(!none.contains("within a window"), "{none}");
}

#[test]
fn any_night_has_no_second_article() {
    let range = "--light any --from 2027-11-01 --to 2028-01-31";
    let text = out(&format!("scan here.toml --season {range}"));
    assert!(text.contains("the first rule of any night that leaves no time"));
    let picture = out(&format!("chart season here.toml {range}"));
    assert!(picture.contains("Best night: ") && picture.contains("No night in"));
    for told in [text, picture] {
        assert!(!told.contains("a any"), "{told}");
    }
    let frame = "chart frame here.toml --light any --time";
    let inside = out(&format!("{frame} 2027-06-05T20:00"));
    assert!(
        inside.contains("In the window 18:44-00:40, best 20:23."),
        "{inside}"
    );
    let after = out(&format!("{frame} 2027-06-06T02:00"));
    assert!(after.contains("After the window 18:44-00:40."), "{after}");
    for picture in [inside, after] {
        assert!(!picture.contains("any window"), "{picture}");
    }
}
