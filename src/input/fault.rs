//! What is wrong in a file, and where.

use crate::plain_words::printable;
use crate::scene::{ValueError, shown};
use std::fmt::{self, Display, Formatter};

/// A place in a file; lines and columns count from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Place {
    pub line: usize,
    pub column: Option<usize>,
}

impl Place {
    pub(crate) const START: Self = Self::new(1, 1);

    pub(crate) const fn new(line: usize, column: usize) -> Self {
        Self {
            line,
            column: Some(column),
        }
    }

    pub(crate) const fn line(line: usize) -> Self {
        Self { line, column: None }
    }
}

/// One fault in one file: where it is, what was found, what was expected and
/// how to fix it.
///
/// It is shown on one line:
/// `saltbush.toml:7:16: latitude_deg: found 139.2, expected a number from -90
/// to 90; latitude and longitude may be swapped`.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Fault {
    /// The file as the user gave it.
    pub file: String,
    /// Line, from 1; none for the whole file.
    pub line: Option<usize>,
    /// In a TOML file the character in the line, in a CSV table the number of
    /// the field in its row; from 1.
    pub column: Option<usize>,
    /// The key concerned, dotted for tables.
    pub key: Option<String>,
    /// What was found, shortened and escaped.
    pub found: String,
    /// What would have been right.
    pub expected: String,
    /// How to fix it, if that is known.
    pub remedy: Option<String>,
}

impl Fault {
    /// A fault of the whole file.
    pub fn of_file(file: &str, error: ValueError) -> Self {
        Self {
            file: file.to_owned(),
            line: None,
            column: None,
            key: None,
            found: error.found,
            expected: error.expected,
            remedy: error.remedy,
        }
    }

    pub(crate) fn at(file: &str, place: Place, key: Option<&str>, error: ValueError) -> Self {
        Self {
            line: Some(place.line),
            column: place.column,
            key: key.map(shown),
            ..Self::of_file(file, error)
        }
    }
}

impl Fault {
    /// The same as [`Fault::at`], small enough to be handed on from piece to
    /// piece.
    pub(super) fn boxed(
        file: &str,
        place: Place,
        key: Option<&str>,
        error: ValueError,
    ) -> Box<Self> {
        Box::new(Self::at(file, place, key, error))
    }

    /// A fault of a whole file, told at the key in `file` that refers to it.
    pub(crate) fn at_key(self, file: &str, place: Place, key: &str) -> Self {
        let error = ValueError {
            found: format!("{} ({})", printable(&self.file), self.found),
            expected: self.expected,
            remedy: self.remedy,
        };
        Self::at(file, place, Some(key), error)
    }
}

impl Display for Fault {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        // A path is shown in full, but must not break the line either.
        f.write_str(&printable(&self.file))?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        f.write_str(": ")?;
        if let Some(key) = &self.key {
            write!(f, "{key}: ")?;
        }
        write!(f, "found {}, expected {}", self.found, self.expected)?;
        match &self.remedy {
            Some(remedy) => write!(f, "; {remedy}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for Fault {}

/// More faults than this do not help, and a long table may have one in each
/// row.
const MOST_TOLD: usize = 1000;

/// Everything wrong in one or several files, in the order of the files.
///
/// Of the faults of several files and rows the first thousand are kept and the
/// others counted.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Faults(
    /// The faults, at least one where this is an error.
    pub Vec<Fault>,
    /// How many more there were.
    usize,
);

impl Faults {
    /// The number of faults, including those only counted.
    pub fn count(&self) -> usize {
        self.0.len().saturating_add(self.1)
    }

    pub(crate) const fn of(faults: Vec<Fault>) -> Self {
        Self(faults, 0)
    }

    /// `value` when there is no fault, else the faults.
    ///
    /// # Errors
    ///
    /// These faults, when there are any.
    pub fn or_value<T>(self, value: T) -> Result<T, Self> {
        if self.0.is_empty() {
            Ok(value)
        } else {
            Err(self)
        }
    }
}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Self {
        Self::of(vec![fault])
    }
}

impl Extend<Fault> for Faults {
    fn extend<I: IntoIterator<Item = Fault>>(&mut self, faults: I) {
        for fault in faults {
            if self.0.len() < MOST_TOLD {
                self.0.push(fault);
            } else {
                self.1 = self.1.saturating_add(1);
            }
        }
    }
}

impl IntoIterator for Faults {
    type Item = Fault;
    type IntoIter = std::vec::IntoIter<Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl Display for Faults {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        for (index, fault) in self.0.iter().enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{fault}")?;
        }
        match self.1 {
            0 => Ok(()),
            more => write!(f, "\n... and {more} more; mend these first"),
        }
    }
}

impl std::error::Error for Faults {}
/// The error for a file with these bytes, some of which are not UTF-8.
pub(crate) fn not_utf8(bytes: &[u8]) -> ValueError {
    let found = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        "text in UTF-16"
    } else {
        "bytes that are not UTF-8"
    };
    ValueError::new(found, "UTF-8 text").with_remedy("save the file as UTF-8")
}
