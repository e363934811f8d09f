//! The text of a site file.

use super::{NOWHERE, brief, said, text};
use rakelight::scene::{Site, SubjectPlace, parse_site};
use std::path::Path;

pub fn run(data: &[u8]) {
    match parse_site("s.toml", text(data), Path::new(NOWHERE)) {
        Ok(site) => check(&site),
        Err(faults) => said::check_faults(&faults),
    }
}

/// What a site that was read keeps.
pub fn check(site: &Site) {
    let finite = |numbers: &[f64]| numbers.iter().all(|number| number.is_finite());
    said::check_line(&site.name);
    assert!(!site.name.is_empty() && site.name.chars().count() <= 80);
    assert!((-90.0..=90.0).contains(&site.latitude_deg));
    assert!((-180.0..=180.0).contains(&site.longitude_deg));
    assert!((-500.0..=9000.0).contains(&site.elevation_m));
    assert!(finite(&[
        site.sky.zenith_mag_arcsec2,
        site.sky.extinction_mag,
        site.air.pressure_hpa,
        site.air.temperature_c,
    ]));
    assert!(site.air.pressure_hpa > 0.0);
    if let Some(camera) = &site.camera {
        assert!(camera.pixels.iter().all(|pixels| *pixels > 0));
        assert!(camera.sensor_mm.iter().all(|side| *side > 0.0));
        assert!(finite(&camera.sensor_mm) && finite(&[camera.focal_mm, camera.f_number]));
    }
    if let Some(subject) = &site.subject {
        let bearing = site.subject_bearing_deg();
        match subject.place {
            SubjectPlace::Bearing { bearing_deg, .. } => assert_eq!(bearing, Some(bearing_deg)),
            SubjectPlace::Coordinates { .. } => {}
        }
        if let Some(bearing) = bearing {
            assert!((0.0..360.0).contains(&bearing), "{bearing}");
        }
        if let Some(distance) = site.subject_distance_m() {
            assert!(distance.is_finite() && distance >= 0.0);
        }
    }
    brief::check(&site.brief);
}
