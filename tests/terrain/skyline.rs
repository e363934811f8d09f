//! Skylines from elevation tiles over made ground, known in closed form.

use approx::assert_abs_diff_eq;
use rakelight::terrain::{
    AbsentTiles, CurvedEarth, ElevationMosaic, ElevationTile, Eye, GroundPoint, Ridge,
    SkylineError, SkylinePoint, SkylineProfile, SkylineSettings, TileCorner,
};
use std::{fs, path::PathBuf};

const VOID: i16 = i16::MIN;
const CELLS: i32 = 1200;
const TILE: TileCorner = TileCorner {
    south_deg: -32,
    west_deg: 139,
};

fn place(latitude_deg: f64, longitude_deg: f64) -> GroundPoint {
    GroundPoint::new(latitude_deg, longitude_deg).expect("a place in the test")
}

/// The place of a post, counted from the corner of [`TILE`].
fn post(north: i32, east: i32) -> GroundPoint {
    let degrees = |posts: i32| f64::from(posts) / f64::from(CELLS);
    place(-32.0 + degrees(north), 139.0 + degrees(east))
}

/// Writes a tile of such heights to a file and reads it back.
fn mosaic(corner: TileCorner, height: impl Fn(i32, i32) -> i16) -> ElevationMosaic {
    let mut bytes = Vec::with_capacity(2_884_802);
    for north in (0..=CELLS).rev() {
        for east in 0..=CELLS {
            bytes.extend(height(north, east).to_be_bytes());
        }
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(corner.file_name());
    fs::write(&path, bytes).expect("written");
    ElevationMosaic::read(&[path]).expect("a tile")
}

fn distance_m(from: GroundPoint, to: GroundPoint) -> f64 {
    from.line_to(to).map_or(0.0, |line| line.distance_m)
}

fn skyline(
    mosaic: &ElevationMosaic,
    camera: GroundPoint,
    settings: SkylineSettings,
) -> Vec<SkylinePoint> {
    SkylineProfile::compute(mosaic, camera, &settings)
        .expect("a skyline")
        .points
}

fn ridge(point: &SkylinePoint) -> Ridge {
    point.ridge.expect("ground in that direction")
}

#[test]
fn a_wall_along_a_meridian() {
    // The wall's foot is a cell away from its crest, whose height is exact
    // along its line of posts: the skyline is the crest at the distance at
    // which the geodesic crosses that meridian.
    let wall_east = 840;
    let land = mosaic(TILE, |_, east| {
        if (wall_east..wall_east + 3).contains(&east) {
            800
        } else {
            50
        }
    });
    let camera = post(600, 600);
    let wall_deg = post(600, wall_east).longitude_deg();
    for coefficient in [0.0, 0.13, 0.25] {
        let earth = CurvedEarth::new(coefficient).expect("a coefficient");
        let settings = SkylineSettings {
            earth,
            farthest_m: 40_000.0,
            ..SkylineSettings::default()
        };
        let mut checked = 0;
        for point in skyline(&land, camera, settings) {
            if !(40.0..=140.0).contains(&point.azimuth_deg) {
                continue;
            }
            let (mut near, mut far) = (0.0, 60_000.0);
            for _ in 0..60 {
                let middle = 0.5 * (near + far);
                let there = camera
                    .destination(point.azimuth_deg, middle)
                    .expect("finite");
                if there.point.longitude_deg() < wall_deg {
                    near = middle;
                } else {
                    far = middle;
                }
            }
            let expected = earth.elevation_angle_deg(51.6, 800.0, near);
            let seen = ridge(&point);
            assert_abs_diff_eq!(seen.altitude_deg, expected, epsilon = 1e-5);
            assert_abs_diff_eq!(seen.distance_m, near, epsilon = 0.1);
            assert_abs_diff_eq!(seen.elevation_m, 800.0, epsilon = 1e-6);
            checked += 1;
        }
        assert_eq!(checked, 201);
    }
}

#[test]
fn a_ring_wall_of_known_distance_and_height() {
    let camera = post(600, 600);
    let (inner_m, outer_m) = (19_750.0, 20_250.0);
    let land = mosaic(TILE, |north, east| {
        // In metres, to a hundredth: which posts are worth an exact distance.
        let (y, x) = (f64::from(north - 600) * 92.4, f64::from(east - 600) * 79.1);
        if !(19_000.0..21_000.0).contains(&x.hypot(y)) {
            return 0;
        }
        let distance = distance_m(camera, post(north, east));
        if (inner_m..outer_m).contains(&distance) {
            1000
        } else {
            0
        }
    });
    let settings = SkylineSettings::default();
    let angle = |distance| settings.earth.elevation_angle_deg(1.6, 1000.0, distance);
    // Beyond the inner edge plus the diagonal of a cell (122 m) all four posts
    // are raised; before the inner edge none is.
    let (most, least) = (angle(inner_m - 1.0), angle(inner_m + 122.0));
    for point in skyline(&land, camera, settings) {
        let seen = ridge(&point);
        assert!(
            (least..=most).contains(&seen.altitude_deg),
            "{point:?} not in {least} to {most}"
        );
        assert!((inner_m - 1.0..inner_m + 122.0).contains(&seen.distance_m));
    }
}

#[test]
fn a_cone_with_its_apex_on_a_post() {
    let (camera, apex) = (post(300, 300), post(480, 520));
    let slope = 0.15;
    let cone = |distance: f64| (1500.0 - slope * distance).max(0.0);
    let land = mosaic(TILE, |north, east| {
        cone(distance_m(apex, post(north, east))).round() as i16
    });
    let line = camera.line_to(apex).expect("apart");
    let settings = SkylineSettings::default();
    // The apex itself: turned so that one direction leads through it.
    let step = line.bearing_deg / 60.0;
    let through = SkylineSettings {
        azimuth_step_deg: step,
        ..settings
    };
    let seen = ridge(&skyline(&land, camera, through)[60]);
    let expected = settings
        .earth
        .elevation_angle_deg(1.6, 1500.0, line.distance_m);
    assert_abs_diff_eq!(seen.altitude_deg, expected, epsilon = 1e-4);
    assert_abs_diff_eq!(seen.distance_m, line.distance_m, epsilon = 1.0);
    // Beside it the highest point of the cone along the line of sight; the
    // tile's heights are rounded to the metre, 0.002 degrees at this distance.
    for point in skyline(&land, camera, settings) {
        let off = (point.azimuth_deg - line.bearing_deg + 180.0).rem_euclid(360.0) - 180.0;
        if off.abs() > 20.0 {
            continue;
        }
        let highest = (0..1400)
            .map(|k| line.distance_m - 12_000.0 + 10.0 * f64::from(k))
            .map(|distance| {
                let there = camera
                    .destination(point.azimuth_deg, distance)
                    .expect("finite")
                    .point;
                let height = cone(distance_m(apex, there));
                settings.earth.elevation_angle_deg(1.6, height, distance)
            })
            .fold(f64::NEG_INFINITY, f64::max);
        assert_abs_diff_eq!(ridge(&point).altitude_deg, highest, epsilon = 0.003);
    }
}

#[test]
fn the_open_sea_dips_as_it_should() {
    let sea = ElevationMosaic::default();
    let settings = SkylineSettings {
        eye: Eye::AboveSea(200.0),
        absent_tiles: AbsentTiles::Sea,
        ..SkylineSettings::default()
    };
    for point in skyline(&sea, place(-35.0, 179.9), settings) {
        let seen = ridge(&point);
        let dip = settings.earth.sea_dip_deg(200.0);
        assert_abs_diff_eq!(seen.altitude_deg, -dip, epsilon = 1e-8);
        let away = settings.earth.sea_horizon_m(200.0);
        assert_abs_diff_eq!(seen.distance_m, away, epsilon = 1.0);
        assert_eq!(point.missing_m, 0.0);
    }
}

#[test]
fn what_is_unknown_is_told() {
    let camera = post(600, 1140);
    let land = mosaic(TILE, |north, east| {
        // A band of voids west of the camera, 1 km wide.
        if (1000..1013).contains(&east) {
            VOID
        } else {
            (north % 7) as i16
        }
    });
    let settings = SkylineSettings {
        azimuth_step_deg: 90.0 / 4.0,
        farthest_m: 20_000.0,
        ..SkylineSettings::default()
    };
    let points = skyline(&land, camera, settings);
    let (north, east, west) = (&points[0], &points[4], &points[12]);
    assert_eq!(north.missing_m, 0.0);
    // 60 cells to the edge of the tile, 20 km in all.
    let to_edge = distance_m(camera, post(600, 1200));
    assert_abs_diff_eq!(east.missing_m, 20_000.0 - to_edge, epsilon = 0.1);
    assert!(east.ridge.is_some());
    let band = distance_m(post(600, 999), post(600, 1013));
    assert_abs_diff_eq!(west.missing_m, band, epsilon = 0.5);

    // Off the tile, looking away from it: nothing at all.
    let beside = place(-31.5, 140.01);
    let settings = SkylineSettings {
        eye: Eye::AboveSea(30.0),
        ..settings
    };
    let profile = SkylineProfile::compute(&land, beside, &settings).expect("a skyline");
    assert_eq!(profile.eye_m, 30.0);
    assert_eq!(profile.points[4].ridge, None);
    assert_abs_diff_eq!(profile.points[4].missing_m, 19_900.0, epsilon = 1e-6);
    let mut text = Vec::new();
    profile.write_csv(&mut text).expect("written");
    let text = String::from_utf8(text).expect("text");
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(
        lines[0],
        "azimuth_deg,altitude_deg,distance_m,elevation_m,missing_m"
    );
    assert_eq!(lines.len(), 17);
    assert_eq!(lines[5], "90.00,,,,19900");
    assert!(lines[13].starts_with("270.00,-"), "{}", lines[13]);
}

#[test]
fn what_cannot_be_is_refused() {
    let land = mosaic(TILE, |_, _| 300);
    let camera = post(600, 600);
    let fails = |camera: GroundPoint, settings: SkylineSettings| {
        SkylineProfile::compute(&land, camera, &settings).expect_err("refused")
    };
    let plain = SkylineSettings::default();
    for settings in [
        SkylineSettings {
            azimuth_step_deg: 0.0,
            ..plain
        },
        SkylineSettings {
            azimuth_step_deg: f64::NAN,
            ..plain
        },
        SkylineSettings {
            nearest_m: -1.0,
            ..plain
        },
        SkylineSettings {
            nearest_m: 60_000.0,
            ..plain
        },
        SkylineSettings {
            farthest_m: f64::INFINITY,
            ..plain
        },
        SkylineSettings {
            eye: Eye::AboveGround(-0.1),
            ..plain
        },
        SkylineSettings {
            eye: Eye::AboveSea(f64::NAN),
            ..plain
        },
    ] {
        assert!(
            matches!(fails(camera, settings), SkylineError::Setting { .. }),
            "{settings:?}"
        );
    }
    let buried = SkylineSettings {
        eye: Eye::AboveSea(299.0),
        ..plain
    };
    assert!(fails(camera, buried).to_string().contains("300.0 m"));
    let elsewhere = fails(place(10.0, 10.0), plain);
    assert!(matches!(elsewhere, SkylineError::GroundUnknown { .. }));
    assert!(matches!(
        fails(place(86.0, 0.0), plain),
        SkylineError::Polar(_)
    ));
    // From the ground itself, with nothing left out, level land is level.
    let settings = SkylineSettings {
        eye: Eye::AboveGround(0.0),
        nearest_m: 0.0,
        ..plain
    };
    for point in skyline(&land, camera, settings) {
        let seen = ridge(&point).altitude_deg;
        assert!((-0.001..=1e-9).contains(&seen), "{seen}");
    }
}

#[test]
fn across_the_antimeridian_the_skyline_goes_on() {
    let corners = [179, -180].map(|west_deg| TileCorner {
        south_deg: -32,
        west_deg,
    });
    let tiles = corners.map(|corner| {
        // Ridges east and west of the antimeridian, 24 cells from it.
        let crest = if corner.west_deg > 0 { CELLS - 24 } else { 24 };
        let bytes: Vec<u8> = (0..=CELLS)
            .flat_map(|_| (0..=CELLS).map(|east| if east == crest { 300_i16 } else { 0 }))
            .flat_map(i16::to_be_bytes)
            .collect();
        ElevationTile::from_bytes(corner, &PathBuf::from("made"), &bytes).expect("a tile")
    });
    let land = ElevationMosaic::from_tiles(tiles);
    let settings = SkylineSettings {
        azimuth_step_deg: 30.0,
        farthest_m: 3000.0,
        ..SkylineSettings::default()
    };
    for longitude_deg in [180.0, -180.0] {
        let points = skyline(&land, place(-31.5, longitude_deg), settings);
        let (east, west) = (ridge(&points[3]), ridge(&points[9]));
        assert_abs_diff_eq!(east.altitude_deg, west.altitude_deg, epsilon = 1e-6);
        assert_abs_diff_eq!(east.elevation_m, 300.0, epsilon = 1e-6);
        assert_eq!(points[3].missing_m, 0.0);
    }
}
