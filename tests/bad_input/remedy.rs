//! What a message advises, typed in the place of what it found.

use crate::case::{Case, Given, parted};

/// A fault as a message tells it.
#[derive(Debug, PartialEq, Eq)]
pub struct Told {
    pub place: Place,
    pub found: String,
    pub expected: String,
    pub remedy: String,
}

#[derive(Debug, PartialEq, Eq)]
pub enum Place {
    /// The value of an option.
    Option(String),
    /// A place in a file; the column is none where a whole line is meant.
    File(String, usize, Option<usize>),
}

/// Words after which a message writes out what can be typed.
const TYPABLE: [&str; 3] = ["write ", "for example ", "did you mean "];

/// Words after which a message writes out a line that goes before the one told.
const LINE: &str = "begin with the line ";

/// Words that say that nothing near what was found is valid.
const NOTHING_NEAR: [&str; 2] = ["nothing near it is valid", "nan and inf are not accepted"];

/// Advice that names an act and no text; a test cannot do it by replacing one
/// text by another, or only by guessing what a person would choose.
const ACTS: &[(&str, &str)] = &[
    ("asked with --", "another option is meant"),
    ("ask once for each", "a question is asked in two runs"),
    (
        "ask for one kind after the other",
        "a question is asked in two runs",
    ),
    ("keep one --brief", "an option goes"),
    ("move them to a file for --base-brief", "a file is made"),
    ("for evenings ask with dates", "another key is meant"),
    ("export ", "the file is made again"),
    ("for any evening leave the rule out", "the option goes"),
    ("put the times into a table", "a file is made"),
    ("ask with --light any", "a question is asked in two runs"),
    ("put all its values behind", "two options become one"),
    ("add ", "what is added is the reader's to say"),
    ("begin a comment with #", "the text may be no remark"),
    ("begin the table with a line", "a whole line is added"),
    ("check ", "something else than the text is wrong"),
    ("keep position, or latitude_deg", "lines go"),
    ("choose ", "another option is meant"),
    ("close ", "where a text ends is the reader's to say"),
    ("is a directory", "another file is meant"),
    ("for any day leave the rule out", "the option goes"),
    ("for the whole night leave the rule out", "the option goes"),
    ("give ", "what is given is the reader's to say"),
    ("in a path write / for \\", "a form is told, not a value"),
    ("It belongs below a line", "a line is moved"),
    ("it has ", "how a text is shortened is the reader's to say"),
    ("it is column ", "a column of each row goes"),
    ("it is the same for every view", "a line is moved"),
    (" has it too", "what it is called is the reader's to say"),
    (
        "keep one of the two",
        "which one stays is the reader's to say",
    ),
    ("known here: ", "which key is meant is the reader's to say"),
    ("known keys: ", "which key is meant is the reader's to say"),
    ("latitude and longitude may be swapped", "two values change"),
    ("leave out", "which ones go is the reader's to say"),
    (
        "a field with a ",
        "which commas belong to a field is unknown",
    ),
    (
        "an empty field keeps its ",
        "which field is empty is unknown",
    ),
    ("look for ", "what is wrong lies elsewhere"),
    ("make ", "a whole line is added"),
    ("name a", "another file is meant"),
    (
        "give the zone of a city",
        "which city is the reader's to say",
    ),
    ("name the file", "which file is the reader's to say"),
    ("name it", "which name is the reader's to say"),
    ("name one", "another file is meant"),
    ("or type the character itself", "which character is unknown"),
    ("put the same sign between all", "a whole line changes"),
    ("open it in the spreadsheet", "another file is meant"),
    ("shorten the values", "which ones is the reader's to say"),
    ("take some out", "which ones go is the reader's to say"),
    (
        "put commas between the values of a list",
        "how many values is unknown",
    ),
    ("a table of sites has a name", "the file gets another name"),
    ("a table of sites is CSV", "the file gets another name"),
    ("put each key on a line", "a line is parted"),
    ("put each value in quotation marks", "a whole tag changes"),
    (
        "put a comma between the numbers",
        "which commas are decimal is unknown",
    ),
    ("a geometry is an object", "a form is told, not a value"),
    ("the file is cut off", "what is missing is unknown"),
    (
        "give the subject its own place",
        "where is the reader's to say",
    ),
    ("rename ", "the file gets another name"),
    ("save ", "the file is saved in another form"),
    ("take the c", "a part of the text goes"),
    ("take the line", "a line goes"),
    ("take the row out", "a line goes"),
    ("take one out", "which one goes is the reader's to say"),
    ("take one of them out", "a part of the text goes"),
    ("the days are ", "which day is the reader's to say"),
    (
        "the rules of the time zones are known",
        "which year is unknown",
    ),
    ("that day is not in the calendar", "which day is unknown"),
    (
        "that day was left out there",
        "which neighbour is the reader's to say",
    ),
    ("keep the meter reading, it says more", "a line goes"),
    ("unset it", "the environment is meant"),
    ("write [", "a line is added"),
    (
        "write it in quotes, as after the option",
        "a form is told, not a value",
    ),
];

/// Advice of a form, not of a value.
const FORMS: [&str; 9] = [
    "write = instead of :",
    "write _ for them",
    "write decimal degrees as a number alone",
    "write keys in the letters",
    "write numbers with a decimal point",
    "write one after the = sign",
    "write the key before the = sign",
    "write width, x, height",
    "is TOML, not JSON",
];

/// What is to be done about a fault.
#[derive(Debug)]
pub enum Remedy {
    /// These texts, each for the text found or for the part named.
    Typed(Vec<(String, Option<String>)>),
    /// Nothing: the message says that nothing near is valid, or what is valid.
    Nothing,
    /// An act that a person does.
    Act,
    /// Words that no test understands.
    Unknown,
}

impl Told {
    /// Whether the form of the file is broken, within a value.
    pub fn is_form(&self) -> bool {
        ["a value", "the end of the line"].contains(&self.expected.as_str())
    }

    pub fn what_to_do(&self) -> Remedy {
        let words = self.remedy.as_str();
        let holds = |known: &&str| words.contains(*known);
        if words.is_empty() || NOTHING_NEAR.iter().any(&holds) {
            return Remedy::Nothing;
        }
        if let Some(line) = words.strip_prefix(LINE) {
            return Remedy::Typed(vec![(line.to_owned(), None)]);
        }
        // What goes: a sign from the front of a name, a space from its ends, the
        // brackets of a list of one, the third part of a place.
        let is_sign = words.starts_with("take the ") && words.contains(" from its start");
        let shorter = match words {
            _ if is_sign => self
                .found
                .char_indices()
                .nth(1)
                .map(|(at, _)| &self.found[at..]),
            // A message puts a value with a blank at an end into quotes.
            "remove the spaces at its ends" => Some(self.found.trim_matches('"').trim()),
            "take the brackets off" => Some(self.found.trim_matches(['[', ']'])),
            _ if words.starts_with("leave the elevation out") => {
                self.found.rsplit_once(',').map(|(place, _)| place)
            }
            _ => None,
        };
        if let Some(name) = shorter {
            return Remedy::Typed(vec![(name.to_owned(), None)]);
        }
        let is_act = ACTS.iter().any(|(act, _)| holds(act)) || FORMS.iter().any(&holds);
        let Some((_, rest)) = TYPABLE.iter().find_map(|lead| words.split_once(lead)) else {
            return match (words, is_act) {
                ("put it in quotes" | "put text in quotes", _) => {
                    Remedy::Typed(vec![(format!("\"{}\"", self.found), None)])
                }
                (_, true) => Remedy::Act,
                _ => Remedy::Unknown,
            };
        };
        if is_act {
            return Remedy::Act;
        }
        let rest = rest.strip_suffix('?').unwrap_or(rest);
        let rest = rest.split(", ").next().unwrap_or_default();
        let (rest, part) = match rest.split_once(" for ") {
            Some((rest, part)) => (rest, Some(part.to_owned())),
            None => (rest, None),
        };
        let texts = rest.split(" or ").map(|text| {
            // What stands behind a text in brackets explains it.
            let text = text.split(" (").next().unwrap_or_default();
            (text.trim().to_owned(), part.clone())
        });
        Remedy::Typed(texts.collect())
    }
}

/// The faults in a message.
pub fn told(standard_error: &str) -> Vec<Told> {
    standard_error.lines().filter_map(one_told).collect()
}

fn one_told(line: &str) -> Option<Told> {
    let (place, rest) = line.split_once("found ")?;
    let (found, rest) = rest.split_once(", expected ")?;
    let mut depth = 0;
    let end = rest.char_indices().find(|(at, c)| {
        depth += match c {
            '(' => 1,
            ')' => -1,
            _ => 0,
        };
        depth == 0 && rest[*at..].starts_with("; ")
    });
    let (expected, remedy) = match end {
        Some((at, _)) => (&rest[..at], &rest[at + 2..]),
        None => (rest, ""),
    };
    Some(Told {
        place: place_told(place)?,
        found: found.to_owned(),
        expected: expected.to_owned(),
        remedy: remedy.to_owned(),
    })
}

fn place_told(text: &str) -> Option<Place> {
    if let Some((_, option)) = text.rsplit_once("' for '--") {
        let name = option.split([' ', '\'']).next()?;
        return Some(Place::Option(format!("--{name}")));
    }
    if let Some(option) = text.strip_prefix("rakelight: --") {
        let name = option.split(':').next()?;
        return Some(Place::Option(format!("--{name}")));
    }
    let mut parts = text.split(':');
    let file = parts.next()?;
    let line = parts.next()?.parse().ok()?;
    let column = parts.next().and_then(|part| part.parse().ok());
    Some(Place::File(file.to_owned(), line, column))
}

/// The case with `text` typed instead of what was found; `None` where the file
/// is not written out in the case.
pub fn typed_anew(
    case: &Case,
    told: &Told,
    (text, part): &(String, Option<String>),
) -> Option<Case> {
    let part = part.as_deref();
    match &told.place {
        Place::Option(name) => {
            let mut words = parted(&case.typed);
            let mut is_value = false;
            for word in &mut words {
                let joined = word.strip_prefix(&format!("{name}=")).map(str::to_owned);
                let value = joined.clone().or_else(|| is_value.then(|| word.clone()));
                is_value = word == name;
                let is_meant = |value: &String| match part {
                    Some(part) => value.contains(part),
                    None => holds(value, &told.found),
                };
                let Some(value) = value.filter(is_meant) else {
                    continue;
                };
                let anew = put(&value, &told.found, text, part);
                *word = match joined {
                    Some(_) => format!("{name}={anew}"),
                    None => anew,
                };
            }
            let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
            Some(case.with(quoted.join(" "), None))
        }
        Place::File(file, line, column) => {
            let heading = if file == "standard input" { "-" } else { file };
            let index = case.files.iter().position(|file| file.heading == heading)?;
            let mut lines = case.files[index].lines.clone();
            if told.remedy.starts_with(LINE) {
                lines.insert((line - 1).min(lines.len()), text.clone());
                let heading = heading.to_owned();
                let given = Given { heading, lines };
                return Some(case.with(case.typed.clone(), Some((index, given))));
            }
            let old = lines.get(line - 1)?.clone();
            if file.ends_with(".ics") {
                lines[line - 1] = old.replace(&told.found, text);
                let heading = heading.to_owned();
                let given = Given { heading, lines };
                return Some(case.with(case.typed.clone(), Some((index, given))));
            }
            let is_map = [".gpx", ".kml", ".geojson"]
                .iter()
                .any(|ending| file.ends_with(ending));
            if is_map && column.is_none() {
                // A map tells the line alone; a pair is told by its first value.
                let (first, _) = told.found.split_once(',').unwrap_or_default();
                let pair = (format!("\"{first}\""), format!("\"{text}\""));
                let whole = (part.unwrap_or(&told.found).to_owned(), text.clone());
                let (meant, anew) = [whole, pair]
                    .into_iter()
                    .find(|(meant, _)| old.contains(meant))?;
                lines[line - 1] = old.replacen(&meant, &anew, 1);
                let given = Given {
                    heading: heading.to_owned(),
                    lines,
                };
                return Some(case.with(case.typed.clone(), Some((index, given))));
            }
            let column = (*column)?;
            let csv = file.ends_with(".csv") || file.ends_with(".txt") || heading == "-";
            lines[line - 1] = if csv {
                // A table has semicolons from its first line on, or none.
                let separator = match lines[0].contains(';') {
                    true => b';',
                    false => b',',
                };
                let mut fields: Vec<String> = csv_fields(&old, separator);
                let field = fields.get_mut(column - 1)?;
                *field = put(field, &told.found, text, part);
                csv_line(&fields, separator)
            } else {
                // A form is broken somewhere in a value; what is advised is the
                // whole of it.
                let start = match old.split_once('=') {
                    Some((key, _)) if told.is_form() => {
                        lines[line - 1] = format!("{key}= {text}");
                        None
                    }
                    _ => Some(column),
                };
                let Some(column) = start else {
                    let given = Given {
                        heading: heading.to_owned(),
                        lines,
                    };
                    return Some(case.with(case.typed.clone(), Some((index, given))));
                };
                let (before, rest) = old.split_at(old.char_indices().nth(column - 1)?.0);
                format!("{before}{}", put_toml(rest, &told.found, text, part))
            };
            let given = Given {
                heading: heading.to_owned(),
                lines,
            };
            Some(case.with(case.typed.clone(), Some((index, given))))
        }
    }
}

/// Whether a value is the one of which so much was shown.
fn holds(value: &str, found: &str) -> bool {
    found == "nothing" || value.contains(found.trim_end_matches(" again"))
}

fn put(value: &str, found: &str, text: &str, part: Option<&str>) -> String {
    let old = part.unwrap_or(found);
    if value.contains(old) {
        value.replacen(old, text, 1)
    } else {
        text.to_owned()
    }
}

/// The rest of a line of TOML with `text` where its value or key stood: within
/// the quotes that are there, or in quotes where TOML wants them.
fn put_toml(rest: &str, found: &str, text: &str, part: Option<&str>) -> String {
    let last = |name: &str| name.rsplit('.').next().unwrap_or_default().to_owned();
    let is_key = rest.split_once('=').is_some_and(|(key, _)| {
        let key = key.trim();
        key == found || key == last(found)
    });
    if is_key {
        return rest.replacen(&last(found), &last(text), 1);
    }
    let wants_none =
        text.starts_with(['"', '[']) || text.parse::<f64>().is_ok() || text.parse::<bool>().is_ok();
    let quoted = if wants_none {
        text.to_owned()
    } else {
        format!("\"{text}\"")
    };
    if let Some(part) = part {
        return rest.replacen(part, text, 1);
    }
    match (rest.strip_prefix(found), rest.strip_prefix('"')) {
        (Some(after), _) => format!("{quoted}{after}"),
        (None, Some(inner)) if inner.starts_with(found) => {
            format!("\"{}", inner.replacen(found, text, 1))
        }
        _ if rest.contains(found) => rest.replacen(found, text, 1),
        // Said of several values together: this one is meant.
        _ => quoted,
    }
}

fn csv_fields(line: &str, separator: u8) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .from_reader(line.as_bytes());
    let row = reader.records().next().expect("a row").expect("a row");
    row.iter().map(str::to_owned).collect()
}

fn csv_line(fields: &[String], separator: u8) -> String {
    let mut writer = csv::WriterBuilder::new()
        .delimiter(separator)
        .from_writer(Vec::new());
    writer.write_record(fields).expect("a row");
    let bytes = writer.into_inner().expect("a row");
    String::from_utf8(bytes)
        .expect("text")
        .trim_end()
        .to_owned()
}

/// The case with the tip of the parser of options followed.
pub fn tip_followed(case: &Case) -> Option<Case> {
    let (error, rest) = case.standard_error.split_once("tip: ")?;
    let tip = rest.lines().next()?;
    if let Some(more) = tip.strip_prefix("such as ") {
        return Some(case.with(format!("{} {more}", case.typed), None));
    }
    let (_, meant) = tip.strip_suffix('\'')?.split_once(" exists: '")?;
    let typed = error.split('\'').nth(1)?;
    let words = parted(&case.typed)
        .into_iter()
        .map(|word| match word == typed {
            true => meant.to_owned(),
            false => word,
        });
    let words: Vec<String> = words.collect();
    Some(case.with(words.join(" "), None))
}
