//! The library in ten more lines: one night worked out, and one instant.
//!
//! `cargo run --example one_night`

use chrono::NaiveDate;
use rakelight::{Brief, Dates, Figure, Moment, PlanSettings, Planner, Site};
use std::io::Write;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let evening = NaiveDate::from_ymd_opt(2027, 7, 9).ok_or("no such date")?;
    let site = Site::new(-31.4, 139.2)?.with_elevation_m(120.0)?;
    let planner = Planner::new(site, &Brief::default(), Dates::one(evening)?)?;
    let plan = planner.plan(evening, &PlanSettings::default())?;
    let mut out = std::io::stdout().lock();
    for entry in plan.card() {
        let when = entry.moment().to_utc().format("%H:%M");
        writeln!(out, "{when} UTC {:?}", entry.event)?;
    }
    let moment = Moment::from_utc("2027-07-09T12:00:00Z".parse()?);
    let sky = planner.at(moment)?.sky;
    let moon = Figure(sky.moon.apparent_altitude_deg);
    writeln!(out, "At noon UTC the Moon stands {moon:.1} degrees up")?;
    Ok(())
}
