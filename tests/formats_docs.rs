//! The tables of `docs/` and the properties of `docs/schema/` are printed from
//! the lists of fields that the formats work from. With `WRITE_DOCS=1` this
//! writes them; without, it finds what was not written.

use rakelight::report::{
    row::{Field, Range, RowKind, Value as Of},
    rows::{night, phases, window},
};
use serde_json::{Map, Number, Value, json};
use std::{env, fs, path::PathBuf};

/// What a machine finds in a field, whatever record it is of.
struct Told {
    name: &'static str,
    kind: Value,
    decimals: Option<usize>,
    words: Option<&'static [&'static str]>,
    pattern: Option<&'static str>,
    range: Range,
    empty: Option<&'static str>,
    doc: &'static str,
}

const DATE: &str = r"^\d{4}-\d{2}-\d{2}$";
const LOCAL: &str = r"^\d{4}-\d{2}-\d{2} \d{2}:\d{2}:\d{2}$";
const UTC: &str = r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$";
const OFFSET: &str = r"^[+-]\d{2}:\d{2}(:\d{2})?$";

fn told<K: RowKind>(field: &Field<K>) -> Told {
    let mut told = match &field.value {
        Of::Instant(of, _) => told(*of),
        value => {
            let (kind, pattern) = match value {
                Of::Date(_) => ("string", Some(DATE)),
                Of::Local(_) => ("string", Some(LOCAL)),
                Of::Utc(_) => ("string", Some(UTC)),
                Of::Offset(_) => ("string", Some(OFFSET)),
                Of::Whole(_) => ("integer", None),
                Of::Number(..) => ("number", None),
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

fn all<K: RowKind>(lists: &[&'static [Field<K>]]) -> Vec<Told> {
    lists.iter().copied().flatten().map(told).collect()
}

/// The property of a schema.
fn property(field: &Told) -> Value {
    let mut property = Map::new();
    let mut put = |key: &str, value: Value| {
        property.insert(key.to_owned(), value);
    };
    let null = field.empty.map(|when| format!(". Null: {when}"));
    put(
        "description",
        json!(field.doc.to_owned() + null.as_deref().unwrap_or_default()),
    );
    put(
        "type",
        match field.empty {
            Some(_) => json!([field.kind, "null"]),
            None => field.kind.clone(),
        },
    );
    // Whole bounds are written as such.
    let number = |bound: f64| {
        let whole = Number::from(bound as i64);
        let bound = Number::from_f64(bound).filter(|_| bound.fract() != 0.0);
        Value::Number(bound.unwrap_or(whole))
    };
    match field.range {
        Range::AtLeast(least) => put("minimum", number(least)),
        Range::Above(least) => put("exclusiveMinimum", number(least)),
        Range::Within(least, most) => {
            put("minimum", number(least));
            put("maximum", number(most));
        }
        _ => {}
    }
    if let Some(pattern) = field.pattern {
        put("pattern", json!(pattern));
    }
    if let Some(words) = field.words {
        let mut words = json!(words);
        if let (Some(_), Some(list)) = (field.empty, words.as_array_mut()) {
            list.push(Value::Null);
        }
        put("enum", words);
    }
    Value::Object(property)
}

/// A table of Markdown, a row a field.
fn table(fields: &[Told]) -> String {
    let mut text = "| column | unit, frame | decimals | empty when |\n".to_owned();
    text += "| --- | --- | --- | --- |\n";
    for field in fields {
        let decimals = field.decimals.map(|decimals| decimals.to_string());
        text += &format!(
            "| `{}` | {} | {} | {} |\n",
            field.name,
            field.doc.replace('|', "\\|"),
            decimals.unwrap_or_default(),
            field.empty.unwrap_or("never"),
        )
        .replace("|  |", "| |");
    }
    text
}

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("docs")
        .join(name)
}

/// Compares a file with what it should hold, or writes it.
fn holds(name: &str, found: &str, expected: &str) {
    if found == expected {
        return;
    }
    if env::var_os("WRITE_DOCS").is_some() {
        return fs::write(path(name), expected).expect("a file");
    }
    let mut lines = found.lines().zip(expected.lines());
    let other = lines.find(|(found, expected)| found != expected);
    panic!(
        "docs/{name} is not what the lists say; WRITE_DOCS=1 writes it. The first line: {other:?}"
    );
}

/// The table between `<!-- what -->` and `<!-- end -->` is printed.
fn table_holds(name: &str, what: &str, fields: &[Told]) {
    let found = fs::read_to_string(path(name)).expect("a document");
    let begin = format!("<!-- {what} -->\n");
    let (before, rest) = found.split_once(&begin).expect("where the table begins");
    let (_, after) = rest.split_once("<!-- end -->").expect("where it ends");
    let table = table(fields);
    let expected = format!("{before}{begin}\n{table}\n<!-- end -->{after}");
    holds(name, &found, &expected);
}

/// The object at `pointer` of a schema has the properties of these fields,
/// then those in `more`, which are written by hand.
fn schema_holds(name: &str, pointer: &str, fields: &[Told], more: &[&str]) {
    let name = format!("schema/{name}.json");
    let found = fs::read_to_string(path(&name)).expect("a schema");
    let mut schema: Value = serde_json::from_str(&found).expect("JSON");
    let object = schema.pointer_mut(pointer).expect("an object");
    let mut properties: Map<String, Value> = fields
        .iter()
        .map(|field| (field.name.to_owned(), property(field)))
        .collect();
    for key in more {
        properties.insert((*key).to_owned(), object["properties"][key].clone());
    }
    object["required"] = properties.keys().cloned().collect();
    object["properties"] = Value::Object(properties);
    let expected = serde_json::to_string_pretty(&schema).expect("JSON") + "\n";
    holds(&name, &found, &expected);
}

#[test]
fn windows_are_told_as_listed() {
    let fields = all(&[window::FIELDS]);
    table_holds("formats.md", "the fields of a window", &fields);
    schema_holds("window", "/$defs/columns", &fields, &[]);
}

/// One test, since both write to the same files.
#[test]
fn lines_and_steps_of_a_night_are_told_as_listed() {
    let lines = all(&[night::TIME, night::LINE]);
    table_holds("night.md", "the fields of a line", &lines);
    schema_holds("night", "/properties/timetable/items", &lines, &["text"]);
    let steps = all(&[night::TIME, night::STEP]);
    table_holds("night.md", "the fields of a step", &steps);
    schema_holds("night", "/properties/steps/items", &steps, &[]);
}

#[test]
fn phases_are_told_as_listed() {
    for (key, fields) in [
        ("phases", all(&[phases::QUARTERS])),
        ("apsides", all(&[phases::APSIDES])),
    ] {
        schema_holds("phases", &format!("/properties/{key}/items"), &fields, &[]);
    }
    let contacts = ["penumbral_utc", "partial_utc", "total_utc"];
    let fields = all(&[phases::ECLIPSES]);
    schema_holds("phases", "/properties/eclipses/items", &fields, &contacts);
}
