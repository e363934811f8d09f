//! Trips among places of several zones, names and kinds of light, against the
//! scan of the same sites and a plain reading of what a spare is.

use super::program::{Folder, Run};
use rakelight::{plan::MoveRules, scene::Site};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

fn parsed(folder: &Folder, args: &[&str]) -> Value {
    let text = Run::at(folder).of(args).good();
    serde_json::from_str(&text).expect("JSON")
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().expect("a list")
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}

/// Days since the first evening asked for, from a date of May, June or July.
fn day(date: &Value) -> usize {
    let [month, day] = [5..7, 8..10].map(|part| text(date)[part].parse::<usize>().expect("a date"));
    match month {
        5 => day - 1,
        6 => day + 30,
        7 => day + 60,
        other => panic!("month {other}"),
    }
}

/// The best score of each site (by name) and evening in a scan, with the start of
/// its window.
fn best_of_scan(folder: &Folder, range: &[&str]) -> BTreeMap<(String, usize), (f64, String)> {
    let args = [&["scan", "places.csv", "--format=json", "--quiet"], range].concat();
    let mut best: BTreeMap<(String, usize), (f64, String)> = BTreeMap::new();
    for window in list(&parsed(folder, &args)["sites"])
        .iter()
        .flat_map(|site| list(&site["windows"]))
    {
        let score = window["score"].as_f64().expect("a score");
        let key = (text(&window["site"]).to_owned(), day(&window["night"]));
        let found = (score, text(&window["start_utc"]).to_owned());
        let known = best.entry(key).or_insert_with(|| found.clone());
        if score > known.0 {
            *known = found;
        }
    }
    best
}

const SPREAD: [(&str, f64, f64); 5] = [
    ("Red Gap", -31.4, 139.2),
    ("Salt Arm", -30.9, 138.2),
    ("Old Shed", -32.2, 140.1),
    ("Far Dune", -29.6, 137.5),
    ("Wind Pump", -31.9, 141.6),
];
const WINTER: [&str; 3] = [
    "--from=2027-05-01",
    "--to=2027-07-31",
    "--light=raking,dark",
];

/// A drive of the default detour, so that limits on kilometres alone decide.
fn km(from: &str, to: &str) -> f64 {
    let site = |name: &str| {
        let place = SPREAD.iter().find(|(known, ..)| *known == name);
        let (_, latitude, longitude) = place.expect("a place");
        Site::new(*latitude, *longitude).expect("a site")
    };
    MoveRules::default().between(&site(from), &site(to)).km
}

/// Each session is the best window of that evening over both kinds of light, and
/// the spare place and night are the best of all that fit in by the definition
/// in `docs/formats.md`.
#[test]
fn sessions_and_spares_are_the_best_of_the_scan() {
    let folder = Folder::new();
    let mut rows = String::from("name,latitude_deg,longitude_deg\n");
    for (name, latitude, longitude) in SPREAD {
        rows += &format!("{name},{latitude},{longitude}\n");
    }
    folder.file("places.csv", &rows);
    let best = best_of_scan(&folder, &WINTER);
    let most_km = 220.0;
    let asked = [
        "trip",
        "places.csv",
        "--format=json",
        "--quiet",
        "--nights=5",
        "--free=1",
        "--stay=2",
        "--top=6",
        "--max-km=220",
        "--max-hours=24",
    ];
    let document = parsed(&folder, &[&asked[..], &WINTER].concat());
    let (mut spare_places, mut spare_nights) = (0, 0);
    let mut kinds = BTreeSet::new();
    for trip in list(&document["trips"]) {
        let nights = list(&trip["nights"]);
        let first = day(&nights[0]["night"]);
        let plan: Vec<Option<&str>> = nights
            .iter()
            .map(|night| night["session"]["site"].as_str())
            .collect();
        let before = |at: usize| {
            let earlier = plan.iter().take(at).enumerate();
            earlier
                .filter_map(|(n, place)| Some((n, (*place)?)))
                .next_back()
        };
        let after = |at: usize| {
            let later = plan.iter().enumerate().skip(at + 1);
            later.filter_map(|(n, place)| Some((n, (*place)?))).next()
        };
        let reaches = |from: &str, to: &str, days: usize| km(from, to) <= most_km * days as f64;
        let fits = |at: usize, place: &str| {
            before(at).is_none_or(|(n, from)| reaches(from, place, at - n))
                && after(at).is_none_or(|(n, to)| reaches(place, to, n - at))
        };
        for (at, (night, planned)) in nights.iter().zip(&plan).enumerate() {
            let Some(planned) = *planned else {
                assert!(night["spare_place"].is_null() && night["spare_night"].is_null());
                continue;
            };
            assert!(fits(at, planned), "{trip}");
            let score = |site: &str, at: usize| best.get(&(site.to_owned(), first + at));
            let window = &night["session"]["window"];
            let (highest, start) = score(planned, at).expect("a window of the scan");
            assert_eq!(window["score"].as_f64(), Some(*highest));
            assert_eq!(text(&window["start_utc"]), start);
            kinds.insert(text(&window["light"]).to_owned());

            let places = SPREAD.iter().map(|(name, ..)| *name);
            let spare = places
                .filter(|place| *place != planned && reaches(planned, place, 1) && fits(at, place))
                .filter_map(|place| score(place, at))
                .map(|(score, _)| *score)
                .reduce(f64::max);
            let told = &night["spare_place"]["window"]["score"];
            assert_eq!(told.as_f64(), spare, "{night}");
            spare_places += usize::from(spare.is_some());

            // Two evenings after the trip count too.
            let later = (at + 1..nights.len() + 2)
                .filter(|later| plan.get(*later).is_none_or(Option::is_none));
            let spare = later
                .filter(|later| fits(*later, planned))
                .filter_map(|later| score(planned, later))
                .map(|(score, _)| *score)
                .reduce(f64::max);
            let told = &night["spare_night"]["window"]["score"];
            assert_eq!(told.as_f64(), spare, "{night}");
            spare_nights += usize::from(spare.is_some());
        }
    }
    assert!(
        spare_places > 5 && spare_nights > 5,
        "{spare_places} {spare_nights}"
    );
    assert_eq!(kinds.len(), 2, "both kinds are in some trip: {kinds:?}");
}

/// On the two sides of the date line an evening has the same date by the clocks
/// of each, a day apart in time; the trip counts dates.
#[test]
fn an_evening_is_the_same_date_in_every_zone() {
    let folder = Folder::new();
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg,time_zone\n\
         West Reef,-13.8,-171.8,Pacific/Apia\nEast Reef,-14.3,-170.7,Pacific/Pago_Pago\n",
    );
    let range = ["--from=2027-05-01", "--to=2027-06-30", "--light=dark"];
    let best = best_of_scan(&folder, &range);
    let asked = [
        "trip",
        "places.csv",
        "--format=json",
        "--quiet",
        "--nights=4",
        "--stay=1",
    ];
    let document = parsed(&folder, &[&asked[..], &range].concat());
    for trip in list(&document["trips"]) {
        let nights = list(&trip["nights"]);
        let first = day(&nights[0]["night"]);
        for (at, night) in nights.iter().enumerate() {
            let session = &night["session"];
            let window = &session["window"];
            assert_eq!(day(&night["night"]), first + at);
            assert_eq!(window["night"], night["night"]);
            let site = text(&session["site"]).to_owned();
            let offset = match site.as_str() {
                "West Reef" => "+13:00",
                _ => "-11:00",
            };
            assert_eq!(window["utc_offset"], offset);
            let (score, start) = &best[&(site, first + at)];
            assert_eq!(window["score"].as_f64(), Some(*score));
            assert_eq!(text(&window["start_utc"]), start);
            // 0.5 degrees of latitude and 1.1 of longitude at 14 degrees south
            // are 131 km, times 1.3.
            let km = session["move_km"].as_f64();
            assert!(
                at == 0 || km.is_some_and(|km| (km - 170.0).abs() < 2.0),
                "{km:?}"
            );
        }
        assert_ne!(nights[0]["session"]["site"], nights[1]["session"]["site"]);
    }
}

#[test]
fn places_of_one_name_stay_two_places() {
    let folder = Folder::new();
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg\nTwin,-31.4,139.2\nTwin,-30.9,138.2\n",
    );
    let asked = [
        "trip",
        "places.csv",
        "--format=json",
        "--quiet",
        "--nights=3",
        "--stay=1",
    ];
    let document = parsed(&folder, &[&asked[..], &WINTER].concat());
    for night in &list(&document["trips"][0]["nights"])[1..] {
        assert_eq!(night["session"]["site"], "Twin");
        assert!(night["session"]["move_km"].as_f64() > Some(100.0));
    }
}

#[test]
fn trips_of_twenty_years_share_no_evening_and_three_hundred_places_have_one() {
    let folder = Folder::new();
    folder.file(
        "places.csv",
        "name,latitude_deg,longitude_deg\nA,-31.4,139.2\nB,-30.9,138.2\n",
    );
    let asked = [
        "trip",
        "places.csv",
        "--format=json",
        "--quiet",
        "--nights=3",
        "--top=1000",
    ];
    let years = ["--from=2027-01-01", "--to=2046-12-31", "--light=dark"];
    let document = parsed(&folder, &[&asked[..], &years].concat());
    let trips = list(&document["trips"]);
    assert!(trips.len() > 300, "{} trips", trips.len());
    let mut evenings = BTreeSet::new();
    let mut last = f64::INFINITY;
    for trip in trips {
        let worth = trip["trip_worth"].as_f64().expect("a worth");
        assert!(worth <= last);
        last = worth;
        for night in list(&trip["nights"]) {
            assert!(evenings.insert(text(&night["night"]).to_owned()), "{trip}");
        }
    }

    let mut rows = String::from("name,latitude_deg,longitude_deg\n");
    for number in 0..300 {
        let (north, east) = (f64::from(number / 20), f64::from(number % 20));
        rows += &format!(
            "P{number},{:.2},{:.2}\n",
            -35.0 + north / 2.0,
            130.0 + east / 2.0
        );
    }
    folder.file("places.csv", &rows);
    let asked = [
        "trip",
        "places.csv",
        "--format=json",
        "--quiet",
        "--nights=7",
        "--free=2",
    ];
    let weeks = [
        "--from=2027-05-24",
        "--to=2027-06-13",
        "--stay=2",
        "--light=dark",
    ];
    let document = parsed(&folder, &[&asked[..], &weeks].concat());
    assert_eq!(list(&document["trips"][0]["nights"]).len(), 7);
    // A tenth of it is usual in a program that is not optimised.
}
