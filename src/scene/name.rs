//! Names of sites and subjects.

use super::value_error::ValueError;
use crate::plain_words::{is_blank, is_unprintable};

/// The longest name, characters.
pub(crate) const LONGEST_NAME: usize = 80;
/// The longest notes, characters.
pub(crate) const LONGEST_NOTES: usize = 2000;
/// Characters that spreadsheets take for the start of a formula. They may first
/// turn the wide and the small forms of those signs into the plain ones
/// (Unicode 16.0, compatibility decompositions).
const FORMULA_SIGNS: [char; 12] = [
    '=', '+', '-', '@', '＝', '＋', '－', '＠', '﹦', '﹢', '﹣', '﹫',
];
const EXPECTED: &str = "printable text of at most 80 characters that does not begin with = + - @";

/// Whether a spreadsheet takes a text that begins so for a formula.
pub(crate) fn is_formula_sign(character: char) -> bool {
    FORMULA_SIGNS.contains(&character)
}

/// `text` if it is fit to be a name: printable, at most 80 characters, not
/// empty, something to see, no space at its ends, and not beginning with `=`,
/// `+`, `-` or `@` of any width, which spreadsheets take for formulas.
pub(crate) fn check_name(text: &str) -> Result<String, ValueError> {
    let refuse = || ValueError::new(text, EXPECTED);
    if text.trim() != text {
        return Err(refuse().with_remedy("remove the spaces at its ends"));
    }
    let count = text.chars().count();
    if count > LONGEST_NAME {
        return Err(refuse().with_remedy(format!("it has {count} characters: shorten it")));
    }
    if text.is_empty() {
        return Err(refuse().with_remedy("give it a name"));
    }
    if let Some(first) = formula_sign(text) {
        let remedy =
            format!("take the {first} from its start: a spreadsheet would run it as a formula");
        return Err(refuse().with_remedy(remedy));
    }
    if let Some(hidden) = text.chars().find(|character| is_unprintable(*character)) {
        let remedy = format!("take the character {} out", hidden.escape_default());
        return Err(refuse().with_remedy(remedy));
    }
    if text.chars().all(is_blank) {
        let escaped = text.escape_default().to_string();
        let error = ValueError::new(&escaped, EXPECTED);
        return Err(error.with_remedy("give it a visible name"));
    }
    Ok(text.to_owned())
}

/// The sign at the start of a text that spreadsheets take for a formula.
pub(crate) fn formula_sign(text: &str) -> Option<char> {
    let first = text.chars().next();
    first.filter(|first| is_formula_sign(*first))
}

/// Free text, with line breaks and tabs turned into single spaces.
pub(crate) fn check_notes(text: &str) -> Result<String, ValueError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let line = words.join(" ");
    let refuse = || ValueError::new(text, "printable text of at most 2000 characters");
    let count = line.chars().count();
    if count > LONGEST_NOTES {
        return Err(refuse().with_remedy(format!("it has {count} characters: shorten it")));
    }
    if let Some(hidden) = line.chars().find(|character| is_unprintable(*character)) {
        let remedy = format!("take the character {} out", hidden.escape_default());
        return Err(refuse().with_remedy(remedy));
    }
    Ok(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_printable_and_no_formulas() {
        assert_eq!(
            check_name("Zürcher Höhe 2 (West)"),
            Ok("Zürcher Höhe 2 (West)".to_owned())
        );
        assert!(check_name(&"é".repeat(80)).is_ok());
        for good in ["❤\u{fe0f}", "1＝1", "한글", "⠇⠀⠇"] {
            assert!(check_name(good).is_ok(), "{good}");
        }
        for bad in [
            "",
            " a",
            "a ",
            "=1+1",
            "+a",
            "-a",
            "@a",
            "a\nb",
            "a\u{1b}[0m",
            "a\u{202e}b",
            "a\u{fffe}",
            "a\u{ffff}b",
            "\u{fdd0}a",
            "a\u{10ffff}",
            "\u{3164}",
            "\u{2800}\u{2800}",
            "\u{fe0f}",
            "\u{e0100}\u{ffa0}",
            "＝1+1",
            "＋1",
            "－1",
            "＠A1",
            "﹦1",
        ] {
            assert!(check_name(bad).is_err(), "{bad:?}");
        }
        assert!(check_name(&"é".repeat(81)).is_err());
    }

    #[test]
    fn notes_become_one_line() {
        assert_eq!(check_notes("a\n  b\tc\r\n"), Ok("a b c".to_owned()));
        assert!(check_notes("a\u{7}b").is_err());
        assert!(check_notes("a\u{ffff}b").is_err());
        assert!(check_notes(&"x".repeat(2001)).is_err());
    }
}
