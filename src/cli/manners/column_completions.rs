//! Completions of `--columns`: the names of each command's columns, also behind
//! a comma.

use clap::{Command, builder::PossibleValuesParser};
use rakelight::report::CsvTable;

const NAME: &str = "rakelight";
/// The option, and what it is called among the arguments.
const OPTION: &str = "columns";

/// The columns that a command can write, each once.
fn columns(command: &str) -> Vec<&'static str> {
    let tables: &[CsvTable] = match command {
        "trip" => &[CsvTable::Trip],
        "night" => &[CsvTable::Night],
        _ => &[
            CsvTable::Windows,
            CsvTable::Months,
            CsvTable::Years,
            CsvTable::Sites,
            CsvTable::MonthsBeside,
            CsvTable::Season,
        ],
    };
    let mut names: Vec<&str> = Vec::new();
    for name in tables.iter().flat_map(|table| table.columns()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// Gives the option of each command its names, for completions alone: the
/// program also takes names that only the user's tables have.
pub fn with_names(command: Command) -> Command {
    let names = columns(command.get_name());
    let named = command.mut_args(|arg| match arg.get_id() == OPTION {
        true => arg.value_parser(PossibleValuesParser::new(&names)),
        false => arg,
    });
    named.mut_subcommands(with_names)
}

/// A script of bash in which a further name is completed behind a comma.
pub fn bash(script: &str) -> String {
    let offered = "COMPREPLY=($(compgen -W \"";
    let mut is_ours = false;
    let mut lines = Vec::new();
    for line in script.lines() {
        let list = line.trim_start().strip_prefix(offered);
        match list.and_then(|list| list.split('"').next()) {
            Some(names) if is_ours => {
                lines.push(format!(
                    "                    _{NAME}_columns \"{names}\" \"${{cur}}\""
                ));
            }
            _ => lines.push(line.to_owned()),
        }
        is_ours = line.trim() == format!("--{OPTION})");
    }
    lines.join("\n") + "\n"
}

/// What that script needs besides.
pub fn bash_function() -> String {
    format!(
        r#"
# Names of columns, after those that are typed with a comma behind them.
_{NAME}_columns() {{
    local before=
    [[ $2 == *,* ]] && before=${{2%,*}},
    COMPREPLY=($(compgen -P "$before" -W "$1" -- "${{2##*,}}"))
    compopt -o nospace 2>/dev/null
    return 0
}}
"#
    )
}

/// A line of a script of zsh, the same way.
pub fn zsh(line: String) -> String {
    let is_ours = line.trim_start().starts_with(&format!("'--{OPTION}="));
    match line.split_once(":NAMES:(") {
        Some((before, list)) if is_ours => {
            let list = list.replacen(")'", "'", 1);
            format!("{before}:column:_values -s , column {list}")
        }
        _ => line,
    }
}

/// A script of fish, the same way.
pub fn fish(script: String) -> String {
    let begin = format!(" -l {OPTION} ");
    let mut whole = String::new();
    let mut rest = script.as_str();
    while let Some((before, after)) = rest.split_once(&begin) {
        whole.push_str(before);
        whole.push_str(&begin);
        rest = after;
        // The names stand in quotes, a line each.
        let Some((option, list)) = after.split_once("-a \"") else {
            break;
        };
        let Some((list, end)) = list.split_once('"') else {
            break;
        };
        let names: Vec<&str> = list
            .lines()
            .filter_map(|line| line.split('\\').next())
            .collect();
        let names = names.join(" ");
        whole.push_str(&format!(
            "{option}-a \"(__fish_complete_list , 'string split \\\" \\\" \\\"{names}\\\"')\""
        ));
        rest = end;
    }
    whole + rest
}
