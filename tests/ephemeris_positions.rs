//! The sky against JPL DE421 through Skyfield: `tests/reference/positions.csv`.

mod common;

use common::{Row, rows, spread};
use rakelight::ephemeris::{
    Direction, Ephemeris, Moment, Observer, altitude_deg, azimuth_deg, separation_deg,
};

/// Angle on the sky between a computed direction and a reference, arc-seconds.
fn difference_arcsec(local: glam::DVec3, row: &Row, body: &str) -> f64 {
    let (altitude, azimuth) = (
        row.number(&format!("{body}_altitude_deg")).to_radians(),
        row.number(&format!("{body}_azimuth_deg")).to_radians(),
    );
    let reference = glam::DVec3::new(
        altitude.cos() * azimuth.sin(),
        altitude.cos() * azimuth.cos(),
        altitude.sin(),
    );
    // The reported angles must give the same direction as the vector does.
    let (h, a) = (
        altitude_deg(local).to_radians(),
        azimuth_deg(local).to_radians(),
    );
    let again = glam::DVec3::new(h.cos() * a.sin(), h.cos() * a.cos(), h.sin());
    assert!(separation_deg(local, again) < 1e-9);
    separation_deg(local, reference) * 3600.0
}

#[test]
fn sun_moon_and_core_against_de421() {
    let (mut moon, mut sun, mut core) = (Vec::new(), Vec::new(), Vec::new());
    let (mut distance, mut geocentric, mut fraction, mut elongation) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for row in rows("positions.csv") {
        let at = row.moment("time_utc");
        let ephemeris = Ephemeris::covering(at.plus_seconds(-86_400.0), at.plus_seconds(86_400.0));
        let observer = Observer::new(
            row.number("latitude_deg"),
            row.number("longitude_deg"),
            row.number("elevation_m"),
        );
        let frame = observer.frame_at(at);
        let moon_here = frame.body(ephemeris.moon_km(at));
        moon.push(difference_arcsec(moon_here, &row, "moon"));
        distance.push(moon_here.length() - row.number("moon_distance_km"));
        geocentric.push(ephemeris.moon_km(at).length() - row.number("moon_geocentric_distance_km"));
        sun.push(difference_arcsec(
            frame.body(ephemeris.sun_km(at)),
            &row,
            "sun",
        ));
        let core_here = frame.star(ephemeris.star(Direction::Core).at(at));
        core.push(difference_arcsec(core_here, &row, "core"));
        let phase = ephemeris.moon_phase(at);
        fraction.push(phase.illuminated_fraction - row.number("moon_fraction"));
        elongation.push((phase.elongation_deg - row.number("moon_elongation_deg")) * 3600.0);
        let from_angle = 0.5 * (1.0 + phase.phase_angle_deg.to_radians().cos());
        assert!((from_angle - phase.illuminated_fraction).abs() < 1e-12);
    }
    assert!(moon.len() >= 500);
    // The worst a photographer may meet, and tighter bounds on the rms.
    spread("Moon, direction", "arcsec", &moon, 3.5, 30.0);
    spread("Sun, direction", "arcsec", &sun, 0.05, 0.2);
    spread("core, direction", "arcsec", &core, 0.05, 0.2);
    spread("Moon, observer's distance", "km", &distance, 6.0, 25.0);
    spread("Moon, geocentric distance", "km", &geocentric, 6.0, 25.0);
    spread("Moon, illuminated fraction", "", &fraction, 1e-5, 5e-4);
    spread("Moon, elongation", "arcsec", &elongation, 3.5, 30.0);
}

#[test]
fn the_fit_holds_to_a_tenth_of_an_arcsecond() {
    // A year's span against spans of two days, in which the pieces are so
    // short that the fit is the direct evaluation to well below a mas.
    let start: Moment = Moment::from_seconds(27.3 * 365.25 * 86_400.0);
    let year = Ephemeris::covering(start, start.plus_seconds(366.0 * 86_400.0));
    let star = year.star(Direction::Core);
    let (mut moon, mut sun, mut core, mut distance) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for step in 0..1000 {
        let at = start.plus_seconds(f64::from(step) * 31_517.0);
        let near = Ephemeris::covering(at.plus_seconds(-7_200.0), at.plus_seconds(7_200.0));
        let arcsec = |a, b| separation_deg(a, b) * 3600.0;
        moon.push(arcsec(year.moon_km(at), near.moon_km(at)));
        sun.push(arcsec(year.sun_km(at), near.sun_km(at)));
        core.push(arcsec(star.at(at), near.star(Direction::Core).at(at)));
        distance.push(year.moon_km(at).length() - near.moon_km(at).length());
    }
    spread("fit, Moon", "arcsec", &moon, 0.05, 0.1);
    spread("fit, Sun", "arcsec", &sun, 0.05, 0.1);
    spread("fit, core", "arcsec", &core, 0.05, 0.1);
    spread("fit, Moon's distance", "km", &distance, 0.1, 0.2);
}
