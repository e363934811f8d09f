//! The command line: arguments, precedence, output, exit codes; no arithmetic.

mod args;
mod batch;
mod chart;
mod completions;
mod explain;
mod expose;
mod failure;
mod handout;
mod ill_typed;
mod inputs;
mod interruption;
mod kept;
mod manual;
mod night;
mod output;
mod pages;
mod phases;
mod png;
mod progress;
mod reason_args;
mod reasons;
mod scan;
mod season;
mod season_limit;
mod site_folders;
mod sites;
mod sky;
mod stand;
mod summary;
mod threads;
mod today;
mod unwritable;
mod values;
mod version;
mod way;
mod what_if;
mod wrapped;

use args::{Cli, Color, Command, SitesCommand};
use clap::{CommandFactory, Parser, error::ErrorKind};
use failure::Failure;
use std::process::ExitCode;

/// How a command that did not fail ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outcome {
    /// Nights were found, or the command did its work.
    Done,
    /// The scan ran and found none.
    NothingFound,
    /// Sites were left out, as `--keep-going` asked.
    LeftOut,
}

pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return ill_typed::tell(error),
    };
    colour(cli.color);
    if let Err(Failure::Said(error)) = today::check() {
        output::say(&format!("rakelight: {error:#}"));
        return ExitCode::from(2);
    }
    let ended = match cli.command {
        _ if cli.version => version::write(cli.verbose).map(|()| Outcome::Done),
        Some(command) => run(command),
        None => {
            let told = "no command was given; `rakelight -h` names them";
            return ill_typed::tell(Cli::command().error(ErrorKind::MissingSubcommand, told));
        }
    };
    match ended {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::NothingFound) => ExitCode::from(1),
        Ok(Outcome::LeftOut) => ExitCode::from(2),
        // Whoever read our output has had enough; nothing is wrong.
        Err(Failure::ClosedPipe) => ExitCode::SUCCESS,
        Err(Failure::Said(error)) => {
            output::say(&format!("rakelight: {error:#}"));
            ExitCode::from(2)
        }
    }
}

fn run(command: Command) -> Result<Outcome, Failure> {
    match &command {
        Command::Scan(args) => threads::start(args.jobs)?,
        Command::Completions { .. } | Command::Man { .. } => {}
        Command::Sites { command } if !matches!(command, SitesCommand::Horizon { .. }) => {}
        _ => threads::start(None)?,
    }
    match command {
        Command::Scan(args) => scan::run(&args),
        Command::Night(args) => night::run(&args),
        Command::Handout(args) => handout::run(&args),
        Command::Stand(args) => stand::run(&args),
        Command::Sky(args) => sky::run(&args),
        Command::Phases(args) => phases::run(&args),
        Command::Expose(args) => expose::run(&args),
        Command::Chart { command } => chart::run(&command),
        Command::Sites { command } => match command {
            SitesCommand::Check { files } => sites::check(&files),
            SitesCommand::List { folders } => sites::list(&folders),
            SitesCommand::New { file } => sites::new(&file),
            SitesCommand::Horizon { .. } => sites::horizon(&command),
        },
        Command::Completions { shell } => completions::write(shell),
        Command::Man { folder } => manual::write(folder.as_deref()),
    }
}

/// Settles once whether terminal styles are written; `auto` looks at
/// `NO_COLOR`, `TERM` and whether the output is a terminal.
fn colour(choice: Color) {
    match choice {
        Color::Always => anstream::ColorChoice::Always.write_global(),
        Color::Never => anstream::ColorChoice::Never.write_global(),
        Color::Auto => {}
    }
}
