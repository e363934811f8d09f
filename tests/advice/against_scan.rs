//! Near misses and advice against the scan itself: every suggestion, typed as
//! printed, admits its night, and one step less does not; every count is that
//! of a scan without the rule.

use crate::common;

use chrono::{NaiveDate, Timelike};
use common::Dice;
use rakelight::{
    ephemeris::{Direction, Moment},
    rule::Brief,
    rule::{
        ARCH_ALTITUDE, ARCH_OFFSET, CLOCK, CONTRAST, Conditions, FACING, FRAMING, LIGHT,
        LIGHT_ANGLE, LIGHT_SIDE, MIN_MINUTES, MOON_ALTITUDE, MOON_FRACTION, Rule, Rules,
        SUN_ALTITUDE, TARGET, TARGET_ALTITUDE, TARGET_AZIMUTH, TARGET_OFFSET, TARGET_PLACE, TILT,
    },
    scene::{
        AzimuthBand, Band, Camera, ClockBand, Dates, Facing, Framing, LightKind, Side, Site,
        Subject, SubjectPlace, TargetPlace, Zone,
    },
    search::{Night, Season},
    why::{Hindrance, Loosening},
};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).expect("a date")
}

fn nights_found(season: &Season, site: &Site, rules: &Rules) -> BTreeSet<NaiveDate> {
    let windows = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    windows.iter().map(|window| window.night).collect()
}

/// A brief that finds few nights.
fn random_brief(dice: &mut Dice) -> Brief {
    let wanted = |dice: &mut Dice, of: usize| dice.below(of) == 0;
    let light = [
        LightKind::Raking,
        LightKind::Raking,
        LightKind::Dark,
        LightKind::Any,
    ][dice.below(4)];
    let mut brief = Brief::default()
        .with(&LIGHT, light)
        .with(
            &FACING,
            match dice.below(4) {
                0 => Facing::Target,
                1 => Facing::Arch,
                _ => Facing::Bearing(dice.between(0.0, 360.0).round()),
            },
        )
        .with(&MIN_MINUTES, [20.0, 20.0, 45.5, 90.0, 200.0][dice.below(5)]);
    if wanted(dice, 2) {
        let low = dice.between(0.0, 40.0);
        brief.put(
            &TARGET_ALTITUDE,
            Some(Band::new(low, low + dice.between(3.0, 30.0)).into()),
        );
    }
    if wanted(dice, 3) {
        let low = dice.between(-60.0, 40.0);
        brief.put(
            &TARGET_OFFSET,
            Some(Band::new(low, low + dice.between(5.0, 60.0)).into()),
        );
    }
    if wanted(dice, 4) {
        brief.put(
            &TARGET_AZIMUTH,
            Some(AzimuthBand::between(dice.between(0.0, 360.0), dice.between(0.0, 360.0)).into()),
        );
    }
    if wanted(dice, 4) {
        let low = dice.between(0.0, 60.0);
        brief.put(
            &ARCH_ALTITUDE,
            Some(Band::new(low, low + dice.between(5.0, 30.0)).into()),
        );
    }
    if wanted(dice, 4) && brief.get(&FACING) != Some(Facing::Arch) {
        let low = dice.between(-60.0, 40.0);
        brief.put(
            &ARCH_OFFSET,
            Some(Band::new(low, low + dice.between(5.0, 60.0)).into()),
        );
    }
    if wanted(dice, 4) {
        let low = dice.between(0.0, 70.0);
        brief.put(
            &TILT,
            Some(Band::new(low, low + dice.between(5.0, 20.0)).into()),
        );
    }
    if wanted(dice, 3) {
        let from = 1020 + dice.below(600) as u32;
        let to = from + 30 + dice.below(300) as u32;
        let time = |minutes: u32| {
            chrono::NaiveTime::from_hms_opt(minutes / 60 % 24, minutes % 60, 0).expect("a time")
        };
        brief.put(
            &CLOCK,
            Some(
                ClockBand {
                    from: time(from),
                    to: time(to),
                }
                .into(),
            ),
        );
    }
    if wanted(dice, 4) {
        brief
            .set("weekdays", ["fri,sat", "mon", "tue,thu,sun"][dice.below(3)])
            .expect("days");
    }
    if wanted(dice, 3) && light == LightKind::Raking {
        brief.put(
            &LIGHT_SIDE,
            Some([Side::Left, Side::Right][dice.below(2)].into()),
        );
        let low = dice.between(20.0, 90.0);
        brief.put(
            &LIGHT_ANGLE,
            Some(Band::new(low, low + dice.between(10.0, 60.0)).into()),
        );
    }
    if wanted(dice, 3) {
        let low = dice.between(0.1, 1.0);
        brief.put(
            &CONTRAST,
            Some(Band::new(low, low + dice.between(0.1, 1.0)).into()),
        );
    }
    brief
}

/// Gives a third of the sites a camera whose one frame must hold land and
/// target, and a third a tower that the target must stand over.
fn ask_for_a_picture(dice: &mut Dice, site: &mut Site, brief: &mut Brief) {
    // The default of a fixed bearing would leave out most of what is asked.
    if brief.value_of(&TARGET_OFFSET).is_none() {
        brief.put(&TARGET_OFFSET, Some(Band::new(-180.0, 180.0).into()));
    }
    if dice.below(3) == 0 && brief.get(&FACING) != Some(Facing::Arch) {
        site.camera = Some(Camera {
            focal_mm: dice.between(14.0, 40.0),
            ..Camera::default()
        });
        brief.put(&FRAMING, Some(Framing::One.into()));
    }
    if dice.below(3) == 0 {
        site.subject = Some(Subject {
            name: None,
            place: SubjectPlace::Bearing {
                bearing_deg: dice.between(0.0, 360.0),
                distance_m: Some(100.0),
            },
            height_m: Some(dice.between(5.0, 60.0)),
            width_m: Some(dice.between(5.0, 60.0)),
            reflectance: None,
            reflectance_measured: None,
        });
        let place = [TargetPlace::Over(10.0), TargetPlace::Clear(8.0)][dice.below(2)];
        brief.put(&TARGET_PLACE, Some(place.into()));
    }
}

/// The value one typable step tighter than a suggestion; `None` where that
/// would be what the rule says already.
fn one_step_less(rules: &Rules, loosening: &Loosening) -> Option<String> {
    let now = rules.text_of(loosening.rule).expect("a rule in use");
    match loosening.rule.key {
        "weekdays" | "light_side" | "framing" | "target_place" => None,
        "min_minutes" => {
            let next: f64 = loosening.value.parse::<f64>().expect("minutes") + 1.0;
            (next < rules.min_minutes()).then(|| next.to_string())
        }
        "clock" => {
            let old: ClockBand = now.parse().expect("hours");
            let mut new: ClockBand = loosening.value.parse().expect("hours");
            let minute = chrono::Duration::minutes(1);
            if new.from != old.from {
                new.from = new.from.overflowing_add_signed(minute).0;
            }
            if new.to != old.to {
                new.to = new.to.overflowing_sub_signed(minute).0;
            }
            (new != old).then(|| new.to_string())
        }
        "target_azimuth" => {
            let old: AzimuthBand = now.parse().expect("azimuths");
            let new: AzimuthBand = loosening.value.parse().expect("azimuths");
            let tenth = |value: f64| ((value * 10.0).round() / 10.0).rem_euclid(360.0);
            let (mut from, mut to) = (new.from_deg, new.to_deg());
            if from != old.from_deg {
                from = tenth(from + 0.1);
            }
            if to != old.to_deg() {
                to = tenth(to - 0.1);
            }
            let inside = AzimuthBand::between(from, to).width_deg < old.width_deg;
            (!inside).then(|| format!("{from}..{to}"))
        }
        key => {
            let fraction = [MOON_FRACTION.key, CONTRAST.key].contains(&key);
            let steps = if fraction { 1000.0 } else { 10.0 };
            let old: Band = now.parse().expect("a band");
            let new: Band = loosening.value.parse().expect("a band");
            let moved = |value: f64, by: f64| ((value * steps).round() + by) / steps;
            let mut less = new;
            if new.low != old.low {
                less.low = moved(new.low, 1.0).min(old.low);
            }
            if new.high != old.high {
                less.high = moved(new.high, -1.0).max(old.high);
            }
            (less != old).then(|| less.to_string())
        }
    }
}

/// What was looked at in one brief: suggestions tried, pairs tried, rules
/// counted, and everything wrong, in words.
#[derive(Default)]
struct Tried {
    suggestions: usize,
    pairs: usize,
    rules: usize,
    kinds: BTreeSet<&'static Rule>,
    wrong: Vec<String>,
}

fn try_brief(seed: u64) -> Tried {
    let mut dice = Dice::new(seed);
    let (latitude, longitude) = (dice.between(-60.0, 55.0), dice.between(-180.0, 180.0));
    let mut site = Site::new(latitude, longitude).expect("a place");
    let mut brief = random_brief(&mut dice);
    ask_for_a_picture(&mut dice, &mut site, &mut brief);
    let rules = Rules::new(&brief, &site).expect("no subject is asked for");
    let first = day(
        1950 + dice.below(140) as i32,
        1 + dice.below(12) as u32,
        1 + dice.below(28) as u32,
    );
    let season = Season::new(Dates::new(first, first + chrono::Days::new(60)).expect("dates"));
    let mut tried = Tried::default();
    let mut blame = |text: String| tried.wrong.push(format!("seed {seed}: {text}"));
    let base = nights_found(&season, &site, &rules);
    let study = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .study()
        .expect("no blend");
    if study.found != base.len() {
        blame(format!(
            "{} nights found, {} by scan",
            study.found,
            base.len()
        ));
    }
    // Typed as printed, through the reader that options go through.
    let typed = |loosenings: &[(&str, String)]| {
        let mut brief = brief.clone();
        for (option, value) in loosenings {
            let key = option.trim_start_matches("--").replace('-', "_");
            brief
                .set(&key, value)
                .expect("what is printed can be typed");
        }
        Rules::new(&brief, &site).expect("no subject is asked for")
    };
    let admits = |night: NaiveDate, rules: &Rules| {
        !season
            .of_night(night)
            .expect("a night of it")
            .planner(site.clone(), rules.clone())
            .expect("a planner")
            .windows()
            .is_empty()
    };
    for (rule, count) in &study.alone {
        let without = nights_found(&season, &site, &rules.clone().without(rule));
        let more = without.difference(&base).count();
        if more != *count {
            blame(format!("{rule:?} rejects {count} alone, {more} by scan"));
        }
        tried.rules += 1;
    }
    for miss in study.misses.iter().take(40) {
        let (night, loosening) = (miss.night.date, &miss.loosening);
        let printed = loosening.option();
        let (option, value) = printed.split_once(' ').expect("an option and its value");
        if !admits(night, &typed(&[(option, value.to_string())])) {
            blame(format!("{night} is not found with {printed}"));
        }
        if let Some(less) = one_step_less(&rules, loosening)
            && admits(night, &typed(&[(option, less.clone())]))
        {
            blame(format!(
                "{night} is found with {less} already, not only {printed}"
            ));
        }
        let loose = loosening.apply(&rules);
        let band = |rules: &Rules, rule| rules.get::<Band>(rule).expect("a rule in use");
        let sane = band(&loose, &SUN_ALTITUDE).high <= band(&rules, &SUN_ALTITUDE).high.max(-6.0)
            && band(&loose, &TARGET_ALTITUDE).low >= band(&rules, &TARGET_ALTITUDE).low.min(0.0);
        if !sane {
            blame(format!("{printed} makes no sense"));
        }
        tried.suggestions += 1;
        tried.kinds.insert(loosening.rule);
    }
    let advice = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .advice(&study);
    let admissions = advice
        .rules
        .iter()
        .flat_map(|rule| [(1, rule.one.as_ref()), (5, rule.five.as_ref())]);
    for (count, admission) in admissions {
        let Some(admission) = admission else { continue };
        let found = nights_found(&season, &site, &admission.loosening.apply(&rules));
        let new: BTreeSet<NaiveDate> = found.difference(&base).copied().collect();
        let promised: BTreeSet<NaiveDate> = admission.nights.iter().copied().collect();
        if new != promised || new.len() < count || !found.is_superset(&base) {
            blame(format!(
                "{} promises {promised:?}, brings {new:?}",
                admission.loosening.option()
            ));
        }
        if let Some(less) = one_step_less(&rules, &admission.loosening) {
            let rule = admission.loosening.rule;
            let tighter = rules.typed(rule.key, &less).expect("a value");
            let found = nights_found(&season, &site, &tighter);
            if found.difference(&base).count() >= count {
                blame(format!("{less} of {rule:?} brings {count} nights already"));
            }
        }
    }
    for miss in season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .double_misses(&study, 3)
    {
        let night = miss.window.night;
        let [one, two] = miss.loosenings.as_slice() else {
            blame(format!("{night} needs {:?}", miss.loosenings));
            continue;
        };
        let said = |loosening: &Loosening, value: String| (loosening.rule.key, value);
        let at = |a: &String, b: &String| typed(&[said(one, a.clone()), said(two, b.clone())]);
        if !admits(night, &at(&one.value, &two.value)) {
            blame(format!(
                "{night} is not found with {} {}",
                one.option(),
                two.option()
            ));
        }
        let less = |loosening: &Loosening| {
            one_step_less(&rules, loosening)
                .unwrap_or_else(|| rules.text_of(loosening.rule).expect("in use"))
        };
        if admits(night, &at(&less(one), &two.value)) || admits(night, &at(&one.value, &less(two)))
        {
            blame(format!(
                "{night} needs less than {} {}",
                one.option(),
                two.option()
            ));
        }
        tried.pairs += 1;
    }
    tried
}

#[test]
#[allow(clippy::print_stdout, reason = "the figures are the point of the test")]
fn every_suggestion_works_and_no_smaller_one_does() {
    const BRIEFS: u64 = 300;
    let tried: Vec<Tried> = (0..BRIEFS).into_par_iter().map(try_brief).collect();
    let sum = |of: fn(&Tried) -> usize| tried.iter().map(of).sum::<usize>();
    let (suggestions, pairs, rules) = (sum(|t| t.suggestions), sum(|t| t.pairs), sum(|t| t.rules));
    let kinds: BTreeSet<&'static Rule> = tried.iter().flat_map(|t| t.kinds.clone()).collect();
    let wrong: Vec<&String> = tried.iter().flat_map(|t| &t.wrong).collect();
    println!(
        "{BRIEFS} briefs: {suggestions} loosenings of {} rules, {pairs} pairs, {rules} counts",
        kinds.len()
    );
    for line in wrong.iter().take(8) {
        println!("{line}");
    }
    assert!(wrong.is_empty(), "{} wrong", wrong.len());
    // The dice must really have asked something, of nearly every rule.
    assert!(
        suggestions > 1000 && pairs > 60 && kinds.len() >= 16 && kinds.contains(&&CONTRAST),
        "{kinds:?}"
    );
}

/// 90 - |latitude - declination|: the altitude of a culmination, as in any
/// textbook of spherical astronomy.
#[test]
fn advice_names_the_physical_limit_where_the_core_never_rises() {
    let site = Site::new(62.0, 10.0).expect("a place");
    let rules = Rules::new(&Brief::default(), &site).expect("rules");
    let season = Season::new(Dates::new(day(2027, 1, 1), day(2027, 12, 31)).expect("dates"));
    let study = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .study()
        .expect("no blend");
    let advice = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .advice(&study);
    assert_eq!((advice.found, study.misses.len()), (0, 0));
    assert!(advice.one.is_none() && advice.five.is_none());
    let [
        Hindrance::TargetTooLow {
            declination_deg,
            greatest_altitude_deg,
            wanted_deg,
            latitudes_deg,
        },
    ] = advice.hindrances.as_slice()
    else {
        panic!("{:?}", advice.hindrances);
    };
    assert_eq!(*wanted_deg, 10.0);
    // The galactic centre's declination, of date (J2000: -28.936).
    assert!((declination_deg + 28.94).abs() < 0.1, "{declination_deg}");
    // What stands highest in a night of minute-by-minute positions.
    let night = Night::of(&site, day(2027, 6, 15)).expect("a night");
    let highest = {
        let planner = season
            .planner(site.clone(), rules.clone())
            .expect("a planner");
        (0..1440)
            .map(|minute| night.start.plus_seconds(60.0 * f64::from(minute)))
            .map(|moment| {
                planner
                    .at(moment)
                    .expect("an instant of the season")
                    .sky
                    .target
                    .apparent_altitude_deg
            })
            .fold(f64::NEG_INFINITY, f64::max)
    };
    assert!(
        (greatest_altitude_deg - highest).abs() < 0.02,
        "{greatest_altitude_deg} {highest}"
    );
    // Just inside the northern limit the core does reach what is wanted.
    let reaches = |latitude: f64| {
        let site = Site::new(latitude, 10.0).expect("a place");
        let planner = season
            .planner(site.clone(), rules.clone())
            .expect("a planner");
        (0..1440)
            .map(|minute| night.start.plus_seconds(60.0 * f64::from(minute)))
            .any(|m| {
                planner
                    .at(m)
                    .expect("an instant of the season")
                    .sky
                    .target
                    .apparent_altitude_deg
                    >= *wanted_deg
            })
    };
    assert!(reaches(latitudes_deg.0 - 0.05) && !reaches(latitudes_deg.0 + 0.05));
}

#[test]
fn a_summer_without_darkness_is_said_so() {
    let site = Site::new(58.0, 10.0).expect("a place");
    let brief = Brief::default()
        .with(
            &TARGET,
            Direction::Galactic {
                longitude_deg: 80.0,
                latitude_deg: 0.0,
            },
        )
        .with(&LIGHT, LightKind::Dark)
        .with(&SUN_ALTITUDE, Band::up_to(-18.0))
        .with(&MIN_MINUTES, 600.0);
    let rules = Rules::new(&brief, &site).expect("rules");
    let season = Season::new(Dates::new(day(2027, 6, 1), day(2027, 6, 30)).expect("dates"));
    let study = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .study()
        .expect("no blend");
    let advice = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .advice(&study);
    let sun = advice
        .hindrances
        .iter()
        .find_map(|hindrance| match hindrance {
            Hindrance::SunTooHigh {
                lowest_altitude_deg,
                ..
            } => Some(*lowest_altitude_deg),
            _ => None,
        });
    // Lower culmination on 1 June: |58 + 22.0| - 90.
    let lowest = sun.expect("the Sun stands in the way");
    assert!((lowest + 10.0).abs() < 0.2, "{lowest}");
}

#[test]
fn a_nights_reasons_fit_a_terminal_and_name_what_ends_a_window() {
    let site = Site::new(-31.4, 139.2).expect("a place");
    let mut brief = Brief::default();
    for (key, text) in [
        ("facing", "128"),
        ("target_offset", "-60..60"),
        ("clock", "07:30..15:00"),
    ] {
        brief.set(key, text).expect("a rule");
    }
    let rules = Rules::new(&brief, &site).expect("rules");
    let date = day(2027, 7, 9);
    let season = Season::new(Dates::new(date, date).expect("dates"));
    let mut page = Vec::new();
    let planner = season
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let night = Night::of(&site, date).expect("a night");
    let reasons = planner
        .reasons(night.date)
        .expect("a night of the season")
        .expect("no blend");
    rakelight::report::reasons::write_table(&mut page, &site, &rules, &reasons, 80)
        .expect("in memory");

    let page = anstream::adapter::StripBytes::new()
        .strip_next(&page)
        .flatten()
        .copied()
        .collect::<Vec<u8>>();
    let page = String::from_utf8(page).expect("UTF-8");
    assert!(
        page.lines().take(8).all(|line| line.chars().count() <= 80),
        "{page}"
    );
    assert!(
        page.contains("begun by --light-angle, ended by --target-offset"),
        "{page}"
    );
}

#[test]
fn a_nights_reasons_agree_with_its_windows() {
    let site = Site::new(-31.4, 139.2).expect("a place");
    let brief = Brief::default()
        .with(&FACING, Facing::Bearing(100.0))
        .with(&TARGET_OFFSET, Band::new(-180.0, 180.0));
    let rules = Rules::new(&brief, &site).expect("rules");
    let season = Season::new(Dates::new(day(2027, 6, 1), day(2027, 8, 31)).expect("dates"));
    let windows = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    assert!(windows.len() > 3);
    let study = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .study()
        .expect("no blend");
    let planner = season
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    for window in &windows {
        let night = Night::of(&site, window.night).expect("a night");
        let reasons = planner
            .reasons(night.date)
            .expect("a night of the season")
            .expect("no blend");
        let same = reasons
            .windows
            .iter()
            .find(|ends| (ends.interval.start - window.interval.start).abs() < 2.0)
            .expect("the window");
        assert!(same.long_enough);
        assert!((same.interval.end - window.interval.end).abs() < 2.0);
        // What begins a window fails just before it, what ends it just
        // after.
        for (name, time) in [
            (same.begun_by, window.interval.start - 30.0),
            (same.ended_by, window.interval.end + 30.0),
        ] {
            let through = reasons.rule(name.expect("a rule")).expect("in use");
            let moment = rakelight::ephemeris::Moment::from_seconds(time);
            let measure =
                through.measure(&planner, &planner.at(moment).expect("within the season"));
            let margin = measure.expect("a measure").margin;
            assert!(margin < 0.0 && margin > -0.5, "{name:?} {margin}");
        }
        for through in &reasons.rules {
            let (moment, measure) = through.best.expect("a best");
            assert_eq!(
                through.held.contains(moment.seconds()),
                measure.margin >= 0.0
            );
            assert!(!through.rejects_alone);
        }
    }
    for miss in &study.misses {
        let reasons = planner
            .reasons(miss.night.date)
            .expect("a night of the season")
            .expect("no blend");
        if let Some(through) = reasons.rule(miss.loosening.rule) {
            assert!(through.rejects_alone, "{miss:?}");
        }
    }
}

/// The windows come from vectors with bounds; what a night's reasons print
/// beside them comes from angles. Both must turn at the same instants.
#[test]
fn a_measure_changes_its_sign_where_its_rule_begins_and_ends() {
    let zone = Zone::named("Australia/Adelaide").expect("a zone");
    let site = Site::at_place("-31.4,139.2", Some(zone)).expect("a place");
    let briefs: [&[(&str, &str)]; 4] = [
        &[
            ("light", "any"),
            ("facing", "128"),
            ("target_offset", "-60..60"),
            ("arch_offset", "-40..70"),
            ("light_side", "left"),
            ("clock", "21:15..02:30"),
        ],
        &[
            ("facing", "200"),
            ("target_azimuth", "100..230"),
            ("light_side", "right"),
            ("light_angle", "20..160"),
            ("moon_altitude", "3..40"),
            ("clock", "02:30..21:15"),
        ],
        &[
            ("light", "any"),
            ("facing", "subject"),
            ("target_azimuth", "300..90"),
            ("target_altitude", "12..70"),
            ("arch_altitude", "30..80"),
            ("tilt", "20..50"),
            ("sun_altitude", "..-14"),
        ],
        &[
            ("light", "any"),
            ("contrast", "0.3..0.9"),
            ("facing", "arch"),
            ("target_offset", "20..90"),
            ("tilt", "..60"),
            ("moon_fraction", "0.2..0.6"),
        ],
    ];
    let mut edges: BTreeMap<&'static Rule, usize> = BTreeMap::new();
    for asked_rules in briefs {
        let mut site = site.clone();
        if asked_rules.contains(&("facing", "subject")) {
            site.subject = Some(Subject {
                name: None,
                place: SubjectPlace::Bearing {
                    bearing_deg: 71.0,
                    distance_m: None,
                },
                height_m: None,
                width_m: None,
                reflectance: None,
                reflectance_measured: None,
            });
        }
        let mut brief = Brief::default();
        for (key, text) in asked_rules {
            brief.set(key, text).expect("a rule");
        }
        let rules = Rules::new(&brief, &site).expect("rules");
        // The clocks go back in the night that begins on 3 April.
        let season = Season::new(Dates::new(day(2027, 4, 1), day(2027, 5, 2)).expect("dates"));
        let planner = season
            .planner(site.clone(), rules.clone())
            .expect("a planner");
        for date in day(2027, 4, 1).iter_days().take(31) {
            let night = Night::of(&site, date).expect("a night");
            let reasons = planner
                .reasons(night.date)
                .expect("a night of the season")
                .expect("no blend");
            for through in &reasons.rules {
                let margin = |time: f64| {
                    let moment = Moment::from_seconds(time);
                    let instant = planner.at(moment).expect("within the season");
                    let measure = through.measure(&planner, &instant)?;
                    let value = value_at(through.rule, &instant, site.zone);
                    assert!(
                        (measure.value - value).abs() < 1e-9,
                        "{:?} {measure:?} {value}",
                        through.rule
                    );
                    Some(measure.margin)
                };
                let ends = through.held.as_slice().iter().flat_map(|interval| {
                    [(interval.start, 1.0), (interval.end, -1.0)]
                        .map(|(time, inward)| (time, inward, interval.minutes()))
                });
                for (time, inward, minutes) in ends {
                    let inside_the_night = (time - night.start.seconds()).abs() > 60.0
                        && (time - night.end.seconds()).abs() > 60.0;
                    let Some(inner) = margin(time + inward * 3.0) else {
                        continue;
                    };
                    if !inside_the_night || minutes < 1.0 {
                        continue;
                    }
                    let outer = margin(time - inward * 3.0).expect("a measure");
                    let what = format!("{:?} {date} {inner} {outer}", through.rule);
                    assert!(inner >= 0.0 && outer <= 0.0, "{what}");
                    // Clocks that are put back leap, and so does the azimuth of
                    // an arch that goes over the zenith; all else goes on.
                    let arch = planner
                        .at(Moment::from_seconds(time))
                        .expect("within the season")
                        .sky
                        .arch;
                    let over_the_zenith = arch.expect("an arch").top_altitude_deg > 89.0;
                    let by_arch =
                        *through.rule == ARCH_OFFSET || asked_rules.contains(&("facing", "arch"));
                    let leaps = *through.rule == CLOCK || over_the_zenith && by_arch;
                    if !leaps {
                        assert!(inner < 0.3 && outer > -0.3, "{what}");
                    }
                    *edges.entry(through.rule).or_default() += 1;
                }
            }
        }
    }
    for rule in [
        &CLOCK,
        &SUN_ALTITUDE,
        &MOON_FRACTION,
        &TARGET_ALTITUDE,
        &MOON_ALTITUDE,
        &TARGET_AZIMUTH,
        &TARGET_OFFSET,
        &LIGHT_ANGLE,
        &LIGHT_SIDE,
        &ARCH_ALTITUDE,
        &ARCH_OFFSET,
        &TILT,
        &CONTRAST,
    ] {
        assert!(
            edges.get(rule).is_some_and(|count| *count >= 2),
            "{rule:?} {edges:?}"
        );
    }
}

/// What a rule looks at, from the sky at that instant.
fn value_at(rule: &Rule, instant: &Conditions, zone: Zone) -> f64 {
    let sky = &instant.sky;
    let turned = |azimuth_deg: f64| {
        let around = (azimuth_deg - instant.facing_deg).rem_euclid(360.0);
        if around > 180.0 {
            around - 360.0
        } else {
            around
        }
    };
    match rule.key {
        "clock" => {
            let time = zone.local(instant.moment()).time();
            f64::from(60 * time.hour() + time.minute()) + f64::from(time.second()) / 60.0
        }
        "sun_altitude" => sky.sun.altitude_deg,
        "moon_fraction" => sky.phase.illuminated_fraction,
        "target_altitude" => sky.target.apparent_altitude_deg,
        "moon_altitude" => sky.moon.apparent_altitude_deg,
        "target_azimuth" => sky.target.azimuth_deg,
        "target_offset" => turned(sky.target.azimuth_deg),
        "light_angle" => turned(sky.moon.azimuth_deg).abs(),
        "light_side" => turned(sky.moon.azimuth_deg),
        "arch_altitude" => sky.arch.expect("an arch").top_altitude_deg,
        "arch_offset" => turned(sky.arch.expect("an arch").top_azimuth_deg),
        "tilt" => sky.tilt_deg.expect("a tilt"),
        "contrast" => instant.light.milky_way_contrast.expect("of the core"),
        other => panic!("{other} has no measure"),
    }
}
