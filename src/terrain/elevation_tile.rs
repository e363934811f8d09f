//! One elevation tile in the open `.hgt` layout of the Shuttle Radar
//! Topography Mission.
//!
//! A square of one degree; 3601 or 1201 posts a side (every 1 or 3 arc-seconds,
//! edges shared with the neighbours), big-endian 16-bit metres, row by row from
//! the north-west corner, -32768 where nothing is known. The name gives the
//! south-west corner: `S32E139.hgt`.
//!
//! # Source
//!
//! NASA/JPL, *SRTM Topography* (the documentation of the data set, version
//! 2.1).

use super::lattice::Bounds;
use super::opening;
use super::tile_error::TileError;
use super::tile_layout::{GROUND_HEIGHTS_M, SIDES, bytes_of};
use std::{io::Read, path::Path};

/// What a post without a height holds.
const VOID: i16 = i16::MIN;

/// The south-west corner of a tile, whole degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TileCorner {
    /// Latitude of the southern edge, -90 to 89, north positive.
    pub south_deg: i16,
    /// Longitude of the western edge, -180 to 179, east positive.
    pub west_deg: i16,
}

/// Heights over one square degree.
#[derive(Debug, Clone, PartialEq)]
pub struct ElevationTile {
    corner: TileCorner,
    side: u16,
    /// As in the file: a skyline uses a small part of the posts, so converting
    /// all of them first would cost more than it saves.
    big_endian: Vec<u8>,
}

impl TileCorner {
    /// The corner that a file's name gives: `N` or `S` and two digits, `E` or
    /// `W` and three, then anything after a dot. Capitals do not matter.
    ///
    /// # Errors
    ///
    /// [`TileError::Name`] for any other name, or an impossible corner.
    pub fn from_name(path: &Path) -> Result<Self, TileError> {
        Self::parsed(path).ok_or_else(|| TileError::Name {
            path: path.to_owned(),
        })
    }

    fn parsed(path: &Path) -> Option<Self> {
        let name = path.file_name()?.to_str()?;
        let (stem, _) = name.split_once('.')?;
        let &[ns, n1, n2, ew, e1, e2, e3] = stem.as_bytes() else {
            return None;
        };
        let number = |digits: &[u8]| {
            digits.iter().try_fold(0_i16, |sum, digit| {
                digit
                    .is_ascii_digit()
                    .then(|| sum * 10 + i16::from(digit - b'0'))
            })
        };
        let signed = |letter: u8, plus: u8, minus: u8, value: i16| match letter.to_ascii_uppercase()
        {
            l if l == plus => Some(value),
            l if l == minus => Some(-value),
            _ => None,
        };
        let corner = Self {
            south_deg: signed(ns, b'N', b'S', number(&[n1, n2])?)?,
            west_deg: signed(ew, b'E', b'W', number(&[e1, e2, e3])?)?,
        };
        let on_the_globe =
            (-90..90).contains(&corner.south_deg) && (-180..180).contains(&corner.west_deg);
        on_the_globe.then_some(corner)
    }

    pub(super) fn bounds(self) -> Bounds {
        let (south_deg, west_deg) = (f64::from(self.south_deg), f64::from(self.west_deg));
        Bounds {
            south_deg,
            north_deg: south_deg + 1.0,
            west_deg,
            east_deg: west_deg + 1.0,
        }
    }

    /// The name of the tile that begins at this corner: `S32E139.hgt`.
    pub fn file_name(self) -> String {
        format!(
            "{}{:02}{}{:03}.hgt",
            if self.south_deg < 0 { 'S' } else { 'N' },
            self.south_deg.abs(),
            if self.west_deg < 0 { 'W' } else { 'E' },
            self.west_deg.abs()
        )
    }
}

impl ElevationTile {
    /// Reads a tile from `path`.
    ///
    /// The size is checked before a byte is read: never more than 26 MB are
    /// read.
    ///
    /// # Errors
    ///
    /// A name that gives no corner, a size that is neither of the two, a height
    /// beyond [`GROUND_HEIGHTS_M`], anything that is not a regular file or
    /// cannot be read.
    pub fn read(path: &Path) -> Result<Self, TileError> {
        let corner = TileCorner::from_name(path)?;
        let about = opening::about(path)?;
        side_of(path, about.len())?;
        let mut bytes = Vec::with_capacity(usize::try_from(about.len()).unwrap_or(0));
        let mut file = opening::open(path)?;
        // One byte more than the size: the file may have grown since.
        Read::take(&mut file, about.len() + 1)
            .read_to_end(&mut bytes)
            .map_err(|source| opening::unreadable(path, source))?;
        Self::holding(corner, path, bytes)
    }

    /// The tile whose file holds `bytes`; `path` is for errors.
    ///
    /// # Errors
    ///
    /// [`TileError::Size`] unless there are 1201 or 3601 squared posts,
    /// [`TileError::Height`] where one of them lies beyond
    /// [`GROUND_HEIGHTS_M`].
    pub fn from_bytes(corner: TileCorner, path: &Path, bytes: &[u8]) -> Result<Self, TileError> {
        // Checked first, so that refused bytes are not copied.
        side_of(path, bytes.len() as u64)?;
        Self::holding(corner, path, bytes.to_vec())
    }

    fn holding(corner: TileCorner, path: &Path, bytes: Vec<u8>) -> Result<Self, TileError> {
        let side = side_of(path, bytes.len() as u64)?;
        let (posts, _) = bytes.as_chunks::<2>();
        let (lowest, highest) = GROUND_HEIGHTS_M;
        let is_ground = |height: i16| (lowest..=highest).contains(&height) || height == VOID;
        let heights = posts.iter().map(|post| i16::from_be_bytes(*post));
        if let Some((index, found_m)) = heights.enumerate().find(|(_, h)| !is_ground(*h)) {
            let per_row = usize::from(side);
            let part = |cells: usize| cells as f64 / f64::from(side - 1);
            let north = part(per_row - 1 - index / per_row);
            return Err(TileError::Height {
                path: path.to_owned(),
                found_m: f64::from(found_m),
                latitude_deg: f64::from(corner.south_deg) + north,
                longitude_deg: f64::from(corner.west_deg) + part(index % per_row),
            });
        }
        Ok(Self {
            corner,
            side,
            big_endian: bytes,
        })
    }

    /// Its south-west corner.
    pub const fn corner(&self) -> TileCorner {
        self.corner
    }

    /// How many cells a degree is divided into: 1200 or 3600.
    pub const fn cells_per_degree(&self) -> u16 {
        self.side - 1
    }

    /// The height of a post, metres above the sea, counted from the south-west
    /// corner; `None` for a void or beyond the edge.
    pub fn post_m(&self, north: usize, east: usize) -> Option<f64> {
        let side = usize::from(self.side);
        if north >= side || east >= side {
            return None;
        }
        let at = 2 * ((side - 1 - north) * side + east);
        match self.big_endian.get(at..at + 2) {
            Some(&[high, low]) => height_m(high, low),
            _ => None,
        }
    }

    /// The four posts of a cell counted from the south-west corner: those on
    /// its southern edge, west then east, and those on its northern.
    pub(super) fn cell_m(&self, north: usize, east: usize) -> [[Option<f64>; 2]; 2] {
        [north, north + 1].map(|row| [self.post_m(row, east), self.post_m(row, east + 1)])
    }

    /// The share of posts that are voids, 0 to 1.
    pub fn void_share(&self) -> f64 {
        let (posts, _) = self.big_endian.as_chunks::<2>();
        let voids = posts
            .iter()
            .filter(|post| i16::from_be_bytes(**post) == VOID);
        voids.count() as f64 / posts.len() as f64
    }
}

/// The height that two bytes hold; `None` for a void.
fn height_m(high: u8, low: u8) -> Option<f64> {
    match i16::from_be_bytes([high, low]) {
        VOID => None,
        height => Some(f64::from(height)),
    }
}

fn side_of(path: &Path, bytes: u64) -> Result<u16, TileError> {
    SIDES
        .into_iter()
        .find(|side| bytes_of(*side) == bytes)
        .ok_or_else(|| TileError::Size {
            path: path.to_owned(),
            found: bytes,
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn corner(name: &str) -> Option<(i16, i16)> {
        TileCorner::from_name(Path::new(name))
            .ok()
            .map(|corner| (corner.south_deg, corner.west_deg))
    }

    #[test]
    fn names_tell_the_south_west_corner() {
        assert_eq!(corner("S32E139.hgt"), Some((-32, 139)));
        assert_eq!(corner("tiles/n00w001.HGT"), Some((0, -1)));
        assert_eq!(corner("N36W085.SRTMGL1.hgt"), Some((36, -85)));
        for wrong in [
            "S32E139",
            "S3E139.hgt",
            "X32E139.hgt",
            "S32139E.hgt",
            "N90E000.hgt",
            "N10E180.hgt",
            "S91E000.hgt",
            "N1 E001.hgt",
            "N+1E001.hgt",
            "",
            "é2E139.hgt",
        ] {
            assert_eq!(corner(wrong), None, "{wrong}");
        }
        for name in ["S32E139.hgt", "N00W001.hgt", "N36W085.hgt"] {
            let corner = TileCorner::from_name(Path::new(name)).expect("a name");
            assert_eq!(corner.file_name(), name);
        }
    }

    fn numbered(side: usize) -> Vec<u8> {
        (0..side * side)
            .flat_map(|k| ((k % 9_000) as i16).to_be_bytes())
            .collect()
    }

    /// The Dead Sea's shore and the top of Everest are ground, and so are a
    /// void and the sea's 0; the bottom of the Mariana Trench is not.
    #[test]
    fn heights_that_no_ground_has_are_refused_where_they_stand() {
        let corner = TileCorner {
            south_deg: -32,
            west_deg: 139,
        };
        let read = |height: i16| {
            let mut bytes = vec![0; 2 * 1201 * 1201];
            // 300 posts below the northern edge, 600 from the western.
            let at = 2 * (300 * 1201 + 600);
            bytes[at..at + 2].copy_from_slice(&height.to_be_bytes());
            ElevationTile::from_bytes(corner, Path::new("S32E139.hgt"), &bytes)
        };
        for height in [VOID, -500, -430, 0, 8849, 9000] {
            assert!(read(height).is_ok(), "{height}");
        }
        for height in [VOID + 1, -10_994, -501, 9001, i16::MAX] {
            assert_eq!(
                read(height).expect_err("refused").to_string(),
                format!(
                    "S32E139.hgt: found a height of {height} m at -31.2500, 139.5000, \
                     expected heights from -500 to 9000 m; fetch the tile anew"
                )
            );
        }
    }

    #[test]
    fn rows_run_from_the_north_west_corner() {
        let corner = TileCorner {
            south_deg: 1,
            west_deg: 2,
        };
        let mut bytes = numbered(1201);
        // The post at the south-east corner is the last one.
        let last = bytes.len() - 2;
        bytes[last..].copy_from_slice(&(-413_i16).to_be_bytes());
        bytes[..2].copy_from_slice(&VOID.to_be_bytes());
        let tile = ElevationTile::from_bytes(corner, Path::new("x"), &bytes).expect("a tile");
        assert_eq!(tile.post_m(1200, 0), None);
        assert_eq!(tile.post_m(1200, 7), Some(7.0));
        assert_eq!(tile.post_m(1199, 0), Some(1201.0));
        assert_eq!(tile.post_m(0, 1200), Some(-413.0));
        assert_eq!(tile.post_m(1201, 0), None);
        assert_eq!(tile.post_m(0, 1201), None);
        assert_eq!(
            tile.cell_m(1199, 0),
            [[Some(1201.0), Some(1202.0)], [None, Some(1.0)]]
        );
        assert!((tile.void_share() - 1.0 / 1_442_401.0).abs() < 1e-12);
    }

    #[test]
    fn files_of_the_wrong_kind_are_refused_with_reasons() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("S32E139.hgt");
        let message = |path: &Path| ElevationTile::read(path).expect_err("refused").to_string();
        assert!(matches!(
            ElevationTile::read(&path),
            Err(TileError::Unreadable { .. })
        ));
        fs::create_dir(&path).expect("a folder");
        assert!(matches!(
            ElevationTile::read(&path),
            Err(TileError::NotAFile { .. })
        ));
        let path = folder.path().join("S33E139.hgt");
        for size in [0, 1, 2_884_801, 2_884_803, 100] {
            fs::write(&path, vec![0; size]).expect("written");
            assert!(message(&path).contains("2884802"), "{}", message(&path));
        }
        fs::write(&path, numbered(1201)).expect("written");
        let tile = ElevationTile::read(&path).expect("a tile");
        assert_eq!(
            (tile.corner().south_deg, tile.cells_per_degree()),
            (-33, 1200)
        );
        let wrong = folder.path().join("hills.hgt");
        fs::write(&wrong, numbered(1201)).expect("written");
        assert!(message(&wrong).contains("S32E139.hgt"));
        // A tile this large is refused by its size and not read.
        let path = folder.path().join("S34E139.hgt");
        let file = fs::File::create(&path).expect("a file");
        file.set_len(1 << 40).expect("a hole");
        assert!(matches!(
            ElevationTile::read(&path),
            Err(TileError::Size { .. })
        ));
    }
}
