//! `rakelight scan`.

use super::{
    Outcome,
    args::{RangeArgs, ScanArgs, ScanFormat, Sort},
    batch::Batch,
    explain,
    failure::Failure,
    inputs::{self, Wishes},
    output::{Output, say},
    pages::{Answer, Paper, Writer},
    progress::Progress,
    reasons::Reasons,
    summary, today, what_if,
};
use anyhow::anyhow;
use rakelight::{
    report::{SiteId, SiteIds, json, table::plural},
    scene::{DateError, Dates, Zone},
    search::{Choice, Order, Season},
};
use rayon::prelude::*;
use serde_json::Value;

/// What is shown of a site on a terminal when nothing else is asked.
const TABLE_TOP: usize = 20;
/// Sites without a window that are told why. Who scans a thousand reads no more.
const MOST_REASONS: usize = 10;

pub fn run(args: &ScanArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::read(&args.brief)?;
    args.reason.check(args.format(), &wishes)?;
    let sites = inputs::sites(&args.place, args.output.quiet)?;
    let mut batch = Batch::begin(sites, &wishes, args.keep_going);
    let dates = evenings(args, batch.zone())?;
    batch.check()?;
    if args.summary {
        summary::check(args)?;
    }
    let mut out = Output::open(args.output.output.as_deref())?;
    let outcome = if args.explain {
        explained(&mut batch, &wishes, &mut out)
    } else if args.season {
        super::season::write(&mut batch, &wishes, dates, args, &mut out)
    } else if args.reason.is_what_if() {
        what_if::check(args)?;
        let season = Season::new(dates);
        let query = query(&wishes, &season);
        what_if::run(args, &wishes, &season, &mut batch, &mut out, &query)
    } else if args.summary {
        summary::write(args, &Season::new(dates), &mut batch, &mut out)
    } else {
        let season = Season::new(dates);
        ranked(args, &wishes, &season, &mut batch, &mut out)
    }?;
    out.finish()?;
    Ok(batch.end(outcome))
}

/// The rules in force at each site.
fn explained(batch: &mut Batch<'_>, wishes: &Wishes, out: &mut Output) -> Result<Outcome, Failure> {
    loop {
        let chunk = batch.next()?;
        if chunk.is_empty() {
            return Ok(Outcome::Done);
        }
        for (site, rules) in &chunk {
            explain::write(out, wishes, site, rules)?;
        }
    }
}

/// The windows of each site, or of all together, in order of rank.
fn ranked(
    args: &ScanArgs,
    wishes: &Wishes,
    season: &Season,
    batch: &mut Batch<'_>,
    out: &mut Output,
) -> Result<Outcome, Failure> {
    let dates = season.dates();
    let paper = Paper {
        format: args.format(),
        choice: choice(args),
        evenings: dates.count(),
        range: (args.range.from.is_none() || args.range.to.is_none())
            .then(|| [dates.first(), dates.last()]),
        width: out.width(),
        wishes,
        stamp: today::now(),
    };
    let progress = Progress::begin(args, out, args.across);
    let mut writer = Writer::begin(out, &paper, &query(wishes, season))?;
    let mut found = 0;
    let mut empty = 0;
    let mut all: Vec<Answer> = Vec::new();
    let mut ids = SiteIds::default();
    loop {
        let chunk = batch.next()?;
        if chunk.is_empty() {
            break;
        }
        let told =
            args.format() == ScanFormat::Json || (!args.output.quiet && empty < MOST_REASONS);
        // A table may be of any length: what is not told is not kept.
        let told_ids = matches!(args.format(), ScanFormat::Ical | ScanFormat::Geojson);
        let called: Vec<SiteId> = chunk
            .iter()
            .map(|(site, _)| {
                if told_ids {
                    ids.of(site)
                } else {
                    SiteId::of(site)
                }
            })
            .collect();
        let answers: Result<Vec<(Answer, Vec<u8>)>, Failure> = chunk
            .into_par_iter()
            .zip(called)
            .map(|((site, rules), id)| {
                let planner = season.planner(site, rules)?;
                let windows = planner.windows();
                let reasons = Reasons::of(&args.reason, told, &planner, &windows);
                let answer = Answer {
                    planner,
                    id,
                    windows,
                    reasons,
                };
                let page = if args.across {
                    Vec::new()
                } else {
                    paper.page(&answer)
                };
                progress.site_done(answer.windows.len());
                Ok((answer, page))
            })
            .collect();
        for (answer, page) in answers? {
            found += answer.windows.len();
            if !args.output.quiet {
                inputs::say_assumed_zone(answer.planner.site());
                if answer.windows.is_empty() {
                    empty += 1;
                } else {
                    answer.reasons.say_unanswered(answer.planner.site());
                }
                if answer.windows.is_empty() && empty <= MOST_REASONS {
                    answer.reasons.say_nothing_found(
                        answer.planner.site(),
                        answer.planner.rules(),
                        args.format() == ScanFormat::Table,
                    );
                }
            }
            if args.across {
                all.push(answer);
            } else {
                writer.page(&page)?;
            }
        }
    }
    drop(progress);
    if args.across {
        for page in paper.ranking(all) {
            writer.page(&page)?;
        }
    }
    writer.end()?;
    if empty > MOST_REASONS {
        say(&format!(
            "No window at {}.",
            plural((empty - MOST_REASONS) as i64, "more site", "more sites")
        ));
    }
    Ok(if found > 0 {
        Outcome::Done
    } else {
        Outcome::NothingFound
    })
}

fn evenings(args: &ScanArgs, zone: Zone) -> Result<Dates, Failure> {
    let named = &args.reason.compare;
    if let (Some(first), Some(last)) = (named.iter().min(), named.iter().max()) {
        return Dates::new(*first, *last).map_err(|error| Failure::Said(error.into()));
    }
    evenings_between(args.range, zone)
}

/// The range of evenings from what was asked of it.
pub(super) fn evenings_between(range: RangeArgs, zone: Zone) -> Result<Dates, Failure> {
    let RangeArgs { from, to } = range;
    let first = from.unwrap_or_else(|| match to {
        Some(last) => today::today(zone).min(last),
        None => today::today(zone),
    });
    let dates = match to {
        Some(last) => Dates::new(first, last),
        None => Dates::year_from(first),
    };
    dates.map_err(|error| {
        Failure::Said(match error {
            DateError::Backwards { first, last } => anyhow!(
                "--to {last} lies before --from {first}; the last evening comes after the first"
            ),
            error => error.into(),
        })
    })
}

fn choice(args: &ScanArgs) -> Choice {
    let table = matches!(args.format(), ScanFormat::Table | ScanFormat::Markdown);
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

/// What was asked, and with which data it is answered.
fn query(wishes: &Wishes, season: &Season) -> Value {
    let common = wishes.options.clone().or(&wishes.file);
    let rules: serde_json::Map<String, Value> = common
        .entries()
        .into_iter()
        .map(|(key, text)| (key.to_string(), Value::from(text)))
        .collect();
    let mut query = json::query("scan");
    query.insert("from".into(), season.dates().first().to_string().into());
    query.insert("to".into(), season.dates().last().to_string().into());
    query.insert("rules".into(), Value::Object(rules));
    Value::Object(query)
}
