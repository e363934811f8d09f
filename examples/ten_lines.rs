//! The library in ten lines: the best raking nights of a season at one place.
//!
//! `cargo run --example ten_lines`

use chrono::NaiveDate;
use rakelight::{rule::Brief, rule::Rules, scan::Season, scene::Site};
use std::io::Write;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let day = |month, day| NaiveDate::from_ymd_opt(2027, month, day).ok_or("no such date");
    let site = Site::at_place("-31.4,139.2,120", None)?;
    let rules = Rules::new(&Brief::default(), &site)?;
    let season = Season::new(day(4, 1)?, day(9, 30)?);
    let mut out = std::io::stdout().lock();
    for window in season.windows(&site, &rules).iter().take(5) {
        let when = window.best.moment().to_utc();
        writeln!(
            out,
            "{:.0} points on {}, best at {when}",
            window.score, window.night
        )?;
    }
    Ok(())
}
