//! A zone in the first line, a time or a date in the second.

use super::{said, text};
use chrono::Datelike;
use rakelight::{
    ephemeris::Moment,
    scene::{LocalTime, ValueError, Zone, offset_text, parse_date},
};

pub fn run(data: &[u8]) {
    let text = text(data);
    let (name, typed) = text.split_once('\n').unwrap_or(("", text));
    let zone = match name {
        // Looking for the nearest name takes longer than all the rest.
        "" => Zone::UTC,
        _ => Zone::named(name).unwrap_or_else(|error| {
            said::check_error(&error);
            Zone::UTC
        }),
    };
    assert_eq!(Zone::named(zone.name()), Ok(zone));
    check(zone, zone.parse_time(typed));
    check(Zone::UTC, Zone::UTC.parse_time(typed));
    match parse_date(typed) {
        Ok(date) => {
            assert_eq!(date.to_string(), typed.trim());
            assert!((1900..=2099).contains(&date.year()));
        }
        Err(error) => said::check_error(&error),
    }
}

fn check(zone: Zone, read: Result<Moment, ValueError>) {
    let moment = match read {
        Ok(moment) => moment,
        Err(error) => return said::check_error(&error),
    };
    let local = zone.local(moment);
    assert!((1900..=2099).contains(&local.year()), "{local}");
    let near = |other: Moment| (other.seconds() - moment.seconds()).abs() <= 1.0;
    let found = match zone.resolve(local) {
        LocalTime::Once(one) => near(one),
        LocalTime::Twice(both) => both.iter().any(|one| near(one.moment)),
        LocalTime::Skipped(_) => false,
    };
    assert!(found, "{local} in {} leads elsewhere", zone.name());
    let offset = zone.offset_seconds_at(moment);
    // RFC 3339 has no offsets with seconds.
    if offset % 60 == 0 {
        let written = format!(
            "{}{}",
            local.format("%Y-%m-%dT%H:%M:%S"),
            offset_text(offset)
        );
        match zone.parse_time(&written) {
            Ok(again) => assert!(near(again), "{written}"),
            Err(error) => panic!("{written} was shown and is refused: {error}"),
        }
    }
    let later = zone.offset_changes(moment, moment.plus_seconds(4e7));
    assert!(later.windows(2).all(|pair| pair[0].0 < pair[1].0));
    assert!(later.len() < 12, "{} changes", later.len());
}
