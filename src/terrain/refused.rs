//! What an elevation file holds that cannot be used, before its path is known.

use super::tile_error::TileError;
use std::path::Path;

/// Found, expected, and what to do.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Refused {
    found: String,
    expected: String,
    remedy: Remedy,
}

/// What to do about a file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Remedy {
    /// In words.
    Say(&'static str),
    /// In words, then this command with the file and the name of a new one.
    Convert(&'static str, &'static str),
    /// In words, then the command that declares this number to be nodata.
    Number(&'static str, f64),
    /// In words, then this command with the file.
    Run(&'static str, &'static str),
}

impl Remedy {
    pub const WARP: Self = Self::Convert("convert it", "gdalwarp -t_srs EPSG:4326 -r bilinear");
    pub const PACK: Self = Self::Convert(
        "convert it",
        "gdal_translate -co TILED=YES -co COMPRESS=DEFLATE",
    );
    pub const ANEW: Self = Self::Say("fetch the file anew");

    /// What to type. A name that a shell would not take as it is is left to
    /// the reader.
    fn text(self, path: &Path) -> String {
        let (words, command, output) = match self {
            Self::Say(words) => return words.to_owned(),
            Self::Convert(words, command) => (words, command.to_owned(), true),
            Self::Number(words, found) => {
                (words, format!("gdal_translate -a_nodata {found}"), true)
            }
            Self::Run(words, command) => (words, command.to_owned(), false),
        };
        let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"._/-+=".contains(byte);
        let typed = path.to_str().filter(|text| {
            !text.is_empty() && !text.starts_with('-') && text.as_bytes().iter().all(plain)
        });
        let typed = typed.unwrap_or("FILE");
        let new = Path::new(typed).with_extension("");
        match output {
            true => format!("{words}: {command} {typed} {}-new.tif", new.display()),
            false => format!("{words}: {command} {typed}"),
        }
    }
}

impl Refused {
    pub fn new(found: impl Into<String>, expected: impl Into<String>, remedy: Remedy) -> Self {
        Self {
            found: found.into(),
            expected: expected.into(),
            remedy,
        }
    }

    /// The error about the file at `path`.
    pub fn of(self, path: &Path) -> TileError {
        TileError::Unusable {
            path: path.to_owned(),
            found: self.found,
            expected: self.expected,
            remedy: self.remedy.text(path),
        }
    }
}
