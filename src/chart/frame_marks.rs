//! Marks that several parts of a picture share, and the rooms about them.

use super::{
    placer::Spot,
    sheet::{Sheet, Type, px, stroke},
};

/// The rooms about a point, nearest first.
pub fn about(text: &str, style: Type, (x, y): (f64, f64), away: f64) -> Vec<Spot> {
    (0..5)
        .map(|step| away + 8.0 * f64::from(step))
        .flat_map(|away| {
            [
                style.room(text, x + away, y + 4.0),
                style.ending(text, x - away, y + 4.0),
                style.centred(text, x, y + away + 8.0),
                style.centred(text, x, y - away),
                style.room(text, x + away, y + away + 4.0),
                style.ending(text, x - away, y - away + 4.0),
                style.room(text, x + away, y - away + 4.0),
                style.ending(text, x - away, y + away + 4.0),
            ]
        })
        .collect()
}

/// A cross with the paper about it.
pub fn draw_cross(sheet: &mut Sheet, (x, y): (f64, f64), arm: f64, name: &str) {
    let data = format!(
        "M{} {}H{}M{} {}V{}",
        px(x - arm),
        px(y),
        px(x + arm),
        px(x),
        px(y - arm),
        px(y + arm)
    );
    let mut cross = stroke(&data, &sheet.palette.paper(), 6.0);
    sheet.draw(cross.clone());
    for (key, value) in [
        ("stroke", sheet.palette.ink()),
        ("stroke-width", "2.4".to_owned()),
        ("data-body", name.to_owned()),
        ("data-x", px(x)),
        ("data-y", px(y)),
    ] {
        svg::Node::assign(&mut cross, key, value);
    }
    sheet.draw(cross);
    sheet.placer.avoid(x, y, arm + 2.0);
}
