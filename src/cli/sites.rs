//! `rakelight sites`.

use super::{
    Outcome,
    args::SiteArgs,
    failure::Failure,
    inputs,
    output::{Output, say},
};
use anyhow::{Context, anyhow};
use rakelight::scene::{Faults, site_template};
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
                    site.latitude_deg,
                    site.longitude_deg,
                    site.elevation_m,
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

/// Writes a commented site file, never over another.
pub fn new(file: &Path) -> Result<Outcome, Failure> {
    if file == Path::new("-") {
        let mut out = Output::open(None)?;
        out.write_all(site_template().as_bytes())?;
        out.finish()?;
        return Ok(Outcome::Done);
    }
    let mut made = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)
        .map_err(|error| match error.kind() {
            std::io::ErrorKind::AlreadyExists => anyhow!(
                "{} is already there and stays as it is; name another file",
                file.display()
            ),
            _ => anyhow!("cannot make {}: {error}", file.display()),
        })?;
    made.write_all(site_template().as_bytes())
        .with_context(|| format!("cannot write {}", file.display()))?;
    say(&format!(
        "{} is written; edit it, then: rakelight sites check {0}",
        file.display()
    ));
    Ok(Outcome::Done)
}
