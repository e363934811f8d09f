//! Text broken into lines.

use super::emphasis::{FAINT, STRONG};
use std::{
    collections::{BTreeMap, BTreeSet},
    io::{self, Write},
};
use unicode_width::UnicodeWidthStr;

/// Writes `text` in lines of at most `width` columns if its words allow, with
/// `first` before the first line and as much space before the others.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_wrapped(
    out: &mut impl Write,
    first: &str,
    text: &str,
    width: usize,
) -> io::Result<()> {
    let indent = first.width();
    write!(out, "{first}")?;
    let mut at = indent;
    let mut fresh = true;
    for word in text.split_whitespace() {
        if !fresh && at + 1 + word.width() > width {
            write!(out, "\n{:indent$}", "")?;
            at = indent;
            fresh = true;
        }
        if !fresh {
            write!(out, " ")?;
            at += 1;
        }
        write!(out, "{word}")?;
        at += word.width();
        fresh = false;
    }
    writeln!(out)
}

/// Writes a line that begins with `strong`, emphasised, and goes on with `rest`,
/// in lines of at most `width` columns where its words allow.
pub(super) fn write_head(
    out: &mut impl Write,
    strong: &str,
    rest: &str,
    width: usize,
) -> io::Result<()> {
    let mut at = 0;
    // Blanks inside stay as they are where the line goes on.
    let mut owed = String::new();
    for (text, style) in [(strong, STRONG), (rest, FAINT)] {
        for piece in text.split_inclusive(' ') {
            let word = piece.trim_end_matches(' ');
            if !word.is_empty() && at > 0 && at + owed.len() + word.width() > width {
                writeln!(out)?;
                at = 0;
                owed.clear();
            }
            if !word.is_empty() {
                write!(out, "{style}{owed}{word}{style:#}")?;
                at += owed.len() + word.width();
                owed.clear();
            }
            owed.push_str(&" ".repeat(piece.len() - word.len()));
        }
    }
    writeln!(out)
}

/// Writes a note under a table, in lines of at most `width` columns.
pub(super) fn write_note(out: &mut impl Write, note: &str, width: usize) -> io::Result<()> {
    let mut lines = Vec::new();
    write_wrapped(&mut lines, "", note, width)?;
    for line in String::from_utf8_lossy(&lines).lines() {
        writeln!(out, "{FAINT}{line}{FAINT:#}")?;
    }
    Ok(())
}

/// Each name cut to `most` characters, or to more if two names would otherwise
/// read the same.
pub(super) fn shortened_apart<'a>(names: &[&'a str], most: usize) -> BTreeMap<&'a str, String> {
    let names: BTreeSet<&str> = names.iter().copied().collect();
    let longest = names.iter().map(|name| name.chars().count()).max();
    let longest = longest.unwrap_or_default();
    let cut = |most: usize| names.iter().map(move |name| (*name, shortened(name, most)));
    let apart = |most: &usize| {
        cut(*most)
            .map(|(_, text)| text)
            .collect::<BTreeSet<_>>()
            .len()
    };
    let most = (most.min(longest)..=longest).find(|most| apart(most) == names.len());
    cut(most.unwrap_or(longest)).collect()
}

/// Each name cut to `most` characters: at its end, or in its middle where the
/// names read the same up to there; `None` if two would read the same however
/// they are cut.
pub(super) fn shortened_within<'a>(
    names: &[&'a str],
    most: usize,
) -> Option<BTreeMap<&'a str, String>> {
    let names: BTreeSet<&str> = names.iter().copied().collect();
    let kept = most.saturating_sub(1);
    let cut = |name: &str, tail: usize| match name.chars().count() {
        count if count <= most => name.to_owned(),
        count => {
            let head: String = name.chars().take(kept.saturating_sub(tail)).collect();
            let tail: String = name.chars().skip(count - tail.min(count)).collect();
            format!("{}…{}", head.trim_end(), tail.trim_start())
        }
    };
    // A few words of the end tell more than its last letter.
    let tails = [0].into_iter().chain(most / 3..most).chain(1..most / 3);
    tails.into_iter().find_map(|tail| {
        let short: BTreeMap<&str, String> =
            names.iter().map(|name| (*name, cut(name, tail))).collect();
        let apart: BTreeSet<&String> = short.values().collect();
        (apart.len() == names.len()).then_some(short)
    })
}

/// A name cut to `most` characters.
pub(super) fn shortened(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_string();
    }
    let kept: String = name.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_cut_where_they_stay_apart() {
        let cut = |names: &[&str], most: usize| -> Option<Vec<String>> {
            shortened_within(names, most).map(|short| short.into_values().collect())
        };
        let gates = ["yards, first gate", "yards, second gate"];
        let told = |texts: &[&str]| Some(texts.iter().map(|&text| text.to_owned()).collect());
        assert_eq!(cut(&gates, 18), told(&gates));
        assert_eq!(cut(&gates, 9), told(&["yards, f…", "yards, s…"]));
        assert_eq!(
            cut(&["abcdef one", "abcdef two"], 6),
            told(&["abc…ne", "abc…wo"])
        );
        assert_eq!(cut(&["aaaa1bbbb", "aaaa2bbbb"], 4), None);
        assert_eq!(cut(&["é", "è"], 1), told(&["è", "é"]));
        assert_eq!(cut(&[], 0), told(&[]));
    }

    #[test]
    fn lines_keep_the_width_and_long_words_stay_whole() {
        let mut out = Vec::new();
        write_wrapped(&mut out, "- ", "one two three unbreakable é", 9).expect("a vector");
        let text = String::from_utf8(out).expect("text");
        assert_eq!(text, "- one two\n  three\n  unbreakable\n  é\n");
    }
}
