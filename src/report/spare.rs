//! Spare nights, as a table and in JSON.

use super::{
    grid::STRONG,
    json::{list, object},
    record_grid,
    row::{Common, Field, Importance, Shown},
    rows::what_if::{NIGHT, SPARE, STANDING_IN, Spares},
};
use crate::search::SpareNights;
use serde_json::Value;
use std::io::{self, Write};

/// Writes, for each night, the good nights that follow it.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(out: &mut impl Write, nights: &[SpareNights<'_>], days: u32) -> io::Result<()> {
    writeln!(
        out,
        "{STRONG}Spare nights{STRONG:#}: found within {days} days after, with their scores"
    )?;
    let columns = record_grid::columns(
        NIGHT.iter().chain(STANDING_IN),
        Importance::Further,
        Common::default(),
    );
    let records: Vec<&SpareNights<'_>> = nights.iter().collect();
    let dress = |_: &Field<Spares>, shown: &Shown<Spares>, _: &&SpareNights<'_>, text: String| {
        (text, shown.style)
    };
    record_grid::grid(&columns, &records, false, str::to_owned, dress).write(out)
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
