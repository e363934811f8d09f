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
    scan::{Season, Shot},
    scene::Zone,
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
    let date = Zone::UTC.local_date(moment);
    let first = date.checked_sub_days(chrono::Days::new(31)).unwrap_or(date);
    let season = Season::new(first, date);
    let age_days = season.span().moon_age_days(moment);
    let instant = season.with_outlook(&site, &rules, |outlook| outlook.at(moment));
    let report = SkyReport {
        site: &site,
        instant,
        age_days,
        shot: Shot::at(&site, &instant),
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    match args.output.format(args.format, TextFormat::Table) {
        TextFormat::Table => report.write_table(&mut out)?,
        TextFormat::Json => report.write_json(&mut out)?,
    }
    out.finish()?;
    Ok(Outcome::Done)
}
