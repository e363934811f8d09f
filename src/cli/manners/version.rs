//! `rakelight --version`, and the models and data behind the answers.

use super::{
    failure::{Failure, Outcome},
    output::Output,
};
use rakelight::{
    ephemeris::{EPHEMERIS, EPHEMERIS_ERROR, last_leap_second},
    scene::{YEARS, ZONE_BORDERS, Zone, zone_data_version},
    terrain::{MAGNETIC_MODEL, MAGNETIC_MODEL_YEARS, TOWNS_SOURCE},
};
use std::{env::consts, io::Write};

/// Writes the version and, if `in_full`, what an answer depends on.
pub fn write(in_full: bool) -> Result<Outcome, Failure> {
    let mut out = Output::open(None)?;
    writeln!(out, "rakelight {}", env!("CARGO_PKG_VERSION"))?;
    if in_full {
        let leap_seconds = last_leap_second().map(|(from, offset)| {
            let date = Zone::UTC.local_date(from);
            format!("TAI - UTC = {offset} s since {date}")
        });
        let magnetic = format!(
            "{MAGNETIC_MODEL}, {:.1} to {:.1}",
            MAGNETIC_MODEL_YEARS.start(),
            MAGNETIC_MODEL_YEARS.end()
        );
        let evenings = format!("{}-01-01 to {}-12-31", YEARS.start(), YEARS.end());
        let build = if cfg!(debug_assertions) {
            "debug"
        } else {
            "release"
        };
        for (name, text) in [
            ("ephemeris", EPHEMERIS.to_owned()),
            ("", EPHEMERIS_ERROR.to_owned()),
            ("evenings", evenings),
            ("leap seconds", leap_seconds.unwrap_or_default()),
            ("time zones", format!("IANA {}", zone_data_version())),
            ("", ZONE_BORDERS.to_owned()),
            ("magnetic model", magnetic),
            ("towns", TOWNS_SOURCE.to_owned()),
            ("features", "cli".to_owned()),
            ("target", format!("{} {}", consts::ARCH, consts::OS)),
            ("build", build.to_owned()),
        ] {
            writeln!(out, "{name:<15} {text}")?;
        }
    }
    out.finish()?;
    Ok(Outcome::Done)
}
