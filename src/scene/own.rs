//! What people keep beside a site that means nothing to this program: guide,
//! permit, parking. It is passed through as it is.

use super::name::{check_name, formula_sign};
use super::value_error::ValueError;
use crate::plain_words::is_unprintable;

/// The most values of one's own that a site can have.
pub(crate) const MOST_OWN: usize = 50;
/// The longest name of one, characters: longer ones are no names of columns,
/// and are not compared with those of the program.
const LONGEST_NAME: usize = 60;
/// The longest of one, characters.
const LONGEST_TEXT: usize = 500;
/// All of a site together, bytes, names included: each record repeats them.
const LARGEST_BYTES: usize = 8000;

/// Values of the user's own, by name, in the order in which they were given;
/// as they were written.
///
/// # Example
///
/// ```
/// use rakelight::parse_site;
/// use std::path::Path;
/// let text = "latitude_deg = 0.4\nlongitude_deg = 6.5\n[own]\nguide = \"Mara\"\nbeds = 4\n";
/// let site = parse_site("point.toml", text, Path::new(""))?;
/// assert_eq!(site.own.get("guide"), Some("Mara"));
/// assert_eq!(site.own.get("beds"), Some("4"));
/// # Ok::<(), rakelight::Faults>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OwnValues(Vec<(String, String)>);

impl OwnValues {
    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The value of a name.
    pub fn get(&self, name: &str) -> Option<&str> {
        let of_name = self.0.iter().find(|(known, _)| known == name);
        of_name.map(|(_, value)| value.as_str())
    }

    /// Each name with its value.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// Adds a value, or replaces the one of that name.
    ///
    /// # Errors
    ///
    /// A name or a value that cannot be passed through, and too many.
    pub(crate) fn set(&mut self, name: &str, value: &str) -> Result<(), ValueError> {
        let name = check_own_name(name)?;
        let value = check_own_text(value)?;
        match self.0.iter_mut().find(|(known, _)| *known == name) {
            Some((_, old)) => *old = value,
            None => self.0.push((name, value)),
        }
        self.check_size()
    }

    /// These values, and those of `other` that have other names.
    pub(crate) fn or(mut self, other: &Self) -> Self {
        let mut whole = other.clone();
        for (name, value) in self.0.drain(..) {
            match whole.0.iter_mut().find(|(known, _)| *known == name) {
                Some((_, old)) => *old = value,
                None => whole.0.push((name, value)),
            }
        }
        whole
    }

    fn check_size(&self) -> Result<(), ValueError> {
        if self.0.len() > MOST_OWN {
            return Err(too_many(self.0.len()));
        }
        let bytes: usize = self
            .iter()
            .map(|(name, value)| name.len() + value.len())
            .sum();
        if bytes > LARGEST_BYTES {
            let expected = format!("at most {LARGEST_BYTES} bytes of one's own at a site");
            return Err(ValueError::new(&format!("{bytes} bytes"), expected)
                .with_remedy("shorten the values, or keep long ones in notes"));
        }
        Ok(())
    }
}

/// The error for too many names.
pub(crate) fn too_many(count: usize) -> ValueError {
    let expected = format!("at most {MOST_OWN} columns of one's own");
    ValueError::new(&count.to_string(), expected).with_remedy("take some out")
}

/// `name` if it can be that of a column.
pub(crate) fn check_own_name(name: &str) -> Result<String, ValueError> {
    let name = check_name(name)?;
    let count = name.chars().count();
    if count > LONGEST_NAME {
        let expected = format!("a name of at most {LONGEST_NAME} characters");
        return Err(ValueError::new(&name, expected)
            .with_remedy(format!("it has {count} characters: shorten it")));
    }
    Ok(name)
}

/// `text` on one line if it can be passed through: printable, not too long, and
/// nothing that a spreadsheet would run as a formula. A number with its sign,
/// and of a telephone, is none.
fn check_own_text(text: &str) -> Result<String, ValueError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let line = words.join(" ");
    let expected =
        || format!("printable text of at most {LONGEST_TEXT} characters that is no formula");
    let refuse = || ValueError::new(text, expected());
    let count = line.chars().count();
    if count > LONGEST_TEXT {
        return Err(refuse().with_remedy(format!("it has {count} characters: shorten it")));
    }
    if let Some(hidden) = line.chars().find(|character| is_unprintable(*character)) {
        let remedy = format!("take the character {} out", hidden.escape_default());
        return Err(refuse().with_remedy(remedy));
    }
    match formula_sign(&line) {
        Some('+' | '-') if line.chars().skip(1).all(is_of_a_number) => Ok(line),
        Some(sign) => Err(refuse().with_remedy(format!(
            "take the {sign} from its start: a spreadsheet would run it as a formula"
        ))),
        None => Ok(line),
    }
}

/// Without letters no cell, no function and no command can be named.
fn is_of_a_number(character: char) -> bool {
    character.is_ascii_digit() || matches!(character, ' ' | '.' | ',' | '(' | ')' | '/' | '-')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_refused_and_numbers_with_a_sign_are_not() {
        for good in [
            "Mara",
            "-5",
            "+41 79 123 45 67",
            "+1 (555) 123-4567",
            "a=b",
            "1,5",
            "",
            "\u{2212}4",
        ] {
            assert_eq!(check_own_text(good), Ok(good.to_owned()), "{good}");
        }
        assert_eq!(check_own_text("a\n b"), Ok("a b".to_owned()));
        for bad in [
            "=1",
            "-A1",
            "+cmd|' /C calc'!A0",
            "@SUM(1)",
            "\u{ff1d}1",
            "\u{ff0b}1",
            "a\u{7}",
            "a\u{202e}b",
        ] {
            assert!(check_own_text(bad).is_err(), "{bad:?}");
        }
        assert!(check_own_text(&"x".repeat(501)).is_err());
    }

    #[test]
    fn there_is_an_end_to_them() {
        let mut own = OwnValues::default();
        for number in 0..50 {
            assert_eq!(own.set(&format!("n{number}"), "x"), Ok(()));
        }
        assert!(own.set("n50", "x").is_err());
        let mut own = OwnValues::default();
        let long = "x".repeat(500);
        for number in 0..15 {
            assert_eq!(own.set(&format!("n{number}"), &long), Ok(()));
        }
        assert!(own.set("n15", &long).is_err());
    }
}
