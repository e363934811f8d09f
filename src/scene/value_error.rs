//! What is wrong with one value, wherever it was typed.

use crate::plain_words::push_printable;
use std::fmt::{self, Display, Formatter};

/// The most characters of the input that an error repeats.
const SHOWN_CHARACTERS: usize = 60;
/// The longest advice, characters: room for a list of all keys.
const LONGEST_REMEDY: usize = 500;

/// Why a value is refused: what was found, what was expected, how to fix it.
///
/// Every option, site key, table field and brief key is checked by the code
/// that makes these; the reader of a file adds the place (see
/// `Fault`).
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ValueError {
    /// The value as found, shortened, control characters escaped, in quotes
    /// where it has a blank at an end.
    pub found: String,
    /// What would have been right.
    pub expected: String,
    /// How to fix it, if that is known.
    pub remedy: Option<String>,
}

impl ValueError {
    /// An error about `found` (raw text: it is shortened and escaped here).
    pub fn new(found: &str, expected: impl Into<String>) -> Self {
        Self {
            found: if found.starts_with(' ') || found.ends_with(' ') {
                // A blank at an end would be lost in the sentence.
                format!("\"{}\"", shown(found))
            } else {
                shown(found)
            },
            expected: expected.into(),
            remedy: None,
        }
    }

    /// The same error with advice; advice longer than some lines, such as one
    /// that repeats a number of a thousand digits, is left out.
    #[must_use]
    pub fn with_remedy(self, remedy: impl Into<String>) -> Self {
        Self {
            remedy: None,
            ..self
        }
        .with_hint(Some(remedy.into()))
    }

    /// The same error with advice where there is any.
    #[must_use]
    pub(crate) fn with_hint(mut self, remedy: Option<String>) -> Self {
        let remedy = remedy.filter(|remedy| remedy.chars().count() <= LONGEST_REMEDY);
        self.remedy = self.remedy.or(remedy);
        self
    }
}

impl Display for ValueError {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        write!(f, "found {}, expected {}", self.found, self.expected)?;
        match &self.remedy {
            Some(remedy) => write!(f, "; {remedy}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for ValueError {}

/// `text` made fit for a one-line message: at most some 60 characters, control
/// and direction-changing characters escaped; "nothing" when empty.
pub fn shown(text: &str) -> String {
    if text.is_empty() {
        return "nothing".to_owned();
    }
    let mut line = String::new();
    for (count, character) in text.chars().enumerate() {
        if count == SHOWN_CHARACTERS {
            line.push_str("...");
            break;
        }
        push_printable(&mut line, character);
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_text_is_cut_and_control_characters_are_escaped() {
        assert_eq!(shown(""), "nothing");
        assert_eq!(shown("a\u{1b}[31m\nb"), "a\\u{1b}[31m\\nb");
        assert_eq!(shown("\u{202e}x"), "\\u{202e}x");
        assert_eq!(shown(&"é".repeat(60)), "é".repeat(60));
        assert_eq!(shown(&"é".repeat(61)), format!("{}...", "é".repeat(60)));
    }

    #[test]
    fn a_blank_at_an_end_is_seen() {
        let told = |found| ValueError::new(found, "a name").to_string();
        assert_eq!(told(" A "), "found \" A \", expected a name");
        assert_eq!(told("A B"), "found A B, expected a name");
    }
}
