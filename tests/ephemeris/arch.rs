//! The Milky Way's arch and galactic directions against ERFA
//! (`tests/reference/arch.csv`, `galactic_directions.csv`).

use crate::common;

use common::{rows, spread};
use rakelight::ephemeris::{Direction, Ephemeris, Observer, Refraction, Sky, SkyState};

fn snapshot(row: &common::Row, target: Direction) -> SkyState {
    let at = row.moment("time_utc");
    let ephemeris = Ephemeris::covering(at.plus_seconds(-3600.0), at.plus_seconds(3600.0));
    let track = ephemeris.star(target);
    let observer = Observer::new(row.number("latitude_deg"), row.number("longitude_deg"), 0.0);
    Sky::new(&ephemeris, &track, observer, Refraction::NONE).at(at)
}

fn around(a: f64, b: f64) -> f64 {
    (a - b + 180.0).rem_euclid(360.0) - 180.0
}

#[test]
fn highest_point_feet_and_tilt_against_erfa() {
    let (mut altitude, mut azimuth, mut longitude, mut feet, mut tilt) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for row in rows("arch.csv") {
        let snapshot = snapshot(&row, Direction::Core);
        let arch = snapshot.arch.expect("an arch");
        let top = row.number("top_altitude_deg");
        altitude.push(arch.top_altitude_deg - top);
        // On the sky: near the zenith a degree of azimuth is a small step.
        azimuth.push(
            around(arch.top_azimuth_deg, row.number("top_azimuth_deg")) * top.to_radians().cos(),
        );
        longitude.push(around(
            arch.top_galactic_longitude_deg,
            row.number("top_galactic_longitude_deg"),
        ));
        // With the arch lying low its feet run along the horizon.
        let firm = top.to_radians().sin();
        for (ours, name) in arch.feet.iter().zip(["foot1", "foot2"]) {
            let theirs = row.number(&format!("{name}_azimuth_deg"));
            feet.push(around(ours.azimuth_deg, theirs) * firm);
            let theirs = row.number(&format!("{name}_galactic_longitude_deg"));
            feet.push(around(ours.galactic_longitude_deg, theirs) * firm);
        }
        // The target is aberrated, the reference's is not. Those 0.006 degrees
        // turn the horizontal direction the more the nearer the zenith is.
        let across = row.number("core_altitude_deg").to_radians().cos();
        tilt.push((snapshot.tilt_deg.expect("a tilt") - row.number("tilt_deg")) * across);
    }
    assert!(altitude.len() >= 100);
    spread("arch top, altitude", "deg", &altitude, 0.001, 0.02);
    spread("arch top, azimuth on the sky", "deg", &azimuth, 0.001, 0.02);
    spread(
        "arch top, galactic longitude",
        "deg",
        &longitude,
        0.001,
        0.02,
    );
    spread("arch feet", "deg", &feet, 0.001, 0.02);
    spread("tilt at the core", "deg", &tilt, 0.01, 0.02);
}

#[test]
fn galactic_directions_against_erfa() {
    let (mut altitude, mut azimuth) = (Vec::new(), Vec::new());
    for row in rows("galactic_directions.csv") {
        let target = Direction::Galactic {
            longitude_deg: row.number("galactic_longitude_deg"),
            latitude_deg: row.number("galactic_latitude_deg"),
        };
        let place = snapshot(&row, target).target;
        altitude.push(place.altitude_deg - row.number("altitude_deg"));
        let across = place.altitude_deg.to_radians().cos();
        azimuth.push(around(place.azimuth_deg, row.number("azimuth_deg")) * across);
    }
    // Annual aberration, up to 0.0057 degrees, is in ours and not in theirs.
    spread(
        "galactic directions, altitude",
        "deg",
        &altitude,
        0.006,
        0.01,
    );
    spread("galactic directions, azimuth", "deg", &azimuth, 0.006, 0.01);
}
