//! What a window tells: its best instant, score and factors, eclipses, and the
//! two periods of a blend.

use crate::common;

use chrono::NaiveDate;
use common::Dice;
use rakelight::{
    ephemeris::{EclipseKind, Moment, SkyState},
    input::demo_site,
    rule::Rules,
    rule::{
        Brief, CONTRAST, FACING, LIGHT, LIGHT_ANGLE, MOON_ALTITUDE, MOON_FRACTION, TARGET_ALTITUDE,
        TARGET_OFFSET, WEIGHTS,
    },
    scene::{Band, Dates, Facing, LightKind, Site, Weights},
    search::{Night, Season, Window, nights},
};

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).expect("a date")
}

fn rules(site: &Site, brief: Brief) -> Rules {
    Rules::new(&brief, site).expect("rules")
}

#[test]
fn the_best_instant_is_the_best_of_its_window() {
    let site = demo_site().expect("the demo site");
    let season = Season::new(Dates::new(day(2027, 4, 1), day(2027, 9, 30)).expect("dates"));
    for light in [LightKind::Raking, LightKind::Dark, LightKind::Any] {
        let rules = rules(&site, Brief::default().with(&LIGHT, light));
        let windows = season
            .planner(site.clone(), rules.clone())
            .expect("a planner")
            .windows();
        assert!(windows.len() > 5);
        for window in windows.iter().take(25) {
            let again = window.factors.score(&rules.weights);
            assert!((again - window.score).abs() < 1e-9);
            assert!(window.interval.first() <= window.best.moment());
            assert!(window.best.moment() <= window.interval.last());
            // Squeezing the window to any instant can only lower the score.
            let mut highest: f64 = 0.0;
            let planner = season
                .planner(site.clone(), rules.clone())
                .expect("a planner");
            for step in 0..=60 {
                let share = f64::from(step) / 60.0;
                let time =
                    window.interval.start + share * (window.interval.end - window.interval.start);
                let instant = planner
                    .at(Moment::from_seconds(time))
                    .expect("within the season");
                let mut factors = window.factors;
                // More than a natural sky's is no better.
                factors.contrast = instant.light.milky_way_contrast.map(|c| c.min(1.0));
                if factors.balance.is_some() {
                    let stops = instant.light.land_vs_sky_stops;
                    factors.balance = Some(rakelight::search::balance_quality(stops));
                }
                if factors.raking.is_some() {
                    let raking = rakelight::search::raking_quality(
                        instant.light.signed_light_angle_deg.abs(),
                        instant.sky.moon.apparent_altitude_deg,
                    );
                    let shadow = instant.light.shadow_depth_stops;
                    factors.raking = Some(raking * rakelight::search::shadow_quality(shadow));
                }
                let there = planner.factors(&instant, 60.0);
                factors.position = there.position;
                factors.framing = there.framing;
                highest = highest.max(factors.score(&rules.weights));
            }

            assert!(
                highest <= window.score + 0.05,
                "{light:?} {}: {highest} somewhere, {} at the best",
                window.night,
                window.score
            );
        }
    }
}

#[test]
fn ranks_follow_the_score_and_weights_change_it() {
    let site = demo_site().expect("the demo site");
    let season = Season::new(Dates::new(day(2027, 1, 1), day(2027, 12, 31)).expect("dates"));
    let plain = season
        .planner(site.clone(), rules(&site, Brief::default()))
        .expect("a planner")
        .windows();
    for (index, pair) in plain.windows(2).enumerate() {
        assert!(pair[0].score >= pair[1].score);
        assert_eq!(pair[0].rank, index + 1);
        assert!((0.0..=100.0).contains(&pair[0].score));
    }
    let longest_first = season
        .planner(
            site.clone(),
            rules(
                &site,
                Brief::default().with(
                    &WEIGHTS,
                    Weights {
                        contrast: 0.0,
                        balance: 0.0,
                        raking: 0.0,
                        framing: 0.0,
                        position: 0.0,
                        length: 1.0,
                    },
                ),
            ),
        )
        .expect("a planner")
        .windows();
    assert!(
        longest_first
            .iter()
            .map(|window| window.interval.minutes())
            .is_sorted_by(|a, b| a >= b)
    );
}

fn eclipse_night(date: NaiveDate) -> Vec<Window> {
    // In the Moon's own direction, so that target and Moon are both up.
    let site = Site::new(-25.0, 134.0).expect("a place");
    let season = Season::new(Dates::new(date, date).expect("dates"));
    let rules = rules(
        &site,
        Brief::default()
            .with(&LIGHT, LightKind::Any)
            .with(&TARGET_ALTITUDE, Band::new(-90.0, 90.0))
            // Nor does the full Moon before and after cut the night up.
            .with(&CONTRAST, Band::from(0.0)),
    );
    season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows()
}

#[test]
fn an_eclipse_is_said_and_takes_the_moonlight() {
    // F. Espenak, NASA/GSFC catalogue: total on 2025-09-07, greatest 18:12 UT;
    // partial on 2026-08-28, which central Australia does not see before
    // moonrise; nothing on 2025-09-09.
    let windows = eclipse_night(day(2025, 9, 7));
    assert_eq!(windows[0].eclipse, Some(EclipseKind::Total));
    assert!(
        eclipse_night(day(2025, 9, 9))
            .iter()
            .all(|w| w.eclipse.is_none())
    );
    let site = Site::new(-25.0, 134.0).expect("a place");
    let season = Season::new(Dates::new(day(2025, 9, 7), day(2025, 9, 7)).expect("dates"));
    let rules = rules(&site, Brief::default());
    let lux = |time: &str| {
        let moment = Moment::from_utc(time.parse().expect("a time"));
        let planner = season
            .planner(site.clone(), rules.clone())
            .expect("a planner");
        planner
            .at(moment)
            .expect("within the season")
            .light
            .moonlight_lux
    };
    // Before first contact with the penumbra (15:28) a full Moon, in the
    // penumbra (16:00) nearly so, in the umbra as a totally eclipsed Moon is
    // measured: 9 to 12 magnitudes fainter, with Danjon's scale.
    let full = lux("2025-09-07T15:00:00Z");
    assert!(full > 0.05);
    assert!(lux("2025-09-07T16:00:00Z") > 0.05);
    let fall_mag = 2.5 * (full / lux("2025-09-07T18:12:00Z")).log10();
    assert!((9.0..=12.0).contains(&fall_mag), "{fall_mag}");
}

/// Whether a blend's two kinds of instant are kept, in degrees.
fn is_dark(rules: &Rules, s: &SkyState, facing: f64) -> bool {
    let offset = (s.target.azimuth_deg - facing + 180.0).rem_euclid(360.0) - 180.0;
    s.sun.altitude_deg <= -18.0
        && s.moon.apparent_altitude_deg <= -0.3
        && rules
            .get::<Band>(&TARGET_ALTITUDE)
            .is_some_and(|band| band.contains(s.target.apparent_altitude_deg))
        && rules
            .get(&TARGET_OFFSET)
            .is_none_or(|band: Band| band.contains(offset))
}

fn is_moonlit(rules: &Rules, s: &SkyState, facing: f64) -> bool {
    let angle = (s.moon.azimuth_deg - facing + 180.0).rem_euclid(360.0) - 180.0;
    let within = |band: Option<Band>, value: f64| band.is_none_or(|band| band.contains(value));
    s.sun.altitude_deg <= -18.0
        && within(rules.get(&MOON_FRACTION), s.phase.illuminated_fraction)
        && within(rules.get(&MOON_ALTITUDE), s.moon.apparent_altitude_deg)
        && within(rules.get(&LIGHT_ANGLE), angle.abs())
}

/// Longest run of steps (30 s) in which something holds, minutes.
fn longest(night: &Night, holds: impl Fn(Moment) -> bool) -> f64 {
    let (mut run, mut best) = (0_u32, 0_u32);
    for step in 0..2880 {
        run = if holds(night.start.plus_seconds(30.0 * f64::from(step))) {
            run + 1
        } else {
            0
        };
        best = best.max(run);
    }
    f64::from(best) * 0.5
}

#[test]
fn blends_offer_both_periods_and_none_is_missed() {
    let mut dice = Dice::new(27);
    let (mut with, mut without) = (0, 0);
    for _ in 0..6 {
        let site =
            Site::new(dice.between(-45.0, 45.0), dice.between(-180.0, 180.0)).expect("a place");
        let facing = dice.between(0.0, 360.0);
        let rules = rules(
            &site,
            Brief::default()
                .with(&LIGHT, LightKind::Blend)
                .with(&FACING, Facing::Bearing(facing))
                .with(&TARGET_OFFSET, Band::new(-60.0, 60.0)),
        );
        let (first, last) = (day(2027, 5, 1), day(2027, 6, 10));
        let season = Season::new(Dates::new(first, last).expect("dates"));
        let planner = season
            .planner(site.clone(), rules.clone())
            .expect("a planner");
        for night in nights(site.longitude_deg, site.zone, first, last) {
            let windows = planner
                .windows_of(night.date)
                .expect("a night of the season");
            let dark = longest(&night, |t| {
                is_dark(
                    &rules,
                    &planner.at(t).expect("an instant of the season").sky,
                    facing,
                )
            });
            let moonlit = longest(&night, |t| {
                is_moonlit(
                    &rules,
                    &planner.at(t).expect("an instant of the season").sky,
                    facing,
                )
            });
            // Within the step of the yardstick the answer may go either way.
            if dark > 21.0 && moonlit > 21.0 {
                with += 1;
                assert!(!windows.is_empty(), "{} missed", night.date);
            } else if dark < 19.0 || moonlit < 19.0 {
                without += 1;
                assert!(windows.is_empty(), "{} invented", night.date);
            }
            for window in &windows {
                let land = window.land.as_ref().expect("a moonlit spell");
                assert!(window.interval.minutes() >= 20.0 && land.interval.minutes() >= 20.0);
                for part in 1..10 {
                    let inside = |a: f64, b: f64| {
                        planner
                            .at(Moment::from_seconds(a + (b - a) * f64::from(part) / 10.0))
                            .expect("an instant of the season")
                            .sky
                    };
                    let dark = inside(window.interval.start, window.interval.end);
                    assert!(is_dark(&rules, &dark, facing));
                    let lit = inside(land.interval.start, land.interval.end);
                    assert!(is_moonlit(&rules, &lit, facing));
                }
            }
        }
    }
    assert!(
        with > 5 && without > 20,
        "{with} nights with, {without} without"
    );
}

#[test]
fn a_site_with_a_camera_tells_its_settings() {
    let site = demo_site().expect("the demo site");
    assert!(site.camera.is_some());
    let season = Season::new(Dates::new(day(2027, 5, 1), day(2027, 7, 31)).expect("dates"));
    let windows = season
        .planner(site.clone(), rules(&site, Brief::default()))
        .expect("a planner")
        .windows();
    for window in &windows {
        let frame = window.frame.expect("settings");
        assert!(frame.exposure.shutter_s > 0.5 && frame.exposure.iso >= 100);
        assert!(frame.plan.expect("a plan").is_possible());
    }
    let bare = Site::new(37.0, -113.0).expect("a place");
    let windows = season
        .planner(bare.clone(), rules(&bare, Brief::default()))
        .expect("a planner")
        .windows();
    assert!(windows.iter().all(|window| window.frame.is_none()));
}
