//! The galactic frame and the core through the year: published values and
//! facts of spherical astronomy.

use approx::assert_abs_diff_eq;
use glam::DVec3;
use rakelight::ephemeris::{
    Direction, Ephemeris, EventKind, Moment, Observer, Refraction, Sky, separation_deg,
};

const DAY_SECONDS: f64 = 86_400.0;

fn at(text: &str) -> Moment {
    Moment::from_utc(text.parse().expect("a valid time in the test"))
}

fn days_around(moment: Moment, days: f64) -> Ephemeris {
    Ephemeris::covering(
        moment.plus_seconds(-days * DAY_SECONDS),
        moment.plus_seconds(days * DAY_SECONDS),
    )
}

#[test]
fn galactic_frame_and_sgr_a_star() {
    // ESA, The Hipparcos and Tycho Catalogues, SP-1200, vol. 1, sec. 1.5.3
    // (1997): pole RA 192.85948, dec +27.12825; so l = b = 0 lies at RA
    // 266.4049948, dec -28.9361740. Sgr A* by Reid & Brunthaler, ApJ 616, 872
    // (2004): l 359.94425, b -0.04616.
    let galactic = |longitude_deg, latitude_deg| Direction::Galactic {
        longitude_deg,
        latitude_deg,
    };
    let icrs = |right_ascension_deg, declination_deg| Direction::Icrs {
        right_ascension_deg,
        declination_deg,
    };
    assert_abs_diff_eq!(
        galactic(0.0, 90.0).declination_deg().expect("a star"),
        27.128_25,
        epsilon = 1e-5
    );
    assert_abs_diff_eq!(
        galactic(0.0, 0.0).declination_deg().expect("a star"),
        -28.936_174,
        epsilon = 1e-5
    );
    assert_abs_diff_eq!(
        icrs(192.859_48, 27.128_25)
            .galactic_deg()
            .expect("a star")
            .1,
        90.0,
        epsilon = 1e-5
    );
    let (l, b) = icrs(266.404_994_8, -28.936_174)
        .galactic_deg()
        .expect("a star");
    assert_abs_diff_eq!((l + 180.0).rem_euclid(360.0), 180.0, epsilon = 1e-5);
    assert_abs_diff_eq!(b, 0.0, epsilon = 1e-5);
    let (l, b) = Direction::Core.galactic_deg().expect("a star");
    assert_abs_diff_eq!(l, 359.944_25, epsilon = 1e-5);
    assert_abs_diff_eq!(b, -0.046_16, epsilon = 1e-5);
    assert_abs_diff_eq!(
        Direction::Core.declination_deg().expect("a star"),
        -29.007_811,
        epsilon = 1e-6
    );
    // And through the sky: 0.072 degrees from the frame's origin.
    let moment = at("2000-01-01T12:00:00Z");
    let ephemeris = days_around(moment, 1.0);
    let apart = separation_deg(
        ephemeris.star(Direction::Core).at(moment),
        ephemeris.star(galactic(0.0, 0.0)).at(moment),
    );
    assert_abs_diff_eq!(apart, 0.072, epsilon = 5e-4);
}

/// The one transit of the core on 2000 January 1 and what the sky is then.
fn target_transit(latitude_deg: f64, check: impl Fn(&Sky<'_>, Moment)) {
    let ephemeris = days_around(at("2000-01-01T12:00:00Z"), 2.0);
    let core = ephemeris.star(Direction::Core);
    let observer = Observer::new(latitude_deg, 15.0, 0.0);
    let sky = Sky::new(&ephemeris, &core, observer, Refraction::NONE);
    let from = at("2000-01-01T00:00:00Z");
    let transits: Vec<Moment> = sky
        .events(from, from.plus_seconds(86_164.0))
        .into_iter()
        .filter(|event| event.kind == EventKind::TargetTransit)
        .map(|event| event.moment)
        .collect();
    assert_eq!(transits.len(), 1, "latitude {latitude_deg}");
    check(&sky, transits[0]);
}

#[test]
fn greatest_altitude_of_the_core() {
    // Spherical astronomy: 90 - |latitude + 29.008|; here J2000, the 0.01
    // being nutation and aberration (up to 9" and 20").
    for (latitude_deg, greatest_deg) in [
        (-80.0, 39.01),
        (-45.0, 74.01),
        (0.0, 60.99),
        (20.0, 40.99),
        (30.0, 30.99),
        (35.0, 25.99),
        (40.0, 20.99),
        (45.0, 15.99),
        (50.0, 10.99),
        (55.0, 5.99),
        (60.0, 0.99),
    ] {
        target_transit(latitude_deg, |sky, transit| {
            let altitude = sky.at(transit).target.altitude_deg;
            assert_abs_diff_eq!(altitude, greatest_deg, epsilon = 0.013);
            for side in [-600.0, 600.0] {
                let beside = sky.at(transit.plus_seconds(side)).target.altitude_deg;
                assert!(beside < altitude);
            }
        });
    }
}

#[test]
fn core_transits_south_or_north_and_alike_on_both_sides() {
    for latitude_deg in [-80.0, -45.0, -29.1, -28.9, 0.0, 31.0, 60.0] {
        target_transit(latitude_deg, |sky, transit| {
            let azimuth = sky.at(transit).target.azimuth_deg;
            let expected = if latitude_deg > -29.0 { 180.0 } else { 0.0 };
            let off = (azimuth - expected + 180.0).rem_euclid(360.0) - 180.0;
            // 0.1 s of turning, larger the nearer the zenith.
            assert!(off.abs() < 0.01, "{latitude_deg}: {azimuth}");
            for hours in [0.5, 2.0, 4.0, 6.0] {
                let before = sky.at(transit.plus_seconds(-hours * 3600.0)).target;
                let after = sky.at(transit.plus_seconds(hours * 3600.0)).target;
                // Diurnal aberration lifts the western side by up to 0.6"
                // over the eastern.
                assert_abs_diff_eq!(before.altitude_deg, after.altitude_deg, epsilon = 2.5e-4);
            }
        });
    }
}

#[test]
fn core_never_rises_north_of_61_degrees() {
    let ephemeris = days_around(at("2000-01-02T00:00:00Z"), 2.0);
    let core = ephemeris.star(Direction::Core);
    for (latitude_deg, rises) in [(60.9, true), (61.1, false), (-61.1, false), (-60.9, true)] {
        let observer = Observer::new(latitude_deg, -40.0, 0.0);
        let sky = Sky::new(&ephemeris, &core, observer, Refraction::NONE);
        let events = sky.events(ephemeris.from(), ephemeris.to());
        let found = events
            .iter()
            .any(|event| event.kind == EventKind::TargetRise);
        assert_eq!(found, rises, "{latitude_deg}");
        // South of -60.99 it never sets instead.
        let up = sky.at(ephemeris.from()).target.altitude_deg > 0.0;
        assert!(rises || up == (latitude_deg < 0.0));
    }
}

#[test]
fn a_star_rises_3_minutes_56_seconds_earlier_each_day() {
    // The sidereal day, 86164.0905 s (IERS Conventions 2010): 235.9 s.
    let from = at("2026-05-01T00:00:00Z");
    let ephemeris = Ephemeris::covering(from, from.plus_seconds(30.0 * DAY_SECONDS));
    for (direction, latitude_deg) in [
        (Direction::Core, -31.4),
        (
            Direction::Icrs {
                right_ascension_deg: 101.287,
                declination_deg: -16.716,
            },
            48.0,
        ),
    ] {
        let star = ephemeris.star(direction);
        let sky = Sky::new(
            &ephemeris,
            &star,
            Observer::new(latitude_deg, 139.2, 120.0),
            Refraction::new(1010.0, 10.0),
        );
        let rises: Vec<f64> = sky
            .events(ephemeris.from(), ephemeris.to())
            .into_iter()
            .filter(|event| event.kind == EventKind::TargetRise)
            .map(|event| event.moment.seconds())
            .collect();
        assert!(rises.len() >= 29);
        for pair in rises.windows(2) {
            let earlier = DAY_SECONDS - (pair[1] - pair[0]);
            // Aberration and nutation change by up to 0.4" a day.
            assert_abs_diff_eq!(earlier, 235.9, epsilon = 0.1);
        }
    }
}

/// Ecliptic longitude of `vector` east of the Sun's, degrees, 0 to 360.
fn east_of_the_sun_deg(ephemeris: &Ephemeris, vector: DVec3, moment: Moment) -> f64 {
    let (pole, sun) = (
        ephemeris.ecliptic_pole(moment),
        ephemeris.sun_km(moment).normalize(),
    );
    let sine = pole.dot(sun.cross(vector));
    let cosine = sun.dot(vector) - sun.dot(pole) * vector.dot(pole);
    sine.atan2(cosine).to_degrees().rem_euclid(360.0)
}

#[test]
fn core_east_of_the_sun_through_2025() {
    // Computed with DE421, ecliptic longitudes, on the 15th of each month at
    // 0h, printed to the degree.
    let ephemeris = Ephemeris::covering(at("2025-01-01T00:00:00Z"), at("2026-01-01T00:00:00Z"));
    let core = ephemeris.star(Direction::Core);
    let published = [
        332.0, 301.0, 273.0, 242.0, 213.0, 183.0, 154.0, 125.0, 95.0, 65.0, 34.0, 4.0,
    ];
    for (month, expected) in (1..).zip(published) {
        let moment = at(&format!("2025-{month:02}-15T00:00:00Z"));
        let east = east_of_the_sun_deg(&ephemeris, core.at(moment), moment);
        assert_abs_diff_eq!(east, expected, epsilon = 0.6);
    }
}

#[test]
fn sun_meets_the_core_in_december_and_opposes_it_in_june() {
    // Spherical astronomy: the core's ecliptic longitude, 267.2 of date, is
    // the Sun's about December 19; opposite about June 18.
    let ephemeris = Ephemeris::covering(at("2025-01-01T00:00:00Z"), at("2027-01-01T00:00:00Z"));
    let core = ephemeris.star(Direction::Core);
    let east = |text: &str| {
        let moment = at(text);
        (east_of_the_sun_deg(&ephemeris, core.at(moment), moment) + 90.0).rem_euclid(360.0)
    };
    for year in [2025, 2026] {
        // Shifted by 90: conjunction is 90, opposition 270, both fall by a
        // degree a day.
        assert!(east(&format!("{year}-12-18T00:00:00Z")) > 90.0);
        assert!(east(&format!("{year}-12-20T00:00:00Z")) < 90.0);
        assert!(east(&format!("{year}-06-17T00:00:00Z")) > 270.0);
        assert!(east(&format!("{year}-06-19T00:00:00Z")) < 270.0);
    }
}
