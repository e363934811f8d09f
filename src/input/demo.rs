//! The site that shows what the tool does when none is given.

use super::fault::{Fault, Faults};
use super::read_toml::parse_site_with;
use crate::scene::Horizon;
use crate::scene::Site;
use crate::scene::ValueError;

const FILE: &str = "demo-sites/tinaja-mesa.toml";
const SITE: &str = include_str!("../../demo-sites/tinaja-mesa.toml");
/// The horizons that the site names.
const HORIZONS: [(&str, &str); 2] = [
    (
        "tinaja-mesa.skyline.csv",
        include_str!("../../demo-sites/tinaja-mesa.skyline.csv"),
    ),
    (
        "tinaja-mesa.subject-skyline.csv",
        include_str!("../../demo-sites/tinaja-mesa.subject-skyline.csv"),
    ),
];

/// The built-in demo site, an invented place read by the reader of all others.
///
/// # Errors
///
/// None in a build whose tests pass: they read it.
pub fn demo_site() -> Result<Site, Faults> {
    parse_site_with(
        FILE,
        SITE,
        None,
        &|name| match HORIZONS.iter().find(|(file, _)| *file == name) {
            Some((file, table)) => Horizon::read(file, table.as_bytes()),
            None => {
                let error = ValueError::new("no such file", "a horizon of the demo site");
                Err(Fault::of_file(name, error).into())
            }
        },
    )
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_demo_site_is_good() {
        let site = super::demo_site().expect("the built-in site");
        assert_eq!(site.name, "Tinaja Mesa");
        assert!(site.horizon.is_some() && site.subject_horizon.is_some());
        assert!(!site.zone_assumed);
    }
}
