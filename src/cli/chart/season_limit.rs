//! How much a picture of a season may hold, checked before any of it is drawn.

use super::args::PictureFormat;
use crate::cli::manners::Failure;
use anyhow::anyhow;
use chrono::{Days, NaiveDate};
use rakelight::report::words::plural;

/// Most rows of a PNG, with headings: 250 rows of 124 pixels are 31,000 pixels
/// high, and some programs cannot open a picture of more than 32,767.
const MOST_PNG_ROWS: u64 = 250;
/// Most rows of an SVG: 200 years at one site, or a year at 300 sites (the
/// project's choice; docs/pictures.md says what such a picture costs).
const MOST_SVG_ROWS: u64 = 5000;
/// Length of the shortest lunation, days, rounded down (Meeus, *More
/// Mathematical Astronomy Morsels*, 2002, chapter 4: 29.27).
const SHORTEST_LUNATION_DAYS: f64 = 29.2;

fn most_rows(format: PictureFormat) -> u64 {
    match format {
        PictureFormat::Svg => MOST_SVG_ROWS,
        PictureFormat::Png => MOST_PNG_ROWS,
    }
}

/// The most rows that a site can take: a heading, and one row for each
/// lunation that the evenings reach into.
fn rows(evenings: u64) -> u64 {
    2 + (evenings as f64 / SHORTEST_LUNATION_DAYS).ceil() as u64
}

/// The most evenings that a site can have within this many rows; `None` if not
/// even one fits.
fn evenings_within(rows: u64) -> Option<u64> {
    let lunations = rows.checked_sub(2).filter(|rows| *rows > 0)?;
    Some((lunations as f64 * SHORTEST_LUNATION_DAYS).floor() as u64)
}

/// Checks that a picture of this many sites from evening `first` to `last` is
/// within the limit of its format.
///
/// # Errors
///
/// Too many rows, with what to ask for instead.
pub fn check(
    format: PictureFormat,
    sites: usize,
    first: NaiveDate,
    last: NaiveDate,
) -> Result<(), Failure> {
    let evenings = (last - first).num_days().unsigned_abs() + 1;
    let sites = sites as u64;
    let (found, most) = (sites.saturating_mul(rows(evenings)), most_rows(format));
    if found <= most {
        return Ok(());
    }
    let word = match format {
        PictureFormat::Svg => "an SVG",
        PictureFormat::Png => "a PNG",
    };
    let mut remedies = Vec::new();
    // Offer fewer evenings if at least a quarter of a year is left.
    let shorter = evenings_within(most / sites.max(1)).filter(|few| *few >= 90);
    if let Some(to) = shorter.and_then(|few| first.checked_add_days(Days::new(few - 1))) {
        remedies.push(format!("ask for fewer evenings (--to {to})"));
    }
    let fewer = most / rows(evenings);
    if fewer > 0 {
        let fewer = plural(fewer as i64, "site", "sites");
        remedies.push(format!("name at most {fewer}"));
    }
    if format == PictureFormat::Png && found <= MOST_SVG_ROWS {
        remedies.push("write --format svg".to_owned());
    }
    Err(Failure::Reported(anyhow!(
        "found {} from {first} to {last}, up to {found} rows of the picture, expected at most \
         {most} rows in {word}; {}",
        plural(sites as i64, "site", "sites"),
        match remedies.is_empty() {
            true => "ask for fewer sites and fewer evenings".to_owned(),
            false => remedies.join(", or "),
        }
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the message suggests is accepted.
    #[test]
    fn what_is_left_within_the_limit_is_within_it() {
        for most in [MOST_PNG_ROWS, MOST_SVG_ROWS] {
            for sites in 1..=most {
                if let Some(few) = evenings_within(most / sites) {
                    assert!(few >= 1 && sites * rows(few) <= most, "{sites} {few}");
                }
            }
            for evenings in [1, 29, 30, 365, 366, 3653, 73_049] {
                let fewer = most / rows(evenings);
                assert!(fewer * rows(evenings) <= most);
            }
        }
    }
}
