//! `scan --vary`, `--compare` and `--turn`: other questions about the same
//! rules.

use super::{
    Outcome,
    args::{ScanArgs, ScanFormat},
    batch::{Batch, Ready},
    failure::Failure,
    inputs::{self, Wishes},
    output::Output,
    progress::Progress,
};
use anyhow::anyhow;
use rakelight::{
    report::{compare, grid::STRONG, json, table::plural, turn, vary},
    rule::Rules,
    scene::Site,
    search::Season,
    why::{Compared, Variant, VaryError},
};
use rayon::prelude::*;
use serde_json::Value;
use std::{io::Write, sync::Arc};

/// The answer to one question at one site.
enum Answer {
    Vary(Vec<Variant>),
    Compare(Vec<Compared>),
    Turn(Vec<rakelight::why::TurnSector>),
}

/// Refuses what these questions cannot be answered in.
pub fn check(args: &ScanArgs) -> Result<(), Failure> {
    if !matches!(args.format(), ScanFormat::Table | ScanFormat::Json) {
        return Err(Failure::Said(anyhow!(
            "--vary, --compare and --turn are printed as a table or json; choose --format table or json"
        )));
    }
    if args.reason.combinations().is_none() {
        return Err(Failure::Said(anyhow!(
            "--vary: more than 400 combinations of values; leave out some"
        )));
    }
    Ok(())
}

/// Answers at each site of the batch.
pub fn run(
    args: &ScanArgs,
    wishes: &Wishes,
    season: &Season,
    batch: &mut Batch<'_>,
    out: &mut Output,
    query: &Value,
) -> Result<Outcome, Failure> {
    let mut found = false;
    let mut document = match args.format() {
        ScanFormat::Json => Some(json::Document::begin(Vec::new(), query)?),
        _ => None,
    };
    let mut first = true;
    let progress = Progress::begin(args, out, args.format() == ScanFormat::Json);
    loop {
        let sites = batch.next()?;
        if sites.is_empty() {
            break;
        }
        let answers: Vec<Result<Answer, Failure>> = sites
            .par_iter()
            .map(|ready| {
                let answer = answer(args, wishes, season, ready);
                progress.site_done(0);
                answer
            })
            .collect();
        for ((site, rules), answer) in sites.iter().zip(answers) {
            let answer = answer?;
            found |= answer.found();
            match &mut document {
                Some(document) => document.site(&block(site, rules, &answer))?,
                None => {
                    if !first {
                        writeln!(out)?;
                    }
                    write(out, season, site, rules, &answer)?;
                }
            }
            first = false;
        }
    }
    drop(progress);
    if let Some(document) = document {
        out.write_all(&document.end()?)?;
    }
    Ok(if found {
        Outcome::Done
    } else {
        Outcome::NothingFound
    })
}

fn answer(
    args: &ScanArgs,
    wishes: &Wishes,
    season: &Season,
    (site, rules): &Ready,
) -> Result<Answer, Failure> {
    let planner = season.planner(Arc::clone(site), Arc::clone(rules))?;
    if args.reason.turn {
        return Ok(Answer::Turn(planner.by_bearing()));
    }
    if !args.reason.compare.is_empty() {
        return Ok(Answer::Compare(planner.compare(&args.reason.compare)?));
    }
    let brief = wishes.at(site);
    let variants: Result<Vec<Variant>, Failure> = args
        .reason
        .combinations()
        .unwrap_or_default()
        .into_iter()
        .map(|values| match planner.vary(&brief, values) {
            Err(VaryError::Value(error)) => Err(Failure::option("vary", &error)),
            Err(VaryError::NoSubject(error)) => Err(inputs::no_subject(&error).into()),
            Err(error) => Err(Failure::Said(error.into())),
            Ok(variant) => Ok(variant),
        })
        .collect();
    Ok(Answer::Vary(variants?))
}

impl Answer {
    fn found(&self) -> bool {
        match self {
            Self::Vary(variants) => variants.iter().any(|variant| variant.windows > 0),
            Self::Compare(nights) => nights.iter().any(|night| night.window.is_some()),
            Self::Turn(sectors) => sectors.iter().any(|sector| sector.best.nights > 0),
        }
    }
}

fn write(
    out: &mut Output,
    season: &Season,
    site: &Site,
    rules: &Rules,
    answer: &Answer,
) -> Result<(), Failure> {
    let evenings = season.dates().count();
    match answer {
        Answer::Vary(variants) => {
            let evenings = plural(evenings, "evening", "evenings");
            writeln!(out, "{STRONG}{}{STRONG:#}: {evenings}", site.name)?;
            vary::write_table(out, variants)?;
        }
        Answer::Compare(nights) => compare::write_table(out, site, nights, &rules.weights)?,
        Answer::Turn(sectors) => turn::write_table(out, site, sectors, evenings)?,
    }
    Ok(())
}

/// One site's part of the JSON document.
fn block(site: &Site, rules: &Rules, answer: &Answer) -> Vec<u8> {
    let (key, value) = match answer {
        Answer::Vary(variants) => ("vary", vary::array(variants)),
        Answer::Compare(nights) => ("compare", compare::object(site, nights, &rules.weights)),
        Answer::Turn(sectors) => ("turn", turn::array(sectors)),
    };
    let object = serde_json::json!({"site": json::site_object(site), key: value});
    format!("    {object}").into_bytes()
}
