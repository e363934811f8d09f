//! The sites of a command, wherever they come from.

use super::{
    args::SiteArgs,
    manners::{Failure, overwrite_guard, say},
    site_folders,
};
use rakelight::{
    input::{Faults, demo_site, read_site_table_telling, read_sites_telling},
    scene::{Site, Zone},
};
use std::path::{Path, PathBuf};

/// Sites, one after the other, wherever they come from; a table is read as the
/// iterator advances.
pub type SiteIter = Box<dyn Iterator<Item = Result<Site, Faults>> + Send>;

/// The sites of a command. If none is given, it is the built-in demo site, and
/// a message says so.
pub fn sites(args: &SiteArgs, quiet: bool) -> Result<SiteIter, Failure> {
    if let Some(place) = &args.place {
        let zone = match &args.time_zone {
            Some(name) => {
                Some(Zone::named(name).map_err(|error| Failure::option("time-zone", &error))?)
            }
            None => None,
        };
        let site = Site::at_place(place, zone).map_err(|error| Failure::option("place", &error))?;
        return Ok(Box::new(std::iter::once(Ok(site))));
    }
    if args.sites.is_empty() {
        let site = demo_site()?;
        if !quiet {
            say(&format!(
                "No site given: this is the built-in demo site {}, an invented place. \
                 `rakelight sites new FILE` begins your own.",
                site.name
            ));
        }
        return Ok(Box::new(std::iter::once(Ok(site))));
    }
    let folders = site_folders::named();
    // All are located before the first is read, so that no output overwrites one
    // that is read later.
    let find = |path: &PathBuf| {
        if path == Path::new("-") {
            overwrite_guard::note_standard_input();
            return Ok(None);
        }
        let found = site_folders::find(&folders, path);
        overwrite_guard::note(found.as_deref().unwrap_or(path));
        found.map(Some)
    };
    let sources: Vec<_> = args.sites.iter().map(find).collect();
    Ok(Box::new(sources.into_iter().flat_map(
        |found| -> SiteIter {
            let opened = found.and_then(|file| match file {
                Some(file) => read_sites_telling(&file, overwrite_guard::noting()),
                None => {
                    let (name, directory) = ("standard input", Path::new(""));
                    read_site_table_telling(
                        name,
                        directory,
                        std::io::stdin(),
                        overwrite_guard::noting(),
                    )
                }
            });
            match opened {
                Ok(sites) => Box::new(sites),
                Err(faults) => Box::new(std::iter::once(Err(faults))),
            }
        },
    )))
}

/// Warns if a site lacks what a correct answer needs: its place, or its zone.
pub fn say_assumed_zone(site: &Site) {
    // A new site file has these values: the nights would be those of a place at
    // sea.
    if site.latitude_deg == 0.0 && site.longitude_deg == 0.0 {
        say(&format!(
            "{}: stands at latitude 0, longitude 0, in the Atlantic; fill in latitude_deg and \
             longitude_deg",
            site.title()
        ));
    }
    if site.zone_assumed {
        say(&format!(
            "{}: no time zone given, so local times are UTC; give one with time_zone (or --time-zone)",
            site.title()
        ));
    }
}
