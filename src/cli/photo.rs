//! `--photo`: the place, the time and the lens of a photograph.

use super::{
    args::{InstantArgs, SiteArgs, SiteOutputArgs},
    asked_rules::AskedRules,
    inputs,
    manners::{Failure, overwrite_guard},
    one_site::OneSite,
};
use rakelight::{
    ephemeris::Moment,
    input::read_photo,
    report::sky::PhotoReport,
    scene::{Photo, PhotoTime, Site, ValueError, Zone, offset_text, zone_of_place},
};
use std::{path::Path, sync::Arc};

/// A photograph where it was taken.
pub struct Photographed {
    pub place: OneSite,
    pub report: PhotoReport,
}

impl Photographed {
    /// Reads the photograph; what the command line says counts first, then what
    /// the photograph says, then the site.
    pub fn read(
        path: &Path,
        site: &SiteArgs,
        time: Option<&str>,
        asked_rules: &AskedRules,
        output: &SiteOutputArgs,
    ) -> Result<Self, Failure> {
        let photo = read_photo(path, &overwrite_guard::noting())?;
        let refuse = |error| Failure::option("photo", &error);
        let is_placed = site.place.is_some();
        let (site, away_m) = if is_placed || !site.sites.is_empty() {
            let site = Arc::unwrap_or_clone(OneSite::read(site, asked_rules, output)?.site);
            match is_placed {
                true => (site, None),
                false => site.at_place_of(&photo),
            }
        } else {
            let defaults = &asked_rules.defaults;
            let site = site_of(&photo, defaults.zone()).map_err(refuse)?;
            let site = defaults.complete(site)?;
            if !output.quiet {
                inputs::say_found_zone(&site);
            }
            (site, None)
        };
        let site = output.conventions.of(site.with_camera_of(&photo));
        let time = match time {
            Some(text) => {
                let moment = site.zone.parse_time(text);
                let moment = moment.map_err(|error| Failure::option("time", &error))?;
                PhotoTime::given(&photo, moment, site.zone)
            }
            None => photo
                .time(site.zone)
                .map_err(|error| refuse(with_option(error)))?,
        };
        Ok(Self {
            place: OneSite::of(site, asked_rules)?,
            report: PhotoReport {
                photo,
                time,
                away_m,
                settings: None,
            },
        })
    }
}

/// The site and the instant of a command about one of each, with the photograph
/// if they are its own.
pub fn at_instant(
    (site, at, asked_rules): (&SiteArgs, &InstantArgs, &AskedRules),
    output: &SiteOutputArgs,
) -> Result<(OneSite, Moment, Option<PhotoReport>), Failure> {
    let time = at.time.as_deref();
    if let Some(path) = &at.photo {
        let Photographed { place, report } =
            Photographed::read(path, site, time, asked_rules, output)?;
        return Ok((place, report.time.moment, Some(report)));
    }
    let place = OneSite::read(site, asked_rules, output)?;
    // Without a photo clap wants a time.
    let moment = place.moment(time.unwrap_or_default(), output.quiet)?;
    Ok((place, moment, None))
}

/// The site that a photograph alone gives, in the zone of a brief file if that
/// has one.
fn site_of(photo: &Photo, zone: Option<Zone>) -> Result<Site, ValueError> {
    let Some((latitude_deg, longitude_deg)) = photo.place_deg else {
        return Err(
            ValueError::new("a photo that does not say where it was taken", "a place")
                .with_remedy("add a SITE, or --place LATITUDE,LONGITUDE"),
        );
    };
    let place = format!(
        "{latitude_deg},{longitude_deg},{}",
        photo.elevation_m.unwrap_or_default()
    );
    let zone = match zone_of_place(latitude_deg, longitude_deg) {
        _ if zone.is_some() => zone,
        Ok(_) => None,
        // Near a border the camera's offset says enough.
        Err(unclear) => match photo.offset_minutes {
            Some(minutes) => Some(Zone::named(&offset_text(60 * minutes))?),
            None => {
                let typed = |zone: &str| format!("--place {place} --time-zone {zone}");
                let error = unclear.to_error(typed);
                let remedy = error.remedy.clone().unwrap_or_default();
                return Err(error.with_remedy(format!("add {remedy}")));
            }
        },
    };
    Site::at_place(&place, zone)
}

/// An error about the time of a photograph, with what to type.
fn with_option(error: ValueError) -> ValueError {
    let remedy = error.remedy.clone().unwrap_or_default();
    let remedy = match remedy.contains("write ") {
        true => remedy.replacen("write ", "add --time ", 1),
        false => "add --time".to_owned(),
    };
    error.with_remedy(remedy)
}
