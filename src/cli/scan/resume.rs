//! `scan --resume`: an answer that is begun in one run and ended in another.

use super::question::Question;
use crate::cli::{
    args::SiteOutputArgs,
    asked_rules::AskedRules,
    manners::{
        Failure, Output,
        output::is_standard,
        record_of_progress::{Asked, sum_of},
    },
};
use rakelight::{
    report::CsvLayout,
    scene::{Dates, ValueError},
};

/// Refuses to go on later with an answer of which no part stands by itself.
pub fn check(question: &Question, output: &SiteOutputArgs) -> Result<(), Failure> {
    let refused = |found: &str, expected: &str, remedy: &str| {
        let error = ValueError::new(found, expected).with_remedy(remedy);
        Err(Failure::option("resume", &error))
    };
    if question.table().is_none() {
        let found = "it for what is no CSV or NDJSON";
        let expected = "--format csv or --format ndjson";
        let remedy = "choose --format csv or ndjson, or leave --resume out";
        return refused(found, expected, remedy);
    }
    if question.is_answered_at_the_end() {
        let found = "it for an answer about all sites together";
        let expected = "lines in the order of the sites";
        let remedy = "leave out --together and sort the lines, or leave --resume out";
        return refused(found, expected, remedy);
    }
    match &output.output {
        Some(path) if !is_standard(path) => Ok(()),
        _ => {
            let expected = "a file, which keeps what is done";
            refused("no file to write to", expected, "add -o windows.csv")
        }
    }
}

/// Opens the file of an answer that several runs may write.
pub fn open(
    question: &Question,
    layout: &CsvLayout,
    asked_rules: &AskedRules,
    dates: Dates,
    output: &SiteOutputArgs,
) -> Result<Output, Failure> {
    let Some(path) = &output.output else {
        return Output::open(None);
    };
    let asked = Asked {
        question: sum_of(&(question, layout, asked_rules.common())),
        nights: [dates.first(), dates.last()],
    };
    Output::open_to_go_on(path, asked, output.quiet)
}
