//! The name of an elevation tile.

use super::text;
use rakelight::terrain::TileCorner;
use std::path::Path;

pub fn run(data: &[u8]) {
    match TileCorner::from_name(Path::new(text(data))) {
        Ok(corner) => {
            assert!((-90..90).contains(&corner.south_deg));
            assert!((-180..180).contains(&corner.west_deg));
            let name = corner.file_name();
            assert_eq!(TileCorner::from_name(Path::new(&name)).ok(), Some(corner));
        }
        Err(error) => assert!(error.to_string().contains("S32E139.hgt")),
    }
}
