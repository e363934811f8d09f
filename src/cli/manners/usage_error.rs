//! A command line that cannot be read: what to type instead.

use super::talk;
use clap::{
    Command, Error, Parser,
    builder::StyledStr,
    error::{ContextKind, ContextValue, ErrorKind},
};
use rakelight::plain_words::printable;
use std::{ffi::OsString, process::ExitCode};

/// Options whose form cannot be guessed from their name, with one example.
const FORMS: [(&str, &str); 3] = [
    ("--time", "--time 2027-05-30T03:46"),
    ("--on", "--on 2027-05-29"),
    ("--place", "--place=-34,-70.5"),
];

/// Tells what is wrong with what was typed for `Line`, or the help that was
/// asked for.
pub fn report<Line: Parser>(error: Error) -> ExitCode {
    let mut error = if error.use_stderr() {
        harmless::<Line>(error)
    } else {
        error
    };
    if let Some(remedy) = remedy(&error, Line::command) {
        let told = ContextValue::StyledStrs(vec![StyledStr::from(remedy)]);
        error.insert(ContextKind::Suggested, told);
    }
    if error.use_stderr() && talk::talk_width().is_some() {
        talk::say(error.render().ansi().to_string().trim_end());
    } else {
        // Nobody is left to tell where that fails.
        let _ = error.print();
    }
    ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
}

/// The same error, about words that no terminal obeys: the parser repeats what
/// was typed as it is, so it is asked again with the words escaped.
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

/// What to type instead, where the parser's own tip is none or misleads: it
/// takes an unknown option for a site of that name.
fn remedy(error: &Error, line: fn() -> Command) -> Option<String> {
    match error.kind() {
        ErrorKind::UnknownArgument => {
            if error.get(ContextKind::SuggestedArg).is_some() {
                return None;
            }
            let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidArg) else {
                return None;
            };
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
            typed
                .starts_with('-')
                .then(|| format!("`{reached_by} -h` names the options"))
        }
        ErrorKind::InvalidSubcommand => {
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
        _ => None,
    }
}

/// The command that was reached by the words typed after `command`, and those
/// words:
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
