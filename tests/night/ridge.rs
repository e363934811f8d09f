//! Ridge crossings against a sweep at one second.

use rakelight::{
    ephemeris::{Direction, Ephemeris, Moment, Observer, Refraction, Sky},
    plan::{Body, ridge_crossings},
    scene::Skyline,
};

const DAY: f64 = 86_400.0;

/// An evening's noon, seconds since the zero of [`Moment`].
fn noon(year_day: i32) -> f64 {
    // 2027-01-01T12:00:00Z.
    9862.0 * DAY + f64::from(year_day) * DAY
}

/// A jagged skyline that no body follows: steps of up to 6 degrees within a
/// few degrees of azimuth, and one needle.
fn jagged(seed: u64) -> Skyline {
    let mut state = seed;
    let mut next = || {
        // Knuth's MMIX generator (The Art of Computer Programming, vol. 2).
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / f64::from(u32::MAX >> 1)
    };
    let points = (0..90).map(|index| {
        let azimuth = f64::from(index) * 4.0 + 2.0 * next();
        (azimuth, -1.0 + 7.0 * next())
    });
    Skyline::new(points.chain([(101.0_f64 + 0.013, 14.0)])).expect("a skyline")
}

#[test]
fn every_crossing_of_a_jagged_ridge_is_found_to_a_second() {
    let start = Moment::from_seconds(noon(0));
    let ephemeris = Ephemeris::covering(start, start.plus_seconds(370.0 * DAY));
    let core = ephemeris.star(Direction::Core);
    let mut found = 0;
    for (latitude, seed) in [(-31.4, 1), (0.0, 2), (46.6, 3), (-29.01, 4), (69.6, 5)] {
        let skyline = jagged(seed);
        let observer = Observer::new(latitude, 20.0, 800.0);
        let sky = Sky::new(&ephemeris, &core, observer, Refraction::new(920.0, 5.0));
        for day in [11, 95, 203, 318] {
            let (from, to) = (noon(day), noon(day + 1));
            for body in [Body::Moon, Body::Target] {
                let clear = |t: f64| {
                    let snapshot = sky.at(Moment::from_seconds(t));
                    let place = match body {
                        Body::Moon => snapshot.moon,
                        _ => snapshot.target,
                    };
                    let ridge = skyline.altitude_deg_at(place.azimuth_deg);
                    place.apparent_altitude_deg >= ridge
                };
                let mut expected = Vec::new();
                let mut was = clear(from);
                let mut t = from;
                while t < to {
                    t += 1.0;
                    let is = clear(t);
                    if is != was {
                        expected.push((t - 0.5, is));
                    }
                    was = is;
                }
                let crossings = ridge_crossings(
                    &sky,
                    &skyline,
                    body,
                    Moment::from_seconds(from),
                    Moment::from_seconds(to),
                );
                let times: Vec<f64> = crossings.iter().map(|c| c.moment.seconds()).collect();
                assert_eq!(
                    crossings.len(),
                    expected.len(),
                    "{latitude} {day} {body:?}: {times:?} against {expected:?}"
                );
                for (crossing, (time, clears)) in crossings.iter().zip(&expected) {
                    assert_eq!(crossing.clears, *clears);
                    let apart = (crossing.moment.seconds() - time).abs();
                    assert!(apart <= 0.51, "{latitude} {day} {body:?}: {apart}");
                }
                found += crossings.len();
            }
        }
    }
    // Bodies rise and set on most of these days, some through notches.
    assert!(found > 60, "only {found} crossings were compared");
}
