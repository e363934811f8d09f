//! Text from outside, from a stranger or from the system, made fit for a
//! one-line message.

use std::{
    io::{self, ErrorKind},
    path::Path,
};

/// The whole `text`, with control characters, direction-changing characters and
/// non-characters escaped, so that it neither breaks its line nor controls a
/// terminal.
pub fn printable(text: &str) -> String {
    let mut line = String::with_capacity(text.len());
    for character in text.chars() {
        push_printable(&mut line, character);
    }
    line
}

/// The whole path, as [`printable`] text: a path that is cut is useless.
pub fn printable_path(path: &Path) -> String {
    printable(&path.display().to_string())
}

/// Adds one character to a line, escaped if it has no visible form.
pub(crate) fn push_printable(line: &mut String, character: char) {
    if is_unprintable(character) {
        line.extend(character.escape_default());
    } else {
        line.push(character);
    }
}

/// Whether a character has no visible form of its own: control characters,
/// line and paragraph separators, marks that turn the writing direction or
/// hide in the text (Unicode general categories Cc, Zl, Zp and part of Cf), and
/// the 66 non-characters (Unicode 16.0, section 23.7), some of which XML
/// refuses.
pub(crate) fn is_unprintable(character: char) -> bool {
    character.is_control()
        || u32::from(character) & 0xfffe == 0xfffe
        || matches!(character,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
            | '\u{fdd0}'..='\u{fdef}' | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}')
}

/// Whether a character alone shows nothing: what [`is_unprintable`] covers,
/// white space, the fillers of Hangul, the empty Braille pattern, joiners and
/// variation selectors (Unicode 16.0, property `Default_Ignorable_Code_Point`,
/// and U+2800).
pub(crate) fn is_blank(character: char) -> bool {
    is_unprintable(character)
        || character.is_whitespace()
        || matches!(character,
            '\u{34f}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{2800}' | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}' | '\u{ffa0}' | '\u{fff0}'..='\u{fff8}'
            | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0080}'..='\u{e0fff}')
}

/// The system's message, without its number.
pub fn system_words(error: &io::Error) -> String {
    if error.kind() == ErrorKind::InvalidFilename {
        return "a file name that is too long or not allowed".to_owned();
    }
    let told = error.to_string();
    told.split(" (os error")
        .next()
        .unwrap_or_default()
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_non_characters_are_unprintable() {
        let count = ('\0'..=char::MAX)
            .filter(|c| {
                let place = u32::from(*c);
                place % 0x1_0000 >= 0xfffe || (0xfdd0..=0xfdef).contains(&place)
            })
            .inspect(|c| assert!(is_unprintable(*c), "{}", c.escape_unicode()))
            .count();
        // The Unicode Standard counts them: two in each of 17 planes, and 32.
        assert_eq!(count, 66);
        for seen in [
            'a',
            'é',
            '北',
            '\u{fffd}',
            '\u{fdcf}',
            '\u{fdf0}',
            '\u{10fffd}',
        ] {
            assert!(!is_unprintable(seen), "{}", seen.escape_unicode());
        }
    }

    #[test]
    fn a_path_stays_on_its_line() {
        let path = Path::new("a\u{1b}[31m\nb");
        assert_eq!(printable_path(path), "a\\u{1b}[31m\\nb");
    }

    #[test]
    #[cfg(unix)]
    fn the_number_of_the_system_stays_inside() {
        // errno(3): 40 is too many links, 36 a name too long, on Linux.
        for number in [5, 36, 40] {
            let words = system_words(&io::Error::from_raw_os_error(number));
            assert!(!words.contains("os error") && !words.is_empty(), "{words}");
        }
    }
}
