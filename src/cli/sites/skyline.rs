//! `rakelight sites skyline`.

use crate::cli::{
    args::{CsvArgs, EyeArgs, Format, OutputArgs, WHERE},
    manners::{Failure, Outcome, Output, overwrite_guard, say},
    values,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    Figure,
    scene::{Site, ValueError},
    terrain::{AbsentTiles, ElevationMosaic, Eye, GroundPoint, SkylineProfile, SkylineSettings},
};
use std::path::PathBuf;

const HOW: &str = "How it is computed";

#[derive(Debug, Args)]
pub struct SkylineArgs {
    /// Elevation tiles in the .hgt layout, such as S32E139.hgt
    #[arg(required = true, value_name = "TILE")]
    pub tiles: Vec<PathBuf>,

    /// The camera's place: latitude and longitude, degrees
    #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true, help_heading = WHERE)]
    pub place: String,

    #[command(flatten)]
    pub eye: EyeArgs,

    /// Angle between directions, degrees
    #[arg(long, value_name = "DEG", default_value = "0.5", value_parser = values::number(0.01, 30.0), help_heading = HOW)]
    pub step: f64,

    /// Maximum distance, kilometres
    #[arg(long, value_name = "KM", default_value = "60", value_parser = values::number(0.2, 300.0), help_heading = HOW)]
    pub distance_km: f64,

    /// Treat ground without a tile as sea
    #[arg(long, help_heading = HOW)]
    pub sea: bool,

    #[command(flatten)]
    pub csv: CsvArgs,

    #[command(flatten)]
    pub output: OutputArgs,
}

/// Computes a skyline from elevation tiles.
pub fn run(args: &SkylineArgs) -> Result<Outcome, Failure> {
    let SkylineArgs {
        tiles,
        place,
        eye,
        step,
        distance_km,
        sea,
        csv,
        output,
    } = args;
    let site = Site::at_place(place, None).map_err(|error| Failure::option("place", &error))?;
    if place.matches(',').count() > 1 {
        let error = ValueError::new(place, "LATITUDE,LONGITUDE in degrees")
            .with_remedy("leave the elevation out: the tiles tell it");
        return Err(Failure::option("place", &error));
    }
    let camera = GroundPoint::new(site.latitude_deg, site.longitude_deg)
        .map_err(|error| anyhow!("--place: {error}"))?;
    tiles.iter().for_each(|tile| overwrite_guard::note(tile));
    // Open the output first, so that no work is lost if it cannot be written.
    let mut out = Output::open_skyline(output.output.as_deref())?;
    let land = ElevationMosaic::read(tiles).map_err(|error| anyhow!("{error}"))?;
    let settings = SkylineSettings {
        eye: Eye::AboveGround(eye.eye_height_m),
        azimuth_step_deg: *step,
        farthest_m: 1000.0 * distance_km,
        absent_tiles: if *sea {
            AbsentTiles::Sea
        } else {
            AbsentTiles::Unknown
        },
        ..SkylineSettings::default()
    };
    let profile =
        SkylineProfile::compute(&land, camera, &settings).map_err(|error| anyhow!("{error}"))?;
    profile.write_csv_as(&mut out, csv.style(Format::Csv)?)?;
    out.finish()?;
    let unknown = profile.points.iter().filter(|p| p.ridge.is_none()).count();
    let partial = profile.points.iter().filter(|p| p.missing_m > 0.0).count();
    if !output.quiet {
        say(&format!(
            "eye at {:.1} m; {} directions, {unknown} without any ground known, {partial} with \
             ground missing on the way (there the true skyline may be higher)",
            Figure(profile.eye_m),
            profile.points.len()
        ));
    }
    Ok(Outcome::Done)
}
