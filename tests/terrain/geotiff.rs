//! Heights from GeoTIFFs of every kind that is read against GDAL's own
//! (`tests/reference/elevation.csv`), skylines over one ground on several
//! grids, and broken files.

use crate::common;

use common::{Dice, rows, spread};
use rakelight::terrain::{
    AbsentTiles, ElevationMosaic, Eye, Ground, GroundPoint, HeightFact, SkylineError, SkylinePoint,
    SkylineProfile, SkylineSettings, TileError, UtmZone,
};
use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

fn path(name: &str) -> PathBuf {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    root.join("tests/reference/elevation").join(name)
}

fn land(names: &[&str]) -> ElevationMosaic {
    let paths: Vec<PathBuf> = names.iter().map(|name| path(name)).collect();
    ElevationMosaic::read(&paths).unwrap_or_else(|error| panic!("{error}"))
}

fn place(latitude_deg: f64, longitude_deg: f64) -> GroundPoint {
    GroundPoint::new(latitude_deg, longitude_deg).expect("a place")
}

fn ground(land: &ElevationMosaic, latitude_deg: f64, longitude_deg: f64) -> Ground {
    let ground = land.ground(place(latitude_deg, longitude_deg));
    ground.unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn heights_are_those_of_gdal() {
    let mut differences: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    let mut voids = 0;
    let table = rows("elevation.csv");
    let mut open: BTreeMap<String, ElevationMosaic> = BTreeMap::new();
    for row in &table {
        let name = row.text("file");
        let land = open.entry(name.to_owned()).or_insert_with(|| land(&[name]));
        let found = ground(
            land,
            row.number("latitude_deg"),
            row.number("longitude_deg"),
        );
        match (found, row.text("elevation_m")) {
            (Ground::Void, "") => voids += 1,
            (Ground::Height(height), text) if !text.is_empty() => {
                let all = differences.entry(name.to_owned()).or_default();
                all.push(height - row.number("elevation_m"));
            }
            (found, text) => panic!("{name}: {found:?} for {text:?}"),
        }
    }
    assert!(
        voids > 10 && differences.len() > 25,
        "{voids} {}",
        differences.len()
    );
    for (name, differences) in differences {
        // Half a millimetre of single precision, and the table's last digit;
        // the ground rises by 0.3 m in a metre at most.
        spread(&name, "m", &differences, 2e-4, 6e-4);
    }
}

#[test]
fn utm_is_that_of_proj() {
    let (mut east, mut north, mut back) = (Vec::new(), Vec::new(), Vec::new());
    for row in rows("utm.csv") {
        let zone = UtmZone::new(row.number("zone") as u8, row.text("hemisphere") == "S");
        let zone = zone.expect("a zone");
        let (latitude, longitude) = (row.number("latitude_deg"), row.number("longitude_deg"));
        let [x, y] = zone.from_degrees(latitude, longitude);
        east.push(x - row.number("east_m"));
        north.push(y - row.number("north_m"));
        let [found, turned] = zone.to_degrees(row.number("east_m"), row.number("north_m"));
        back.push(found - latitude);
        let apart = (turned - longitude + 180.0).rem_euclid(360.0) - 180.0;
        back.push(apart * latitude.to_radians().cos());
    }
    // The table has micrometres, 1e-11 degrees.
    spread("easting", "m", &east, 1e-6, 2e-6);
    spread("northing", "m", &north, 1e-6, 2e-6);
    spread("back", "deg", &back, 1e-11, 3e-11);
}

fn settings(farthest_m: f64) -> SkylineSettings {
    SkylineSettings {
        eye: Eye::AboveGround(2.0),
        azimuth_step_deg: 0.5,
        nearest_m: 400.0,
        farthest_m,
        ..SkylineSettings::default()
    }
}

fn skyline(land: &ElevationMosaic, at: GroundPoint, settings: &SkylineSettings) -> SkylineProfile {
    SkylineProfile::compute(land, at, settings).unwrap_or_else(|error| panic!("{error}"))
}

fn altitude(point: &SkylinePoint) -> f64 {
    point.ridge.expect("ground in that direction").altitude_deg
}

/// The worst difference in any direction, degrees.
fn apart(one: &SkylineProfile, other: &SkylineProfile) -> f64 {
    assert_eq!(one.points.len(), other.points.len());
    let pairs = one.points.iter().zip(&other.points);
    pairs
        .map(|(a, b)| (altitude(a) - altitude(b)).abs())
        .fold(0.0, f64::max)
}

/// One smooth ground in degrees and in metres: the cells differ in size and in
/// place, the skyline by less than a hundredth of a degree.
#[test]
fn a_grid_in_metres_has_the_skyline_of_one_in_degrees() {
    let (degrees, utm) = (land(&["skyline-degrees.tif"]), land(&["skyline-utm32.tif"]));
    let camera = place(46.525, 8.027);
    let settings = settings(1700.0);
    let (one, other) = (
        skyline(&degrees, camera, &settings),
        skyline(&utm, camera, &settings),
    );
    for profile in [&one, &other] {
        assert!(profile.points.iter().all(|point| point.missing_m == 0.0));
    }
    let worst = apart(&one, &other);
    assert!(worst < 0.01, "{worst}");
    // It is no plain.
    let altitudes: Vec<f64> = one.points.iter().map(altitude).collect();
    let highest = altitudes.iter().fold(f64::NEG_INFINITY, |a, b| a.max(*b));
    let lowest = altitudes.iter().fold(f64::INFINITY, |a, b| a.min(*b));
    assert!(highest - lowest > 5.0, "{lowest} {highest}");
}

/// The ridge is found on the grid itself, not near it: no sample of the line
/// of sight, taken every 2 m through `ground`, stands higher.
#[test]
fn no_ground_of_a_grid_in_metres_stands_over_its_skyline() {
    let utm = land(&["skyline-utm32.tif"]);
    let camera = place(46.525, 8.027);
    let settings = settings(1700.0);
    let profile = skyline(&utm, camera, &settings);
    let mut differences = Vec::new();
    for point in profile.points.iter().step_by(20) {
        let mut highest = f64::NEG_INFINITY;
        let mut distance_m = settings.nearest_m;
        while distance_m <= settings.farthest_m {
            let to = camera
                .destination(point.azimuth_deg, distance_m)
                .expect("a place");
            let Ok(Ground::Height(height)) = utm.ground(to.point) else {
                panic!("no ground at {distance_m}");
            };
            let angle = settings
                .earth
                .elevation_angle_deg(profile.eye_m, height, distance_m);
            highest = highest.max(angle);
            distance_m += 2.0;
        }
        differences.push(altitude(point) - highest);
    }
    assert!(
        differences.iter().all(|over| *over > -1e-5),
        "{differences:?}"
    );
    spread("over its samples", "deg", &differences, 2e-4, 5e-4);
}

/// A tile and a GeoTIFF of the same posts have the same skyline.
#[test]
fn a_geotiff_has_the_skyline_of_the_tile_with_its_posts() {
    let file = land(&["degrees-i16-strips-none.tif"]);
    // Its posts, on those of a 3-arc-second tile: they stand half a cell off,
    // so that a tile is made of what is found at the tile's own posts, a
    // GeoTIFF of the tile's bytes.
    let folder = tempfile::tempdir().expect("a folder");
    let mut bytes = Vec::new();
    for north in (0..=1200).rev() {
        for east in 0..=1200 {
            let at = (
                46.0 + f64::from(north) / 1200.0,
                8.0 + f64::from(east) / 1200.0,
            );
            let height = match ground(&file, at.0, at.1) {
                Ground::Height(height) => height.round() as i16,
                Ground::Void | Ground::NoTile => i16::MIN,
            };
            bytes.extend(height.to_be_bytes());
        }
    }
    let tile = folder.path().join("N46E008.hgt");
    fs::write(&tile, &bytes).expect("written");
    let copy = folder.path().join("copy.tif");
    fs::write(&copy, geotiff(&bytes)).expect("written");
    let (tile, copy) = (
        ElevationMosaic::read(&[&tile]).expect("a tile"),
        ElevationMosaic::read(&[&copy]).expect("a GeoTIFF"),
    );
    let camera = place(46.525, 8.027);
    let settings = settings(1500.0);
    let (one, other) = (
        skyline(&tile, camera, &settings),
        skyline(&copy, camera, &settings),
    );
    assert!((one.eye_m - other.eye_m).abs() < 1e-6);
    let worst = apart(&one, &other);
    assert!(worst < 1e-7, "{worst}");
    // Further away both know as little.
    let far = SkylineSettings {
        farthest_m: 8000.0,
        ..settings
    };
    let (one, other) = (skyline(&tile, camera, &far), skyline(&copy, camera, &far));
    for (a, b) in one.points.iter().zip(&other.points) {
        assert!((a.missing_m - b.missing_m).abs() < 1e-3, "{a:?} {b:?}");
        assert!(a.missing_m > 1000.0);
    }
}

/// A plain big-endian GeoTIFF of the posts of a 3-arc-second tile N46E008, in
/// strips of 100 rows.
fn geotiff(posts: &[u8]) -> Vec<u8> {
    const SIDE: u32 = 1201;
    let mut file = b"MM\0\x2a\0\0\0\x08".to_vec();
    let strips = SIDE.div_ceil(100);
    let entries: u16 = 13;
    let mut extra: Vec<u8> = Vec::new();
    let behind = 8 + 2 + 12 * u32::from(entries) + 4;
    let mut directory = Vec::new();
    let mut entry = |tag: u16, kind: u16, count: u32, values: Vec<u8>| {
        directory.extend(tag.to_be_bytes());
        directory.extend(kind.to_be_bytes());
        directory.extend(count.to_be_bytes());
        if values.len() <= 4 {
            let mut field = values;
            field.resize(4, 0);
            directory.extend(field);
        } else {
            directory.extend((behind + extra.len() as u32).to_be_bytes());
            extra.extend(values);
        }
    };
    let short = |value: u16| value.to_be_bytes().to_vec();
    let longs = |values: Vec<u32>| values.into_iter().flat_map(u32::to_be_bytes).collect();
    let doubles = |values: &[f64]| values.iter().flat_map(|v| v.to_be_bytes()).collect();
    let data = 4096;
    entry(256, 4, 1, longs(vec![SIDE]));
    entry(257, 4, 1, longs(vec![SIDE]));
    entry(258, 3, 1, short(16));
    entry(259, 3, 1, short(1));
    entry(262, 3, 1, short(1));
    let starts = (0..strips).map(|k| data + k * 200 * SIDE).collect();
    entry(273, 4, strips, longs(starts));
    entry(278, 4, 1, longs(vec![100]));
    let sizes = (0..strips)
        .map(|k| 2 * SIDE * (SIDE - 100 * k).min(100))
        .collect();
    entry(279, 4, strips, longs(sizes));
    entry(339, 3, 1, short(2));
    entry(33550, 12, 3, doubles(&[1.0 / 1200.0, 1.0 / 1200.0, 0.0]));
    entry(33922, 12, 6, doubles(&[0.0, 0.0, 0.0, 8.0, 47.0, 0.0]));
    let keys = [1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 2, 2048, 0, 1, 4326];
    let keys: Vec<u8> = keys.into_iter().flat_map(u16::to_be_bytes).collect();
    entry(34735, 3, 16, keys);
    entry(42113, 2, 7, b"-32768\0".to_vec());
    file.extend(entries.to_be_bytes());
    file.extend(directory);
    file.extend([0; 4]);
    file.extend(extra);
    assert!(file.len() <= data as usize);
    file.resize(data as usize, 0);
    file.extend(posts);
    file
}

/// One raster cut in two, without a post in common: nothing is lost between.
#[test]
fn tiles_that_share_no_post_are_joined() {
    for (frame, camera) in [
        ("degrees", place(46.525, 8.0208)),
        ("utm32", place(46.4900, 8.0280)),
    ] {
        let whole = land(&[&format!("whole-{frame}.tif")]);
        let parts = land(&[
            &format!("part-{frame}-west.tif"),
            &format!("part-{frame}-east.tif"),
        ]);
        let settings = settings(1300.0);
        let (one, other) = (
            skyline(&whole, camera, &settings),
            skyline(&parts, camera, &settings),
        );
        assert!((one.eye_m - other.eye_m).abs() < 1e-6, "{frame}");
        for point in &other.points {
            assert!(point.missing_m < 1e-6, "{frame} {point:?}");
        }
        assert!(apart(&one, &other) < 1e-7, "{frame}");
        // Without its neighbour a part ends at its last post.
        let west = land(&[&format!("part-{frame}-west.tif")]);
        let known = skyline(&west, place(camera.latitude_deg(), 8.012), &settings);
        assert!(known.points.iter().any(|point| point.missing_m > 100.0));
    }
}

/// Where the cells become wider, and over the antimeridian, nothing is lost.
#[test]
fn sets_of_tiles_have_no_seam() {
    let steps = land(&["step-south.tif", "step-north.tif"]);
    let turn = land(&["turn-west.tif", "turn-east.tif"]);
    for (land, camera, farthest_m) in [
        (
            &steps,
            place(50.0 + 0.3 / 3600.0, 14.0 + 30.0 / 3600.0),
            550.0,
        ),
        (&turn, place(-16.5 - 60.0 / 3600.0, 180.0), 1700.0),
        (&turn, place(-16.5 - 60.0 / 3600.0, -179.9998), 1600.0),
    ] {
        let settings = SkylineSettings {
            nearest_m: 50.0,
            ..settings(farthest_m)
        };
        let profile = skyline(land, camera, &settings);
        for point in &profile.points {
            assert!(point.missing_m < 1e-6, "{point:?}");
            // A cliff at the seam would stand 10 degrees and more.
            assert!(altitude(point).abs() < 25.0);
        }
        let jumps = profile
            .points
            .windows(2)
            .map(|two| altitude(&two[0]) - altitude(&two[1]));
        assert!(jumps.map(f64::abs).fold(0.0, f64::max) < 1.0);
    }
}

/// The finer file tells the ground where it knows it; where it has a hole or
/// ends, the coarser one.
#[test]
fn the_finest_that_knows_the_ground_tells_it() {
    let coarse = land(&["degrees-i16-strips-none.tif"]);
    let fine = land(&["skyline-degrees.tif"]);
    let both = land(&["degrees-i16-strips-none.tif", "skyline-degrees.tif"]);
    let mut dice = Dice::new(5);
    let mut ended = 0;
    for _ in 0..300 {
        let at = (dice.between(46.502, 46.548), dice.between(8.001, 8.048));
        let expected = match ground(&fine, at.0, at.1) {
            Ground::NoTile => {
                ended += 1;
                ground(&coarse, at.0, at.1)
            }
            known => known,
        };
        assert_eq!(ground(&both, at.0, at.1), expected);
    }
    assert!(ended < 300);
    let holed = land(&["degrees-f32-tiles-deflate-3-nan.tif"]);
    let hole = (46.55 - 25.0 / 1200.0, 8.0 + 32.0 / 1200.0);
    assert_eq!(ground(&holed, hole.0, hole.1), Ground::Void);
    let filled = land(&[
        "degrees-f32-tiles-deflate-3-nan.tif",
        "degrees-i32-strips-deflate-2.tif",
    ]);
    assert!(matches!(ground(&filled, hole.0, hole.1), Ground::Height(_)));
    let camera = place(hole.0, hole.1);
    let settings = settings(1300.0);
    let (filled, whole) = (
        skyline(&filled, camera, &settings),
        skyline(
            &land(&["degrees-i32-strips-deflate-2.tif"]),
            camera,
            &settings,
        ),
    );
    assert!(filled.points.iter().all(|point| point.missing_m < 1e-6));
    // Whole metres against the unrounded ground.
    assert!(apart(&filled, &whole) < 0.1);
}

#[test]
fn a_hole_is_no_sea_and_the_end_of_the_files_may_be() {
    let holed = land(&["degrees-f32-tiles-deflate-3-nan.tif"]);
    let camera = place(46.55 - 10.0 / 1200.0, 8.0 + 32.0 / 1200.0);
    let missing = |absent_tiles, farthest_m| {
        let settings = SkylineSettings {
            absent_tiles,
            ..settings(farthest_m)
        };
        let profile = skyline(&holed, camera, &settings);
        profile
            .points
            .iter()
            .map(|point| point.missing_m)
            .sum::<f64>()
    };
    let (far, near) = (20_000.0, 2000.0);
    assert!(missing(AbsentTiles::Sea, near) > 0.0);
    assert!((missing(AbsentTiles::Sea, far) - missing(AbsentTiles::Sea, near * 2.0)).abs() < 1e-6);
    assert!(missing(AbsentTiles::Unknown, far) > 2.0 * missing(AbsentTiles::Sea, far));
}

#[test]
fn what_is_taken_differently_is_told() {
    let facts = |name: &str| land(&[name]).height_facts();
    assert_eq!(facts("degrees-i16-strips-none.tif"), []);
    assert_eq!(
        facts("degrees-over-ellipsoid.tif"),
        [HeightFact::OverEllipsoid]
    );
    assert_eq!(
        facts("utm13-feet.tif"),
        [
            HeightFact::DatumTakenAsWgs84("NAD83"),
            HeightFact::Feet(1200.0 / 3937.0)
        ]
    );
    assert_eq!(
        land(&[
            "utm33-etrs89-i16-point.tif",
            "degrees-i32-strips-deflate-2.tif"
        ])
        .height_facts(),
        [HeightFact::DatumTakenAsWgs84("ETRS89")]
    );
}

#[test]
fn other_files_are_met_with_what_to_type() {
    let translate =
        |options: &str, name: &str| format!("gdal_translate {options} {name}.tif {name}-new.tif");
    let warp = |name: &str| {
        format!("convert it: gdalwarp -t_srs EPSG:4326 -r bilinear {name}.tif {name}-new.tif")
    };
    let frames = "expected latitudes and longitudes (EPSG:4326 and the like) or a UTM grid";
    let samples = "expected one height a post, in 16 or 32-bit integers or in floating point";
    let packings = "expected none, LZW, Deflate or PackBits";
    for (name, found, expected, remedy) in [
        (
            "no-web-mercator",
            "Web Mercator (EPSG:3857)",
            frames,
            warp("no-web-mercator"),
        ),
        (
            "no-national",
            "a grid in EPSG:2056",
            frames,
            warp("no-national"),
        ),
        ("no-nad27", "degrees in EPSG:4267", frames, warp("no-nad27")),
        (
            "no-system",
            "no reference system",
            frames,
            format!(
                "if it is in degrees, say so: {}",
                translate("-a_srs EPSG:4326", "no-system")
            ),
        ),
        (
            "no-rotated",
            "a rotated grid",
            "expected rows that run from west to east",
            warp("no-rotated"),
        ),
        (
            "no-8-bit",
            "8-bit posts, as pictures have",
            samples,
            format!(
                "if they are metres, convert them: {}",
                translate("-ot Float32", "no-8-bit")
            ),
        ),
        (
            "no-64-bit",
            "64-bit integers",
            samples,
            format!(
                "if they are metres, convert them: {}",
                translate("-ot Float32", "no-64-bit")
            ),
        ),
        (
            "no-zstd",
            "posts packed by Zstandard",
            packings,
            format!(
                "convert it: {}",
                translate("-co TILED=YES -co COMPRESS=DEFLATE", "no-zstd")
            ),
        ),
        (
            "no-lerc",
            "posts packed by LERC",
            packings,
            format!(
                "convert it: {}",
                translate("-co TILED=YES -co COMPRESS=DEFLATE", "no-lerc")
            ),
        ),
        (
            "no-jpeg",
            "posts packed by JPEG",
            packings,
            format!(
                "convert it: {}",
                translate("-co TILED=YES -co COMPRESS=DEFLATE", "no-jpeg")
            ),
        ),
        (
            "no-bands",
            "2 bands",
            samples,
            format!("convert it: {}", translate("-b 1", "no-bands")),
        ),
        (
            "no-scale",
            "heights with a scale or an offset",
            "expected heights in metres",
            format!(
                "convert them: {}",
                translate("-unscale -ot Float32", "no-scale")
            ),
        ),
    ] {
        // The name alone, as one who stands in its folder types it.
        let bytes = fs::read(path(&format!("{name}.tif"))).expect("a file");
        let error = ElevationMosaic::from_geotiff(Path::new(&format!("{name}.tif")), bytes);
        let error = error.expect_err(name).to_string();
        assert_eq!(
            error,
            format!("{name}.tif: found {found}, {expected}; {remedy}")
        );
    }
}

/// A height that no ground has shows where its block is read.
#[test]
fn heights_that_no_ground_has_are_refused_where_they_stand() {
    let land = land(&["no-nodata.tif"]);
    let error = land.ground(place(46.5455, 8.0045)).expect_err("no ground");
    let told = error.to_string();
    let name = path("no-nodata.tif").display().to_string();
    assert!(
        told.starts_with(&format!(
            "{name}: found a height of -9999 m at 46.5495, 8.0005, "
        )),
        "{told}"
    );
    assert!(
        told.contains("; if it stands for unknown ground, say so: gdal_translate -a_nodata -9999 ")
    );
    let settings = SkylineSettings {
        eye: Eye::AboveSea(600.0),
        ..settings(500.0)
    };
    let refused = SkylineProfile::compute(&land, place(46.5455, 8.0045), &settings);
    assert!(matches!(refused, Err(SkylineError::File(words)) if words == told));
}

/// Broken in any way a file gives an error and never takes much memory or time.
#[test]
fn broken_files_are_refused() {
    let names = [
        "degrees-i16-strips-none.tif",
        "degrees-f32-tiles-deflate-3-nan.tif",
        "degrees-i16-strips-packbits-big-endian.tif",
        "big-overviews.tif",
        "utm19s-i16-strips-lzw-2.tif",
    ];
    let at = place(46.52, 8.02);
    let look = |bytes: Vec<u8>| -> Result<Ground, TileError> {
        ElevationMosaic::from_geotiff(Path::new("broken.tif"), bytes)?.ground(at)
    };
    let mut dice = Dice::new(7);
    for name in names {
        let whole = fs::read(path(name)).expect("a file");
        assert!(look(whole.clone()).is_ok(), "{name}");
        // Cut off anywhere before its last block it is refused at once.
        for _ in 0..60 {
            let length = dice.below(whole.len() - 1);
            let mut cut = whole.clone();
            cut.truncate(length);
            let _ = look(cut);
        }
        for bytes in [
            vec![],
            whole[..4].to_vec(),
            whole[..whole.len() / 2].to_vec(),
        ] {
            assert!(look(bytes).is_err(), "{name}");
        }
        // Any byte of the header changed, and several at once.
        for _ in 0..1500 {
            let mut changed = whole.clone();
            for _ in 0..=dice.below(3) {
                let header = changed.len().min(900);
                let place = dice.below(header);
                changed[place] = dice.below(256) as u8;
            }
            let _ = look(changed);
        }
        for _ in 0..200 {
            let mut changed = whole.clone();
            let place = dice.below(changed.len());
            changed[place] ^= 1 << dice.below(8);
            let _ = look(changed);
        }
    }
}
