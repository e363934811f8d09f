//! Messages wrapped to the width of a terminal.

use anstream::adapter::strip_str;
use unicode_width::UnicodeWidthStr;

/// Indent of continued lines, so that each message is distinct from the next.
const HANGING: usize = 2;

/// The lines of `text`, broken between words if they are wider than `width`
/// columns. A single word may be wider, so that a path can be copied whole.
/// Terminal styles have no width.
pub fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for (index, line) in text.split('\n').enumerate() {
        if index > 0 {
            out.push('\n');
        }
        wrap_line(&mut out, line, width);
    }
    out
}

fn wrap_line(out: &mut String, line: &str, width: usize) {
    if columns(line) <= width {
        out.push_str(line);
        return;
    }
    let words = line.trim_start_matches(' ');
    let indent = line.len() - words.len();
    out.extend(std::iter::repeat_n(' ', indent));
    let mut at = indent;
    for (index, word) in words.split(' ').enumerate() {
        let wide = columns(word);
        if index > 0 && at + 1 + wide > width {
            out.push('\n');
            at = indent + HANGING;
            out.extend(std::iter::repeat_n(' ', at));
        } else if index > 0 {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += wide;
    }
}

fn columns(text: &str) -> usize {
    strip_str(text).to_string().width()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_the_width_and_what_goes_on_is_set_in() {
        assert_eq!(
            wrapped("one two three four\n  five six seven\n\nend", 11),
            "one two\n  three\n  four\n  five six\n    seven\n\nend"
        );
    }

    #[test]
    fn a_long_word_stays_whole_and_a_wide_one_takes_its_room() {
        assert_eq!(
            wrapped("a /very/long/path b", 8),
            "a\n  /very/long/path\n  b"
        );
        assert_eq!(wrapped("日本 日本", 8), "日本\n  日本");
        assert_eq!(wrapped("é é é é", 7), "é é é é");
    }

    #[test]
    fn styles_take_no_room() {
        let styled = "\u{1b}[1mone\u{1b}[0m two";
        assert_eq!(wrapped(styled, 7), styled);
    }
}
