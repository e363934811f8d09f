//! Skylines over real ground against an independent computation:
//! `tests/reference/terrain_skyline.csv`.

use crate::common;

use approx::assert_abs_diff_eq;
use common::{Row, rows, spread};
use rakelight::terrain::{
    ElevationMosaic, ElevationTile, Eye, Ground, GroundPoint, Ridge, SkylinePoint, SkylineProfile,
    SkylineSettings, TileCorner,
};
use std::{fs, path::PathBuf};

const CELLS: i32 = 1200;

fn ridge(point: &SkylinePoint) -> Ridge {
    point.ridge.expect("ground in that direction")
}

/// The real ground of `tests/reference/terrain_patch.pgm`, voids around it.
fn real_ground() -> ElevationMosaic {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/reference/terrain_patch.pgm");
    let bytes = fs::read(&path).expect("the patch");
    let (columns, count) = (403_usize, 344_usize);
    let start = bytes.len() - 2 * columns * count;
    let header = String::from_utf8_lossy(&bytes[..start]);
    assert!(header.starts_with("P5\n") && header.ends_with("\n403 344\n65535\n"));
    assert!(header.contains("44079/1200 N, -101296/1200 E"));
    let corner = TileCorner {
        south_deg: 36,
        west_deg: -85,
    };
    let height = |north: i32, east: i32| {
        let row = usize::try_from(44_079 - 36 * CELLS - north);
        let column = usize::try_from(east - 85 * CELLS + 101_296);
        match (row, column) {
            (Ok(row), Ok(column)) if row < count && column < columns => {
                let at = start + 2 * (row * columns + column);
                i16::from_be_bytes([bytes[at], bytes[at + 1]])
            }
            _ => i16::MIN,
        }
    };
    let bytes: Vec<u8> = (0..=CELLS)
        .rev()
        .flat_map(|north| (0..=CELLS).map(move |east| (north, east)))
        .flat_map(|(north, east)| height(north, east).to_be_bytes())
        .collect();
    let tile = ElevationTile::from_bytes(corner, &path, &bytes).expect("a tile");
    ElevationMosaic::from_tiles([tile])
}

#[test]
fn over_real_ground_as_computed_independently() {
    let land = real_ground();
    let table = rows("terrain_skyline.csv");
    assert_eq!(table.len(), 540);
    let settings = SkylineSettings {
        eye: Eye::AboveGround(2.0),
        azimuth_step_deg: 0.02,
        farthest_m: 30_000.0,
        ..SkylineSettings::default()
    };
    let (mut altitudes, mut known, mut over_posts) = (Vec::new(), Vec::new(), Vec::new());
    let mut same_ridge = 0;
    for name in ["valley", "summit", "corner"] {
        let here: Vec<&Row> = table
            .iter()
            .filter(|row| row.text("place") == name)
            .collect();
        let camera = GroundPoint::new(
            here[0].number("latitude_deg"),
            here[0].number("longitude_deg"),
        )
        .expect("a place");
        assert!(matches!(land.ground(camera), Ok(Ground::Height(_))));
        let profile = SkylineProfile::compute(&land, camera, &settings).expect("a skyline");
        assert_abs_diff_eq!(profile.eye_m, here[0].number("eye_m"), epsilon = 1e-3);
        let points = &profile.points;
        assert_eq!(points.len(), 18_000);
        for row in here {
            let index = (row.number("azimuth_deg") * 50.0).round() as usize;
            let seen = ridge(&points[index]);
            altitudes.push(seen.altitude_deg - row.number("altitude_deg"));
            if (seen.distance_m - row.number("distance_m")).abs() < 15.0 {
                same_ridge += 1;
            }
            let known_to = settings.farthest_m - points[index].missing_m;
            known.push((known_to - row.number("known_to_m")) / known_to);
            // The sector of a degree to either side against its bare posts.
            if let Ok(post) = row.text("post_altitude_deg").parse::<f64>() {
                let sector: Vec<Ridge> = (0..=100)
                    .map(|k| ridge(&points[(index + 18_000 - 50 + k) % 18_000]))
                    .collect();
                let highest = sector
                    .iter()
                    .map(|seen| seen.altitude_deg)
                    .fold(f64::NEG_INFINITY, f64::max);
                // A post lies up to 0.01 degrees beside the nearest line of
                // sight: with slopes of 0.4 across it, it may stand 0.004
                // higher; the sphere is worth 0.0007.
                assert!(
                    highest - post > -0.005,
                    "{name} {}: {highest} {post}",
                    index / 50
                );
                // Nearer than 4 km a sector is narrower than one and a half
                // cells, and may hold no post of its ridge.
                if sector.iter().all(|seen| seen.distance_m > 4000.0) {
                    over_posts.push(highest - post);
                }
            }
        }
    }
    // The reference's samples may miss up to 0.003; the sphere differs from
    // its ellipsoid by 0.0007.
    spread("real skyline", "deg", &altitudes, 0.0005, 0.003);
    spread("way known, share", "", &known, 1e-4, 1.5e-4);
    assert!(same_ridge >= 530, "{same_ridge} of 540 ridges");
    // No post stands over the skyline (asserted above); the surface between
    // posts may a little, where a ridge meets the sector's edge.
    assert!(over_posts.len() > 100, "{}", over_posts.len());
    spread("skyline over bare posts", "deg", &over_posts, 0.04, 0.15);
}
