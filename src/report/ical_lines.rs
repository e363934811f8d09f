//! Content lines of iCalendar (RFC 5545): escaped, folded, and ended by CR LF.

use chrono::{DateTime, Utc};

/// Most octets of a line without its end (RFC 5545, section 3.1).
const LONGEST: usize = 75;

/// Lines of a calendar, in the order they were added.
#[derive(Debug, Default)]
pub(super) struct ContentLines {
    text: String,
}

impl ContentLines {
    /// Adds a property whose value is written as it is: a word of the standard, a
    /// number, a list of numbers. It must not hold a line break.
    pub(super) fn value(&mut self, name: &str, value: &str) {
        let mut line = String::with_capacity(LONGEST);
        for character in name.chars().chain([':']).chain(value.chars()) {
            if line.len() + character.len_utf8() > LONGEST {
                // Some readers drop blanks at the end of a line before they
                // join it with its rest, so these go over.
                let kept = match line.trim_end() {
                    // Nothing but blanks, or nearly: they stay.
                    word if 2 * word.len() < line.len() => line.as_str(),
                    word => word,
                };
                self.text.push_str(kept);
                self.text.push_str("\r\n");
                // The space that opens the rest of a line counts too.
                line = format!(" {}", &line[kept.len()..]);
            }
            line.push(character);
        }
        self.text.push_str(&line);
        self.text.push_str("\r\n");
    }

    /// Adds a property of free text. Control characters become spaces, except
    /// for line feeds.
    pub(super) fn text(&mut self, name: &str, text: &str) {
        self.value(name, &escaped(text));
    }

    /// Adds a property of an instant, in UTC and whole seconds (RFC 5545,
    /// section 3.3.5, form 2).
    pub(super) fn instant(&mut self, name: &str, instant: DateTime<Utc>) {
        self.value(name, &instant.format("%Y%m%dT%H%M%SZ").to_string());
    }

    /// The lines as one text.
    pub(super) fn into_text(self) -> String {
        self.text
    }
}

/// A text as a value of type TEXT (RFC 5545, section 3.3.11), which must not
/// contain control characters.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len() + 8);
    for character in text.chars() {
        match character {
            '\\' | ';' | ',' => escaped.extend(['\\', character]),
            '\n' => escaped.push_str("\\n"),
            control if control.is_control() => escaped.push(' '),
            plain => escaped.push(plain),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn note(text: &str) -> String {
        let mut lines = ContentLines::default();
        lines.text("NOTE", text);
        lines.into_text()
    }

    proptest! {
        // Texts of characters that a writer may get wrong, and of any others.
        // tests/calendar/read_back.rs checks that they read back the same.
        #[test]
        fn lines_are_short_and_hold_no_control_character(
            text in r#"([\\;,:"=\n nN\t\r\x00\x7f\u{85}é老🌌]|\PC|.){0,250}"#,
        ) {
            let lines = note(&text);
            for line in lines.strip_suffix("\r\n").expect("an end").split("\r\n") {
                prop_assert!(line.len() <= LONGEST, "{} octets: {line}", line.len());
                prop_assert!(!line.contains(char::is_control), "{line:?}");
            }
        }
    }

    #[test]
    fn a_line_is_folded_after_75_octets_and_between_characters() {
        // With "NOTE:" before them, 70 octets fill a line.
        let full = "x".repeat(70);
        assert_eq!(note(&full), format!("NOTE:{full}\r\n"));
        assert_eq!(
            note(&format!("{full}yz")),
            format!("NOTE:{full}\r\n yz\r\n")
        );
        let nearly = "x".repeat(69);
        assert_eq!(
            note(&format!("{nearly}éa")),
            format!("NOTE:{nearly}\r\n éa\r\n")
        );
        let second = "y".repeat(74);
        assert_eq!(
            note(&format!("{full}{second}z")),
            format!("NOTE:{full}\r\n {second}\r\n z\r\n")
        );
    }

    #[test]
    fn no_line_ends_in_a_blank_where_it_can_end_elsewhere() {
        let word = "x".repeat(68);
        assert_eq!(
            note(&format!("{word}  yz")),
            format!("NOTE:{word}\r\n   yz\r\n")
        );
        // Blanks alone fill a line all the same.
        let blanks = " ".repeat(200);
        let lines = note(&blanks);
        assert_eq!(lines.replace("\r\n ", ""), format!("NOTE:{blanks}\r\n"));
        let lines = note(&format!("{}y{}🌌", "x".repeat(70), " ".repeat(73)));
        assert!(lines.lines().all(|line| line.len() <= LONGEST), "{lines}");
    }

    #[test]
    fn text_is_escaped_and_a_list_of_numbers_is_not() {
        // The example of RFC 5545, section 3.3.11.
        let text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        let value = r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        assert_eq!(note(text), format!("NOTE:{value}\r\n"));
        assert_eq!(note(r"C:\a;b,c"), "NOTE:C:\\\\a\\;b\\,c\r\n");
        assert_eq!(note("a\rb\u{7}c\nd"), "NOTE:a b c\\nd\r\n");
        let mut lines = ContentLines::default();
        // The example of RFC 5545, section 3.8.1.6.
        lines.value("GEO", "37.386013;-122.082932");
        assert_eq!(lines.into_text(), "GEO:37.386013;-122.082932\r\n");
    }
}
