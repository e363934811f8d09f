//! A night as CSV: every line of the timetable and every step of the views of a
//! place, ordered by time.

use super::{
    csv,
    rows::night::{EVENING, LINE, NightRow, STEP, TIME, WHICH, WHOSE},
};
use crate::plan::NightPlan;
use std::io::{self, Write};

/// Writes the header `site,view,night,...`, then one row per line and step.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(out: &mut impl Write, plans: &[NightPlan<'_>]) -> io::Result<()> {
    let fields = || {
        [WHOSE, WHICH, EVENING, TIME, LINE, STEP]
            .into_iter()
            .flatten()
    };
    csv::write_header(out, fields())?;
    for row in NightRow::all(plans) {
        csv::write_record(out, fields(), &row)?;
    }
    Ok(())
}
