//! JSON: one document, or one window per line.

pub use super::json_document::{Document, stopped};

use super::{
    cell::Cell,
    csv_layout::{Column, CsvLayout},
    json_cell::write_cell,
    json_object::{Object, ObjectText},
    row::{Field, RowKind},
    rows::{
        loosening::{LOOSENING, LooseningRow},
        site,
        window::{FIELDS, Record},
    },
};
use crate::{
    ephemeris::EPHEMERIS,
    scene::{OwnValues, Site, zone_data_version},
    search::Window,
    why::Loosening,
};
use serde_json::{Map, Value};
use std::{
    io::{self, Write},
    sync::Arc,
};

/// Version of the shape of the JSON documents. A new field keeps the number; a
/// field that changes or disappears raises it.
pub const SCHEMA: u32 = 2;

impl Cell<'_> {
    /// The value in JSON.
    pub fn to_json(&self) -> Value {
        match *self {
            Cell::Empty => Value::Null,
            Cell::Text(text) => Value::from(text),
            Cell::Whole(number) => Value::from(number),
            Cell::Flag(flag) => Value::from(flag),
            Cell::Number(number, decimals) => rounded(number, decimals),
            Cell::Exact(number) => Value::from(number),
            Cell::Date(_) | Cell::Month(_) | Cell::Local(_) | Cell::Utc(_) | Cell::Offset(_) => {
                Value::from(self.to_text())
            }
        }
    }
}

/// A number rounded to `decimals`, without a negative zero.
pub fn rounded(number: f64, decimals: usize) -> Value {
    let text = Cell::Number(number, decimals).to_text();
    text.parse::<f64>().map_or(Value::Null, Value::from)
}

/// A record as an object with the names of its fields.
pub fn object<K: RowKind>(
    fields: impl IntoIterator<Item = &'static Field<K>>,
    record: &K::Of<'_>,
) -> Map<String, Value> {
    fields
        .into_iter()
        .map(|field| (field.name.to_string(), field.cell(record).to_json()))
        .collect()
}

/// A record as an object with the names of one list.
pub(super) fn list<K: RowKind>(fields: &'static [Field<K>], record: &K::Of<'_>) -> Value {
    Value::Object(object(fields, record))
}

/// A window as an object with the names of the CSV columns.
pub fn window_object(record: &Record<'_>) -> Value {
    Value::Object(object(FIELDS, record))
}

/// The same of a window that is not among those ranked: its rank is null.
pub fn unranked_object(record: &Record<'_>) -> Value {
    let mut fields = object(FIELDS, record);
    fields.insert("rank".to_owned(), Value::Null);
    Value::Object(fields)
}

/// A site as an object with the names of the site file.
pub fn site_object(site: &Site) -> Value {
    let mut whole = Map::new();
    fill_site(&mut whole, site);
    Value::Object(whole)
}

fn fill_site(whole: &mut impl Object, site: &Site) {
    whole.fields(site::SITE, &site);
    if site.subject.is_some() {
        whole.object("subject", |subject| subject.fields(site::SUBJECT, &site));
    }
    let near = site.towns.as_ref().map(|towns| towns.near.as_ref());
    match near {
        Some(Some(near)) => whole.object("nearest_town", |own| own.fields(site::NEAR_TOWN, &near)),
        Some(None) => whole.value("nearest_town", Value::Null),
        None => {}
    }
    whole.object("sky", |sky| {
        sky.fields(site::SKY, &site);
        let domes = site.sky_glow.iter();
        sky.list("glow", domes, |own, dome| own.fields(site::SKY_GLOW, dome));
        if let Some(towns) = &site.towns {
            let domes = towns.domes.iter();
            sky.list("towns", domes, |own, dome| {
                own.fields(site::TOWN_DOME, dome)
            });
        }
    });
    whole.object("air", |air| air.fields(site::AIR, &site));
    if !site.own.is_empty() {
        whole.object("own", |own| {
            let pairs = site.own.iter();
            pairs.for_each(|(name, value)| own.text(name, value));
        });
    }
}

/// The user's own values as an object of texts; nothing if there are none.
fn own_object(own: &OwnValues) -> Option<Value> {
    let pairs = own.iter();
    let pairs = pairs.map(|(name, value)| (name.to_owned(), Value::from(value)));
    (!own.is_empty()).then(|| Value::Object(pairs.collect()))
}

/// A loosening as an object: what to type, and how large the change is.
pub(super) fn loosening_object(loosening: &Loosening) -> Value {
    let option = &loosening.option();
    list(LOOSENING, &LooseningRow { loosening, option })
}

/// What the `query` of every document holds: the command and the data it used.
pub fn query(command: &str) -> Map<String, Value> {
    let mut query = Map::new();
    for (key, value) in [
        ("command", command),
        ("ephemeris", EPHEMERIS),
        ("time_zone_data", zone_data_version()),
    ] {
        query.insert(key.to_owned(), Value::from(value));
    }
    query
}

/// A document of one object: version, schema, what was asked, then the object's
/// own fields.
pub fn document(query: Map<String, Value>, body: Value) -> Value {
    let mut document = Map::new();
    document.insert("rakelight".into(), env!("CARGO_PKG_VERSION").into());
    document.insert("schema".into(), SCHEMA.into());
    document.insert("query".into(), Value::Object(query));
    if let Value::Object(fields) = body {
        document.extend(fields);
    }
    Value::Object(document)
}

/// Writes one site with its windows. `extra` holds what goes with the windows,
/// each by its key and as the text of its JSON: rules in use, near misses,
/// advice.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_site_block(
    out: &mut impl Write,
    site: &Site,
    windows: &[&Window],
    extra: &[(&str, Arc<[u8]>)],
) -> io::Result<()> {
    out.write_all(b"    {\n      \"site\": ")?;
    out.write_all(&ObjectText::of(|whole| fill_site(whole, site))?)?;
    for (key, value) in extra {
        write!(out, ",\n      \"{key}\": ")?;
        out.write_all(value)?;
    }
    out.write_all(b",")?;
    write!(out, "\n      \"windows\": [")?;
    let mut line = Vec::with_capacity(LINE);
    for (index, window) in windows.iter().enumerate() {
        let comma = if index > 0 { "," } else { "" };
        write!(line, "{comma}\n        ")?;
        write_object(&mut line, FIELDS, &Record { site, window }, write_cell)?;
        out.write_all(&line)?;
        line.clear();
    }
    let close = if windows.is_empty() { "" } else { "\n      " };
    write!(out, "{close}]\n    }}")
}

/// Bytes of a window, about.
const LINE: usize = 1800;

/// Writes a record as an object, each value by `write`.
fn write_object<K: RowKind>(
    out: &mut Vec<u8>,
    fields: impl IntoIterator<Item = &'static Field<K>>,
    record: &K::Of<'_>,
    write: impl Fn(&mut Vec<u8>, &Cell<'_>) -> io::Result<()>,
) -> io::Result<()> {
    out.push(b'{');
    for (index, field) in fields.into_iter().enumerate() {
        if index > 0 {
            out.push(b',');
        }
        out.push(b'"');
        out.extend_from_slice(field.name.as_bytes());
        out.extend_from_slice(b"\":");
        write(out, &field.cell(record))?;
    }
    out.push(b'}');
    Ok(())
}

/// Writes one record as one line (NDJSON), with the columns of the layout; the
/// user's own values of its site stand in an object at the end.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_line<K: RowKind>(
    out: &mut impl Write,
    fields: impl IntoIterator<Item = &'static Field<K>>,
    record: &K::Of<'_>,
    own: &OwnValues,
    layout: &CsvLayout,
) -> io::Result<()> {
    let mut line = Vec::with_capacity(LINE);
    let mut chosen = Map::new();
    let mut written = Ok(());
    line.push(b'{');
    layout.each(fields, |column| match column {
        Column::Field(field) => {
            begin_member(&mut line);
            line.push(b'"');
            line.extend_from_slice(field.name.as_bytes());
            line.extend_from_slice(b"\":");
            match field.cell(record) {
                // With all its decimals, as in CSV.
                cell @ (Cell::Number(..) | Cell::Exact(_)) => cell.write_text(&mut line),
                cell if written.is_ok() => written = write_cell(&mut line, &cell),
                _ => {}
            }
        }
        Column::Own(name, _) => {
            let value = own.get(name).map(Value::from);
            chosen.extend(value.map(|value| (name.to_owned(), value)));
        }
    });
    written?;
    let own = match layout.has_all() {
        true => own_object(own),
        false => (!chosen.is_empty()).then_some(Value::Object(chosen)),
    };
    if let Some(own) = own {
        begin_member(&mut line);
        line.extend_from_slice(b"\"own\":");
        serde_json::to_writer(&mut line, &own)?;
    }
    line.extend_from_slice(b"}\n");
    out.write_all(&line)
}

/// A comma, unless the object has no member yet.
fn begin_member(line: &mut Vec<u8>) {
    if line.len() > 1 {
        line.push(b',');
    }
}
