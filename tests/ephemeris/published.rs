//! The ephemeris against published worked examples, standards and facts.
//!
//! Book values are J. Meeus, *Astronomical Algorithms*, 2nd ed.,
//! Willmann-Bell, 1998 (quoted from memory, then confirmed to the tolerance
//! with ERFA and JPL DE421), SOFA values the IAU SOFA Board's own test program
//! `t_sofa_c` (reproduced with ERFA 2.0.1).
#![allow(
    clippy::excessive_precision,
    reason = "published values stand as printed"
)]

use approx::assert_abs_diff_eq;
use glam::DVec3;
use rakelight::ephemeris::{
    EclipseKind, Ephemeris, Moment, Observer, Quarter, altitude_deg, azimuth_deg, separation_deg,
    tt_minus_utc_seconds,
};
use std::f64::consts::FRAC_PI_4;

const DAY_SECONDS: f64 = 86_400.0;
const J2000_JD: f64 = 2_451_545.0;
const AU_KM: f64 = 149_597_870.7;

fn at(text: &str) -> Moment {
    Moment::from_utc(text.parse().expect("a valid time in the test"))
}

/// The moment of a Julian date of Terrestrial Time (TD in the book).
fn at_tt(julian_date: f64) -> Moment {
    let tt = (julian_date - J2000_JD) * DAY_SECONDS;
    let near = Moment::from_seconds(tt);
    near.plus_seconds(-tt_minus_utc_seconds(near))
}

/// Julian date of Terrestrial Time.
fn tt_of(moment: Moment) -> f64 {
    J2000_JD + (moment.seconds() + tt_minus_utc_seconds(moment)) / DAY_SECONDS
}

fn days_around(moment: Moment, days: f64) -> Ephemeris {
    Ephemeris::covering(
        moment.plus_seconds(-days * DAY_SECONDS),
        moment.plus_seconds(days * DAY_SECONDS),
    )
}

/// Earth rotation angle less apparent sidereal time, degrees: what right
/// ascension from the celestial intermediate origin exceeds that from the
/// equinox by.
fn equation_of_the_origins_deg(moment: Moment) -> f64 {
    sofars::pnp::eo06a(J2000_JD, tt_of(moment) - J2000_JD).to_degrees()
}

/// Right ascension and declination of the true equator and equinox of date,
/// degrees, of a CIRS vector.
fn of_date_deg(cirs: DVec3, moment: Moment) -> (f64, f64) {
    let from_origin = cirs.y.atan2(cirs.x).to_degrees();
    (
        (from_origin - equation_of_the_origins_deg(moment)).rem_euclid(360.0),
        (cirs.z / cirs.length()).asin().to_degrees(),
    )
}

/// The inverse: a CIRS unit vector.
fn cirs_of_date(right_ascension_deg: f64, declination_deg: f64, moment: Moment) -> DVec3 {
    spherical(
        right_ascension_deg + equation_of_the_origins_deg(moment),
        declination_deg,
    )
}

fn spherical(longitude_deg: f64, latitude_deg: f64) -> DVec3 {
    let (l, b) = (longitude_deg.to_radians(), latitude_deg.to_radians());
    DVec3::new(b.cos() * l.cos(), b.cos() * l.sin(), b.sin())
}

fn sexagesimal(whole: f64, minutes: f64, seconds: f64) -> f64 {
    whole + minutes / 60.0 + seconds / 3600.0
}

/// Hour angle (west positive) and declination, degrees, of an east, north, up
/// vector.
fn hour_angle_and_declination_deg(local: DVec3, latitude_deg: f64) -> (f64, f64) {
    let (s, c) = latitude_deg.to_radians().sin_cos();
    let meridian = c * local.z - s * local.y;
    let axis = s * local.z + c * local.y;
    (
        (-local.x).atan2(meridian).to_degrees(),
        axis.atan2(local.x.hypot(meridian)).to_degrees(),
    )
}

#[test]
fn sofa_moon98() {
    let [position, _] = sofars::eph::moon98(2_400_000.5, 43_999.9);
    for (ours, published) in position.iter().zip([
        -0.260_129_595_997_104_418e-2,
        0.613_975_094_430_274_218_9e-3,
        0.264_079_452_822_982_890_9e-3,
    ]) {
        assert_abs_diff_eq!(*ours, published, epsilon = 1e-11);
    }
}

#[test]
fn sofa_epv00() {
    let (heliocentric, barycentric) =
        sofars::eph::epv00(2_400_000.5, 53_411.525_011_61).expect("within its years");
    for (ours, published) in heliocentric[0].iter().chain(&barycentric[0]).zip([
        -0.775_723_880_929_770_681_3,
        0.559_805_224_136_334_059_6,
        0.242_699_846_648_168_699_3,
        -0.771_410_444_049_111_197_1,
        0.559_841_206_182_417_132_3,
        0.242_599_627_772_245_24,
    ]) {
        assert_abs_diff_eq!(*ours, published, epsilon = 1e-14);
    }
}

#[test]
fn sofa_pole_and_origin() {
    let (x, y, s) = sofars::pnp::xys00b(2_400_000.5, 53_736.0);
    assert_abs_diff_eq!(x, 0.579_130_192_995_020_887_3e-3, epsilon = 1e-14);
    assert_abs_diff_eq!(y, 0.402_055_368_137_372_083_2e-4, epsilon = 1e-15);
    assert_abs_diff_eq!(s, -0.122_002_737_728_850_831_9e-7, epsilon = 1e-16);
    let rows = sofars::pnp::c2ixys(
        0.579_130_848_670_601_1e-3,
        0.402_057_981_673_296_121_9e-4,
        -0.122_004_084_847_227_197_8e-7,
    );
    for (ours, published) in rows.iter().flatten().zip([
        0.999_999_832_303_715_713_8,
        0.558_198_486_916_849_914_9e-9,
        -0.579_130_849_161_128_218e-3,
        -0.238_426_164_267_044_031_7e-7,
        0.999_999_999_191_746_896_4,
        -0.402_057_911_016_966_893_1e-4,
        0.579_130_848_670_601_1e-3,
        0.402_057_981_673_296_121_9e-4,
        0.999_999_831_495_462_759,
    ]) {
        assert_abs_diff_eq!(*ours, published, epsilon = 1e-12);
    }
}

#[test]
fn sofa_galactic_frame_and_geodetic_place() {
    // The test program's latitude, -0.7853981633974483096, is -45 degrees.
    let (l, b) = sofars::coords::icrs2g(5.933_807_430_222_718_8, -1.178_487_061_357_994_5);
    assert_abs_diff_eq!(l, 5.585_053_606_381_854_6, epsilon = 1e-14);
    assert_abs_diff_eq!(b, -FRAC_PI_4, epsilon = 1e-14);
    let (ra, dec) = sofars::coords::g2icrs(5.585_053_606_381_854_6, -FRAC_PI_4);
    assert_abs_diff_eq!(ra, 5.933_807_430_222_718_8, epsilon = 1e-14);
    assert_abs_diff_eq!(dec, -1.178_487_061_357_994_5, epsilon = 1e-14);
    let place = sofars::coords::gd2gc(1, 3.1, -0.5, 2500.0).expect("WGS84");
    for (ours, published) in place.iter().zip([
        -5_599_000.557_704_994_7,
        233_011.672_234_792_03,
        -3_040_909.470_698_335_6,
    ]) {
        assert_abs_diff_eq!(*ours, published, epsilon = 1e-7);
    }
}

#[test]
fn sofa_earth_rotation_angle_through_the_observer() {
    // t_sofa_c, era00 at 2400000.5 + 54388.0: seen from the Greenwich
    // meridian, a star of that right ascension culminates. At the pole there
    // is neither diurnal aberration nor parallax.
    let moment = Moment::from_seconds((54_388.0 - 51_544.5) * DAY_SECONDS);
    let star = spherical(0.402_283_724_002_815_8_f64.to_degrees(), 30.0);
    let local = Observer::new(90.0, 0.0, 0.0).frame_at(moment).star(star);
    // 2e-10 rad, 0.00004": the rounding of eight years in seconds and turns.
    assert_abs_diff_eq!(local.x, 0.0, epsilon = 2e-10);
    assert_abs_diff_eq!(local.y, -30.0_f64.to_radians().cos(), epsilon = 1e-12);
    assert_abs_diff_eq!(local.z, 0.5, epsilon = 1e-12);
}

#[test]
fn meeus_11_a_place_of_palomar() {
    // Ex. 11.a: rho sin phi' 0.546861, rho cos phi' 0.836339 in equatorial
    // radii of 6378.14 km.
    let latitude_deg = sexagesimal(33.0, 21.0, 22.0);
    let observer = Observer::new(latitude_deg, -116.8625, 1706.0);
    // The Earth's centre as seen from there.
    let centre = observer
        .frame_at(at("2003-08-28T03:17:00Z"))
        .body(DVec3::ZERO);
    let (s, c) = latitude_deg.to_radians().sin_cos();
    assert_eq!(centre.x, 0.0);
    assert_abs_diff_eq!(
        -(s * centre.z + c * centre.y) / 6378.14,
        0.546_861,
        epsilon = 1e-6
    );
    assert_abs_diff_eq!(
        -(c * centre.z - s * centre.y) / 6378.14,
        0.836_339,
        epsilon = 1e-6
    );
}

#[test]
fn meeus_13_b_venus_over_washington() {
    // Ex. 13.b: azimuth from the south 68.0337, altitude 15.1249, hour angle
    // 64.352133, from the apparent place.
    let moment = at("1987-04-10T19:21:00Z");
    let latitude_deg = sexagesimal(38.0, 55.0, 17.0);
    let observer = Observer::new(latitude_deg, -sexagesimal(77.0, 3.0, 56.0), 0.0);
    let venus = cirs_of_date(
        15.0 * sexagesimal(23.0, 9.0, 16.641),
        -sexagesimal(6.0, 43.0, 11.61),
        moment,
    );
    let local = observer.frame_at(moment).star(venus);
    // 2e-4: the last printed digit and diurnal aberration of 0.9e-4, which the
    // book leaves out.
    assert_abs_diff_eq!(azimuth_deg(local), 180.0 + 68.0337, epsilon = 2e-4);
    assert_abs_diff_eq!(altitude_deg(local), 15.1249, epsilon = 2e-4);
    let (hour_angle, _) = hour_angle_and_declination_deg(local, latitude_deg);
    assert_abs_diff_eq!(hour_angle, 64.352_133, epsilon = 2e-4);
}

#[test]
fn meeus_40_a_parallax_of_mars() {
    // Ex. 40.a: geocentric 22h38m07.25s, -15 46 15.9, 0.37276 au; from Palomar
    // 22h38m08.54s, -15 46 30.0.
    let moment = at("2003-08-28T03:17:00Z");
    let latitude_deg = sexagesimal(33.0, 21.0, 22.0);
    let longitude_deg = -15.0 * sexagesimal(7.0, 47.0, 27.0);
    let (ra, dec) = (
        15.0 * sexagesimal(22.0, 38.0, 7.25),
        -sexagesimal(15.0, 46.0, 15.9),
    );
    let observer = Observer::new(latitude_deg, longitude_deg, 1706.0);
    let frame = observer.frame_at(moment);
    let mars = cirs_of_date(ra, dec, moment);
    let seen = |local| hour_angle_and_declination_deg(local, latitude_deg);
    // Both ways carry diurnal aberration: their difference is the parallax.
    let (far_hour, far_dec) = seen(frame.star(mars));
    let (near_hour, near_dec) = seen(frame.body(mars * 0.372_76 * AU_KM));
    let arcsec = 3600.0;
    assert_abs_diff_eq!(
        (ra + far_hour - near_hour) * arcsec,
        15.0 * sexagesimal(22.0, 38.0, 8.54) * arcsec,
        epsilon = 0.1
    );
    assert_abs_diff_eq!(
        (dec + near_dec - far_dec) * arcsec,
        -sexagesimal(15.0, 46.0, 30.0) * arcsec,
        epsilon = 0.1
    );
}

#[test]
fn meeus_47_a_the_moon() {
    // Ex. 47.a, 1992 April 12 0h TD: apparent RA 134.688470, dec +13.768368,
    // distance 368409.7 km, parallax 0.991990; DE421: 134.687915, 13.768449,
    // 368405.5 km. The book's series is good to about 10".
    let moment = at_tt(2_448_724.5);
    let moon = days_around(moment, 2.0).moon_km(moment);
    let (ra, dec) = of_date_deg(moon, moment);
    for (published_ra, published_dec, distance_km, most_arcsec, most_km) in [
        (134.688_470, 13.768_368, 368_409.7, 10.0, 20.0),
        (134.687_915, 13.768_449, 368_405.5, 0.05, 0.2),
    ] {
        let apart = separation_deg(moon, cirs_of_date(published_ra, published_dec, moment));
        assert!(
            apart * 3600.0 < most_arcsec,
            "{ra} {dec}: {}\"",
            apart * 3600.0
        );
        assert_abs_diff_eq!(moon.length(), distance_km, epsilon = most_km);
    }
    let parallax_deg = (6378.137 / moon.length()).asin().to_degrees();
    assert_abs_diff_eq!(parallax_deg, 0.991_990, epsilon = 5e-5);
}

#[test]
fn meeus_48_a_illuminated_fraction() {
    // Ex. 48.a, 1992 April 12 0h TD.
    let moment = at_tt(2_448_724.5);
    let phase = days_around(moment, 2.0).moon_phase(moment);
    assert_abs_diff_eq!(phase.illuminated_fraction, 0.6786, epsilon = 0.001);
    assert_abs_diff_eq!(phase.phase_angle_deg, 69.0756, epsilon = 0.02);
    assert_abs_diff_eq!(phase.elongation_deg, 110.7929, epsilon = 0.02);
    assert!(phase.waxing);
}

#[test]
fn meeus_49_a_and_b_quarters() {
    // Ex. 49.a: new Moon of February 1977, JDE 2443192.65118; ex. 49.b: last
    // quarter of January 2044, JDE 2467636.49186.
    for (kind, julian_date) in [
        (Quarter::New, 2_443_192.651_18),
        (Quarter::Last, 2_467_636.491_86),
    ] {
        let published = at_tt(julian_date);
        let ephemeris = days_around(published, 4.0);
        let quarters = ephemeris.quarters(ephemeris.from(), ephemeris.to());
        assert_eq!(quarters.len(), 1, "one quarter within four days");
        assert_eq!(quarters[0].0, kind);
        let late = quarters[0].1.seconds() - published.seconds();
        assert!(late.abs() < 20.0, "{kind:?}: {late} s");
    }
}

#[test]
fn meeus_54_d_total_lunar_eclipse() {
    // Ex. 54.d: 1997 September 16, total, greatest about 18h47m TD, umbral
    // magnitude about 1.187.
    let full = at("1997-09-16T18:46:00Z");
    let ephemeris = days_around(full, 3.0);
    let eclipses = ephemeris.lunar_eclipses(ephemeris.from(), ephemeris.to());
    assert_eq!(eclipses.len(), 1);
    assert_eq!(eclipses[0].kind, EclipseKind::Total);
    let published = 2_450_707.5 + sexagesimal(18.0, 47.0, 0.0) / 24.0;
    let late = (tt_of(eclipses[0].greatest) - published) * DAY_SECONDS;
    assert!(late.abs() < 120.0, "{late} s");
    assert_abs_diff_eq!(eclipses[0].umbral_magnitude, 1.187, epsilon = 0.01);
}

#[test]
fn meeus_25_b_the_sun() {
    // Ex. 25.b, 1992 October 13 0h TD: 13h13m30.749s, -7 47 01.74, R
    // 0.99760853.
    let moment = at_tt(2_448_908.5);
    let sun = days_around(moment, 2.0).sun_km(moment);
    let (ra, dec) = of_date_deg(sun, moment);
    let published = (
        15.0 * sexagesimal(13.0, 13.0, 30.749),
        -sexagesimal(7.0, 47.0, 1.74),
    );
    assert_abs_diff_eq!(ra * 3600.0, published.0 * 3600.0, epsilon = 1.0);
    assert_abs_diff_eq!(dec * 3600.0, published.1 * 3600.0, epsilon = 1.0);
    assert_abs_diff_eq!(sun.length() / AU_KM, 0.997_608_53, epsilon = 1e-7);
}
