//! The bytes of an elevation tile, and the skyline over its ground.
//!
//! The first eight bytes choose corner, camera and settings; the others are
//! repeated until they fill a tile of 1201 posts a side.

use rakelight::{
    scene::Skyline,
    terrain::{
        AbsentTiles, CurvedEarth, ElevationMosaic, ElevationTile, Eye, GROUND_HEIGHTS_M, Ground,
        GroundPoint, SkylineProfile, SkylineSettings, TileCorner, TileError,
    },
};
use std::{cell::RefCell, path::Path};

const TILE_BYTES: usize = 2 * 1201 * 1201;

thread_local! {
    /// The bytes of a whole tile, kept so that an input need not ask the system
    /// for them anew.
    static WHOLE: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// The tile whose bytes repeat `posts`.
fn tile(corner: TileCorner, posts: &[u8]) -> ElevationTile {
    WHOLE.with_borrow_mut(|bytes| {
        bytes.clear();
        bytes.extend_from_slice(posts);
        while bytes.len() < TILE_BYTES {
            let more = bytes.len().min(TILE_BYTES - bytes.len());
            bytes.extend_from_within(..more);
        }
        bytes.truncate(TILE_BYTES);
        let read = |bytes: &[u8]| ElevationTile::from_bytes(corner, Path::new("tile"), bytes);
        let outside = |post: i16| {
            let (lowest, highest) = GROUND_HEIGHTS_M;
            post != i16::MIN && !(lowest..=highest).contains(&post)
        };
        let (chunks, _) = bytes.as_chunks_mut::<2>();
        let refused = chunks.iter().any(|post| outside(i16::from_be_bytes(*post)));
        if refused {
            // What no ground has is refused; the rest is tried with ground.
            let read = read(chunks.as_flattened());
            assert!(matches!(read, Err(TileError::Height { .. })), "taken");
            for post in chunks {
                let height = i16::from_be_bytes(*post);
                if outside(height) {
                    *post = (height.rem_euclid(9501) - 500).to_be_bytes();
                }
            }
        }
        match read(bytes) {
            Ok(tile) => tile,
            Err(error) => panic!("a tile of the right size is refused: {error}"),
        }
    })
}

pub fn run(data: &[u8]) {
    let corner = TileCorner {
        south_deg: -32,
        west_deg: 139,
    };
    // No fuzzed text is as long as a tile.
    assert!(ElevationTile::from_bytes(corner, Path::new("tile"), data).is_err());
    let Some((&[south, west, north, east, eye, step, far, flags], posts)) =
        data.split_first_chunk::<8>()
    else {
        return;
    };
    if posts.is_empty() {
        return;
    }
    let corner = TileCorner {
        south_deg: i16::from(south) % 180 - 90,
        west_deg: i16::from(west) * 2 % 360 - 180,
    };
    let mut tiles = vec![tile(corner, posts)];
    // Looks at each of the posts, which takes longer than all the rest.
    if flags & 0xf8 == 8 {
        assert!((0.0..=1.0).contains(&tiles[0].void_share()));
    }
    // A second tile to the east, to look over the seam.
    if flags & 0x30 == 0x10 {
        let west_deg = (corner.west_deg + 181) % 360 - 180;
        tiles.push(tile(TileCorner { west_deg, ..corner }, posts));
    }
    let part = |byte: u8| f64::from(byte) / 255.0;
    let latitude_deg = f64::from(corner.south_deg) + part(north);
    let longitude_deg = f64::from(corner.west_deg) + part(east);
    let Ok(camera) = GroundPoint::new(latitude_deg, longitude_deg) else {
        panic!("{latitude_deg}, {longitude_deg} is no place");
    };
    let mosaic = ElevationMosaic::from_tiles(tiles);
    let Ok(ground) = mosaic.ground(camera) else {
        panic!("tiles in memory cannot fail");
    };
    match ground {
        Ground::Height(height_m) => assert!((-32_768.0..=32_767.0).contains(&height_m)),
        Ground::Void => {}
        Ground::NoTile => panic!("{latitude_deg}, {longitude_deg} is in the tile"),
    }
    let above_sea = flags & 1 != 0;
    let settings = SkylineSettings {
        eye: if above_sea {
            Eye::AboveSea(part(eye) * 9500.0 - 500.0)
        } else {
            Eye::AboveGround(part(eye) * 1000.0)
        },
        azimuth_step_deg: 5.0 + part(step) * 26.0,
        nearest_m: if flags & 2 != 0 { 0.0 } else { 100.0 },
        farthest_m: part(far) * 6000.0,
        earth: CurvedEarth::default(),
        absent_tiles: if flags & 4 != 0 {
            AbsentTiles::Sea
        } else {
            AbsentTiles::Unknown
        },
    };
    let Ok(profile) = SkylineProfile::compute(&mosaic, camera, &settings) else {
        return;
    };
    for point in &profile.points {
        assert!((0.0..360.0).contains(&point.azimuth_deg));
        assert!(point.missing_m.is_finite() && point.missing_m >= 0.0);
        if let Some(ridge) = &point.ridge {
            assert!((-90.0..=90.0).contains(&ridge.altitude_deg));
            assert!((0.0..=settings.farthest_m + 1.0).contains(&ridge.distance_m));
            assert!(ridge.elevation_m.is_finite());
        }
    }
    let mut table = Vec::new();
    assert!(profile.write_csv(&mut table).is_ok());
    // What is written can be read where every direction is known.
    if profile.points.iter().all(|point| point.ridge.is_some()) {
        assert!(Skyline::read("h.csv", table.as_slice()).is_ok());
    }
}
