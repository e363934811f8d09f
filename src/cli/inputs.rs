//! The sites of a command, wherever they come from.

use super::{
    args::{Part, SiteArgs},
    manners::{Failure, overwrite_guard, say},
    parted::{self, WHOLE},
    site_folders,
    site_stream::{Given, SiteIter, Step, Told, piped},
};
use anyhow::anyhow;
use rakelight::{
    input::{
        Addressed, Faults, SiteDefaults, SiteFolders, SiteReading, Sites, address_of, count_sites,
        demo_site, own_columns, read_site_table_at, read_sites_at,
    },
    plain_words::printable,
    rule::{Rules, TIMES},
    scene::{DateList, Dates, Site, ValueError, Zone, ZoneFrom, zone_of_place},
};
use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
    sync::Arc,
};

/// The sites of a command, with what the brief file gives to those that lack it.
/// If none is given, it is the built-in demo site, and a message says so.
pub fn sites(
    args: &SiteArgs,
    defaults: &Arc<SiteDefaults>,
    quiet: bool,
) -> Result<SiteIter, Failure> {
    Ok(sites_asked(args, defaults, quiet, SitesAsked::default())?.1)
}

/// The same, and before them the names of the user's own values: each table's
/// header and each site file is read for them first, then, from the beginning,
/// for the sites. Standard input is read as far as its header.
pub fn sites_and_own(
    args: &SiteArgs,
    defaults: &Arc<SiteDefaults>,
    quiet: bool,
) -> Result<(Vec<String>, SiteIter), Failure> {
    let asked = SitesAsked {
        own: true,
        ..SitesAsked::default()
    };
    sites_asked(args, defaults, quiet, asked)
}

/// What is wanted of the sites of a command.
#[derive(Debug, Clone, Copy, Default)]
pub struct SitesAsked {
    /// Whether the names of the user's own values must be known first.
    pub own: bool,
    /// The part of them, if not all.
    pub part: Option<Part>,
    /// Whether those before the part are read too.
    pub with_before: bool,
}

/// The same, as they are asked for; there are no names if they are not.
pub fn sites_asked(
    args: &SiteArgs,
    defaults: &Arc<SiteDefaults>,
    quiet: bool,
    asked: SitesAsked,
) -> Result<(Vec<String>, SiteIter), Failure> {
    let mut own = Vec::new();
    let alone = |step: Step| match asked.part {
        Some(part) if parted::blocks(part, &[1], quiet) != [WHOLE] => Box::new(std::iter::empty()),
        _ => one(step),
    };
    if let Some(place) = &args.place {
        let zone = match &args.time_zone {
            Some(name) => {
                Some(Zone::named(name).map_err(|error| Failure::option("time-zone", &error))?)
            }
            None => None,
        };
        let site = Site::at_place(place, zone.or(defaults.zone()));
        let site = site.map_err(|error| Failure::option("place", &with_options(place, error)))?;
        return Ok((own, alone(Given::alone(defaults.complete(site), None))));
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
        return Ok((own, alone(Given::alone(Ok(site), None))));
    }
    let folders = site_folders::named();
    // All are located before the first is read, so that no output overwrites one
    // that is read later.
    let find = |typed: &PathBuf| {
        let found = Source::of(&folders, typed);
        match &found {
            Ok(Source::File(file, _)) => overwrite_guard::note(file),
            Ok(Source::Standard(_)) => overwrite_guard::note_standard_input(),
            Err(_) => overwrite_guard::note(typed),
        }
        found
    };
    let sources: Vec<_> = args.sites.iter().map(find).collect();
    let standard = |found: &&Result<Source, Faults>| matches!(found, Ok(Source::Standard(_)));
    if sources.iter().filter(standard).nth(1).is_some() {
        let error = ValueError::new(
            "standard input (-) twice",
            "it once: it can be read only once",
        )
        .with_remedy("put its tables one after the other, or save one as a file");
        return Err(Failure::Reported(anyhow!("{error}")));
    }
    let blocks = match asked.part {
        Some(part) => {
            if sources.iter().any(|found| standard(&found)) {
                return Err(Failure::option("part", &no_pipe()));
            }
            let counts: Vec<usize> = sources.iter().map(count).collect();
            parted::blocks(part, &counts, quiet)
        }
        None => vec![WHOLE; sources.len()],
    };
    let reading = SiteReading::new(overwrite_guard::noting(), Arc::clone(defaults));
    let mut standard_input = None;
    for source in sources.iter().flatten().filter(|_| asked.own) {
        match source {
            Source::File(file, _) => own.extend(own_columns(file)),
            Source::Standard(address) => {
                let opened = open_standard_input(address.as_deref(), &reading);
                let columns = opened.as_ref().map(Sites::own_columns);
                own.extend(columns.unwrap_or_default().iter().cloned());
                standard_input = Some(opened);
            }
        }
    }
    let typed = args.sites.clone().into_iter();
    let sources = typed.zip(sources).zip(blocks);
    let needed = sources.filter(move |(_, block)| !block.is_empty(asked.with_before));
    let sites = needed.flat_map(move |((typed, found), block)| {
        let (path, is_pipe) = match &found {
            Ok(Source::File(file, _)) => (file.clone(), false),
            Ok(Source::Standard(_)) => (PathBuf::from(STANDARD_INPUT), true),
            Err(_) => (typed, false),
        };
        let opened = found.and_then(|source| match source {
            Source::File(file, address) => read_sites_at(&file, address.as_deref(), &reading),
            Source::Standard(address) => match standard_input.take() {
                Some(opened) => opened,
                None => open_standard_input(address.as_deref(), &reading),
            },
        });
        let file: Arc<str> = path.display().to_string().into();
        match opened {
            Ok(sites) => {
                let told = Told {
                    sites,
                    path,
                    file,
                    quiet,
                };
                match is_pipe {
                    true => piped(told),
                    false if block == WHOLE => Box::new(told),
                    false => Box::new(block.of(told, asked.with_before)),
                }
            }
            Err(_) if block.is_outside() => Box::new(std::iter::empty()),
            Err(faults) => one(Given::alone(Err(faults), Some(file))),
        }
    });
    Ok((own, Box::new(sites)))
}

/// Of how many things the sites of a source are parts.
fn count(source: &Result<Source, Faults>) -> usize {
    match source {
        Ok(Source::File(file, None)) => count_sites(file),
        _ => 1,
    }
}

/// Why standard input has no parts.
fn no_pipe() -> ValueError {
    ValueError::new(
        "standard input (-)",
        "files: their sites are counted before they are read",
    )
    .with_remedy("save it as a file first")
}

/// One step and no more.
fn one(step: Step) -> SiteIter {
    Box::new(std::iter::once(step))
}

/// What standard input is called in messages.
const STANDARD_INPUT: &str = "standard input";

/// The table on standard input.
fn open_standard_input(address: Option<&str>, reading: &SiteReading) -> Result<Sites, Faults> {
    read_site_table_at(
        STANDARD_INPUT,
        Path::new(""),
        std::io::stdin(),
        address,
        reading,
    )
}

/// Where sites come from, and what stands behind the `#`.
enum Source {
    File(PathBuf, Option<String>),
    Standard(Option<String>),
}

impl Source {
    fn of(folders: &SiteFolders, typed: &Path) -> Result<Self, Faults> {
        match typed.to_str().and_then(|text| text.strip_prefix('-')) {
            Some("") => return Ok(Self::Standard(None)),
            Some(rest) if !typed.exists() => {
                if let Some(address) = rest.strip_prefix('#') {
                    return Ok(Self::Standard(Some(address.to_owned())));
                }
            }
            _ => {}
        }
        let (file, address) = site_folders::find(folders, typed)?;
        Ok(Self::File(file, address))
    }
}

/// A file as it is typed, and what each of its sites is called behind the `#`.
struct Typed<'a> {
    file: &'a str,
    kind: Addressed,
    path: PathBuf,
}

impl<'a> Typed<'a> {
    /// `None` for standard input.
    fn of(typed: &'a Path) -> Result<Option<Self>, Faults> {
        let Source::File(path, address) = Source::of(&site_folders::named(), typed)? else {
            return Ok(None);
        };
        let text = typed.to_str();
        let file = text.and_then(|text| match &address {
            Some(address) => text.strip_suffix(address.as_str())?.strip_suffix('#'),
            None => Some(text),
        });
        Ok(file.map(|file| Self {
            file,
            kind: Addressed::of(&path),
            path,
        }))
    }

    fn address(&self, site: &Site) -> Option<String> {
        let address = address_of(site, self.kind)?;
        Some(format!("{}#{address}", self.file))
    }
}

/// What to type for each of these sites, if they come from one file:
/// `demo-sites/tank.toml#arch`.
pub fn addresses<'a>(args: &SiteArgs, sites: impl Iterator<Item = &'a Site>) -> Vec<String> {
    let [typed] = &args.sites[..] else {
        return Vec::new();
    };
    match Typed::of(typed) {
        Ok(Some(typed)) => sites.filter_map(|site| typed.address(site)).collect(),
        _ => Vec::new(),
    }
}

/// Every address in the file that a word means which may still be being typed,
/// such as `tank#` or `tank#no`, and what is wrong with the other sites.
pub fn addresses_in(typed: &Path) -> Result<(Vec<String>, Faults), Faults> {
    let mut all: Vec<String> = Vec::new();
    let mut faults = Faults::default();
    let Some(typed) = Typed::of(typed)? else {
        return Ok((all, faults));
    };
    let mut known = BTreeSet::new();
    let reading = SiteReading::new(overwrite_guard::noting(), Arc::default());
    for site in read_sites_at(&typed.path, None, &reading)? {
        let site = match site {
            Ok(site) => site,
            Err(wrong) => {
                faults.extend(wrong);
                continue;
            }
        };
        // All the views of a row, then the one.
        let row = (typed.kind == Addressed::Table).then(|| format!("{}#{}", typed.file, site.name));
        for address in row.into_iter().chain(typed.address(&site)) {
            if printable(&address) == address && known.insert(address.clone()) {
                all.push(address);
            }
        }
    }
    Ok((all, faults))
}

/// The error about `--place`, with what to type where only the zone is missing.
fn with_options(place: &str, error: ValueError) -> ValueError {
    let found = Site::at_place(place, Some(Zone::UTC))
        .map(|site| zone_of_place(site.latitude_deg, site.longitude_deg));
    match found {
        Ok(Err(unclear)) => {
            let typed = unclear.to_error(|zone| format!("--time-zone {zone}"));
            let remedy = typed.remedy.clone().unwrap_or_default();
            typed.with_remedy(format!("add {remedy}"))
        }
        _ => error,
    }
}

/// The most files of times about which something is said.
const MOST_SHORT: usize = 10;

/// Says where a site's allowed times do not reach over all of the evenings,
/// unless that was `said` already; gives what was said.
pub fn say_short_times(
    site: &Site,
    rules: &Rules,
    dates: Dates,
    said: &BTreeSet<String>,
) -> Option<String> {
    let list: DateList = rules.get(&TIMES)?;
    let [first, last] = list.reach()?;
    let left_out = match (dates.first() < first, last < dates.last()) {
        (false, false) => return None,
        (true, false) => "nights before are left out",
        (false, true) => "nights after are left out",
        (true, true) => "nights before and after are left out",
    };
    let words = format!("the times in {list} reach from {first} to {last}: {left_out}");
    if said.contains(&words) || said.len() >= MOST_SHORT {
        return None;
    }
    say(&format!("{}: {words}", site.name));
    Some(words)
}

/// Says which time zone a site has that gives none: local times are read in it.
pub fn say_found_zone(site: &Site) {
    let how = match site.zone_from {
        ZoneFrom::Given => return,
        ZoneFrom::Place => "from the place",
        ZoneFrom::Longitude => "by the longitude: no zone holds the place",
        _ => "none is given",
    };
    say(&format!("{}: zone {} ({how})", site.name, site.zone.name()));
}
