//! The Moon's lit shape.

use super::sheet::{Sheet, element, px};

/// Draws the Moon around a point: a disc whose lit part ends at half an
/// ellipse, with the bright limb turned clockwise from straight up, degrees.
///
/// A `hidden` Moon is only a dotted outline.
///
/// The terminator is a great circle seen at the phase angle i: half an ellipse
/// with the semi-axis cos i, so the lit part of the disc is (1 + cos i) / 2.
pub fn draw_moon(
    sheet: &mut Sheet,
    (x, y): (f64, f64),
    radius: f64,
    (illuminated_fraction, bright_limb_deg): (f64, f64),
    hidden: bool,
) {
    let bulge = (2.0 * illuminated_fraction - 1.0).clamp(-1.0, 1.0);
    let mut group = element(
        "g",
        [
            (
                "transform",
                format!(
                    "translate({} {}) rotate({})",
                    px(x),
                    px(y),
                    px(bright_limb_deg)
                ),
            ),
            ("data-body", "moon".to_owned()),
            ("data-lit", format!("{illuminated_fraction:.4}")),
        ],
    );
    let dashes = if hidden { "1.5 2.5" } else { "none" };
    let fill = |grey: String| if hidden { "none".to_owned() } else { grey };
    let r = px(radius);
    svg::Node::append(
        &mut group,
        element(
            "circle",
            [
                ("r", r.clone()),
                ("fill", fill(sheet.palette.unlit())),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", "1.2".to_owned()),
                ("stroke-dasharray", dashes.to_owned()),
            ],
        ),
    );
    // With the bright limb up, the path runs over the top from left to right
    // and back along the terminator, which is below the middle if more than
    // half is lit.
    let sweep = u8::from(bulge >= 0.0);
    svg::Node::append(
        &mut group,
        element(
            "path",
            [
                (
                    "d",
                    format!(
                        "M-{r} 0A{r} {r} 0 0 1 {r} 0A{r} {} 0 0 {sweep} -{r} 0Z",
                        px((radius * bulge.abs()).max(0.01))
                    ),
                ),
                ("fill", fill(sheet.palette.lit())),
                ("stroke", sheet.palette.ink()),
                ("stroke-width", "0.8".to_owned()),
                ("stroke-dasharray", dashes.to_owned()),
            ],
        ),
    );
    sheet.draw(group);
}
