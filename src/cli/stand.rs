//! `rakelight stand`.

use super::{
    Outcome,
    args::{BriefArgs, OutputArgs, SiteArgs},
    failure::Failure,
    inputs::{self, Wishes},
    night::night_of,
    output::Output,
    values,
};
use anyhow::{Context, anyhow};
use clap::{Args, ValueEnum};
use rakelight::{
    ephemeris::Moment,
    plan::{Lens, NoStand, StandAims, clock_text, hours_text, stand, standing_hours},
    report::stand::StandReport,
    scene::Zone,
    search::Planner,
    terrain::{MagneticField, decimal_year},
};

/// What `rakelight stand` takes.
#[derive(Debug, Args)]
pub struct StandArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// RFC 3339, or local time (2027-05-13T21:30)
    ///
    /// The instant; local time is that of the site.
    #[arg(
        long,
        value_name = "T",
        required_unless_present = "on",
        conflicts_with = "on",
        help_heading = "Where and when"
    )]
    pub time: Option<String>,

    /// Or the best instant of that evening, YYYY-MM-DD
    ///
    /// Of the windows in which every rule holds.
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = "Where and when")]
    pub on: Option<chrono::NaiveDate>,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// Target above the subject, degrees
    ///
    /// Above its top.
    #[arg(long, value_name = "DEG", default_value = "5", allow_hyphen_values = true, value_parser = angle, help_heading = "What must stand where")]
    pub clearance: f64,

    /// Target right of the subject, degrees
    ///
    /// Degrees of azimuth, left negative.
    #[arg(long, value_name = "DEG", default_value = "0", allow_hyphen_values = true, value_parser = angle, help_heading = "What must stand where")]
    pub offset: f64,

    /// Lens above the ground, metres
    #[arg(long, value_name = "METRES", default_value = "1.5", value_parser = eye, help_heading = "What must stand where")]
    pub eye_height: f64,

    /// As table, json or geojson [default: table]
    #[arg(
        long,
        value_name = "FORMAT",
        hide_possible_values = true,
        help_heading = "What to print"
    )]
    pub format: Option<StandFormat>,

    #[command(flatten)]
    pub output: OutputArgs,
}

/// Formats of a standing point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum StandFormat {
    Table,
    Json,
    Geojson,
}

fn angle(text: &str) -> Result<f64, String> {
    values::measure(text, -90.0, 90.0, "degrees from -90 to 90")
}

fn eye(text: &str) -> Result<f64, String> {
    values::measure(text, 0.0, 100.0, "metres from 0 to 100")
}

pub fn run(args: &StandArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::read(&args.brief)?;
    let site = inputs::one_site(&args.place, args.output.quiet)?;
    if !args.output.quiet {
        inputs::say_assumed_zone(&site);
    }
    let rules = inputs::rules(&wishes, &site)?;
    let typed = match &args.time {
        Some(text) => {
            let moment = site.zone.parse_time(text);
            Some(moment.map_err(|error| Failure::option("time", &error))?)
        }
        None => None,
    };
    // The night of an instant may carry the date before.
    let date = match (args.on, typed) {
        (Some(on), _) => on,
        (None, Some(moment)) => Zone::UTC.local_date(moment),
        (None, None) => return Err(Failure::Said(anyhow!("give --time or --on"))),
    };
    let lens = Lens::of(&site, 1.0).with_context(|| format!("the camera of {}", site.name))?;
    let aims = StandAims {
        clearance_deg: args.clearance,
        offset_deg: args.offset,
        eye_height_m: args.eye_height,
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    let planner = inputs::planner(site, rules, inputs::one_night(date)?.widened(1))?;
    let site = planner.site();
    let moment = match (typed, args.on) {
        (Some(moment), _) => moment,
        (None, Some(on)) => best_of(&planner, on)?,
        (None, None) => return Err(Failure::Said(anyhow!("give --time or --on"))),
    };
    let answer = stand(&planner.sky(), site, &lens, &aims, moment)
        .map_err(|error| refusal(&planner, &aims, moment, error))?;
    let report = StandReport {
        site,
        lens: &lens,
        aims: &aims,
        stand: &answer,
        compass: MagneticField::at(
            site.latitude_deg,
            site.longitude_deg,
            site.elevation_m,
            decimal_year(moment),
        ),
        target_word: planner.rules().target_name(),
    };
    match args.output.format(args.format, StandFormat::Table) {
        StandFormat::Table => {
            let width = out.width();
            report.write_table(&mut out, width)?;
        }
        StandFormat::Json => report.write_json(&mut out)?,
        StandFormat::Geojson => report.write_map(&mut out)?,
    }
    out.finish()?;
    Ok(Outcome::Done)
}

/// The best instant of the best window of an evening.
fn best_of(planner: &Planner, on: chrono::NaiveDate) -> Result<Moment, Failure> {
    let night = night_of(planner.site(), on)?;
    let windows = planner.night_windows(&night);
    windows
        .iter()
        .max_by(|a, b| a.score.total_cmp(&b.score))
        .map(|window| window.best.moment())
        .ok_or_else(|| {
            Failure::Said(anyhow!(
                "no window keeps every rule on the night of {on}: give --time, or looser rules"
            ))
        })
}

/// Why there is no standing point, and when there is one that night.
fn refusal(planner: &Planner, aims: &StandAims, moment: Moment, error: NoStand) -> Failure {
    let zone = planner.site().zone;
    let by_sky = matches!(
        error,
        NoStand::TargetDown { .. } | NoStand::TooLow { .. } | NoStand::TooHigh { .. }
    );
    let at = clock_text(zone, moment, true);
    if !by_sky {
        return Failure::Said(anyhow!("no standing point: {error}"));
    }
    let hours: Vec<String> = standing_hours(&planner.sky(), planner.site(), aims, moment)
        .into_iter()
        .map(|interval| hours_text(zone, interval, true))
        .collect();
    let when = if hours.is_empty() {
        "there is no such place within half a day of it".to_string()
    } else {
        format!(
            "within half a day of it there is one {}",
            hours.join(" and ")
        )
    };
    Failure::Said(anyhow!("no standing point at {at}: {error}; {when}"))
}
