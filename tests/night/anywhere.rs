//! A night anywhere on Earth, on any date: no panic, lines in order of time,
//! cards within their width.

use chrono::NaiveDate;
use proptest::prelude::*;
use rakelight::{
    input::{OldCalendar, read_old_calendar},
    plan::{PlanSettings, TripodAims, WindowMap},
    report::{
        CsvLayout, Record, SiteId,
        ical::{Alarm, Calendar, CalendarStyle, SiteWindows},
        map, markdown, night, night_csv, night_json,
    },
    rule::{Brief, Rules},
    scene::{Dates, Site, Subject, SubjectPlace, Zone},
    search::{Lens, Night, Season},
};

const ZONES: [&str; 6] = [
    "UTC",
    "Australia/Lord_Howe",
    "Pacific/Apia",
    "America/St_Johns",
    "Europe/Oslo",
    "Asia/Kathmandu",
];

fn site(latitude: f64, longitude: f64, zone: &str) -> Site {
    let mut site = Site::new(latitude, longitude).expect("a place");
    site.zone = Zone::named(zone).expect("a zone");
    site.subject = Some(Subject {
        name: Some("post".to_owned()),
        place: SubjectPlace::Bearing {
            bearing_deg: 200.0,
            distance_m: Some(90.0),
        },
        height_m: Some(8.0),
        width_m: None,
        reflectance: None,
        reflectance_measured: None,
    });
    site
}

fn check(latitude: f64, longitude: f64, date: NaiveDate, zone: &str, kind: &str) {
    let site = site(latitude, longitude, zone);
    let mut brief = Brief::default();
    let key = if kind == "moon" { "target" } else { "light" };
    brief.set(key, kind).expect("a kind of light, or the Moon");
    let rules = Rules::new(&brief, &site).expect("rules");
    let Some(the_night) = Night::of(&site, date) else {
        return;
    };
    let planner = Season::new(Dates::new(date, date).expect("dates"))
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let plan = planner
        .plan(the_night.date, &PlanSettings::default())
        .expect("a camera");
    let moments: Vec<f64> = plan.order.iter().map(|e| e.moment().seconds()).collect();
    assert!(moments.is_sorted());
    let steps: Vec<f64> = plan
        .steps
        .iter()
        .map(|look| look.instant.moment().seconds())
        .collect();
    assert!(steps.is_sorted());
    for look in &plan.steps {
        let below = plan.steps_below_sun_deg.expect("a threshold");
        assert!(look.instant.sky.sun.altitude_deg <= below + 1e-3);
    }
    let mut card = Vec::new();
    night::write(&mut card, &plan, 80).expect("a vector");
    let card = String::from_utf8(card).expect("UTF-8");
    for line in anstream::adapter::strip_str(&card).to_string().lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert!(!line.contains("NaN") && !line.contains("inf"), "{line}");
    }
    let mut sink = Vec::new();
    night_csv::write(
        &mut sink,
        std::slice::from_ref(&plan),
        &CsvLayout::default(),
    )
    .expect("a vector");
    night_json::write(&mut sink, &plan, &serde_json::Value::Null, None).expect("a vector");
    markdown::write_night(&mut sink, &plan).expect("a vector");
    let id = SiteId::of(&site);
    for local_times in [false, true] {
        let style = CalendarStyle {
            local_times,
            alarms: vec![Alarm { minutes: 90 }],
        };
        let dates = Dates::one(date).expect("dates");
        let mut calendar = Calendar::new(style, dates, the_night.start, OldCalendar::default());
        let windows = SiteWindows {
            site: &site,
            id: &id,
            rules: &rules,
            all: &plan.windows.iter().collect::<Vec<_>>(),
        };
        let chosen: Vec<_> = plan.windows.iter().collect();
        let text = calendar.begin() + &calendar.site(&windows, &chosen) + &calendar.end();
        let read = read_old_calendar("c.ics", text.as_bytes()).expect("a calendar");
        assert_eq!(read.entries.len(), plan.windows.len());
        // A zone whose clocks show a start or an end twice is left to UTC.
        assert!(read.zones.len() <= usize::from(local_times));
    }
    for window in &plan.windows {
        let drawn = WindowMap::of(&planner, window).expect("coordinates");
        let site = &site;
        let features = map::window_features(&Record { site, window }, &id, &drawn);
        assert!(!map::joined(&features).contains("null,null"));
    }
    let lens = Lens::of(&site, 1.0).expect("a camera");
    for step in 0..24 {
        let moment = the_night.start.plus_seconds(3600.0 * f64::from(step));
        let _ = planner.tripod(&lens, &TripodAims::default(), moment);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn nothing_breaks(
        latitude in -90.0..=90.0_f64,
        longitude in -180.0..=180.0_f64,
        day in 0..73_000_u64,
        zone in prop::sample::select(&ZONES[..]),
        kind in prop::sample::select(&["raking", "dark", "blend", "any", "moon"][..]),
    ) {
        let first = NaiveDate::from_ymd_opt(1900, 1, 1).expect("a date");
        let date = first + chrono::Days::new(day);
        check(latitude, longitude, date, zone, kind);
    }
}

#[test]
fn the_ends_of_the_range_and_the_corners_of_the_earth() {
    let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).expect("a date");
    for date in [
        day(1900, 1, 1),
        day(2027, 6, 21),
        day(2027, 12, 21),
        day(2099, 12, 31),
    ] {
        for (latitude, longitude) in [
            (90.0, 0.0),
            (-90.0, 0.0),
            (0.0, 180.0),
            (0.0, -180.0),
            (66.6, -179.9),
            (-29.0, 0.0),
        ] {
            for kind in ["any", "blend", "moon"] {
                check(latitude, longitude, date, "UTC", kind);
            }
        }
    }
}
