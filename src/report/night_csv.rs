//! A night as CSV: every line of the timetable and every step, ordered by time.

use super::{
    csv,
    rows::night::{LINE, NightRow, STEP, TIME, WHOSE},
};
use crate::plan::NightPlan;
use std::io::{self, Write};

/// Writes the header `site,view,night,...`, then one row per line and step.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(out: &mut impl Write, plan: &NightPlan<'_>) -> io::Result<()> {
    let fields = || [WHOSE, TIME, LINE, STEP].into_iter().flatten();
    csv::write_header(out, fields())?;
    for row in NightRow::all(plan) {
        csv::write_record(out, fields(), &row)?;
    }
    Ok(())
}
