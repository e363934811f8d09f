//! A calendar that is to be brought up to date.

use super::said;
use chrono::NaiveDate;
use rakelight::{
    ephemeris::Moment,
    input::{OldCalendar, read_old_calendar},
    report::ical::{Calendar, CalendarStyle, sites_in},
    scene::Dates,
};

pub fn run(data: &[u8]) {
    match read_old_calendar("old.ics", data) {
        Ok(calendar) => check(&calendar),
        Err(faults) => said::check_faults(&faults),
    }
}

/// A run that asks about no site keeps all of it, but for what was cancelled
/// and is over.
fn check(before: &OldCalendar) {
    let _ = sites_in(before);
    // Before any night that the program knows.
    let day = NaiveDate::from_ymd_opt(1900, 1, 1).expect("a day");
    let stamp = Moment::from_utc(day.and_time(chrono::NaiveTime::MIN).and_utc());
    let dates = Dates::one(day).expect("a date");
    let calendar = Calendar::new(CalendarStyle::default(), dates, stamp, before.clone());
    let text = calendar.begin() + &calendar.end();
    let after = read_old_calendar("new.ics", text.as_bytes()).expect("what was written is read");
    assert_eq!(after.entries, before.entries);
    assert_eq!(after.others, before.others);
    assert_eq!(after.properties, before.properties);
    // Clocks that no entry needs are gone, and none comes twice.
    for (name, clock) in &after.zones {
        assert!(before.zones.contains(&(name.clone(), clock.clone())));
        assert!(after.entries.iter().any(|entry| entry.zones.contains(name)));
    }
}
