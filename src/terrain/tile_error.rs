//! Why an elevation tile cannot be used.

use super::tile_layout::{GROUND_HEIGHTS_M, SIDES, bytes_of};
use crate::plain_words::{printable_path, system_words};
use std::{io, path::PathBuf};

/// Why a tile cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TileError {
    /// The name does not give the corner.
    #[error(
        "{}: found a name that gives no place, expected one that tells the south-west corner, like S32E139.hgt; rename the file",
        printable_path(path)
    )]
    Name {
        /// The file.
        path: PathBuf,
    },
    /// Neither of the two sizes.
    #[error(
        "{}: found {found} bytes, expected {} (3 arc-seconds) or {} (1 arc-second); unpack the tile, or fetch it anew",
        printable_path(path), bytes_of(SIDES[0]), bytes_of(SIDES[1])
    )]
    Size {
        /// The file.
        path: PathBuf,
        /// Its bytes.
        found: u64,
    },
    /// A height that no ground has.
    #[error(
        "{}: found a height of {found_m} m at {latitude_deg:.4}, {longitude_deg:.4}, expected heights from {} to {} m; fetch the tile anew",
        printable_path(path), GROUND_HEIGHTS_M.0, GROUND_HEIGHTS_M.1
    )]
    Height {
        /// The file.
        path: PathBuf,
        /// The height, metres.
        found_m: f64,
        /// Where the post stands, degrees, north positive.
        latitude_deg: f64,
        /// Where it stands, degrees, east positive.
        longitude_deg: f64,
    },
    /// Anything else in a file that cannot be used.
    #[error(
        "{}: found {found}, expected {expected}; {remedy}",
        printable_path(path)
    )]
    Unusable {
        /// The file.
        path: PathBuf,
        /// What it holds.
        found: String,
        /// What it should hold.
        expected: String,
        /// What to do.
        remedy: String,
    },
    /// Not a regular file.
    #[error(
        "{}: found something that is not a regular file, expected an elevation tile; name the file itself",
        printable_path(path)
    )]
    NotAFile {
        /// What is there instead.
        path: PathBuf,
    },
    /// The system refused.
    #[error(
        "{}: found {}, expected an elevation tile; check the path and its permissions",
        printable_path(path),
        refusal(source)
    )]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// More files than are held at once.
    #[error("found {found} elevation tiles, expected at most {limit}; leave out the farthest")]
    TooMany {
        /// How many were asked for.
        found: usize,
        /// How many are allowed.
        limit: usize,
    },
    /// Two tiles of one square.
    #[error(
        "{}: found the square of {} again, expected each tile once; leave one of them out",
        printable_path(path),
        printable_path(first)
    )]
    Twice {
        /// The second file.
        path: PathBuf,
        /// The first.
        first: PathBuf,
    },
}

/// What the system says, in plain words if the case is common.
fn refusal(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "a file that may not be read".to_owned(),
        _ => system_words(error),
    }
}
