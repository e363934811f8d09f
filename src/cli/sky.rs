//! `rakelight sky`.

use super::{
    Outcome,
    args::{SkyArgs, TextFormat},
    failure::Failure,
    inputs,
    output::Output,
};
use rakelight::{
    report::sky::SkyReport,
    rule::Rules,
    scene::Zone,
    search::{LUNATION_DAYS, Shot},
};

pub fn run(args: &SkyArgs) -> Result<Outcome, Failure> {
    let site = inputs::one_site(&args.place, args.output.quiet)?;
    if !args.output.quiet {
        inputs::say_assumed_zone(&site);
    }
    let moment = site
        .zone
        .parse_time(&args.time)
        .map_err(|error| Failure::option("time", &error))?;
    let wishes = inputs::Wishes {
        options: inputs::typed(&args.view.typed)?,
        ..Default::default()
    };
    let rules: Rules = inputs::rules(&wishes, &site)?;
    // The Moon's age needs the new Moon before.
    let dates = inputs::one_night(Zone::UTC.local_date(moment))?.widened(LUNATION_DAYS);
    let planner = inputs::planner(site, rules, dates)?;
    let age_days = planner.season().span().moon_age_days(moment);
    let instant = planner.at(moment)?;
    let site = planner.site();
    let report = SkyReport {
        site,
        instant,
        age_days,
        shot: Shot::at(site, &instant),
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    match args.output.format(args.format, TextFormat::Table) {
        TextFormat::Table => report.write_table(&mut out)?,
        TextFormat::Json => report.write_json(&mut out)?,
    }
    out.finish()?;
    Ok(Outcome::Done)
}
