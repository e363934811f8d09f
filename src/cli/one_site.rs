//! The one site of a command, or the views of one place, with their rules.

use super::site_stream::alone;
use super::{
    args::{Here, SiteArgs, SiteOutputArgs, WeatherArgs},
    asked_rules::AskedRules,
    inputs,
    manners::{
        Failure, say, today,
        typed::{PATH_SIGNS, quoted},
    },
    weather::Weather,
};
use anyhow::anyhow;
use chrono::NaiveDate;
use rakelight::{
    ephemeris::Moment,
    input::Faults,
    report::words::a_kind_of_night,
    rule::Rules,
    scene::{Dates, Day, Site, ValueError, Zone, shown},
    search::{Night, Planner, Season},
};
use std::{collections::BTreeSet, sync::Arc};

/// A site and its rules.
pub struct OneSite {
    pub site: Arc<Site>,
    /// The rules of the first kind of light.
    pub rules: Arc<Rules>,
    /// Those of the other kinds asked for.
    others: Vec<Arc<Rules>>,
}

impl OneSite {
    /// Reads the site, and says its zone if it gives none.
    pub fn read(
        place: &SiteArgs,
        asked_rules: &AskedRules,
        output: &SiteOutputArgs,
    ) -> Result<Self, Failure> {
        let quiet = output.quiet;
        let site = one_site(place, asked_rules, output)?;
        if !quiet {
            inputs::say_found_zone(&site);
        }
        Self::of(site, asked_rules)
    }

    /// A site with the rules that are asked there.
    pub fn of(site: Site, asked_rules: &AskedRules) -> Result<Self, Failure> {
        let mut all = asked_rules.all_rules(&site)?.into_iter().map(Arc::new);
        let none = || Failure::Reported(anyhow!("found no rules"));
        Ok(Self {
            rules: all.next().ok_or_else(none)?,
            others: all.collect(),
            site: Arc::new(site),
        })
    }

    /// The planner of the kind of light with the best window; of the first
    /// without any.
    fn best_planner(&self, season: &Season, quiet: bool) -> Result<Planner, Failure> {
        let rules = [&self.rules].into_iter().chain(&self.others).cloned();
        let planners = season.site_planners(Arc::clone(&self.site), rules)?;
        if !planners.are_several() {
            return Ok(planners.first().clone());
        }
        let windows = planners.windows();
        let best = windows
            .first()
            .map_or(planners.first(), |window| planners.of(window));
        if !quiet {
            let kinds: Vec<_> = planners.kinds().iter().map(|kind| kind.word()).collect();
            say(&format!(
                "{}: planned as {}, the best of {} that night.",
                self.site.title(),
                a_kind_of_night(best.rules().light),
                kinds.join(",")
            ));
        }
        Ok(best.clone())
    }

    /// Where it is.
    pub fn here(&self) -> Here {
        Here {
            zone: self.site.zone,
            longitude_deg: self.site.longitude_deg,
        }
    }

    /// The instant that `--time` gives: now, a local time of the site, or a
    /// time of day in the night that goes on, which is said unless `quiet`.
    pub fn moment(&self, time: &str, quiet: bool) -> Result<Moment, Failure> {
        let zone = self.site.zone;
        let refuse = |error| Failure::option("time", &error);
        if time.trim().eq_ignore_ascii_case("now") {
            // As it is printed: a second has no parts.
            return Ok(Moment::from_seconds(today::now().seconds().floor()));
        }
        let now = today::now();
        let night = Night::at(self.site.longitude_deg, zone, now);
        match zone.time_in_night(time, now, night.start, night.end) {
            Ok(Some(moment)) => {
                if !quiet {
                    say(&format!(
                        "--time {} is {}, in the night of {}.",
                        shown(time.trim()),
                        zone.local(moment).format("%Y-%m-%dT%H:%M:%S"),
                        night.date.format("%a %Y-%m-%d"),
                    ));
                }
                Ok(moment)
            }
            Ok(None) => zone.parse_time(time).map_err(refuse),
            Err(error) => Err(refuse(error)),
        }
    }

    /// The date of an evening.
    ///
    /// # Errors
    ///
    /// One that the site's calendar leaves out.
    pub fn evening(&self, on: Day) -> Result<NaiveDate, Failure> {
        let on = self.here().date(on);
        Night::of(&self.site, on).map(|_| on).ok_or_else(|| {
            let expected = format!("an evening of the calendar in {}", self.site.zone.name());
            let error = ValueError::new(&on.to_string(), expected)
                .with_remedy("that day was left out there: take the one before or after");
            Failure::option("on", &error)
        })
    }

    /// The planner over the night of a date and `around` nights on either side.
    pub fn planner(&self, on: NaiveDate, around: u64) -> Result<Planner, Failure> {
        let dates = Dates::one(on).map_err(|error| Failure::Reported(error.into()))?;
        let season = Season::new(dates.widened(around));
        Ok(season.planner(Arc::clone(&self.site), Arc::clone(&self.rules))?)
    }

    /// The same for an instant. Its night may have the date before, since a
    /// season is known a day and a half beyond its nights.
    pub fn planner_at(&self, moment: Moment, around: u64) -> Result<Planner, Failure> {
        self.planner(Zone::UTC.local_date(moment), around)
    }

    /// The planner over the night of an instant in UTC and this many days before.
    pub fn planner_from(&self, moment: Moment, before: u64) -> Result<Planner, Failure> {
        let last = Zone::UTC.local_date(moment);
        let first = Dates::one(last).map(|dates| dates.widened(before).first());
        let dates = first.and_then(|first| Dates::new(first, last));
        let dates = dates.map_err(|error| Failure::Reported(error.into()))?;
        Ok(Season::new(dates).planner(self.site.clone(), self.rules.clone())?)
    }
}

/// The views of one place, each with its rules.
pub struct OnePlace {
    /// One at least; one alone for a site without views.
    pub views: Vec<OneSite>,
    quiet: bool,
}

impl OnePlace {
    /// Reads the views of the place, and says its zone if it gives none.
    pub fn read(
        place: &SiteArgs,
        asked_rules: &AskedRules,
        output: &SiteOutputArgs,
    ) -> Result<Self, Failure> {
        let quiet = output.quiet;
        let sites = one_place(place, asked_rules, output)?;
        if let (Some(site), false) = (sites.first(), quiet) {
            inputs::say_found_zone(site);
        }
        let with_rules = |site: Site| OneSite::of(site, asked_rules);
        let views: Result<_, Failure> = sites.into_iter().map(with_rules).collect();
        Ok(Self {
            views: views?,
            quiet,
        })
    }

    /// A place of one view.
    pub fn of(view: OneSite, quiet: bool) -> Self {
        Self {
            views: vec![view],
            quiet,
        }
    }

    /// The first view, for questions about the place.
    pub fn first(&self) -> Result<&OneSite, Failure> {
        let none = || Failure::Reported(anyhow!("found no site"));
        self.views.first().ok_or_else(none)
    }

    /// Gives each view the weather of a night.
    pub fn with_weather(
        self,
        args: &WeatherArgs,
        on: NaiveDate,
        quiet: bool,
    ) -> Result<Self, Failure> {
        let dates = Dates::one(on).map_err(|error| Failure::Reported(error.into()))?;
        self.with_weather_over(args, dates, quiet)
    }

    /// Gives each view the weather of some nights.
    pub fn with_weather_over(
        mut self,
        args: &WeatherArgs,
        dates: Dates,
        quiet: bool,
    ) -> Result<Self, Failure> {
        let mut weather = Weather::read(args, dates, quiet)?;
        for view in &mut self.views {
            weather.give(Arc::make_mut(&mut view.site));
        }
        if !quiet {
            weather.say();
        }
        Ok(self)
    }

    /// The same with `around` nights on either side, each view as it is planned
    /// that night.
    pub fn planners_around(&self, on: NaiveDate, around: u64) -> Result<Vec<Planner>, Failure> {
        let dates = Dates::one(on).map_err(|error| Failure::Reported(error.into()))?;
        let season = Season::new(dates.widened(around));
        let wider = |(view, planner): (&OneSite, Planner)| {
            let rules = planner.rules().clone();
            Ok(season.planner(Arc::clone(&view.site), rules)?)
        };
        let planners = self.planners(on)?;
        self.views.iter().zip(planners).map(wider).collect()
    }

    /// A planner for each view over the night of a date.
    pub fn planners(&self, on: NaiveDate) -> Result<Vec<Planner>, Failure> {
        let dates = Dates::one(on).map_err(|error| Failure::Reported(error.into()))?;
        let season = Season::new(dates);
        let of_view = |view: &OneSite| view.best_planner(&season, self.quiet);
        self.views.iter().map(of_view).collect()
    }
}

/// The most sites whose addresses an error lists.
const LISTED: usize = 5;

/// The views of the only place given.
fn one_place(
    args: &SiteArgs,
    asked_rules: &AskedRules,
    output: &SiteOutputArgs,
) -> Result<Vec<Site>, Failure> {
    let mut sites: Vec<Site> = Vec::new();
    let mut faults = Faults::default();
    let mut several = false;
    let given = inputs::sites(args, &asked_rules.defaults, output.quiet)?;
    for site in alone(output.conventions.of_all(given)) {
        match site {
            Ok(site) => {
                let is_view =
                    |before: &Site| before.shares_place(&site) && before.view != site.view;
                several |= !sites.iter().all(is_view);
                sites.push(site);
            }
            Err(wrong) => faults.extend(wrong),
        }
        let read = sites.len() + faults.0.len();
        if (several && read > LISTED) || (!faults.0.is_empty() && read > 1) {
            break;
        }
    }
    if !faults.0.is_empty() {
        return Err(faults.into());
    }
    if sites.is_empty() {
        return Err(not_one(args, &sites));
    }
    match several {
        true => Err(not_one(args, &sites)),
        false => Ok(sites),
    }
}

/// The only site given.
fn one_site(
    args: &SiteArgs,
    asked_rules: &AskedRules,
    output: &SiteOutputArgs,
) -> Result<Site, Failure> {
    let mut sites = one_place(args, asked_rules, output)?;
    match (sites.pop(), sites.len()) {
        (Some(site), 0) => Ok(site),
        (last, _) => {
            sites.extend(last);
            Err(not_one(args, &sites))
        }
    }
}

/// The error for a command about one site that got others, with what to type
/// instead.
fn not_one(args: &SiteArgs, sites: &[Site]) -> Failure {
    let found = match sites {
        [] => "no site".to_owned(),
        [one] => one.title().into_owned(),
        [one, other, ..] => format!("{} and {}", shown(&one.title()), shown(&other.title())),
    };
    let mut error = ValueError::new("", "one site for this command");
    // The names were shortened one by one.
    error.found = found;
    let addresses = inputs::addresses(args, sites.iter());
    let mut typed: Vec<String> = addresses
        .iter()
        .filter_map(|address| quoted(address, PATH_SIGNS))
        .collect();
    let more = typed.len() > LISTED;
    typed.truncate(LISTED);
    let differ = typed.iter().collect::<BTreeSet<_>>().len() == typed.len();
    let error = if typed.is_empty() || !differ {
        error.with_remedy("give one file, or a table of one row")
    } else {
        let more = if more { " ..." } else { "" };
        error.with_remedy(format!("write {}{more}", typed.join(" or ")))
    };
    Failure::Reported(anyhow!("{error}"))
}
