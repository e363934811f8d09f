//! `rakelight sites`.

use super::{
    Outcome,
    args::{SiteArgs, SitesCommand},
    failure::Failure,
    inputs, interruption, kept,
    output::{Output, say},
    site_folders,
    unwritable::unwritable,
};
use anyhow::anyhow;
use rakelight::{
    Figure,
    input::{Fault, Faults, SiteFolders, read_sites, site_template},
    plain_words::{printable, printable_path},
    report::grid::{Grid, Side},
    scene::{Site, ValueError},
    terrain::{AbsentTiles, ElevationMosaic, Eye, GroundPoint, HorizonProfile, HorizonSettings},
};
use std::{
    io::Write,
    path::{Path, PathBuf},
};

/// Proves site files: every error of every file.
pub fn check(files: &[PathBuf]) -> Result<Outcome, Failure> {
    let args = SiteArgs {
        sites: files.to_vec(),
        place: None,
        time_zone: None,
    };
    let mut faults = Faults::default();
    let mut good = 0_usize;
    let mut out = Output::open(None)?;
    for site in inputs::sites(&args, true)? {
        match site {
            Ok(site) => {
                good += 1;
                writeln!(
                    out,
                    "{}: good ({:.4} {:.4}, {:.0} m, {})",
                    site.name,
                    Figure(site.latitude_deg),
                    Figure(site.longitude_deg),
                    Figure(site.elevation_m),
                    site.zone.name()
                )?;
                inputs::say_assumed_zone(&site);
            }
            Err(wrong) => faults.extend(wrong),
        }
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

/// Names every site in the folders given, else in those that the environment
/// names; a file that can't be read is told and left out.
pub fn list(folders: &[PathBuf]) -> Result<Outcome, Failure> {
    let folders = if folders.is_empty() {
        site_folders::named()
    } else {
        SiteFolders::new(folders.iter().cloned())
    };
    if folders.is_empty() {
        let variable = site_folders::VARIABLE;
        return Err(Failure::Said(anyhow!(
            "no folder to list: name one, or set {variable} (export {variable}=\"$HOME/sites\")"
        )));
    }
    let mut faults = Faults::default();
    let mut grid = Grid::new([
        Side::Left,
        Side::Right,
        Side::Right,
        Side::Right,
        Side::Left,
    ]);
    grid.heading(["site", "latitude", "longitude", "m", "file"]);
    let mut found = 0_usize;
    for file in folders.files() {
        let sites = file.and_then(|path| Ok((read_sites(&path)?, printable_path(&path))));
        let mut wrong = Faults::default();
        match sites {
            Ok((sites, name)) => {
                for site in sites {
                    match site {
                        Ok(site) => {
                            found += 1;
                            grid.row([
                                site.name.clone(),
                                format!("{:.4}", Figure(site.latitude_deg)),
                                format!("{:.4}", Figure(site.longitude_deg)),
                                format!("{:.0}", Figure(site.elevation_m)),
                                name.clone(),
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
    if found > 0 {
        let mut out = Output::open(None)?;
        grid.write(&mut out)?;
        out.finish()?;
    } else if faults.0.is_empty() {
        say("no site file there; `rakelight sites new FILE` begins one");
    }
    if faults.0.is_empty() {
        return Ok(Outcome::Done);
    }
    say(&faults.to_string());
    Ok(Outcome::LeftOut)
}

/// The first fault of a file, and how many more there are: a list is no proof.
fn gist(faults: Faults) -> Faults {
    let more = faults.count().saturating_sub(1);
    let Some(first) = faults.into_iter().next() else {
        return Faults::default();
    };
    let file = first.file.clone();
    let mut gist = Faults::from(first);
    if more > 0 {
        let value = ValueError::new(&format!("{more} more"), "none")
            .with_remedy("`rakelight sites check` with that file tells all");
        gist.extend(Faults::from(Fault::of_file(&file, value)));
    }
    gist
}

/// Computes a skyline from elevation tiles.
pub fn horizon(command: &SitesCommand) -> Result<Outcome, Failure> {
    let SitesCommand::Horizon {
        tiles,
        place,
        eye_height_m,
        step_deg,
        farthest_km,
        sea,
        output,
    } = command
    else {
        return Ok(Outcome::Done);
    };
    let site = Site::at_place(place, None).map_err(|error| Failure::option("place", &error))?;
    if place.matches(',').count() > 1 {
        let error = ValueError::new(place, "LATITUDE,LONGITUDE in degrees")
            .with_remedy("leave the elevation out: the tiles tell it");
        return Err(Failure::option("place", &error));
    }
    let camera = GroundPoint::new(site.latitude_deg, site.longitude_deg)
        .map_err(|error| anyhow!("--place: {error}"))?;
    tiles.iter().for_each(|tile| kept::note(tile));
    // Before the work, so that a place that can't be written to costs none.
    let mut out = Output::open_skyline(output.output.as_deref())?;
    let land = ElevationMosaic::read(tiles).map_err(|error| anyhow!("{error}"))?;
    let settings = HorizonSettings {
        eye: Eye::AboveGround(*eye_height_m),
        azimuth_step_deg: *step_deg,
        farthest_m: 1000.0 * farthest_km,
        absent_tiles: if *sea {
            AbsentTiles::Sea
        } else {
            AbsentTiles::Unknown
        },
        ..HorizonSettings::default()
    };
    let profile =
        HorizonProfile::compute(&land, camera, &settings).map_err(|error| anyhow!("{error}"))?;
    profile.write_csv(&mut out)?;
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

/// A path as a shell takes it for one word, and the program for a file.
fn as_typed(file: &Path) -> String {
    const ALWAYS_PLAIN: &str = "-_./+,@";
    let name = file.to_str().unwrap_or("\0");
    // What cannot be shown cannot be typed either.
    if printable(name) != name {
        return "FILE".to_owned();
    }
    let name = match name.starts_with('-') {
        true => format!("./{name}"),
        false => name.to_owned(),
    };
    let more = if cfg!(windows) { "\\:~" } else { ":" };
    let plain = |c: char| c.is_alphanumeric() || ALWAYS_PLAIN.contains(c) || more.contains(c);
    if name.chars().all(plain) {
        name
    } else if cfg!(windows) || !name.contains(['$', '`', '"', '\\', '!']) {
        format!("\"{name}\"")
    } else {
        // Between these a shell obeys nothing but the sign itself.
        format!("'{}'", name.replace('\'', "'\\''"))
    }
}

/// Whether a path can only be that of a folder.
fn ends_as_folder(file: &Path) -> bool {
    let name = file.display().to_string();
    let last = name.trim_end_matches('.');
    let dots = name.len() - last.len();
    dots <= 2 && (last.ends_with(std::path::is_separator) || (last.is_empty() && dots > 0))
}

/// Writes a commented site file, never over another.
pub fn new(file: &Path) -> Result<Outcome, Failure> {
    if file == Path::new("-") {
        let mut out = Output::open(None)?;
        out.write_all(site_template().as_bytes())?;
        out.finish()?;
        return Ok(Outcome::Done);
    }
    if ends_as_folder(file) {
        return Err(unwritable(file, &std::io::ErrorKind::IsADirectory.into()).into());
    }
    // A site is found by its name only in a file that ends so.
    let named = match file.extension() {
        None if file.file_name().is_some() && !file.exists() => file.with_extension("toml"),
        _ => file.to_path_buf(),
    };
    let file = named.as_path();
    interruption::watch();
    // An interruption finds the file whole or not there.
    let whole = interruption::held_back();
    let mut made = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)
        .map_err(|error| match error.kind() {
            std::io::ErrorKind::AlreadyExists => anyhow!(
                "{} is already there and stays as it is; name another file",
                printable_path(file)
            ),
            _ => unwritable(file, &error),
        })?;
    let written = made.write_all(site_template().as_bytes());
    if let Err(error) = written.and_then(|()| made.sync_all()) {
        drop(made);
        // Part of a file would stand in the way of the next attempt.
        let _ = std::fs::remove_file(file);
        return Err(Failure::Said(unwritable(file, &error)));
    }
    drop(whole);
    say(&format!(
        "{} is written; edit it, then: rakelight sites check {}",
        printable_path(file),
        as_typed(file)
    ));
    Ok(Outcome::Done)
}
