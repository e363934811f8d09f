//! Elements of an SVG read back.
#![allow(dead_code, reason = "each test file uses a part of it")]

use svg::node::element::path::{Command, Data};

/// The first element that holds `mark`, from `<` to `>`.
pub fn tag<'a>(svg: &'a str, mark: &str) -> &'a str {
    let found = tags(svg, mark);
    found
        .first()
        .copied()
        .unwrap_or_else(|| panic!("no {mark}"))
}

/// Every element that holds `mark`.
pub fn tags<'a>(svg: &'a str, mark: &str) -> Vec<&'a str> {
    let element = |(at, _)| {
        let start = svg[..at].rfind('<').expect("an element");
        let end = at + svg[at..].find('>').expect("its end");
        &svg[start..end]
    };
    svg.match_indices(mark).map(element).collect()
}

/// The value of an attribute of an element.
pub fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    let mark = format!(" {name}=\"");
    let at = tag
        .find(&mark)
        .unwrap_or_else(|| panic!("no {name} in {tag}"))
        + mark.len();
    &tag[at..at + tag[at..].find('"').expect("a quote")]
}

/// The same as a number.
pub fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).parse().expect("a number")
}

/// The points of a path of moves and lines.
pub fn points(data: &str) -> Vec<(f64, f64)> {
    let mut points = Vec::new();
    let mut at = (0.0, 0.0);
    for command in Data::parse(data).expect("a path").iter() {
        // Written in hundredths of a pixel, read in single precision.
        let to = |index: usize, to: &[f32]| (100.0 * f64::from(to[index])).round() / 100.0;
        at = match command {
            Command::Move(_, place) | Command::Line(_, place) => (to(0, place), to(1, place)),
            Command::HorizontalLine(_, place) => (to(0, place), at.1),
            Command::VerticalLine(_, place) => (at.0, to(0, place)),
            Command::Close => continue,
            other => panic!("{other:?} in {data}"),
        };
        points.push(at);
    }
    points
}
