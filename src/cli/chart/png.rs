//! Pictures as PNG.

use crate::cli::manners::Failure;
use anyhow::anyhow;
use rakelight::chart::Picture;
use resvg::{
    tiny_skia::{Pixmap, Transform},
    usvg::{Options, Tree, fontdb},
};
use std::sync::Arc;

/// Pixels of the PNG per pixel of the picture: 192 per inch.
const SCALE: f32 = 2.0;

/// Some programs cannot open a picture that is higher.
pub const MOST_PIXELS: u32 = 32_767;

/// Pixels of the PNG for a length in the picture.
pub fn pixels(length: f64) -> u64 {
    (length * f64::from(SCALE)).round().max(1.0) as u64
}

/// Faces for `sans-serif`; the first one installed is used. The widths reserved
/// for texts fit them.
const SANS: [&str; 8] = [
    "Arial",
    "Helvetica",
    "Liberation Sans",
    "DejaVu Sans",
    "Noto Sans",
    "Open Sans",
    "Roboto",
    "Segoe UI",
];

/// The picture as a PNG file.
pub fn encode(picture: &Picture) -> Result<Vec<u8>, Failure> {
    let mut fonts = fontdb::Database::new();
    fonts.load_system_fonts();
    let family = |face: &fontdb::FaceInfo| face.families.first().map(|(name, _)| name.clone());
    let found = SANS
        .iter()
        .find(|name| {
            fonts
                .faces()
                .any(|face| family(face).as_deref() == Some(**name))
        })
        .map(|name| (*name).to_owned())
        .or_else(|| fonts.faces().find_map(family));
    let Some(found) = found else {
        // Without a face, the renderer would leave out all text.
        return Err(Failure::Reported(anyhow!(
            "no font was found on this system, and a PNG needs one for its words; install a \
             sans-serif font (such as DejaVu Sans), or write --format svg"
        )));
    };
    fonts.set_sans_serif_family(found);
    let options = Options {
        fontdb: Arc::new(fonts),
        ..Options::default()
    };
    let tree = Tree::from_str(&picture.svg, &options)
        .map_err(|error| Failure::Reported(anyhow!("the picture cannot be rendered: {error}")))?;
    let size = tree.size();
    let side = |length: f32| pixels(f64::from(length)).try_into().unwrap_or(u32::MAX);
    let room = (side(size.height()) <= MOST_PIXELS)
        .then(|| Pixmap::new(side(size.width()), side(size.height())))
        .flatten();
    let mut pixels = room.ok_or_else(|| {
        Failure::Reported(anyhow!(
            "a PNG of {} x {} is too large; write --format svg",
            size.width(),
            size.height()
        ))
    })?;
    resvg::render(
        &tree,
        Transform::from_scale(SCALE, SCALE),
        &mut pixels.as_mut(),
    );
    pixels
        .encode_png()
        .map_err(|error| Failure::Reported(anyhow!("the PNG cannot be written: {error}")))
}
