//! `rakelight man`: manual pages, from the same texts as the help.

use super::manners::{
    Failure, Outcome, Output, output::Written, threads, today, write_error::write_error,
};
use anyhow::{Context, anyhow};
use clap::{Args, Command};
use clap_mangen::{
    Man,
    roff::{Roff, bold, roman},
};
use rakelight::{plain_words::printable_path, scene::Zone};
use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

const MANUAL: &str = "Rakelight manual";

const ENVIRONMENT: [(&str, &str); 6] = [
    (
        "RAKELIGHT_SITES",
        "Folders of site files, separated as in PATH. A site named by one word is looked for as \
         that word with .toml, then .csv, .gpx, .kml, .geojson: first in the current folder, then \
         in these.",
    ),
    (
        "NO_COLOR",
        "Where it is set and not empty, nothing is written with colour or weight. --color goes \
         before it.",
    ),
    (
        "TERM",
        "Where it is dumb, nothing is written with colour or weight.",
    ),
    (
        "COLUMNS",
        "Columns of a table that no terminal is told of, 20 to 1000; 80 without it.",
    ),
    (
        "SOURCE_DATE_EPOCH",
        "Seconds since 1970-01-01 UTC that count as now: in default dates, in the stamps of \
         calendar events and on these pages.",
    ),
    (
        threads::VARIABLE,
        "Threads that compute, 1024 at most. --jobs goes before it.",
    ),
];

const EXIT_STATUS: [(&str, &str); 5] = [
    (
        "0",
        "Nights were found, or the command did its work; also when the reader of the output went \
         away.",
    ),
    ("1", "The scan ran and found no night."),
    (
        "2",
        "Wrong usage or input, or an output that cannot be written. Nothing of it is to be used, \
         and a file of -o is as it was.",
    ),
    (
        "3",
        "There is an answer, but sites were left out of it, as --keep-going asks, or files out of \
         a list of sites; each is named on standard error.",
    ),
    (
        "4",
        "Every site was left out: there is no answer, and a file of -o is as it was.",
    ),
];

const FILES: [(&str, &str); 5] = [
    (
        "NAME.toml",
        "One site: its place, subject, sky, camera, skyline and standing rules. rakelight sites \
         new writes one with comments.",
    ),
    (
        "NAME.csv",
        "A table of sites, one a row; the columns are the keys of a site file, dotted for tables.",
    ),
    (
        "NAME.gpx, NAME.kml, NAME.geojson",
        "Points of a map, each a site; a brief file gives what they lack.",
    ),
    (
        "NAME.skyline.csv",
        "A skyline that a site file names: azimuth_deg,altitude_deg. rakelight sites horizon \
         computes it.",
    ),
    (
        "BRIEF.toml",
        "Rules for --brief; keys are the options with _ for -.",
    ),
];

#[derive(Debug, Args)]
pub struct ManArgs {
    /// Write one page for each command there
    ///
    /// The folder is made if it doesn't exist. Either every page is
    /// written or none.
    #[arg(value_name = "DIR")]
    pub folder: Option<PathBuf>,
}

/// Writes the main page of `program` to standard output, or every page into a
/// folder.
pub fn run(args: &ManArgs, program: Command) -> Result<Outcome, Failure> {
    let mut program = for_pages(program).disable_help_subcommand(true);
    program.build();
    let date = today::today(Zone::UTC).to_string();
    let Some(folder) = args.folder.as_deref() else {
        let mut out = Output::open(None)?;
        out.write_all(&page(&program, &program, &date)?)?;
        out.finish()?;
        return Ok(Outcome::Done);
    };
    let mut pages = Vec::new();
    collect(&program, &program, &date, &mut pages)?;
    let made = made_by_us(folder);
    std::fs::create_dir_all(folder)
        .map_err(|error| Failure::from(write_error(folder, &error)))
        .and_then(|()| write_pages(folder, &pages))
        .inspect_err(|_| {
            for folder in made {
                // Only an empty folder is removed.
                let _ = std::fs::remove_dir(folder);
            }
        })?;
    Ok(Outcome::Done)
}

/// The folders that do not exist yet, innermost first.
fn made_by_us(folder: &Path) -> Vec<&Path> {
    let named = |folder: &&Path| *folder != Path::new("");
    let above = folder.ancestors().take_while(named);
    above
        .take_while(|folder| std::fs::symlink_metadata(folder).is_err())
        .collect()
}

/// Writes all pages into a folder, or none.
fn write_pages(folder: &Path, pages: &[(String, Vec<u8>)]) -> Result<(), Failure> {
    // All of them are on the disk before the first gets its name.
    let mut written = Vec::new();
    for (name, text) in pages {
        let path = folder.join(name);
        if path.is_dir() {
            return Err(Failure::Reported(anyhow!(
                "{} is a folder, and a page has to go there; name another folder",
                printable_path(&path)
            )));
        }
        let mut out = Output::open(Some(&path))?;
        out.write_all(text)
            .with_context(|| format!("cannot write {}", printable_path(&path)))?;
        written.push(out.written()?);
    }
    written.into_iter().try_for_each(Written::put)
}

/// Gives a page all that `--help` has: the renderer would leave out options
/// that `-h` leaves out. The words that an option accepts are in its text.
fn for_pages(command: Command) -> Command {
    command
        .mut_args(|arg| {
            let valued = arg.get_action().takes_values();
            arg.hide_short_help(false).hide_possible_values(valued)
        })
        .mut_subcommands(for_pages)
}

fn collect(
    program: &Command,
    command: &Command,
    date: &str,
    pages: &mut Vec<(String, Vec<u8>)>,
) -> io::Result<()> {
    pages.push((
        format!("{}.1", display_name(command)),
        page(program, command, date)?,
    ));
    for below in command.get_subcommands() {
        collect(program, below, date, pages)?;
    }
    Ok(())
}

fn display_name(command: &Command) -> String {
    let name = command.get_display_name();
    name.unwrap_or_else(|| command.get_name()).to_owned()
}

/// The page of a command.
fn page(program: &Command, command: &Command, date: &str) -> io::Result<Vec<u8>> {
    let name = display_name(command);
    let man = Man::new(command.clone())
        .title(name.to_uppercase())
        .date(date)
        .source(format!("rakelight {}", env!("CARGO_PKG_VERSION")))
        .manual(MANUAL);
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    synopsis(command).to_writer(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    let mut rest = Roff::default();
    if command.has_subcommands() {
        rest.control("SH", ["COMMANDS"]);
        for below in command.get_subcommands() {
            let about = below.get_about().map(ToString::to_string);
            item(&mut rest, below.get_name(), &about.unwrap_or_default());
        }
    }
    let examples = command.get_after_long_help().map(ToString::to_string);
    let examples = examples.unwrap_or_default();
    let mut lines = examples.lines().take_while(|line| !line.is_empty());
    if lines.next() == Some("Examples:") {
        rest.control("SH", ["EXAMPLES"]);
        for (index, line) in lines.enumerate() {
            match line.strip_prefix("    ") {
                Some(typed) => {
                    rest.control("RS", ["4"]);
                    rest.control("nf", []);
                    rest.text([bold(typed)]);
                    rest.control("fi", []);
                    rest.control("RE", []);
                }
                None => {
                    if index > 0 {
                        rest.control("PP", []);
                    }
                    rest.text([roman(line.trim())]);
                }
            }
        }
    }
    items(&mut rest, "EXIT STATUS", &EXIT_STATUS);
    items(&mut rest, "ENVIRONMENT", &ENVIRONMENT);
    items(&mut rest, "FILES", &FILES);
    see_also(&mut rest, program, command);
    rest.to_writer(&mut page)?;
    Ok(page)
}

/// How to call a command, as its help shows it.
fn synopsis(command: &Command) -> Roff {
    let usage = command.clone().render_usage().to_string();
    let called = command.get_bin_name().unwrap_or_default();
    let mut roff = Roff::default();
    roff.control("SH", ["SYNOPSIS"]);
    for (index, line) in usage.lines().enumerate() {
        let line = line.trim_start_matches("Usage:").trim();
        if index > 0 {
            roff.control("br", []);
        }
        match line.strip_prefix(called) {
            Some(rest) => roff.text([bold(called), roman(rest)]),
            None => roff.text([roman(line)]),
        };
    }
    roff
}

fn items(roff: &mut Roff, heading: &str, texts: &[(&str, &str)]) {
    roff.control("SH", [heading]);
    for (name, text) in texts {
        item(roff, name, text);
    }
}

fn item(roff: &mut Roff, name: &str, text: &str) {
    roff.control("TP", []);
    roff.text([bold(name)]);
    roff.text([roman(text)]);
}

/// The other pages: those of the program, its commands and their subcommands.
fn see_also(roff: &mut Roff, program: &Command, command: &Command) {
    let mut names = vec![display_name(program)];
    names.extend(program.get_subcommands().map(display_name));
    names.extend(command.get_subcommands().map(display_name));
    let own = display_name(command);
    names.sort();
    names.dedup();
    names.retain(|name| *name != own);
    roff.control("SH", ["SEE ALSO"]);
    let last = names.len().saturating_sub(1);
    for (index, name) in names.iter().enumerate() {
        let end = if index == last { "(1)" } else { "(1)," };
        roff.text([bold(name.as_str()), roman(end)]);
    }
}
