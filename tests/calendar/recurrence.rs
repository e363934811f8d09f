//! iCalendar files and rules of recurrence against other libraries, whose
//! answers are in tests/reference/; tables and lists of dates.

use chrono::NaiveDate;
use csv::ReaderBuilder;
use rakelight::{
    input::read_calendar,
    scene::{Calendar, Zone},
};
use std::{collections::BTreeSet, fs, path::PathBuf};

fn reference(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(name)
}

fn rows(name: &str) -> Vec<csv::StringRecord> {
    let text = fs::read(reference(name)).expect("a reference table");
    let mut reader = ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_slice());
    let rows = reader.records().map(|row| row.expect("a row"));
    rows.collect()
}

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

/// The days of two years.
fn days() -> impl Iterator<Item = NaiveDate> {
    day("2027-01-01").iter_days().take(731)
}

fn evenings(calendar: &Calendar) -> BTreeSet<NaiveDate> {
    days().filter(|date| calendar.has_evening(*date)).collect()
}

/// The periods that begin in the two years, as texts in UTC.
fn periods(calendar: &Calendar, zone: Zone) -> BTreeSet<(String, String)> {
    let text = |moment: rakelight::ephemeris::Moment| {
        moment.to_utc().format("%Y-%m-%dT%H:%MZ").to_string()
    };
    let near = days().flat_map(|date| calendar.periods_near(zone, date).collect::<Vec<_>>());
    near.filter(|[from, to]| from < to)
        .map(|[from, to]| (text(from), text(to)))
        .filter(|(from, _)| ("2027".."2029").contains(&from.as_str()))
        .collect()
}

#[test]
fn files_of_another_library_take_place_when_it_says() {
    let zone = Zone::named("Australia/Adelaide").expect("a zone");
    let rows = rows("calendars.csv");
    assert!(rows.len() > 50);
    for (file, least) in [("holidays.ics", 15), ("permits.ics", 40)] {
        let bytes = fs::read(reference("calendars").join(file)).expect("a calendar");
        let calendar = read_calendar(file, bytes.as_slice()).expect("a good calendar");
        let told = || rows.iter().filter(|row| &row[0] == file);
        assert!(told().count() >= least);
        let mut listed = BTreeSet::new();
        let mut timed = BTreeSet::new();
        for row in told() {
            let (from, to) = (&row[2], &row[3]);
            if from.len() == 10 {
                let last = day(to);
                listed.extend(day(from).iter_days().take_while(|date| *date <= last));
                continue;
            }
            // Without Z it is what the site's clocks show.
            let utc = |text: &str| {
                let moment = zone.parse_time(text).expect("a time");
                moment.to_utc().format("%Y-%m-%dT%H:%MZ").to_string()
            };
            timed.insert((utc(from), utc(to)));
        }
        assert_eq!(evenings(&calendar), listed, "{file}");
        assert_eq!(periods(&calendar, zone), timed, "{file}");
    }
}

#[test]
fn random_rules_have_the_days_that_another_library_finds() {
    let rows = rows("recurrences.csv");
    assert!(rows.len() >= 150);
    let last = day("2028-02-29");
    let mut found = 0;
    for row in &rows {
        let (first, rule) = (row[0].replace('-', ""), &row[1]);
        let text = format!(
            "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTART;VALUE=DATE:{first}\r\nRRULE:{rule}\r\n\
             END:VEVENT\r\nEND:VCALENDAR\r\n"
        );
        let calendar = read_calendar("r.ics", text.as_bytes()).expect(rule);
        let ours: Vec<String> = evenings(&calendar)
            .into_iter()
            .filter(|date| *date <= last)
            // A first day that the rule does not have counts in a calendar.
            .filter(|date| *date != day(&row[0]) || row[2].contains(&first))
            .map(|date| date.format("%Y%m%d").to_string())
            .collect();
        assert_eq!(ours.join(" "), row[2], "{first} {rule}");
        found += ours.len();
    }
    assert!(found > 1000, "{found}");
}

#[test]
fn an_event_within_an_event_is_no_event_of_its_own() {
    let text = "BEGIN:VCALENDAR\nBEGIN:VEVENT\nDTSTART:20270501\nBEGIN:VALARM\n\
                DTSTART:20270601\nEND:VALARM\nEND:VEVENT\nEND:VCALENDAR\n";
    let calendar = read_calendar("r.ics", text.as_bytes()).expect("a calendar");
    assert_eq!(evenings(&calendar), BTreeSet::from([day("2027-05-01")]));
}

#[test]
fn lists_and_tables_of_dates_are_read() {
    let read = |text: &str| evenings(&read_calendar("d.csv", text.as_bytes()).expect(text)).len();
    for (text, count) in [
        ("2027-05-01\n2027-05-03..2027-05-05\n", 4),
        (
            "# away\r\n2027-05-01 # a feast\r\n\r\n2027-05-03, 2027-05-05\r\n",
            3,
        ),
        (
            "date,what\n2027-05-01,a feast\n2027-05-03..2027-05-05,away\n",
            4,
        ),
        ("What,Date\n\"a feast, big\",2027-05-01\n", 1),
        ("from,to\n2027-05-01,2027-05-09\n", 9),
        ("\u{feff}2028-12-30..\n", 2),
    ] {
        assert_eq!(read(text), count, "{text}");
    }
}

#[test]
fn times_run_over_midnight_and_may_have_an_offset() {
    let zone = Zone::named("Australia/Adelaide").expect("a zone");
    let read = |text: &str| periods(&read_calendar("t.csv", text.as_bytes()).expect(text), zone);
    let period = |from: &str, to: &str| BTreeSet::from([(from.to_owned(), to.to_owned())]);
    for (text, from, to) in [
        (
            "date,from,to\n2027-05-28,21:00,02:30\n",
            "28T11:30",
            "28T17:00",
        ),
        (
            "to,note,date,from\n24:00,tide 0.4 m,2027-05-28,21:00\n",
            "28T11:30",
            "28T14:30",
        ),
        (
            "from,to\n2027-05-28T21:00+09:30,2027-05-28T18:00Z\n",
            "28T11:30",
            "28T18:00",
        ),
        (
            "from,to\n2027-05-28 21:00,2027-05-29 02:30\n",
            "28T11:30",
            "28T17:00",
        ),
        (
            "date,from,to\n,2027-05-28T21:00,2027-05-29T02:30\n",
            "28T11:30",
            "28T17:00",
        ),
    ] {
        let utc = |text: &str| format!("2027-05-{text}Z");
        assert_eq!(read(text), period(&utc(from), &utc(to)), "{text}");
    }
    let several = "date,from,to\n2027-05-28,18:00,19:00\n2027-05-28,22:00,01:00\n";
    assert_eq!(read(several).len(), 2);
}
