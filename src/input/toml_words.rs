//! What is wrong with the form of a TOML text, in our own words: a parser says
//! what it expected, not what to do.

use crate::scene::ValueError;
use crate::scene::number::{number, number_hint};

/// A fault of form.
pub(crate) struct Break<'a> {
    /// What the parser says.
    pub message: &'a str,
    /// The text at the fault.
    pub found: &'a str,
    /// The whole line.
    pub line: &'a str,
    /// Whether nothing follows.
    pub at_end: bool,
}

const PAIR: &str = "key = value";

/// The error for it: what was found, what was expected, how to fix it.
pub(crate) fn form_error(broken: &Break<'_>) -> ValueError {
    let (expected, remedy) = words(broken);
    let alone = broken.message.starts_with("carriage return");
    let found = match (broken.found, broken.at_end) {
        _ if alone => "a carriage return without a line feed",
        ("", true) => "the end of the file",
        ("", false) => "the end of the line",
        (found, _) => found,
    };
    ValueError::new(found, expected).with_hint(remedy)
}

fn words(broken: &Break<'_>) -> (&'static str, Option<String>) {
    let (what, wanted) = match broken.message.split_once(", expected ") {
        Some((what, wanted)) => (what, wanted),
        None => (broken.message, ""),
    };
    let fixed = |expected, remedy: &str| (expected, Some(remedy.to_owned()));
    match what {
        "duplicate key" => fixed(
            "each key and each table once",
            "it stands above already: keep one of the two",
        ),
        _ if what.starts_with("cannot extend value") => fixed(
            "a key that has no value yet",
            "it has one above: keep one of the two",
        ),
        "carriage return must be followed by newline" => fixed(
            "lines that end as on Unix or Windows",
            "save the file with such line endings",
        ),
        "cannot recurse further; max recursion depth met" | "recursion limit" => {
            fixed("fewer levels of nesting", "look for extra brackets or dots")
        }
        "invalid comment character" => printable(),
        _ if what.starts_with("invalid") && wanted.contains("visible") => printable(),
        _ if what.starts_with("invalid multi-line") => fixed(
            "three quotation marks at the end of the text",
            "close the quotation marks",
        ),
        "invalid basic string" => fixed("a closing quotation mark \"", "close the quotation mark"),
        "invalid literal string" => fixed("a closing quotation mark '", "close the quotation mark"),
        "missing escaped value" => fixed(
            "an escape such as \\n or \\u00e9 after the backslash",
            "in a path write / for \\, or put the text between single quotes",
        ),
        "too few unicode value digits" | "invalid value" => fixed(
            "the digits of a character, as in \\u00e9",
            "or type the character itself",
        ),
        "unclosed array" => fixed("a closing ]", "close the list"),
        "missing comma between array elements" => {
            fixed("a comma", "put commas between the values of a list")
        }
        "extra comma in array" | "extra comma in inline table" => {
            fixed("a value", "take the comma out")
        }
        "unclosed table" | "unclosed array table" => {
            fixed("a closing ]", "close the name of the table")
        }
        "unclosed inline table" => fixed("a closing }", "close the table"),
        "extra `=`" | "extra assignment between key-value pairs" => {
            fixed("one = sign", "take one of them out")
        }
        _ if is_about_a_key(what) => (PAIR, Some(pair_remedy(broken))),
        _ => value_words(broken, what),
    }
}

fn printable() -> (&'static str, Option<String>) {
    let remedy = "take the character out";
    ("printable text", Some(remedy.to_owned()))
}

fn is_about_a_key(what: &str) -> bool {
    matches!(
        what,
        "key with no value"
            | "unquoted keys cannot be empty"
            | "invalid key-value pair"
            | "invalid unquoted key"
            | "missing assignment between key-value pairs"
            | "missing key for inline table element"
            | "invalid inline table element"
            | "missing value for key"
    )
}

fn pair_remedy(broken: &Break<'_>) -> String {
    let line = broken.line.trim();
    let before_equals = line.split_once('=').map(|(key, _)| key.trim());
    match before_equals {
        _ if line.starts_with('{') => "a site file is TOML, not JSON: latitude_deg = -31.4",
        Some("") => "write the key before the = sign",
        Some(key) if key.contains(' ') => "a key has no spaces in it: write _ for them",
        Some(_) => "write keys in the letters a to z, digits and _",
        None if line.contains(':') => "write = instead of :",
        None if line.contains(',') => "a table of sites has a name that ends in .csv",
        None => "begin a comment with #",
    }
    .to_owned()
}

/// What is wrong with a value.
fn value_words(broken: &Break<'_>, what: &str) -> (&'static str, Option<String>) {
    let value = broken.line.split_once('=').map_or("", |(_, value)| value);
    let value = value.split('#').next().unwrap_or_default().trim();
    let is_text = |value: &str| value.starts_with(['"', '\'', '[', '{']);
    let expected = match what {
        "unexpected key or value" | "unexpected content" => "the end of the line",
        _ => "a value",
    };
    let decimal = || number_hint(value, |_| true).filter(|_| !is_text(value));
    let apart = "put each key on a line of its own";
    let remedy = if value.is_empty() {
        "write one after the = sign".to_owned()
    } else if value.contains("..") && !is_text(value) {
        format!(
            "a band goes in quotes: write \"{}\"",
            crate::scene::shown(value)
        )
    } else if value.contains(['\u{b0}', '\u{ba}', '\'']) && !is_text(value) {
        "write decimal degrees as a number alone, south and west negative".to_owned()
    } else if value.contains('=') {
        apart.to_owned()
    } else if let Some(remedy) = decimal() {
        remedy
    } else if expected == "the end of the line" {
        apart.to_owned()
    } else if let Some(plain) = plain_number(value) {
        format!("write {plain}")
    } else if broken.found.split_whitespace().count() > 1
        && broken
            .found
            .split_whitespace()
            .all(|part| number(part).is_some())
    {
        "put commas between the values of a list".to_owned()
    } else {
        "put text in quotes".to_owned()
    };
    (expected, Some(remedy))
}

/// The number meant by one that TOML does not accept: `.5`, `5.`, `007`, `--5`,
/// `1__000`.
fn plain_number(value: &str) -> Option<String> {
    if !value.contains(|character: char| character.is_ascii_digit()) {
        return None;
    }
    let bare = value.trim_start_matches(['+', '-']);
    let sign = if value.starts_with('-') { "-" } else { "" };
    let digits = bare.replace('_', "");
    let digits = match digits.trim_start_matches('0') {
        rest if rest.starts_with('.') || rest.is_empty() => format!("0{rest}"),
        rest => rest.to_owned(),
    };
    let digits = digits.strip_suffix('.').unwrap_or(&digits);
    let plain = format!("{sign}{digits}");
    number(&plain).map(|_| plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_toml_does_not_take_are_written_out() {
        for (typed, plain) in [
            (".5", "0.5"),
            ("-.5", "-0.5"),
            ("5.", "5"),
            ("007", "7"),
            ("00", "0"),
            ("--5", "-5"),
            ("1__000", "1000"),
        ] {
            assert_eq!(plain_number(typed).as_deref(), Some(plain));
        }
        for typed in ["", "five", "2027-13-45", "1.2.3"] {
            assert_eq!(plain_number(typed), None, "{typed}");
        }
    }

    /// If a later parser changes a message, the error still has a remedy.
    #[test]
    fn unknown_words_of_the_parser_stay_inside() {
        let broken = Break {
            message: "flux not aligned, expected capacitor",
            found: "x",
            line: "notes = x",
            at_end: false,
        };
        assert_eq!(
            form_error(&broken).to_string(),
            "found x, expected a value; put text in quotes"
        );
    }
}
