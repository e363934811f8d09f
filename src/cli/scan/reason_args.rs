//! Options of `scan` that ask why, what if and what else.

use super::compare_args::{Beside, BesideParser};
use crate::cli::values;
use clap::Args;
use rakelight::{
    rule::{Brief, Rule},
    scene::{DateList, shown},
    why::{FOCAL_LENGTH, focal_length_mm},
};

const WHY: &str = "Why, what if, what else";

/// Why, what if and what else.
#[derive(Debug, Clone, Args)]
pub struct ReasonArgs {
    /// Also show N nights that just miss, closest first, each with the option that
    /// would include it
    ///
    /// Close means little is missing. Rules with different units are compared in
    /// steps that matter equally (5 degrees of altitude, 10 degrees to the side,
    /// 10 minutes, a tenth of the Moon); of two equal ones the better score
    /// comes first. In tables and JSON; not for --light blend.
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = values::count::<usize>(0, 100_000), hide_default_value = true, conflicts_with = "together", hide_short_help = true, help_heading = WHY)]
    pub near_misses: usize,

    /// Rules that a near miss may fail: 1 or 2
    #[arg(long, value_name = "RULES", default_value_t = 1, value_parser = values::count::<u8>(1, 2), requires = "near_misses", hide_short_help = true, help_heading = WHY)]
    pub failing_rules: u8,

    /// What each rule costs, and the smallest change of one rule that would give
    /// one night, and five
    ///
    /// If nothing is found, a summary is printed without asking. A change stays
    /// sensible: no target below the horizon, no Sun above
    /// -6, nothing behind the camera. Not for --light blend.
    #[arg(long, conflicts_with = "together", hide_short_help = true, help_heading = WHY)]
    pub advise: bool,

    /// For each night shown, the nights found in the next DAYS days
    ///
    /// With --together at any of the sites, and on the same evening at the
    /// others, each with its distance; views of a place count as one.
    #[arg(long, value_name = "DAYS", value_parser = values::count::<u32>(1, 366), hide_short_help = true, help_heading = WHY)]
    pub spare: Option<u32>,

    /// Nights found and best score for each value of a rule instead of windows
    ///
    /// Such as facing=100,120,subject or moon_fraction=..0.3,..0.5. Besides the
    /// rules, focal_mm=14,20,35 varies the lens. Give it twice for each pair of
    /// values. Separate values that contain commas with ;
    /// (weekdays=fri,sat;sun).
    #[arg(long, value_name = "RULE=A,B,...", value_parser = vary, allow_hyphen_values = true, conflicts_with_all = ["together", "compare", "by"], hide_short_help = true, help_heading = WHY)]
    pub vary: Vec<Varied>,

    /// Nights, years or sites side by side
    ///
    /// DATE,DATE,...: these nights of each site, and what decides between them.
    /// sites,DATE,...: the sites on each of these nights; before one date alone
    /// the word may be left out. --by month --compare years: for each site a
    /// row per month and a column per calendar year, with nights and best
    /// score. --by month --compare sites, --by year --compare sites: a row per
    /// month or year and a column per site, with nights and best night. These
    /// also as CSV, a line per site and month or year. Years are ten, as for
    /// --by year, if no range is given.
    #[arg(long, value_name = "WHAT,...", value_delimiter = ',', value_parser = BesideParser, hide_possible_values = true, conflicts_with = "together", hide_short_help = true, help_heading = WHY)]
    pub compare: Vec<Beside>,
}

/// One rule by its key, and the values to try, as typed.
pub type Varied = (String, Vec<String>);

/// Reads `RULE=A,B,C`, each value by the parser of the rule itself.
fn vary(text: &str) -> Result<Varied, String> {
    let (key, values) = text.split_once('=').ok_or_else(|| {
        let found = shown(text);
        format!("found {found}, expected RULE=A,B,...; for example moon_fraction=..0.3,..0.5")
    })?;
    let key = key.trim().trim_start_matches("--").replace('-', "_");
    let key = Rule::key_of(&key).to_owned();
    let separator = if values.contains(';') { ';' } else { ',' };
    let values: Vec<String> = values
        .split(separator)
        .map(|value| value.trim().to_string())
        .collect();
    for value in &values {
        let read = if key == FOCAL_LENGTH {
            focal_length_mm(value).map(|_| ())
        } else {
            Brief::default().set(&key, value)
        };
        let files = DateList::parse(value).is_ok_and(|list| list.files().next().is_some());
        if files && Brief::keys().any(|known| known == key) {
            let found = shown(value);
            let option = key.replace('_', "-");
            return Err(format!(
                "found {found}, expected values without a file; ask once for each, with --{option}"
            ));
        }
        read.map_err(|error| {
            let text = error.to_string();
            // The keys of briefs are all that can be varied, and the lens.
            text.replace("known keys: ", &format!("known keys: {FOCAL_LENGTH}, "))
        })?;
    }
    Ok((key, values))
}

impl ReasonArgs {
    /// Whether something else than windows is asked for.
    pub fn is_what_if(&self) -> bool {
        !self.vary.is_empty() || !self.compare.is_empty()
    }
}
