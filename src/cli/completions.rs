//! `rakelight completions`.
//!
//! Commands, options and words come from the arguments themselves. What a
//! folder of sites holds only the shell can look up when it is asked: a few
//! lines of its own language do that.

use super::{Outcome, args::Cli, failure::Failure, output::Output, site_folders};
use clap::{Arg, Command, CommandFactory, ValueHint};
use clap_complete::Shell;
use std::io::Write;

const NAME: &str = "rakelight";
/// What the arguments are called that take sites.
const SITE_ARGUMENTS: [&str; 2] = ["sites", "files"];

/// Writes the script that completes in a shell.
pub fn write(shell: Shell) -> Result<Outcome, Failure> {
    let mut command = with_hints(Cli::command());
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command, NAME, &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    let script = match shell {
        Shell::Bash => bash(script, &command),
        Shell::Zsh => zsh(&script),
        Shell::Fish => fish(script, &command),
        _ => script,
    };
    let mut out = Output::open(None)?;
    out.write_all(script.as_bytes())?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// Says of every value what it is: a path, a word, or something that no shell
/// can guess and for which it must not offer the files around.
fn with_hints(command: Command) -> Command {
    command
        .mut_args(|arg| {
            let words = arg.get_value_parser().possible_values().is_some();
            match arg.get_value_hint() {
                ValueHint::AnyPath if is_folder(&arg) => arg.value_hint(ValueHint::DirPath),
                ValueHint::AnyPath => arg.value_hint(ValueHint::FilePath),
                ValueHint::Unknown if !words && arg.get_action().takes_values() => {
                    arg.value_hint(ValueHint::Other)
                }
                _ => arg,
            }
        })
        .mut_subcommands(with_hints)
}

fn is_folder(arg: &Arg) -> bool {
    let names = arg.get_value_names().unwrap_or_default();
    names.iter().any(|name| name == "DIR")
}

/// The commands that take sites, as typed after the program's name.
fn site_commands(command: &Command) -> Vec<String> {
    let mut found = Vec::new();
    for sub in command.get_subcommands() {
        let takes_sites = sub
            .get_positionals()
            .any(|arg| SITE_ARGUMENTS.iter().any(|name| arg.get_id() == name));
        if takes_sites {
            found.push(sub.get_name().to_owned());
        }
        let below = site_commands(sub).into_iter();
        found.extend(below.map(|name| format!("{} {name}", sub.get_name())));
    }
    found
}

/// Every option that takes a value, as typed.
fn valued_options(command: &Command) -> Vec<String> {
    let mut found: Vec<String> = command
        .get_opts()
        .flat_map(|arg| {
            let long = arg.get_long().map(|name| format!("--{name}"));
            let short = arg.get_short().map(|letter| format!("-{letter}"));
            long.into_iter().chain(short)
        })
        .chain(command.get_subcommands().flat_map(valued_options))
        .collect();
    found.sort();
    found.dedup();
    found
}

/// Names of the sites in the folders of the environment, one a line, in the
/// language that bash and zsh share.
fn site_names_function() -> String {
    format!(
        r#"
_{NAME}_site_names() {{
    local folder file name
    while IFS= read -r folder; do
        [ -n "$folder" ] && [ -d "$folder" ] || continue
        while IFS= read -r file; do
            name="${{file##*/}}"
            name="${{name%.*}}"
            case "$name" in
                *.*) ;;
                *) printf '%s\n' "$name" ;;
            esac
        done < <(find -L "$folder" -maxdepth 1 -type f \( -name '*.toml' -o -name '*.csv' \) 2>/dev/null)
    done < <(printf '%s\n' "${{{variable}-}}" | tr ':' '\n')
}}
"#,
        variable = site_folders::VARIABLE
    )
}

fn bash(script: String, command: &Command) -> String {
    let takes_sites: Vec<String> = site_commands(command)
        .iter()
        .map(|path| match path.contains(' ') {
            true => format!("\"{path}\""),
            false => format!("\"{path} \"*"),
        })
        .collect();
    let own = format!(
        r#"{names}
# Adds sites, by name and as files, where a command takes them.
_{NAME}_or_site() {{
    _{NAME} "$@"
    local cur="${{COMP_WORDS[COMP_CWORD]}}" prev="${{COMP_WORDS[COMP_CWORD-1]}}" word
    local -a words=()
    [[ $cur == -* ]] && return 0
    case "$prev" in
        {valued}) return 0 ;;
    esac
    for word in "${{COMP_WORDS[@]:1:COMP_CWORD-1}}"; do
        [[ $word == -* ]] || words+=("$word")
    done
    case "${{words[0]-}} ${{words[1]-}}" in
        {takes_sites}) ;;
        *) return 0 ;;
    esac
    local IFS=$'\n'
    COMPREPLY=(
        $(compgen -W "$(_{NAME}_site_names)" -- "$cur")
        $(compgen -f -X '!*.toml' -- "$cur")
        $(compgen -f -X '!*.csv' -- "$cur")
        $(compgen -d -- "$cur")
    )
    compopt -o filenames 2>/dev/null
    return 0
}}

"#,
        names = site_names_function(),
        valued = valued_options(command).join("|"),
        takes_sites = takes_sites.join("|"),
    );
    let registered = format!("complete -F _{NAME} ");
    let ours = format!("complete -F _{NAME}_or_site ");
    let script = script.replace(&registered, &ours);
    // Functions before the lines that name them.
    match script.find("\nif [[ \"${BASH_VERSINFO[0]}\" -eq 4") {
        Some(at) => format!("{}{own}{}", &script[..at], &script[at + 1..]),
        None => script + &own,
    }
}

fn zsh(script: &str) -> String {
    let own = format!(
        r#"{names}
_{NAME}_sites() {{
    local -a names
    names=(${{(f)"$(_{NAME}_site_names)"}})
    (( $#names )) && _describe -t sites 'site' names
    _files -g '*.(toml|csv)(-.)'
}}
"#,
        names = site_names_function()
    );
    let mut lines = Vec::new();
    for line in script.lines() {
        let of_sites = SITE_ARGUMENTS
            .iter()
            .any(|name| line.trim_start_matches(['\'', '*', ':']).starts_with(name));
        if of_sites {
            // With two colons no option would be completed after a site.
            let line = line.replacen("'*::", "'*:", 1);
            lines.push(line.replace(":_files'", &format!(":_{NAME}_sites'")));
        } else {
            lines.push(line.to_owned());
        }
        if line.starts_with("autoload ") {
            lines.push(own.clone());
        }
    }
    lines.join("\n") + "\n"
}

fn fish(script: String, command: &Command) -> String {
    let mut own = format!(
        r#"
function __fish_{NAME}_site_names
    for folder in (string split : -- "${variable}")
        test -d "$folder"; or continue
        for file in $folder/*.toml $folder/*.csv
            set -l name (string replace -r '.*/' '' -- $file | string replace -r '\.[^.]*$' '')
            string match -q '*.*' -- $name; or echo $name
        end
    end
end

"#,
        variable = site_folders::VARIABLE
    );
    for path in site_commands(command) {
        let seen: Vec<String> = path
            .split(' ')
            .enumerate()
            .map(|(depth, word)| match depth {
                0 => format!("__fish_{NAME}_using_subcommand {word}"),
                _ => format!("__fish_seen_subcommand_from {word}"),
            })
            .collect();
        own.push_str(&format!(
            "complete -c {NAME} -n \"{}\" -a \"(__fish_{NAME}_site_names)\" -d 'site'\n",
            seen.join("; and ")
        ));
    }
    // The generator passes over the words of an argument without a name.
    for sub in command.get_subcommands() {
        let words: Vec<String> = sub
            .get_positionals()
            .flat_map(|arg| arg.get_possible_values())
            .map(|word| word.get_name().to_owned())
            .collect();
        if !words.is_empty() {
            own.push_str(&format!(
                "complete -c {NAME} -n \"__fish_{NAME}_using_subcommand {}\" -f -a \"{}\"\n",
                sub.get_name(),
                words.join(" ")
            ));
        }
    }
    script + &own
}
