//! The skylines of the rows of a table, computed on all cores.

use super::{HorizonArgs, compute};
use crate::cli::{
    manners::{Failure, Output, output::Written, progress::Progress},
    sites::land,
};
use rakelight::terrain::{ElevationMosaic, ElevationShelf, GroundPoint, HeightFact};
use rayon::prelude::*;
use std::{collections::BTreeMap, path::Path};

/// The columns of the skylines.
pub const CAMERA: &str = "skyline.file";
pub const SUBJECT: &str = "skyline.subject_file";

/// A row that lacks something.
pub struct Row {
    pub number: usize,
    pub camera: GroundPoint,
    pub reach_m: f64,
    pub skylines: Vec<Skyline>,
}

/// A skyline of a row.
pub struct Skyline {
    pub column: &'static str,
    /// Its file in the folder.
    pub file: String,
    pub from: GroundPoint,
    pub eye_m: f64,
    pub words: String,
    /// Whether an earlier row, with the same place, computes it.
    pub is_known: bool,
}

/// What was found for a row.
pub struct Found {
    pub written: Vec<(String, Written)>,
    /// Skylines that the ground is missing for in part.
    pub partial: usize,
    pub camera_m: Option<f64>,
    pub subject_m: Option<f64>,
}

/// What was found for each row, or why it has no skyline; and what to know of
/// the heights.
pub fn compute_all(
    args: &HorizonArgs,
    shelf: &ElevationShelf,
    folder: &Path,
    rows: &[Row],
    progress: &Progress,
) -> (BTreeMap<usize, Result<Found, String>>, Vec<HeightFact>) {
    let places: Vec<_> = rows.iter().map(|row| (row.camera, row.reach_m)).collect();
    let mut found = BTreeMap::new();
    let mut facts: Vec<HeightFact> = Vec::new();
    for batch in shelf.batches(&places) {
        // Each file is read once; then all cores have work.
        let rows = batch.iter().filter_map(|at| rows.get(*at));
        let surfaces: Vec<_> = rows
            .map(|row| (row, shelf.around(row.camera, row.reach_m)))
            .collect();
        for land in surfaces.iter().filter_map(|(_, land)| land.as_ref().ok()) {
            for fact in land.height_facts() {
                if !facts.contains(&fact) {
                    facts.push(fact);
                }
            }
        }
        let batch: Vec<_> = surfaces
            .into_par_iter()
            .map(|(row, land)| {
                let land = land.map_err(|error| error.to_string());
                let found = land.and_then(|land| {
                    let found = of_row(args, &land, folder, row);
                    found.map_err(|failure| match failure {
                        Failure::Reported(error) => format!("{error:#}"),
                        Failure::ClosedPipe => "the output was closed".to_owned(),
                    })
                });
                progress.site_done(0);
                (row.number, found)
            })
            .collect();
        found.extend(batch);
    }
    (found, facts)
}

fn of_row(
    args: &HorizonArgs,
    land: &ElevationMosaic,
    folder: &Path,
    row: &Row,
) -> Result<Found, Failure> {
    let mut found = Found {
        written: Vec::new(),
        partial: 0,
        camera_m: land::height_m(land, row.camera)?,
        subject_m: None,
    };
    for skyline in &row.skylines {
        if skyline.column == SUBJECT {
            found.subject_m = land::height_m(land, skyline.from)?;
        }
        if skyline.is_known {
            continue;
        }
        let settings = args.how.settings(skyline.eye_m);
        let profile = compute(land, skyline.from, &settings, &skyline.words)?;
        found.partial += usize::from(profile.points.iter().any(|point| point.missing_m > 0.0));
        let mut out = Output::open_skyline(Some(&folder.join(&skyline.file)))?;
        profile.write_csv(&mut out)?;
        found.written.push((skyline.file.clone(), out.written()?));
    }
    Ok(found)
}

/// The rows that have no skyline, and why: their own fails, or that of the row
/// that computes it.
pub fn lost(
    rows: &[Row],
    found: &BTreeMap<usize, Result<Found, String>>,
) -> BTreeMap<usize, String> {
    let mut lost = BTreeMap::new();
    let mut bad_files: BTreeMap<&str, &String> = BTreeMap::new();
    for row in rows {
        let failed = match found.get(&row.number) {
            Some(Err(why)) => Some(why),
            _ => None,
        };
        if let Some(why) = failed {
            let own = row.skylines.iter().filter(|skyline| !skyline.is_known);
            bad_files.extend(own.map(|skyline| (skyline.file.as_str(), why)));
        }
        let mut shared = row.skylines.iter();
        let shared = shared.find_map(|skyline| bad_files.get(skyline.file.as_str()).copied());
        if let Some(why) = failed.or(shared) {
            lost.insert(row.number, why.clone());
        }
    }
    lost
}
