//! The table of moves of a run.

use crate::cli::manners::{Failure, overwrite_guard, say};
use rakelight::{
    input::{MoveTable, Named, read_moves_file},
    plan::{GivenMove, TripSearch},
    report::words::plural,
    scene::shown,
};
use std::{collections::HashMap, path::Path};

/// The moves of the table, by the numbers of the places.
pub fn read(path: &Path, search: &TripSearch, quiet: bool) -> Result<Vec<GivenMove>, Failure> {
    let mut places: HashMap<String, Named> = HashMap::new();
    for (site, place) in search.place_of_each_site() {
        let names = [site.name.clone(), site.title().into_owned()];
        for name in names {
            let known = places
                .entry(name.to_lowercase())
                .or_insert(Named::Place(place));
            if *known != Named::Place(place) {
                *known = Named::Several;
            }
        }
    }
    let named = |name: &str| {
        places
            .get(&name.to_lowercase())
            .copied()
            .unwrap_or(Named::Nothing)
    };
    let table = read_moves_file(path, named)?;
    if !quiet {
        say_left_out(path, &table);
    }
    let given = table.moves.iter().map(|((from, to), row)| GivenMove {
        from: *from,
        to: *to,
        km: row.km,
        hours: row.hours,
    });
    Ok(given.collect())
}

/// Reads the table before the work begins, so that a slip in it costs no time:
/// all but what its names mean.
pub fn check(path: &Path) -> Result<(), Failure> {
    overwrite_guard::note(path);
    read_moves_file(path, |_| Named::Nothing)?;
    Ok(())
}

fn say_left_out(path: &Path, table: &MoveTable) {
    if table.left_out == 0 {
        return;
    }
    let rows = plural(table.left_out as i64, "row", "rows");
    let names: Vec<String> = table.unknown.iter().map(|name| shown(name)).collect();
    say(&format!(
        "{}: left out {rows} with places that are not among these sites: {}",
        rakelight::plain_words::printable_path(path),
        names.join(", ")
    ));
}
