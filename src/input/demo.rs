//! The demo site, used when no site is given.

use super::fault::{Fault, Faults};
use super::read_toml::parse_site_with;
use super::site_files::SiteFiles;
use crate::scene::{BySite, Calendar, Climate, Site, SiteLog, Skyline, ValueError};
use std::sync::Arc;

const FILE: &str = "demo-sites/tinaja-mesa.toml";
const SITE: &str = include_str!("../../demo-sites/tinaja-mesa.toml");
/// The skyline files of the site.
const SKYLINES: [(&str, &str); 2] = [
    (
        "tinaja-mesa.skyline.csv",
        include_str!("../../demo-sites/tinaja-mesa.skyline.csv"),
    ),
    (
        "tinaja-mesa.subject-skyline.csv",
        include_str!("../../demo-sites/tinaja-mesa.subject-skyline.csv"),
    ),
];

/// The built-in demo site, an invented place, read like any other.
///
/// # Errors
///
/// None in a build that passes its tests: they read it.
pub fn demo_site() -> Result<Site, Faults> {
    parse_site_with(FILE, SITE, None, &BuiltIn)
}

/// The files in this program.
struct BuiltIn;

impl BuiltIn {
    fn missing(name: &str) -> Faults {
        let error = ValueError::new("no such file", "a file of the demo site");
        Fault::of_file(name, error).into()
    }
}

impl SiteFiles for BuiltIn {
    fn skyline(&self, name: &str) -> Result<Arc<Skyline>, Faults> {
        let mut known = SKYLINES.iter();
        let (file, table) = known
            .find(|(file, _)| *file == name)
            .ok_or_else(|| Self::missing(name))?;
        Skyline::read_whole(file, table.as_bytes()).map(Arc::new)
    }

    fn calendar(&self, name: &str) -> Result<Arc<Calendar>, Faults> {
        Err(Self::missing(name))
    }

    fn log(&self, name: &str) -> Result<Arc<SiteLog>, Faults> {
        Err(Self::missing(name))
    }

    fn climate(&self, name: &str) -> Result<Arc<BySite<Climate>>, Faults> {
        Err(Self::missing(name))
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_demo_site_is_good() {
        let site = super::demo_site().expect("the built-in site");
        assert_eq!(site.name, "Tinaja Mesa");
        assert!(site.skyline.is_some() && site.subject_skyline.is_some());
        assert_eq!(site.zone_from, crate::scene::ZoneFrom::Given);
    }
}
