//! Tables of moves.

use super::said;
use rakelight::input::{MOST_MOVE_HOURS, MOST_MOVE_KM, Named, read_moves};

/// What some names mean.
fn named(name: &str) -> Named {
    match name {
        "A" => Named::Place(0),
        "B" => Named::Place(1),
        "C" => Named::Place(2),
        "D" => Named::Several,
        _ => Named::Nothing,
    }
}

pub fn run(data: &[u8]) {
    let read = read_moves("moves.csv", data, named);
    let table = match read {
        Ok(table) => table,
        Err(faults) => return said::check_faults(&faults),
    };
    assert!(table.unknown.len() <= table.left_out * 2);
    assert!(
        table
            .unknown
            .iter()
            .all(|name| named(name) == Named::Nothing)
    );
    for ((from, to), row) in &table.moves {
        assert!(from != to && *from < 3 && *to < 3);
        assert!(row.km.is_some() || row.hours.is_some());
        assert!(row.km.is_none_or(|km| (0.0..=MOST_MOVE_KM).contains(&km)));
        assert!(
            row.hours
                .is_none_or(|h| (0.0..=MOST_MOVE_HOURS).contains(&h))
        );
    }
}
