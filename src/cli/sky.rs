//! `rakelight sky`.

use super::{
    args::{Format, Formats, OutputArgs, PRINT, SiteArgs, ViewArgs, WHERE, format},
    asked_rules::AskedRules,
    manners::{Failure, Outcome, Output},
    one_site::OneSite,
    photo::Photographed,
};
use clap::Args;
use rakelight::{plan::PhotoSettings, report::sky::SkyReport, search::LUNATION_DAYS};
use std::{io, path::PathBuf};

#[derive(Debug, Args)]
pub struct SkyArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// RFC 3339, or local time (2027-05-13T21:30)
    ///
    /// The instant; local time is that of the site.
    #[arg(long, value_name = "T", required_unless_present = "photo", help_heading = WHERE)]
    pub time: Option<String>,

    /// A photo: its place, time and settings
    ///
    /// Where everything stood when it was taken, by its Exif, and its settings
    /// against the plan. --time and --place replace its own; a SITE gives what it
    /// lacks.
    #[arg(long, value_name = "FILE", help_heading = WHERE)]
    pub photo: Option<PathBuf>,

    #[command(flatten)]
    pub view: ViewArgs,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: OutputArgs,
}

type Write = fn(&SkyReport<'_>, bool, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[
    (Format::Table, write_table),
    (Format::Json, |report, _, out| report.write_json(out)),
];

fn write_table(report: &SkyReport<'_>, quiet: bool, out: &mut Output) -> io::Result<()> {
    let width = out.width();
    report.write_table(out, width)?;
    if quiet {
        return Ok(());
    }
    report.key().write(out, width)
}

pub fn run(args: &SkyArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::typed(&args.view.typed)?;
    let (quiet, time) = (args.output.quiet, args.time.as_deref());
    let (place, moment, mut photo) = match &args.photo {
        Some(path) => {
            let found = Photographed::read(path, &args.place, time, &asked_rules, quiet)?;
            let moment = found.report.time.moment;
            (found.place, moment, Some(found.report))
        }
        None => {
            let place = OneSite::read(&args.place, &asked_rules, quiet)?;
            // Without a photo clap wants it.
            let moment = place.moment(time.unwrap_or_default())?;
            (place, moment, None)
        }
    };
    // The Moon's age needs the previous new Moon.
    let planner = place.planner_from(moment, LUNATION_DAYS)?;
    let age_days = planner.season().ephemeris().moon_age_days(moment);
    let instant = planner.at(moment)?;
    let site = planner.site();
    let frame = planner.own_settings(&instant);
    if let (Some(photo), Some(frame)) = (&mut photo, frame) {
        photo.settings = Some(PhotoSettings::of(&photo.photo, frame));
    }
    let report = SkyReport {
        site,
        instant,
        age_days,
        land_range: planner.land_range(&instant),
        frame,
        photo,
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    let (_, write) = args.output.format(FORMATS, args.format);
    write(&report, args.output.quiet, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}
