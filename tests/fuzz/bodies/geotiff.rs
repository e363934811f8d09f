//! The bytes of a GeoTIFF: its header, and the ground in it.

use rakelight::terrain::{
    ElevationMosaic, Eye, GROUND_HEIGHTS_M, Ground, GroundPoint, SkylineProfile, SkylineSettings,
};
use std::path::Path;

pub fn run(data: &[u8]) {
    let mosaic = match ElevationMosaic::from_geotiff(Path::new("land.tif"), data.to_vec()) {
        Ok(mosaic) => mosaic,
        Err(error) => {
            let told = error.to_string();
            assert!(told.starts_with("land.tif: found ") && told.contains(", expected "));
            assert!(told.chars().count() <= 1000 && !told.contains(char::is_control));
            return;
        }
    };
    // The seeds lie around these places.
    for (latitude_deg, longitude_deg) in [(46.525, 8.02), (40.0, -105.3), (0.0, 0.0)] {
        let Ok(camera) = GroundPoint::new(latitude_deg, longitude_deg) else {
            panic!("a place");
        };
        match mosaic.ground(camera) {
            Ok(Ground::Height(height_m)) => {
                let (lowest, highest) = GROUND_HEIGHTS_M;
                let ground = f64::from(lowest) - 0.01..=f64::from(highest) + 0.01;
                assert!(ground.contains(&height_m), "{height_m}");
            }
            Ok(Ground::Void | Ground::NoTile) => continue,
            Err(error) => assert!(error.to_string().starts_with("land.tif: found ")),
        }
        let settings = SkylineSettings {
            eye: Eye::AboveGround(2.0),
            azimuth_step_deg: 30.0,
            farthest_m: 3000.0,
            ..SkylineSettings::default()
        };
        let Ok(profile) = SkylineProfile::compute(&mosaic, camera, &settings) else {
            continue;
        };
        for point in &profile.points {
            assert!((-0.001..=2901.0).contains(&point.missing_m));
            if let Some(ridge) = &point.ridge {
                assert!((-90.0..=90.0).contains(&ridge.altitude_deg));
                assert!((0.0..=3001.0).contains(&ridge.distance_m));
            }
        }
    }
}
