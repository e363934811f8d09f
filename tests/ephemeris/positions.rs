//! The sky against JPL DE421 through Skyfield: `tests/reference/positions.csv`.

use crate::common;

use common::{Row, rows, spread};
use rakelight::ephemeris::{
    Direction, Ephemeris, Observer, altitude_deg, azimuth_deg, separation_deg,
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
    // The core's is the deflection of light by the Sun, which the reference has;
    // the observer's distance the ground's own motion in the light time.
    spread("Moon, direction", "arcsec", &moon, 0.012, 0.04);
    spread("Sun, direction", "arcsec", &sun, 0.01, 0.03);
    spread("core, direction", "arcsec", &core, 0.03, 0.12);
    spread("Moon, observer's distance", "km", &distance, 0.5, 1.0);
    spread("Moon, geocentric distance", "km", &geocentric, 0.08, 0.2);
    spread("Moon, illuminated fraction", "", &fraction, 1e-7, 3e-7);
    spread("Moon, elongation", "arcsec", &elongation, 0.01, 0.04);
}
