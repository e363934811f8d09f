//! Sites side by side on one night, with the best value of each row marked.

use super::{
    blocks::{Heads, unless_alike, write_starred},
    compare::{Contender, verdict},
    json::{loosening_object, window_object},
    record_grid::beside,
    rows::window::{Record, fields_of},
    table::ends_past_midnight,
    words::{NAMED_BY_EVENING, common_of, heading_for, night_words, plural, target_of},
    wrap::{write_head, write_note, write_wrapped},
};
use crate::{rule::Rules, scene::Site, search::Window, why::Compared};
use chrono::NaiveDate;
use serde_json::{Value, json};
use std::{
    io::{self, Write},
    ops::Range,
};

/// A site on the night.
#[derive(Debug, Clone, Copy)]
pub struct SiteOnNight<'a> {
    /// The site.
    pub site: &'a Site,
    /// Its rules.
    pub rules: &'a Rules,
    /// What it has on the night.
    pub on: &'a Compared,
}

impl<'a> SiteOnNight<'a> {
    fn window(&self) -> Option<&'a Window> {
        self.on.window.as_ref()
    }
}

/// Writes the sites side by side, `*` at the best value of each row, then what
/// the others lack, and what decides.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_table(
    out: &mut impl Write,
    night: NaiveDate,
    sites: &[SiteOnNight<'_>],
    width: usize,
) -> io::Result<()> {
    let count = plural(sites.len() as i64, "site", "sites");
    write_head(out, &night_words(night), &format!(", {count}"), width)?;
    let records: Vec<Record<'_>> = sites
        .iter()
        .filter_map(|one| Some((one.site, one.window()?)))
        .map(|(site, window)| Record { site, window })
        .collect();
    let windows = || records.iter().map(|record| record.window);
    let common = common_of(windows());
    let target = target_of(windows());
    let heading = |title: &str| heading_for(title, target);
    let titles: Vec<_> = records.iter().map(|record| record.site.title()).collect();
    let titles: Vec<&str> = titles.iter().map(AsRef::as_ref).collect();
    let names = Heads::of(&titles, 0);
    let zones = unless_alike(records.iter().map(|record| record.site.zone.name()));
    let zones = zones.map(|zones| Heads::of(&zones, 0));
    // Best among all the sites, not only those of a block.
    let grid_of = |some: Range<usize>| {
        let zones = zones.iter().flat_map(|zones| zones.lines(some.clone()));
        let heads = names.lines(some.clone()).into_iter().chain(zones);
        let some = records.get(some.clone()).unwrap_or_default();
        beside(fields_of(&records), some, &records, common, heading, heads)
    };
    write_starred(out, records.len(), width, grid_of)?;
    if zones.is_some() {
        write_note(out, EACH_IN_ITS_ZONE, width)?;
    }
    let is_past = |record: &Record<'_>| {
        ends_past_midnight(record.site, record.window.night, record.window.interval)
    };
    if records.iter().any(is_past) {
        write_note(out, NAMED_BY_EVENING, width)?;
    }
    for one in sites.iter().filter(|one| one.window().is_none()) {
        let line = format!("{}: {}.", one.site.title(), one.on.lacking_words());
        write_wrapped(out, "", &line, width)?;
    }
    write_wrapped(out, "", &text(night, sites), width)
}

/// What is said under times of several zones.
const EACH_IN_ITS_ZONE: &str =
    "Times, and the evening that names the night, are those of the time zone under each site.";

/// One sentence on what decides between the two best.
pub fn text(night: NaiveDate, sites: &[SiteOnNight<'_>]) -> String {
    let contenders: Vec<Contender<'_>> = sites
        .iter()
        .filter_map(|one| {
            Some(Contender {
                name: one.site.title().into_owned(),
                window: one.window()?,
                weights: &one.rules.weights,
            })
        })
        .collect();
    let none = format!(
        "None of these sites has a window on {}.",
        night_words(night)
    );
    verdict(&contenders, &none)
}

/// What a site has on some nights, as an array: each with its best window or
/// with what it lacks.
pub fn array(site: &Site, nights: &[Compared]) -> Value {
    let one = |night: &Compared| {
        json!({
            "night": night.night.to_string(),
            "window": night.window.as_ref().map(|window| window_object(&Record { site, window })),
            "needs": night.needs.as_ref().map(loosening_object),
        })
    };
    nights.iter().map(one).collect()
}
