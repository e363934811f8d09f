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
    // Two of each view.
    assert!(pictures % 2 == 0, "{pictures} pictures");
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
}

/// A link leads to a place of the same document.
fn value_of_link(link: &str) -> &str {
    link.strip_prefix('#').expect("a link within the document")
}
