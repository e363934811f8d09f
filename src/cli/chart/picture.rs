//! Writes a picture to a file.

use super::{
    args::{Paper, PictureArgs, PictureFormat, PictureSize},
    png,
};
use crate::cli::{
    args::format::check_one_of,
    manners::{
        Failure, Outcome, Output,
        output::{check_standard, is_standard},
    },
};
use anyhow::anyhow;
use rakelight::chart::{Look, Palette, Picture, Size};
use std::{
    io::{IsTerminal, Write},
    path::Path,
};

/// The greys and the width asked for.
pub fn look(args: &PictureArgs) -> Look {
    let palette = match args.paper {
        Paper::Light => Palette::Light,
        Paper::Dark => Palette::Dark,
    };
    let size = match args.size {
        PictureSize::A4 => Size::A4,
        PictureSize::Phone => Size::Phone,
    };
    Look::new(palette, size)
}

/// The file that the picture goes to; none for standard output.
fn file(args: &PictureArgs) -> Option<&Path> {
    let path = args.output.output.as_deref();
    path.filter(|path| !is_standard(path))
}

/// The format asked for, else that of the file's ending.
pub fn format(args: &PictureArgs) -> Result<PictureFormat, Failure> {
    if let Some(format) = args.format {
        return Ok(format);
    }
    let path = file(args);
    let otherwise = "choose --format svg or png";
    check_one_of(path, vec!["svg", "png"], &[], otherwise)?;
    let ending = path.and_then(|path| path.extension());
    Ok(match ending {
        Some(ending) if ending.eq_ignore_ascii_case("png") => PictureFormat::Png,
        _ => PictureFormat::Svg,
    })
}

pub fn write(picture: &Picture, args: &PictureArgs) -> Result<Outcome, Failure> {
    let path = file(args);
    if format(args)? == PictureFormat::Svg {
        let mut out = Output::open(path)?;
        out.write_all(picture.svg.as_bytes())?;
        out.finish()?;
        return Ok(Outcome::Done);
    }
    let bytes = png::encode(picture)?;
    if let Some(path) = path {
        let mut out = Output::open_binary(path)?;
        out.write_all(&bytes)?;
        out.finish()?;
    } else {
        check_standard()?;
        // This bypasses the stream that handles terminal styles: pixels are
        // not text.
        let mut out = std::io::stdout().lock();
        if out.is_terminal() {
            return Err(Failure::Reported(anyhow!(
                "a PNG is no text for a terminal; name a file with -o"
            )));
        }
        out.write_all(&bytes)?;
        out.flush()?;
    }
    Ok(Outcome::Done)
}
