//! Keys that no site has, and which were probably meant.

use super::{
    own_column::OWN,
    read_views::VIEW,
    site_keys::{TABLES, site_key, site_keys},
};
use crate::{
    rule::typed_rules,
    scene::{ValueError, nearest, number::number},
};

/// How a file shows which table a key belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Layout {
    /// By the line `[table]` above it.
    Tables,
    /// By the name of its column.
    Columns,
}

/// Every key, and the other words for those of the brief. In a site file the
/// views are tables.
fn known_keys(layout: Layout) -> Vec<String> {
    let aliases = typed_rules().map(|(_, typed)| typed.alias);
    let aliases = aliases.filter(|alias| !alias.is_empty());
    site_keys()
        .filter(|key| layout == Layout::Columns || key != VIEW)
        .chain(aliases.map(|alias| format!("brief.{alias}")))
        .collect()
}

/// The tables that a file can have.
fn tables(layout: Layout) -> impl Iterator<Item = &'static str> {
    let view = (layout == Layout::Tables).then_some(VIEW);
    TABLES.into_iter().chain(view)
}

/// The table and the last part of a key.
fn parts(key: &str) -> (&str, &str) {
    key.split_once('.').unwrap_or(("", key))
}

/// The last parts of the keys in the table of `key`.
fn siblings<'a>(known: &'a [String], key: &str) -> Vec<&'a str> {
    let (table, _) = key.rsplit_once('.').unwrap_or(("", key));
    let of_table = known.iter().map(|name| parts(name));
    of_table
        .filter(|(of, _)| *of == table)
        .map(|(_, last)| last)
        .collect()
}

/// The key or the table that was probably meant by a key that no site has.
pub(super) fn meant_site_key(key: &str, layout: Layout) -> Option<String> {
    let (table, last) = key.rsplit_once('.').unwrap_or(("", key));
    let known = known_keys(layout);
    // The right key in the wrong table is more likely than a misspelt key.
    let elsewhere = known.iter().find(|name| parts(name).1 == last);
    let sibling = nearest(last, siblings(&known, key)).map(|near| match table {
        "" => near.to_owned(),
        table => format!("{table}.{near}"),
    });
    let meant = elsewhere
        .cloned()
        .or(sibling)
        .or_else(|| {
            // Many words are near "own", such as owner.
            let tables = tables(layout).filter(|table| *table != OWN);
            let table = nearest(key, tables).filter(|_| table.is_empty());
            table.map(str::to_owned)
        })
        .or_else(|| nearest(key, known.iter().map(String::as_str)).map(str::to_owned));
    meant.map(|name| site_key(&name).unwrap_or(name))
}

/// The error for a key that no site has, with the one probably meant.
pub(crate) fn unknown_site_key(key: &str, layout: Layout) -> ValueError {
    let error = ValueError::new(key, "a key of a site");
    if key.contains('=') {
        return error.with_remedy("a table of sites is CSV; a site in TOML goes into a .toml file");
    }
    if number(key).is_some() {
        return error.with_remedy("begin the table with a line of the columns' names");
    }
    let (table, _) = key.rsplit_once('.').unwrap_or(("", key));
    let known = known_keys(layout);
    let near = siblings(&known, key);
    match meant_site_key(key, layout) {
        Some(name) => {
            let mut remedy = format!("did you mean {name}?");
            // The line with the table's name was forgotten.
            if let (Layout::Tables, Some((of, _))) = (layout, name.split_once('.'))
                && of != table
            {
                remedy += &format!(" It belongs below a line [{of}]");
            }
            error.with_remedy(remedy)
        }
        None if near.is_empty() => {
            let tables: Vec<&str> = tables(layout).collect();
            error.with_remedy(format!("the tables are {}", tables.join(", ")))
        }
        None => {
            let own = match table {
                "" => format!("; a key of your own goes below a line [{OWN}]"),
                _ => String::new(),
            };
            error.with_remedy(format!("known here: {}{own}", near.join(", ")))
        }
    }
}
