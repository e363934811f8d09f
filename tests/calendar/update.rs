//! A calendar brought up to date: what an importer, which knows entries by their
//! UID, has after the first file and the next.
#![cfg(feature = "cli")]

use crate::calendar;
use crate::program;

use ::ical::parser::ical::component::IcalEvent;
use calendar::{Imported, entries, value};
use program::{Folder, Run};
use std::{collections::BTreeSet, fs};

/// A run in a folder at a day of January 2027.
fn scan(folder: &Folder, day: u32, args: &[&str]) -> String {
    let stamp = 1_798_761_600 + 86_400 * u64::from(day);
    let run = Run::at(folder).env("SOURCE_DATE_EPOCH", stamp.to_string());
    let ended = run.of(&[&["scan"], args].concat());
    assert!(ended.code < 2, "{}", ended.err);
    ended.out
}

/// The same into a calendar.
fn ical(folder: &Folder, day: u32, args: &[&str]) -> String {
    scan(
        folder,
        day,
        &[args, &["--format", "ical", "--quiet"]].concat(),
    )
}

/// The demo sites of the program.
fn demo_sites() -> Vec<String> {
    let folder = format!("{}/demo-sites", program::HERE);
    let mut sites: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path().display().to_string())
        .filter(|path| path.ends_with(".toml"))
        .collect();
    sites.sort();
    sites
}

/// What a calendar shows of its entries.
fn shown(calendar: &Imported) -> BTreeSet<[String; 5]> {
    let shown = calendar.entries().map(calendar::shown);
    shown.collect()
}

#[test]
fn a_changed_rule_leaves_no_twin_and_nothing_dead() {
    let folder = Folder::new();
    let sites = demo_sites();
    let year = ["--from", "2027-01-01", "--to", "2027-12-31"];
    let mut asked: Vec<&str> = sites.iter().map(String::as_str).collect();
    asked.extend(year);
    let first = ical(&folder, 1, &asked);
    let old = folder.file("nights.ics", &first);
    let changed = [&asked[..], &["--moon-altitude", "4..18"]].concat();
    let next = ical(&folder, 2, &[&changed[..], &["--since", &old]].concat());
    let alone = ical(&folder, 2, &changed);

    let mut calendar = Imported::default();
    calendar.import(&first);
    let before = shown(&calendar);
    calendar.import(&next);
    let mut fresh = Imported::default();
    fresh.import(&alone);
    assert!(before.len() > 200, "{} entries", before.len());
    assert_eq!(shown(&calendar), shown(&fresh));
    // The changes are there to be found.
    let is_cancelled =
        |entry: &IcalEvent| calendar::maybe(entry, "STATUS").as_deref() == Some("CANCELLED");
    let cancelled = entries(&next).into_iter().filter(is_cancelled).count();
    let moved = shown(&calendar).difference(&before).count();
    #[allow(clippy::print_stdout)]
    {
        println!(
            "{} entries, then {}: {cancelled} cancelled, {moved} changed or new",
            before.len(),
            shown(&calendar).len()
        );
    }
    assert!(cancelled > 20 && moved > 20, "{cancelled} {moved}");

    // Without --since nothing is cancelled, but still no night is there twice.
    let mut calendar = Imported::default();
    calendar.import(&first);
    calendar.import(&alone);
    let nights: Vec<String> = calendar.entries().map(calendar::window_of).collect();
    let different: BTreeSet<&String> = nights.iter().collect();
    assert_eq!(nights.len(), different.len());
}

/// Names in any script, views of a place, and a place that is corrected.
#[test]
fn a_corrected_place_updates_its_entries() {
    let folder = Folder::new();
    let table = |latitude: &str, notes: &str| {
        let mut rows = "name,view,latitude_deg,longitude_deg,time_zone,notes\n".to_owned();
        for name in [
            "北門",
            "بوابة الشمال",
            "Северные ворота",
            "🌌 gate",
            "a,\"b\"",
        ] {
            for view in ["", "石", "left"] {
                let name = name.replace('"', "\"\"");
                rows += &format!("\"{name}\",{view},{latitude},139.2,Australia/Adelaide,{notes}\n");
            }
        }
        rows
    };
    let range = [
        "--from",
        "2027-06-01",
        "--to",
        "2027-06-20",
        "--light",
        "any",
    ];
    let path = folder.file("gates.csv", table("-31.4", "dry"));
    let asked = [&[path.as_str()][..], &range].concat();
    let first = ical(&folder, 1, &asked);
    let old = folder.file("old.ics", &first);
    folder.file("gates.csv", table("-31.47", "the track is closed"));
    let next = ical(&folder, 2, &[&asked[..], &["--since", &old]].concat());
    let uids = |text: &str| -> Vec<String> {
        entries(text)
            .iter()
            .map(|entry| value(entry, "UID"))
            .collect()
    };
    assert_eq!(uids(&first), uids(&next), "the same entries");
    let different: BTreeSet<String> = uids(&first).into_iter().collect();
    let count = uids(&first).len();
    assert!(
        different.len() >= 5 * 3 * 15 && different.len() == count,
        "{} of {count}",
        different.len()
    );
    for entry in entries(&next) {
        assert_eq!(value(&entry, "SEQUENCE"), "1");
        assert_eq!(value(&entry, "GEO"), "-31.470000;139.200000");
        assert!(value(&entry, "DESCRIPTION").contains("track is closed"));
    }
}

/// The site, its view and its kind of night, the night, are what a run is asked
/// about: all else stays as it is, to the byte.
#[test]
fn what_a_run_does_not_ask_about_stays() {
    let folder = Folder::new();
    let site = |name: &str, view: &str| {
        format!(
            "name = \"{name}\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\n\
             time_zone = \"Australia/Adelaide\"\n[[view]]\nname = \"{view}\"\nbearing_deg = 140\n\
             [[view]]\nname = \"other\"\nbearing_deg = 200\n"
        )
    };
    folder.file("a.toml", site("A", "one"));
    folder.file("b.toml", site("B", "one"));
    let all = [
        "a.toml",
        "b.toml",
        "--from",
        "2027-05-01",
        "--to",
        "2027-08-31",
    ];
    let first = ical(&folder, 1, &all);
    folder.file("nights.ics", &first);
    let since = [
        "--since",
        "nights.ics",
        "-o",
        "nights.ics",
        "--format",
        "ical",
    ];
    let update = |day: u32, args: &[&str]| {
        let out = ical(&folder, day, &[args, &since[..4]].concat());
        assert_eq!(out, "");
        fs::read_to_string(folder.path("nights.ics")).expect("a calendar")
    };
    // Nothing changed: not a byte of it.
    assert_eq!(update(2, &all), first);
    // Another kind of night joins it.
    let dark = update(
        3,
        &[
            "a.toml#one",
            "--from",
            "2027-06-01",
            "--to",
            "2027-06-10",
            "--light",
            "dark",
        ],
    );
    let lines = |text: &str| -> Vec<String> {
        let events = text.split("BEGIN:VEVENT\r\n").skip(1);
        let mut events: Vec<String> = events
            .map(|event| {
                event
                    .split("END:VEVENT")
                    .next()
                    .unwrap_or_default()
                    .to_owned()
            })
            .collect();
        events.sort();
        events
    };
    let (before, after) = (lines(&first), lines(&dark));
    let joined: Vec<&String> = after
        .iter()
        .filter(|event| !before.contains(event))
        .collect();
    assert!(before.iter().all(|event| after.contains(event)));
    assert!(!joined.is_empty() && joined.iter().all(|event| event.contains("_dark_")));
    // A rule that no night keeps, for one view in one month: only that is cancelled.
    let none = ["a.toml#one", "--from", "2027-06-01", "--to", "2027-07-15"];
    let none = update(4, &[&none[..], &["--min-minutes", "1200"]].concat());
    let last = lines(&none);
    let gone: Vec<&String> = after.iter().filter(|event| !last.contains(event)).collect();
    assert!(!gone.is_empty());
    for event in &gone {
        let event = event.replace("\r\n ", "");
        let uid = event.split("UID:").nth(1).expect("a UID");
        assert!(("2027-06-01".."2027-07-16").contains(&&uid[..10]), "{uid}");
        assert!(
            uid.contains("_raking_") && event.contains("SUMMARY:A\\, one"),
            "{event}"
        );
    }
    assert_eq!(none.matches("STATUS:CANCELLED").count(), gone.len());
    assert_eq!(last.len(), after.len());
    // They are back once the rule is gone.
    let back = update(5, &all);
    let again = entries(&back)
        .into_iter()
        .filter(|entry| value(entry, "SEQUENCE") == "2");
    assert_eq!(again.count(), gone.len());
    assert_eq!(back.matches("STATUS:CANCELLED").count(), 0);
    // The two kinds side by side, each up to date.
    let mut calendar = Imported::default();
    for text in [&first, &dark, &none, &back] {
        calendar.import(text);
    }
    let mut fresh = Imported::default();
    fresh.import(&back);
    assert_eq!(shown(&calendar), shown(&fresh));
    assert_eq!(calendar.entries().count(), after.len());
}

#[test]
fn what_was_cancelled_goes_when_its_night_is_over() {
    let folder = Folder::new();
    let range = [
        "--from",
        "2027-01-01",
        "--to",
        "2027-03-31",
        "--light",
        "dark",
    ];
    folder.file("old.ics", ical(&folder, 1, &range));
    let none = [&range[..], &["--min-minutes", "1200", "--since", "old.ics"]].concat();
    let cancelled = ical(&folder, 2, &none);
    let count = entries(&cancelled).len();
    assert!(count > 20);
    folder.file("old.ics", &cancelled);
    // Cancelled once.
    assert_eq!(ical(&folder, 2, &none), cancelled);
    let later = ical(&folder, 75, &none);
    let nights = |text: &str| -> Vec<String> {
        let uids = entries(text).into_iter().map(|entry| value(&entry, "UID"));
        uids.map(|uid| uid[..10].to_owned()).collect()
    };
    // Day 75 is 17 March.
    let kept = nights(&cancelled)
        .into_iter()
        .filter(|night| night.as_str() > "2027-03-15");
    assert_eq!(nights(&later), kept.collect::<Vec<_>>());
    assert!(nights(&later).len() < count);
}

/// Rows of one name keep their entries in whatever order they come, or alone.
#[test]
fn two_sites_of_one_name_stay_apart() {
    let folder = Folder::new();
    let head = "name,latitude_deg,longitude_deg,time_zone\n";
    let (north, south) = (
        "Gate,-20.5,139.2,Australia/Brisbane\n",
        "Gate,-31.4,139.2,Australia/Adelaide\n",
    );
    folder.file("both.csv", format!("{head}{north}{south}"));
    folder.file("turned.csv", format!("{head}{south}{north}"));
    folder.file("south.csv", format!("{head}{south}"));
    let range = [
        "--from",
        "2027-06-01",
        "--to",
        "2027-06-10",
        "--light",
        "any",
    ];
    let first = ical(&folder, 1, &[&["both.csv"], &range[..]].concat());
    folder.file("old.ics", &first);
    let since = ["--since", "old.ics"];
    for table in ["both.csv", "turned.csv", "south.csv"] {
        let next = ical(&folder, 2, &[&[table], &range[..], &since].concat());
        let sorted = |text: &str| {
            let mut entries: Vec<String> = entries(text).iter().map(|e| format!("{e:?}")).collect();
            entries.sort();
            entries
        };
        assert_eq!(sorted(&next), sorted(&first), "{table}");
    }
}

/// What others put into the file is not lost.
#[test]
fn entries_of_others_stay_as_they_are() {
    let folder = Folder::new();
    let range = ["--from", "2027-06-01", "--to", "2027-06-30"];
    let first = ical(&folder, 1, &range);
    let others = "BEGIN:VTIMEZONE\r\nTZID:Here\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n\
                  TZOFFSETFROM:+0200\r\nTZOFFSETTO:+0200\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n\
                  BEGIN:VEVENT\r\nUID:workshop@example.org\r\nDTSTAMP:20270101T000000Z\r\n\
                  DTSTART;TZID=Here:20270605T180000\r\nSUMMARY:Workshop\r\nSEQUENCE:7\r\n\
                  BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\nTRIGGER:-PT1H\r\n\
                  END:VALARM\r\nEND:VEVENT\r\n";
    let mixed = first.replace(
        "CALSCALE:GREGORIAN\r\n",
        &format!("CALSCALE:GREGORIAN\r\nX-WR-CALNAME:Our nights\r\n{others}"),
    );
    folder.file("mixed.ics", &mixed);
    let next = ical(
        &folder,
        2,
        &[&range[..], &["--since", "mixed.ics"]].concat(),
    );
    assert!(next.contains("CALSCALE:GREGORIAN\r\nX-WR-CALNAME:Our nights\r\n"));
    assert!(next.ends_with(&format!("{others}END:VCALENDAR\r\n")));
    assert_eq!(entries(&next).len(), entries(&first).len() + 1);
    // As an editor that ends lines its own way leaves it.
    folder.file("plain.ics", mixed.replace("\r\n", "\n"));
    let plain = ical(
        &folder,
        2,
        &[&range[..], &["--since", "plain.ics"]].concat(),
    );
    assert_eq!(plain, next);
}

/// A night of several views, and with alarms, by the other command.
#[test]
fn a_night_brings_a_calendar_up_to_date_too() {
    let folder = Folder::new();
    let site = format!("{}/demo-sites/tinaja-mesa.toml", program::HERE);
    let first = ical(
        &folder,
        1,
        &[&site, "--from", "2027-05-20", "--to", "2027-06-05"],
    );
    folder.file("old.ics", &first);
    let night = |more: &[&str]| {
        let asked = [
            "night",
            &site,
            "--on",
            "2027-05-29",
            "--format",
            "ical",
            "--quiet",
        ];
        let run = Run::at(&folder).env("SOURCE_DATE_EPOCH", "1799000000");
        run.of(&[&asked[..], more].concat()).good()
    };
    let same = night(&["--since", "old.ics"]);
    let sorted = |text: &str| -> BTreeSet<String> {
        entries(text)
            .iter()
            .map(|entry| format!("{entry:?}"))
            .collect()
    };
    assert_eq!(sorted(&same), sorted(&first));
    let alarmed = night(&["--since", "old.ics", "--alarm", "90min,1d12h"]);
    for entry in entries(&alarmed) {
        let is_of_night = value(&entry, "UID").starts_with("2027-05-29_");
        assert_eq!(
            value(&entry, "SEQUENCE"),
            if is_of_night { "1" } else { "0" }
        );
        let alarms: Vec<String> = entry
            .alarms
            .iter()
            .map(|alarm| {
                assert_eq!(
                    calendar::of(&alarm.properties, "ACTION").as_deref(),
                    Some("DISPLAY")
                );
                assert!(calendar::of(&alarm.properties, "DESCRIPTION").is_some());
                calendar::of(&alarm.properties, "TRIGGER").expect("a trigger")
            })
            .collect();
        match is_of_night {
            true => assert_eq!(alarms, ["-P1DT12H", "-PT1H30M"]),
            false => assert!(alarms.is_empty()),
        }
    }
    assert_eq!(entries(&alarmed).len(), entries(&first).len());
}
