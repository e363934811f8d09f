//! Spare nights, as a table and in JSON.

use super::{
    grid::{Grid, PLAIN, STRONG, Side},
    json::{list, object},
    rows::what_if::{NIGHT, SPARE},
    words::night_words,
};
use crate::search::SpareNights;
use serde_json::Value;
use std::io::{self, Write};

/// Spare nights named on one line of a table.
const SHOWN: usize = 3;

/// Writes, for each night, the good ones that follow it.
///
/// # Errors
///
/// What `out` says.
pub fn write_table(out: &mut impl Write, nights: &[SpareNights<'_>], days: u32) -> io::Result<()> {
    writeln!(
        out,
        "{STRONG}Spare nights{STRONG:#}: found within {days} days after, with their scores"
    )?;
    let mut grid = Grid::new([Side::Right, Side::Left, Side::Right, Side::Left]);
    grid.heading(["#", "night", "score", "spare"]);
    for night in nights {
        let mut spares: Vec<String> = night
            .spares
            .iter()
            .take(SHOWN)
            .map(|spare| format!("{} ({:.0})", spare.night.format("%a %m-%d"), spare.score))
            .collect();
        if let Some(more) = night
            .spares
            .len()
            .checked_sub(SHOWN)
            .filter(|more| *more > 0)
        {
            spares.push(format!("{more} more"));
        }
        let text = if spares.is_empty() {
            "none".to_string()
        } else {
            spares.join(", ")
        };
        grid.styled_row([
            (night.window.rank.to_string(), PLAIN),
            (night_words(night.window.night), PLAIN),
            (format!("{:.0}", night.window.score), STRONG),
            (text, PLAIN),
        ]);
    }
    grid.write(out)
}

/// The spare nights as an array.
pub fn array(nights: &[SpareNights<'_>]) -> Value {
    let spares = |night: &SpareNights<'_>| night.spares.iter().map(|w| list(SPARE, w)).collect();
    nights
        .iter()
        .map(|night| {
            let mut whole = object(NIGHT, &night);
            whole.insert("spares".into(), spares(night));
            Value::Object(whole)
        })
        .collect()
}
