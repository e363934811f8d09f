//! `rakelight night`.

use super::{
    args::{BriefArgs, Format, Formats, OutputArgs, PRINT, SiteArgs, StepArgs, WHERE, format},
    asked_rules::AskedRules,
    explain::{self, BLEND},
    features::features,
    manners::{Failure, Outcome, Output, say, today},
    one_site::OneSite,
    values,
};
use anyhow::{Context, anyhow};
use clap::Args;
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
use std::io::{self, Write as _};

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

    /// Also show every rule with its margin through the night
    ///
    /// When each rule is met, and which rule ends each window. As table and json.
    #[arg(long, help_heading = PRINT)]
    pub rules: bool,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: OutputArgs,
}

/// A night's plan, and what to write about it.
struct Answer<'a> {
    args: &'a NightArgs,
    asked_rules: &'a AskedRules,
    planner: &'a Planner,
    plan: &'a NightPlan<'a>,
    reasons: Option<NightReasons>,
}

type Write = fn(&Answer<'_>, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[
    (Format::Table, write_table),
    (Format::Json, write_json),
    (Format::Csv, |answer, out| {
        night_csv::write(out, answer.plan)
    }),
    (Format::Markdown, |answer, out| {
        markdown::write_night(out, answer.plan)
    }),
    (Format::Ical, write_calendar),
    (Format::Geojson, write_map),
];

pub fn run(args: &NightArgs) -> Result<Outcome, Failure> {
    let (format, write) = args.output.format(FORMATS, args.format);
    if args.rules && !format.has_room() {
        return Err(Failure::Reported(anyhow!(
            "--rules is printed as a table or json; choose --format table or json"
        )));
    }
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OneSite::read(&args.place, asked_rules, args.output.quiet)?;
    place.check_night(args.on)?;
    let mut out = Output::open(args.output.output.as_deref())?;
    let planner = place.planner(args.on, 0)?;
    let plan = planner
        .plan(args.on, &args.steps.settings())
        .with_context(|| format!("the camera of {}", planner.site().title()))?;
    // A table of a night without a window always shows the reasons.
    let asks = args.rules || (format == Format::Table && plan.windows.is_empty());
    let reasons = asks
        .then(|| planner.reasons(args.on))
        .transpose()?
        .flatten();
    if asks && reasons.is_none() && !args.output.quiet {
        let name = planner.site().title();
        say(&format!("{name}: what stands in the way {BLEND}"));
    }
    let answer = Answer {
        args,
        asked_rules: &place.asked_rules,
        planner: &planner,
        plan: &plan,
        reasons,
    };
    write(&answer, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}

fn write_table(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let width = out.width();
    night::write(out, answer.plan, width)?;
    if let Some(reasons) = &answer.reasons {
        writeln!(out, "\n{STRONG}The rules through the night{STRONG:#}")?;
        reasons::write_table(out, answer.plan.site, answer.plan.rules, reasons, width)?;
    }
    Ok(())
}

fn write_json(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let (args, plan) = (answer.args, answer.plan);
    let mut query = json::query("night");
    query.insert("on".into(), args.on.to_string().into());
    query.insert("step_minutes".into(), args.steps.step.into());
    query.insert("npf_factor".into(), args.steps.npf_factor.into());
    let rules = explain::object(answer.asked_rules, plan.site, plan.rules);
    query.insert("rules".into(), rules);
    let steps = plan.steps.iter();
    let times: Vec<_> = steps.map(|step| step.instant.moment()).collect();
    let reasons = answer.reasons.as_ref();
    let reasons = reasons.map(|reasons| reasons::object(answer.planner, reasons, &times));
    night_json::write(out, plan, &Value::Object(query), reasons)
}

fn write_calendar(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let plan = answer.plan;
    if plan.windows.is_empty() && !answer.args.output.quiet {
        say(&format!(
            "{}: no window keeps every rule",
            plan.site.title()
        ));
    }
    write!(out, "{}", ical::begin())?;
    for window in &plan.windows {
        let event = CalendarEvent {
            site: plan.site,
            id: &SiteId::of(plan.site),
            window,
            light: plan.rules.light,
            stamp: today::now(),
        };
        write!(out, "{}", event.to_text())?;
    }
    write!(out, "{}", ical::end())
}

fn write_map(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let windows: Vec<_> = answer.plan.windows.iter().collect();
    let features = features(answer.planner, &SiteId::of(answer.plan.site), &windows);
    write!(out, "{}\n{features}\n{}", map::BEGIN, map::END)
}
