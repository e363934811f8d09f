//! `rakelight night`.

use super::{
    args::{
        BriefArgs, CalendarArgs, Format, Formats, PRINT, SiteArgs, SiteOutputArgs, StepArgs,
        TableArgs, WHERE, WeatherArgs, day::day, format,
    },
    asked_rules::AskedRules,
    explain::{self, BLEND},
    features::{features, night_counts},
    later::{first_of, season_after},
    manners::{Failure, Outcome, Output, say, today},
    one_site::OnePlace,
};
use anyhow::{Context, anyhow};
use chrono::NaiveDate;
use clap::Args;
use rakelight::{
    ephemeris::Moment,
    input::OldCalendar,
    plan::{NightNow, NightPlan, PlanSettings},
    report::{
        CsvLayout, CsvTable, SiteIds, WaypointFile,
        grid::STRONG,
        ical::{Calendar, SiteWindows, sites_in},
        json, map, markdown, night, night_csv, night_json,
        now::NowReport,
        of_night, place_night, reasons,
        words::night_words,
    },
    scene::{Dates, Day},
    search::{Night, Planner, Season, SitePlanners, Window},
    why::NightReasons,
};
use serde_json::{Map, Value};
use std::io::{self, Write as _};

/// What `rakelight night` takes.
#[derive(Debug, Args)]
pub struct NightArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening: YYYY-MM-DD, fri [default: tonight]
    ///
    /// Or today, tonight, tomorrow, a day of the week (the next one; today
    /// counts). Tonight is the night that goes on until noon, then the next.
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub on: Option<Day>,

    /// From one moment on: now, 21:30, 2027-05-29T21:30
    ///
    /// In short lines: what goes on, the settings of the moment, what comes next
    /// and when. A time of day is one of the night that goes on. As table and
    /// json.
    #[arg(long, value_name = "T", conflicts_with_all = ["on", "rules"], help_heading = WHERE)]
    pub time: Option<String>,

    #[command(flatten)]
    pub weather: WeatherArgs,

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
    pub table: TableArgs,

    #[command(flatten)]
    pub output: SiteOutputArgs,

    #[command(flatten)]
    pub calendar: CalendarArgs,
}

/// The plans of a night, one for each view, and what to write about them.
struct Answer<'a> {
    args: &'a NightArgs,
    asked_rules: &'a AskedRules,
    /// How the lines of a table are written.
    lines: CsvLayout,
    planners: &'a [Planner],
    plans: &'a [NightPlan<'a>],
    /// Those of each plan.
    reasons: Vec<Option<NightReasons>>,
    /// The evening.
    on: NaiveDate,
    /// What goes on in each, if one moment is asked about.
    now: Vec<(NightNow, Option<Window>)>,
    /// The calendar that is brought up to date.
    before: OldCalendar,
}

type Write = fn(&Answer<'_>, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[
    (Format::Table, write_table),
    (Format::Json, write_json),
    (Format::Csv, |answer, out| {
        night_csv::write(out, answer.plans, &answer.lines)
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
    let table = (format == Format::Csv).then_some(CsvTable::Night);
    args.table.check(format, table)?;
    if args.time.is_some() && !format.has_room() {
        return Err(Failure::Reported(anyhow!(
            "--time is printed as a table or json; choose --format table or json"
        )));
    }
    args.calendar.check(format == Format::Ical)?;
    let before = args.calendar.before()?;
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OnePlace::read(&args.place, &asked_rules, &args.output)?;
    let (on, moment) = when(&place, args)?;
    let place = place.with_weather(&args.weather, on, args.output.quiet)?;
    let own = place.views.iter().flat_map(|view| view.site.own.iter());
    let own = own.map(|(name, _)| name.to_owned());
    let lines = args.table.layout(table, own)?;
    let mut out = args.output.open(FORMATS, args.format)?;
    let planners = place.planners(on)?;
    let settings = args.steps.settings();
    let plan = |planner| plan_of(planner, on, &settings);
    let plans = planners.iter().map(plan).collect::<Result<Vec<_>, _>>()?;
    let mut reasons = Vec::new();
    for (planner, plan) in planners.iter().zip(&plans) {
        // A table of a night without a window always shows the reasons.
        // A table of a moment has no room for them.
        let at_night = format == Format::Table && moment.is_none();
        let asks = args.rules || (at_night && plan.windows.is_empty());
        let found = asks.then(|| planner.reasons(on)).transpose()?.flatten();
        if asks && found.is_none() && !args.output.quiet {
            let name = planner.site().title();
            say(&format!("{name}: what stands in the way {BLEND}"));
        }
        reasons.push(found);
    }
    let answer = Answer {
        args,
        asked_rules: &asked_rules,
        lines,
        planners: &planners,
        plans: &plans,
        reasons,
        on,
        now: moments(&planners, &plans, moment)?,
        before,
    };
    write(&answer, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// The evening asked for, and the moment of it if one is.
fn when(place: &OnePlace, args: &NightArgs) -> Result<(NaiveDate, Option<Moment>), Failure> {
    let first = place.first()?;
    if let Some(time) = &args.time {
        let moment = first.moment(time, args.output.quiet)?;
        let site = &first.site;
        let night = Night::at(site.longitude_deg, site.zone, moment);
        return Ok((first.evening(Day::Date(night.date))?, Some(moment)));
    }
    let on = first.evening(args.on.unwrap_or(Day::Tonight))?;
    if args.on.is_none() && !args.output.quiet {
        say(&format!(
            "No evening given: this is tonight, {}.",
            night_words(on)
        ));
    }
    Ok((on, None))
}

/// What goes on at a moment, and where no window is left the next one.
fn moments(
    planners: &[Planner],
    plans: &[NightPlan<'_>],
    moment: Option<Moment>,
) -> Result<Vec<(NightNow, Option<Window>)>, Failure> {
    let Some(moment) = moment else {
        return Ok(Vec::new());
    };
    let mut season: Option<Season> = None;
    let mut all = Vec::new();
    for (planner, plan) in planners.iter().zip(plans) {
        let now = NightNow::of(planner, plan, moment)?;
        let later = match now.window {
            Some(_) => None,
            None => {
                // The views of a place share the sky.
                season = season.or_else(|| season_after(plan.night.date));
                season.as_ref().and_then(|season| first_of(season, planner))
            }
        };
        all.push((now, later));
    }
    Ok(all)
}

/// The plan of a view.
pub fn plan_of<'a>(
    planner: &'a Planner,
    on: NaiveDate,
    settings: &PlanSettings,
) -> Result<NightPlan<'a>, Failure> {
    let plan = planner.plan(on, settings);
    let plan = plan.with_context(|| format!("the camera of {}", planner.site().title()));
    Ok(plan?)
}

fn write_table(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let several = answer.plans.len() > 1;
    for (index, report) in reports(answer).enumerate() {
        if index > 0 {
            writeln!(out)?;
        }
        report.write(out, several)?;
    }
    if !answer.now.is_empty() {
        return Ok(());
    }
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

/// What goes on in each plan.
fn reports<'a>(answer: &'a Answer<'_>) -> impl Iterator<Item = NowReport<'a>> {
    let plans = answer.plans.iter().zip(&answer.now);
    plans.map(|(plan, (now, later))| NowReport {
        plan,
        now,
        later: later.as_ref(),
    })
}

fn write_json(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let args = answer.args;
    let mut query = json::query("night");
    query.insert("on".into(), answer.on.to_string().into());
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
        let now = reports(answer).next().map(|report| report.object());
        let more = [("reasons", reasons), ("now", now)].into_iter();
        let more = more.filter_map(|(key, value)| Some((key.to_owned(), value?)));
        return night_json::write_with(out, plan, &Value::Object(query), more.collect());
    }
    let mut now = reports(answer).map(|report| report.object());
    let more = answer.plans.iter().zip(all_reasons).map(|(plan, reasons)| {
        let mut more = Map::new();
        more.extend(now.next().map(|now| ("now".to_owned(), now)));
        more.insert("rules".into(), rules(plan));
        more.extend(reasons.map(|reasons| ("reasons".to_owned(), reasons)));
        more
    });
    let more: Vec<_> = more.collect();
    night_json::write_views(out, answer.plans, query, &more)
}

fn write_calendar(answer: &Answer<'_>, out: &mut Output) -> io::Result<()> {
    let args = answer.args;
    let mut ids = SiteIds::after(sites_in(&answer.before));
    let dates = Dates::one(answer.on).map_err(io::Error::other)?;
    let before = answer.before.clone();
    let mut calendar = Calendar::new(args.calendar.style(), dates, today::now(), before);
    write!(out, "{}", calendar.begin())?;
    for plan in answer.plans {
        if plan.windows.is_empty() && !args.output.quiet {
            say(&format!(
                "{}: no window keeps every rule",
                plan.site.title()
            ));
        }
        let windows = SiteWindows {
            site: plan.site,
            id: &ids.of(plan.site),
            rules: plan.rules,
            all: &plan.windows.iter().collect::<Vec<_>>(),
        };
        let chosen: Vec<_> = plan.windows.iter().collect();
        write!(out, "{}", calendar.site(&windows, &chosen))?;
    }
    write!(out, "{}", calendar.end())
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
        let (planners, id) = (SitePlanners::from(planner.clone()), ids.of(plan.site));
        let all = (
            plan.windows.as_slice(),
            night_counts(&planners, &plan.windows),
        );
        features(&planners, &id, &windows, all, |_| id.clone())
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
