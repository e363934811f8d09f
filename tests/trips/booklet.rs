//! The booklet of a trip: its evenings agree with the other writer of the same
//! trip, its pages with the handout of the same night, and its links lead there.
#![cfg(feature = "cli")]

use crate::page;
use crate::program;

use chrono::{Duration, NaiveDateTime};
use page::check;
use program::{Ended, Folder, Run};
use serde_json::Value;

/// Places some hours' drive from each other.
const PLACES: [(&str, f64, f64); 3] = [
    ("Bluebush <b>Well</b> & \"Yard\"", -31.4, 139.2),
    ("Mallee 'Gate'", -32.1, 138.6),
    ("Quandong Tank", -31.9, 140.1),
];
const DATES: [&str; 4] = ["--from", "2027-06-20", "--to", "2027-07-20"];
const KINDS: [&str; 2] = ["--light", "raking,blend,dark"];

/// A folder with the first places, and their files.
fn places(count: usize) -> (Folder, Vec<String>) {
    let folder = Folder::new();
    let file = |(index, (name, latitude, longitude)): (usize, &(&str, f64, f64))| {
        let text = format!(
            "name = '''{name}'''\nlatitude_deg = {latitude:?}\nlongitude_deg = {longitude:?}\n\
             time_zone = 'Australia/Adelaide'\n"
        );
        folder.file(&format!("{index}.toml"), text)
    };
    let files = PLACES.iter().take(count).enumerate().map(file).collect();
    (folder, files)
}

fn trip(files: &[String], more: &[&str]) -> Ended {
    let files = files.iter().map(String::as_str);
    let arguments: Vec<&str> = ["trip", "--quiet"]
        .into_iter()
        .chain(files)
        .chain(DATES)
        .chain(KINDS)
        .chain(more.iter().copied())
        .collect();
    Run::here().of(&arguments)
}

fn booklet(files: &[String], more: &[&str]) -> String {
    let ended = trip(files, &[more, &["--format", "html"]].concat());
    assert_eq!(ended.code, 0, "{}", ended.err);
    check(&ended.out);
    ended.out
}

fn trips(files: &[String], more: &[&str]) -> Vec<Value> {
    let ended = trip(files, &[more, &["--format", "json"]].concat());
    assert_eq!(ended.code, 0, "{}", ended.err);
    let document: Value = serde_json::from_str(&ended.out).expect("JSON");
    document["trips"].as_array().expect("trips").clone()
}

/// The article with this anchor.
fn article<'a>(page: &'a str, anchor: &str) -> &'a str {
    let begin = format!("<article id=\"{anchor}\">");
    let mut parts = page.split(&begin);
    let part = parts.nth(1).expect(anchor);
    assert!(parts.next().is_none(), "{anchor} twice");
    part.split("</article>").next().expect("its end")
}

fn text<'a>(of: &'a Value, key: &str) -> &'a str {
    of[key].as_str().expect(key)
}

fn escaped(name: &str) -> String {
    name.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
        .replace('\'', "&#39;")
}

/// `86`, `raking`, `03:08-04:28` of a night in JSON.
fn facts(stop: &Value) -> [String; 3] {
    let window = &stop["window"];
    // To the second in JSON, to the nearest minute for people.
    let clock = |key: &str| {
        let time: NaiveDateTime = text(window, key).replace(' ', "T").parse().expect("a time");
        let rounded = time + Duration::seconds(30);
        rounded.format("%H:%M").to_string()
    };
    [
        format!("{:.0}", window["score"].as_f64().expect("a score")),
        text(window, "light").to_owned(),
        format!("{}-{}", clock("start_local"), clock("end_local")),
    ]
}

/// The lines of a page without its drawings, and without what a booklet adds to
/// it: the lines of the trip in the answer. They are sorted: what ends a window is to the microsecond at its end, and
/// which of both comes first differs between a season and a night alone.
fn words(page: &str) -> Vec<String> {
    let from = page.find("<header>").expect("a heading");
    let mut words = String::new();
    let mut rest = page.get(from..).expect("the page");
    while let Some((before, drawing)) = rest.split_once("<svg ") {
        words.push_str(before);
        rest = drawing.split_once("</svg>").expect("its end").1;
    }
    let end = ["<p class=\"go\">", "</main>"];
    let last = end.iter().filter_map(|end| rest.find(end)).min();
    words.push_str(rest.get(..last.expect("an end")).expect("the rest"));
    let of_night = |line: &&str| !line.starts_with("<div class=\"of-trip\">");
    let mut lines: Vec<String> = words.lines().filter(of_night).map(str::to_owned).collect();
    lines.sort_unstable();
    lines
}

#[test]
fn every_session_and_its_spare_have_the_page_of_their_night_and_rules() {
    let (_folder, files) = places(3);
    let page = booklet(&files, &[]);
    let found = trips(&files, &["--top", "1"]);
    let nights = found[0]["nights"].as_array().expect("nights");
    let index = page.split("<article").next().expect("the evenings");
    // A score may have the mark of a doubt.
    let unmarked = index.replace("~</td>", "</td>");
    let mut kinds = Vec::new();
    let mut pages = 0;
    for night in nights {
        let date = text(night, "night");
        let session = (format!("evening-{date}"), &night["session"]);
        let spare = match &night["spare_place"] {
            Value::Null => &night["spare_night"],
            place => place,
        };
        let spare = (format!("spare-of-{date}"), spare);
        for (anchor, stop) in [session, spare] {
            let link = format!("<a href=\"#{anchor}\">");
            assert!(index.contains(&link), "{anchor}");
            let article = article(&page, &anchor);
            pages += 1;
            let [score, light, hours] = facts(stop);
            let in_trip = format!(": score {score}, {light}");
            assert!(article.contains(&in_trip), "{anchor}: {in_trip}");
            // The answer leads the page.
            let answer = article.split("</section>").next().expect("its end");
            let lead = format!(" {hours}, best ");
            assert!(answer.contains(&lead), "{anchor}: {lead}");
            assert!(answer.contains("<a href=\"#trip-1\">"), "{anchor}");
            let site = text(stop, "site");
            let name = format!("<h1>{}</h1>", escaped(site));
            assert!(article.contains(&name), "{anchor}");
            // The page is that of the handout, by the rules that found the window.
            let place = PLACES.iter().position(|(name, ..)| *name == site);
            let file = &files[place.expect("one of the places")];
            let evening = text(&stop["window"], "night");
            let alone = Run::here().of(&[
                "handout", file, "--on", evening, "--light", &light, "--quiet",
            ]);
            assert_eq!(alone.code, 0, "{}", alone.err);
            let (here, there) = (words(article), words(&alone.out));
            let differ = here.iter().zip(&there).find(|(here, there)| here != there);
            assert!(differ.is_none(), "{anchor}: {differ:?}");
            assert_eq!(here.len(), there.len(), "{anchor}");
            kinds.push(light);
        }
        let [score, _, hours] = facts(&night["session"]);
        let row = format!(
            "<strong>{}</strong></td><td>{score}</td><td class=\"l\"><span>{hours}</span>",
            escaped(text(&night["session"], "site"))
        );
        assert!(unmarked.contains(&row), "{row}");
    }
    assert_eq!(pages, 10);
    assert_eq!(page.matches("<article ").count(), pages);
    assert_eq!(page.matches("<svg ").count(), 4 * pages);
    kinds.sort_unstable();
    kinds.dedup();
    assert!(kinds.len() > 1, "several kinds of light: {kinds:?}");
    // A spare place is a drive away.
    assert!(index.contains("do not drive on"));
    assert!(page.contains("article,.trips+.trips{break-before:page"));
}

#[test]
fn a_spare_night_of_several_sessions_has_one_page() {
    let (_folder, files) = places(1);
    let more = ["--nights", "3", "--spare-days", "1"];
    let page = booklet(&files, &more);
    assert_eq!(page, booklet(&files, &more));
    let found = trips(&files, &[&more[..], &["--top", "1"]].concat());
    let nights = found[0]["nights"].as_array().expect("nights");
    let first = text(&nights[0], "night");
    let link = format!("href=\"#spare-of-{first}\"");
    let index = page.split("<article").next().expect("the evenings");
    assert_eq!(index.matches(&link).count(), 3);
    assert_eq!(page.matches("<article ").count(), 4);
    let spare = article(&page, &format!("spare-of-{first}"));
    for night in nights {
        let link = format!("href=\"#evening-{}\"", text(night, "night"));
        assert!(spare.contains(&link), "{link}");
    }
    // Nobody drives.
    assert!(!index.contains("Take care"));
}

#[test]
fn a_free_evening_has_a_line_and_no_page() {
    let (_folder, files) = places(3);
    // Two days' drives lie between any two of them.
    let stay = ["--stay", "2", "--max-km", "70"];
    let more = [&["--nights", "5", "--free", "1"], &stay[..]].concat();
    let page = booklet(&files, &more);
    let found = trips(&files, &[&more[..], &["--top", "1"]].concat());
    let nights = found[0]["nights"].as_array().expect("nights");
    for night in nights {
        let anchor = format!("id=\"evening-{}\"", text(night, "night"));
        assert_eq!(page.contains(&anchor), !night["session"].is_null());
    }
    let free = nights.iter().filter(|night| night["session"].is_null());
    let free = free.count();
    assert!(free > 0, "a free evening");
    let lines = page.matches(">free</td>").count();
    assert_eq!(lines, free);
}

#[test]
fn chances_of_clear_nights_come_with_what_they_assume() {
    let (folder, files) = places(3);
    let months: String = (1..=12).map(|month| format!("{month},0.6\n")).collect();
    let climate = folder.file("climate.csv", format!("month,clear\n{months}"));
    let page = booklet(&files, &["--climate", &climate]);
    let index = page.split("<article").next().expect("the evenings");
    assert!(index.contains("Chance of at least 1 clear night "));
    assert!(index.contains("The chances count nights as independent"));
    assert!(index.contains(", clear 60%"));
    let without = booklet(&files, &[]);
    assert!(!without.contains("clear 60%") && !without.contains("as independent"));
}

#[test]
fn a_booklet_has_the_best_trip_unless_more_are_asked_for() {
    let (folder, files) = places(2);
    let one = booklet(&files, &[]);
    assert_eq!(one.matches("<section class=\"trips\"").count(), 1);
    let two = booklet(&files, &["--top", "2"]);
    assert_eq!(two.matches("<section class=\"trips\"").count(), 2);
    for trip in trips(&files, &["--top", "2"]) {
        for night in trip["nights"].as_array().expect("nights") {
            article(&two, &format!("evening-{}", text(night, "night")));
        }
    }
    let many = trip(&files, &["--top", "11", "--format", "html"]);
    assert_eq!(many.code, 2);
    let refusal = "--top: found 11, expected at most 10 trips in one HTML file";
    assert!(many.err.contains(refusal), "{}", many.err);
    // The ending of the file says it too.
    let path = folder.path("week.htm").display().to_string();
    let ended = trip(&files, &["-o", &path]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(std::fs::read_to_string(&path).expect("the file"), one);
}

#[test]
fn without_a_trip_the_page_says_so() {
    let (_folder, files) = places(1);
    let ended = trip(&files, &["--min-score", "100", "--format", "html"]);
    assert_eq!(ended.code, 1, "{}", ended.err);
    check(&ended.out);
    assert!(ended.out.contains("<h1>No trip</h1>"));
}
