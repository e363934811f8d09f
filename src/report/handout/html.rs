//! The small parts of a page of HTML.

use crate::report::grid::Side;
use std::io::{self, Write};

/// A heading with a list of sentences.
pub(super) fn list<S: AsRef<str>>(
    out: &mut impl Write,
    heading: &str,
    lines: impl Iterator<Item = S>,
    level: u8,
) -> io::Result<()> {
    writeln!(
        out,
        "<section class=\"list\">\n<h{level}>{heading}</h{level}>\n<ul>"
    )?;
    for line in lines {
        writeln!(out, "<li>{}</li>", escaped(line.as_ref()))?;
    }
    writeln!(out, "</ul>\n</section>")
}

/// The head of a table, and the beginning of its rows.
pub(super) fn head(
    out: &mut impl Write,
    heads: impl IntoIterator<Item = (String, Side)>,
) -> io::Result<()> {
    write!(out, "<thead><tr>")?;
    for (name, side) in heads {
        let (class, name) = (class(side), escaped(&name));
        write!(out, "<th scope=\"col\"{class}>{name}</th>")?;
    }
    writeln!(out, "</tr></thead><tbody>")
}

/// The side to which the text of a cell keeps.
pub(super) fn class(side: Side) -> &'static str {
    match side {
        Side::Left => " class=\"l\"",
        Side::Right => "",
    }
}

/// Text escaped for both HTML and XML.
pub(super) fn escaped(text: &str) -> String {
    let mut clean = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => clean.push_str("&amp;"),
            '<' => clean.push_str("&lt;"),
            '>' => clean.push_str("&gt;"),
            '"' => clean.push_str("&quot;"),
            '\'' => clean.push_str("&#39;"),
            c if c.is_control() => clean.push(' '),
            c => clean.push(c),
        }
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_become_markup() {
        assert_eq!(
            escaped("<b a=\"c\">&'\u{7}"),
            "&lt;b a=&quot;c&quot;&gt;&amp;&#39; "
        );
    }
}
