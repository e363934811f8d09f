//! Sites and wishes from options and files.

use super::{
    args::{BriefArgs, SiteArgs, TypedRules},
    failure::Failure,
    kept,
    output::say,
    site_folders,
};
use chrono::NaiveDate;
use rakelight::{
    input::{
        Fault, Faults, demo_site, read_brief_file, read_site_table_telling, read_sites_telling,
    },
    rule::{Brief, NoSubject, Rules},
    scene::{self, Dates, Site, ValueError, Zone},
    search::{Planner, Season},
};
use std::path::{Path, PathBuf};

/// Sites, one after the other, from wherever they were named; a table is read
/// as the iterator goes on.
pub type SiteIter = Box<dyn Iterator<Item = Result<Site, Faults>> + Send>;

/// The sites of a command. With none named it is the built-in demo site, and
/// that is said.
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
    // All are found before the first is read, so that no output goes over one
    // that would have been read later.
    let find = |path: &PathBuf| {
        if path == Path::new("-") {
            kept::note_standard_input();
            return Ok(None);
        }
        let found = site_folders::find(&folders, path);
        kept::note(found.as_deref().unwrap_or(path));
        found.map(Some)
    };
    let sources: Vec<_> = args.sites.iter().map(find).collect();
    Ok(Box::new(sources.into_iter().flat_map(
        |found| -> SiteIter {
            let opened = found.and_then(|file| match file {
                Some(file) => read_sites_telling(&file, kept::noting()),
                None => {
                    let (name, directory) = ("standard input", Path::new(""));
                    read_site_table_telling(name, directory, std::io::stdin(), kept::noting())
                }
            });
            match opened {
                Ok(sites) => Box::new(sites),
                Err(faults) => Box::new(std::iter::once(Err(faults))),
            }
        },
    )))
}

/// The one site of a command about one place.
pub fn one_site(args: &SiteArgs, quiet: bool) -> Result<Site, Failure> {
    let mut sites = sites(args, quiet)?;
    let refuse = |found: &str| {
        let error = ValueError::new(found, "one site for this command")
            .with_remedy("name one file, or a table of one row");
        Err(Failure::Said(anyhow::anyhow!("{error}")))
    };
    match (sites.next(), sites.next()) {
        (None, _) => refuse("no site"),
        (Some(Ok(site)), None) => Ok(site),
        (Some(Ok(first)), Some(Ok(second))) => {
            refuse(&format!("{} and {}", first.name, second.name))
        }
        (Some(Err(mut faults)), Some(Err(more))) => {
            faults.extend(more);
            Err(faults.into())
        }
        (Some(Err(faults)), _) | (_, Some(Err(faults))) => Err(faults.into()),
    }
}

/// What is said in one go of several sites that left out their zone.
pub fn say_assumed_zone(site: &Site) {
    // As a new site file has it: nights would be found, of a place at sea.
    if site.latitude_deg == 0.0 && site.longitude_deg == 0.0 {
        say(&format!(
            "{}: stands at latitude 0, longitude 0, in the Atlantic; fill in latitude_deg and \
             longitude_deg",
            site.name
        ));
    }
    if site.zone_assumed {
        say(&format!(
            "{}: no time zone given, so local times are UTC; name one with time_zone (or --time-zone)",
            site.name
        ));
    }
}

/// The rules that were typed.
pub fn typed(rules: &TypedRules) -> Result<Brief, Failure> {
    let mut brief = Brief::default();
    for (rule, text) in rules {
        brief
            .set(rule.key, text)
            .map_err(|error| Failure::option(&rule.option_name(), &error))?;
    }
    Ok(brief)
}

/// Wishes by where they were said.
#[derive(Debug, Clone, Default)]
pub struct Wishes {
    /// Options on the command line.
    pub options: Brief,
    /// The `--brief` file.
    pub file: Brief,
}

impl Wishes {
    /// Reads them.
    pub fn read(args: &BriefArgs) -> Result<Self, Failure> {
        let options = typed(&args.typed)?;
        let file = match &args.brief {
            Some(path) => {
                kept::note(path);
                read_brief_file(path)?
            }
            None => Brief::default(),
        };
        Ok(Self { options, file })
    }

    /// The wishes for a site: options before the brief file before the site's
    /// own.
    pub fn at(&self, site: &Site) -> Brief {
        self.options
            .clone()
            .or(&self.file)
            .or(&Brief::of_site(site))
    }

    /// Where the word on `key` came from at a site.
    pub fn origin(&self, key: &str, site: &Site) -> &'static str {
        // As merged, not as said: a wish about another kind of light's Moon
        // falls out on the way.
        let says = |brief: &Brief| brief.entries().iter().any(|(said, _)| *said == key);
        if says(&self.options) {
            "option"
        } else if says(&self.options.clone().or(&self.file)) {
            "brief file"
        } else if says(&self.at(site)) {
            "site"
        } else {
            "default"
        }
    }
}

/// The planner of one place over some nights.
pub fn planner(site: Site, rules: Rules, dates: Dates) -> Result<Planner, Failure> {
    Ok(Season::new(dates).planner(site, rules)?)
}

/// One night, which was typed and is of the years that are served.
pub fn one_night(on: NaiveDate) -> Result<Dates, Failure> {
    Dates::one(on).map_err(|error| Failure::Said(error.into()))
}

/// The rules at a site, or what stands in their way as a fault of the input.
pub fn rules(wishes: &Wishes, site: &Site) -> Result<Rules, Faults> {
    Rules::new(&wishes.at(site), site).map_err(|error| no_subject(&error))
}

/// A facing direction that a site cannot give, as a fault of the input.
pub fn no_subject(error: &NoSubject) -> Faults {
    let value = ValueError::new(
        &format!("facing = subject at {}", scene::shown(&error.site)),
        "a site with a subject",
    )
    .with_remedy("give the site a [subject] with bearing_deg, or face a bearing, target or arch");
    Faults::from(Fault::of_file("facing", value))
}
