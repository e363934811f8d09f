//! No output over an input: who names the same file for both would lose it.

use super::{
    args::{BriefArgs, ChartCommand, Command, OutputArgs, SiteArgs, SitesCommand},
    failure::Failure,
    unwritable::refused,
};
use rakelight::scene::ValueError;
use std::{
    fs,
    path::{Path, PathBuf},
};

/// Refuses an output file that the command reads from.
pub fn check(command: &Command) -> Result<(), Failure> {
    let (output, inputs) = files(command);
    let Some(output) = output else { return Ok(()) };
    // A file that is not there yet is nobody's input.
    let Ok(real) = fs::canonicalize(output) else {
        return Ok(());
    };
    let is_read = |input: &&Path| fs::canonicalize(input).is_ok_and(|input| input == real);
    if inputs.iter().any(is_read) {
        let error = ValueError::new("a file that this command reads", "another one to write to")
            .with_remedy("name another after -o");
        return Err(Failure::Said(refused(output, error)));
    }
    Ok(())
}

/// The file that a command writes, and those it is told to read.
fn files(command: &Command) -> (Option<&Path>, Vec<&Path>) {
    let both = |output, sites, brief| (written(output), read(sites, brief));
    match command {
        Command::Scan(args) => both(&args.output, &args.place, Some(&args.brief)),
        Command::Night(args) => both(&args.output, &args.place, Some(&args.brief)),
        Command::Handout(args) => both(&args.output, &args.place, Some(&args.brief)),
        Command::Stand(args) => both(&args.output, &args.place, Some(&args.brief)),
        Command::Sky(args) => both(&args.output, &args.place, None),
        Command::Expose(args) => both(&args.output, &args.place, None),
        Command::Chart { command } => match command {
            ChartCommand::Night(args) => both(&args.picture.output, &args.place, Some(&args.brief)),
            ChartCommand::Frame(args) => both(&args.picture.output, &args.place, Some(&args.brief)),
            ChartCommand::Season(args) => {
                both(&args.picture.output, &args.place, Some(&args.brief))
            }
        },
        Command::Sites {
            command: SitesCommand::Horizon { tiles, output, .. },
        } => (
            written(output),
            tiles.iter().map(PathBuf::as_path).collect(),
        ),
        _ => (None, Vec::new()),
    }
}

fn written(output: &OutputArgs) -> Option<&Path> {
    output.output.as_deref()
}

fn read<'a>(sites: &'a SiteArgs, brief: Option<&'a BriefArgs>) -> Vec<&'a Path> {
    let brief = brief.and_then(|args| args.brief.as_deref());
    let sites = sites.sites.iter().map(PathBuf::as_path);
    sites.chain(brief).collect()
}
