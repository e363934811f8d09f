//! What each value of a rule finds, as a table and in JSON.

use super::{
    grid::{Grid, PLAIN, STRONG, Side},
    json::object,
    rows::what_if::VARIANT,
    words::night_words,
    wrap::write_wrapped,
};
use crate::why::Variant;
use serde_json::{Map, Value, json};
use std::io::{self, Write};

/// Most columns of a table of pairs; more values are listed below each other.
const PAIR_COLUMNS: usize = 5;

/// Writes nights found and best score: one row per value, or for two rules one
/// row per value of the first and one column per value of the second.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(out: &mut impl Write, variants: &[Variant], width: usize) -> io::Result<()> {
    let Some(first) = variants.first() else {
        return Ok(());
    };
    let rules = first.values.len();
    let options: Vec<String> = first
        .values
        .iter()
        .map(|(key, _)| format!("--{}", key.replace('_', "-")))
        .collect();
    if let [rows, columns] = options.as_slice() {
        let second: Vec<&str> = distinct(variants, 1);
        if second.len() <= PAIR_COLUMNS {
            let what = format!("nights found and best score: {rows} down, {columns} across");
            let grid = pairs(variants, &second);
            if grid.width() <= width {
                write_wrapped(out, "", &what, width)?;
                return grid.write(out);
            }
        }
    }
    let sides: Vec<Side> = std::iter::repeat_n(Side::Left, rules)
        .chain([Side::Right, Side::Right, Side::Right, Side::Left])
        .collect();
    let mut grid = Grid::new(sides);
    let blank = std::iter::repeat_n(String::new(), rules);
    grid.heading(blank.chain(["", "in one", "best"].map(String::from)));
    grid.heading(
        options
            .into_iter()
            .chain(["nights", "frame", "score", "on"].map(String::from)),
    );
    for variant in variants {
        let values = variant.values.iter().map(|(_, text)| (text.clone(), PLAIN));
        let (score, night) = match variant.best {
            Some((score, night)) => (format!("{score:.0}"), night_words(night)),
            None => ("-".to_string(), String::new()),
        };
        grid.styled_row(values.chain([
            (variant.nights.to_string(), STRONG),
            (framed_text(variant), PLAIN),
            (score, PLAIN),
            (night, PLAIN),
        ]));
    }
    grid.shed(width, &[rules + 3, rules + 1, rules + 2]);
    grid.write(out)
}

/// The nights in which one frame does; a dash where it has no frame to plan.
fn framed_text(variant: &Variant) -> String {
    let framed = variant.framed_nights.map(|nights| nights.to_string());
    framed.unwrap_or_else(|| "-".to_owned())
}

/// The values tried of one rule, in the order given.
fn distinct(variants: &[Variant], rule: usize) -> Vec<&str> {
    let mut seen: Vec<&str> = Vec::new();
    for variant in variants {
        match variant.values.get(rule) {
            Some((_, text)) if !seen.contains(&text.as_str()) => seen.push(text),
            _ => {}
        }
    }
    seen
}

/// The values of two rules, one down and the other across.
fn pairs(variants: &[Variant], second: &[&str]) -> Grid {
    let sides: Vec<Side> = std::iter::once(Side::Left)
        .chain(second.iter().map(|_| Side::Right))
        .collect();
    let mut grid = Grid::new(sides);
    grid.heading(std::iter::once("").chain(second.iter().copied()));
    for row in distinct(variants, 0) {
        let of_row = variants
            .iter()
            .filter(|variant| variant.values.first().is_some_and(|(_, text)| text == row));
        let cells = of_row.map(|variant| match variant.best {
            Some((score, _)) => format!("{} ({score:.0})", variant.nights),
            None => "none".to_string(),
        });
        grid.row(std::iter::once(row.to_string()).chain(cells));
    }
    grid
}

/// The variants as an array.
pub fn array(variants: &[Variant]) -> Value {
    variants
        .iter()
        .map(|variant| {
            let values: Map<String, Value> = variant
                .values
                .iter()
                .map(|(key, text)| (key.clone(), json!(text)))
                .collect();
            let mut whole = Map::new();
            whole.insert("values".into(), Value::Object(values));
            whole.extend(object(VARIANT, &variant));
            Value::Object(whole)
        })
        .collect()
}
