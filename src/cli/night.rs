//! `rakelight night`.

use super::{
    args::{BriefArgs, OutputArgs, PRINT, SiteArgs, StepArgs, WHERE},
    explain::{self, BLEND},
    features::features,
    manners::{Failure, Outcome, Output, say, today},
    one_site::OneSite,
    values,
    wishes::Wishes,
};
use anyhow::{Context, anyhow};
use clap::{Args, ValueEnum};
use rakelight::{
    plan::NightPlan,
    report::{
        SiteId,
        grid::STRONG,
        ical::{self, CalendarEvent},
        json, map, markdown, night, night_csv, night_json, reasons,
    },
    search::Planner,
    why::NightReasons,
};
use serde_json::Value;
use std::io::Write;

/// What `rakelight night` takes.
#[derive(Debug, Args)]
pub struct NightArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening, YYYY-MM-DD
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub on: chrono::NaiveDate,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub steps: StepArgs,

    /// Also every rule with its margin through the night
    ///
    /// When it holds, and which rule ends each window. As table and json.
    #[arg(long, help_heading = PRINT)]
    pub rules: bool,

    /// As table, json, csv, markdown, ical or geojson
    ///
    /// [default: as the name of --output ends, else table]
    #[arg(
        long,
        value_name = "FORMAT",
        hide_possible_values = true,
        help_heading = PRINT
    )]
    pub format: Option<NightFormat>,

    #[command(flatten)]
    pub output: OutputArgs,
}

impl NightArgs {
    /// The format asked for, by its name or by that of the file.
    fn format(&self) -> NightFormat {
        self.output.format(self.format, NightFormat::Table)
    }
}

/// Formats of a night.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum NightFormat {
    Table,
    Json,
    Csv,
    Markdown,
    Ical,
    Geojson,
}

pub fn run(args: &NightArgs) -> Result<Outcome, Failure> {
    if args.rules && !matches!(args.format(), NightFormat::Table | NightFormat::Json) {
        return Err(Failure::Reported(anyhow!(
            "--rules is told as a table or json; choose --format table or json"
        )));
    }
    let wishes = Wishes::read(&args.brief)?;
    let place = OneSite::read(&args.place, wishes, args.output.quiet)?;
    let night = place.night(args.on)?;
    let mut out = Output::open(args.output.output.as_deref())?;
    let planner = place.planner(args.on, 0)?;
    let plan = NightPlan::new(&planner, night, &args.steps.settings())
        .with_context(|| format!("the camera of {}", planner.site().name))?;
    write(&mut out, args, &place.wishes, &planner, &plan)?;
    out.finish()?;
    Ok(Outcome::Done)
}

fn write(
    out: &mut Output,
    args: &NightArgs,
    wishes: &Wishes,
    planner: &Planner,
    plan: &NightPlan<'_>,
) -> Result<(), Failure> {
    let site = plan.site;
    let asks = args.rules || (args.format() == NightFormat::Table && plan.windows.is_empty());
    let reasons = asks
        .then(|| NightReasons::of(planner, &plan.night))
        .flatten();
    if asks && reasons.is_none() && !args.output.quiet {
        say(&format!("{}: what stands in the way {}", site.name, BLEND));
    }
    match args.format() {
        NightFormat::Table => {
            let width = out.width();
            night::write(out, plan, width)?;
            // A night without a window asks for its reasons by itself.
            if let Some(reasons) = reasons {
                writeln!(out, "\n{STRONG}The rules through the night{STRONG:#}")?;
                reasons::write_table(out, site, plan.rules, &reasons)?;
            }
        }
        NightFormat::Json => {
            let mut query = json::query("night");
            query.insert("on".into(), args.on.to_string().into());
            query.insert("step_minutes".into(), args.steps.step.into());
            query.insert("npf_factor".into(), args.steps.npf_factor.into());
            query.insert("rules".into(), explain::object(wishes, site, plan.rules));
            let query = Value::Object(query);
            let times: Vec<_> = plan
                .steps
                .iter()
                .map(|step| step.instant.moment())
                .collect();
            let reasons = reasons.map(|reasons| reasons::object(planner, &reasons, &times));
            night_json::write(out, plan, &query, reasons)?;
        }
        NightFormat::Csv => night_csv::write(out, plan)?,
        NightFormat::Markdown => markdown::write_night(out, plan)?,
        NightFormat::Ical => {
            if plan.windows.is_empty() && !args.output.quiet {
                say(&format!("{}: no window keeps every rule", site.name));
            }
            write!(out, "{}", ical::begin())?;
            let id = SiteId::of(site);
            for window in &plan.windows {
                let event = CalendarEvent {
                    site,
                    id: &id,
                    window,
                    light: plan.rules.light,
                    stamp: today::now(),
                };
                write!(out, "{}", event.to_text())?;
            }
            write!(out, "{}", ical::end())?;
        }
        NightFormat::Geojson => {
            let windows: Vec<_> = plan.windows.iter().collect();
            let features = features(planner, &SiteId::of(site), &windows);
            write!(out, "{}\n{features}\n{}", map::BEGIN, map::END)?;
        }
    }
    Ok(())
}
