//! The band of the Milky Way and lines through the sky, in any projection.

use super::{
    sheet::{Sheet, px, stroke},
    thinned::through_thinned,
};
use crate::ephemeris::Galaxy;

/// Half the width of the band far from the core, degrees: its bright part is
/// some 15 degrees wide. Common practice, no source.
pub const HALF_BAND_DEG: f64 = 7.5;
/// How much wider each half is at the core: the bulge. Common practice, no
/// source.
pub const BULGE_DEG: f64 = 4.5;
/// How far the bulge reaches along the band: its added width falls to 1/e
/// there, degrees. Common practice, no source.
pub const BULGE_REACH_DEG: f64 = 12.0;
/// Galactic longitude from stroke to stroke, degrees; half that in the bulge.
const STROKE_DEG: f64 = 3.0;
/// How far a stroke leans along the band, degrees.
const LEAN_DEG: f64 = 6.0;
/// A line is cut where it jumps farther than this share of the picture's width:
/// at the seam behind the camera.
const JUMP: f64 = 0.5;

/// A point of the sheet for a direction (azimuth and apparent altitude,
/// degrees); `None` where the projection has none.
pub type Project<'a> = dyn Fn(f64, f64) -> Option<(f64, f64)> + 'a;

/// Half the width of the band at a galactic longitude, degrees.
pub fn half_band_deg(longitude_deg: f64) -> f64 {
    let from_core = (longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
    HALF_BAND_DEG + BULGE_DEG * (-(from_core / BULGE_REACH_DEG).powi(2)).exp()
}

/// A line of directions in pieces that can be drawn.
pub fn pieces(project: &Project<'_>, width: f64, line: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for (azimuth, altitude) in line {
        let point = project(*azimuth, *altitude);
        let last = pieces.last().and_then(|piece| piece.last()).copied();
        let jumps = |(x, y): (f64, f64)| {
            let from = last.unwrap_or((x, y));
            (x - from.0).hypot(y - from.1) > JUMP * width
        };
        match point {
            Some(point) if !jumps(point) => {}
            _ => pieces.push(Vec::new()),
        }
        if let (Some(point), Some(piece)) = (point, pieces.last_mut()) {
            piece.push(point);
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// The path data of a line of directions.
pub fn path(project: &Project<'_>, width: f64, line: &[(f64, f64)]) -> String {
    let pieces = pieces(project, width, line);
    pieces.iter().map(|piece| through_thinned(piece)).collect()
}

/// How the band is drawn.
pub struct BandStyle<'a> {
    /// The clip to what is shown.
    pub clip: &'a str,
    /// The width of what is shown, pixels.
    pub width: f64,
    /// Lowest altitude that is drawn, degrees.
    pub lowest_deg: f64,
    /// Weight of the edges, pixels.
    pub edge: f64,
    /// How many times farther apart the strokes are.
    pub apart: f64,
}

/// Draws the band: two edges, and strokes between them that stand twice as
/// close in the bulge.
pub fn draw_band(galaxy: &Galaxy, sheet: &mut Sheet, project: &Project<'_>, style: &BandStyle<'_>) {
    let place = |longitude: f64, latitude: f64| {
        let place = galaxy.place(longitude, latitude);
        (place.azimuth_deg, place.apparent_altitude_deg)
    };
    let mut strokes = String::new();
    let mut longitude = 0.0;
    while longitude < 360.0 {
        let line: Vec<(f64, f64)> = (0..=24)
            .map(|step| f64::from(step) / 12.0 - 1.0)
            .map(|part| (longitude + 0.5 * LEAN_DEG * part, part))
            .map(|(longitude, part)| place(longitude, half_band_deg(longitude) * part))
            .collect();
        if line.iter().any(|direction| direction.1 > style.lowest_deg) {
            strokes.push_str(&path(project, style.width, &line));
        }
        let dense = half_band_deg(longitude) > HALF_BAND_DEG + 0.3 * BULGE_DEG;
        longitude += style.apart * STROKE_DEG * if dense { 0.5 } else { 1.0 };
    }
    let mut hatch = stroke(&strokes, &sheet.palette.faint(), 0.8);
    svg::Node::assign(&mut hatch, "clip-path", sheet.url(style.clip));
    sheet.draw(hatch);
    for side in [-1.0, 1.0] {
        let line: Vec<(f64, f64)> = (0..=720)
            .map(|step| f64::from(step) * 0.5)
            .map(|longitude| place(longitude, side * half_band_deg(longitude)))
            .collect();
        let data = path(project, style.width, &line);
        let mut edge = stroke(&data, &sheet.palette.faint(), style.edge);
        for (key, value) in [
            ("clip-path", sheet.url(style.clip)),
            ("data-line", "band-edge".to_owned()),
            ("data-half-at-core-deg", px(half_band_deg(0.0))),
        ] {
            svg::Node::assign(&mut edge, key, value);
        }
        sheet.draw(edge);
    }
}
