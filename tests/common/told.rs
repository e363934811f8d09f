//! What the lists of fields say about each column, for tests.
#![allow(dead_code, reason = "each test uses a part")]

use rakelight::report::{
    CsvTable,
    row::{Field, Range, RowKind, Value as Of},
    rows::{calendar, night, season, site_nights, trip, window},
};
use serde_json::{Value, json};

/// What a machine finds in a field, whatever record it is of.
pub struct Told {
    /// Its name.
    pub name: &'static str,
    /// Its type in JSON.
    pub kind: Value,
    /// How many decimals a number has.
    pub decimals: Option<usize>,
    /// All that a text can be.
    pub words: Option<&'static [&'static str]>,
    /// The form of a text.
    pub pattern: Option<&'static str>,
    /// What a number can be.
    pub range: Range,
    /// When it is empty; `None` if never.
    pub empty: Option<&'static str>,
    /// What it is.
    pub doc: &'static str,
}

/// A form of text.
pub const DATE: &str = r"^\d{4}-\d{2}-\d{2}$";
/// A form of text.
pub const MONTH: &str = r"^\d{4}-\d{2}$";
/// A form of text.
pub const LOCAL: &str = r"^\d{4}-\d{2}-\d{2} \d{2}:\d{2}:\d{2}$";
/// A form of text.
pub const UTC: &str = r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$";
/// A form of text.
pub const OFFSET: &str = r"^[+-]\d{2}:\d{2}(:\d{2})?$";

/// What the list says of a field.
pub fn told<K: RowKind>(field: &Field<K>) -> Told {
    let mut told = match &field.value {
        Of::Instant(of, _) => told(*of),
        value => {
            let (kind, pattern) = match value {
                Of::Date(_) => ("string", Some(DATE)),
                Of::Month(_) => ("string", Some(MONTH)),
                Of::Local(_) => ("string", Some(LOCAL)),
                Of::Utc(_) => ("string", Some(UTC)),
                Of::Offset(_) => ("string", Some(OFFSET)),
                Of::Whole(_) => ("integer", None),
                Of::Number(..) | Of::Exact(_) => ("number", None),
                Of::Flag(_) => ("boolean", None),
                Of::Text(_) | Of::Word(..) | Of::Instant(..) => ("string", None),
            };
            Told {
                name: field.name,
                kind: json!(kind),
                decimals: match value {
                    Of::Number(decimals, _) => Some(*decimals),
                    Of::Whole(_) => Some(0),
                    _ => None,
                },
                words: match value {
                    Of::Word(words, _) => Some(words),
                    _ => None,
                },
                pattern,
                range: field.range,
                empty: field.empty,
                doc: field.doc,
            }
        }
    };
    // What a record says of a field of its instant counts.
    told.name = field.name;
    told.empty = field.empty;
    told.doc = field.doc;
    assert!(!told.doc.is_empty(), "{} says not what it is", told.name);
    told
}

/// What lists say of their fields.
pub fn all<K: RowKind>(lists: &[&'static [Field<K>]]) -> Vec<Told> {
    lists.iter().copied().flatten().map(told).collect()
}

/// The columns of a table, in their order. In months and years those of the best
/// window are empty where there is none.
pub fn of_table(table: CsvTable) -> Vec<Told> {
    let best = || {
        let mut best = all(&[window::FIELDS]);
        best.retain(|field| field.name != window::SITE && field.name != window::VIEW);
        for field in &mut best {
            field.empty = field.empty.or(Some("no window"));
        }
        best
    };
    let with_best = |counts: Vec<Told>| counts.into_iter().chain(best()).collect();
    match table {
        CsvTable::Windows => all(&[window::FIELDS]),
        CsvTable::Months => with_best(all(&[calendar::MONTH])),
        CsvTable::Years => with_best(all(&[calendar::YEAR])),
        CsvTable::Sites => all(&[site_nights::ROW]),
        CsvTable::MonthsBeside => with_best(all(&[calendar::MONTH_OF_YEAR])),
        CsvTable::Trip => {
            let mut first = all(&[trip::TRIP]);
            first.extend(all(&[trip::EVENING]));
            let mut best: Vec<Told> = best();
            best.retain(|told| first.iter().all(|ours| ours.name != told.name));
            first.into_iter().chain(best).collect()
        }
        CsvTable::Season => all(&[season::NIGHT]),
        CsvTable::Night => night::ALL.iter().flat_map(|list| all(&[*list])).collect(),
    }
}
