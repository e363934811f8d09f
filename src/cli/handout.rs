//! `rakelight handout`.

use super::{
    args::{BriefArgs, OutputArgs, SiteArgs, StepArgs, WHERE},
    asked_rules::AskedRules,
    manners::{Failure, Outcome, Output},
    one_site::OneSite,
    values,
};
use anyhow::Context;
use clap::Args;
use rakelight::{
    chart::{FrameChart, NightChart, Palette},
    plan::NightPlan,
    report::{
        handout::{self, Drawing},
        words::clock_text,
    },
    search::{NightSeries, Planner},
};

/// What `rakelight handout` takes.
#[derive(Debug, Args)]
pub struct HandoutArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening, YYYY-MM-DD
    #[arg(long, value_name = "DATE", value_parser = values::date, help_heading = WHERE)]
    pub on: chrono::NaiveDate,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub steps: StepArgs,

    #[command(flatten)]
    pub output: OutputArgs,
}

pub fn run(args: &HandoutArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OneSite::read(&args.place, asked_rules, args.output.quiet)?;
    place.check_night(args.on)?;
    let mut out = Output::open(args.output.output.as_deref())?;
    let planner = place.planner(args.on, 0)?;
    let series = planner.series(args.on, NightSeries::STEPS)?;
    let plan = planner
        .plan(args.on, &args.steps.settings())
        .with_context(|| format!("the camera of {}", planner.site().title()))?;
    write(&mut out, &planner, &series, &plan)?;
    out.finish()?;
    Ok(Outcome::Done)
}

fn write(
    out: &mut Output,
    planner: &Planner,
    series: &NightSeries,
    plan: &NightPlan<'_>,
) -> Result<(), Failure> {
    let (site, rules) = (plan.site, plan.rules);
    let night = NightChart {
        site,
        rules,
        series,
    };
    let best = plan.windows.iter().min_by_key(|window| window.rank);
    // To the second, so that the picture has the values of the timetable.
    let moment = best.map_or(plan.darkness.darkest, |w| w.best.moment());
    let view = FrameChart::at(planner, moment)?;
    let clock = clock_text(site.zone, moment, plan.clocks_change);
    let heading = if best.is_some() {
        format!("The view at the window's best, {clock}")
    } else {
        format!("No window; the view in the middle of the darkest hours, {clock}")
    };
    let [night_dark, view_dark] = [night.draw(Palette::Dark), view.draw(Palette::Dark)];
    let [night_light, view_light] = [night.draw(Palette::Light), view.draw(Palette::Light)];
    handout::write(
        out,
        plan,
        Drawing {
            heading: "The night",
            dark: &night_dark.svg,
            light: &night_light.svg,
        },
        Drawing {
            heading: &heading,
            dark: &view_dark.svg,
            light: &view_light.svg,
        },
    )?;
    Ok(())
}
