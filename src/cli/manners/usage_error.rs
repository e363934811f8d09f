//! A command line that cannot be parsed: what to type instead.

use super::talk;
use clap::{
    Command, Error, Parser,
    builder::StyledStr,
    error::{ContextKind, ContextValue, ErrorKind},
};
use rakelight::plain_words::printable;
use std::{ffi::OsString, process::ExitCode};

/// Options whose values cannot be guessed from their names, with one example.
const FORMS: [(&str, &str); 3] = [
    ("--time", "--time 2027-05-30T03:46"),
    ("--on", "--on 2027-05-29"),
    ("--place", "--place=-34,-70.5"),
];

/// Prints what is wrong with what was typed for `Line`, or the help that was
/// asked for.
pub fn report<Line: Parser>(error: Error) -> ExitCode {
    let mut error = if error.use_stderr() {
        harmless::<Line>(error)
    } else {
        error
    };
    if let Some(remedy) = remedy(&error, Line::command) {
        // The parser's own guess, and the usage line made from it, would mislead.
        let guesses = [ContextKind::SuggestedArg, ContextKind::SuggestedSubcommand];
        if guesses.iter().any(|guess| error.get(*guess).is_some()) {
            for kind in guesses.into_iter().chain([ContextKind::Usage]) {
                error.remove(kind);
            }
        }
        let told = ContextValue::StyledStrs(vec![StyledStr::from(remedy)]);
        error.insert(ContextKind::Suggested, told);
    }
    if error.use_stderr() && talk::talk_width().is_some() {
        talk::say(error.render().ansi().to_string().trim_end());
    } else {
        // If this fails, there is nowhere left to report it.
        let _ = error.print();
    }
    ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
}

/// The same error, safe for a terminal. The parser repeats what was typed as it
/// is, so it parses the words again, escaped.
fn harmless<Line: Parser>(error: Error) -> Error {
    let typed: Vec<OsString> = std::env::args_os().collect();
    let escaped = typed
        .iter()
        .map(|word| OsString::from(printable(&word.to_string_lossy())));
    let escaped: Vec<OsString> = escaped.collect();
    if escaped == typed {
        return error;
    }
    match Line::try_parse_from(escaped) {
        Err(same) if same.kind() == error.kind() => same,
        _ => {
            let told = error.to_string();
            let lines: Vec<String> = told.lines().map(printable).collect();
            let told = lines.join("\n") + "\n";
            Error::raw(error.kind(), told.trim_start_matches("error: "))
        }
    }
}

/// What to type instead, if the parser gives no tip or a misleading one: it
/// takes an unknown option for a site of that name.
fn remedy(error: &Error, line: fn() -> Command) -> Option<String> {
    match error.kind() {
        ErrorKind::UnknownArgument => {
            let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidArg) else {
                return None;
            };
            if error.get(ContextKind::SuggestedArg).is_some() {
                return right_option(&reached(line()).1, typed).map(str::to_owned);
            }
            if typed == "-#" {
                return Some(
                    "an address on standard input goes last, behind --: -- -#ROW".to_owned(),
                );
            }
            let number = typed.strip_prefix('-').is_some_and(|rest| {
                rest.starts_with(|first: char| first.is_ascii_digit() || first == '.')
            });
            if number {
                return Some(
                    "a value with a minus is joined to its option by =, a place by commas: \
                     --place=43.5,-3.98"
                        .to_owned(),
                );
            }
            let reached_by = reached(line()).1;
            if let Some(right) = right_option(&reached_by, typed) {
                return Some(right.to_owned());
            }
            typed
                .starts_with('-')
                .then(|| format!("`{reached_by} -h` lists the options"))
        }
        ErrorKind::InvalidSubcommand => {
            if let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidSubcommand)
                && let Some((_, right)) = COMMANDS.iter().find(|(wrong, _)| wrong == typed)
            {
                return Some((*right).to_owned());
            }
            if error.get(ContextKind::SuggestedSubcommand).is_some() {
                return None;
            }
            let (command, reached_by) = reached(line());
            let names: Vec<&str> = command
                .get_subcommands()
                .map(Command::get_name)
                .filter(|name| *name != "help")
                .collect();
            let (last, before) = names.split_last()?;
            Some(format!(
                "after {reached_by} comes {} or {last}",
                before.join(", ")
            ))
        }
        ErrorKind::MissingRequiredArgument => {
            let Some(ContextValue::Strings(missing)) = error.get(ContextKind::InvalidArg) else {
                return None;
            };
            let forms: Vec<&str> = FORMS
                .iter()
                .filter(|(option, _)| missing.iter().any(|arg| arg.starts_with(option)))
                .map(|(_, form)| *form)
                .collect();
            (!forms.is_empty()).then(|| format!("such as {}", forms.join(" ")))
        }
        ErrorKind::ArgumentConflict => {
            let named = [ContextKind::InvalidArg, ContextKind::PriorArg].map(|kind| {
                match error.get(kind) {
                    Some(ContextValue::String(arg)) => vec![arg.clone()],
                    Some(ContextValue::Strings(args)) => args.clone(),
                    _ => Vec::new(),
                }
            });
            let named = named.concat();
            let has = |option: &str| {
                named
                    .iter()
                    .any(|arg| arg.split(' ').next() == Some(option))
            };
            let tip = CONFLICTS.iter().find(|(a, b, _)| has(a) && has(b));
            tip.map(|(_, _, tip)| (*tip).to_owned())
        }
        _ => None,
    }
}

/// Options that exist elsewhere, the commands that lack them, and what to type
/// instead.
const OPTIONS: [(&str, &[&str], &str); 6] = [
    (
        "--on",
        &["sky", "exposure", "frame"],
        "for an instant use --time: --time 2027-05-29T23:00",
    ),
    (
        "--date",
        &["sky", "exposure", "frame"],
        "for an instant use --time: --time 2027-05-29T23:00",
    ),
    (
        "--time",
        &["night", "handout"],
        "for a night use --on with its evening: --on 2027-05-29",
    ),
    (
        "--date",
        &["night", "handout", "tripod"],
        "for a night use --on with its evening: --on 2027-05-29",
    ),
    (
        "--on",
        &["scan", "season"],
        "a range of nights has a first and a last evening: --from 2027-05-29 --to 2027-05-29",
    ),
    (
        "--date",
        &["scan", "season"],
        "a range of nights has a first and a last evening: --from 2027-05-29 --to 2027-05-29",
    ),
];

/// Words that users may type for a command, and what to type instead.
const COMMANDS: [(&str, &str); 8] = [
    ("moon", "`rakelight phases` lists the phases of the Moon"),
    (
        "moonphase",
        "`rakelight phases` lists the phases of the Moon",
    ),
    ("plan", "`rakelight night SITE --on DATE` plans one night"),
    (
        "timetable",
        "`rakelight night SITE --on DATE` has the timetable of one night",
    ),
    ("nights", "`rakelight scan SITE` finds and ranks nights"),
    ("find", "`rakelight scan SITE` finds and ranks nights"),
    (
        "calendar",
        "`rakelight scan SITE --format ical -o nights.ics` writes a calendar",
    ),
    (
        "map",
        "`rakelight scan SITE --format geojson -o nights.geojson` writes a map",
    ),
];

/// Options that exclude each other, and another way to get the same.
const CONFLICTS: [(&str, &str, &str); 2] = [
    (
        "--nights",
        "--to",
        "--nights counts from --from on: leave --to out",
    ),
    ("--by", "--top", "--by counts all nights: leave --top out"),
];

fn right_option(reached_by: &str, typed: &str) -> Option<&'static str> {
    let command = reached_by.rsplit(' ').next()?;
    let typed = typed.split('=').next()?;
    let right = OPTIONS
        .iter()
        .find(|(wrong, commands, _)| *wrong == typed && commands.contains(&command));
    right.map(|(.., tip)| *tip)
}

/// The command that the words typed select, and those words:
/// `rakelight chart`.
fn reached(mut command: Command) -> (Command, String) {
    let mut words = "rakelight".to_owned();
    for typed in std::env::args_os().skip(1) {
        let name = typed.to_string_lossy();
        let Some(next) = command.find_subcommand(name.as_ref()).cloned() else {
            break;
        };
        command = next;
        words = format!("{words} {name}");
    }
    (command, words)
}
