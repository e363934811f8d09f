//! How the answers of a scan are laid out, format by format.

use super::{reasons::Reasons, together::Together};
use crate::cli::{args::Format, asked_rules::AskedRules, explain, features::features};
use chrono::NaiveDate;
use rakelight::{
    ephemeris::Moment,
    report::{
        self, Apart, CsvLayout, Record, SiteId, SpanCounts, WINDOW_FIELDS, csv,
        ical::{Calendar, SiteWindows},
        json, markdown, of_scan, table,
    },
    scene::Site,
    search::{Planner, Selection, SitePlanners, Window, spare_places},
};
use serde_json::Value;
use std::{
    collections::HashMap,
    io::{self, Write},
    ptr,
};

/// A site with its rules and what was found.
pub struct Answer {
    /// One for each brief and each kind of light; one at least.
    pub planners: SitePlanners,
    /// What distinguishes its records from those of other sites.
    pub id: SiteId,
    /// All of them, or those that are still needed.
    pub windows: Vec<Window>,
    /// How many there are.
    pub count: usize,
    /// Their nights, for the point of the site on a map.
    pub nights: SpanCounts,
    pub reasons: Reasons,
    /// Its number among all sites, where they are ranked together.
    pub number: usize,
}

impl AsRef<[Window]> for Answer {
    fn as_ref(&self) -> &[Window] {
        &self.windows
    }
}

impl Answer {
    /// The site.
    pub fn site(&self) -> &Site {
        self.planners.site()
    }

    /// The id of what one of the planners finds.
    fn id_of(&self, planner: &Planner) -> SiteId {
        self.id
            .of_rules(planner.rules(), self.planners.first().rules())
    }

    /// Its part of a calendar, with these of its windows.
    fn events(&self, calendar: &mut Calendar, chosen: &[&Window]) -> String {
        let of_planner = |planner: &Planner| {
            let is_own = |window: &&Window| std::ptr::eq(self.planners.of(window), planner);
            let own: Vec<&Window> = chosen.iter().copied().filter(is_own).collect();
            let all: Vec<&Window> = self.windows.iter().filter(is_own).collect();
            let windows = SiteWindows {
                site: planner.site(),
                id: &self.id_of(planner),
                rules: planner.rules(),
                all: &all,
            };
            calendar.site(&windows, &own)
        };
        self.planners.iter().map(of_planner).collect()
    }

    /// The features of its windows, joined.
    fn features(&self, windows: &[&Window]) -> String {
        let id = |window: &Window| {
            let planner = self.planners.of(window);
            let id = self.id_of(planner);
            match self.planners.are_several() {
                true => id.of_kind(window.light.word()),
                false => id,
            }
        };
        features(
            &self.planners,
            &self.id,
            windows,
            (&self.windows, self.nights.clone()),
            id,
        )
    }
}

/// How answers are laid out.
pub struct Layout<'a> {
    pub format: Format,
    pub choice: Selection,
    pub evenings: i64,
    /// The first and the last evening, unless both were given.
    pub range: Option<[NaiveDate; 2]>,
    pub width: usize,
    /// Whether notes say what columns mean.
    pub keyed: bool,
    pub asked_rules: &'a AskedRules,
    pub rules_told: explain::RulesTold,
    pub stamp: Moment,
    pub csv: &'a CsvLayout,
    /// Days after a night in which others are counted.
    pub spare: Option<u32>,
}

/// One site's part of the output.
#[derive(Default)]
pub struct SitePage {
    /// Its windows.
    pub windows: Vec<u8>,
    /// What the columns of their table mean.
    pub key: Vec<u8>,
    /// What stands below them.
    pub below: Vec<u8>,
}

impl SitePage {
    /// Windows with nothing below them.
    fn of(windows: Vec<u8>) -> Self {
        Self {
            windows,
            ..Self::default()
        }
    }
}

/// The field of JSON with what can stand in for each window.
const SPARE: &str = "spare_nights";

/// Writing to memory does not fail.
const IN_MEMORY: &str = "a vector takes all";

impl Layout<'_> {
    /// One site's part of the output.
    pub fn page(&self, answer: &Answer) -> SitePage {
        let Answer {
            planners,
            windows,
            reasons,
            ..
        } = answer;
        let planner = planners.first();
        let site = planner.site();
        let chosen = self.chosen(answer);
        let SitePage {
            windows: mut page,
            mut key,
            mut below,
        } = SitePage::default();
        let written = match self.format {
            Format::Table => table::SiteTable {
                site,
                windows: &chosen,
                found: windows.len(),
                evenings: self.evenings,
                range: self.range,
                width: self.width,
                apart: Apart::of(planners),
            }
            .write(&mut page)
            .and_then(|columns| {
                let (width, keyed) = (self.width, self.keyed);
                if keyed {
                    columns.write_key(&mut key, width)?;
                }
                reasons.write_table(&mut below, planner, &chosen, windows, width, keyed)
            }),
            Format::Json | Format::Csv | Format::Ndjson => self.write(&mut page, answer),
            // See `events`; a scan has no HTML.
            Format::Ical | Format::Html => Ok(()),
            Format::Geojson => page.write_all(answer.features(&chosen).as_bytes()),
            Format::Gpx | Format::Kml => {
                let found = windows.len();
                write!(page, "{}", self.points(site, &chosen, found))
            }
            Format::Markdown => {
                let apart = Apart::of(planners);
                markdown::write_site(
                    &mut page,
                    site,
                    &chosen,
                    windows.len(),
                    self.evenings,
                    apart,
                )
            }
        };
        debug_assert!(written.is_ok(), "{IN_MEMORY}");
        SitePage {
            windows: page,
            key,
            below,
        }
    }

    /// A site's part of a calendar, which depends on the parts before it.
    pub fn events(&self, calendar: &mut Calendar, answer: &Answer) -> String {
        answer.events(calendar, &self.chosen(answer))
    }

    /// The windows of a site that are shown.
    fn chosen<'w>(&self, answer: &'w Answer) -> Vec<&'w Window> {
        let windows = answer.windows.iter().collect();
        self.choice.of(windows, |window: &&Window| *window)
    }

    /// Whether a site's part of the output can be written as it is made.
    pub fn is_written_line_by_line(&self) -> bool {
        matches!(self.format, Format::Json | Format::Csv | Format::Ndjson)
    }

    /// Writes a site's part of such an output.
    pub fn write(&self, out: &mut impl Write, answer: &Answer) -> io::Result<()> {
        let site = answer.site();
        let chosen = self.chosen(answer);
        if self.format != Format::Json {
            let rows: Vec<(&Site, &Window)> = chosen.iter().map(|window| (site, *window)).collect();
            return self.lines(out, &rows);
        }
        let spare = answer.reasons.spare_json(&chosen, &answer.windows);
        let more = spare.map(|spare| (SPARE, spare));
        self.site_block(out, answer, &chosen, more)
    }

    /// A site's points, if they are asked for.
    fn points(&self, site: &Site, windows: &[&Window], found: usize) -> String {
        let points = of_scan(site, windows, found, self.evenings);
        let file = self.format.waypoint_file();
        file.map_or_else(String::new, |file| file.points(&points))
    }

    /// A site's part of a JSON document.
    fn site_block(
        &self,
        out: &mut impl Write,
        answer: &Answer,
        windows: &[&Window],
        more: Option<(&'static str, Value)>,
    ) -> io::Result<()> {
        let (site, rules) = (answer.site(), answer.planners.first().rules());
        let mut extra = self.rules_told.fields(self.asked_rules, &answer.planners)?;
        for (key, value) in answer.reasons.json(site, rules).into_iter().chain(more) {
            extra.push((key, explain::text_of(&value)?));
        }
        json::write_site_block(out, site, windows, &extra)
    }

    fn lines(&self, out: &mut impl Write, rows: &[(&Site, &Window)]) -> io::Result<()> {
        for (site, window) in rows {
            let record = Record { site, window };
            if self.format == Format::Csv {
                csv::write_record(out, WINDOW_FIELDS, &record, site, self.csv)?;
            } else {
                json::write_line(out, WINDOW_FIELDS, &record, &site.own, self.csv)?;
            }
        }
        Ok(())
    }

    /// What is kept of all sites to rank them together.
    pub fn together(&self) -> Together {
        Together::new(self.choice, self.format, self.spare.is_some())
    }

    /// The windows of all sites in one ranking: one page, or in JSON one page
    /// per site with the ranks among all.
    pub fn ranking(
        &self,
        mut together: Together,
        mut calendar: Option<&mut Calendar>,
    ) -> Vec<SitePage> {
        let order = together.rank();
        let answers = &together.answers;
        let ranked: Vec<(&Site, &Window)> = order
            .iter()
            .filter_map(|(site, window)| {
                let answer = answers.get(*site)?;
                Some((answer.site(), answer.windows.get(*window)?))
            })
            .collect();
        let (found, sites, apart) = (together.found, together.sites, together.apart);
        let rows = self.choice.of(ranked, |(_, window)| window);
        let all = together.with_sites();
        let spares = self.spare.map(|days| spare_places(&rows, &all, days));
        let (mut page, mut key, mut below) = (Vec::new(), Vec::new(), Vec::new());
        let written = match self.format {
            Format::Table => table::RankingTable {
                rows: &rows,
                found,
                sites,
                evenings: self.evenings,
                range: self.range,
                width: self.width,
                apart,
            }
            .write(&mut page)
            .and_then(|columns| {
                if self.keyed {
                    columns.write_key(&mut key, self.width)?;
                }
                match (&spares, self.spare) {
                    (Some(spares), Some(days)) if !spares.is_empty() => {
                        writeln!(below)?;
                        report::spare_places::write_table(&mut below, spares, days, self.width)
                    }
                    _ => Ok(()),
                }
            }),
            Format::Csv | Format::Ndjson => self.lines(&mut page, &rows),
            Format::Markdown => {
                markdown::write_ranking(&mut page, &rows, found, sites, self.evenings, apart)
            }
            // These have their own fields for sites: one page per site, with
            // ranks among all.
            Format::Json
            | Format::Ical
            | Format::Geojson
            | Format::Gpx
            | Format::Kml
            | Format::Html => {
                // Each row is given to its site once, however many sites there
                // are. Two sites may be alike, so it is the very same one.
                let mut chosen: HashMap<*const Site, Vec<&Window>> = HashMap::new();
                for (site, window) in &rows {
                    chosen.entry(ptr::from_ref(*site)).or_default().push(window);
                }
                let mut spares_of: HashMap<*const Site, Vec<_>> = HashMap::new();
                for spare in spares.iter().flatten() {
                    let of = spares_of.entry(ptr::from_ref(spare.site)).or_default();
                    of.push(spare);
                }
                return answers
                    .iter()
                    .map(|answer| {
                        let site = answer.site();
                        let of_site = chosen.remove(&ptr::from_ref(site)).unwrap_or_default();
                        if let Some(calendar) = &mut calendar {
                            let events = answer.events(calendar, &of_site);
                            return SitePage::of(events.into_bytes());
                        }
                        if self.format != Format::Json {
                            let mut page = Vec::new();
                            let written = match self.format {
                                Format::Geojson => {
                                    page.write_all(answer.features(&of_site).as_bytes())
                                }
                                _ => {
                                    let found = answer.count;
                                    write!(page, "{}", self.points(site, &of_site, found))
                                }
                            };
                            debug_assert!(written.is_ok(), "{IN_MEMORY}");
                            return SitePage::of(page);
                        }
                        let mut page = Vec::new();
                        let more = spares.is_some().then(|| {
                            let of_site = spares_of.remove(&ptr::from_ref(site));
                            let of_site = of_site.unwrap_or_default().into_iter();
                            (SPARE, report::spare_places::array(of_site))
                        });
                        let written = self.site_block(&mut page, answer, &of_site, more);
                        debug_assert!(written.is_ok(), "{IN_MEMORY}");
                        SitePage::of(page)
                    })
                    .collect();
            }
        };
        debug_assert!(written.is_ok(), "{IN_MEMORY}");
        vec![SitePage {
            windows: page,
            key,
            below,
        }]
    }
}
