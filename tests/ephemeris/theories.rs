//! The table of the sky against theories in closed form, over all of its two
//! centuries: IAU SOFA's `moon98`, `epv00` and precession-nutation IAU 2000B,
//! none of which the program computes with.

use crate::common;

use common::spread;
use glam::{DMat3, DVec3};
use rakelight::ephemeris::{Direction, Ephemeris, Moment, separation_deg, tt_minus_utc_seconds};

const DAY_SECONDS: f64 = 86_400.0;
const J2000_JD: f64 = 2_451_545.0;
const AU_KM: f64 = 149_597_870.7;
const LIGHT_KM_S: f64 = 299_792.458;

fn arcsec(a: DVec3, b: DVec3) -> f64 {
    separation_deg(a, b) * 3600.0
}

/// GCRS to CIRS by IAU 2000B.
fn to_cirs(days: f64) -> DMat3 {
    let (x, y, s) = sofars::pnp::xys00b(J2000_JD, days);
    DMat3::from_cols_array_2d(&sofars::pnp::c2ixys(x, y, s)).transpose()
}

/// The Moon as its light arrives, GCRS, km: to the first order in the Earth's
/// speed aberration and the Earth's own motion in the light time cancel, so only
/// the Moon's geocentric motion in those 1.3 s is left.
fn moon_km(days: f64) -> DVec3 {
    let [place, rate] = sofars::eph::moon98(J2000_JD, days);
    let place = DVec3::from(place) * AU_KM;
    let rate_km_s = DVec3::from(rate) * (AU_KM / DAY_SECONDS);
    place - rate_km_s * (place.length() / LIGHT_KM_S)
}

/// The Sun from the Earth without aberration, km, and the Earth's barycentric
/// velocity over that of light.
fn sun_km_and_velocity(days: f64) -> (DVec3, DVec3) {
    let (from_sun, from_barycentre) = sofars::eph::epv00(J2000_JD, days).expect("in its range");
    (
        DVec3::from(from_sun[0]) * -AU_KM,
        DVec3::from(from_barycentre[1]) * (AU_KM / DAY_SECONDS / LIGHT_KM_S),
    )
}

/// To the first order in the velocity.
fn aberrated(vector: DVec3, velocity: DVec3) -> DVec3 {
    vector.normalize() + velocity
}

#[test]
fn two_centuries_against_the_theories() {
    // `epv00` is valid for 100 Julian years before and after J2000.
    let most_days = 36_524.9;
    let whole = Ephemeris::covering(
        Moment::from_seconds(-most_days * DAY_SECONDS),
        Moment::from_seconds(most_days * DAY_SECONDS),
    );
    let axes = [(0.0, 0.0), (90.0, 0.0), (0.0, 90.0), (266.4, -29.0)].map(|(ra, dec)| {
        let axis = Direction::Icrs {
            right_ascension_deg: ra,
            declination_deg: dec,
        };
        let (ra, dec) = (f64::to_radians(ra), f64::to_radians(dec));
        let gcrs = DVec3::new(dec.cos() * ra.cos(), dec.cos() * ra.sin(), dec.sin());
        (whole.star(axis), gcrs)
    });
    // The pole of the galactic frame in the ICRS: ESA, The Hipparcos and Tycho
    // Catalogues, 1997, vol. 1, eq. 1.5.9.
    let (ra, dec) = (192.859_48_f64.to_radians(), 27.128_25_f64.to_radians());
    let galactic = DVec3::new(dec.cos() * ra.cos(), dec.cos() * ra.sin(), dec.sin());

    let [mut moon, mut distance, mut sun, mut star, mut frame] = [const { Vec::new() }; 5];
    let count = 4000;
    for k in 0..=count {
        let days = most_days * (2.0 * f64::from(k) / f64::from(count) - 1.0) * 0.999_999;
        let near = Moment::from_seconds(days * DAY_SECONDS);
        let moment = near.plus_seconds(-tt_minus_utc_seconds(near));
        let days = (moment.seconds() + tt_minus_utc_seconds(moment)) / DAY_SECONDS;
        if !whole.contains(moment) {
            continue;
        }
        let turn = to_cirs(days);
        let theirs = turn * moon_km(days);
        moon.push(arcsec(whole.moon_km(moment), theirs));
        distance.push(whole.moon_km(moment).length() - theirs.length());
        let (sun_km, velocity) = sun_km_and_velocity(days);
        sun.push(arcsec(
            whole.sun_km(moment),
            turn * aberrated(sun_km, velocity),
        ));
        for (track, gcrs) in &axes {
            star.push(arcsec(track.at(moment), turn * aberrated(*gcrs, velocity)));
        }
        frame.push(arcsec(whole.galactic_pole().at(moment), turn * galactic));
    }
    assert!(moon.len() > 3990);
    // SOFA's notes to `moon98`: against ELP/MPP02 over 1950 to 2100 rms 2.9",
    // worst 18.3" (from memory). The others are good to some hundredths of an
    // arc second.
    spread("Moon against moon98", "arcsec", &moon, 3.5, 18.3);
    spread("Moon's distance", "km", &distance, 4.0, 18.0);
    spread("Sun against epv00", "arcsec", &sun, 0.012, 0.04);
    spread("stars against IAU 2000B", "arcsec", &star, 0.008, 0.03);
    spread("frame against IAU 2000B", "arcsec", &frame, 0.008, 0.03);
}
