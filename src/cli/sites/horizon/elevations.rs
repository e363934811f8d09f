//! The elevations that a site file lacks, from the ground.

use super::site_text::{SiteText, Table};
use crate::cli::{manners::Failure, sites::land};
use rakelight::{
    Figure,
    scene::{Site, SubjectPlace},
    terrain::{ElevationMosaic, GroundPoint},
};

/// Fills in the elevations that are missing, and says what was found.
pub fn fill(
    land: &ElevationMosaic,
    sites: &[Site],
    text: &mut SiteText,
    camera: GroundPoint,
) -> Result<Vec<String>, Failure> {
    let own: Vec<bool> = (0..sites.len())
        .map(|index| text.has_own_subject(index))
        .collect();
    let mut said = Vec::new();
    let mut of_place = |title: &str, table: Table, keys: &[&str], at: GroundPoint, given_m: f64| {
        let Some(ground_m) = land::height_m(land, at)? else {
            return Ok::<(), Failure>(());
        };
        let key = keys.join(".");
        if text.has(table, keys) {
            said.extend(land::off_ground(title, &key, given_m, ground_m));
        } else {
            text.set_metres(table, keys, ground_m);
            said.push(format!("{title}: {key} = {:.0}", Figure(ground_m)));
        }
        Ok(())
    };
    let mut of_site = false;
    for (index, site) in sites.iter().enumerate() {
        if index == 0 {
            of_place(
                &site.name,
                Table::Site,
                &["elevation_m"],
                camera,
                site.elevation_m,
            )?;
        }
        let Some(SubjectPlace::Coordinates {
            latitude_deg,
            longitude_deg,
            elevation_m,
        }) = site.subject.as_ref().map(|subject| subject.place)
        else {
            continue;
        };
        let table = match own.get(index) {
            Some(true) => Table::View(index),
            // One for all views that have no other.
            _ if std::mem::replace(&mut of_site, true) => continue,
            _ => Table::Site,
        };
        let Ok(at) = GroundPoint::new(latitude_deg, longitude_deg) else {
            continue;
        };
        let keys = ["subject", "elevation_m"];
        of_place(&site.title(), table, &keys, at, elevation_m.unwrap_or(0.0))?;
    }
    Ok(said)
}
