//! A night as CSV: every line of the timetable and every step of the views of a
//! place, ordered by time.

use super::{
    csv,
    csv_layout::CsvLayout,
    rows::night::{ALL, NightRow},
};
use crate::plan::NightPlan;
use std::io::{self, Write};

/// Writes the header `site,view,night,...`, then one row per line and step.
///
/// # Errors
///
/// Any error of `out`.
pub fn write(out: &mut impl Write, plans: &[NightPlan<'_>], layout: &CsvLayout) -> io::Result<()> {
    let fields = || ALL.into_iter().flatten();
    csv::write_header(out, fields(), layout)?;
    for row in NightRow::all(plans) {
        csv::write_record(out, fields(), &row, row.plan.site, layout)?;
    }
    Ok(())
}
