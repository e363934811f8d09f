//! `rakelight handout`.

use super::{
    Outcome,
    args::{BriefArgs, OutputArgs, SiteArgs},
    chart::{STEPS, declination_deg},
    failure::Failure,
    inputs::{self, Wishes},
    night::{factor, minutes, night_of},
    output::Output,
    values,
};
use anyhow::Context;
use clap::Args;
use rakelight::{
    chart::{FrameChart, NightChart, Palette},
    plan::{NightPlan, PlanSettings, clock_text, to_the_minute},
    report::handout::{self, Drawing},
    search::{NightCourse, Planner, Vista},
};

/// What `rakelight handout` takes.
#[derive(Debug, Args)]
pub struct HandoutArgs {
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

    #[command(flatten)]
    pub output: OutputArgs,
}

pub fn run(args: &HandoutArgs) -> Result<Outcome, Failure> {
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
    let course = NightCourse::of(&planner, &night, STEPS);
    let plan = NightPlan::new(&planner, night, &settings)
        .with_context(|| format!("the camera of {}", planner.site().name))?;
    write(&mut out, &planner, &course, &plan)?;
    out.finish()?;
    Ok(Outcome::Done)
}

fn write(
    out: &mut Output,
    planner: &Planner,
    course: &NightCourse,
    plan: &NightPlan<'_>,
) -> Result<(), Failure> {
    let (site, rules) = (plan.site, plan.rules);
    let night = NightChart {
        site,
        rules,
        course,
    };
    let best = plan.windows.iter().min_by_key(|window| window.rank);
    // The whole minute that heading and picture both name.
    let moment = to_the_minute(best.map_or(plan.darkness.darkest, |w| w.best.moment()));
    let vista = Vista::at(planner, moment);
    let view = FrameChart {
        site,
        rules,
        vista: &vista,
        magnetic_declination_deg: declination_deg(site, moment),
    };
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
