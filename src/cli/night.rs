//! `rakelight night`.

use super::{
    args::{
        BriefArgs, CsvArgs, Format, Formats, OutputArgs, PRINT, SiteArgs, StepArgs, WHERE, format,
    },
    asked_rules::AskedRules,
    explain::{self, BLEND},
    features::features,
    manners::{Failure, Outcome, Output, say, today},
    one_site::OnePlace,
    values,
};
use anyhow::{Context, anyhow};
use clap::Args;
use rakelight::{
    CsvStyle,
    plan::NightPlan,
    report::{
        CsvLayout, SiteIds, WaypointFile,
        grid::STRONG,
        ical::{self, CalendarEvent},
        json, map, markdown, night, night_csv, night_json, of_night, place_night, reasons,
    },
    search::Planner,
    why::NightReasons,
};
use serde_json::{Map, Value};
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

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), long_help = format::listed(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub csv: CsvArgs,

    #[command(flatten)]
    pub output: OutputArgs,
}

/// The plans of a night, one for each view, and what to write about them.
struct Answer<'a> {
    args: &'a NightArgs,
    asked_rules: &'a AskedRules,
    style: CsvStyle,
    planners: &'a [Planner],
    plans: &'a [NightPlan<'a>],
    /// Those of each plan.
    reasons: Vec<Option<NightReasons>>,
}

type Write = fn(&Answer<'_>, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[
    (Format::Table, write_table),
    (Format::Json, write_json),
    (Format::Csv, |answer, out| {
        let own = answer.plans.iter().flat_map(|plan| plan.site.own.iter());
        let own = own.map(|(name, _)| name.to_owned());
        night_csv::write(out, answer.plans, &CsvLayout::new(answer.style, own))
    }),
    (Format::Markdown, |answer, out| match answer.plans {
        [plan] => markdown::write_night(out, plan),
        plans => place_night::write_markdown(out, plans),
    }),
    (Format::Ical, write_calendar),
    (Format::Geojson, write_map),
    (Format::Gpx, |answer, out| {
        write_points(answer, WaypointFile::Gpx, out)
    }),
    (Format::Kml, |answer, out| {
        write_points(answer, WaypointFile::Kml, out)
    }),
];

pub fn run(args: &NightArgs) -> Result<Outcome, Failure> {
    let (format, write) = args.output.format(FORMATS, args.format);
    if args.rules && !format.has_room() {
        return Err(Failure::Reported(anyhow!(
            "--rules is printed as a table or json; choose --format table or json"
        )));
    }
    let style = args.csv.style(format)?;
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OnePlace::read(&args.place, &asked_rules, args.output.quiet)?;
    place.first()?.check_night(args.on)?;
    let mut out = Output::open(args.output.output.as_deref())?;
    let planners = place.planners(args.on)?;
    let plan = |planner| plan_of(planner, args);
    let plans = planners.iter().map(plan).collect::<Result<Vec<_>, _>>()?;
    let mut reasons = Vec::new();
    for (planner, plan) in planners.iter().zip(&plans) {
        // A table of a night without a window always shows the reasons.
        let asks = args.rules || (format == Format::Table && plan.windows.is_empty());
        let found = asks
            .then(|| planner.reasons(args.on))
            .transpose()?
            .flatten();
        if asks && found.is_none() && !args.output.quiet {
            let name = planner.site().title();
            say(&format!("{name}: what stands in the way {BLEND}"));
        }
        reasons.push(found);
    }
    let answer = Answer {
        args,
        asked_rules: &asked_rules,
        style,
        planners: &planners,
        plans: &plans,
        reasons,
    };
    write(&answer, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// The plan of a view.
fn plan_of<'a>(planner: &'a Planner, args: &NightArgs) -> Result<NightPlan<'a>, Failure> {
    let plan = planner.plan(args.on, &args.steps.settings());
    let plan = plan.with_context(|| format!("the camera of {}", planner.site().title()));
    Ok(plan?)
}

fn write_table(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let width = out.width();
    match answer.plans {
        [plan] => night::write(out, plan, width)?,
        plans => place_night::write(out, plans, width)?,
    }
    for (plan, reasons) in answer.plans.iter().zip(&answer.reasons) {
        let Some(reasons) = reasons else { continue };
        let whose = match (answer.plans, &plan.site.view) {
            ([_, _, ..], Some(view)) => format!(", {view}"),
            _ => String::new(),
        };
        writeln!(
            out,
            "\n{STRONG}The rules through the night{whose}{STRONG:#}"
        )?;
        reasons::write_table(out, plan.site, plan.rules, reasons, width)?;
    }
    Ok(())
}

fn write_json(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let args = answer.args;
    let mut query = json::query("night");
    query.insert("on".into(), args.on.to_string().into());
    query.insert("step_minutes".into(), args.steps.step.into());
    query.insert("npf_factor".into(), args.steps.npf_factor.into());
    let rules = |plan: &NightPlan<'_>| explain::object(answer.asked_rules, plan.site, plan.rules);
    let views = answer.planners.iter().zip(answer.plans);
    let mut all_reasons = views
        .zip(&answer.reasons)
        .map(|((planner, plan), reasons)| {
            let steps = plan.steps.iter();
            let times: Vec<_> = steps.map(|step| step.instant.moment()).collect();
            let reasons = reasons.as_ref();
            reasons.map(|reasons| reasons::object(planner, reasons, &times))
        });
    if let [plan] = answer.plans {
        query.insert("rules".into(), rules(plan));
        let reasons = all_reasons.next().flatten();
        return night_json::write(out, plan, &Value::Object(query), reasons);
    }
    let more = answer.plans.iter().zip(all_reasons).map(|(plan, reasons)| {
        let mut more = Map::new();
        more.insert("rules".into(), rules(plan));
        more.extend(reasons.map(|reasons| ("reasons".to_owned(), reasons)));
        more
    });
    let more: Vec<_> = more.collect();
    night_json::write_views(out, answer.plans, query, &more)
}

fn write_calendar(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let mut ids = SiteIds::default();
    write!(out, "{}", ical::begin())?;
    for plan in answer.plans {
        if plan.windows.is_empty() && !answer.args.output.quiet {
            say(&format!(
                "{}: no window keeps every rule",
                plan.site.title()
            ));
        }
        let id = ids.of(plan.site);
        for window in &plan.windows {
            let event = CalendarEvent {
                site: plan.site,
                id: &id,
                window,
                light: plan.rules.light,
                stamp: today::now(),
            };
            write!(out, "{}", event.to_text())?;
        }
    }
    write!(out, "{}", ical::end())
}

fn write_points(answer: &Answer<'_>, file: WaypointFile, out: &mut Output) -> io::Result<()> {
    let points: Vec<_> = answer.plans.iter().flat_map(of_night).collect();
    write!(out, "{}", file.whole(&points))
}

fn write_map(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let mut ids = SiteIds::default();
    let views = answer.planners.iter().zip(answer.plans);
    let pages = views.map(|(planner, plan)| {
        let windows: Vec<_> = plan.windows.iter().collect();
        features(planner, &ids.of(plan.site), &windows)
    });
    let features: Vec<String> = pages.filter(|page| !page.is_empty()).collect();
    write!(
        out,
        "{}\n{}\n{}",
        map::BEGIN,
        features.join(",\n"),
        map::END
    )
}
