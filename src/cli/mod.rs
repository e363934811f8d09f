//! The command line: arguments, precedence, output, exit codes; no arithmetic.

mod args;
mod asked_rules;
mod at_once;
mod batch;
mod chart;
mod chunks;
mod command_line;
mod explain;
mod exposure;
mod features;
mod handout;
mod inputs;
mod later;
mod manners;
mod manual;
mod namesakes;
mod night;
mod one_site;
mod parted;
mod phases;
mod photo;
mod scan;
mod shared_rules;
mod site_folders;
mod site_stream;
mod sites;
mod sky;
mod trip;
mod tripod;
mod values;
mod weather;

use clap::{CommandFactory, error::ErrorKind};
use command_line::{Cli, Color, Command};
use manners::{
    Failure, Outcome, completions, interruption, say, threads, today, usage_error, version,
};
use std::process::ExitCode;

pub fn main() -> ExitCode {
    let cli = match Cli::typed() {
        Ok(cli) => cli,
        Err(error) => return usage_error::report::<Cli>(error),
    };
    colour(cli.own.color);
    if let Err(failure) = today::check() {
        return exit_code(Err(failure));
    }
    exit_code(match cli.command {
        _ if cli.own.version => version::write(cli.own.verbose),
        Some(command) => run(command),
        None => {
            let told = "no command was given; `rakelight -h` names them";
            let error = Cli::command().error(ErrorKind::MissingSubcommand, told);
            return usage_error::report::<Cli>(error);
        }
    })
}

fn exit_code(ended: Result<Outcome, Failure>) -> ExitCode {
    match ended {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::NothingFound) => ExitCode::from(1),
        Ok(Outcome::Refused) => ExitCode::from(2),
        Ok(Outcome::LeftOut) => ExitCode::from(3),
        Ok(Outcome::NothingRead) => ExitCode::from(4),
        // The reader of the output has read enough; nothing is wrong.
        Err(Failure::ClosedPipe) => ExitCode::SUCCESS,
        Err(Failure::Reported(error)) => {
            say(&format!("rakelight: {error:#}"));
            ExitCode::from(2)
        }
    }
}

fn run(command: Command) -> Result<Outcome, Failure> {
    match &command {
        // It knows how many it can use once it has read sites.
        Command::Scan(_) => interruption::watch(),
        Command::Completions(_) | Command::Man(_) => {}
        Command::Sites(command) if !command.computes() => {}
        _ => threads::start(None)?,
    }
    match command {
        Command::Scan(args) => scan::run(args.into_inner()),
        Command::Night(args) => night::run(&args),
        Command::Handout(args) => handout::run(&args),
        Command::Trip(args) => trip::run(&args),
        Command::Tripod(args) => tripod::run(&args),
        Command::Sky(args) => sky::run(&args),
        Command::Phases(args) => phases::run(&args),
        Command::Exposure(args) => exposure::run(&args),
        Command::Chart(command) => chart::run(&command),
        Command::Sites(command) => sites::run(&command),
        Command::Completions(args) => completions::run(&args, Cli::command()),
        Command::Man(args) => manual::run(&args, Cli::command()),
    }
}

/// Decides once whether terminal styles are written; `auto` checks `NO_COLOR`,
/// `TERM` and whether the output is a terminal.
fn colour(choice: Color) {
    match choice {
        Color::Always => anstream::ColorChoice::Always.write_global(),
        Color::Never => anstream::ColorChoice::Never.write_global(),
        Color::Auto => {}
    }
}
