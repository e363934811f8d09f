//! `scan --compare` with sites: the sites side by side on each of some nights.

use super::{
    circumstances::Circumstances,
    compare_args::one_site,
    what_if::{best_of_all, block},
};
use crate::cli::{
    batch::{Ready, Writer},
    manners::{Failure, Output},
};
use chrono::NaiveDate;
use rakelight::{
    report::{
        Key, LeftOutSite, json,
        sites_on_night::{self, SiteOnNight},
    },
    rule::Rules,
    scene::Site,
    search::Season,
    why::Compared,
};
use serde_json::{Value, json};
use std::{io::Write, sync::Arc};

/// Looks at the nights of each site.
pub struct SitesOnSearch {
    nights: Vec<NaiveDate>,
    season: Season,
}

/// What a site has on the nights.
pub struct Found {
    site: Arc<Site>,
    rules: Rules,
    nights: Vec<Compared>,
}

impl SitesOnSearch {
    pub fn new(nights: Vec<NaiveDate>, at: &Circumstances<'_>) -> Self {
        Self {
            nights,
            season: Season::new(at.dates),
        }
    }

    pub fn answer(&self, Ready { site, rules, .. }: Ready) -> Result<Found, Failure> {
        let planners = self.season.site_planners(Arc::clone(&site), rules)?;
        Ok(Found {
            nights: best_of_all(&planners, &self.nights)?,
            rules: planners.first().rules().clone(),
            site,
        })
    }
}

/// Writes a block per night when all sites are done.
pub struct SitesOnWriter<'a> {
    nights: &'a [NaiveDate],
    json: bool,
    query: Value,
    quiet: bool,
    keep_going: bool,
    out: &'a mut Output,
    all: Vec<Found>,
    left_out: Vec<LeftOutSite>,
}

impl<'a> SitesOnWriter<'a> {
    pub fn new(
        search: &'a SitesOnSearch,
        json: bool,
        at: &Circumstances<'_>,
        out: &'a mut Output,
    ) -> Self {
        Self {
            nights: &search.nights,
            json,
            query: at.query(),
            quiet: at.quiet,
            keep_going: at.keep_going,
            out,
            all: Vec::new(),
            left_out: Vec::new(),
        }
    }

    fn write_json(self) -> Result<(), Failure> {
        let mut document = json::Document::begin(Vec::new(), &self.query)?;
        if self.keep_going {
            document = document.listing_left_out();
            for site in &self.left_out {
                document.left_out(site);
            }
        }
        for found in &self.all {
            let nights = sites_on_night::array(&found.site, &found.nights);
            document.site(&block(&found.site, None, "nights", nights))?;
        }
        let text = |(index, night): (usize, &NaiveDate)| {
            let text = sites_on_night::text(*night, &on(&self.all, index));
            json!({"night": night.to_string(), "text": text})
        };
        let texts: Value = self.nights.iter().enumerate().map(text).collect();
        let document = document.end_with(&[("compare", texts)])?;
        self.out.write_all(&document)?;
        Ok(())
    }

    fn write_table(self, found: bool) -> Result<(), Failure> {
        let width = self.out.width();
        for (index, night) in self.nights.iter().enumerate() {
            if index > 0 {
                writeln!(self.out)?;
            }
            sites_on_night::write_table(self.out, *night, &on(&self.all, index), width)?;
        }
        if found && !self.quiet {
            if self.nights.len() > 1 {
                writeln!(self.out)?;
            }
            let of_moon = self.all.iter().all(|found| found.rules.target.is_moon());
            let key = if of_moon {
                Key::CompareMoons
            } else {
                Key::Compare
            };
            key.write(self.out, width)?;
        }
        Ok(())
    }
}

/// The sites on one of the nights.
fn on(all: &[Found], index: usize) -> Vec<SiteOnNight<'_>> {
    all.iter()
        .filter_map(|found| {
            Some(SiteOnNight {
                site: &found.site,
                rules: &found.rules,
                on: found.nights.get(index)?,
            })
        })
        .collect()
}

impl Writer for SitesOnWriter<'_> {
    type Answer = Found;

    fn found(&mut self) -> Option<&mut bool> {
        None
    }

    fn take(&mut self, found: Found) -> Result<(), Failure> {
        self.all.push(found);
        Ok(())
    }

    fn left_out(&mut self, site: LeftOutSite) {
        self.left_out.push(site);
    }

    fn end(self) -> Result<bool, Failure> {
        if self.all.len() == 1 {
            return Err(one_site(match self.nights {
                [night] => Some(*night),
                _ => None,
            }));
        }
        let nights = self.all.iter().flat_map(|found| &found.nights);
        let found = nights.clone().any(|night| night.window.is_some());
        if self.json {
            self.write_json()?;
        } else {
            self.write_table(found)?;
        }
        Ok(found)
    }
}
