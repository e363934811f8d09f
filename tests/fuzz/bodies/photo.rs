//! A picture with Exif.

use super::said;
use rakelight::{
    input::parse_photo,
    scene::{Site, Zone, zone_of_place},
};

pub fn run(data: &[u8]) {
    let photo = match parse_photo(data.to_vec()) {
        Ok(photo) => photo,
        Err(error) => return said::check_error(&error),
    };
    let sizes = [photo.focal_mm, photo.f_number, photo.shutter_s];
    assert!(
        sizes
            .iter()
            .flatten()
            .all(|size| *size > 0.0 && size.is_finite()),
        "{photo:?}"
    );
    assert!(photo.iso != Some(0));
    assert!(
        photo
            .offset_minutes
            .is_none_or(|minutes| minutes.abs() <= 840)
    );
    if let Some((latitude_deg, longitude_deg)) = photo.place_deg {
        let site = Site::new(latitude_deg, longitude_deg).expect("a place");
        if let Some(elevation_m) = photo.elevation_m {
            site.with_elevation_m(elevation_m).expect("an elevation");
        }
        let _ = zone_of_place(latitude_deg, longitude_deg);
    }
    for zone in [
        Zone::UTC,
        Zone::named("Australia/Adelaide").expect("a zone"),
    ] {
        match photo.time(zone) {
            Ok(time) => {
                assert!(time.moment.seconds().is_finite());
                assert!(time.clock_ahead_s.is_none_or(f64::is_finite));
            }
            Err(error) => said::check_error(&error),
        }
    }
}
