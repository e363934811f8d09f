//! The handout needs nothing outside itself, is well formed, and says what the
//! night says, in easy places and hard ones.
#![cfg(feature = "cli")]

use crate::page;
use crate::program;

use chrono::{Duration, NaiveDate, NaiveDateTime};
use page::check;
use program::{Folder, Run};
use serde_json::Value;
use std::collections::HashMap;

fn run(arguments: &[&str]) -> String {
    let ended = Run::here().of(arguments);
    assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
    ended.out
}

fn handout(site: &str, on: &str, more: &[&str]) -> String {
    let mut arguments = vec!["handout", site, "--on", on, "--quiet"];
    arguments.extend(more);
    let page = run(&arguments);
    check(&page);
    assert!(page.contains("<svg "));
    page
}

#[test]
fn a_handout_of_several_views_has_one_timetable_and_a_section_for_each() {
    let page = handout("demo-sites/candlenut-cay.toml", "2027-08-06", &[]);
    assert_eq!(page.matches("<svg ").count(), 12);
    assert_eq!(page.matches("<h2>Timetable</h2>").count(), 1);
    assert_eq!(page.matches(">sunset <small>").count(), 1);
    for (number, view) in (1..).zip(["beacon", "leaning palm", "open lagoon"]) {
        // The index has its answer and leads to it, on a sheet of its own.
        let lead = format!("<dt><a href=\"#view-{number}\">{view}</a></dt><dd><b>Window ");
        assert_eq!(page.matches(&lead).count(), 1, "{view}");
        let section = format!("<section class=\"sheet\" id=\"view-{number}\">\n<h2>{view}</h2>");
        assert_eq!(page.matches(&section).count(), 1, "{view}");
        let opens = format!("<b>{view}: window opens</b>");
        assert_eq!(page.matches(&opens).count(), 1, "{view}");
    }
    assert_eq!(page.matches("<h3>Light and settings</h3>").count(), 3);
    assert_eq!(page.matches("<h2>Take care</h2>").count(), 1);
    // One of them is a page as of any site.
    let one = handout("demo-sites/candlenut-cay.toml#beacon", "2027-08-06", &[]);
    assert!(one.contains("<h1>Candlenut Cay, beacon</h1>"));
    assert_eq!(one.matches("<svg ").count(), 4);
    assert!(!one.contains("href"));
}

/// The night of a site in JSON.
fn night(site: &str, on: &str) -> Value {
    let text = run(&["night", site, "--on", on, "--quiet", "--format", "json"]);
    serde_json::from_str(&text).expect("JSON")
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}

/// What these arguments answer in CSV.
fn records(arguments: &[&str]) -> Vec<HashMap<String, String>> {
    let text = run(&[arguments, &["--quiet", "--format", "csv"]].concat());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

/// `8 s` of the seconds in CSV.
fn shutter(seconds: &str) -> String {
    let seconds: f64 = seconds.parse().expect("seconds");
    match seconds < 0.3 {
        true => format!("1/{:.0} s", 1.0 / seconds),
        false => format!("{seconds} s"),
    }
}

/// `21:36` of a local time in JSON, which has seconds, to the nearest minute.
fn clock(time: &str) -> String {
    let text = time.replace(' ', "T");
    let time: NaiveDateTime = text.parse().expect("a time");
    (time + Duration::seconds(30)).format("%H:%M").to_string()
}

/// What stands between two texts of a page.
fn between<'a>(page: &'a str, from: &str, to: &str) -> &'a str {
    let rest = page.split_once(from).expect(from).1;
    rest.split_once(to).expect(to).0
}

/// The cells of each row of the table of this class, without markup.
fn table(page: &str, class: &str) -> Vec<Vec<String>> {
    let rows = between(page, &format!("<table class=\"{class}\">"), "</table>");
    let text = |cell: &str| {
        let mut text = cell.split('<').map(|part| part.split_once('>'));
        let first = text.next();
        let _ = first;
        text.filter_map(|part| part.map(|(_, text)| text))
            .collect::<String>()
    };
    let row = |row: &str| {
        let cells = row.split("<t").skip(1);
        cells.map(|cell| text(&format!("<t{cell}"))).collect()
    };
    rows.split("<tr").skip(2).map(row).collect()
}

#[test]
fn the_answer_comes_first_and_is_that_of_the_night() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let (page, night) = (handout(site, on, &[]), night(site, on));
    let answer = between(&page, "<section class=\"answer\"", "</section>");
    let before = page.split_once("<section class=\"answer\"").expect("it").0;
    assert!(!before.contains("<h2") && !before.contains("<table"));
    let window = &night["windows"][0];
    let [start, end, best] =
        ["start_local", "end_local", "best_local"].map(|key| clock(text(&window[key])));
    let lead = format!("<p>Window {start}-{end}, best {best}</p>");
    assert!(answer.contains(&lead), "{lead}");
    let line = |name: &str| between(answer, &format!("<dt>{name}</dt><dd>"), "</dd>");
    // The settings of the timetable at the best instant.
    let rows = records(&["night", site, "--on", on]);
    let best = rows.iter().find(|row| row["what"] == "window_best");
    let best = best.expect("the best instant");
    let f_number: f64 = best["f_number"].parse().expect("a number");
    let sky = format!(
        "f/{f_number}, {}, ISO {}",
        shutter(&best["shutter_s"]),
        best["iso"]
    );
    assert_eq!(line("Sky"), sky);
    let stops = window["land_vs_sky_stops"].as_f64().expect("stops");
    let land = format!("{:.1} stops darker than the sky", -stops);
    assert!(line("Land").starts_with(&land), "{land}");
    let angle = window["light_angle_deg"].as_f64().expect("an angle");
    let side = window["light_side"].as_str().expect("a side");
    let light = format!("Moon {angle:.0}° {side}, ");
    assert!(line("Light").starts_with(&light), "{light}");
    assert!(
        line("Stand").starts_with("-31.4000 139.2000; the water tank on its stand toward 128°")
    );
    // Seven and a half degrees less on a compass there, by WMM2025.
    assert!(line("Camera").starts_with("toward 128° (compass 120°), portrait, pitched 40° up"));
    assert!(!answer.contains("Doubts"));
}

#[test]
fn a_doubt_is_told_in_the_answer() {
    // The Moon is within 3 degrees of the horizon there.
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-07");
    let page = handout(site, on, &["--light", "any", "--moon-altitude", "0..4"]);
    let answer = between(&page, "<section class=\"answer\"", "</section>");
    let doubt = "<dt>Doubts</dt><dd>the Moon is within 3° of the horizon</dd>";
    assert!(answer.contains(doubt), "{answer}");
}

#[test]
fn an_eclipse_outside_a_window_is_told_in_the_answer() {
    // The total eclipse of 2028-12-31 is greatest at 16:52 UT (the table of it in
    // tests/reference/eclipses.csv), soon after moonrise there.
    let page = handout("demo-sites/quillon-slip.toml", "2028-12-31", &[]);
    let answer = between(&page, "<section class=\"answer\"", "</section>");
    let told = "<dt>Eclipse</dt><dd>total lunar eclipse, greatest at 16:52, Moon 3° up</dd>";
    assert!(answer.contains(told), "{answer}");
}

#[test]
fn settings_stand_beside_the_time_in_the_dark() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let page = handout(site, on, &[]);
    let records = records(&["night", site, "--on", on]);
    let rows = table(&page, "order");
    let mut dark = 0;
    for row in &rows {
        let [time, shutter_cell, iso, _what] = &row[..] else {
            panic!("{row:?}");
        };
        let of_row = |record: &&HashMap<String, String>| {
            record["what"] != "step" && clock(&record["time_local"]) == *time
        };
        let record = records.iter().find(of_row).expect("its line");
        // To a hundredth in CSV; nautical dusk and dawn are at -12.
        let sun: f64 = record["sun_altitude_deg"].parse().expect("degrees");
        let settings = match sun <= -12.0 {
            true => [shutter(&record["shutter_s"]), record["iso"].clone()],
            false => Default::default(),
        };
        assert_eq!([shutter_cell.clone(), iso.clone()], settings, "{time}");
        dark += usize::from(sun <= -12.0);
    }
    assert_eq!((rows.len(), dark), (21, 14));
}

#[test]
fn the_hours_of_the_window_are_shown_and_every_step_is_folded() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let (page, night) = (handout(site, on, &[]), night(site, on));
    let times = |class| -> Vec<String> {
        let rows = table(&page, class);
        rows.into_iter()
            .filter_map(|row| row.into_iter().next())
            .collect()
    };
    let steps = night["steps"].as_array().expect("steps");
    let all: Vec<String> = steps
        .iter()
        .map(|step| clock(text(&step["time_local"])))
        .collect();
    assert_eq!(times("steps"), all);
    let window = &night["windows"][0];
    let [start, end] = ["start_local", "end_local"].map(|key| clock(text(&window[key])));
    let inside = |time: &&String| (&start..=&end).contains(time);
    let first = all.iter().position(|time| inside(&time)).expect("one");
    let last = all.iter().rposition(|time| inside(&time)).expect("one");
    assert_eq!(times("near"), all[first - 1..=last + 1]);
    let near = between(&page, "<table class=\"near\">", "</table>");
    assert_eq!(near.matches("<tr class=\"now\">").count(), last - first + 1);
    let folded = between(&page, "<details>", "</details>");
    assert!(folded.contains("<table class=\"steps\">") && !folded.contains("class=\"near\""));
    // Of a long window there are not more rows than a screen holds.
    let long = handout(site, "2027-06-05", &["--light", "dark", "--step", "5"]);
    let near = table(&long, "near");
    assert!((10..=20).contains(&near.len()), "{} rows", near.len());
}

#[test]
fn a_night_with_a_window_has_every_part_and_the_same_bytes_twice() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let page = handout(site, on, &[]);
    assert_eq!(page, handout(site, on, &[]));
    for part in [
        "<h2>Timetable</h2>",
        "<h2>Light and settings</h2>",
        "<h2>What to do</h2>",
        "<h2>Take care</h2>",
        "<h2>Place and night</h2>",
        "<figcaption><h2>The night</h2></figcaption>",
        "<th scope=\"col\">Moon alt</th><th scope=\"col\">az</th>",
        "<figcaption><h2>The view at the window&#39;s best, ",
        "<tr class=\"now\">",
        "<li>Notes: clay track, impassable after rain</li>",
    ] {
        assert!(page.contains(part), "{part}");
    }
    // Line by line what the other writer of the same night says.
    let other = run(&["night", site, "--on", on, "--quiet", "--format", "markdown"]);
    let rows = other
        .lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| --"));
    // Two tables there with a line of heads each.
    let here = table(&page, "order").len() + table(&page, "steps").len() + 2;
    assert_eq!(here, rows.count());
}

#[test]
fn the_view_is_drawn_for_the_best_instant() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let night = night(site, on);
    let best = night["windows"][0]["best_local"].as_str().expect("a time");
    let best = NaiveDateTime::parse_from_str(best, "%Y-%m-%d %H:%M:%S").expect("a time");
    // Told to the nearest minute, as in every table.
    let told = (best + Duration::seconds(30)).format("%H:%M").to_string();
    let page = handout(site, on, &[]);
    let heading = page
        .split("window&#39;s best, ")
        .nth(1)
        .and_then(|rest| rest.get(..5))
        .expect("a time");
    assert_eq!(heading, told, "of {best}");
}

#[test]
fn a_night_without_a_window_shows_the_darkest_hours() {
    let page = handout("demo-sites/saltbush-tank.toml", "2027-07-19", &[]);
    assert!(page.contains("No window; the view in the middle of the darkest hours, "));
    assert!(!page.contains("window&#39;s best"));
    // The rule that fails comes first.
    let answer = between(&page, "<section class=\"answer\"", "</section>");
    assert!(answer.contains("<p>No raking window: "), "{answer}");
    assert!(!answer.contains("<dt>Sky</dt>"));
    // And the next night that has a window, which the season tells too.
    let site = "demo-sites/saltbush-tank.toml";
    let found = records(&["scan", site, "--from", "2027-07-20", "--to", "2027-09-17"]);
    let first = found.iter().min_by_key(|window| &window["start_utc"]);
    let first = first.expect("a window");
    let night: NaiveDate = first["night"].parse().expect("a date");
    let [start, end] = ["start_local", "end_local"].map(|key| clock(&first[key]));
    let night = night.format("%a %Y-%m-%d");
    let next = format!("<dt>Next</dt><dd>night of {night}, {start}-{end}</dd>");
    assert!(answer.contains(&next), "{next}: {answer}");
    assert!(!page.contains("<table class=\"near\">"));
}

/// Picture of the night, view and handout say in the same words why there is no
/// window.
#[test]
fn why_there_is_no_window_has_one_wording() {
    let moon = "No blend window, no moonlit land: the Moon is lit too much or too little (--moon-fraction)";
    let sun = "No window: the Sun never sinks below -18°";
    for (site, date, time, light, why) in [
        (
            "tinaja-mesa",
            "2027-05-20",
            "2027-05-21T01:00",
            "blend",
            moon,
        ),
        (
            "quillon-slip",
            "2027-06-20",
            "2027-06-21T01:00",
            "raking",
            sun,
        ),
        (
            "storvarden-cairn",
            "2027-06-21",
            "2027-06-22T00:30",
            "blend",
            sun,
        ),
    ] {
        let site = format!("demo-sites/{site}.toml");
        let site = site.as_str();
        let page = handout(site, date, &["--light", light]);
        let answer = between(&page, "<section class=\"answer\"", "</section>");
        assert!(answer.contains(&format!("<p>{why}")), "{answer}");
        let night = run(&["chart", "night", site, "--on", date, "--light", light]);
        assert!(night.contains(why), "{site}");
        let view = run(&["chart", "frame", site, "--time", time, "--light", light]);
        assert!(view.contains(&format!("{why}.")), "{site}");
    }
}

#[test]
fn a_night_without_darkness_says_so() {
    let page = handout("demo-sites/storvarden-cairn.toml", "2027-06-20", &[]);
    assert!(page.contains("The Sun does not set: no dark hours to plan."));
    assert!(!page.contains("class=\"steps"));
    let answer = between(&page, "<section class=\"answer\"", "</section>");
    assert!(
        answer.contains("<dt>Dark</dt><dd>The Sun does not set; "),
        "{answer}"
    );
}

#[test]
fn a_clock_change_tells_both_hours_apart() {
    let page = run(&[
        "handout",
        "--place",
        "46.6,8.1,2000",
        "--time-zone",
        "Europe/Zurich",
        "--on",
        "2027-10-30",
        "--quiet",
    ]);
    check(&page);
    // Zurich leaves summer time on 2027-10-31 at 01:00 UTC (IANA tz, rule EU).
    assert!(page.contains("(UTC +02:00, then +01:00)"));
    assert!(page.contains("02:30 +02:00") || page.contains("02:30+02:00"));
}

#[test]
fn a_hostile_name_stays_text() {
    let folder = Folder::new();
    let text = "name = '</title><script>x</script> \" & \"#d6d6d6'\n\
                latitude_deg = -31.4\nlongitude_deg = 139.2\n\
                time_zone = 'Australia/Adelaide'\n\
                notes = '<!-- ]]> <b onclick=\"x\"> &nbsp;'\n";
    let page = handout(&folder.file("site.toml", text), "2027-07-09", &[]);
    assert!(page.contains("<h1>&lt;/title&gt;&lt;script&gt;x&lt;/script&gt; &quot; &amp; "));
    assert!(page.contains("&lt;!-- ]]&gt; &lt;b onclick=&quot;x&quot;&gt; &amp;nbsp;"));
}
