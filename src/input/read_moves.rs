//! The moves between places that somebody knows.

use super::csv_rows::{Row, Rows};
use super::fault::{Fault, Faults, Place};
use super::named_columns::NamedColumns;
use super::opening::open_plain;
use crate::scene::ValueError;
use csv::StringRecord;
use std::collections::BTreeMap;
use std::io::Read;
use std::path::Path;

const HEADER: &str = "the columns from, to, km, hours (one of the last two may be missing)";
const HEADER_REMEDY: &str = "begin with the line from,to,km,hours";
const NAMES: [&str; 4] = ["from", "to", "km", "hours"];
/// The most rows: those of 1000 places, each to each.
const MOST_ROWS: usize = 1_000_000;
/// The most names told that belong to no place.
const MOST_UNKNOWN: usize = 3;

/// The longest move, kilometres: more than half around the Earth.
pub const MOST_MOVE_KM: f64 = 30_000.0;
/// The longest move, hours: three weeks.
pub const MOST_MOVE_HOURS: f64 = 504.0;

/// The length and time of a move, as far as they are given.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct MoveRow {
    /// Kilometres by road.
    pub km: Option<f64>,
    /// Hours.
    pub hours: Option<f64>,
}

/// A table of moves, as far as its places are known.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct MoveTable {
    /// The moves by the numbers of their places, from and to.
    pub moves: BTreeMap<(usize, usize), MoveRow>,
    /// Some names that belong to no place; their rows are left out.
    pub unknown: Vec<String>,
    /// How many rows are left out.
    pub left_out: usize,
}

/// What a name means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// The place of this number.
    Place(usize),
    /// Several places.
    Several,
    /// None.
    Nothing,
}

/// Whether a header has a known column of this name.
fn is_column(name: &str) -> bool {
    NAMES.iter().any(|known| name.eq_ignore_ascii_case(known))
}

/// Whether a table has the header that [`read_moves`] accepts.
pub(crate) fn has_moves_header(header: &StringRecord) -> bool {
    let has = |name: &str| header.iter().any(|field| field.eq_ignore_ascii_case(name));
    let [from, to, km, hours] = NAMES.map(has);
    from && to && (km || hours)
}

/// Where the columns are.
struct Columns {
    from: usize,
    to: usize,
    km: Option<usize>,
    hours: Option<usize>,
}

impl Columns {
    fn of(named: &NamedColumns) -> Option<Self> {
        let columns = Self {
            from: named.at(0)?,
            to: named.at(1)?,
            km: named.at(2),
            hours: named.at(3),
        };
        (columns.km.is_some() || columns.hours.is_some()).then_some(columns)
    }
}

/// Reads a table of moves from a file; see [`read_moves`].
///
/// # Errors
///
/// A file that can't be read, and everything wrong in it.
pub fn read_moves_file(path: &Path, named: impl Fn(&str) -> Named) -> Result<MoveTable, Faults> {
    let file = open_plain(path, "a table of moves")?;
    read_moves(&path.display().to_string(), file, named)
}

/// Reads a table with the columns `from`, `to`, `km` and `hours`, in any order
/// and with others beside them; of the last two one may be missing or empty.
/// Lines that begin with `#` are comments. `named` says which place a name
/// means; rows with a name that means none are left out.
///
/// # Errors
///
/// Everything wrong in the file, with line and field.
pub fn read_moves(
    file: &str,
    table: impl Read,
    named: impl Fn(&str) -> Named,
) -> Result<MoveTable, Faults> {
    let mut rows = Rows::new(file, table, true, is_column);
    let words = (HEADER, HEADER_REMEDY);
    let (names, header) = NamedColumns::read(file, &mut rows, &NAMES, words)?;
    let Some(columns) = Columns::of(&names) else {
        return Err(names.lacking(file, &header, HEADER, HEADER_REMEDY));
    };
    let mut reader = Reader {
        file,
        faults: Faults::default(),
        table: MoveTable::default(),
        lines: BTreeMap::new(),
    };
    let mut count = 0;
    while let Some(row) = rows.next_good_row(&mut reader.faults) {
        count += 1;
        if count > MOST_ROWS {
            let error = ValueError::new("more rows", format!("at most {MOST_ROWS} rows"))
                .with_remedy("keep the moves between places of this trip");
            reader.fault(Place::line(row.line), None, error);
            break;
        }
        if let Err(fault) = names.check(file, &row) {
            reader.faults.extend(fault);
        } else if let Err((place, field, error)) = reader.row(&rows, &columns, &row, &named) {
            reader.fault(place, field, error);
        }
    }
    reader.faults.or_value(reader.table)
}

/// What is wrong in a row, and where.
type Wrong = (Place, Option<&'static str>, ValueError);

struct Reader<'a> {
    file: &'a str,
    faults: Faults,
    table: MoveTable,
    /// The line of each move.
    lines: BTreeMap<(usize, usize), usize>,
}

impl Reader<'_> {
    fn fault(&mut self, place: Place, field: Option<&str>, error: ValueError) {
        self.faults
            .extend([Fault::at(self.file, place, field, error)]);
    }

    fn row<R: Read>(
        &mut self,
        rows: &Rows<R>,
        columns: &Columns,
        row: &Row,
        named: impl Fn(&str) -> Named,
    ) -> Result<(), Wrong> {
        let field = |column: usize| row.fields.get(column).unwrap_or_default();
        let place = |column: usize| Place::new(row.line, column + 1);
        let number = |column: Option<usize>, name: &'static str, most: f64| {
            let Some(column) = column.filter(|column| !field(*column).is_empty()) else {
                return Ok(None);
            };
            let expected = format!("{name} from 0 to {most}");
            let within = |value: f64| (0.0..=most).contains(&value);
            let value = rows.value(field(column)).number(&expected, within);
            let checked = value.and_then(|value| match within(value) {
                true => Ok(value),
                false => Err(ValueError::new(field(column), &*expected)),
            });
            match checked {
                Ok(value) => Ok(Some(value)),
                Err(error) => Err((place(column), Some(name), error)),
            }
        };
        let km = number(columns.km, "km", MOST_MOVE_KM)?;
        let hours = number(columns.hours, "hours", MOST_MOVE_HOURS)?;
        if km.is_none() && hours.is_none() {
            let error = ValueError::new("", "kilometres, hours or both")
                .with_remedy("give one of them, or take the row out");
            let at = columns.km.or(columns.hours).unwrap_or_default();
            return Err((place(at), None, error));
        }
        let ends = [(columns.from, "from"), (columns.to, "to")].map(|(column, name)| {
            let text = field(column);
            match named(text) {
                Named::Several => {
                    let error = ValueError::new(text, "the name of one place")
                        .with_remedy("several sites have this name: give each a name of its own");
                    Err((place(column), Some(name), error))
                }
                Named::Place(number) => Ok(Some(number)),
                Named::Nothing if text.is_empty() => {
                    let error = ValueError::new("", "the name of a site")
                        .with_remedy("give the name, or take the row out");
                    Err((place(column), Some(name), error))
                }
                Named::Nothing => Ok(None),
            }
        });
        let [from, to] = ends;
        let (from, to) = (from?, to?);
        let (Some(from), Some(to)) = (from, to) else {
            self.table.left_out += 1;
            for (end, column) in [(from, columns.from), (to, columns.to)] {
                let name = field(column);
                let is_known = self.table.unknown.iter().any(|known| known == name);
                if end.is_none() && !is_known && self.table.unknown.len() < MOST_UNKNOWN {
                    self.table.unknown.push(name.to_owned());
                }
            }
            return Ok(());
        };
        if from == to {
            let error = ValueError::new(field(columns.to), "two different places")
                .with_remedy("take the row out: a place has no move to itself");
            return Err((place(columns.to), Some("to"), error));
        }
        if let Some(before) = self.lines.insert((from, to), row.line) {
            let found = format!("{} to {} again", field(columns.from), field(columns.to));
            let error = ValueError::new(&found, "each move once")
                .with_remedy(format!("take one out: it is in line {before} already"));
            return Err((place(columns.from), None, error));
        }
        self.table.moves.insert((from, to), MoveRow { km, hours });
        Ok(())
    }
}
