//! The span at the ends of its range, across a leap second, and the same whatever
//! range is asked for.

use approx::assert_abs_diff_eq;
use glam::DVec3;
use rakelight::ephemeris::{
    Direction, Ephemeris, Moment, Observer, Refraction, Sky, separation_deg, tt_minus_utc_seconds,
};

const DAY_SECONDS: f64 = 86_400.0;
const AU_KM: f64 = 149_597_870.7;

fn at(text: &str) -> Moment {
    Moment::from_utc(text.parse().expect("a valid time in the test"))
}

fn arcsec(a: DVec3, b: DVec3) -> f64 {
    separation_deg(a, b) * 3600.0
}

/// Apparent right ascension from the equinox (degrees), declination and
/// distance (au) of the Sun, low accuracy: Meeus, *Astronomical Algorithms*,
/// 2nd ed., ch. 25, good to 0.01 degrees.
fn low_accuracy_sun(moment: Moment) -> (f64, f64, f64) {
    let tt_days = (moment.seconds() + tt_minus_utc_seconds(moment)) / DAY_SECONDS;
    let t = tt_days / 36_525.0;
    let mean_longitude = 280.46646 + 36000.76983 * t + 0.0003032 * t * t;
    let anomaly = (357.52911 + 35999.05029 * t - 0.0001537 * t * t).to_radians();
    let eccentricity = 0.016708634 - 0.000042037 * t - 0.0000001267 * t * t;
    let centre = (1.914602 - 0.004817 * t - 0.000014 * t * t) * anomaly.sin()
        + (0.019993 - 0.000101 * t) * (2.0 * anomaly).sin()
        + 0.000289 * (3.0 * anomaly).sin();
    let node = (125.04 - 1934.136 * t).to_radians();
    let longitude = (mean_longitude + centre - 0.00569 - 0.00478 * node.sin()).to_radians();
    let obliquity = (23.4392911 - 0.0130042 * t + 0.00256 * node.cos()).to_radians();
    let true_anomaly = anomaly + centre.to_radians();
    (
        (obliquity.cos() * longitude.sin())
            .atan2(longitude.cos())
            .to_degrees()
            .rem_euclid(360.0),
        (obliquity.sin() * longitude.sin()).asin().to_degrees(),
        1.000001018 * (1.0 - eccentricity * eccentricity)
            / (1.0 + eccentricity * true_anomaly.cos()),
    )
}

#[test]
fn low_accuracy_sun_is_typed_as_printed() {
    // Meeus, ex. 25.a, 1992 October 13 0h TD: RA 198.38083, dec -7.78507, R
    // 0.99766.
    let (ra, dec, distance) = low_accuracy_sun(at("1992-10-12T23:59:01Z"));
    assert_abs_diff_eq!(ra, 198.38083, epsilon = 2e-5);
    assert_abs_diff_eq!(dec, -7.78507, epsilon = 2e-5);
    assert_abs_diff_eq!(distance, 0.99766, epsilon = 5e-6);
}

#[test]
fn two_centuries_and_their_outermost_nights() {
    // The night of 1900-01-01 at longitude 180 begins at 0h UTC of that day
    // less the equation of time, that of 2099-12-31 at -180 ends on
    // 2100-01-02 at 0h. The Sun is that of an independent formula good to 0.01
    // degrees.
    let (from, to) = (at("1899-12-31T23:30:00Z"), at("2100-01-02T00:30:00Z"));
    let ephemeris = Ephemeris::covering(from, to);
    assert!(ephemeris.contains(from) && ephemeris.contains(to));
    let mut moments: Vec<Moment> = (0..=4000)
        .map(|k| from.plus_seconds((to.seconds() - from.seconds()) * f64::from(k) / 4000.0))
        .collect();
    moments.extend((0..=300).flat_map(|k| {
        let seconds = f64::from(k) * 300.0;
        [from.plus_seconds(seconds), to.plus_seconds(-seconds)]
    }));
    for moment in moments {
        let sun = ephemeris.sun_km(moment);
        let (ra, dec, distance) = low_accuracy_sun(moment);
        let origins = sofars::pnp::eo06a(
            2_451_545.0,
            (moment.seconds() + tt_minus_utc_seconds(moment)) / DAY_SECONDS,
        );
        let (ra, dec) = (ra.to_radians() + origins, dec.to_radians());
        let expected = DVec3::new(dec.cos() * ra.cos(), dec.cos() * ra.sin(), dec.sin());
        let apart = separation_deg(sun, expected);
        assert!(apart < 0.012, "{}: {apart}", moment.to_utc());
        assert_abs_diff_eq!(sun.length() / AU_KM, distance, epsilon = 1.5e-4);
        let moon = ephemeris.moon_km(moment).length();
        // Extremes of the distance over 1500-2500: 356 371 and 406 720 km
        // (Meeus, Astronomical Algorithms, ch. 50, from memory).
        assert!((356_300.0..=406_800.0).contains(&moon), "{moon}");
    }
}

#[test]
fn skies_of_the_outermost_nights_are_finite_and_continuous() {
    let ends = [
        (at("1899-12-31T23:30:00Z"), at("1900-01-02T12:30:00Z")),
        (at("2099-12-31T11:30:00Z"), at("2100-01-02T00:30:00Z")),
    ];
    for (from, to) in ends {
        let ephemeris = Ephemeris::covering(from, to);
        let core = ephemeris.star(Direction::Core);
        for longitude_deg in [-180.0, 0.0, 180.0] {
            for latitude_deg in [-90.0, -31.0, 65.0] {
                let observer = Observer::new(latitude_deg, longitude_deg, 300.0);
                let sky = Sky::new(&ephemeris, &core, observer, Refraction::new(1010.0, 10.0));
                let step = 60.0;
                let count = ((to.seconds() - from.seconds()) / step) as usize;
                let vectors: Vec<[DVec3; 3]> = (0..=count)
                    .map(|k| {
                        let moment = from.plus_seconds(k as f64 * step);
                        let frame = observer.frame_at(moment);
                        let here = sky.at(moment);
                        assert!(here.moon.apparent_altitude_deg.is_finite());
                        assert!(here.arch.is_some_and(|a| a.top_azimuth_deg.is_finite()));
                        [
                            frame.body(ephemeris.sun_km(moment)).normalize(),
                            frame.body(ephemeris.moon_km(moment)).normalize(),
                            frame.star(core.at(moment)),
                        ]
                    })
                    .collect();
                for three in vectors.windows(3) {
                    for ((a, b), c) in three[0].iter().zip(&three[1]).zip(&three[2]) {
                        // A turning vector bends by (rate step)^2 = 1.9e-5;
                        // a jump of an arc-minute would be 3e-4.
                        let bend = (*a - 2.0 * *b + *c).length();
                        assert!(bend < 2.2e-5, "{bend}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_last_noon_leaves_no_step() {
    let end = at("2100-01-01T12:00:00Z");
    let ephemeris = Ephemeris::covering(end.plus_seconds(-40_000.0), end.plus_seconds(40_000.0));
    let core = ephemeris.star(Direction::Core);
    let at_step = |k: i32| end.plus_seconds(f64::from(k) * 20.0);
    let mut steps = Vec::new();
    for k in -150..150 {
        let (a, b) = (at_step(k), at_step(k + 1));
        steps.push(arcsec(ephemeris.sun_km(a), ephemeris.sun_km(b)));
        // Nutation and aberration move a star by 0.4" a day.
        assert!(arcsec(core.at(a), core.at(b)) < 3e-4);
    }
    // The Sun's pace near perihelion, 61.2' a day, is 0.85" in 20 s and
    // changes by a thousandth in these 100 minutes.
    for step in &steps {
        assert_abs_diff_eq!(*step, 0.8490, epsilon = 0.002);
    }
}

#[test]
fn a_leap_second_moves_the_moon_by_one_second_more() {
    // IERS Bulletin C 52: a second was inserted at the end of 2016-12-31. It is
    // not counted in UTC seconds, so across it the uniform time runs two.
    let midnight = at("2017-01-01T00:00:00Z");
    let ephemeris = Ephemeris::covering(
        midnight.plus_seconds(-DAY_SECONDS),
        midnight.plus_seconds(DAY_SECONDS),
    );
    let moon = |seconds: f64| ephemeris.moon_km(midnight.plus_seconds(seconds));
    let before = (moon(-1.0) - moon(-2.0)).length();
    let across = (moon(0.0) - moon(-1.0)).length();
    let after = (moon(1.0) - moon(0.0)).length();
    assert_abs_diff_eq!(before, after, epsilon = 1e-3);
    assert_abs_diff_eq!(across, before + after, epsilon = 1e-3);
    // The sky itself turns on without a step: UT1 is taken equal to UTC.
    let observer = Observer::new(10.0, 20.0, 0.0);
    let star = ephemeris.star(Direction::Core);
    let local = |seconds: f64| {
        let moment = midnight.plus_seconds(seconds);
        observer.frame_at(moment).star(star.at(moment))
    };
    let turn = |from: f64| arcsec(local(from), local(from + 1.0));
    assert_abs_diff_eq!(turn(-1.0), turn(-2.0), epsilon = 1e-4);
    assert_abs_diff_eq!(turn(-1.0), turn(0.0), epsilon = 1e-4);
}

#[test]
fn the_longest_span_equals_short_ones_to_the_last_bit() {
    let (from, to) = (at("1899-12-31T12:00:00Z"), at("2100-01-02T12:00:00Z"));
    let whole = Ephemeris::covering(from, to);
    let directions = [
        Direction::Core,
        Direction::Icrs {
            right_ascension_deg: 83.6,
            declination_deg: 22.0,
        },
    ];
    let stars = directions.map(|direction| whole.star(direction));
    // The edges of pieces are even days from 1899-12-28 12h TT on.
    let edge = at("1899-12-28T12:00:00Z").plus_seconds(-69.184);
    let mut moments: Vec<Moment> = (0..=400)
        .map(|k| {
            from.plus_seconds(
                1800.0 + (to.seconds() - from.seconds() - 3600.0) / 400.0 * f64::from(k),
            )
        })
        .chain((0..=200).map(|k| edge.plus_seconds(f64::from(16 * (22 * k + 1)) * DAY_SECONDS)))
        .filter(|moment| whole.contains(*moment))
        .collect();
    // Where the time is 0.
    moments.push(Moment::from_seconds(0.0));
    let mut asked = 0;
    for moment in moments {
        let days = |before: f64, after: f64| {
            Ephemeris::covering(
                moment.plus_seconds(-before * DAY_SECONDS),
                moment.plus_seconds(after * DAY_SECONDS),
            )
        };
        for short in [
            days(0.0, 0.0),
            days(0.4, 0.6),
            days(13.0, 353.0),
            days(400.0, 0.0),
        ] {
            let when = moment.to_utc();
            assert!(short.contains(moment), "{when}");
            let bits = |span: &Ephemeris| {
                let phase = span.moon_phase(moment);
                [
                    span.moon_km(moment),
                    span.moon_km_with_rate(moment).1,
                    span.sun_km(moment),
                    span.galactic_pole().at(moment),
                    span.galactic_origin().at(moment),
                    span.ecliptic_pole(moment),
                    DVec3::new(phase.illuminated_fraction, phase.phase_angle_deg, 0.0),
                ]
                .map(|v| v.to_array().map(f64::to_bits))
            };
            assert_eq!(bits(&whole), bits(&short), "{when}");
            for (direction, star) in directions.iter().zip(&stars) {
                assert_eq!(star.at(moment), short.star(*direction).at(moment), "{when}");
            }
            asked += 1;
        }
    }
    assert!(asked > 2000, "{asked}");
}
