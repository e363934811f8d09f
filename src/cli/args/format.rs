//! The formats of records: their words, the endings of their files, and those
//! that a command has.

use crate::cli::manners::Failure;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use rakelight::{report::WaypointFile, scene::ValueError};
use std::{fs, path::Path};

/// The format that records are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    Table,
    Csv,
    Json,
    Ndjson,
    Ical,
    Geojson,
    Markdown,
    Gpx,
    Kml,
    Html,
}

/// The formats that a command has, each with what the command then does; the
/// first is the default.
pub type Formats<T> = &'static [(Format, T)];

/// Every format with itself, for a command that has them all.
pub const ALL: Formats<Format> = &[
    (Format::Table, Format::Table),
    (Format::Csv, Format::Csv),
    (Format::Json, Format::Json),
    (Format::Ndjson, Format::Ndjson),
    (Format::Ical, Format::Ical),
    (Format::Geojson, Format::Geojson),
    (Format::Gpx, Format::Gpx),
    (Format::Kml, Format::Kml),
    (Format::Markdown, Format::Markdown),
];

impl Format {
    /// The word that asks for it, and the endings of its files.
    const fn words(self) -> &'static [&'static str] {
        match self {
            Self::Table => &["table", "txt"],
            Self::Csv => &["csv"],
            Self::Json => &["json"],
            Self::Ndjson => &["ndjson", "jsonl"],
            Self::Ical => &["ical", "ics"],
            Self::Geojson => &["geojson"],
            Self::Markdown => &["markdown", "md"],
            Self::Gpx => &["gpx"],
            Self::Kml => &["kml"],
            Self::Html => &["html", "htm"],
        }
    }

    fn word(self) -> &'static str {
        self.words().first().unwrap_or(&"")
    }

    /// The endings of its files: its own word where it has no other.
    fn endings(self) -> &'static [&'static str] {
        match (self, self.words()) {
            (Self::Ndjson | Self::Html, words) => words,
            (_, [_, endings @ ..]) if !endings.is_empty() => endings,
            (_, words) => words,
        }
    }

    /// Whether people read it, rather than programs.
    pub fn is_for_people(self) -> bool {
        matches!(self, Self::Table | Self::Markdown)
    }

    /// The file of points that it is, if it is one.
    pub fn waypoint_file(self) -> Option<WaypointFile> {
        match self {
            Self::Gpx => Some(WaypointFile::Gpx),
            Self::Kml => Some(WaypointFile::Kml),
            _ => None,
        }
    }

    /// Whether it has room for more than records.
    pub fn has_room(self) -> bool {
        matches!(self, Self::Table | Self::Json)
    }
}

/// What a command does in a format, if it has that format.
pub fn does<T: Copy>(has: Formats<T>, format: Format) -> Option<T> {
    let of_format = has.iter().find(|(of, _)| *of == format);
    of_format.map(|(_, does)| *does)
}

/// The format asked for, else that of the output's file ending. A spreadsheet
/// would misread a table in a file called `nights.csv`.
pub(super) fn chosen<T: Copy>(
    has: Formats<T>,
    asked: Option<Format>,
    output: Option<&Path>,
) -> (Format, T) {
    let ending = || {
        let ending = ending_of(output?)?;
        has.iter()
            .find(|(of, _)| of.words().contains(&ending.as_str()))
    };
    let asked = asked.and_then(|asked| has.iter().find(|(of, _)| *of == asked));
    *asked.or_else(ending).unwrap_or(&has[0])
}

/// The ending of a file's name, in lower case.
fn ending_of(output: &Path) -> Option<String> {
    let ending = output.extension()?;
    Some(ending.to_string_lossy().to_ascii_lowercase())
}

/// Refuses a file whose ending tells none of the formats, unless one is `asked`
/// for: a table in a file called `nights.xlsx` helps nobody.
pub(super) fn check_ending<T>(
    has: Formats<T>,
    asked: Option<Format>,
    output: Option<&Path>,
) -> Result<(), Failure> {
    if asked.is_some() {
        return Ok(());
    }
    let endings = has.iter().flat_map(|(of, _)| of.endings()).copied();
    let words = has.iter().flat_map(|(of, _)| of.words()).copied();
    let others: Vec<_> = words.collect();
    check_one_of(output, endings.collect(), &others, "choose a --format")
}

/// Refuses a file whose ending is none of `endings` and of the `others` that
/// are taken too. A name without an ending, standard output, a device and a pipe
/// say nothing about what they get.
pub fn check_one_of(
    output: Option<&Path>,
    endings: Vec<&str>,
    others: &[&str],
    otherwise: &str,
) -> Result<(), Failure> {
    let Some(ending) = output.and_then(ending_of) else {
        return Ok(());
    };
    let is_known = |word: &&str| *word == ending;
    let old = output.and_then(|path| fs::metadata(path).ok());
    let is_device = old.is_some_and(|old| !old.is_file() && !old.is_dir());
    if is_device || endings.iter().chain(others).any(is_known) {
        return Ok(());
    }
    let dotted: Vec<String> = endings.iter().map(|word| format!(".{word}")).collect();
    let expected = match dotted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
        None => return Ok(()),
    };
    let found = format!("a name that ends in .{ending}");
    let error = ValueError::new(&found, format!("one that ends in {expected}"))
        .with_remedy(format!("end its name so, or {otherwise}"));
    Err(Failure::option("output", &error))
}

/// What to do about the ending of a command that has one format alone.
pub const OTHERWISE: &str = "send the output there (> FILE)";

/// Reads the word of a format that a command has.
pub fn parser<T: Send + Sync>(has: Formats<T>) -> impl TypedValueParser<Value = Format> {
    let values = has.iter().map(|(of, _)| {
        // A table has an ending, but that is no other word for it.
        let others = of.words().iter().skip(1).copied();
        let others = others.filter(|_| *of != Format::Table);
        PossibleValue::new(of.word()).aliases(others)
    });
    PossibleValuesParser::new(values).try_map(|word| {
        let mut formats = has.iter().map(|(of, _)| *of);
        let of_word = formats.find(|of| of.words().contains(&word.as_str()));
        of_word.ok_or("a format")
    })
}

/// Characters of a list of formats that fit beside the option.
const LONGEST_LIST: usize = 54;

/// The formats that a command has, in words.
pub fn listed<T>(has: Formats<T>) -> String {
    let words: Vec<_> = has.iter().map(|(of, _)| of.word()).collect();
    let (last, others) = words.split_last().unwrap_or((&"", &[]));
    format!("As {} or {last}", others.join(", "))
}

/// The line of help with the formats that a command has, as many as fit.
pub fn help<T>(has: Formats<T>) -> String {
    let list = listed(has);
    match has {
        [(first, _), _] | [(first, _), _, _] => format!("{list} [default: {}]", first.word()),
        _ if list.len() <= LONGEST_LIST => list,
        _ => {
            let mut short = String::from("As");
            for (of, _) in has {
                let longer = format!("{short} {},", of.word());
                if longer.len() + " ...".len() > LONGEST_LIST {
                    break;
                }
                short = longer;
            }
            format!("{} ...", short.trim_end_matches(','))
        }
    }
}
