//! What a scan costs, piece by piece: `cargo bench`.
//!
//! Each bench checks its answer before it is timed, so that no figure is that
//! of a scan which found nothing. Compare figures of one run only: as ratios
//! they hold when the machine's speed drifts.

use chrono::{Days, NaiveDate};
use divan::{Bencher, black_box};
use rakelight::{
    ephemeris::{Ephemeris, Observer, Refraction, Sky},
    light::{LightInput, assess},
    plan::{MoveRules, Moves, TripNights, TripRules},
    report::{CsvLayout, Record, WINDOW_FIELDS, csv},
    rule::Brief,
    rule::Rules,
    scene::{Dates, Site},
    search::{Night, Season, Sweep, nights},
    terrain::{
        ElevationMosaic, ElevationTile, GroundPoint, SkylineProfile, SkylineSettings, TileCorner,
    },
};
use std::{path::Path, process::Command};

fn main() {
    divan::main();
}

fn years(count: u64) -> Season {
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date");
    Season::new(Dates::new(first, first + Days::new(365 * count - 1)).expect("dates"))
}

fn desert() -> (Site, Rules) {
    let site = Site::new(-31.4, 139.2).expect("a place");
    let rules = Rules::new(&Brief::default(), &site).expect("rules");
    (site, rules)
}

/// Fitting the sky's motions over a year.
#[divan::bench]
fn span_of_a_year(bencher: Bencher<'_, '_>) {
    let season = years(1);
    let (from, to) = (season.ephemeris().from(), season.ephemeris().to());
    bencher.bench(|| Ephemeris::covering(black_box(from), black_box(to)));
}

/// Windows of a year at one site, without what they are like.
#[divan::bench]
fn sweep_of_a_site_year(bencher: Bencher<'_, '_>) {
    let season = years(1);
    let (site, rules) = desert();
    let target = season.ephemeris().star(rules.target);
    let observer = Observer::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let air = Refraction::new(site.air.pressure_hpa, site.air.temperature_c);
    let sky = Sky::new(season.ephemeris(), &target, observer, air);
    let sweep = Sweep::new(&sky, &site, &rules);
    let nights: Vec<Night> = nights(
        site.longitude_deg,
        site.zone,
        season.dates().first(),
        season.dates().last(),
    )
    .collect();
    let windows = || -> usize {
        nights
            .iter()
            .map(|night| sweep.night(&sky, night).as_slice().len())
            .sum()
    };
    assert!(windows() > 10);
    bencher.bench(windows);
}

/// The same with light, score and rank.
#[divan::bench]
fn windows_of_a_site_year(bencher: Bencher<'_, '_>) {
    let season = years(1);
    let (site, rules) = desert();
    assert!(
        season
            .planner(site.clone(), rules.clone())
            .expect("a planner")
            .windows()
            .len()
            > 3
    );
    bencher.bench(|| {
        season
            .planner(black_box(&site).clone(), black_box(&rules).clone())
            .expect("a planner")
            .windows()
    });
}

/// One window as a line of CSV.
#[divan::bench]
fn line_of_csv(bencher: Bencher<'_, '_>) {
    let season = years(1);
    let (site, rules) = desert();
    let windows = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    let record = Record {
        site: &site,
        window: &windows[0],
    };
    let usual = CsvLayout::default();
    bencher.bench(|| {
        let mut line = Vec::with_capacity(800);
        csv::write_record(&mut line, WINDOW_FIELDS, black_box(&record), &site, &usual)
            .expect("a vector takes all");
        line
    });
}

/// One instant's light.
#[divan::bench]
fn light_of_an_instant(bencher: Bencher<'_, '_>) {
    let conditions = LightInput {
        moon_altitude_deg: 12.0,
        ..LightInput::default()
    };
    assert!(assess(&conditions).moonlight_lux > 0.0);
    bencher.bench(|| assess(black_box(&conditions)));
}

/// The whole program, started anew: one site, so many years.
#[divan::bench(args = [1, 10])]
fn whole_process(bencher: Bencher<'_, '_>, years: i32) {
    let run = || {
        let output = Command::new(env!("CARGO_BIN_EXE_rakelight"))
            .args([
                "scan",
                "--place",
                "-31.4,139.2",
                "--quiet",
                "--format",
                "csv",
            ])
            .args(["--from", "2027-01-01", "--to"])
            .arg(format!("{}-12-31", 2026 + years))
            .output()
            .expect("the program runs");
        assert!(output.status.success());
        output.stdout.len()
    };
    assert!(run() > 1000);
    bencher.bench(run);
}

/// The skyline in 720 directions of 60 km over one 1 arc-second tile.
#[divan::bench(sample_count = 5)]
fn skyline_of_a_place(bencher: Bencher<'_, '_>) {
    let bytes: Vec<u8> = (0..3601_i32)
        .flat_map(|row| {
            (0..3601_i32).map(move |column| {
                let (y, x) = (f64::from(row) / 90.0, f64::from(column) / 70.0);
                (500.0 + 200.0 * y.sin() + 300.0 * x.cos()) as i16
            })
        })
        .flat_map(i16::to_be_bytes)
        .collect();
    let corner = TileCorner {
        south_deg: -32,
        west_deg: 139,
    };
    let tile = ElevationTile::from_bytes(corner, Path::new("made"), &bytes).expect("a tile");
    let land = ElevationMosaic::from_tiles([tile]);
    let camera = GroundPoint::new(-31.5, 139.5).expect("a place");
    let settings = SkylineSettings::default();
    let profile = || SkylineProfile::compute(&land, camera, &settings).expect("a profile");
    assert_eq!(profile().points.len(), 720);
    bencher.bench(profile);
}

/// Whole numbers below 1000, the same in each run.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 = (self.0 * 1_103_515_245 + 12_345) % (1 << 31);
        (self.0 >> 16) % 1000
    }
}

/// So many places in a land of 1000 km by 1000 km, and what each is worth on
/// the nights of a year: half of them have a window, in two weeks of each month
/// as the Moon has it.
fn places_of_a_year(count: usize) -> (Moves, TripNights) {
    let mut numbers = Numbers(27);
    let mut at = || numbers.next() as f64;
    let at: Vec<[f64; 2]> = (0..count).map(|_| [at(), at()]).collect();
    let km: Vec<Vec<f64>> = at
        .iter()
        .map(|[x, y]| at.iter().map(|[u, v]| (x - u).hypot(y - v)).collect())
        .collect();
    let mut nights = TripNights::new(365);
    for night in (0..365).filter(|night| night % 29 < 14) {
        for place in 0..count {
            if numbers.next() < 500 {
                nights.offer(night, place, numbers.next() as f64 / 10.0);
            }
        }
    }
    (Moves::of_km(MoveRules::default(), &km), nights)
}

/// The best three trips of seven nights among so many places, and of what is
/// asked: as they come, or with two evenings free and two sessions in a row.
fn best_trips(bencher: Bencher<'_, '_>, places: usize, free: usize, stay: Option<usize>) {
    let (moves, nights) = places_of_a_year(places);
    let rules = TripRules {
        nights: 7,
        free,
        stay,
        cost_per_km: 0.0,
    };
    assert_eq!(nights.best_trips(&moves, &rules, 3).len(), 3);
    bencher.bench(|| nights.best_trips(black_box(&moves), &rules, 3));
}

/// Trips of a year without free evenings, among so many places.
#[divan::bench(args = [50, 1000], sample_count = 10)]
fn trips_of_a_year(bencher: Bencher<'_, '_>, places: usize) {
    best_trips(bencher, places, 0, None);
}

/// The same with two evenings free and two sessions in a row at a place.
#[divan::bench(args = [50, 1000], sample_count = 10)]
fn trips_of_a_year_with_free_evenings(bencher: Bencher<'_, '_>, places: usize) {
    best_trips(bencher, places, 2, Some(2));
}
