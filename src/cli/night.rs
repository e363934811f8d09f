//! `rakelight night`.

use super::{
    Outcome,
    args::{BriefArgs, OutputArgs, SiteArgs},
    explain,
    failure::Failure,
    inputs::{self, Wishes},
    output::{Output, say},
    today, values,
};
use anyhow::{Context, anyhow};
use clap::{Args, ValueEnum};
use rakelight::{
    plan::{NightPlan, PlanSettings, WindowMap},
    report::{
        Record, SiteId,
        grid::STRONG,
        ical::{self, CalendarEvent},
        json, map, markdown, night, night_csv, night_json, reasons,
    },
    scene::{Site, ValueError},
    search::{Night, Planner},
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
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = "Where and when")]
    pub on: chrono::NaiveDate,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// Minutes from one line to the next
    ///
    /// Of light and settings.
    #[arg(long, value_name = "MINUTES", default_value = "15", value_parser = minutes, help_heading = "What to print")]
    pub step: f64,

    /// Shutter by the NPF rule: 1 strict to 3 lenient
    ///
    /// The factor on the full rule.
    #[arg(long, hide_short_help = true, value_name = "FACTOR", default_value = "1", value_parser = factor, help_heading = "What to print")]
    pub npf_factor: f64,

    /// Also every rule with its margin through the night
    ///
    /// When it holds, and which rule ends each window. As table and json.
    #[arg(long, help_heading = "What to print")]
    pub rules: bool,

    /// As table, json, csv, markdown, ical or geojson
    ///
    /// [default: as the name of --output ends, else table]
    #[arg(
        long,
        value_name = "FORMAT",
        hide_possible_values = true,
        help_heading = "What to print"
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

pub fn minutes(text: &str) -> Result<f64, String> {
    values::measure(text, 1.0, 720.0, "minutes from 1 to 720")
}

pub fn factor(text: &str) -> Result<f64, String> {
    values::measure(text, 0.1, 10.0, "a factor from 0.1 to 10")
}

/// The night of a date at a site.
pub fn night_of(site: &Site, date: chrono::NaiveDate) -> Result<Night, Failure> {
    Night::of(site, date).ok_or_else(|| {
        let expected = format!("an evening of the calendar in {}", site.zone.name());
        let error = ValueError::new(&date.to_string(), expected)
            .with_remedy("that day was left out there: take the one before or after");
        Failure::option("on", &error)
    })
}

pub fn run(args: &NightArgs) -> Result<Outcome, Failure> {
    if args.rules && !matches!(args.format(), NightFormat::Table | NightFormat::Json) {
        return Err(Failure::Said(anyhow!(
            "--rules is told as a table or json; choose --format table or json"
        )));
    }
    let wishes = Wishes::read(&args.brief)?;
    let site = inputs::one_site(&args.place, args.output.quiet)?;
    if !args.output.quiet {
        inputs::say_assumed_zone(&site);
    }
    let rules = inputs::rules(&wishes, &site)?;
    let night = night_of(&site, args.on)?;
    let settings = PlanSettings {
        step_minutes: args.step,
        npf_factor: args.npf_factor,
        ..PlanSettings::default()
    };
    let mut out = Output::open(args.output.output.as_deref())?;
    let planner = inputs::planner(site, rules, inputs::one_night(args.on)?)?;
    let plan = NightPlan::new(&planner, night, &settings)
        .with_context(|| format!("the camera of {}", planner.site().name))?;
    write(&mut out, args, &wishes, &planner, &plan)?;
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
        say(&format!(
            "{}: what stands in the way {}",
            site.name,
            crate::cli::reasons::BLEND
        ));
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
            query.insert("step_minutes".into(), args.step.into());
            query.insert("npf_factor".into(), args.npf_factor.into());
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

/// The features of a site and its windows, joined.
pub fn features(planner: &Planner, id: &SiteId, windows: &[&rakelight::search::Window]) -> String {
    let site = planner.site();
    let mut features = WindowMap::places(site)
        .map(|(camera, subject)| map::site_features(site, id, camera, subject))
        .unwrap_or_default();
    for window in windows {
        if let Some(drawn) = WindowMap::of(planner, window) {
            features.extend(map::window_features(&Record { site, window }, id, &drawn));
        }
    }
    map::joined(&features)
}
