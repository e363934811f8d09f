//! `rakelight sites list`.

use crate::cli::{
    args::{PRINT, PlaceWords},
    inputs,
    manners::{Failure, Outcome, Output, say},
    site_folders,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    Figure,
    input::{Fault, Faults, SiteFolders, read_sites},
    plain_words::printable_path,
    report::{
        grid::{Grid, Side},
        words::{height_words, near_town_words},
    },
    scene::{Notation, Units, ValueError},
};
use std::{io::Write, path::PathBuf};

#[derive(Debug, Args)]
pub struct ListArgs {
    /// Folders of site files [default: those of RAKELIGHT_SITES]
    #[arg(value_name = "DIR")]
    pub folders: Vec<PathBuf>,

    /// Instead the addresses in a file, one a line
    ///
    /// What can be typed for each of its sites: SITE#VIEW, TABLE#ROW,
    /// TABLE#ROW#VIEW. Completions use it.
    #[arg(long, value_name = "SITE", conflicts_with = "folders", help_heading = PRINT)]
    pub addresses: Option<PathBuf>,

    #[command(flatten)]
    pub words: PlaceWords,
}

/// Lists every site in the folders given, else in those of the environment; a
/// file that cannot be read is reported and skipped.
pub fn run(args: &ListArgs) -> Result<Outcome, Failure> {
    if let Some(typed) = &args.addresses {
        let mut out = Output::open(None)?;
        let (addresses, faults) = inputs::addresses_in(typed)?;
        for address in addresses {
            writeln!(out, "{address}")?;
        }
        out.finish()?;
        faults.or_value(())?;
        return Ok(Outcome::Done);
    }
    let folders = if args.folders.is_empty() {
        site_folders::named()
    } else {
        SiteFolders::new(args.folders.iter().cloned())
    };
    if folders.is_empty() {
        let variable = site_folders::VARIABLE;
        return Err(Failure::Reported(anyhow!(
            "no folder to list: give one, or set {variable} (export {variable}=\"$HOME/sites\")"
        )));
    }
    let mut faults = Faults::default();
    let conventions = args.words.conventions();
    let (coordinates, units) = (conventions.coordinates, conventions.units);
    let split = coordinates == Notation::Decimal;
    let mut rows: Vec<[String; 6]> = Vec::new();
    for file in folders.files() {
        let sites = file.and_then(|path| Ok((read_sites(&path)?, printable_path(&path))));
        let mut wrong = Faults::default();
        match sites {
            Ok((sites, name)) => {
                for site in sites {
                    match site {
                        Ok(mut site) => {
                            let (latitude, longitude) = match split {
                                true => (
                                    format!("{:.4}", Figure(site.latitude_deg)),
                                    format!("{:.4}", Figure(site.longitude_deg)),
                                ),
                                false => {
                                    let (latitude, longitude) =
                                        (site.latitude_deg, site.longitude_deg);
                                    let text = coordinates.text(latitude, longitude, 4);
                                    (text, String::new())
                                }
                            };
                            // The unit is in the heading.
                            let height = height_words(units, site.elevation_m, 0);
                            let height = height.split(' ').next().unwrap_or_default();
                            site.conventions = conventions;
                            rows.push([
                                site.title().into_owned(),
                                latitude,
                                longitude,
                                height.to_owned(),
                                name.clone(),
                                near_town_words(&site).unwrap_or_default(),
                            ]);
                        }
                        Err(more) => wrong.extend(more),
                    }
                }
            }
            Err(more) => wrong.extend(more),
        }
        faults.extend(gist(wrong));
    }
    let rows_listed = !rows.is_empty();
    if rows_listed {
        let mut out = Output::open(None)?;
        let mut grid = listing(rows, split, units);
        // A script wants every column.
        if out.is_terminal() {
            grid.shed(out.width(), &[5, 3, 2, 1]);
        }
        grid.write(&mut out)?;
        out.finish()?;
    } else if faults.0.is_empty() {
        say("no site file there; `rakelight sites new FILE` begins one");
    }
    if faults.0.is_empty() {
        return Ok(Outcome::Done);
    }
    say(&faults.to_string());
    Ok(if rows_listed {
        Outcome::LeftOut
    } else {
        Outcome::Refused
    })
}

/// The rows under their headings; the last column, the town near a site, only if
/// one has a town.
fn listing(rows: Vec<[String; 6]>, split: bool, units: Units) -> Grid {
    // A whole position has no second column.
    let place = if split { Side::Right } else { Side::Left };
    let mut grid = Grid::new([
        Side::Left,
        place,
        place,
        Side::Right,
        Side::Left,
        Side::Left,
    ]);
    let near = rows.iter().any(|row| !row[5].is_empty());
    let columns = if near { 6 } else { 5 };
    let height = match units {
        Units::Metric => "m",
        Units::Feet => "ft",
    };
    let heads = match split {
        true => ["site", "latitude", "longitude", height, "file", "near"],
        false => ["site", "position", "", height, "file", "near"],
    };
    grid.heading(heads.into_iter().take(columns));
    for row in rows {
        grid.row(row.into_iter().take(columns));
    }
    grid
}

/// The first fault of a file, and how many more there are: `sites list` is not
/// a full check.
fn gist(faults: Faults) -> Faults {
    let more = faults.count().saturating_sub(1);
    let Some(first) = faults.into_iter().next() else {
        return Faults::default();
    };
    let file = first.file.clone();
    let mut gist = Faults::from(first);
    if more > 0 {
        let value = ValueError::new(&format!("{more} more"), "none")
            .with_remedy("`rakelight sites check` with that file shows all");
        gist.extend(Faults::from(Fault::of_file(&file, value)));
    }
    gist
}
