//! A night as CSV: every line of the timetable and every step, by time.

use super::{
    csv,
    rows::night::{LINE, NightRow, STEP, TIME, WHOSE},
};
use crate::plan::NightPlan;
use std::io::{self, Write};

/// Writes the header `site,night,...` and a row each.
///
/// # Errors
///
/// What `out` says.
pub fn write(out: &mut impl Write, plan: &NightPlan<'_>) -> io::Result<()> {
    let fields = || [WHOSE, TIME, LINE, STEP].into_iter().flatten();
    csv::write_header(out, fields())?;
    for row in NightRow::all(plan) {
        csv::write_record(out, fields(), &row)?;
    }
    Ok(())
}
