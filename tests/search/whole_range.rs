//! Any place, any date from 1900 to 2099, any brief: what every answer keeps.
//!
//! The draws are seeded in `.cargo/config.toml`; `-- --nocapture` prints how
//! many there were and what came of them.

use chrono::{Days, NaiveDate};
use proptest::{prelude::*, test_runner::TestRunner};
use rakelight::{
    ephemeris::{Direction, Event, EventKind, Moment},
    input::parse_site,
    rule::{Brief, CONTRAST, LIGHT, Rules, TARGET, TILT},
    scene::{Camera, Dates, LightKind, Site, Zone, offset_text, parse_date},
    search::{Night, Season, Window},
};
use std::{cell::Cell, fmt::Debug, io::Write as _, path::Path};

const ZONES: [&str; 5] = [
    "UTC",
    "Australia/Lord_Howe",
    "Pacific/Kiritimati",
    "America/St_Johns",
    "Europe/Oslo",
];

/// Days from 1900-01-01 to 2099-12-31.
const LAST_DAY: u64 = 73_048;

fn day(number: u64) -> NaiveDate {
    NaiveDate::from_ymd_opt(1900, 1, 1).expect("a date") + Days::new(number)
}

/// The ends as often as all between, for that is where things break.
fn ends_or_between(low: f64, high: f64) -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(low), 1 => Just(high), 1 => Just(0.0), 6 => low..=high]
}

fn site() -> impl Strategy<Value = Site> {
    let place = (
        ends_or_between(-90.0, 90.0),
        ends_or_between(-180.0, 180.0),
        ends_or_between(-400.0, 8800.0),
    );
    (place, prop::sample::select(&ZONES[..])).prop_map(|((lat, lon, height), zone)| {
        let site = Site::new(lat, lon).and_then(|site| site.with_elevation_m(height));
        let site = site.expect("a place");
        let mut site = site.with_zone(Zone::named(zone).expect("a zone"));
        site.camera = Some(Camera::default());
        site
    })
}

fn first_day() -> impl Strategy<Value = u64> {
    prop_oneof![1 => Just(0), 1 => Just(LAST_DAY), 6 => 0..=LAST_DAY]
}

/// A band of the form `A..B`, `A..` or `..B` within a range.
fn band(low: i32, high: i32) -> impl Strategy<Value = String> {
    let tenths = || low * 10..=high * 10;
    (tenths(), tenths(), 0..3).prop_map(|(a, b, form)| {
        let end = |tenths: i32| (f64::from(tenths) / 10.0).to_string();
        match form {
            0 => format!("{}..", end(a)),
            1 => format!("..{}", end(a)),
            _ => format!("{}..{}", end(a.min(b)), end(a.max(b))),
        }
    })
}

/// A key of a brief with a text that it takes.
fn entry() -> impl Strategy<Value = (&'static str, String)> {
    let words = |key: &'static str, words: &'static [&'static str]| {
        prop::sample::select(words).prop_map(move |word| (key, word.to_owned()))
    };
    let banded = |key: &'static str, low, high| band(low, high).prop_map(move |text| (key, text));
    let clock = || (0..24, 0..60).prop_map(|(hour, minute)| format!("{hour:02}:{minute:02}"));
    prop_oneof![
        words(
            "light",
            &["raking", "dark", "blend", "any", "dark,blend,raking"]
        ),
        words("light_side", &["left", "right", "either"]),
        words("framing", &["one", "panorama", "any"]),
        words("moon_in_frame", &["no", "only", "any"]),
        words(
            "target_place",
            &["clear", "clear:0.5", "over:3", "beside", "behind", "any"]
        ),
        words("facing", &["target", "arch", "12.5", "359"]),
        words(
            "target",
            &["core", "moon", "gal:80,-3.5", "icrs:83.6,22", "icrs:0,-90"]
        ),
        words(
            "weekdays",
            &["fri,sat", "sun", "sat-mon", "mon,tue,wed,thu,fri,sat,sun"]
        ),
        words(
            "weights",
            &["contrast=2,length=0", "balance=0.5", "raking=3"]
        ),
        banded("target_altitude", -90, 90),
        banded("target_offset", -180, 180),
        banded("arch_altitude", 0, 90),
        banded("arch_offset", -180, 180),
        banded("tilt", 0, 90),
        banded("sun_altitude", -90, 0),
        banded("moon_altitude", -90, 90),
        banded("light_angle", 0, 180),
        banded("moon_fraction", 0, 1),
        banded("contrast", 0, 3),
        (0..3600, 0..3600).prop_map(|(a, b)| {
            let end = |tenths: i32| f64::from(tenths) / 10.0;
            ("target_azimuth", format!("{}..{}", end(a), end(b)))
        }),
        (clock(), clock()).prop_map(|(a, b)| ("clock", format!("{a}..{b}"))),
        (0..240_i32).prop_map(|minutes| ("min_minutes", minutes.to_string())),
    ]
}

/// Lists of dates and times as they are typed; their files are not read here.
fn listed() -> impl Strategy<Value = (&'static str, String)> {
    let day = || (1900..2100, 1..13, 1..29).prop_map(|(y, m, d)| format!("{y}-{m:02}-{d:02}"));
    let dates = |key: &'static str| {
        (day(), day(), 0..4_i32).prop_map(move |(one, other, form)| {
            let (first, last) = if one < other {
                (&one, &other)
            } else {
                (&other, &one)
            };
            let text = match form {
                0 => format!("{first}..{last}"),
                1 => format!("{one},{other}"),
                2 => format!("..{last}"),
                _ => format!("{first}..,taken.ics"),
            };
            (key, text)
        })
    };
    let times = prop::sample::select(&["tides.csv", "gate times.ics", "off"][..]);
    let prefer = prop::sample::select(&["dark=0.5", "raking=2,blend=0", "blend=1,dark=1"][..]);
    prop_oneof![
        prefer.prop_map(|text| ("prefer", text.to_owned())),
        (0..1000_i32).prop_map(|tenths| ("min_score", (f64::from(tenths) / 10.0).to_string())),
        dates("dates"),
        dates("not"),
        times.prop_map(|file| ("times", file.to_owned())),
    ]
}

/// A brief of up to so many rules; what a key refuses (how often is held
/// below) is left out.
fn brief(rules: usize) -> impl Strategy<Value = Brief> {
    prop::collection::vec(entry(), 0..=rules).prop_map(|entries| {
        let mut brief = Brief::default();
        for (key, text) in entries {
            let _ = brief.set(key, &text);
        }
        if brief.get(&TARGET) == Some(Direction::Moon) {
            // What has no meaning for the Moon is refused.
            for rule in [&LIGHT, &CONTRAST, &TILT] {
                brief.put(rule, None);
            }
        }
        brief
    })
}

fn tell(words: std::fmt::Arguments<'_>) {
    // Not `print!`: our lints keep that out.
    let _ = writeln!(std::io::stderr(), "{words}");
}

fn assert_finite(what: &impl Debug) {
    let text = format!("{what:?}");
    let odd = ["NaN", ": inf", ": -inf", "(inf", "(-inf"];
    assert!(!odd.iter().any(|word| text.contains(word)), "{text}");
}

fn check_windows(site: &Site, rules: &Rules, first: u64, nights: u64) -> Vec<Window> {
    let (first, last) = (day(first), day((first + nights - 1).min(LAST_DAY)));
    let mut windows = Season::new(Dates::new(first, last).expect("dates"))
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    assert!(windows.is_sorted_by(|a, b| a.score >= b.score));
    windows.sort_by(|a, b| a.interval.start.total_cmp(&b.interval.start));
    for window in &windows {
        assert_finite(window);
        assert!((first..=last).contains(&window.night));
        assert!((0.0..=100.0).contains(&window.score), "{}", window.score);
        let night = Night::of(site, window.night).expect("its night");
        let land = window.land.as_ref().map(|land| (land.interval, &land.best));
        let periods = [Some((window.interval, &window.best)), land];
        for (interval, best) in periods.into_iter().flatten() {
            assert!(interval.start < interval.end, "{interval:?}");
            assert!(night.start.seconds() <= interval.start, "{interval:?}");
            assert!(interval.end <= night.end.seconds(), "{interval:?}");
            let moment = best.moment().seconds();
            assert!(interval.start <= moment && moment <= interval.end);
        }
        if rules.light != LightKind::Blend {
            assert!(window.interval.minutes() >= rules.min_minutes() - 1e-6);
        }
    }
    for pair in windows.windows(2) {
        if let [one, next] = pair {
            assert!(one.interval.end <= next.interval.start, "{pair:#?}");
        }
    }
    windows
}

/// From which depth of twilight to which a crossing of the Sun leads: 0 is day,
/// 4 is night.
fn step(kind: EventKind) -> Option<(u32, u32)> {
    Some(match kind {
        EventKind::Sunset => (0, 1),
        EventKind::CivilDusk => (1, 2),
        EventKind::NauticalDusk => (2, 3),
        EventKind::AstronomicalDusk => (3, 4),
        EventKind::AstronomicalDawn => (4, 3),
        EventKind::NauticalDawn => (3, 2),
        EventKind::CivilDawn => (2, 1),
        EventKind::Sunrise => (1, 0),
        _ => return None,
    })
}

/// Dusks and dawns lead from depth to depth without a gap, and what rises sets
/// before it rises again.
fn check_events(events: &[Event], night: &Night) {
    assert!(events.is_sorted_by(|a, b| a.moment.seconds() <= b.moment.seconds()));
    let within = night.start.seconds()..=night.end.seconds();
    assert!(events.iter().all(|e| within.contains(&e.moment.seconds())));
    let steps: Vec<_> = events.iter().filter_map(|e| step(e.kind)).collect();
    for pair in steps.windows(2) {
        if let [(_, to), (from, _)] = pair {
            assert_eq!(to, from, "{events:#?}");
        }
    }
    let turns = [
        (EventKind::Moonrise, EventKind::Moonset),
        (EventKind::TargetRise, EventKind::TargetSet),
    ];
    for (rise, set) in turns {
        let kinds = events.iter().map(|e| e.kind);
        let kinds: Vec<_> = kinds.filter(|kind| [rise, set].contains(kind)).collect();
        assert!(kinds.windows(2).all(|pair| pair.first() != pair.last()));
    }
}

#[test]
fn windows_lie_in_their_nights_in_order_with_their_best_inside() {
    let (cases, found) = (Cell::new(0), Cell::new(0));
    let mut runner = TestRunner::new(ProptestConfig::with_cases(2000));
    let drawn = runner.run(
        &(site(), first_day(), 1..45_u64, brief(4)),
        |(site, first, nights, brief)| {
            let Ok(rules) = Rules::new(&brief, &site) else {
                return Err(TestCaseError::reject("no subject to face"));
            };
            cases.set(cases.get() + 1);
            found.set(found.get() + check_windows(&site, &rules, first, nights).len());
            Ok(())
        },
    );
    drawn.expect("every window keeps the promises");
    let (cases, found) = (cases.get(), found.get());
    tell(format_args!("{cases} seasons with {found} windows"));
    assert!(found > 1000, "too few windows to prove a thing: {found}");
}

#[test]
fn twilights_lead_from_depth_to_depth_and_the_sky_is_finite() {
    let cases = Cell::new(0);
    let mut runner = TestRunner::new(ProptestConfig::with_cases(600));
    let drawn = runner.run(&(site(), first_day(), 0.0..=1.0), |(site, first, part)| {
        let rules = Rules::new(&Brief::default(), &site).expect("no subject is asked for");
        if let Some(night) = Night::of(&site, day(first)) {
            let planner = Season::new(Dates::new(night.date, night.date).expect("dates"))
                .planner(site.clone(), rules.clone())
                .expect("a planner");
            check_events(
                &planner
                    .series(night.date, 1)
                    .expect("a night of the season")
                    .events,
                &night,
            );
            let moment = night.start.plus_seconds(86_400.0 * part);
            assert_finite(&planner.at(moment).expect("within the season"));

            cases.set(cases.get() + 1);
        }
        Ok(())
    });
    drawn.expect("every night keeps the order");
    tell(format_args!("{} nights", cases.get()));
}

#[test]
fn every_wish_printed_and_read_again_is_the_same() {
    let (cases, refused) = (Cell::new(0), Cell::new(Vec::new()));
    let mut keys = std::collections::BTreeSet::new();
    let keys_drawn = std::cell::RefCell::new(&mut keys);
    let mut runner = TestRunner::new(ProptestConfig::with_cases(4000));
    let drawn = runner.run(&prop_oneof![8 => entry(), 2 => listed()], |(key, text)| {
        let mut first = Brief::default();
        if let Err(error) = first.set(key, &text) {
            let mut all = refused.take();
            all.push(format!("{key}: {error}"));
            refused.set(all);
            return Ok(());
        }
        let printed = first.entries();
        let mut second = Brief::default();
        for (key, text) in &printed {
            second.set(key, text).expect("what is printed can be typed");
        }
        prop_assert_eq!(second.entries(), printed);
        prop_assert_eq!(second, first);
        keys_drawn.borrow_mut().insert(key);
        cases.set(cases.get() + 1);
        Ok(())
    });
    drawn.expect("every rule survives");
    let refused = refused.take();
    tell(format_args!(
        "{} rules, {} refused",
        cases.get(),
        refused.len()
    ));
    assert!(refused.len() * 20 < cases.get(), "{refused:#?}");
    let known: std::collections::BTreeSet<&str> = Brief::keys().collect();
    assert_eq!(keys, known, "every key is drawn and taken");
}

#[test]
fn names_dates_and_times_printed_and_read_again_are_the_same() {
    let cases = Cell::new(0);
    let mut runner = TestRunner::new(ProptestConfig::with_cases(2000));
    let zones = prop::sample::select(&ZONES[..]);
    let drawn = runner.run(
        &(
            1..LAST_DAY,
            0..86_400_u32,
            zones,
            "[ -~\u{a1}-\u{2ff}]{1,30}",
        ),
        |(number, second, zone, name)| {
            let date = day(number);
            prop_assert_eq!(parse_date(&date.to_string()).ok(), Some(date));

            let time = date.and_hms_opt(0, 0, 0).expect("midnight").and_utc();
            let moment = Moment::from_utc(time).plus_seconds(f64::from(second));
            let zone = Zone::named(zone).expect("a zone");
            let offset = zone.offset_seconds_at(moment);
            // Local mean time of a century ago had odd seconds, which no
            // written offset has.
            if offset % 60 == 0 {
                let local = zone.local(moment).format("%Y-%m-%dT%H:%M:%S");
                let text = format!("{local}{}", offset_text(offset));
                let read = zone
                    .parse_time(&text)
                    .map_err(|e| TestCaseError::fail(e.to_string()))?;
                prop_assert!((read.seconds() - moment.seconds()).abs() < 1e-3, "{}", text);
            }

            let read = |name: &str| {
                let name = serde_json::Value::from(name);
                let text = format!("name = {name}\nlatitude_deg = 1\nlongitude_deg = 2\n");
                parse_site("s.toml", &text, Path::new("."))
            };
            if let Ok(site) = read(&name) {
                let again = read(&site.name).expect("a name that was taken is taken again");
                prop_assert_eq!(again.name, site.name);
            }
            cases.set(cases.get() + 1);
            Ok(())
        },
    );
    drawn.expect("all survive");
    tell(format_args!("{} names, dates and times", cases.get()));
}
