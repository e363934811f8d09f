//! `rakelight handout`.

use super::{
    args::{
        BriefArgs, SiteArgs, SiteOutputArgs, StepArgs, WHERE, WeatherArgs,
        day::day,
        format::{OTHERWISE, check_one_of},
    },
    asked_rules::AskedRules,
    later::{first_of, season_after},
    manners::{Failure, Outcome, Output},
    one_site::OnePlace,
};
use anyhow::Context;
use chrono::NaiveDate;
use clap::Args;
use rakelight::{
    chart::{FrameChart, Look, NightChart, Palette, Picture, Size},
    plan::{NightPlan, PlanSettings},
    report::{
        handout::{self, Drawing, Grounds, View},
        words::clock_text,
    },
    scene::Day,
    search::{Planner, Window},
};

/// What `rakelight handout` takes.
#[derive(Debug, Args)]
pub struct HandoutArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// The evening: YYYY-MM-DD, tonight, fri
    ///
    /// Or today, tomorrow, a day of the week (the next one; today counts).
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub on: Day,

    #[command(flatten)]
    pub weather: WeatherArgs,

    #[command(flatten)]
    pub brief: BriefArgs,

    #[command(flatten)]
    pub steps: StepArgs,

    #[command(flatten)]
    pub output: SiteOutputArgs,
}

pub fn run(args: &HandoutArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OnePlace::read(&args.place, &asked_rules, &args.output)?;
    let on = place.first()?.evening(args.on)?;
    let place = place.with_weather(&args.weather, on, args.output.quiet)?;
    let output = args.output.output.as_deref();
    let mut out = Output::open(output)?;
    check_one_of(output, vec!["html"], &["htm"], OTHERWISE)?;
    let planners = place.planners(on)?;
    let settings = args.steps.settings();
    let mut pages = Vec::new();
    for planner in &planners {
        pages.push(Page::of(planner, on, &settings, pages.len() + 1)?);
    }
    let views: Vec<View<'_>> = pages.iter().map(Page::view).collect();
    handout::write(&mut out, &views)?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// A view with its pictures.
pub struct Page<'a> {
    plan: NightPlan<'a>,
    night: Drawn,
    sight: Drawn,
    sight_heading: String,
    next: Option<Window>,
}

/// A picture for a phone and for paper, each on a dark ground and a light one.
struct Drawn {
    phone: [Picture; 2],
    paper: [Picture; 2],
}

impl Drawn {
    /// Draws the picture of the view of this number, from 1. Each of a view's two
    /// drawings has its own number.
    fn of(number: usize, draw: impl Fn(Look) -> Picture) -> Self {
        let both = |size, number| {
            let looks = [Palette::Dark, Palette::Light].map(|ink| Look::new(ink, size));
            looks.map(|look| draw(look.numbered(number)))
        };
        Self {
            phone: both(Size::Phone, 2 * number - 1),
            paper: both(Size::A4, 2 * number),
        }
    }

    fn drawing<'a>(&'a self, heading: &'a str) -> Drawing<'a> {
        Drawing {
            heading,
            phone: grounds(&self.phone),
            paper: grounds(&self.paper),
        }
    }
}

fn grounds([dark, light]: &[Picture; 2]) -> Grounds<'_> {
    Grounds {
        dark: &dark.svg,
        light: &light.svg,
    }
}

impl<'a> Page<'a> {
    /// The page of the view of this number, from 1.
    pub fn of(
        planner: &'a Planner,
        on: NaiveDate,
        settings: &PlanSettings,
        number: usize,
    ) -> Result<Self, Failure> {
        let plan = planner
            .plan(on, settings)
            .with_context(|| format!("the camera of {}", planner.site().title()))?;
        let site = plan.site;
        let best = plan.windows.iter().min_by_key(|window| window.rank);
        // To the second, so that the picture has the values of the timetable.
        let moment = best.map_or(plan.darkness.darkest, |w| w.best.moment());
        let sight = FrameChart::at(planner, moment)?;
        let clock = clock_text(site.zone, moment, plan.clocks_change);
        let sight_heading = if best.is_some() {
            format!("The view at the window's best, {clock}")
        } else {
            format!("No window; the view in the middle of the darkest hours, {clock}")
        };
        let chart = NightChart::of(planner, &plan)?;
        let night = Drawn::of(number, |look| chart.draw(look));
        Ok(Self {
            night,
            sight: Drawn::of(number, |look| sight.draw(look)),
            sight_heading,
            next: match best {
                Some(_) => None,
                None => season_after(on).and_then(|season| first_of(&season, planner)),
            },
            plan,
        })
    }

    pub fn view(&self) -> View<'_> {
        View {
            plan: &self.plan,
            next: self.next.as_ref(),
            night: self.night.drawing("The night"),
            sight: self.sight.drawing(&self.sight_heading),
        }
    }
}
