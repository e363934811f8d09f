//! `rakelight sky`.

use super::{
    args::{Format, Formats, InstantArgs, PRINT, SiteArgs, SiteOutputArgs, ViewArgs, format},
    asked_rules::AskedRules,
    manners::{Failure, Outcome, Output},
    photo::at_instant,
};
use clap::Args;
use rakelight::{plan::PhotoSettings, report::sky::SkyReport, search::LUNATION_DAYS};
use std::io;

#[derive(Debug, Args)]
pub struct SkyArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    #[command(flatten)]
    pub at: InstantArgs,

    #[command(flatten)]
    pub view: ViewArgs,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: SiteOutputArgs,
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
    report.write_key(out, width)
}

pub fn run(args: &SkyArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read_view(&args.view)?;
    let asked = (&args.place, &args.at, &asked_rules);
    let (place, moment, mut photo) = at_instant(asked, &args.output)?;
    // The Moon's age needs the previous new Moon.
    let planner = place.planner_from(moment, LUNATION_DAYS)?;
    let age_days = planner.season().ephemeris().moon_age_days(moment);
    let instant = planner.at(moment)?;
    let site = planner.site();
    let frame = planner.own_settings(&instant);
    if let Some(photo) = &mut photo {
        photo.settings = frame.map(|frame| PhotoSettings::of(&photo.photo, frame));
    }
    let report = SkyReport {
        site,
        instant,
        age_days,
        land_range: planner.land_range(&instant),
        frame,
        photo,
    };
    let mut out = args.output.open(FORMATS, args.format)?;
    let (_, write) = args.output.format(FORMATS, args.format);
    write(&report, args.output.quiet, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}
