//! The calendar of trips, read by another library: its sessions are entries of a
//! scan, it says what the JSON says, and it is brought up to date.
#![cfg(feature = "cli")]

use crate::calendar;
use crate::program;

use ::ical::parser::ical::component::IcalEvent;
use calendar::{Imported, entries, maybe, value};
use program::{Folder, Run};
use serde_json::Value;
use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

/// Places within a day's drive of each other; one has two views, one name comes
/// twice.
const PLACES: &str = "name,view,latitude_deg,longitude_deg,time_zone\n\
    Red Gap,north,-31.4,139.2,Australia/Adelaide\n\
    Red Gap,south,-31.4,139.2,Australia/Adelaide\n\
    Salt Arm,,-30.9,138.2,Australia/Adelaide\n\
    Old Shed,,-32.2,140.1,Australia/Adelaide\n\
    Old Shed,,-31.9,141.5,Australia/Broken_Hill\n";

fn folder() -> Folder {
    let folder = Folder::new();
    folder.file("places.csv", PLACES);
    folder
}

/// A run at a day of January 2027.
fn ended(folder: &Folder, day: u32, args: &[&str]) -> String {
    let stamp = 1_798_761_600 + 86_400 * u64::from(day);
    let run = Run::at(folder).env("SOURCE_DATE_EPOCH", stamp.to_string());
    let ended = run.of(&[args, &["--quiet"]].concat());
    assert!(ended.code < 2, "{}", ended.err);
    ended.out
}

fn trips(folder: &Folder, args: &[&str]) -> Vec<Value> {
    let text = ended(folder, 1, &[&["trip", "--format=json"], args].concat());
    let document: Value = serde_json::from_str(&text).expect("JSON");
    document["trips"].as_array().expect("trips").clone()
}

fn ical(folder: &Folder, day: u32, args: &[&str]) -> String {
    ended(folder, day, &[args, &["--format=ical"]].concat())
}

/// What a calendar shows of its entries.
fn shown(calendar: &Imported) -> BTreeSet<[String; 5]> {
    calendar.entries().map(calendar::shown).collect()
}

fn by_uid(text: &str) -> BTreeMap<String, IcalEvent> {
    let entries = entries(text);
    let count = entries.len();
    let by_uid: BTreeMap<_, _> = entries
        .into_iter()
        .map(|entry| (value(&entry, "UID"), entry))
        .collect();
    assert_eq!(by_uid.len(), count, "a UID twice");
    by_uid
}

/// The same window has the same `UID`, times and title in both, so whoever
/// imports both has it once.
fn agree_with_scan(folder: &Folder, asked: &[&str]) -> Vec<String> {
    let scan = ical(folder, 1, &[&["scan"], asked].concat());
    let trip = ical(
        folder,
        2,
        &[&["trip", "--stay=2", "--top=4"], asked].concat(),
    );
    let (of_scan, of_trip) = (by_uid(&scan), by_uid(&trip));
    assert!(!of_trip.is_empty());
    for (uid, session) in &of_trip {
        let window = of_scan.get(uid).unwrap_or_else(|| panic!("no {uid}"));
        for name in ["SUMMARY", "DTSTART", "DTEND", "GEO", "LOCATION"] {
            assert_eq!(value(session, name), value(window, name), "{uid}");
        }
    }
    for order in [[&scan, &trip], [&trip, &scan]] {
        let mut both = Imported::default();
        for text in order {
            both.import(text);
        }
        assert_eq!(both.entries().count(), of_scan.len());
        // The trip was asked for later.
        let told = both.entries().filter(|entry| {
            let description = value(entry, "DESCRIPTION");
            description.contains("\\nTrip ")
        });
        assert_eq!(told.count(), of_trip.len());
    }
    of_trip.into_keys().collect()
}

#[test]
fn a_session_is_the_entry_that_a_scan_gives_the_window() {
    let folder = folder();
    let months = ["places.csv", "--from=2027-05-01", "--to=2027-07-31"];
    let kinds = [&months[..], &["--light=raking,blend,dark"]].concat();
    let uids = agree_with_scan(&folder, &kinds);
    let kinds: BTreeSet<&str> = uids
        .iter()
        .filter_map(|uid| uid.split('_').nth(2))
        .collect();
    assert!(kinds.len() > 1, "{uids:?}");

    // A closed gate parts each night: two windows, the later one better.
    folder.file(
        "closed.ics",
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:gate\r\n\
         DTSTAMP:20270101T000000Z\r\nDTSTART:20270401T193000\r\nDTEND:20270401T203000\r\n\
         RRULE:FREQ=DAILY\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    );
    let twice = ["--light=dark", "--not=closed.ics"];
    let uids = agree_with_scan(&folder, &[&months[..], &twice].concat());
    let numbers: BTreeSet<&str> = uids
        .iter()
        .filter_map(|uid| uid.split('_').nth(1))
        .collect();
    assert!(numbers.contains("2"), "{uids:?}");

    folder.file("one.toml", "light = \"dark\"\n");
    folder.file("two.toml", "light = \"raking\"\n");
    let briefs = ["--brief=two.toml", "--brief=one.toml"];
    agree_with_scan(&folder, &[&months[..], &briefs].concat());
    agree_with_scan(
        &folder,
        &[&months[..], &briefs, &["--local-times"]].concat(),
    );
}

fn text_of<'a>(value: &'a Value, name: &str) -> &'a str {
    value[name].as_str().unwrap_or_default()
}

#[test]
fn an_entry_says_what_the_json_says() {
    let folder = folder();
    let asked = [
        "places.csv",
        "--from=2027-05-01",
        "--to=2027-07-31",
        "--light=dark",
        "--nights=5",
        "--free=1",
        "--stay=2",
        "--top=3",
    ];
    let trips = trips(&folder, &asked);
    let more = ["--local-times", "--alarm=3h,1d"];
    let text = ical(&folder, 1, &[&["trip"], &asked[..], &more].concat());
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "RFC 5545, section 3.1: {line}");
    }
    let mut entries = entries(&text).into_iter();
    let (mut drives, mut spares) = (0, 0);
    for trip in &trips {
        let mut before: Option<&Value> = None;
        let mut tired = 0;
        let nights = trip["nights"].as_array().expect("nights");
        for night in nights {
            let session = &night["session"];
            if session.is_null() {
                continue;
            }
            let entry = entries.next().expect("an entry for each session");
            assert_eq!(value(&entry, "LOCATION"), text_of(session, "site"));
            assert_eq!(entry.alarms.len(), 2);
            let dates = value(&entry, "UID");
            assert!(dates.starts_with(text_of(night, "night")), "{dates}");
            let description = value(&entry, "DESCRIPTION").replace("\\,", ",");
            let lines: Vec<&str> = description.split("\\n").collect();
            let line = |begin: &str| lines.iter().find_map(|line| line.strip_prefix(begin));

            let place = line("Trip ").expect("which trip");
            assert!(place.starts_with(&format!("{}, ", trip["trip"])), "{place}");
            let evening = format!("evening {} of {}", night["evening_number"], nights.len());
            assert!(place.ends_with(&evening), "{place}");

            let km = session["move_km"].as_f64();
            match (before, km) {
                (None, _) => assert!(!description.contains("\\nDrive"), "{description}"),
                (Some(_), Some(0.0)) => assert!(line("Drive: none").is_some()),
                (Some(before), _) => {
                    drives += 1;
                    let told = line("Drive from ").expect("a drive");
                    assert!(told.starts_with(text_of(before, "site")), "{told}");
                    let km = format!("{:.0} km", km.expect("kilometres"));
                    assert!(told.contains(&km), "{km}: {told}");
                }
            }
            let spare = &night["spare_place"];
            let told = line("Spare place: ").expect("said in any case");
            match spare.is_null() {
                true => assert_eq!(told, "none within reach"),
                false => {
                    spares += 1;
                    assert!(told.starts_with(text_of(spare, "site")), "{told}");
                    let score = spare["window"]["score"].as_f64().expect("a score");
                    assert!(told.contains(&format!("score {score:.0}")), "{told}");
                    // A place with other clocks says so.
                    let is_other = spare["window"]["time_zone"] != session["window"]["time_zone"];
                    assert_eq!(told.contains("Australia/"), is_other, "{told}");
                }
            }
            let told = line("Spare night: ").expect("said in any case");
            match text_of(&night["spare_night"]["window"], "night") {
                "" => assert_eq!(told, "none at this place"),
                date => assert!(told.contains(date), "{date}: {told}"),
            }
            tired += description.matches("Move by day, after sleep").count();
            before = Some(session);
        }
        let drives = trip["trip_km"].as_f64().is_some_and(|km| km > 0.0);
        assert_eq!(tired, usize::from(drives), "once in a trip with a drive");
    }
    assert!(entries.next().is_none());
    assert!(drives > 3 && spares > 3, "{drives} {spares}");
}

/// Whoever imports the file of the first plan and the updated one has the plan
/// of now, and nothing else.
#[test]
fn a_changed_plan_moves_its_sessions_and_leaves_no_twin() {
    let folder = folder();
    let asked = [
        "trip",
        "places.csv",
        "--from=2027-05-01",
        "--to=2027-07-31",
        "--light=dark",
        "--nights=4",
        "--top=2",
    ];
    let first = ical(&folder, 1, &asked);
    folder.file("weeks.ics", &first);
    let since = ["--since=weeks.ics", "-o", "weeks.ics"];
    let update = |day: u32, args: &[&str]| {
        assert_eq!(ical(&folder, day, &[args, &since].concat()), "");
        fs::read_to_string(folder.path("weeks.ics")).expect("a calendar")
    };
    // Nothing changed: not a byte of it.
    assert_eq!(update(2, &asked), first);

    for (day, changed, is_less, is_more) in [
        (3, &["--weekdays=fri,sat,sun,mon"][..], true, true),
        (4, &["--target-altitude=30..70", "--stay=1"], true, true),
        // No trip at all.
        (5, &["--min-minutes=1200"], true, false),
        (6, &[], false, true),
    ] {
        let asked = [&asked[..], changed].concat();
        let before = fs::read_to_string(folder.path("weeks.ics")).expect("a calendar");
        let next = update(day, &asked);
        let mut calendar = Imported::default();
        calendar.import(&before);
        calendar.import(&next);
        let mut fresh = Imported::default();
        fresh.import(&ical(&folder, day, &asked));
        assert_eq!(shown(&calendar), shown(&fresh), "{changed:?}");
        // The changes are there to be found.
        let (old, new) = (by_uid(&before), by_uid(&next));
        let is_cancelled =
            |entry: &IcalEvent| maybe(entry, "STATUS").as_deref() == Some("CANCELLED");
        let went = new.iter().filter(|(uid, entry)| {
            is_cancelled(entry) && old.get(*uid).is_some_and(|old| !is_cancelled(old))
        });
        let came = new
            .iter()
            .filter(|(uid, entry)| !is_cancelled(entry) && old.get(*uid).is_none_or(is_cancelled));
        let (went, came) = (went.count(), came.count());
        assert_eq!((went > 0, came > 0), (is_less, is_more), "{changed:?}");
    }

    // What was not asked about stays: other sites, other evenings, other kinds.
    let before = by_uid(&update(7, &asked));
    folder.file(
        "one.csv",
        "name,latitude_deg,longitude_deg,time_zone\nLone Tor,-31.4,139.2,Australia/Adelaide\n",
    );
    for other in [
        &[
            "trip",
            "one.csv",
            "--light=dark",
            "--from=2027-05-01",
            "--to=2027-07-31",
        ][..],
        &[
            "trip",
            "places.csv",
            "--light=dark",
            "--from=2027-08-01",
            "--to=2027-09-30",
        ],
        &[
            "trip",
            "places.csv",
            "--light=any",
            "--from=2027-05-01",
            "--to=2027-07-31",
        ],
    ] {
        let after = by_uid(&update(8, other));
        assert!(after.len() > before.len());
        for (uid, entry) in &before {
            let kept = after.get(uid).map(|kept| format!("{kept:?}"));
            assert_eq!(kept, Some(format!("{entry:?}")), "{other:?}");
        }
    }
}

#[test]
fn options_of_a_calendar_are_refused_without_one() {
    let folder = folder();
    for option in ["--since=weeks.ics", "--alarm=1d", "--local-times"] {
        let run = Run::at(&folder).of(&["trip", "places.csv", option, "--format=csv"]);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{option}");
        assert!(run.err.contains("choose --format ical"), "{}", run.err);
    }
}
