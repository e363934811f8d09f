//! The land below a skyline, drawn alike in every picture.

use super::sheet::{Sheet, element, px};

/// Fills the land below its edge, which runs from left to right and is drawn as
/// `line`, down to `bottom`, and draws the edge over it, both within the clip of
/// that name. `names` are those of land and edge for who reads the picture back.
pub fn draw_land(
    sheet: &mut Sheet,
    (edge, line): (&[(f64, f64)], String),
    bottom: f64,
    clip: &str,
    (names, weight): ([&str; 2], f64),
) {
    let (Some(first), Some(last)) = (edge.first(), edge.last()) else {
        return;
    };
    let land = format!(
        "{line}L{} {}L{} {}Z",
        px(last.0),
        px(bottom),
        px(first.0),
        px(bottom)
    );
    let fills = [
        (land, sheet.palette.land(), 0.0),
        (line, "none".to_owned(), weight),
    ];
    for ((data, fill, weight), name) in fills.into_iter().zip(names) {
        sheet.draw(element(
            "path",
            [
                ("d", data),
                ("fill", fill),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", px(weight)),
                ("clip-path", sheet.url(clip)),
                ("data-line", name.to_owned()),
            ],
        ));
    }
}
