//! Elements of an SVG read back.
#![allow(dead_code, reason = "each test file uses a part of it")]

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
    data.trim_end_matches('Z')
        .split(['M', 'L'])
        .filter(|piece| !piece.is_empty())
        .map(|piece| {
            let (x, y) = piece.split_once(' ').expect("two numbers");
            (x.parse().expect("x"), y.parse().expect("y"))
        })
        .collect()
}
