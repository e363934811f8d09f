//! Elements of an SVG read back.

/// The element that holds `mark`, from `<` to `>`.
pub fn tag<'a>(svg: &'a str, mark: &str) -> &'a str {
    let at = svg.find(mark).unwrap_or_else(|| panic!("no {mark}"));
    let start = svg[..at].rfind('<').expect("an element");
    let end = at + svg[at..].find('>').expect("its end");
    &svg[start..end]
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

/// Every element that holds `mark`, from `<` to `>`.
pub fn tags<'a>(svg: &'a str, mark: &'a str) -> impl Iterator<Item = &'a str> {
    svg.match_indices(mark).map(|(at, _)| {
        let start = svg[..at].rfind('<').expect("an element");
        let end = at + svg[at..].find('>').expect("its end");
        &svg[start..end]
    })
}
