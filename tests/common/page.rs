//! What holds for every page of HTML: it is well formed, needs nothing outside
//! itself, and what it points to is there.

use resvg::usvg::roxmltree::{Document, ParsingOptions};
use std::collections::HashSet;

/// What holds for every page of HTML.
pub fn check(page: &str) {
    // XML 1.0 by a parser that is not ours; the HTML is written so that it is
    // both.
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(page, options).expect("well formed");
    let root = document.root_element();
    assert_eq!(root.tag_name().name(), "html");
    assert_eq!(root.attribute("lang"), Some("en"));
    let elements = |name: &'static str| {
        let all = document.descendants();
        all.filter(move |node| node.has_tag_name(name))
    };
    check_outline(&document);
    assert_eq!(elements("main").count(), 1);
    let meta = |name: &str| {
        let metas = elements("meta").filter(|meta| meta.attribute("name") == Some(name));
        let content = metas.filter_map(|meta| meta.attribute("content"));
        content.collect::<Vec<_>>()
    };
    assert_eq!(meta("theme-color"), ["black"]);
    assert_eq!(meta("color-scheme"), ["dark"]);
    assert_eq!(meta("viewport"), ["width=device-width, initial-scale=1"]);
    for table in elements("table") {
        let caption = table
            .first_element_child()
            .filter(|first| first.has_tag_name("caption"));
        let caption = caption.and_then(|caption| caption.text());
        assert!(caption.is_some_and(|text| !text.trim().is_empty()));
        let heads = table.descendants().filter(|node| node.has_tag_name("th"));
        assert!(heads.clone().count() > 0);
        assert!(heads.clone().all(|head| head.has_attribute("scope")));
    }
    for figure in elements("figure") {
        let first = figure.first_element_child();
        assert!(first.is_some_and(|first| first.has_tag_name("figcaption")));
        // The style shows one of both.
        let drawings = figure.children().filter(|child| child.has_tag_name("div"));
        let classes: Vec<_> = drawings.clone().map(|div| div.attribute("class")).collect();
        assert_eq!(classes, [Some("phone"), Some("paper")]);
        for drawing in drawings {
            let svgs = drawing.children().filter(|child| child.has_tag_name("svg"));
            assert_eq!(svgs.count(), 1);
        }
    }
    for (class, width, least_px) in [("phone", "390", 11.0), ("paper", "718", 7.0 / 72.0 * 96.0)] {
        let drawings = elements("div").filter(|div| div.attribute("class") == Some(class));
        for drawing in drawings.flat_map(|div| div.children()) {
            let Some(text) = drawing.attribute("viewBox") else {
                continue;
            };
            assert_eq!(text.split(' ').nth(2), Some(width), "{text}");
            let sizes = drawing
                .descendants()
                .filter_map(|node| node.attribute("font-size"));
            for size in sizes {
                let px: f64 = size.trim_end_matches("px").parse().expect("pixels");
                // Two decimals are written.
                assert!(px >= least_px - 0.005, "{class}: {px} px");
            }
        }
    }
    // What is printed is set in points.
    let points = page.split("font-size:").skip(1).filter_map(|rest| {
        let size = rest.split([';', '}']).next()?;
        size.strip_suffix("pt")?.parse::<f64>().ok()
    });
    let points: Vec<f64> = points.collect();
    assert!(
        points.len() > 5 && points.iter().all(|size| *size >= 7.0),
        "{points:?}"
    );
    let mut ids = HashSet::new();
    let mut pictures = 0;
    for node in document.descendants().filter(|node| node.is_element()) {
        let name = node.tag_name().name();
        assert!(
            !["script", "link", "img", "iframe", "object", "image", "use"].contains(&name),
            "<{name}>"
        );
        for attribute in node.attributes() {
            let (key, value) = (attribute.name(), attribute.value());
            assert!(key != "src" && !key.starts_with("on"), "{key}");
            if key == "id" {
                assert!(ids.insert(value.to_owned()), "{value} twice");
            }
        }
        if name == "svg" {
            pictures += 1;
            let child = |name| node.children().any(|child| child.has_tag_name(name));
            assert!(child("title") && child("desc"));
        }
    }
    // Two of each view, each of them for a phone and for paper.
    assert_eq!(pictures % 4, 0, "{pictures} pictures");
    assert_eq!(pictures, 2 * elements("figure").count());
    for node in document.descendants().filter(|node| node.is_element()) {
        for attribute in node.attributes() {
            if attribute.name() == "href" {
                let id = value_of_link(attribute.value());
                assert!(ids.contains(id), "{id} is nowhere");
            }
            if let Some(id) = attribute.value().strip_prefix("url(#") {
                assert!(ids.contains(id.trim_end_matches(')')), "{id} is nowhere");
            }
        }
    }
    for outside in ["http", "<script", "@import", "url(\"", "src="] {
        assert!(!page.contains(outside), "{outside}");
    }
    // Every colour of the pictures follows the ground.
    for fixed in ["fill=\"#", "stroke=\"#", "stop-color=\"#"] {
        assert!(!page.contains(fixed), "{fixed}");
    }
    assert!(page.contains("@media print"));
    // On paper, what is folded on a screen is there too.
    assert!(page.contains("details::details-content{display:block;content-visibility:visible"));
}

/// Headings begin with a first one, and none is more than a level below the one
/// before it.
fn check_outline(document: &Document<'_>) {
    let level = |name: &str| match name.as_bytes() {
        [b'h', digit @ b'1'..=b'6'] => Some(digit - b'0'),
        _ => None,
    };
    let nodes = document.descendants().filter(|node| node.is_element());
    let levels = nodes.filter_map(|node| level(node.tag_name().name()));
    let mut before = 0;
    for level in levels {
        assert!(level <= before + 1, "<h{level}> after <h{before}>");
        before = level;
    }
    assert!(before > 0, "no heading");
}

/// A link leads to a place of the same document.
fn value_of_link(link: &str) -> &str {
    link.strip_prefix('#').expect("a link within the document")
}
