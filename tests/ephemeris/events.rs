//! Rise, set, transit and twilights against JPL DE421 through Skyfield
//! (`tests/reference/events.csv`), and U.S. Naval Observatory tables.

use crate::common;

use common::{Row, rows, spread};
use rakelight::ephemeris::{Direction, Ephemeris, EventKind, Moment, Observer, Refraction, Sky};
use std::collections::BTreeMap;

fn kind(name: &str) -> EventKind {
    use EventKind::*;
    match name {
        "sunset" => Sunset,
        "civil_dusk" => CivilDusk,
        "nautical_dusk" => NauticalDusk,
        "astronomical_dusk" => AstronomicalDusk,
        "astronomical_dawn" => AstronomicalDawn,
        "nautical_dawn" => NauticalDawn,
        "civil_dawn" => CivilDawn,
        "sunrise" => Sunrise,
        "moonrise" => Moonrise,
        "moonset" => Moonset,
        "core_rise" => TargetRise,
        "core_transit" => TargetTransit,
        "core_set" => TargetSet,
        other => panic!("unknown event {other}"),
    }
}

#[test]
fn every_event_of_every_span_against_de421() {
    let mut spans: BTreeMap<(String, String), Vec<Row>> = BTreeMap::new();
    for row in rows("events.csv") {
        let key = (
            row.text("site_id").to_string(),
            row.text("span_start_utc").to_string(),
        );
        spans.entry(key).or_default().push(row);
    }
    let mut sites: Vec<&str> = spans.keys().map(|(site, _)| site.as_str()).collect();
    sites.dedup();
    assert!(sites.len() >= 10);
    let (mut clean, mut grazing) = (Vec::new(), Vec::new());
    for ((site, start), rows) in &spans {
        let (from, to) = (
            rows[0].moment("span_start_utc"),
            rows[0].moment("span_end_utc"),
        );
        let ephemeris = Ephemeris::covering(from, to);
        let core = ephemeris.star(Direction::Core);
        let observer = Observer::new(
            rows[0].number("latitude_deg"),
            rows[0].number("longitude_deg"),
            rows[0].number("elevation_m"),
        );
        let sky = Sky::new(&ephemeris, &core, observer, Refraction::new(1010.0, 10.0));
        let mut ours: BTreeMap<EventKind, Vec<f64>> = BTreeMap::new();
        for event in sky.events(from, to) {
            ours.entry(event.kind)
                .or_default()
                .push(event.moment.seconds());
        }
        ours.remove(&EventKind::MoonTransit);
        let mut theirs: BTreeMap<EventKind, Vec<(f64, f64)>> = BTreeMap::new();
        for row in rows.iter().filter(|row| row.text("event") != "none") {
            theirs.entry(kind(row.text("event"))).or_default().push((
                row.moment("time_utc").seconds(),
                row.number("rate_deg_per_min").abs(),
            ));
        }
        let counts = |map: BTreeMap<EventKind, usize>| map;
        assert_eq!(
            counts(ours.iter().map(|(k, v)| (*k, v.len())).collect()),
            counts(theirs.iter().map(|(k, v)| (*k, v.len())).collect()),
            "{site} from {start}: none missed, none invented"
        );
        for (kind, events) in &theirs {
            for ((time, rate), ours) in events.iter().zip(&ours[kind]) {
                // Slower than a tenth of the sky's own 0.25 degrees a minute
                // the body grazes: there a small angle is a long time. What
                // is compared is then the altitude at the event.
                if *rate >= 0.025 {
                    clean.push(ours - time);
                } else {
                    grazing.push((ours - time) / 60.0 * rate * 3600.0);
                }
            }
        }
    }
    spread("rise, set, twilight, transit", "s", &clean, 0.02, 0.1);
    spread("grazing, as altitude", "arcsec", &grazing, 0.05, 0.2);
}

#[test]
fn rise_and_set_by_the_naval_observatory() {
    // USNO one-year tables, rounded to the minute, UT.
    // Longitude 81 W, latitude 29 N, 2019 (two dates); latitude 60 N and 60 S.
    let cases: [(f64, f64, &str, EventKind, &str); 14] = [
        (29.0, -81.0, "2019-03-14", EventKind::Sunrise, "11:35"),
        (29.0, -81.0, "2019-03-14", EventKind::Sunset, "23:32"),
        (29.0, -81.0, "2019-03-14", EventKind::Moonrise, "16:55"),
        (29.0, -81.0, "2019-03-14", EventKind::Moonset, "06:06"),
        (29.0, -81.0, "2019-07-14", EventKind::Sunrise, "10:35"),
        (29.0, -81.0, "2019-07-14", EventKind::Sunset, "00:25"),
        (29.0, -81.0, "2019-07-14", EventKind::Moonrise, "22:45"),
        (29.0, -81.0, "2019-07-14", EventKind::Moonset, "08:34"),
        (60.0, 0.0, "2019-03-14", EventKind::Sunrise, "06:21"),
        (60.0, 0.0, "2019-03-14", EventKind::Sunset, "17:59"),
        (60.0, 0.0, "2019-07-14", EventKind::Sunrise, "03:01"),
        (60.0, 0.0, "2019-07-14", EventKind::Sunset, "21:09"),
        (-60.0, -150.0, "2019-07-14", EventKind::Sunrise, "18:50"),
        (-60.0, -150.0, "2019-07-14", EventKind::Sunset, "01:21"),
    ];
    for (latitude, longitude, date, kind, clock) in cases {
        let at = |text: String| Moment::from_utc(text.parse().expect("a time"));
        let day = at(format!("{date}T00:00:00Z"));
        let ephemeris = Ephemeris::covering(day, day.plus_seconds(86_400.0));
        let core = ephemeris.star(Direction::Core);
        let observer = Observer::new(latitude, longitude, 0.0);
        let sky = Sky::new(&ephemeris, &core, observer, Refraction::new(1010.0, 10.0));
        let found = sky
            .events(day, day.plus_seconds(86_400.0))
            .into_iter()
            .find(|event| event.kind == kind)
            .unwrap_or_else(|| panic!("no {kind:?} on {date}"));
        let published = at(format!("{date}T{clock}:00Z"));
        let late = found.moment.seconds() - published.seconds();
        assert!(
            late.abs() <= 45.0,
            "{date} {kind:?}: {late} s from the table"
        );
    }
}

#[test]
fn nights_without_astronomical_darkness() {
    // Recomputed from the solstice's declination of 23.438 degrees: at
    // longitude 0 in 2025, nights whose midnight Sun stays above -18. One day
    // of tolerance at each end.
    for (latitude, first, last) in [
        (49.0, "2025-06-10", "2025-07-02"),
        (51.5, "2025-05-23", "2025-07-20"),
        (55.0, "2025-05-08", "2025-08-04"),
        (60.0, "2025-04-22", "2025-08-21"),
    ] {
        let at =
            |text: &str| Moment::from_utc(format!("{text}T12:00:00Z").parse().expect("a time"));
        let (first, last) = (at(first), at(last));
        let ephemeris = Ephemeris::covering(
            first.plus_seconds(-5.0 * 86_400.0),
            last.plus_seconds(5.0 * 86_400.0),
        );
        let core = ephemeris.star(Direction::Core);
        let observer = Observer::new(latitude, 0.0, 0.0);
        let sky = Sky::new(&ephemeris, &core, observer, Refraction::NONE);
        let dark = |noon: Moment| {
            sky.events(noon, noon.plus_seconds(86_400.0))
                .iter()
                .any(|event| event.kind == EventKind::AstronomicalDusk)
        };
        let day = |moment: Moment, days: f64| moment.plus_seconds(days * 86_400.0);
        assert!(
            !dark(day(first, 1.0)) && dark(day(first, -2.0)),
            "{latitude}"
        );
        assert!(!dark(day(last, -2.0)) && dark(day(last, 1.0)), "{latitude}");
    }
}
