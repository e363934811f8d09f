//! Names and descriptions that strangers wrote, made fit for sites.

use crate::plain_words::is_unprintable;
use crate::scene::name::{LONGEST_NAME, LONGEST_NOTES, check_name, check_notes, is_formula_sign};

/// What stands where a text was cut.
const CUT: &str = "...";
/// Elements of HTML whose content is no text.
const SILENT: [&str; 2] = ["script", "style"];
/// Elements of HTML within a word or a sentence; any other one parts words.
const INLINE: [&str; 14] = [
    "a", "abbr", "b", "big", "em", "font", "i", "small", "span", "strong", "sub", "sup", "tt", "u",
];
/// The entities of HTML that are read, beside numbers.
const ENTITIES: [(&str, char); 10] = [
    ("amp", '&'),
    ("lt", '<'),
    ("gt", '>'),
    ("quot", '"'),
    ("apos", '\''),
    ("nbsp", ' '),
    ("deg", '°'),
    ("ndash", '–'),
    ("mdash", '—'),
    ("hellip", '…'),
];
/// The longest entity, characters between `&` and `;`.
const LONGEST_ENTITY: usize = 8;

/// A name as a site can have it: one line, nothing hidden, no sign of a formula
/// in front, not too long; nothing if nothing is left.
pub(super) fn fit_name(text: &str) -> Option<String> {
    let line = one_line(text);
    let bare = line.trim_start_matches(|c: char| is_formula_sign(c) || c.is_whitespace());
    check_name(&cut(bare, LONGEST_NAME)).ok()
}

/// A description as the notes of a site: HTML as the text that it shows, on one
/// line, not too long; nothing if nothing is left.
pub(super) fn fit_notes(text: &str) -> Option<String> {
    let line = one_line(&shown_text(text));
    let notes = check_notes(&cut(&line, LONGEST_NOTES)).ok()?;
    (!notes.is_empty()).then_some(notes)
}

/// The words of a text with single spaces between them, without characters
/// that show nothing.
fn one_line(text: &str) -> String {
    let mut line = String::new();
    for word in text.split_whitespace() {
        let word: String = word.chars().filter(|c| !is_unprintable(*c)).collect();
        if !word.is_empty() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&word);
        }
    }
    line
}

/// The text, cut where it has more than `longest` characters.
fn cut(text: &str, longest: usize) -> String {
    if text.chars().count() <= longest {
        return text.to_owned();
    }
    let kept: String = text.chars().take(longest - CUT.len()).collect();
    format!("{}{CUT}", kept.trim_end())
}

/// What a browser shows of a text that may be HTML: tags and comments are left
/// out, entities replaced.
fn shown_text(text: &str) -> String {
    let mut shown = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let (before, tag) = rest.split_at(at);
        push_text(&mut shown, before);
        let after = tag.get(1..).unwrap_or_default();
        if after.starts_with("!--") {
            rest = after.split_once("-->").map_or("", |(_, rest)| rest);
            continue;
        }
        let begins = |c: char| c.is_ascii_alphabetic() || matches!(c, '/' | '!' | '?');
        if !after.starts_with(begins) {
            shown.push('<');
            rest = after;
            continue;
        }
        let Some((inside, behind)) = after.split_once('>') else {
            // Without the end of a tag, no tag is left.
            shown.push('<');
            rest = after;
            break;
        };
        let name: String = inside
            .trim_start_matches('/')
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .map(|c| c.to_ascii_lowercase())
            .collect();
        if !INLINE.contains(&name.as_str()) {
            shown.push(' ');
        }
        rest = match SILENT.contains(&name.as_str()) && !inside.starts_with('/') {
            true => past_end(behind, &name),
            false => behind,
        };
    }
    push_text(&mut shown, rest);
    shown
}

/// What stands behind the end of an element without text.
fn past_end<'a>(text: &'a str, name: &str) -> &'a str {
    let mut rest = text;
    while let Some((_, behind)) = rest.split_once("</") {
        let named = behind.get(..name.len());
        if named.is_some_and(|named| named.eq_ignore_ascii_case(name)) {
            return behind.split_once('>').map_or("", |(_, rest)| rest);
        }
        rest = behind;
    }
    ""
}

/// Adds text between tags, with its entities replaced.
fn push_text(shown: &mut String, text: &str) {
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('&') {
        shown.push_str(before);
        let name: String = after
            .chars()
            .take(LONGEST_ENTITY)
            .take_while(|c| c.is_ascii_alphanumeric() || *c == '#')
            .collect();
        let behind = after.strip_prefix(name.as_str()).unwrap_or(after);
        match (character(&name), behind.strip_prefix(';')) {
            (Some(character), Some(behind)) => {
                shown.push(character);
                rest = behind;
            }
            _ => {
                shown.push('&');
                rest = after;
            }
        }
    }
    shown.push_str(rest);
}

/// The character that an entity means, if it is one of ours.
fn character(name: &str) -> Option<char> {
    if let Some(number) = name.strip_prefix('#') {
        let code = match number.strip_prefix(['x', 'X']) {
            Some(digits) => u32::from_str_radix(digits, 16).ok()?,
            None => number.parse().ok()?,
        };
        return char::from_u32(code);
    }
    let known = ENTITIES.iter().find(|(known, _)| *known == name);
    known.map(|(_, character)| *character)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_made_fit() {
        let fit = |text: &str| fit_name(text);
        assert_eq!(fit("  old\n mill "), Some("old mill".to_owned()));
        assert_eq!(fit("=1+1"), Some("1+1".to_owned()));
        assert_eq!(fit("-- @ a\u{202e}b"), Some("ab".to_owned()));
        assert_eq!(fit("\u{202e}=x"), Some("x".to_owned()));
        assert_eq!(fit("+"), None);
        assert_eq!(fit("\u{2800}"), None);
        let long = fit(&"é".repeat(81)).unwrap_or_default();
        assert_eq!(long, format!("{}...", "é".repeat(77)));
        assert_eq!(fit(&"é".repeat(80)), Some("é".repeat(80)));
    }

    /// What a browser shows (HTML Living Standard, sections 13.1.2 and 13.5).
    #[test]
    fn html_becomes_the_text_it_shows() {
        for (html, text) in [
            (
                "<p>Gate <b>closed</b>&nbsp;at&#32;dusk</p><br/>Bring&#x20;water",
                "Gate closed at dusk Bring water",
            ),
            ("a<br>b<i>c</i>", "a bc"),
            ("1 < 2 & 3 > 2", "1 < 2 & 3 > 2"),
            (
                "<style>p{}</style>Seen<script>if (a<b) {}</SCRIPT > here",
                "Seen here",
            ),
            ("<!-- no --> yes <img src=\"data:x\">", "yes"),
            ("&lt;b&gt; &unknown; &#xD800; &", "<b> &unknown; &#xD800; &"),
            ("left <open", "left <open"),
        ] {
            assert_eq!(fit_notes(html).as_deref(), Some(text), "{html}");
        }
        assert_eq!(fit_notes("<p> </p>"), None);
        let long = fit_notes(&"x".repeat(5000)).unwrap_or_default();
        assert_eq!(long.len(), 2000);
        // Signs that begin a tag and none that ends one: no second look at each.
        let open = "<a".repeat(200_000);
        assert!(fit_notes(&open).is_some());
    }
}
