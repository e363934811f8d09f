//! Evenings by name, times of the night that goes on, and what goes on now.

use super::program::{Folder, Run};
use serde_json::Value;

/// The program where it is a certain time.
fn at(utc: &str) -> Run {
    let time: chrono::DateTime<chrono::Utc> = utc.parse().expect("a time");
    Run::here().env("SOURCE_DATE_EPOCH", time.timestamp().to_string())
}

fn json(run: Run, args: &[&str]) -> Value {
    serde_json::from_str(&run.of(args).good()).expect("JSON")
}

/// Kiritimati is 14 hours ahead of UTC and west of the date line: its clocks
/// show 12:29 when the Sun is highest, and its nights begin at 22:29 UTC of the
/// day before.
const KIRITIMATI: [&str; 4] = [
    "--place",
    "1.87,-157.4",
    "--time-zone",
    "Pacific/Kiritimati",
];
const CHATHAM: [&str; 4] = ["--place", "-43.9,-176.5", "--time-zone", "Pacific/Chatham"];
const ADELAIDE: [&str; 4] = [
    "--place",
    "-34.9,138.6",
    "--time-zone",
    "Australia/Adelaide",
];

#[test]
fn an_evening_has_its_name_at_the_site() {
    // 2027-05-29 is a Saturday.
    for (now, place, word, evening) in [
        // Two in the morning of the 29th, far from UTC.
        ("2027-05-28T12:00:00Z", KIRITIMATI, "tonight", "2027-05-28"),
        ("2027-05-28T12:00:00Z", KIRITIMATI, "today", "2027-05-29"),
        ("2027-05-28T12:00:00Z", KIRITIMATI, "tomorrow", "2027-05-30"),
        ("2027-05-28T12:00:00Z", KIRITIMATI, "sat", "2027-05-29"),
        ("2027-05-28T12:00:00Z", KIRITIMATI, "Friday", "2027-06-04"),
        // The Sun is highest at 13:31 by the clocks: before and after.
        ("2027-01-14T23:30:00Z", CHATHAM, "tonight", "2027-01-14"),
        ("2027-01-15T00:00:00Z", CHATHAM, "tonight", "2027-01-15"),
        // The clocks went on from 02:00 to 03:00 a quarter of an hour ago.
        ("2027-10-02T16:45:00Z", ADELAIDE, "tonight", "2027-10-02"),
        ("2027-10-02T16:45:00Z", ADELAIDE, "today", "2027-10-03"),
    ] {
        let on = ["night", "--on", word, "--format", "json", "--quiet"];
        let document = json(at(now), &[&on[..], &place].concat());
        assert_eq!(document["night"]["date"], evening, "{now} {word}");
        let from = [
            "scan", "--from", word, "--to", word, "--format", "json", "--light", "any",
        ];
        let output = at(now).output(&[&from[..], &place].concat());
        let scan: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        assert_eq!(scan["query"]["from"], evening, "{now} {word}");
    }
}

#[test]
fn a_night_without_a_date_is_tonight_and_says_so() {
    let ended = at("2027-10-02T16:45:00Z").of(&[&["night"][..], &ADELAIDE].concat());
    assert_eq!(
        ended.err,
        "No evening given: this is tonight, Sat 2027-10-02.\n"
    );
    assert!(
        ended
            .good()
            .contains("Night of Sat 2 October 2027 to Sun 3")
    );
}

#[test]
fn a_time_of_day_is_one_of_the_night_that_goes_on() {
    for (now, time, utc) in [
        // At two in the morning 23:40 was in the evening before.
        ("2027-05-29T16:30:00Z", "23:40", "2027-05-29T14:10:00Z"),
        ("2027-05-29T16:30:00Z", "04:00", "2027-05-29T18:30:00Z"),
        // In the evening 04:00 is to come.
        ("2027-05-29T10:00:00Z", "04:00:30", "2027-05-29T18:30:30Z"),
        ("2027-05-29T10:00:00Z", "now", "2027-05-29T10:00:00Z"),
        // The clocks show 02:30 twice: the nearer one.
        ("2027-04-03T12:00:00Z", "02:30", "2027-04-03T16:00:00Z"),
        ("2027-04-03T17:30:00Z", "02:30", "2027-04-03T17:00:00Z"),
    ] {
        let sky = ["sky", "--time", time, "--format", "json"];
        let document = json(at(now), &[&sky[..], &ADELAIDE].concat());
        assert_eq!(document["time_utc"], utc, "{now} {time}");
    }
    let sky = ["sky", "--time", "23:40"];
    let ended = at("2027-05-29T16:30:00Z").of(&[&sky[..], &ADELAIDE].concat());
    assert_eq!(
        ended.err,
        "--time 23:40 is 2027-05-29T23:40:00, in the night of Sat 2027-05-29.\n"
    );
}

/// What a moment says is short, plain and counted from that moment.
#[test]
fn a_moment_of_a_night_is_read_with_cold_hands() {
    const MESA: &str = "demo-sites/tinaja-mesa.toml";
    let card = |time: &str| {
        let ended = at("2027-05-30T05:30:00Z").of(&["night", MESA, "--time", time, "--quiet"]);
        let text = ended.good();
        for line in text.lines() {
            assert!(line.len() <= 38 && line.is_ascii(), "{line}");
        }
        text
    };
    // Of the night's timetable: window 03:27 to 04:27, best at 03:45, sunrise
    // 06:16.
    let open = card("03:30");
    assert!(open.starts_with("Window open until 04:27, 57 min\nBest 03:45, in 15 min\n"));
    assert!(open.contains("\nSky: dark, moonlit\n"));
    assert!(open.contains("\nSky f/1.8, 4 s, ISO 5000\n"), "{open}");
    assert!(
        open.contains("\n- in 57 min (04:27) window closes\n"),
        "{open}"
    );
    assert!(card("03:20").starts_with("Window opens 03:27, in 7 min\n"));
    let closed = card("04:40");
    assert!(closed.starts_with("No more window tonight.\nNext window: night of Sun 2027-05-30,"));
    let over = card("07:00");
    assert!(over.starts_with("The night is over.\n") && !over.contains("in 0"));
    let day = card("20:00");
    assert!(day.contains("\nSky: daylight\n") && !day.contains("ISO"));

    let night = [
        "night", MESA, "--time", "03:30", "--format", "json", "--quiet",
    ];
    let document = json(at("2027-05-30T05:30:00Z"), &night);
    let now = &document["now"];
    assert_eq!(now["time_utc"], "2027-05-30T09:30:00Z");
    assert_eq!(now["window"]["is_open"], true);
    assert_eq!(now["window"]["end_utc"], document["windows"][0]["end_utc"]);
    assert_eq!(now["sky_settings"]["iso"], 5000);
    let minutes = now["next"][0]["in_minutes"].as_f64().expect("a number");
    assert!((14.0..16.0).contains(&minutes), "{minutes}");
    assert_eq!(now["later_window"], Value::Null);
}

#[test]
fn a_moment_of_a_summer_without_a_night_has_an_answer() {
    let place = ["--place", "70,20", "--time-zone", "Europe/Oslo"];
    let night = ["night", "--time", "now", "--quiet"];
    let text = at("2027-06-20T22:00:00Z")
        .of(&[&night[..], &place].concat())
        .good();
    assert!(text.contains("\nSky: daylight\n"), "{text}");
    assert!(
        text.starts_with("No window tonight.\nNone in the next 60 nights.\n"),
        "{text}"
    );
}

#[test]
fn each_view_of_a_place_has_its_moment() {
    let folder = Folder::new();
    folder.file(
        "bay.toml",
        "latitude_deg = -34.9\nlongitude_deg = 138.6\ntime_zone = \"Australia/Adelaide\"\n\
         [[view]]\nname = \"arch\"\nbearing_deg = 60\n[[view]]\nname = \"stack\"\nbearing_deg = 180\n",
    );
    let text = Run::at(&folder)
        .of(&["night", "bay.toml", "--time", "2027-06-05T22:00", "--quiet"])
        .good();
    assert!(
        text.starts_with("bay, arch\n") && text.contains("\n\nbay, stack\n"),
        "{text}"
    );
}

#[test]
fn the_next_windows_are_the_earliest() {
    // In the light of the city.
    let place = [&["--light", "any", "--contrast", "0.."][..], &ADELAIDE].concat();
    let scan = |more: &[&str]| {
        let head = [
            "scan",
            "--from",
            "2027-03-01",
            "--to",
            "2027-08-31",
            "--format",
            "json",
        ];
        let args = [&head[..], &place, more].concat();
        json(Run::here(), &args)["sites"][0]["windows"].clone()
    };
    let all = scan(&["--sort", "date"]);
    let next = scan(&["--next", "4"]);
    let next = next.as_array().expect("windows");
    assert_eq!(next.len(), 4);
    for (index, window) in next.iter().enumerate() {
        assert_eq!(window, &all[index]);
    }
}

const TIDES: &str =
    "date,from,to,note\n2027-05-28,21:00,02:30,tide 0.4 m\n2027-06-01,22:00,23:30,\n";

#[test]
fn a_site_carries_its_allowed_times_and_says_how_far_they_reach() {
    let folder = Folder::new();
    std::fs::create_dir(folder.path("sub")).expect("a folder");
    folder.file("tides.csv", TIDES);
    folder.file("free.txt", "# leave\n2027-05-20..2027-06-10\n");
    folder.file(
        "sub/bay.toml",
        "name = \"Bay\"\nlatitude_deg = -34.9\nlongitude_deg = 138.6\n\
         time_zone = \"Australia/Adelaide\"\n[brief]\nlight = \"any\"\ntimes = \"../tides.csv\"\n\
         dates = \"../free.txt\"\n[sky]\ntowns = false\n",
    );
    let scan = [
        "scan",
        "sub/bay.toml",
        "--from",
        "2027-05-01",
        "--to",
        "2027-06-30",
    ];
    let csv = [&scan[..], &["--format", "csv"]].concat();
    let ended = Run::at(&folder).of(&csv);
    assert_eq!(
        ended.err,
        "Bay: the times in ../tides.csv reach from 2027-05-28 to 2027-06-01: nights before and \
         after are left out\n"
    );
    let mut reader = csv::Reader::from_reader(ended.out.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let column = |name: &str| header.iter().position(|known| known == name).expect(name);
    let (start, end) = (column("start_utc"), column("end_utc"));
    let rows: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
    assert!(!rows.is_empty());
    for row in &rows {
        // Adelaide's clocks are 9 h 30 min ahead.
        let inside = [
            ("2027-05-28T11:30:00Z", "2027-05-28T17:00:00Z"),
            ("2027-06-01T12:30:00Z", "2027-06-01T14:00:00Z"),
        ];
        let within = |(from, to): &(&str, &str)| *from <= &row[start] && &row[end] <= *to;
        assert!(inside.iter().any(within), "{row:?}");
    }
    // Switched off, and taken on top.
    let off = [&csv[..], &["--times", "off"]].concat();
    assert!(Run::at(&folder).of(&off).good().lines().count() > rows.len() + 1);
    let not = [&csv[..], &["--not", "2027-05-28,2027-06-01"]].concat();
    assert_eq!(Run::at(&folder).of(&not).code, 1);
    let explained = [&scan[..], &["--explain"]].concat();
    let text = Run::at(&folder).of(&explained).good();
    assert!(
        text.contains("../tides.csv") && text.contains("../free.txt"),
        "{text}"
    );
}

#[test]
fn a_near_miss_loosens_no_list() {
    let folder = Folder::new();
    folder.file("tides.csv", TIDES);
    let scan = [
        "scan",
        "--place",
        "-34.9,138.6",
        "--time-zone",
        "Australia/Adelaide",
        "--light",
        "any",
        "--from",
        "2027-05-01",
        "--to",
        "2027-06-30",
        "--times",
        "tides.csv",
        "--dates",
        "2027-05-01..2027-06-09",
        "--min-minutes",
        "120",
        "--near-misses",
        "9",
        "--failing-rules",
        "2",
        "--advise",
        "--format",
        "json",
    ];
    let ended = Run::at(&folder).of(&scan);
    let document: Value = serde_json::from_str(&ended.out).expect("JSON");
    let misses = document["sites"][0]["near_misses"].as_array();
    assert!(
        misses.is_some_and(|misses| !misses.is_empty()),
        "{document}"
    );
    let text = document["sites"][0]["near_misses"].to_string();
    assert!(
        !text.contains("\"times\"") && !text.contains("\"dates\""),
        "{text}"
    );
}

#[test]
fn a_night_shows_the_last_three_of_the_log() {
    let folder = Folder::new();
    let site = "name = \"Bay\"\nlatitude_deg = -34.9\nlongitude_deg = 138.6\n\
                time_zone = \"Australia/Adelaide\"\nlog = \"bay.log.csv\"\n";
    folder.file("bay.toml", site);
    folder.file(
        "views.toml",
        format!("{site}[[view]]\nname = \"arch\"\nbearing_deg = 60\n"),
    );
    folder.file(
        "bay.log.csv",
        "date,view,found,seeing\n2026-03-01,,<b>oldest</b>,\n2026-05-01,stack,wind,3\n\
         2026-06-01,arch,cloud at 23:00,\n2026-04-01,,clear,2\n",
    );
    let lines = |site: &str, format: &str| {
        let night = ["night", site, "--on", "2027-05-29", "--format", format];
        let text = Run::at(&folder).of(&night).good();
        let lines = text.lines().filter(|line| line.contains("Log, "));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(
        lines("bay.toml", "table"),
        [
            "Log, Mon 1 June 2026, arch: cloud at 23:00",
            "Log, Fri 1 May 2026, stack: wind (seeing 3)",
            "Log, Wed 1 April 2026: clear (seeing 2)",
        ]
    );
    assert_eq!(
        lines("views.toml", "table"),
        [
            "Log, Mon 1 June 2026: cloud at 23:00",
            "Log, Wed 1 April 2026: clear (seeing 2)",
            "Log, Sun 1 March 2026: <b>oldest</b>",
        ]
    );
    let markdown = lines("views.toml", "markdown").join("\n");
    assert!(
        markdown.contains("oldest") && !markdown.contains("<b>"),
        "{markdown}"
    );
    let handout = ["handout", "views.toml", "--on", "2027-05-29"];
    let page = Run::at(&folder).of(&handout).good();
    assert!(page.contains("&lt;b&gt;oldest"), "escaped in a page");
    let night = [
        "night",
        "bay.toml",
        "--on",
        "2027-05-29",
        "--format",
        "json",
    ];
    let document = json(Run::at(&folder), &night);
    let log = document["log"].as_array().expect("a log");
    assert_eq!(log.len(), 3);
    assert_eq!(log[1]["view"], "stack");
    assert_eq!(log[1]["more"]["seeing"], "3");
    assert_eq!(Run::at(&folder).of(&["sites", "check", "bay.toml"]).code, 0);
    // Neither the log nor a table of times is written over.
    let kept = ["scan", "--format", "csv", "-o", "bay.log.csv"];
    assert!(
        Run::at(&folder)
            .of(&kept)
            .err
            .contains("found a log of nights, expected a file that")
    );
}
