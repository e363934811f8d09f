//! `scan --vary`, `--compare` and `--turn`: other questions about the same
//! rules.

use super::{
    Outcome,
    args::{ScanArgs, ScanFormat},
    batch::Batch,
    failure::Failure,
    inputs::{self, Wishes},
    output::Output,
    progress::Progress,
};
use anyhow::anyhow;
use rakelight::{
    report::{
        compare::{self, Compared},
        grid::STRONG,
        json,
        table::plural,
        turn,
        vary::{self, Variant},
    },
    rule::Rules,
    scan::{Season, turns},
    scene::Site,
};
use rayon::prelude::*;
use serde_json::Value;
use std::{collections::BTreeSet, io::Write};

/// The answer to one question at one site.
enum Answer {
    Vary(Vec<Variant>),
    Compare(Vec<Compared>),
    Turn(Vec<rakelight::scan::TurnSector>),
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
            .map(|(site, rules)| {
                let answer = answer(args, wishes, season, site, rules);
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
    site: &Site,
    rules: &Rules,
) -> Result<Answer, Failure> {
    if args.reason.turn {
        return Ok(Answer::Turn(turns(season, site, rules)));
    }
    if !args.reason.compare.is_empty() {
        return Ok(Answer::Compare(compared(args, season, site, rules)));
    }
    let combinations = args.reason.combinations().unwrap_or_default();
    let variants: Result<Vec<Variant>, Failure> = combinations
        .into_iter()
        .map(|values| variant(wishes, season, site, values))
        .collect();
    Ok(Answer::Vary(variants?))
}

/// The scan with other values, as if they had been typed.
fn variant(
    wishes: &Wishes,
    season: &Season,
    site: &Site,
    values: Vec<(String, String)>,
) -> Result<Variant, Failure> {
    let mut wishes = wishes.clone();
    for (key, text) in &values {
        wishes
            .options
            .set(key, text)
            .map_err(|error| Failure::option("vary", &error))?;
    }
    let rules = inputs::rules(&wishes, site)?;
    let windows = season.windows(site, &rules);
    let nights: BTreeSet<_> = windows.iter().map(|window| window.night).collect();
    Ok(Variant {
        values,
        nights: nights.len(),
        windows: windows.len(),
        best: windows.first().map(|window| (window.score, window.night)),
    })
}

fn compared(args: &ScanArgs, season: &Season, site: &Site, rules: &Rules) -> Vec<Compared> {
    args.reason
        .compare
        .iter()
        .map(|night| {
            let alone = season.of_night(*night);
            let window = alone.windows(site, rules).into_iter().next();
            let needs = match window {
                Some(_) => None,
                None => alone.study(site, rules).and_then(|study| {
                    let miss = alone
                        .near_misses(site, rules, &study, 1)
                        .into_iter()
                        .next()?;
                    miss.loosenings.into_iter().next()
                }),
            };
            Compared {
                night: *night,
                window,
                needs,
            }
        })
        .collect()
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
    let evenings = (season.last() - season.first()).num_days() + 1;
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
