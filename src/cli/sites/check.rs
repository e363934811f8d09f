//! `rakelight sites check`.

use super::land;
use crate::cli::{
    args::{BriefFile, PlaceWords, SiteArgs, WHERE},
    asked_rules::AskedRules,
    inputs,
    manners::{Failure, Outcome, Output, say},
    site_stream::alone,
};
use clap::Args;
use rakelight::{
    input::Faults,
    plain_words::printable,
    report::{
        words::{near_town_words, place_words, toward_words, town_glow_lines},
        write_wrapped,
    },
    rule::{Brief, Rules},
    scene::{Facing, Site, SubjectPlace, TownDome},
    terrain::{ElevationMosaic, GroundPoint},
};
use std::{
    collections::BTreeSet,
    io::{self, Write},
    path::PathBuf,
};

#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Names or files of sites or points; - for standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,

    /// Check elevations by these files or folders
    ///
    /// .hgt tiles, GeoTIFFs and folders of them. One that is more than 30 m off
    /// the ground is told. Give it again for each.
    #[arg(long, value_name = "PATH", help_heading = WHERE)]
    pub elevation: Vec<PathBuf>,

    #[command(flatten)]
    pub brief: BriefFile,

    #[command(flatten)]
    pub words: PlaceWords,
}

/// Checks site files and reports every error in every file.
pub fn run(args: &CheckArgs) -> Result<Outcome, Failure> {
    let place = SiteArgs {
        sites: args.files.clone(),
        place: None,
        time_zone: None,
    };
    let elevation = land::files(&args.elevation)?;
    let mut faults = Faults::default();
    let mut good = 0_usize;
    let mut said = None;
    let mut out = Output::open(None)?;
    let asked_rules = AskedRules::read_file(&args.brief)?;
    let (own, sites) = inputs::sites_and_own(&place, &asked_rules.defaults, false)?;
    for site in alone(sites) {
        match site {
            Ok(mut site) => {
                site.conventions = args.words.conventions();
                good += 1;
                writeln!(
                    out,
                    "{}: good ({}, {}{})",
                    site.title(),
                    place_words(&site),
                    site.zone.name(),
                    near_town_words(&site).map_or_else(String::new, |near| format!(", {near}"))
                )?;
                write_glow(&mut out, &site)?;
                // The views of a place lack the same.
                if !said
                    .as_ref()
                    .is_some_and(|before: &Site| before.shares_place(&site))
                {
                    inputs::say_found_zone(&site);
                    if !elevation.is_empty() {
                        say_camera(&elevation, &site)?;
                    }
                    said = Some(site.clone());
                }
                if !elevation.is_empty() {
                    say_subject(&elevation, &site)?;
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

/// Says where the ground at the camera is not at the elevation given.
fn say_camera(files: &[PathBuf], site: &Site) -> Result<(), Failure> {
    let (latitude_deg, longitude_deg) = (site.latitude_deg, site.longitude_deg);
    let place = (latitude_deg, longitude_deg);
    let told = compared(files, &site.name, "elevation_m", place, site.elevation_m)?;
    told.iter().for_each(|told| say(told));
    Ok(())
}

/// The same at a subject whose elevation is given.
fn say_subject(files: &[PathBuf], site: &Site) -> Result<(), Failure> {
    let Some(SubjectPlace::Coordinates {
        latitude_deg,
        longitude_deg,
        elevation_m: Some(given_m),
    }) = site.subject.as_ref().map(|subject| subject.place)
    else {
        return Ok(());
    };
    let place = (latitude_deg, longitude_deg);
    let told = compared(files, &site.title(), "subject.elevation_m", place, given_m)?;
    told.iter().for_each(|told| say(told));
    Ok(())
}

fn compared(
    files: &[PathBuf],
    title: &str,
    key: &str,
    (latitude_deg, longitude_deg): (f64, f64),
    given_m: f64,
) -> Result<Option<String>, Failure> {
    let Ok(place) = GroundPoint::new(latitude_deg, longitude_deg) else {
        return Ok(None);
    };
    let land: ElevationMosaic = land::around(files, place, 0.0)?;
    Ok(match land::height_m(&land, place)? {
        Some(ground_m) => land::off_ground(title, key, given_m, ground_m),
        None => Some(format!(
            "{title}: the elevation files do not know the ground at {latitude_deg}, {longitude_deg}"
        )),
    })
}

/// Writes the towns that brighten its sky, first those under what the camera
/// looks at.
fn write_glow(out: &mut Output, site: &Site) -> io::Result<()> {
    let facing_deg = facing_deg(site);
    let lines = town_glow_lines(site, |dome| {
        dome.is_under(facing_deg?, TownDome::SAID_AT_DEG)
            .then(|| toward_words(site, dome))
    });
    let width = out.width();
    for line in lines {
        write_wrapped(out, "  ", &line, width)?;
    }
    Ok(())
}

/// The one direction that its rules or its subject give the camera of a site.
fn facing_deg(site: &Site) -> Option<f64> {
    match Rules::new(&Brief::default(), site).ok()?.facing {
        Facing::Bearing(bearing_deg) => Some(bearing_deg),
        Facing::Subject => site.subject_bearing_deg(),
        _ => None,
    }
}
