//! Whatever a calendar holds and whatever the next runs find: an importer of
//! each file, and one of the last alone, show what the runs found.

use crate::calendar;

use calendar::{Imported, entries, shown, value};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use rakelight::{
    ephemeris::Moment,
    input::{OldCalendar, read_old_calendar},
    report::{
        SiteIds,
        ical::{Alarm, Calendar, CalendarStyle, SiteWindows, sites_in},
    },
    rule::{Brief, Rules},
    scene::{Dates, Site, Zone},
    search::{Season, Window},
};
use std::{
    collections::{BTreeMap, BTreeSet},
    sync::LazyLock,
};

const NIGHTS: u64 = 45;

fn night(index: u64) -> NaiveDate {
    let first = NaiveDate::from_ymd_opt(2027, 4, 1).expect("a day");
    first.checked_add_days(Days::new(index)).expect("a day")
}

/// A site with rules and all windows in these nights.
struct Place {
    site: Site,
    rules: Rules,
    windows: Vec<Window>,
}

/// Names that differ little, views, kinds of nights.
static PLACES: LazyLock<Vec<Place>> = LazyLock::new(|| {
    let dates = Dates::new(night(0), night(NIGHTS - 1)).expect("dates");
    let season = Season::new(dates);
    let mut places = Vec::new();
    for (name, view, light, zone) in [
        ("Gate", None, "any", "Australia/Adelaide"),
        ("Gate", None, "dark", "Australia/Adelaide"),
        ("Gate", Some("北"), "any", "Australia/Adelaide"),
        ("بوابة", None, "blend", "Australia/Lord_Howe"),
    ] {
        let mut site = Site::new(-31.4, 139.2).expect("a place");
        site.name = name.to_owned();
        site.view = view.map(str::to_owned);
        site.zone = Zone::named(zone).expect("a zone");
        let mut brief = Brief::default();
        brief.set("light", light).expect("a kind of light");
        brief.set("target_offset", "-180..180").expect("a band");
        brief.set("min_minutes", "10").expect("minutes");
        let rules = Rules::new(&brief, &site).expect("rules");
        let planner = season.planner(site.clone(), rules.clone());
        places.push(Place {
            windows: planner.expect("a planner").windows(),
            site,
            rules,
        });
    }
    assert!(places.iter().all(|place| place.windows.len() > 2));
    places
});

/// A run: which places, between which nights, which of the windows it finds and
/// how these differ, how it writes.
#[derive(Debug, Clone)]
struct Asked {
    places: Vec<bool>,
    nights: [u64; 2],
    found: Vec<(bool, bool, u8)>,
    local_times: bool,
    alarm: bool,
}

fn asked() -> impl Strategy<Value = Asked> {
    let one = (any::<bool>(), prop::bool::weighted(0.9), 0..3_u8);
    (
        prop::collection::vec(any::<bool>(), PLACES.len()),
        [0..NIGHTS, 0..NIGHTS],
        prop::collection::vec(one, 64),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(places, mut nights, found, local_times, alarm)| {
            nights.sort_unstable();
            Asked {
                places,
                nights,
                found,
                local_times,
                alarm,
            }
        })
}

/// The file that a run writes.
fn written(asked: &Asked, stamp: Moment, before: OldCalendar) -> String {
    let [first, last] = asked.nights.map(night);
    let style = CalendarStyle {
        local_times: asked.local_times,
        alarms: asked
            .alarm
            .then_some(Alarm { minutes: 60 })
            .into_iter()
            .collect(),
    };
    let dates = Dates::new(first, last).expect("dates");
    let mut ids = SiteIds::after(sites_in(&before));
    let mut calendar = Calendar::new(style, dates, stamp, before);
    let mut text = calendar.begin();
    // A run has one kind of light, so a site comes once in it.
    let mut names = Vec::new();
    for (place, _) in PLACES
        .iter()
        .zip(&asked.places)
        .filter(|(_, asked)| **asked)
    {
        let title = place.site.title().into_owned();
        if names.contains(&title) {
            continue;
        }
        names.push(title);
        let in_range = |window: &&Window| first <= window.night && window.night <= last;
        let windows = place.windows.iter().filter(in_range);
        let found = windows.zip(&asked.found).filter(|(_, (found, ..))| *found);
        let mut all = Vec::new();
        let mut is_chosen = Vec::new();
        for (window, (_, chosen, change)) in found {
            let mut window = window.clone();
            window.score = f64::from(*change);
            window.interval.end += 60.0 * f64::from(*change);
            all.push(window);
            is_chosen.push(*chosen);
        }
        let chosen: Vec<&Window> = all
            .iter()
            .zip(is_chosen)
            .filter_map(|(window, chosen)| chosen.then_some(window))
            .collect();
        let windows = SiteWindows {
            site: &place.site,
            id: &ids.of(&place.site),
            rules: &place.rules,
            all: &all.iter().collect::<Vec<_>>(),
        };
        text += &calendar.site(&windows, &chosen);
    }
    text + &calendar.end()
}

/// The places that a run asks about: the site, view and kind in their UIDs.
fn asked_of(asked: &Asked) -> Vec<String> {
    let everything = Asked {
        nights: [0, NIGHTS - 1],
        found: vec![(true, true, 0); 64],
        ..asked.clone()
    };
    let text = written(
        &everything,
        Moment::from_seconds(8e8),
        OldCalendar::default(),
    );
    let uids = entries(&text).into_iter().map(|entry| value(&entry, "UID"));
    uids.map(|uid| place_of(&uid)).collect()
}

fn place_of(uid: &str) -> String {
    uid.splitn(3, '_').nth(2).expect("a place").to_owned()
}

type Shown = BTreeMap<String, [String; 5]>;

fn shown_of(calendar: &Imported) -> Shown {
    let entries = calendar.entries();
    entries
        .map(|entry| (value(entry, "UID"), shown(entry)))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn an_importer_shows_what_the_runs_found(
        runs in prop::collection::vec((asked(), 0..3_u32), 2..6),
    ) {
        let mut expected = Shown::new();
        let mut imported = Imported::default();
        let mut text = String::new();
        let mut stamp = Moment::from_seconds(8e8);
        for (asked, later) in runs {
            stamp = stamp.plus_seconds(3600.0 * f64::from(later));
            let before = match text.as_str() {
                "" => OldCalendar::default(),
                text => read_old_calendar("old.ics", text.as_bytes()).expect("a calendar"),
            };
            let next = written(&asked, stamp, before.clone());
            // What this run finds, by itself.
            let mut alone = Imported::default();
            alone.import(&written(&asked, stamp, OldCalendar::default()));
            let [first, last] = asked.nights.map(|index| night(index).to_string());
            let places = asked_of(&asked);
            expected.retain(|uid, _| {
                let is_asked = places.contains(&place_of(uid));
                !(is_asked && (first.as_str()..=last.as_str()).contains(&&uid[..10]))
            });
            expected.extend(shown_of(&alone));

            imported.import(&next);
            prop_assert_eq!(&shown_of(&imported), &expected);
            let mut fresh = Imported::default();
            fresh.import(&next);
            prop_assert_eq!(&shown_of(&fresh), &expected);
            // A run that finds the same changes nothing.
            let read = read_old_calendar("next.ics", next.as_bytes()).expect("a calendar");
            // Each zone that times are in has its clocks, once.
            let used: BTreeSet<&String> = read.entries.iter().flat_map(|e| &e.zones).collect();
            let mut known: Vec<&String> = read.zones.iter().map(|(name, _)| name).collect();
            known.sort();
            prop_assert_eq!(known, used.into_iter().collect::<Vec<_>>());
            prop_assert_eq!(written(&asked, stamp.plus_seconds(60.0), read), next.as_str());
            text = next;
        }
    }
}
