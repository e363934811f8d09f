//! `rakelight sky`.

use super::{
    args::{OutputArgs, PRINT, SiteArgs, TextFormat, ViewArgs, WHERE},
    manners::{Failure, Outcome, Output},
    one_site::OneSite,
    wishes::Wishes,
};
use clap::Args;
use rakelight::{
    report::sky::SkyReport,
    search::{FrameSettings, LUNATION_DAYS},
};

#[derive(Debug, Args)]
pub struct SkyArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// RFC 3339, or local time (2027-05-13T21:30)
    ///
    /// The instant; local time is that of the site.
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: String,

    #[command(flatten)]
    pub view: ViewArgs,

    /// As table or json [default: table]
    #[arg(long, value_name = "FORMAT", hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<TextFormat>,

    #[command(flatten)]
    pub output: OutputArgs,
}

pub fn run(args: &SkyArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::typed(&args.view.typed)?;
    let place = OneSite::read(&args.place, wishes, args.output.quiet)?;
    let moment = place.moment(&args.time)?;
    // The Moon's age needs the new Moon before.
    let planner = place.planner_from(moment, LUNATION_DAYS)?;
    let age_days = planner.season().ephemeris().moon_age_days(moment);
    let instant = planner.at(moment)?;
    let site = planner.site();
    let report = SkyReport {
        site,
        instant,
        age_days,
        frame: FrameSettings::at(site, &instant),
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    match args.output.format(args.format, TextFormat::Table) {
        TextFormat::Table => report.write_table(&mut out)?,
        TextFormat::Json => report.write_json(&mut out)?,
    }
    out.finish()?;
    Ok(Outcome::Done)
}
