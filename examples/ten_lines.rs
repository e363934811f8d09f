//! The library in ten lines: the best raking nights of a season at one place.
//!
//! `cargo run --example ten_lines`

use chrono::NaiveDate;
use rakelight::{Brief, Dates, Planner, Site};
use std::io::Write;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let day = |month, day| NaiveDate::from_ymd_opt(2027, month, day).ok_or("no such date");
    let site = Site::new(-31.4, 139.2)?.with_elevation_m(120.0)?;
    let dates = Dates::new(day(4, 1)?, day(9, 30)?)?;
    let planner = Planner::new(site, &Brief::default(), dates)?;
    let mut out = std::io::stdout().lock();
    for window in planner.windows().iter().take(5) {
        let when = window.best.moment().to_utc();
        let (score, night) = (window.score, window.night);
        writeln!(out, "{score:.0} points on {night}, best at {when}")?;
    }
    Ok(())
}
