//! What is printed for people and programs, whatever the command: no zero with
//! a minus, and no sentence with two blanks in it.

use crate::program;

use program::{Folder, Run};
use serde_json::Value;

/// A site whose every number rounds to zero from below, with a subject and a
/// camera: an islet at the crossing of the equator and the meridian.
const SITE: &str = "name = 'Null Islet'
latitude_deg = -0.00001
longitude_deg = -0.00001
elevation_m = -0.3
time_zone = 'UTC'
notes = 'a boulder'
[subject]
name = 'The Boulder'
bearing_deg = 180
distance_m = 30
height_m = 4
[air]
temperature_c = -0.04
[camera]
sensor_mm = [36, 24]
pixels = [6000, 4000]
focal_mm = 14
f_number = 2.8
";

/// Every zero with a minus: `-0`, `-0.00`, not followed by a digit that makes
/// it a number, a date or a time.
fn negative_zeros(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for line in text.lines() {
        for (at, _) in line.match_indices("-0") {
            let before = line[..at].chars().next_back();
            if before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | '.')) {
                continue;
            }
            let rest = &line[at + 2..];
            let decimals = rest.strip_prefix('.').unwrap_or(rest);
            let after = decimals.trim_start_matches('0').chars().next();
            let is_offset = rest.starts_with(|c: char| c.is_ascii_digit());
            let ends_a_band = rest.starts_with("..");
            if ends_a_band || !is_offset && !after.is_some_and(|c| c.is_ascii_digit()) {
                found.push(line.chars().take(200).collect());
            }
        }
    }
    found
}

#[test]
fn the_finder_of_zeros_finds_them_and_nothing_else() {
    for text in [
        "-0 m",
        "[-0.0]",
        "a -0.000",
        "-0",
        "GEO:-0.000000;1",
        "-0..5",
        "(-0.00°)",
    ] {
        assert_eq!(negative_zeros(text).len(), 1, "{text}");
    }
    for text in [
        "-0.3",
        "2027-07-09",
        "-00:19",
        "x-0",
        "-0.0004",
        "10-0",
        "0.0",
        "-05",
    ] {
        assert!(negative_zeros(text).is_empty(), "{text}");
    }
}

/// Commands of every kind, in every format, at instants when something passes
/// through zero.
fn commands(folder: &Folder) -> Vec<Vec<String>> {
    let words = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
    let mut all = Vec::new();
    for format in [
        "table", "csv", "json", "ndjson", "markdown", "ical", "geojson", "gpx", "kml",
    ] {
        for more in ["--light=any", "--light=dark --target-offset=-0.4..180"] {
            let range = "--from=2027-06-25 --to=2027-07-12";
            all.push(words(&format!(
                "scan site.toml --all {range} --format={format} {more}"
            )));
        }
    }
    for more in [
        "--near-misses=3",
        "--advise",
        "--by",
        "bearing",
        "--by",
        "month",
    ] {
        all.push(words(&format!(
            "scan site.toml --from=2027-06-01 --to=2027-07-31 {more}"
        )));
    }
    all.push(words(
        "scan site.toml --light=any --compare=2027-06-30,2027-07-03,2027-07-05",
    ));
    for format in ["table", "csv", "json", "markdown", "kml"] {
        let night = "night site.toml --on=2027-07-09 --step=1";
        all.push(words(&format!("{night} --format={format}")));
    }
    all.push(words("night site.toml --on=2027-07-09 --rules"));
    all.push(words("handout site.toml --on=2027-07-09"));
    all.push(words("chart night site.toml --on=2027-07-09"));
    all.push(words("chart skyline site.toml --on=2027-07-09"));
    all.push(words("chart cluster site.toml --on=2027-07-09 --nights=9"));
    all.push(words(
        "chart year site.toml --from=2027-05-01 --to=2027-07-31",
    ));
    all.push(words(
        "chart season site.toml --from=2027-05-01 --to=2027-07-31",
    ));
    all.push(words("sites check site.toml"));
    all.push(words("sites list ."));
    let exposure = "exposure site.toml --time=2027-07-09T22:00:00Z";
    all.push(words(exposure));
    all.push(words(&format!(
        "{exposure} --tracked=60s --trails=20deg --time-lapse=1h --land-frames=4"
    )));
    all.push(words("phases --from=2027-01-01 --to=2027-12-31"));
    // Within two seconds of where each body passes the horizon.
    let args = ["night", "site.toml", "--on=2027-07-09", "--format=json"];
    let night: Value = serde_json::from_str(&Run::at(folder).of(&args).out).expect("JSON");
    for event in ["target_rise", "target_set", "sunset", "moonrise"] {
        let Some(time) = night["events"][event].as_str() else {
            continue;
        };
        let (minute, second) = time.trim_end_matches('Z').rsplit_once(':').expect("a time");
        let second: i32 = second.parse().expect("seconds");
        for more in [-2, -1, 0, 1, 2] {
            let time = format!("{minute}:{:02}Z", (second + more).clamp(0, 59));
            for (command, format) in [
                ("sky", "table"),
                ("sky", "json"),
                ("tripod", "table"),
                ("tripod", "json"),
                ("tripod", "geojson"),
                ("tripod", "gpx"),
            ] {
                all.push(words(&format!(
                    "{command} site.toml --time={time} --format={format}"
                )));
            }
            all.push(words(&format!("chart frame site.toml --time={time}")));
        }
    }
    all
}

#[test]
fn no_zero_has_a_minus() {
    let folder = Folder::new();
    folder.file("site.toml", SITE);
    let mut ran = 0;
    for args in commands(&folder) {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let ended = Run::at(&folder).of(&args);
        let found = negative_zeros(&format!("{}\n{}", ended.out, ended.err));
        assert!(found.is_empty(), "{args:?}: {found:?}");
        ran += usize::from(ended.code <= 1);
    }
    assert!(ran > 80, "too few commands ran: {ran}");
}

/// The texts of a document, however deep.
fn texts(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::String(text) => all.push(text.clone()),
        Value::Array(items) => items.iter().for_each(|item| texts(item, all)),
        Value::Object(fields) => fields.values().for_each(|field| texts(field, all)),
        _ => {}
    }
}

/// What stands between the tags of a page or a picture, but for its style.
fn between_tags(page: &str) -> Vec<String> {
    let page = match (page.find("<style>"), page.find("</style>")) {
        (Some(from), Some(to)) => format!("{}{}", &page[..from], &page[to..]),
        _ => page.to_owned(),
    };
    page.split('<')
        .filter_map(|part| part.split_once('>'))
        .map(|(_, text)| text.trim().to_owned())
        .collect()
}

#[test]
fn no_sentence_has_two_blanks() {
    let folder = Folder::new();
    folder.file("site.toml", SITE);
    let mut sentences = Vec::new();
    for args in commands(&folder) {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let ended = Run::at(&folder).of(&args);
        let mut found: Vec<String> = ended
            .err
            .lines()
            .map(|line| line.trim().to_owned())
            .collect();
        if let Ok(document) = serde_json::from_str(&ended.out) {
            texts(&document, &mut found);
        } else if matches!(args[0], "chart" | "handout") {
            found.extend(between_tags(&ended.out));
        } else if args.contains(&"--format=markdown") || args.contains(&"--format=ical") {
            // A calendar's long lines are folded (RFC 5545, section 3.1).
            let whole = ended.out.replace("\r\n ", "");
            let prose = whole.lines().filter(|line| !line.starts_with('|'));
            found.extend(prose.map(str::to_owned));
        } else {
            // Tables stand in columns; a line that ends as a sentence does not.
            let ends = |line: &&str| line.ends_with('.') && line.contains(' ');
            found.extend(
                ended
                    .out
                    .lines()
                    .filter(ends)
                    .map(|line| line.trim().to_owned()),
            );
        }
        sentences.extend(found);
    }
    // What the program says to bad input, to the letter; its lists of
    // commands and options stand in columns.
    for file in std::fs::read_dir("tests/data/bad").expect("the folder") {
        let text = std::fs::read_to_string(file.expect("a file").path()).expect("text");
        let said = text.lines().filter_map(|line| line.strip_prefix("> "));
        let faults = said.filter(|line| line.contains("expected ") || line.contains("found "));
        sentences.extend(faults.map(|line| line.trim().to_owned()));
    }
    assert!(sentences.len() > 1000, "{}", sentences.len());
    for sentence in sentences {
        assert!(!sentence.contains("  "), "{sentence}");
    }
}
