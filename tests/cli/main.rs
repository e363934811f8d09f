//! The command line's contract: exit codes, precedence, bands as typed, hard
//! places, output whole or not at all. Reads like use.

mod bands;
mod by_site;
mod by_year;
mod clocks;
mod compare;
mod conventions;
mod exit_codes;
mod exposure;
mod formats;
mod framing;
mod hard_places;
mod horizon;
mod horizon_table;
mod judged;
mod kinds;
mod output;
mod parts;
mod places;
mod precedence;
#[path = "../common/program.rs"]
mod program;
mod ranking;
mod season_text;
mod spare_places;
mod tonight;
mod towns;
mod trip_places;
mod trips;
mod views;

use program::Run;
use serde_json::Value;
use std::process::Output;

fn rakelight(args: &[&str]) -> Output {
    Run::here().output(args)
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("no signal ended it")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8 on standard output")
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8 on standard error")
}

/// The JSON of a run that found something.
fn json(args: &[&str]) -> Value {
    let output = rakelight(args);
    assert_eq!(code(&output), 0, "{args:?}: {}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn windows(document: &Value) -> &Vec<Value> {
    document["sites"][0]["windows"].as_array().expect("windows")
}

const TANK: &str = "demo-sites/saltbush-tank.toml";
const YEAR: [&str; 4] = ["--from", "2027-01-01", "--to", "2027-12-31"];

fn scan(more: &[&str]) -> Vec<&'static str> {
    let mut args = vec!["scan"];
    args.extend(
        more.iter()
            .map(|arg| &*Box::leak(arg.to_string().into_boxed_str())),
    );
    args.extend(YEAR);
    args
}
