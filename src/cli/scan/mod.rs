//! `rakelight scan`.

mod ahead;
pub mod args;
mod by_month;
mod by_site;
mod by_year;
mod calendar_beside;
mod circumstances;
mod compare_args;
mod layout;
mod pages;
mod question;
mod reason_args;
mod reasons;
mod resume;
mod season;
mod sites_on;
mod together;
mod what_if;
mod windows;

use super::{
    asked_rules::AskedRules,
    batch::{Batch, Reading, Ready},
    explain,
    inputs::{self, SitesAsked},
    manners::{Failure, Outcome, interruption, progress::Progress, threads},
    weather::Weather,
};
use crate::cli::args::{Format, format};
use args::ScanArgs;
use by_month::{MonthSearch, MonthWriter};
use by_site::{CountSearch, CountWriter};
use by_year::{YearSearch, YearWriter};
use calendar_beside::{BesideFormat, CalendarSearch, CalendarWriter};
use circumstances::Circumstances;
use pages::{Page, PageWriter, Pages};
use question::Question;
use rakelight::report::{
    SiteIds,
    ical::{Calendar, sites_in},
};
use season::SeasonPages;
use sites_on::{SitesOnSearch, SitesOnWriter};
use std::io::Write as _;
use what_if::WhatIf;
use windows::{WindowSearch, WindowWriter};

pub fn run(args: ScanArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read_several(&args.brief)?;
    let question = Question::of(&args, &asked_rules)?;
    // The question is complete: the rest says where, when and how.
    let ScanArgs {
        place,
        part,
        range,
        weather,
        output,
        calendar,
        keep_going,
        empty,
        resume,
        jobs,
        ..
    } = args;
    let quiet = output.quiet;
    let (format, _) = output.format(format::ALL, args.format);
    args.table.check(format, question.table())?;
    if resume {
        resume::check(&question, &output)?;
    }
    let part = part.part;
    let (own, sites) = inputs::sites_asked(
        &place,
        &asked_rules.defaults,
        quiet,
        SitesAsked {
            own: args.table.needs_own(format),
            part,
            with_before: question.tells_sites_apart(),
        },
    )?;
    let mut csv = args.table.layout(question.table(), own)?;
    csv.without_header |= part.is_some_and(|part| !part.is_first());
    let sites = output.conventions.of_all(sites);
    let before = calendar.before()?;
    let ids = || SiteIds::after(sites_in(&before));
    let reading = Reading {
        keep_going,
        quiet: quiet || !question.shows_nights(),
        lists_left_out: keep_going && format == Format::Json,
        closing: !quiet,
        ids: question.tells_sites_apart().then(ids),
        counts_by: question.counts_by(),
    };
    let mut batch = Batch::begin(sites, &asked_rules, reading);
    let dates = question.dates(range, batch.here())?;
    batch.check()?;
    batch.over(dates, Weather::read(&weather, dates, quiet)?);
    let (sites, nights) = question.work(batch.known_sites(), dates);
    threads::start_for(jobs, sites, nights)?;
    let mut out = match resume {
        true => resume::open(&question, &csv, &asked_rules, dates, &output)?,
        false => output.open(format::ALL, args.format)?,
    };
    if let Some(part) = out.part() {
        csv.without_header |= !part.is_new();
        batch.goes_on(part.sites());
    }
    // Results that appear on a terminal one by one show progress enough.
    let wanted = !quiet && (question.is_answered_at_the_end() || !out.is_terminal());
    // How many sites a part has is known to nobody who counts lines.
    let counted = if part.is_some() {
        &[]
    } else {
        &place.sites[..]
    };
    let progress = Progress::begin(counted, wanted);
    let at = Circumstances {
        asked_rules: &asked_rules,
        dates,
        open_range: range.is_open(),
        quiet,
        keep_going,
        csv: &csv,
    };
    let to = &mut out;
    let outcome = match question {
        Question::Windows(asked) => {
            let search = WindowSearch::new(&asked, &at, to.width());
            let stamp = search.stamp();
            let calendar = (asked.format == Format::Ical)
                .then(|| Calendar::new(calendar.style(), dates, stamp, before));
            let writer = WindowWriter::begin(&search, &at, calendar, to)?;
            batch.ask(progress, |ready| search.answer(ready), writer)
        }
        Question::Explain => {
            let width = to.width();
            let writer = PageWriter::new(Pages::Plain(to));
            batch.ask(
                progress,
                |ready| explained(&asked_rules, &ready, width),
                writer,
            )
        }
        Question::Season(format) => {
            let season = SeasonPages::new(format, &at, to.width());
            let writer = PageWriter::new(season.pages(to, &at)?);
            batch.ask(progress, |ready| season.page(&ready), writer)
        }
        Question::ByMonth(page) => {
            let search = MonthSearch::new(page, &at);
            let writer = MonthWriter::begin(&search, &at, to)?;
            batch.ask(progress, |ready| search.answer(ready), writer)
        }
        Question::ByYear(format) => {
            let search = YearSearch::new(format, &at);
            let writer = YearWriter::begin(&search, &at, to)?;
            batch.ask(progress, |ready| search.answer(ready), writer)
        }
        Question::BySite(format) => {
            let search = CountSearch::new(format, &at);
            let writer = CountWriter::begin(&search, &at, to)?;
            batch.ask(progress, |ready| search.answer(ready), writer)
        }
        Question::Calendar(beside, format) => {
            let search = CalendarSearch::new(beside, format, &at);
            if format == BesideFormat::Json {
                let writer = PageWriter::new(Pages::document(to, &at)?);
                batch.ask(progress, |ready| search.page(ready), writer)
            } else {
                let writer = CalendarWriter::begin(&search, &at, to)?;
                batch.ask(progress, |ready| search.answer(ready), writer)
            }
        }
        Question::SitesOn(nights, json) => {
            let search = SitesOnSearch::new(nights, &at);
            let writer = SitesOnWriter::new(&search, json, &at, to);
            batch.ask(progress, |ready| search.answer(ready), writer)
        }
        Question::WhatIf(asked, json) => {
            let width = to.width();
            let pages = if json {
                Pages::document(to, &at)?
            } else {
                Pages::spaced(to)
            };
            let what_if = WhatIf::new(asked, json, width, &at);
            let writer = PageWriter::with_foot(pages, what_if.key()?);
            batch.ask(progress, |ready| what_if.page(ready), writer)
        }
    };
    let outcome = outcome.inspect_err(|_| interruption::say_what_stays())?;
    match outcome {
        // A file keeps what it had.
        Outcome::NothingRead => out.give_up(quiet)?,
        _ => out.finish()?,
    }
    Ok(empty.told(outcome))
}

/// The rules in use at a site.
fn explained(asked_rules: &AskedRules, ready: &Ready, width: usize) -> Result<Page, Failure> {
    let mut text = Vec::new();
    let several = ready.rules.len() > 1;
    for (index, rules) in ready.rules.iter().enumerate() {
        if index > 0 {
            writeln!(text)?;
        }
        explain::write(&mut text, asked_rules, &ready.site, rules, several, width)?;
    }
    Ok(Page { text, found: true })
}
