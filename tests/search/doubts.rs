//! The doubts about a window against the altitudes that DE421 gives for its
//! best instant and for the whole of it, both ways: a doubt where there is
//! reason, none where there is none. Made by `reference/make/doubts.py`.
#![allow(clippy::print_stdout, reason = "the counts are the point of the test")]

use crate::common;
use crate::program;

use common::rows;
use program::{Folder, Run};
use std::collections::{BTreeMap, HashMap};

/// Within so much of its threshold an altitude may fall on either side: four
/// times what a straight line loses in 15 minutes (0.03 degrees), and what
/// unsettled refraction may do there.
const UNSURE_DEG: f64 = 0.12;

/// What a stretch must hold of a doubtful height to be doubtful throughout: the
/// program's own promise (`docs/formats.md`).
const QUARTER: f64 = 0.25;

/// Equal parts into which a stretch is cut to tell how much of it is doubtful.
const PARTS: u32 = 2000;

/// The altitudes of one place: seconds since 1970 and, for each body, degrees.
struct Place {
    pressure_hpa: f64,
    looks: Vec<(f64, [f64; 3])>,
}

const MOON: usize = 0;
const CORE: usize = 1;
const ROUND: usize = 2;

/// From the geometric altitude: Saemundsson (Sky & Telescope 72, 1986, p. 70;
/// Meeus, Astronomical Algorithms, eq. 16.4), 10 C. Where nobody sees anything
/// it is cut off, so that altitudes far below the horizon are left as they are.
fn apparent_deg(geometric_deg: f64, pressure_hpa: f64) -> f64 {
    if geometric_deg < -1.0 {
        return geometric_deg;
    }
    let angle = geometric_deg + 10.3 / (geometric_deg + 5.11);
    geometric_deg + 1.02 / angle.to_radians().tan() / 60.0 * pressure_hpa / 1010.0
}

impl Place {
    /// Apparent altitude at seconds since 1970, degrees.
    fn altitude_deg(&self, body: usize, time: f64) -> f64 {
        let next = self.looks.partition_point(|look| look.0 < time).max(1);
        let (a, b) = (&self.looks[next - 1], &self.looks[next]);
        assert!(b.0 - a.0 < 1000.0, "no altitudes at {time}");
        let geometric = a.1[body] + (b.1[body] - a.1[body]) * (time - a.0) / (b.0 - a.0);
        apparent_deg(geometric, self.pressure_hpa)
    }

    /// Whether a period with a best instant is doubtful by a body's altitude.
    fn doubtful(
        &self,
        body: usize,
        state: fn(f64) -> Option<bool>,
        [from, to, best]: [f64; 3],
    ) -> Option<bool> {
        let parts = (0..PARTS).map(|part| {
            let share = (f64::from(part) + 0.5) / f64::from(PARTS);
            state(self.altitude_deg(body, from + (to - from) * share))
        });
        by_best_or_share(state(self.altitude_deg(body, best)), parts)
    }
}

/// Doubtful is what is so at the best instant or for a quarter of the time or
/// more; `None` where the doubtful part may or may not make up a quarter.
fn by_best_or_share(
    at_best: Option<bool>,
    parts: impl Iterator<Item = Option<bool>>,
) -> Option<bool> {
    let (mut all, mut surely, mut possibly) = (0.0, 0.0, 0.0);
    for part in parts {
        all += 1.0;
        surely += f64::from(u8::from(part == Some(true)));
        possibly += f64::from(u8::from(part != Some(false)));
    }
    let for_long = if surely >= QUARTER * all {
        Some(true)
    } else if possibly < QUARTER * all {
        Some(false)
    } else {
        None
    };
    either(at_best, for_long)
}

/// Whether `value` lies under `limit`; `None` where it is too near to tell.
fn under(value: f64, limit: f64) -> Option<bool> {
    ((value - limit).abs() > UNSURE_DEG).then_some(value < limit)
}

/// Whether the Moon is within 3 degrees of the horizon. What refraction is for
/// a Moon 3 degrees down is a matter of convention: up to 0.7 degrees.
fn near_horizon(moon_deg: f64) -> Option<bool> {
    match moon_deg {
        low if low < -3.7 => Some(false),
        low if low < -2.9 => None,
        high => under(high, 3.0),
    }
}

/// Whether a target is low.
fn low(target_deg: f64) -> Option<bool> {
    under(target_deg, 5.0)
}

fn either(a: Option<bool>, b: Option<bool>) -> Option<bool> {
    match (a, b) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (Some(false), Some(false)) => Some(false),
        _ => None,
    }
}

fn places() -> (BTreeMap<String, Place>, Vec<common::Row>) {
    let sites = rows("doubts_sites.csv");
    let mut places: BTreeMap<String, Place> = BTreeMap::new();
    let mut starts: HashMap<String, f64> = HashMap::new();
    for site in &sites {
        let first: chrono::NaiveDate = site.text("first_evening").parse().expect("a date");
        let start = first.and_time(chrono::NaiveTime::MIN).and_utc().timestamp();
        starts.insert(site.text("site").to_owned(), start as f64);
        // The standard atmosphere's shape, 1010 hPa at sea level.
        let pressure_hpa = 1010.0 * (1.0 - 2.25577e-5 * site.number("elevation_m")).powf(5.25588);
        let place = Place {
            pressure_hpa,
            looks: Vec::new(),
        };
        places.insert(site.text("site").to_owned(), place);
    }
    for row in rows("doubts.csv") {
        let site = row.text("site");
        let time = starts[site] + 60.0 * row.number("minute");
        let altitudes =
            ["moon", "core", "round"].map(|body| row.number(&format!("{body}_altitude_deg")));
        let place = places.get_mut(site).expect("a place");
        place.looks.push((time, altitudes));
    }
    (places, sites)
}

fn seconds(text: &str) -> f64 {
    let time: chrono::DateTime<chrono::Utc> = text.parse().expect("a time");
    time.timestamp() as f64
}

/// How often a doubt was told, not told, and could not be judged.
#[derive(Debug, Default)]
struct Count {
    told: usize,
    not_told: usize,
    unsure: usize,
}

impl Count {
    fn judge(&mut self, truth: Option<bool>, told: bool, what: &str, wrong: &mut Vec<String>) {
        match truth {
            None => self.unsure += 1,
            Some(truth) if truth != told => wrong.push(format!("{what}: told {told}, is {truth}")),
            Some(true) => self.told += 1,
            Some(false) => self.not_told += 1,
        }
    }
}

#[test]
fn every_doubt_has_its_reason_and_every_reason_its_doubt() {
    let folder = Folder::new();
    let (places, sites) = places();
    let (mut moon, mut target) = (Count::default(), Count::default());
    let mut wrong = Vec::new();
    for site in &sites {
        let name = site.text("site");
        let place = &places[name];
        let table = format!(
            "name,latitude_deg,longitude_deg,elevation_m,time_zone,sky.zenith_mag_arcsec2\n\
             {name},{},{},{},UTC,21.6\n",
            site.text("latitude_deg"),
            site.text("longitude_deg"),
            site.text("elevation_m"),
        );
        folder.file("site.csv", &table);
        let first: chrono::NaiveDate = site.text("first_evening").parse().expect("a date");
        let evenings: u64 = site.text("evenings").parse().expect("a count");
        let last = first + chrono::Days::new(evenings - 1);
        let (first, last) = (first.to_string(), last.to_string());
        for (body, star) in [(CORE, "core"), (ROUND, "icrs:350,58")] {
            for light in ["raking", "dark", "blend", "any"] {
                for (heights, sun) in [
                    ("-5..", "..-8"),
                    ("3..", "..-18"),
                    ("12..", "..-12"),
                    ("-5..9", "..-8"),
                    ("..14", "..-12"),
                ] {
                    let moon_low = ["--moon-altitude", "0.5..40", "--moon-fraction", "0.01..1"];
                    let moonless: &[&str] = match light {
                        "dark" | "any" => &[],
                        _ => &moon_low,
                    };
                    let args = [
                        &["scan", "site.csv", "--from", &first, "--to", &last][..],
                        &["--light", light, "--target", star, "--facing", "target"],
                        &["--target-altitude", heights, "--sun-altitude", sun],
                        &["--min-minutes", "1", "--format", "csv", "--quiet"],
                        moonless,
                    ];
                    let ended = Run::at(&folder).of(&args.concat());
                    assert!(ended.code < 2, "{}", ended.err);
                    let mut reader = csv::Reader::from_reader(ended.out.as_bytes());
                    for row in reader.deserialize::<HashMap<String, String>>() {
                        let row = row.expect("a row");
                        let spell = |prefix: &str| {
                            let times = ["start_utc", "end_utc", "best_utc"]
                                .map(|time| &row[&format!("{prefix}{time}")]);
                            (!times[0].is_empty()).then(|| times.map(|text| seconds(text)))
                        };
                        let (mut near, mut deep) = (Some(false), Some(false));
                        for spell in [spell(""), spell("moonlit_")].into_iter().flatten() {
                            near = either(near, place.doubtful(MOON, near_horizon, spell));
                        }
                        // The land by moonlight is taken without the target.
                        for spell in [spell("")].into_iter().flatten() {
                            deep = either(deep, place.doubtful(body, low, spell));
                        }
                        let doubts: Vec<&str> = row["doubts"].split(' ').collect();
                        let what = format!(
                            "{name} {star} {light} {heights} {} to {}",
                            row["start_utc"], row["end_utc"]
                        );
                        let told = |word| doubts.contains(&word);
                        let (m, t) = ("moon_near_horizon", "target_low");
                        moon.judge(near, told(m), &format!("{m} {what}"), &mut wrong);
                        target.judge(deep, told(t), &format!("{t} {what}"), &mut wrong);
                        assert!(!told("sky_guessed"), "{what}: there is a reading");
                    }
                }
            }
        }
    }
    println!("Moon: {moon:?}\ntarget: {target:?}");
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    for count in [moon, target] {
        let all = count.told + count.not_told;
        assert!(count.told > 120 && count.not_told > 200, "{count:?}");
        assert!(count.unsure * 12 < all, "{count:?}");
    }
}

/// A stretch tells what a look each minute tells, at any place, pole to pole:
/// the Moon that stands near the horizon only in between, the
/// target that dips there, if for a quarter of the time; and the best instant
/// alone, wherever in the stretch it lies.
#[test]
fn what_lies_between_the_looks_counts() {
    use rakelight::{
        ephemeris::{Direction, Ephemeris, Moment, Observer, Refraction, Sky, SkyState},
        scene::{Site, Zone},
        search::{CaveatWatch, Interval},
    };
    let mut dice = common::Dice::new(20_270_915);
    let start: chrono::DateTime<chrono::Utc> = "2027-01-01T00:00:00Z".parse().expect("a time");
    let first = Moment::from_utc(start);
    let span = Ephemeris::covering(first, first.plus_seconds(400.0 * 86_400.0));
    let tracks = [-60.0, -29.0, 5.0, 40.0, 58.0].map(|declination_deg| {
        span.star(Direction::Icrs {
            right_ascension_deg: 2.0 * declination_deg + 180.0,
            declination_deg,
        })
    });
    let (mut moon, mut target) = (Count::default(), Count::default());
    // Of these only between the looks, where the ends and the middle say no.
    let (mut moon_between, mut target_between) = (0, 0);
    let mut wrong = Vec::new();
    for case in 0..3000 {
        let latitude_deg = dice.between(-90.0, 90.0);
        let longitude_deg = dice.between(-180.0, 180.0);
        let text = format!("{latitude_deg:.5},{longitude_deg:.5}");
        let site = Site::at_place(&text, Some(Zone::UTC)).expect("a place");
        let track = &tracks[dice.below(tracks.len())];
        let observer = Observer::new(site.latitude_deg, site.longitude_deg, 0.0);
        let air = Refraction::new(site.air.pressure_hpa, site.air.temperature_c);
        let sky = Sky::new(&span, track, observer, air);
        let from = first.plus_seconds(dice.between(0.0, 380.0 * 86_400.0));
        let minutes = dice.between(1.0, 1400.0).floor();
        let at = |minute: f64| sky.at(from.plus_seconds(60.0 * minute));
        // As often at an end as in between, for that is where a window is often
        // best.
        let best_minute = match dice.below(4) {
            0 => 0.0,
            1 => minutes,
            _ => dice.between(0.0, minutes),
        };
        let best = from.plus_seconds(60.0 * best_minute);
        let looks = [at(0.0), at(best_minute), at(minutes)];
        let stretch = Interval::new(from.seconds(), from.plus_seconds(60.0 * minutes).seconds());
        let told = CaveatWatch::of(&site).over(&sky, stretch, best);
        // In half of such a part no altitude changes by more than is unsure.
        let count = (minutes / 0.9).ceil();
        let all: Vec<SkyState> = (0..count as u32)
            .map(|part| at((f64::from(part) + 0.5) / count * minutes))
            .collect();
        let moon_altitude = |sky: &SkyState| sky.moon.apparent_altitude_deg;
        let target_altitude = |sky: &SkyState| sky.target.apparent_altitude_deg;
        let near_horizon = |sky: &SkyState| under(moon_altitude(sky).abs(), 3.0);
        let low = |sky: &SkyState| low(target_altitude(sky));
        let near = by_best_or_share(near_horizon(&looks[1]), all.iter().map(near_horizon));
        let low = by_best_or_share(low(&looks[1]), all.iter().map(low));
        let what = format!("case {case}, {text}, {minutes} min");
        moon.judge(
            near,
            told.moon_near_horizon,
            &format!("Moon {what}"),
            &mut wrong,
        );
        target.judge(low, told.target_low, &format!("target {what}"), &mut wrong);
        let seen_at_once = |sky: &SkyState| moon_altitude(sky).abs() < 3.0;
        let same_side = looks.iter().all(|sky| moon_altitude(sky) > 0.0)
            || looks.iter().all(|sky| moon_altitude(sky) < 0.0);
        let at_once = looks.iter().any(seen_at_once) || !same_side;
        moon_between += usize::from(near == Some(true) && !at_once);
        let at_once = looks.iter().any(|sky| target_altitude(sky) < 5.0);
        target_between += usize::from(low == Some(true) && !at_once);
    }
    println!(
        "Moon: {moon:?}, {moon_between} between\ntarget: {target:?}, {target_between} between"
    );
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(moon_between > 20 && target_between > 20);
}

/// The edge of a window that the Moon's altitude ends lies on the rule's own
/// threshold, and rounding puts half of them a hair below: no doubt, even if
/// the window is best there, under the lowest Moon. Where the rule lets the Moon
/// lower, those same nights have one.
#[test]
fn an_edge_on_the_threshold_itself_makes_no_doubt() {
    let folder = Folder::new();
    let doubted = |moon: &str| {
        let scan = format!(
            "scan --from 2027-01-01 --to 2028-12-31 --place=-31.4,139.2 --facing 130 \
             --light any --moon-altitude {moon} --target-altitude 5.. --format csv --quiet"
        );
        let args: Vec<&str> = scan.split_whitespace().collect();
        let out = Run::at(&folder).of(&args).good();
        let mut reader = csv::Reader::from_reader(out.as_bytes());
        let rows = reader.deserialize::<HashMap<String, String>>();
        let (mut moon, mut target, mut at_edge, mut all) = (0, 0, 0, 0);
        for row in rows {
            let row = row.expect("a row");
            let word = |doubt: &str| usize::from(row["doubts"].split(' ').any(|w| w == doubt));
            moon += word("moon_near_horizon");
            target += word("target_low");
            at_edge += usize::from(
                [row["start_utc"].clone(), row["end_utc"].clone()].contains(&row["best_utc"]),
            );
            all += 1;
        }
        assert!(all > 20 && at_edge > 20, "{all} windows, {at_edge}");
        (moon, target)
    };
    assert_eq!(doubted("3..30"), (0, 0));
    let (moon, target) = doubted("2.9..30");
    assert!(moon > 10, "{moon}");
    assert_eq!(target, 0);
}

#[test]
fn a_dark_sky_is_guessed_unless_a_meter_read_it() {
    let folder = Folder::new();
    let place = "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n";
    for (sky, guessed) in [
        ("", true),
        ("[sky]\nextinction_mag = 0.2\n", true),
        ("[sky]\nbortle = 2\n", true),
        ("[sky]\nzenith_mag_arcsec2 = 21.6\n", false),
    ] {
        folder.file("site.toml", format!("{place}{sky}"));
        let scan = "scan site.toml --from 2027-05-01 --to 2027-05-31 --light any --format csv";
        let args: Vec<&str> = scan.split(' ').collect();
        let out = Run::at(&folder).of(&args).good();
        let mut reader = csv::Reader::from_reader(out.as_bytes());
        let mut rows = 0;
        for row in reader.deserialize::<HashMap<String, String>>() {
            let row = row.expect("a row");
            let told = row["doubts"].split(' ').any(|word| word == "sky_guessed");
            assert_eq!(told, guessed, "{sky}");
            rows += 1;
        }
        assert!(rows > 20, "{rows}");
    }
}
