//! `rakelight sites skyline`.

use super::land::{self, LandArgs};
use crate::cli::{
    args::{
        CsvArgs, EyeArgs, Format, OutputArgs, WHERE,
        format::{OTHERWISE, check_one_of},
    },
    manners::{Failure, Outcome, Output, say},
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    scene::{Position, Site, ValueError, Zone},
    terrain::{GroundPoint, SkylineProfile},
};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct SkylineArgs {
    /// Elevation files (.hgt, GeoTIFF) or folders of them
    #[arg(required = true, value_name = "TILE")]
    pub tiles: Vec<PathBuf>,

    /// The camera's place, in any notation
    #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true, help_heading = WHERE)]
    pub place: String,

    #[command(flatten)]
    pub eye: EyeArgs,

    #[command(flatten)]
    pub how: LandArgs,

    #[command(flatten)]
    pub csv: CsvArgs,

    #[command(flatten)]
    pub output: OutputArgs,
}

/// Computes a skyline from elevation files.
pub fn run(args: &SkylineArgs) -> Result<Outcome, Failure> {
    let SkylineArgs {
        tiles,
        place,
        eye,
        how,
        csv,
        output,
    } = args;
    // A skyline has no clock, so a border between zones does not matter.
    let site =
        Site::at_place(place, Some(Zone::UTC)).map_err(|error| Failure::option("place", &error))?;
    let has_elevation = |place: Position| place.elevation_m.is_some();
    if place.parse().is_ok_and(has_elevation) {
        let error = ValueError::new(place, "a latitude and a longitude")
            .with_remedy("leave the elevation out: the tiles tell it");
        return Err(Failure::option("place", &error));
    }
    let camera = GroundPoint::new(site.latitude_deg, site.longitude_deg)
        .map_err(|error| anyhow!("--place: {error}"))?;
    let files = land::files(tiles)?;
    // Open the output first, so that no work is lost if it cannot be written.
    let path = output.output.as_deref();
    let mut out = Output::open_skyline(path)?;
    check_one_of(path, vec!["csv"], &["txt"], OTHERWISE)?;
    let land = land::around(&files, camera, how.reach_m())?;
    let settings = how.settings(eye.eye_height_m);
    let profile =
        SkylineProfile::compute(&land, camera, &settings).map_err(|error| anyhow!("{error}"))?;
    profile.write_csv_as(&mut out, csv.style(Format::Csv)?)?;
    out.finish()?;
    if !output.quiet {
        land::say_facts(&land.height_facts());
        say(&land::profile_words(&profile));
    }
    Ok(Outcome::Done)
}
