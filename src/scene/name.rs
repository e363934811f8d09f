//! Names of sites and subjects.

use super::value_error::{ValueError, is_unprintable};

const LONGEST: usize = 80;
/// What spreadsheets take for the beginning of a formula.
const FORMULA_SIGNS: [char; 4] = ['=', '+', '-', '@'];
const EXPECTED: &str = "printable text of at most 80 characters that does not begin with = + - @";

/// `text` if it is fit to be a name: printable, at most 80 characters, not
/// empty, no space at its ends, and not beginning with `=`, `+`, `-` or `@`,
/// which spreadsheets take for formulas.
pub(super) fn check_name(text: &str) -> Result<String, ValueError> {
    let refuse = || ValueError::new(text, EXPECTED);
    if text.trim() != text {
        return Err(refuse().with_remedy("take the space from its ends"));
    }
    let count = text.chars().count();
    if count > LONGEST {
        return Err(refuse().with_remedy(format!("it has {count} characters: shorten it")));
    }
    if text.is_empty() {
        return Err(refuse().with_remedy("give it a name"));
    }
    if let Some(first) = text
        .chars()
        .next()
        .filter(|first| FORMULA_SIGNS.contains(first))
    {
        let remedy = format!("take the {first} from its front: spreadsheets run such a name");
        return Err(refuse().with_remedy(remedy));
    }
    if let Some(hidden) = text.chars().find(|character| is_unprintable(*character)) {
        let remedy = format!("take the character {} out", hidden.escape_default());
        return Err(refuse().with_remedy(remedy));
    }
    Ok(text.to_owned())
}

/// Free words, their line breaks and tabs turned into single spaces.
pub(super) fn check_notes(text: &str) -> Result<String, ValueError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let line = words.join(" ");
    let refuse = || ValueError::new(text, "printable text of at most 2000 characters");
    let count = line.chars().count();
    if count > 2000 {
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
        ] {
            assert!(check_name(bad).is_err(), "{bad:?}");
        }
        assert!(check_name(&"é".repeat(81)).is_err());
    }

    #[test]
    fn notes_become_one_line() {
        assert_eq!(check_notes("a\n  b\tc\r\n"), Ok("a b c".to_owned()));
        assert!(check_notes("a\u{7}b").is_err());
        assert!(check_notes(&"x".repeat(2001)).is_err());
    }
}
