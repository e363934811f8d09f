//! The one site of a command, with its rules.

use super::{args::SiteArgs, asked_rules::AskedRules, inputs, manners::Failure};
use anyhow::anyhow;
use chrono::NaiveDate;
use rakelight::{
    ephemeris::Moment,
    rule::Rules,
    scene::{Dates, Site, ValueError, Zone},
    search::{Night, Planner, Season},
};
use std::sync::Arc;

/// A site and its rules.
pub struct OneSite {
    pub site: Arc<Site>,
    pub rules: Arc<Rules>,
    pub asked_rules: AskedRules,
}

impl OneSite {
    /// Reads the site, and warns if its zone is assumed.
    pub fn read(place: &SiteArgs, asked_rules: AskedRules, quiet: bool) -> Result<Self, Failure> {
        let site = one_site(place, quiet)?;
        if !quiet {
            inputs::say_assumed_zone(&site);
        }
        Ok(Self {
            rules: Arc::new(asked_rules.rules(&site)?),
            site: Arc::new(site),
            asked_rules,
        })
    }

    /// The instant that `--time` gives; local time is the site's.
    pub fn moment(&self, time: &str) -> Result<Moment, Failure> {
        let moment = self.site.zone.parse_time(time);
        moment.map_err(|error| Failure::option("time", &error))
    }

    /// Refuses an evening that the site's calendar leaves out.
    pub fn check_night(&self, on: NaiveDate) -> Result<(), Failure> {
        Night::of(&self.site, on).map(|_| ()).ok_or_else(|| {
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

/// The only site given.
fn one_site(args: &SiteArgs, quiet: bool) -> Result<Site, Failure> {
    let mut sites = inputs::sites(args, quiet)?;
    let refuse = |found: &str| {
        let error = ValueError::new(found, "one site for this command")
            .with_remedy("give one file, or a table of one row");
        Err(Failure::Reported(anyhow!("{error}")))
    };
    match (sites.next(), sites.next()) {
        (None, _) => refuse("no site"),
        (Some(Ok(site)), None) => Ok(site),
        (Some(Ok(first)), Some(Ok(second))) => {
            refuse(&format!("{} and {}", first.name, second.name))
        }
        (Some(Err(mut faults)), Some(Err(more))) => {
            faults.extend(more);
            Err(faults.into())
        }
        (Some(Err(faults)), _) | (_, Some(Err(faults))) => Err(faults.into()),
    }
}
