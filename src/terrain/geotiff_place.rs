//! Where the posts of a GeoTIFF stand in the coordinates that its keys name.
//!
//! # Source
//!
//! *OGC GeoTIFF Standard*, OGC 19-008r4 (2019), sections 7.1 and B.6.

use super::{
    geo_keys::GeoReference,
    lattice::Lattice,
    refused::{Refused, Remedy},
    tiff_directory::{Directory, Source},
};

const SCALE: u16 = 33550;
const TIE_POINTS: u16 = 33922;
const MATRIX: u16 = 34264;

/// Where the posts stand.
pub(super) fn lattice(
    directory: &Directory,
    source: &mut dyn Source,
    reference: &GeoReference,
) -> Result<Lattice, Refused> {
    let mut numbers = |tag| directory.doubles(source, tag);
    let (scale, tie, matrix) = (numbers(SCALE)?, numbers(TIE_POINTS)?, numbers(MATRIX)?);
    let turned = || {
        Refused::new(
            "a rotated grid",
            "rows that run from west to east",
            Remedy::WARP,
        )
    };
    let (step, corner) = match (scale.as_deref(), tie.as_deref(), matrix.as_deref()) {
        (_, _, Some(&[a, b, _, x, d, e, _, y, ..])) => {
            if b != 0.0 || d != 0.0 {
                return Err(turned());
            }
            ([a, e], [x, y])
        }
        (Some(&[a, e, ..]), Some(&[i, j, _, x, y, _]), None) => ([a, -e], [x - i * a, y + j * e]),
        (None, Some(tie), None) if tie.len() > 6 => {
            return Err(Refused::new(
                "a grid held by control points",
                "an even grid",
                Remedy::WARP,
            ));
        }
        _ => {
            return Err(Refused::new(
                "no place for its posts",
                "the tags of a GeoTIFF",
                Remedy::Say("fetch the file anew, as a GeoTIFF"),
            ));
        }
    };
    let sound = step[0] > 1e-9 && step[1].abs() > 1e-9;
    if !(sound && step.iter().chain(&corner).all(|number| number.abs() < 1e9)) {
        return Err(turned());
    }
    let half = if reference.area { 0.5 } else { 0.0 };
    Ok(Lattice {
        frame: reference.frame,
        origin: [corner[0] + half * step[0], corner[1] + half * step[1]],
        step,
    })
}
