//! Several pictures one beneath the other.

use super::{LabelBox, Picture, placer::Room, sheet::px};

impl Picture {
    /// These pictures one beneath the other, in this order; one alone stays as
    /// it is. They must be numbered, so that each finds its own textures.
    pub fn stacked(mut pictures: Vec<Self>) -> Self {
        if pictures.len() == 1
            && let Some(only) = pictures.pop()
        {
            return only;
        }
        let width = pictures.iter().map(|one| one.width).fold(0.0, f64::max);
        let height = pictures.iter().map(|one| one.height).sum();
        let (wide, high) = (px(width), px(height));
        let mut svg = format!(
            "<svg height=\"{high}\" viewBox=\"0 0 {wide} {high}\" width=\"{wide}\" \
             xmlns=\"http://www.w3.org/2000/svg\">\n"
        );
        let mut labels = Vec::new();
        let mut top = 0.0;
        for one in &pictures {
            svg += &one
                .svg
                .replacen("<svg ", &format!("<svg y=\"{}\" ", px(top)), 1);
            labels.extend(one.labels.iter().map(|label| LabelBox {
                room: Room {
                    top: label.room.top + top,
                    ..label.room
                },
                text: label.text.clone(),
            }));
            top += one.height;
        }
        svg += "</svg>\n";
        Self {
            svg,
            width,
            height,
            labels,
        }
    }
}
