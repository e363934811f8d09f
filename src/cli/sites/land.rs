//! The ground from elevation files, as several commands read it.

use crate::cli::{
    manners::{Failure, overwrite_guard, say},
    values,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    Figure,
    input::elevation_files,
    scene::{LENS_HEIGHT_M, LengthUnit, Site},
    terrain::{
        AbsentTiles, ElevationMosaic, Eye, Ground, GroundPoint, HeightFact, SkylineProfile,
        SkylineSettings,
    },
};
use std::path::PathBuf;

const HOW: &str = "How it is computed";
/// A site whose elevation is off by more than this stands elsewhere, or is
/// given in another unit: 10 m are the error of elevation models on slopes, as
/// much again may lie between two posts (the project's choice).
pub const MOST_OFF_M: f64 = 30.0;

#[derive(Debug, Args)]
pub struct LandArgs {
    /// Angle between directions, degrees
    #[arg(long, value_name = "DEG", default_value = "0.5", value_parser = values::number(0.01, 30.0), help_heading = HOW)]
    pub step: f64,

    /// Maximum distance, kilometres (or 40mi)
    #[arg(long, value_name = "KM", default_value = "60", value_parser = values::length(LengthUnit::Kilometre, 0.2, 300.0), help_heading = HOW)]
    pub distance_km: f64,

    /// Treat ground without a tile as sea
    #[arg(long, help_heading = HOW)]
    pub sea: bool,
}

impl LandArgs {
    pub fn reach_m(&self) -> f64 {
        1000.0 * self.distance_km
    }

    pub fn settings(&self, eye_above_ground_m: f64) -> SkylineSettings {
        SkylineSettings {
            eye: Eye::AboveGround(eye_above_ground_m),
            azimuth_step_deg: self.step,
            farthest_m: self.reach_m(),
            absent_tiles: if self.sea {
                AbsentTiles::Sea
            } else {
                AbsentTiles::Unknown
            },
            ..SkylineSettings::default()
        }
    }
}

/// The files given, those of folders among them, noted so that no output
/// replaces them.
pub fn files(given: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let files = elevation_files(given)?;
    files.iter().for_each(|file| overwrite_guard::note(file));
    Ok(files)
}

/// The ground within a distance of a place.
pub fn around(
    files: &[PathBuf],
    place: GroundPoint,
    reach_m: f64,
) -> Result<ElevationMosaic, Failure> {
    let land = ElevationMosaic::read_around(files, place, reach_m);
    Ok(land.map_err(|error| anyhow!("{error}"))?)
}

/// Says what a user should know about the heights.
pub fn say_facts(facts: &[HeightFact]) {
    for fact in facts {
        say(&match fact {
            HeightFact::DatumTakenAsWgs84(datum) => {
                format!(
                    "places of elevation files on {datum} are taken as WGS84, 2.5 m apart at most"
                )
            }
            HeightFact::OverEllipsoid => {
                "heights of elevation files are over the ellipsoid, not over the sea: up to 110 m \
                 apart, which moves the skyline little and every elevation_m by that"
                    .to_owned()
            }
            HeightFact::Feet(_) => "heights of elevation files in feet are converted".to_owned(),
            _ => continue,
        });
    }
}

/// What a computed skyline leaves open.
pub fn profile_words(profile: &SkylineProfile) -> String {
    let unknown = profile.points.iter().filter(|p| p.ridge.is_none()).count();
    let partial = profile.points.iter().filter(|p| p.missing_m > 0.0).count();
    format!(
        "eye at {:.1} m; {} directions, {unknown} without any ground known, {partial} with \
         ground missing on the way (there the true skyline may be higher)",
        Figure(profile.eye_m),
        profile.points.len()
    )
}

/// The height of the ground, metres; `None` where the files do not know it.
pub fn height_m(land: &ElevationMosaic, place: GroundPoint) -> Result<Option<f64>, Failure> {
    match land.ground(place).map_err(|error| anyhow!("{error}"))? {
        Ground::Height(height) => Ok(Some(height)),
        Ground::Void | Ground::NoTile => Ok(None),
    }
}

/// What to say about an elevation that differs from the ground by more than
/// [`MOST_OFF_M`].
pub fn off_ground(title: &str, key: &str, given_m: f64, ground_m: f64) -> Option<String> {
    ((given_m - ground_m).abs() > MOST_OFF_M).then(|| {
        format!(
            "{title}: {key} is {:.0} m (0 where it is not given), the elevation files put the \
             ground at {:.0} m, more than {MOST_OFF_M} m apart: check both, and the coordinates",
            Figure(given_m),
            Figure(ground_m)
        )
    })
}

/// How high an eye at a subject is over its foot: halfway up, for that is what
/// the Moon lights; the lens's height where the subject's is not known.
pub fn subject_eye_m(site: &Site) -> f64 {
    let height = site.subject.as_ref().and_then(|subject| subject.height_m);
    height.map_or(LENS_HEIGHT_M, |height| 0.5 * height)
}
