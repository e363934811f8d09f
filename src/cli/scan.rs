//! `rakelight scan`.

use super::{
    Outcome,
    args::{ScanArgs, ScanFormat, Sort},
    explain,
    failure::Failure,
    inputs::{self, SiteIter, Wishes},
    night,
    output::{Output, say},
    reasons::Reasons,
    today, what_if,
};
use anyhow::anyhow;
use chrono::{Days, NaiveDate};
use rakelight::{
    ephemeris::{EPHEMERIS, Moment},
    report::{Record, csv, ical, json, map, markdown, table},
    scan::{Choice, Order, Rules, Season, Window},
    scene::{Faults, Site, Zone, zone_data_version},
};
use rayon::prelude::*;
use serde_json::{Value, json};
use std::io::{self, Write};

/// Sites worked on before their results are written. Enough to keep every core
/// busy, few enough that memory stays the same for any number of sites.
const CHUNK: usize = 256;
/// What is shown of a site on a terminal when nothing else is asked.
const TABLE_TOP: usize = 20;
/// Evenings after the first when no last one is named.
const DEFAULT_DAYS: u64 = 365;

/// A site with its rules and what was found.
struct Answer {
    site: Site,
    rules: Rules,
    windows: Vec<Window>,
    reasons: Reasons,
}

pub fn run(args: &ScanArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::read(&args.brief)?;
    let mut sites = inputs::sites(&args.place, args.output.quiet)?;
    if let Some(jobs) = args.jobs {
        rayon::ThreadPoolBuilder::new()
            .num_threads(jobs.get())
            .build_global()
            .map_err(|error| anyhow!("cannot start {jobs} threads: {error}"))?;
    }
    let mut faults = Faults::default();
    let mut chunk = next_chunk(&mut sites, &wishes, &mut faults);
    let zone = chunk.first().map_or(Zone::UTC, |(site, _)| site.zone);
    let (first, last) = evenings(args, zone)?;
    if !args.keep_going && !faults.0.is_empty() {
        drain(sites, &wishes, &mut faults);
        return Err(faults.into());
    }
    let mut out = Output::open(args.output.output.as_deref())?;
    if args.explain {
        for (site, rules) in &chunk {
            explain::write(&mut out, &wishes, site, rules)?;
        }
        out.finish()?;
        return left_out(faults, Outcome::Done);
    }
    if args.season {
        return super::season::write(chunk, sites, &wishes, (first, last), args, out, faults);
    }
    let season = Season::new(first, last);
    if args.reason.is_what_if() {
        what_if::check(args)?;
        let more = || {
            let chunk = next_chunk(&mut sites, &wishes, &mut faults);
            if !args.keep_going && !faults.0.is_empty() {
                let rest = std::mem::replace(&mut sites, Box::new(std::iter::empty()));
                drain(rest, &wishes, &mut faults);
                return Err(std::mem::take(&mut faults).into());
            }
            Ok(chunk)
        };
        let outcome = what_if::run(
            args,
            &wishes,
            &season,
            chunk,
            more,
            &mut out,
            &query(&wishes, &season),
        )?;
        out.finish()?;
        return left_out(faults, outcome);
    }
    let paper = Paper {
        format: args.format,
        choice: choice(args),
        evenings: (last - first).num_days() + 1,
        width: out.width(),
        wishes: &wishes,
        season: &season,
        stamp: today::now(),
    };
    let mut writer = Writer::begin(&mut out, &paper, &season)?;
    let mut found = 0;
    let mut all: Vec<Answer> = Vec::new();
    while !chunk.is_empty() {
        let answers: Vec<(Answer, Vec<u8>)> = chunk
            .into_par_iter()
            .map(|(site, rules)| {
                let windows = season.windows(&site, &rules);
                let told = !args.output.quiet || args.format == ScanFormat::Json;
                let reasons = Reasons::of(&args.reason, told, &season, &site, &rules, &windows);
                let answer = Answer {
                    site,
                    rules,
                    windows,
                    reasons,
                };
                let page = if args.across {
                    Vec::new()
                } else {
                    paper.page(&answer)
                };
                (answer, page)
            })
            .collect();
        for (answer, page) in answers {
            found += answer.windows.len();
            if !args.output.quiet {
                inputs::say_assumed_zone(&answer.site);
                if answer.windows.is_empty() {
                    answer.reasons.say_nothing_found(
                        &answer.site,
                        &answer.rules,
                        args.format == ScanFormat::Table,
                    );
                }
            }
            if args.across {
                all.push(answer);
            } else {
                writer.page(&page)?;
            }
        }
        chunk = next_chunk(&mut sites, &wishes, &mut faults);
        if !args.keep_going && !faults.0.is_empty() {
            drain(sites, &wishes, &mut faults);
            return Err(faults.into());
        }
    }
    if args.across {
        for page in paper.ranking(all) {
            writer.page(&page)?;
        }
    }
    writer.end()?;
    out.finish()?;
    let outcome = if found > 0 {
        Outcome::Done
    } else {
        Outcome::NothingFound
    };
    left_out(faults, outcome)
}

/// Reports sites that were left out.
pub(super) fn left_out(faults: Faults, outcome: Outcome) -> Result<Outcome, Failure> {
    if faults.0.is_empty() {
        return Ok(outcome);
    }
    say(&format!("{faults}"));
    Ok(Outcome::LeftOut)
}

/// The next sites with their rules; faults go to `faults`.
pub(super) fn next_chunk(
    sites: &mut SiteIter,
    wishes: &Wishes,
    faults: &mut Faults,
) -> Vec<(Site, Rules)> {
    let mut chunk = Vec::new();
    while chunk.len() < CHUNK {
        let Some(next) = sites.next() else { break };
        let ready = next.and_then(|site| inputs::rules(wishes, &site).map(|rules| (site, rules)));
        match ready {
            Ok(ready) => chunk.push(ready),
            Err(wrong) => faults.extend(wrong),
        }
    }
    chunk
}

/// Reads on only to tell every fault in one run.
pub(super) fn drain(sites: SiteIter, wishes: &Wishes, faults: &mut Faults) {
    for site in sites {
        if let Err(wrong) = site.and_then(|site| inputs::rules(wishes, &site).map(|_| ())) {
            faults.extend(wrong);
        }
    }
}

fn evenings(args: &ScanArgs, zone: Zone) -> Result<(NaiveDate, NaiveDate), Failure> {
    let named = &args.reason.compare;
    if let (Some(first), Some(last)) = (named.iter().min(), named.iter().max()) {
        return Ok((*first, *last));
    }
    evenings_between(args.from, args.to, zone)
}

/// The range of evenings from what was asked of it.
pub(super) fn evenings_between(
    from: Option<NaiveDate>,
    to: Option<NaiveDate>,
    zone: Zone,
) -> Result<(NaiveDate, NaiveDate), Failure> {
    let first = from.unwrap_or_else(|| match to {
        Some(last) => today::today(zone).min(last),
        None => today::today(zone),
    });
    let end = NaiveDate::from_ymd_opt(2099, 12, 31).unwrap_or(NaiveDate::MAX);
    let year_later = first.checked_add_days(Days::new(DEFAULT_DAYS));
    let last = to.or(year_later).unwrap_or(end).min(end);
    if last < first {
        return Err(Failure::Said(anyhow!(
            "--to {last} lies before --from {first}; the last evening comes after the first"
        )));
    }
    Ok((first, last))
}

fn choice(args: &ScanArgs) -> Choice {
    let table = matches!(args.format, ScanFormat::Table | ScanFormat::Markdown);
    Choice {
        top: match args.top {
            Some(top) => Some(top),
            None if args.all || !table => None,
            None => Some(TABLE_TOP),
        },
        per_month: args.per_month,
        order: match args.sort {
            Sort::Score => Order::Score,
            Sort::Date => Order::Date,
        },
    }
}

/// How answers are laid out.
struct Paper<'a> {
    format: ScanFormat,
    choice: Choice,
    evenings: i64,
    width: usize,
    wishes: &'a Wishes,
    season: &'a Season,
    stamp: Moment,
}

/// Writing to memory does not fail.
const IN_MEMORY: &str = "a vector takes all";

impl Paper<'_> {
    /// One site's part of the output.
    fn page(&self, answer: &Answer) -> Vec<u8> {
        let Answer {
            site,
            rules,
            windows,
            reasons,
        } = answer;
        let chosen = self.choice.of(windows.iter().collect(), |window| *window);
        let rows: Vec<(&Site, &Window)> = chosen.iter().map(|window| (site, *window)).collect();
        let mut page = Vec::new();
        let written = match self.format {
            ScanFormat::Table => table::SiteTable {
                site,
                windows: &chosen,
                found: windows.len(),
                evenings: self.evenings,
                width: self.width,
            }
            .write(&mut page)
            .and_then(|()| reasons.write_table(&mut page, site, rules, &chosen, windows)),
            ScanFormat::Json => {
                let mut extra = vec![("rules", explain::object(self.wishes, site, rules))];
                extra.extend(reasons.json(site, rules, &chosen, windows));
                json::write_site_block(&mut page, site, &chosen, &extra)
            }
            ScanFormat::Csv | ScanFormat::Ndjson => self.lines(&mut page, &rows),
            ScanFormat::Ical => self.events(&mut page, answer, &chosen),
            ScanFormat::Geojson => self.features(&mut page, answer, &chosen),
            ScanFormat::Markdown => {
                markdown::write_site(&mut page, site, &chosen, windows.len(), self.evenings)
            }
        };
        debug_assert!(written.is_ok(), "{IN_MEMORY}");
        page
    }

    fn events(&self, page: &mut Vec<u8>, answer: &Answer, windows: &[&Window]) -> io::Result<()> {
        for window in windows {
            let event = ical::CalendarEvent {
                site: &answer.site,
                window,
                light: answer.rules.light,
                stamp: self.stamp,
            };
            page.write_all(event.to_text().as_bytes())?;
        }
        Ok(())
    }

    fn features(&self, page: &mut Vec<u8>, answer: &Answer, windows: &[&Window]) -> io::Result<()> {
        self.season
            .with_outlook(&answer.site, &answer.rules, |outlook| {
                page.write_all(night::features(outlook, windows).as_bytes())
            })
    }

    fn lines(&self, page: &mut Vec<u8>, rows: &[(&Site, &Window)]) -> io::Result<()> {
        for (site, window) in rows {
            let record = Record { site, window };
            if self.format == ScanFormat::Csv {
                csv::write_record(page, &record)?;
            } else {
                json::write_line(page, &record)?;
            }
        }
        Ok(())
    }

    /// The windows of all sites in one ranking: one page, or in JSON one a
    /// site with the ranks among all.
    fn ranking(&self, mut answers: Vec<Answer>) -> Vec<Vec<u8>> {
        let mut order: Vec<(usize, usize)> = answers
            .iter()
            .enumerate()
            .flat_map(|(site, answer)| (0..answer.windows.len()).map(move |index| (site, index)))
            .collect();
        let score =
            |answers: &[Answer], (site, index): (usize, usize)| answers[site].windows[index].score;
        // Equal scores keep the order of the input.
        order.sort_by(|a, b| score(&answers, *b).total_cmp(&score(&answers, *a)));
        for (rank, (site, index)) in order.iter().enumerate() {
            answers[*site].windows[*index].rank = rank + 1;
        }
        let ranked: Vec<(&Site, &Window)> = order
            .iter()
            .map(|(site, index)| (&answers[*site].site, &answers[*site].windows[*index]))
            .collect();
        let found = ranked.len();
        let rows = self.choice.of(ranked, |(_, window)| window);
        let mut page = Vec::new();
        let written = match self.format {
            ScanFormat::Table => table::RankingTable {
                rows: &rows,
                found,
                sites: answers.len(),
                evenings: self.evenings,
                width: self.width,
            }
            .write(&mut page),
            ScanFormat::Csv | ScanFormat::Ndjson => self.lines(&mut page, &rows),
            ScanFormat::Markdown => markdown::write_ranking(&mut page, &rows),
            // These name sites in their own way: a page a site, ranks among all.
            ScanFormat::Json | ScanFormat::Ical | ScanFormat::Geojson => {
                return answers
                    .iter()
                    .map(|answer| {
                        let of_site: Vec<&Window> = rows
                            .iter()
                            .filter(|(site, _)| std::ptr::eq(*site, &raw const answer.site))
                            .map(|(_, window)| *window)
                            .collect();
                        if self.format != ScanFormat::Json {
                            let mut page = Vec::new();
                            let written = if self.format == ScanFormat::Ical {
                                self.events(&mut page, answer, &of_site)
                            } else {
                                self.features(&mut page, answer, &of_site)
                            };
                            debug_assert!(written.is_ok(), "{IN_MEMORY}");
                            return page;
                        }
                        let rules = explain::object(self.wishes, &answer.site, &answer.rules);
                        let mut page = Vec::new();
                        let mut extra = vec![("rules", rules)];
                        extra.extend(answer.reasons.json(
                            &answer.site,
                            &answer.rules,
                            &of_site,
                            &answer.windows,
                        ));
                        let written =
                            json::write_site_block(&mut page, &answer.site, &of_site, &extra);
                        debug_assert!(written.is_ok(), "{IN_MEMORY}");
                        page
                    })
                    .collect();
            }
        };
        debug_assert!(written.is_ok(), "{IN_MEMORY}");
        vec![page]
    }
}

/// What stands before, between and after the pages.
enum Writer<'a> {
    Plain(&'a mut Output),
    Spaced {
        out: &'a mut Output,
        pages: usize,
    },
    Json(json::Document<&'a mut Output>),
    Closed {
        out: &'a mut Output,
        pages: usize,
        between: &'static str,
        end: String,
    },
}

impl<'a> Writer<'a> {
    fn begin(out: &'a mut Output, paper: &Paper<'_>, season: &Season) -> Result<Self, Failure> {
        Ok(match paper.format {
            ScanFormat::Table | ScanFormat::Markdown => Self::Spaced { out, pages: 0 },
            ScanFormat::Ical => {
                write!(out, "{}", ical::begin())?;
                Self::Closed {
                    out,
                    pages: 0,
                    between: "",
                    end: ical::end(),
                }
            }
            ScanFormat::Geojson => {
                writeln!(out, "{}", map::BEGIN)?;
                Self::Closed {
                    out,
                    pages: 0,
                    between: ",\n",
                    end: format!("\n{}", map::END),
                }
            }
            ScanFormat::Csv => {
                csv::write_header(out)?;
                Self::Plain(out)
            }
            ScanFormat::Ndjson => Self::Plain(out),
            ScanFormat::Json => {
                Self::Json(json::Document::begin(out, &query(paper.wishes, season))?)
            }
        })
    }

    fn page(&mut self, page: &[u8]) -> Result<(), Failure> {
        match self {
            Self::Plain(out) => out.write_all(page)?,
            Self::Spaced { out, pages } => {
                if *pages > 0 {
                    writeln!(out)?;
                }
                *pages += 1;
                out.write_all(page)?;
            }
            Self::Json(document) => document.site(page)?,
            Self::Closed {
                out,
                pages,
                between,
                ..
            } => {
                if *pages > 0 {
                    out.write_all(between.as_bytes())?;
                }
                *pages += 1;
                out.write_all(page)?;
            }
        }
        Ok(())
    }

    fn end(self) -> Result<(), Failure> {
        match self {
            Self::Json(document) => {
                document.end()?;
            }
            Self::Closed { out, end, .. } => out.write_all(end.as_bytes())?,
            Self::Plain(_) | Self::Spaced { .. } => {}
        }
        Ok(())
    }
}

/// What was asked, and with which data it is answered.
fn query(wishes: &Wishes, season: &Season) -> Value {
    let common = wishes.options.clone().or(&wishes.file);
    let rules: serde_json::Map<String, Value> = common
        .entries()
        .into_iter()
        .map(|(key, text)| (key.to_string(), Value::from(text)))
        .collect();
    json!({
        "command": "scan",
        "from": season.first().to_string(),
        "to": season.last().to_string(),
        "rules": rules,
        "ephemeris": EPHEMERIS,
        "time_zone_data": zone_data_version(),
    })
}
