//! `rakelight sites new`.

use crate::cli::args::CsvArgs;
use crate::cli::manners::{
    Failure, Outcome, Output, interruption, say,
    typed::{PATH_SIGNS, quoted},
    write_error::write_error,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    input::{site_table_template, site_template},
    plain_words::printable_path,
};
use std::{
    io::Write,
    path::{Path, PathBuf},
};

#[derive(Debug, Args)]
pub struct NewArgs {
    /// The file to make; it must not be there yet. - for standard output
    ///
    /// A name that ends in .csv gets a table of sites with an example row.
    #[arg(value_name = "FILE")]
    pub file: PathBuf,

    #[command(flatten)]
    pub csv: CsvArgs,
}

impl NewArgs {
    /// Whether a table is asked for.
    fn is_table(&self) -> bool {
        let ending = self.file.extension();
        let is_csv = ending.is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        is_csv || (ending.is_none() && self.csv.csv_style.is_some())
    }

    /// What is written.
    fn text(&self) -> Result<String, Failure> {
        let is_table = self.is_table();
        let style = self.csv.style_of(
            is_table,
            "a name that ends in .csv",
            "give the file such a name, or leave --csv-style out",
        )?;
        Ok(match is_table {
            true => site_table_template(style)?,
            false => site_template(),
        })
    }
}

/// A path quoted so that a shell reads it as one word and the program as a
/// file.
fn as_typed(file: &Path) -> String {
    // A name that cannot be shown cannot be typed.
    let name = file.to_str().map(|name| match name.starts_with('-') {
        true => format!("./{name}"),
        false => name.to_owned(),
    });
    let typed = name.and_then(|name| quoted(&name, PATH_SIGNS));
    typed.unwrap_or_else(|| "FILE".to_owned())
}

/// Whether a path can only be a folder.
fn ends_as_folder(file: &Path) -> bool {
    let name = file.display().to_string();
    let last = name.trim_end_matches('.');
    let dots = name.len() - last.len();
    dots <= 2 && (last.ends_with(std::path::is_separator) || (last.is_empty() && dots > 0))
}

/// Writes a commented site file or a table with one row, but never over an existing file.
pub fn run(args: &NewArgs) -> Result<Outcome, Failure> {
    let file = args.file.as_path();
    let text = args.text()?;
    if file == Path::new("-") {
        let mut out = Output::open(None)?;
        out.write_all(text.as_bytes())?;
        out.finish()?;
        return Ok(Outcome::Done);
    }
    if ends_as_folder(file) {
        return Err(write_error(file, &std::io::ErrorKind::IsADirectory.into()).into());
    }
    // A site is found by its name only in a file with this ending.
    let named = match file.extension() {
        None if file.file_name().is_some() && !file.exists() => {
            file.with_extension(if args.is_table() { "csv" } else { "toml" })
        }
        _ => file.to_path_buf(),
    };
    let file = named.as_path();
    interruption::watch();
    // An interruption leaves the file complete or absent.
    let whole = interruption::held_back();
    let mut made = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)
        .map_err(|error| match error.kind() {
            std::io::ErrorKind::AlreadyExists => anyhow!(
                "{} is already there and stays as it is; give another name",
                printable_path(file)
            ),
            _ => write_error(file, &error),
        })?;
    let written = made.write_all(text.as_bytes());
    if let Err(error) = written.and_then(|()| made.sync_all()) {
        drop(made);
        // A partial file would block the next attempt.
        let _ = std::fs::remove_file(file);
        return Err(Failure::Reported(write_error(file, &error)));
    }
    drop(whole);
    say(&format!(
        "{} is written; edit it, then: rakelight sites check {}",
        printable_path(file),
        as_typed(file)
    ));
    Ok(Outcome::Done)
}
