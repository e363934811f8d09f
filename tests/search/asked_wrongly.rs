//! The library asked for what cannot be answered: an error each time, never a
//! number and never a panic.

use chrono::{DateTime, NaiveDate, Utc};
use rakelight::{
    Brief, Dates, Planner, Site,
    chart::FrameChart,
    ephemeris::{Direction, Moment},
    plan::{NoTripodPosition, PlanSettings, TripodAims},
    rule::{
        ARCH_ALTITUDE, FACING, LIGHT, LIGHT_ANGLE, MIN_MINUTES, MOON_ALTITUDE, MOON_FRACTION,
        RuleValue, Rules, SUN_ALTITUDE, TARGET, TARGET_ALTITUDE, TARGET_AZIMUTH, TARGET_OFFSET,
        TILT, WEIGHTS,
    },
    scene::{
        AzimuthBand, Band, Camera, DateError, Facing, LightKind, Subject, SubjectPlace, Weights,
    },
    search::{Lens, PlanError, Season},
    why::VaryError,
};

const NO_NUMBERS: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).expect("a date")
}

fn dates() -> Dates {
    Dates::new(day(2027, 6, 1), day(2027, 6, 20)).expect("dates")
}

fn site() -> Site {
    Site::new(-31.4, 139.2).expect("a place")
}

fn planner() -> Planner {
    Planner::new(site(), &Brief::default(), dates()).expect("a planner")
}

/// The text of an error; there is something in it.
fn told<T: std::fmt::Debug, E: std::error::Error>(asked: Result<T, E>, what: &str) -> String {
    let error = asked.expect_err(what).to_string();
    assert!(error.len() > 10, "{what}: {error}");
    error
}

#[test]
fn dates_beyond_1900_to_2099_or_backwards() {
    for (first, last, wrong) in [
        (day(1895, 1, 1), day(1895, 12, 31), day(1895, 1, 1)),
        (day(1899, 12, 31), day(1900, 1, 1), day(1899, 12, 31)),
        (day(2099, 12, 31), day(2100, 1, 1), day(2100, 1, 1)),
        (day(1900, 1, 1), NaiveDate::MAX, NaiveDate::MAX),
        (NaiveDate::MIN, NaiveDate::MAX, NaiveDate::MIN),
    ] {
        let asked = Dates::new(first, last);
        assert_eq!(asked, Err(DateError::OutOfRange(wrong)));
        assert!(told(asked, "dates").contains("1900-01-01 to 2099-12-31"));
    }
    let backwards = Dates::new(day(2027, 6, 2), day(2027, 6, 1));
    assert!(told(backwards, "backwards").contains("2027-06-01 lies before"));
    for date in [
        NaiveDate::MIN,
        day(1899, 12, 31),
        day(2100, 1, 1),
        NaiveDate::MAX,
    ] {
        told(Dates::one(date), "one night");
        told(Dates::year_from(date), "a year");
    }
}

#[test]
fn places_that_are_nowhere() {
    for wrong in NO_NUMBERS {
        told(Site::new(wrong, 139.2), "a latitude");
        told(Site::new(-31.4, wrong), "a longitude");
        let error = told(site().with_elevation_m(wrong), "an elevation");
        assert!(error.contains("elevation_m"), "{error}");
    }
    for (latitude, longitude) in [(90.001, 0.0), (-91.0, 0.0), (0.0, 180.001), (0.0, -361.0)] {
        told(Site::new(latitude, longitude), "no place");
    }
    told(site().with_elevation_m(1e6), "beyond the air");
}

/// A field of a site that its owner wrote over.
#[test]
fn sites_whose_numbers_cannot_be() {
    let with_subject = |place: SubjectPlace, height_m, reflectance| {
        let mut site = site();
        site.subject = Some(Subject {
            name: None,
            place,
            height_m,
            width_m: None,
            reflectance,
            reflectance_measured: None,
        });
        site
    };
    type Change = fn(&mut Site, f64);
    let changes: [(&str, Change); 8] = [
        ("latitude_deg", |site, value| site.latitude_deg = value),
        ("longitude_deg", |site, value| site.longitude_deg = value),
        ("elevation_m", |site, value| site.elevation_m = value),
        ("sky.zenith_mag_arcsec2", |site, value| {
            site.sky.zenith_mag_arcsec2 = value;
        }),
        ("sky.extinction_mag", |site, value| {
            site.sky.extinction_mag = value;
        }),
        ("air.pressure_hpa", |site, value| {
            site.air.pressure_hpa = value;
        }),
        ("air.temperature_c", |site, value| {
            site.air.temperature_c = value;
        }),
        ("latitude_deg", |site, value| {
            site.latitude_deg = value.max(1e300);
        }),
    ];
    let mut sites: Vec<(String, Site)> = Vec::new();
    for wrong in NO_NUMBERS {
        for (key, change) in changes {
            let mut changed = site();
            change(&mut changed, wrong);
            sites.push((key.to_owned(), changed));
        }
        let bearing = |bearing_deg, distance_m| SubjectPlace::Bearing {
            bearing_deg,
            distance_m,
        };
        let coordinates = |latitude_deg, longitude_deg, elevation_m| SubjectPlace::Coordinates {
            latitude_deg,
            longitude_deg,
            elevation_m,
        };
        for (key, place, height, reflectance) in [
            ("subject.bearing_deg", bearing(wrong, None), None, None),
            (
                "subject.distance_m",
                bearing(128.0, Some(wrong)),
                None,
                None,
            ),
            (
                "subject.latitude_deg",
                coordinates(wrong, 139.2, None),
                None,
                None,
            ),
            (
                "subject.longitude_deg",
                coordinates(-31.4, wrong, None),
                None,
                None,
            ),
            (
                "subject.elevation_m",
                coordinates(-31.4, 139.3, Some(wrong)),
                None,
                None,
            ),
            ("subject.height_m", bearing(128.0, None), Some(wrong), None),
            (
                "subject.reflectance",
                bearing(128.0, None),
                None,
                Some(wrong),
            ),
        ] {
            sites.push((key.to_owned(), with_subject(place, height, reflectance)));
        }
    }
    sites.push((
        "subject.bearing_deg".to_owned(),
        with_subject(
            SubjectPlace::Bearing {
                bearing_deg: 361.0,
                distance_m: None,
            },
            None,
            None,
        ),
    ));
    let season = Season::new(dates());
    let rules = Rules::new(&Brief::default(), &site()).expect("rules");
    for (key, wrong) in sites {
        let error = told(
            Planner::new(wrong.clone(), &Brief::default(), dates()),
            &key,
        );
        assert!(error.starts_with(&format!("{key}: found ")), "{error}");
        told(season.planner(wrong, rules.clone()), &key);
    }
}

#[test]
fn cameras_that_cannot_be() {
    let good = Camera {
        sensor_mm: [36.0, 24.0],
        pixels: [6000, 4000],
        focal_mm: 14.0,
        f_number: 2.8,
    };
    let with = |camera: Camera| {
        let mut site = site();
        site.camera = Some(camera);
        Planner::new(site, &Brief::default(), dates())
    };
    assert!(with(good).is_ok());
    let mut cameras = vec![
        Camera {
            pixels: [0, 4000],
            ..good
        },
        Camera {
            pixels: [6000, 0],
            ..good
        },
        Camera {
            focal_mm: 0.0,
            ..good
        },
        Camera {
            sensor_mm: [-36.0, 24.0],
            ..good
        },
    ];
    for wrong in NO_NUMBERS {
        cameras.extend([
            Camera {
                focal_mm: wrong,
                ..good
            },
            Camera {
                f_number: wrong,
                ..good
            },
            Camera {
                sensor_mm: [wrong, 24.0],
                ..good
            },
            Camera {
                sensor_mm: [36.0, wrong],
                ..good
            },
        ]);
    }
    for camera in cameras {
        let asked = with(camera);
        assert!(matches!(asked, Err(PlanError::Camera(_))), "{camera:?}");
        told(asked, "a camera");
    }
}

/// Values that no option, brief or site file would have given.
fn wrong_values() -> Vec<(&'static rakelight::rule::Rule, RuleValue)> {
    let bands = [
        &SUN_ALTITUDE,
        &TARGET_ALTITUDE,
        &TARGET_OFFSET,
        &TILT,
        &ARCH_ALTITUDE,
        &MOON_ALTITUDE,
        &MOON_FRACTION,
        &LIGHT_ANGLE,
    ];
    let mut values: Vec<(&rakelight::rule::Rule, RuleValue)> = Vec::new();
    for rule in bands {
        for (low, high) in [
            (f64::NAN, 1.0),
            (0.0, f64::NAN),
            (f64::NAN, f64::NAN),
            (2.0, 1.0),
            (f64::INFINITY, f64::NEG_INFINITY),
        ] {
            values.push((rule, Band::new(low, high).into()));
        }
    }
    for wrong in NO_NUMBERS {
        values.push((&MIN_MINUTES, wrong.into()));
        values.push((&FACING, Facing::Bearing(wrong).into()));
        let target = Direction::Galactic {
            longitude_deg: wrong,
            latitude_deg: 0.0,
        };
        values.push((&TARGET, target.into()));
        let target = Direction::Icrs {
            right_ascension_deg: 10.0,
            declination_deg: wrong,
        };
        values.push((&TARGET, target.into()));
        let weights = Weights {
            raking: wrong,
            ..Weights::default()
        };
        values.push((&WEIGHTS, weights.into()));
        for (from_deg, width_deg) in [(wrong, 10.0), (10.0, wrong)] {
            let band = AzimuthBand {
                from_deg,
                width_deg,
            };
            values.push((&TARGET_AZIMUTH, band.into()));
        }
    }
    values.push((&MIN_MINUTES, (-20.0).into()));
    let negative = Weights {
        contrast: -1.0,
        ..Weights::default()
    };
    values.push((&WEIGHTS, negative.into()));
    let width = AzimuthBand {
        from_deg: 10.0,
        width_deg: -5.0,
    };
    values.push((&TARGET_AZIMUTH, width.into()));
    values
}

/// Values that another rule takes, or that are out of a rule's limits: what an
/// option refuses, the library refuses in the same words.
#[test]
fn rules_with_values_of_others_and_values_beyond_limits() {
    let moonless = || RuleValue::Light(LightKind::Dark.into());
    let band = || RuleValue::Band(Band::new(10.0, 20.0));
    let mut wrong = vec![
        (&LIGHT, band()),
        (&TARGET, band()),
        (&FACING, RuleValue::Minutes(30.0)),
        (&WEIGHTS, moonless()),
        (&MIN_MINUTES, RuleValue::Facing(Facing::Bearing(30.0))),
        (&TARGET_AZIMUTH, band()),
        (&LIGHT_ANGLE, moonless()),
    ];
    for (rule, low, high) in [
        (&TARGET_ALTITUDE, -91.0, 20.0),
        (&TARGET_OFFSET, 0.0, 181.0),
        (&MOON_FRACTION, 0.2, 2.0),
        (&LIGHT_ANGLE, -1.0, 10.0),
        (&TILT, 0.0, 91.0),
    ] {
        wrong.push((rule, Band::new(low, high).into()));
    }
    wrong.push((&MIN_MINUTES, RuleValue::Minutes(2000.0)));
    for (rule, value) in wrong {
        let brief = Brief::default().with(rule, value.clone());
        let asked = Planner::new(site(), &brief, dates());
        assert!(
            matches!(&asked, Err(PlanError::Rule { key, .. }) if *key == rule.key),
            "{}: {value:?}",
            rule.key
        );
        told(asked, rule.key);
        told(Rules::new(&brief, &site()), rule.key);
        // Only limits are given to rules one by one.
        if rule.limit.is_some() {
            let rules = Rules::new(&Brief::default(), &site()).expect("rules");
            let rules = rules.with(rule, value.clone());
            told(Season::new(dates()).planner(site(), rules), rule.key);
        }
        // What an option says of the same text, where it refuses it.
        let mut typed = Brief::default();
        if let Err(error) = typed.set(rule.key, &value.to_string()) {
            let asked = rule.check(&value).expect_err(rule.key);
            assert_eq!(asked, error);
        }
    }
}

#[test]
fn rules_whose_values_cannot_be() {
    let season = Season::new(dates());
    for kind in [LightKind::Raking, LightKind::Dark, LightKind::Blend] {
        let brief = Brief::default().with(&LIGHT, kind);
        let rules = Rules::new(&brief, &site()).expect("rules");
        for (rule, value) in wrong_values() {
            let what = format!("{}: {value:?}", rule.key);
            let briefed = brief.clone().with(rule, value.clone());
            let asked = Planner::new(site(), &briefed, dates());
            assert!(
                matches!(&asked, Err(PlanError::Rule { key, .. }) if *key == rule.key),
                "{what}"
            );
            told(asked, &what);
            // Only limits are given to rules one by one.
            if rule.limit.is_some() {
                told(
                    season.planner(site(), rules.clone().with(rule, value)),
                    &what,
                );
            }
            told(planner().vary(&briefed, Vec::new()), &what);
        }
    }
}

#[test]
fn a_subject_that_is_not_there() {
    let facing = Brief::default().with(&FACING, Facing::Subject);
    let asked = Planner::new(site(), &facing, dates());
    assert!(matches!(asked, Err(PlanError::NoSubject(_))));
    assert!(told(asked, "no subject").contains("bearing_deg"));
    // Rules made for a place that has one.
    let mut with_subject = site();
    with_subject.subject = Some(Subject {
        name: None,
        place: SubjectPlace::Bearing {
            bearing_deg: 128.0,
            distance_m: None,
        },
        height_m: None,
        width_m: None,
        reflectance: None,
        reflectance_measured: None,
    });
    let rules = Rules::new(&facing, &with_subject).expect("rules");
    let asked = Season::new(dates()).planner(site(), rules);
    assert!(matches!(asked, Err(PlanError::NoSubject(_))));
    let varied = planner().vary(
        &Brief::default(),
        vec![("facing".to_owned(), "subject".to_owned())],
    );
    assert!(matches!(varied, Err(VaryError::NoSubject(_))));
}

#[test]
fn instants_and_nights_outside_the_season() {
    let planner = planner();
    let utc = |text: &str| Moment::from_utc(text.parse::<DateTime<Utc>>().expect("a time"));
    assert!(planner.at(utc("2027-06-10T12:00:00Z")).is_ok());
    for moment in [
        utc("2027-05-25T12:00:00Z"),
        utc("2027-06-25T12:00:00Z"),
        utc("1895-06-10T12:00:00Z"),
        utc("2150-06-10T12:00:00Z"),
        Moment::from_seconds(f64::NAN),
        Moment::from_seconds(f64::INFINITY),
        Moment::from_seconds(f64::NEG_INFINITY),
        Moment::from_seconds(1e300),
    ] {
        for asked in [
            planner.at(moment).map(|_| ()),
            planner
                .tripod_hours(&TripodAims::default(), moment)
                .map(|_| ()),
            FrameChart::at(&planner, moment).map(|_| ()),
        ] {
            assert!(
                matches!(asked, Err(PlanError::Instant { .. })),
                "{moment:?}"
            );
            told(asked, "an instant");
        }
        let lens = Lens::of(planner.site(), 1.0).expect("a camera");
        let asked = planner.tripod(&lens, &TripodAims::default(), moment);
        assert!(
            matches!(asked, Err(NoTripodPosition::Season(_))),
            "{moment:?}"
        );
    }
    assert!(planner.night(day(2027, 6, 20)).is_ok());
    for night in [
        day(2027, 5, 31),
        day(2027, 6, 21),
        NaiveDate::MIN,
        NaiveDate::MAX,
    ] {
        for asked in [
            planner.night(night).map(|_| ()),
            planner.of_night(night).map(|_| ()),
            planner.season().of_night(night).map(|_| ()),
            planner.compare(&[day(2027, 6, 2), night]).map(|_| ()),
            planner.windows_of(night).map(|_| ()),
            planner.series(night, 10).map(|_| ()),
            planner.reasons(night).map(|_| ()),
            planner.plan(night, &PlanSettings::default()).map(|_| ()),
        ] {
            assert!(matches!(asked, Err(PlanError::Night { .. })), "{night}");
            told(asked, "a night");
        }
    }
}

/// Samoa went over the date line: the calendar there has no 30 December 2011.
#[test]
fn a_night_that_the_calendar_leaves_out() {
    let mut apia = Site::new(-13.8, -171.8).expect("a place");
    apia.zone = rakelight::scene::Zone::named("Pacific/Apia").expect("a zone");
    let dates = Dates::new(day(2011, 12, 28), day(2012, 1, 2)).expect("dates");
    let planner = Planner::new(apia, &Brief::default(), dates).expect("a planner");
    assert!(planner.night(day(2011, 12, 29)).is_ok());
    told(planner.night(day(2011, 12, 30)), "the day left out");
}

#[test]
fn variants_that_cannot_be_typed() {
    let planner = planner();
    for (key, text) in [
        ("target_altitude", "nan.."),
        ("target_altitude", "20..10"),
        ("moon_fraction", "..3"),
        ("min_minutes", "-5"),
        ("min_minutes", "inf"),
        ("light", "purple"),
        ("no_such_rule", "1..2"),
        ("", ""),
    ] {
        let values = vec![(key.to_owned(), text.to_owned())];
        let asked = planner.vary(&Brief::default(), values);
        assert!(
            matches!(asked, Err(VaryError::Value(_))),
            "{key} {text}: {asked:?}"
        );
    }
}
