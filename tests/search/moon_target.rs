//! The Moon as target: alignments against DE421, its size and light, its score,
//! its tripod, and the rules that have no meaning for it.

use crate::common;

use approx::assert_relative_eq;
use common::{Row, rows};
use rakelight::{
    ephemeris::{Direction, Moment},
    light::{LightInput, Optics, assess, moon_disc, photometry},
    plan::{NightEvent, PlanSettings, TripodAims},
    rule::{
        Brief, CONTRAST, FACING, LIGHT, MIN_MINUTES, Rules, SUN_ALTITUDE, TARGET, TARGET_ALTITUDE,
        TARGET_OFFSET, TILT,
    },
    scene::{Air, Band, Camera, Dates, Facing, LightKind, Site, Subject, SubjectPlace},
    search::{FrameSettings, FramedAs, Lens, Planner},
};
use std::collections::BTreeMap;

fn moon() -> Brief {
    Brief::default().with(&TARGET, Direction::Moon)
}

fn date(row: &Row, column: &str) -> chrono::NaiveDate {
    row.moment(column).to_utc().date_naive()
}

/// The planner of a place of the table, over its half year and a day more.
fn planner_of(row: &Row) -> Planner {
    let (latitude, longitude) = (row.number("latitude_deg"), row.number("longitude_deg"));
    let mut site = Site::new(latitude, longitude).expect("a place");
    let elevation_m = row.number("elevation_m");
    site.elevation_m = elevation_m;
    site.air = Air::standard(elevation_m);
    let brief = moon()
        .with(&FACING, Facing::Bearing(row.number("bearing_deg")))
        .with(&TARGET_OFFSET, Band::new(-6.0, 6.0))
        .with(&TARGET_ALTITUDE, Band::new(1.0, 9.0))
        .with(&SUN_ALTITUDE, Band::new(-7.0, 0.0))
        .with(&MIN_MINUTES, 0.0);
    let first = date(row, "from_utc").pred_opt().expect("a day before");
    let dates = Dates::new(first, date(row, "to_utc")).expect("dates");
    Planner::new(site, &brief, dates).expect("a planner")
}

/// Each window of the table is found, no other, and the Moon stands in it where
/// the table says.
#[test]
fn alignments_are_those_of_de421() {
    const SECONDS: f64 = 0.5;
    let mut places: BTreeMap<String, Vec<Row>> = BTreeMap::new();
    for row in rows("moon_alignments.csv") {
        places
            .entry(row.text("place").to_owned())
            .or_default()
            .push(row);
    }
    assert_eq!(places.len(), 12);
    let mut checked = 0;
    for (place, alignments) in &places {
        let planner = planner_of(&alignments[0]);
        let windows = planner.windows();
        for row in alignments {
            let (opens, closes) = (row.moment("opens_utc"), row.moment("closes_utc"));
            let found = windows.iter().find(|window| {
                (window.interval.start - opens.seconds()).abs() < SECONDS
                    && (window.interval.end - closes.seconds()).abs() < SECONDS
            });
            assert!(
                found.is_some(),
                "{place}: no window from {:?}",
                opens.to_utc()
            );
            let instant = planner.at(row.moment("middle_utc")).expect("known");
            let near = |value: f64, column: &str, most: f64| {
                let away = (value - row.number(column)).abs();
                assert!(away < most, "{place} {column}: {value}, {away} off");
            };
            let target = &instant.sky.target;
            near(target.altitude_deg, "moon_altitude_deg", 1e-4);
            near(
                target.apparent_altitude_deg,
                "moon_apparent_altitude_deg",
                1e-4,
            );
            near(target.azimuth_deg, "moon_azimuth_deg", 1e-4);
            near(instant.sky.sun.altitude_deg, "sun_altitude_deg", 1e-4);
            let diameter = 60.0 * instant.moon_diameter_deg().expect("the Moon");
            let reference = row.number("moon_diameter_arcmin");
            assert_relative_eq!(diameter, reference, max_relative = 1e-5);
            checked += 1;
        }
        let (from, to) = (
            alignments[0].moment("from_utc").seconds(),
            alignments[0].moment("to_utc").seconds(),
        );
        let long = |window: &&rakelight::search::Window| {
            (from..to).contains(&window.interval.start) && window.interval.minutes() > 2.1
        };
        assert_eq!(windows.iter().filter(long).count(), {
            let long = |row: &&Row| {
                let (opens, closes) = (row.moment("opens_utc"), row.moment("closes_utc"));
                closes.seconds() - opens.seconds() > 126.0
            };
            alignments.iter().filter(long).count()
        });
    }
    assert!(checked > 40);
}

/// The Moon over its own glare: no light but the Sun's and the Moon's own.
fn light(phase_deg: f64, altitude_deg: f64, sun_deg: f64, from_sun_deg: f64) -> [f64; 2] {
    let assessed = assess(&LightInput {
        sun_altitude_deg: sun_deg,
        sun_azimuth_deg: 270.0 + from_sun_deg,
        moon_altitude_deg: altitude_deg,
        moon_azimuth_deg: 270.0,
        target_altitude_deg: altitude_deg,
        target_azimuth_deg: 270.0,
        facing_deg: 270.0,
        moon_phase_angle_deg: phase_deg,
        moon_target_separation_deg: moon_disc::BESIDE_DEG,
        milky_way_mag_arcsec2: None,
        ..LightInput::default()
    });
    [
        assessed.disc_over_land_stops(),
        assessed.disc_over_sky_stops(),
    ]
}

/// A full Moon reflects like a flat screen of its geometric albedo, 0.12, under
/// the Sun's 127 000 to 133 000 lux outside the air: 4850 to 5090 cd/m2 (Allen,
/// *Astrophysical Quantities*, 4th ed., 2000, both values; from memory). The
/// phase law is good to some per cent.
#[test]
fn a_full_disc_is_as_bright_as_its_albedo_says() {
    let full = moon_disc::luminance_outside_air_cd_m2(0.0);
    for sun_lux in [127_000.0, 133_000.0] {
        let screen = photometry::diffuse_luminance_cd_m2(sun_lux, 0.12);
        assert_relative_eq!(full, screen, max_relative = 0.06);
    }
    // Of an extended body the distance changes size and light, not luminance.
    let half = moon_disc::luminance_outside_air_cd_m2(90.0);
    assert!((0.1..0.25).contains(&(half / full)));
    let thin = moon_disc::luminance_outside_air_cd_m2(150.0);
    assert_relative_eq!(moon_disc::luminance_outside_air_cd_m2(179.0), thin);
}

/// The field rule for a full Moon high up, f/11 at the reciprocal of the ISO,
/// f/5.6 for a half one: bright, and not burnt. Common practice, no source.
#[test]
fn the_rule_of_eleven_renders_a_bright_disc() {
    for (phase_deg, f_number) in [(0.0, 11.0), (90.0, 5.6)] {
        let disc = moon_disc::luminance_cd_m2(phase_deg, 50.0, 0.2);
        let over_mid_tone = photometry::ev100_of_luminance(disc)
            - photometry::ev100_of_settings(f_number, 0.01, 100.0);
        assert!((0.5..2.5).contains(&over_mid_tone), "{over_mid_tone}");
    }
}

/// The default of the Sun's altitude is where one exposure can hold disc and
/// land: below it no Moon a degree up or more stands a stop over the sky and
/// within the 7 stops over the land that a frame holds; all over it some does.
#[test]
fn the_usual_twilight_is_where_one_exposure_holds_disc_and_land() {
    let site = Site::new(37.18, -113.42).expect("a place");
    let rules = Rules::new(&moon(), &site).expect("rules");
    let sun: Band = rules.get(&SUN_ALTITUDE).expect("a band");
    let altitude: Band = rules.get(&TARGET_ALTITUDE).expect("a band");
    let held = |sun_deg: f64| {
        let altitudes = (1..=40).map(|step| altitude.low + f64::from(step) / 40.0 * 10.0);
        altitudes
            .filter(|altitude| *altitude >= 1.0)
            .any(|altitude_deg| {
                (0..=16).any(|step| {
                    let phase_deg = 10.0 * f64::from(step);
                    // The Sun is as far from the Moon as the phase says.
                    let [over_land, over_sky] =
                        light(phase_deg, altitude_deg, sun_deg, 180.0 - phase_deg);
                    over_land <= moon_disc::HELD_STOPS && over_sky >= moon_disc::SHOWS_STOPS
                })
            })
    };
    for step in 0..=14 {
        let sun_deg = sun.low + 0.5 * f64::from(step);
        assert!(held(sun_deg), "nothing held with the Sun at {sun_deg}");
    }
    assert!(sun.high == 0.0 && !held(sun.low - 1.0) && !held(sun.low - 3.0));
}

fn towered() -> Site {
    let mut site = Site::new(-31.42, 139.23).expect("a place");
    site.elevation_m = 120.0;
    site.subject = Some(Subject {
        name: None,
        place: SubjectPlace::Bearing {
            bearing_deg: 250.0,
            distance_m: Some(900.0),
        },
        height_m: Some(40.0),
        width_m: None,
        reflectance: None,
        reflectance_measured: None,
    });
    site.camera = Some(Camera {
        sensor_mm: [36.0, 24.0],
        pixels: [6000, 4000],
        focal_mm: 200.0,
        f_number: 8.0,
    });
    site
}

fn spring() -> Dates {
    let day = |month, day| chrono::NaiveDate::from_ymd_opt(2027, month, day).expect("a date");
    Dates::new(day(3, 1), day(8, 31)).expect("dates")
}

/// Only what has a meaning is in the score; the disc and the sky are placed
/// where a frame of the Moon has them.
#[test]
fn a_window_of_the_moon_is_judged_by_its_disc() {
    let planner = Planner::new(towered(), &moon(), spring()).expect("a planner");
    let windows = planner.windows();
    assert!(windows.len() > 3);
    for window in &windows {
        let (best, factors) = (&window.best, &window.factors);
        assert_eq!((factors.contrast, factors.raking), (None, None));
        let stops = best
            .moon_disc_vs_land_stops()
            .zip(best.moon_disc_vs_sky_stops());
        let (over_land, over_sky) = stops.expect("it is up");
        let balance = moon_disc::one_exposure(over_land, over_sky);
        let whole = best.sky.moon.apparent_altitude_deg > 0.3;
        if whole {
            assert_relative_eq!(factors.balance.expect("a balance"), balance, epsilon = 1e-9);
        }
        assert!(best.light.milky_way_contrast.is_none() && best.sky.tilt_deg.is_none());
        assert_eq!(best.sky.target, best.sky.moon);
        let frame: &FrameSettings = window.frame.as_ref().expect("a camera");
        let disc = frame.exposure.sky_placement_stops + over_sky;
        assert!(disc < moon_disc::DISC_PLACEMENT_STOPS + 0.5, "{disc}");
    }
}

/// No instant of a window is better than its best one.
#[test]
fn the_best_instant_of_the_moon_is_the_best() {
    let planner = Planner::new(towered(), &moon(), spring()).expect("a planner");
    for window in planner.windows() {
        let (interval, weights) = (window.interval, planner.rules().weights);
        for step in 0..=60 {
            let share = f64::from(step) / 60.0;
            let time = interval.start + share * (interval.end - interval.start);
            let instant = planner.at(Moment::from_seconds(time)).expect("known");
            // Each part in which one frame does has its own length; only that of
            // the best is known here.
            let framed = window
                .framed
                .filter(|part| part.start <= time && time <= part.end);
            let plan = planner.frame_plan(&instant).expect("a camera");
            if framed.is_none() && plan.framed_as == FramedAs::One {
                continue;
            }
            let minutes = framed.unwrap_or(interval).minutes();
            let score = planner.factors(&instant, minutes).score(&weights);
            assert!(score <= window.score + 0.05, "{}: {score}", window.night);
        }
    }
}

/// The size of the disc on the sensor, from its angle by plane geometry.
#[test]
fn a_disc_is_as_large_as_the_lens_draws_it() {
    let optics = Optics::new(200.0, 8.0, [36.0, 24.0], 6.0).expect("a lens");
    let angle_deg = 0.5181;
    let mm = 2.0 * 200.0 * (angle_deg / 2.0_f64).to_radians().tan();
    assert_relative_eq!(optics.image_mm(angle_deg), mm, max_relative = 1e-12);
    assert_relative_eq!(optics.image_px(angle_deg), mm / 0.006, max_relative = 1e-12);
}

/// From the tripod the lower limb stands over the top as asked, a lens of any
/// place sees the disc as large as its distance there says, and the place moves
/// as fast as those of half a minute before and after say.
#[test]
fn the_tripod_has_the_disc_on_the_top() {
    let planner = Planner::new(towered(), &moon(), spring()).expect("a planner");
    let lens = Lens::of(planner.site(), 1.0).expect("a camera");
    let windows = planner.windows();
    let mut tried = 0;
    for window in &windows {
        let moment = window.best.moment();
        for clearance_deg in [0.0, 0.25, -0.3] {
            let aims = TripodAims {
                clearance_deg,
                ..TripodAims::of(Direction::Moon)
            };
            let Ok(stand) = planner.tripod(&lens, &aims, moment) else {
                continue;
            };
            let disc = stand.moon.expect("the Moon");
            assert!((disc.lower_limb_deg - stand.top_altitude_deg - clearance_deg).abs() < 1e-4);
            // Refraction lifts the limb by less than a tenth of a degree more.
            let middle = disc.lower_limb_deg + 0.5 * disc.diameter_deg;
            let flattened = middle - stand.target.apparent_altitude_deg;
            assert!((0.0..0.1).contains(&flattened), "{flattened}");
            let radius = (1737.4 / stand.target.distance_km.expect("near"))
                .asin()
                .to_degrees();
            assert_relative_eq!(disc.diameter_deg, 2.0 * radius, max_relative = 1e-12);
            let near = |seconds| planner.tripod(&lens, &aims, moment.plus_seconds(seconds));
            if let (Ok(before), Ok(after)) = (near(-30.0), near(30.0)) {
                let way = before.point.line_to(after.point).expect("it moves");
                assert_relative_eq!(stand.speed_m_min, way.distance_m, max_relative = 1e-6);
            }
            tried += 1;
        }
    }
    assert!(tried > 6);
    assert_eq!(TripodAims::of(Direction::Core), TripodAims::default());
}

/// Sites and files have standing rules for stars; the Moon has its own.
#[test]
fn rules_of_another_target_do_not_count() {
    let mut site = Brief::default();
    for (key, text) in [
        ("light", "raking"),
        ("target_altitude", "12.."),
        ("sun_altitude", "..-18"),
        ("contrast", "0.3.."),
        ("facing", "250"),
        ("weekdays", "fri,sat"),
    ] {
        site.set(key, text).expect("a rule");
    }
    let both = moon().or(&site);
    let kept: Vec<&str> = both.entries().into_iter().map(|(key, _)| key).collect();
    assert_eq!(kept, ["target", "facing", "weekdays"]);
    let place = Site::new(-31.4, 139.2).expect("a place");
    let rules = Rules::new(&both, &place).expect("rules");
    assert_eq!(rules.light, LightKind::Any);
    assert!(rules.value_of(&CONTRAST).is_none());
    assert_eq!(rules.get(&TARGET_OFFSET), Some(Band::new(-10.0, 10.0)));
    // And the other way round; another star is no other kind of target.
    let core = Brief::default().with(&TARGET, Direction::Core);
    assert!(
        core.clone()
            .or(&moon().with(&LIGHT, LightKind::Any))
            .value_of(&LIGHT)
            .is_none()
    );
    assert!(core.or(&site).value_of(&LIGHT).is_some());
    let season = Rules::of_season(&moon(), &place).expect("rules");
    assert_eq!(season.len(), 1);
}

#[test]
fn rules_without_a_meaning_are_refused_with_a_remedy() {
    let place = Site::new(-31.4, 139.2).expect("a place");
    for (brief, told) in [
        (
            moon().with(&LIGHT, LightKind::Dark),
            "light: found dark, expected any where the target is the Moon; write any",
        ),
        (
            moon().with(&TILT, Band::from(10.0)),
            "tilt: found 10.., expected no rule about the Milky Way behind the target where that \
             is the Moon; take it out",
        ),
        (
            moon().with(&CONTRAST, Band::from(0.3)),
            "contrast: found 0.3.., expected no rule about the Milky Way behind the target where \
             that is the Moon; take it out",
        ),
    ] {
        let error = Rules::new(&brief, &place).expect_err("refused");
        assert_eq!(error.to_string(), told);
    }
}

/// The Moon passes the subject's bearing once, where it stands in the limits;
/// its rising and setting are told once.
#[test]
fn a_night_tells_when_the_moon_is_over_the_subject() {
    let planner = Planner::new(towered(), &moon(), spring()).expect("a planner");
    let windows = planner.windows();
    let mut passes = 0;
    for window in &windows {
        let settings = PlanSettings::default();
        let plan = planner.plan(window.night, &settings).expect("a plan");
        for entry in &plan.order {
            let key = entry.event.key();
            assert!(!["target_rise", "target_set", "target_transit"].contains(&key));
            if entry.event == NightEvent::MoonOverSubject {
                let azimuth = entry.place().expect("the Moon").azimuth_deg;
                assert!((azimuth - 250.0).abs() < 0.01, "{azimuth}");
                passes += 1;
            }
        }
    }
    assert!(passes > 0);
}

/// Nothing is said of a disc where another target is asked for.
#[test]
fn another_target_has_no_disc() {
    let planner = Planner::new(towered(), &Brief::default(), spring()).expect("a planner");
    let instant = planner
        .at(Moment::from_seconds(27.4 * 365.25 * 86_400.0))
        .expect("known");
    assert!(instant.moon_diameter_deg().is_none());
    assert!(instant.moon_disc_vs_land_stops().is_none());
    assert!(instant.moon_disc_vs_sky_stops().is_none());
}
