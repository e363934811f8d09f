//! How much a picture of a season may hold, checked before any of it is drawn.

use super::{
    args::PictureFormat,
    png::{MOST_PIXELS, pixels},
};
use crate::cli::manners::Failure;
use anyhow::anyhow;
use chrono::{Days, NaiveDate};
use rakelight::{
    chart::{Size, most_season_height},
    report::words::plural,
};

/// Most lines of a picture, each a site in a lunar month: 200 years at one site,
/// or a year at 300 sites (the project's choice; docs/pictures.md says what such a
/// picture costs).
const MOST_LINES: u64 = 5000;
/// Length of the shortest lunation, days, rounded down (Meeus, *More
/// Mathematical Astronomy Morsels*, 2002, chapter 4: 29.27).
const SHORTEST_LUNATION_DAYS: f64 = 29.2;

/// A limit of a picture, with what it can hold of it.
#[derive(Clone, Copy)]
enum Limit {
    /// Lines.
    Lines,
    /// The height of the PNG in pixels: some programs cannot open a higher one.
    Pixels(Size),
}

impl Limit {
    fn most(self) -> u64 {
        match self {
            Self::Lines => MOST_LINES,
            Self::Pixels(_) => u64::from(MOST_PIXELS),
        }
    }

    /// The most that a picture takes of it, with so many places of several views
    /// among the sites.
    fn taken(self, sites: u64, places: u64, evenings: u64) -> u64 {
        let months = lunations(evenings);
        match self {
            Self::Lines => sites.saturating_mul(months),
            Self::Pixels(size) => {
                let count = |number: u64| usize::try_from(number).unwrap_or(usize::MAX);
                // A place needs two views to have its name above them.
                let places = places.min(sites / 2);
                pixels(most_season_height(
                    size,
                    count(sites),
                    count(places),
                    count(months),
                ))
            }
        }
    }

    fn holds(self, sites: u64, places: u64, evenings: u64) -> bool {
        self.taken(sites, places, evenings) <= self.most()
    }
}

/// The most lunar months that so many evenings reach into.
fn lunations(evenings: u64) -> u64 {
    1 + (evenings as f64 / SHORTEST_LUNATION_DAYS).ceil() as u64
}

/// The greatest number up to `most` for which something holds that holds for 1
/// and, if it fails for a number, for no greater one; `None` if not for 1.
fn greatest(most: u64, holds: impl Fn(u64) -> bool) -> Option<u64> {
    if !holds(1) {
        return None;
    }
    let (mut low, mut high) = (1, most.max(1));
    while low < high {
        let middle = low + (high - low).div_ceil(2);
        match holds(middle) {
            true => low = middle,
            false => high = middle - 1,
        }
    }
    Some(low)
}

/// Checks that a picture of this many sites (with so many places of several views
/// among them) from evening `first` to `last` is
/// within the limits of its format.
///
/// # Errors
///
/// Too large a picture, with what to ask for instead.
pub fn check(
    (format, size): (PictureFormat, Size),
    (sites, places): (usize, usize),
    first: NaiveDate,
    last: NaiveDate,
) -> Result<(), Failure> {
    let evenings = (last - first).num_days().unsigned_abs() + 1;
    let (sites, places) = (sites as u64, places as u64);
    let limits: &[Limit] = match format {
        PictureFormat::Svg => &[Limit::Lines],
        PictureFormat::Png => &[Limit::Pixels(size), Limit::Lines],
    };
    let broken = |limit: &&Limit| !limit.holds(sites, places, evenings);
    let Some(limit) = limits.iter().find(broken) else {
        return Ok(());
    };
    let holds = |sites, evenings| {
        limits
            .iter()
            .all(|limit| limit.holds(sites, places, evenings))
    };
    let mut remedies = Vec::new();
    // Offer fewer evenings if at least a quarter of a year is left.
    let shorter = greatest(evenings, |few| holds(sites, few)).filter(|few| *few >= 90);
    if let Some(to) = shorter.and_then(|few| first.checked_add_days(Days::new(few - 1))) {
        remedies.push(format!("ask for fewer evenings (--to {to})"));
    }
    if let Some(fewer) = greatest(sites, |fewer| holds(fewer, evenings)).filter(|_| sites > 1) {
        let fewer = plural(fewer as i64, "site", "sites");
        remedies.push(format!("name at most {fewer}"));
    }
    if format == PictureFormat::Png && Limit::Lines.holds(sites, places, evenings) {
        remedies.push("write --format svg".to_owned());
    }
    let (found, most) = (limit.taken(sites, places, evenings), limit.most());
    let too_large = match limit {
        Limit::Lines => format!(
            "up to {found} lines of the picture, one for each in a lunar month, expected at most \
             {most}"
        ),
        Limit::Pixels(_) => format!(
            "a picture of up to {found} pixels in height, expected at most {most} pixels in a PNG"
        ),
    };
    Err(Failure::Reported(anyhow!(
        "found {} from {first} to {last}, {too_large}; {}",
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

    /// What the message suggests is accepted, and one more is not.
    #[test]
    fn what_is_left_within_the_limit_is_within_it() {
        for limit in [
            Limit::Lines,
            Limit::Pixels(Size::A4),
            Limit::Pixels(Size::Phone),
        ] {
            for sites in (1..400).chain([1000, 4000, 5000, 6000]) {
                let (most, places) = (73_049, sites / 3);
                if let Some(few) = greatest(most, |few| limit.holds(sites, places, few)) {
                    assert!(few >= 1 && limit.holds(sites, places, few), "{sites} {few}");
                    assert!(
                        few == most || !limit.holds(sites, places, few + 1),
                        "{sites} {few}"
                    );
                }
            }
            for evenings in [1, 29, 30, 365, 366, 3653, 73_049] {
                let (most, places) = (6000, 20);
                let fewer = greatest(most, |fewer| limit.holds(fewer, places, evenings));
                assert!(fewer.is_none_or(|fewer| limit.holds(fewer, places, evenings)));
                assert!(fewer.is_none_or(|fewer| !limit.holds(fewer + 1, places, evenings)));
            }
        }
    }
}
