//! The text of a site file.

use super::{NOWHERE, brief, said, text};
use rakelight::Brief;
use rakelight::{
    input::parse_sites,
    scene::{Site, SubjectPlace},
};
use std::path::Path;

pub fn run(data: &[u8]) {
    match parse_sites("s.toml", text(data), Path::new(NOWHERE)) {
        Ok(sites) => sites.iter().for_each(check),
        Err(faults) => said::check_faults(&faults),
    }
}

/// What a site that was read keeps.
pub fn check(site: &Site) {
    let finite = |numbers: &[f64]| numbers.iter().all(|number| number.is_finite());
    said::check_line(&site.name);
    check_name(&site.name);
    said::check_line(&site.title());
    site.view.iter().for_each(|view| check_name(view));
    let subject_name = site.subject.as_ref().and_then(|s| s.name.as_deref());
    subject_name.into_iter().for_each(check_name);
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
    brief::check(&Brief::of_site(site));
}

/// A name can be seen, stands in an SVG picture, and no spreadsheet runs it.
fn check_name(name: &str) {
    // Production 2 of XML 1.0.
    let in_xml = |c: char| (c >= ' ' || c == '\t') && !matches!(c, '\u{fffe}' | '\u{ffff}');
    assert!(name.chars().all(in_xml), "no XML: {name:?}");
    assert!(!name.is_empty() && name.chars().count() <= 80);
    assert!(!name.starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']));
    let unseen = |c: char| matches!(c, '\u{3164}' | '\u{2800}' | '\u{fe00}'..='\u{fe0f}');
    assert!(!name.chars().all(unseen), "nothing to see: {name:?}");
}
