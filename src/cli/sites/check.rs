//! `rakelight sites check`.

use crate::cli::{
    args::SiteArgs,
    inputs,
    manners::{Failure, Outcome, Output, say},
};
use clap::Args;
use rakelight::{Figure, input::Faults, plain_words::printable, scene::Site};
use std::{collections::BTreeSet, io::Write, path::PathBuf, sync::Arc};

#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Names or files of sites or points; - for standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
}

/// Checks site files and reports every error in every file.
pub fn run(args: &CheckArgs) -> Result<Outcome, Failure> {
    let place = SiteArgs {
        sites: args.files.clone(),
        place: None,
        time_zone: None,
    };
    let mut faults = Faults::default();
    let mut good = 0_usize;
    let mut said = None;
    let mut out = Output::open(None)?;
    let (own, sites) = inputs::sites_and_own(&place, &Arc::default(), false)?;
    for site in sites {
        match site {
            Ok(site) => {
                good += 1;
                writeln!(
                    out,
                    "{}: good ({:.4} {:.4}, {:.0} m, {})",
                    site.title(),
                    Figure(site.latitude_deg),
                    Figure(site.longitude_deg),
                    Figure(site.elevation_m),
                    site.zone.name()
                )?;
                // The views of a place lack the same.
                if !said
                    .as_ref()
                    .is_some_and(|before: &Site| before.shares_place(&site))
                {
                    inputs::say_found_zone(&site);
                    said = Some(site);
                }
            }
            Err(wrong) => faults.extend(wrong),
        }
    }
    // Each name once, whichever files have it.
    let mut known = BTreeSet::new();
    let own: Vec<&str> = own
        .iter()
        .map(String::as_str)
        .filter(|name| known.insert(*name))
        .collect();
    // Faults are not hidden behind what is fine.
    if good > 0 && !own.is_empty() {
        writeln!(out, "passed through: {}", printable(&own.join(", ")))?;
    }
    out.finish()?;
    if faults.0.is_empty() && good == 0 {
        say("no site in these files");
    }
    if faults.0.is_empty() {
        Ok(Outcome::Done)
    } else {
        Err(faults.into())
    }
}
