//! The only file of this layer that opens files.

use super::tile_error::TileError;
use std::{
    fs::{self, File, Metadata},
    path::Path,
};

/// What the system says about a regular file.
pub(super) fn about(path: &Path) -> Result<Metadata, TileError> {
    // Checked before it is opened: opening a pipe would wait for ever.
    let about = fs::metadata(path).map_err(|source| unreadable(path, source))?;
    match about.is_file() {
        true => Ok(about),
        false => Err(TileError::NotAFile {
            path: path.to_owned(),
        }),
    }
}

/// Opens a file for reading.
pub(super) fn open(path: &Path) -> Result<File, TileError> {
    File::open(path).map_err(|source| unreadable(path, source))
}

pub(super) fn unreadable(path: &Path, source: std::io::Error) -> TileError {
    TileError::Unreadable {
        path: path.to_owned(),
        source,
    }
}
