//! `rakelight completions`.
//!
//! Commands, options and words come from the arguments themselves. Only the
//! shell can look up what a folder of sites holds at the time; a few lines in
//! its own language do that.

use super::{
    column_completions as columns,
    failure::{Failure, Outcome},
    output::Output,
};
use crate::cli::site_folders;
use clap::{Arg, Args, Command, ValueHint};
use clap_complete::Shell;
use std::io::Write;

const NAME: &str = "rakelight";
/// The names of the arguments that take sites.
const SITE_ARGUMENTS: [&str; 2] = ["sites", "files"];

#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// bash, zsh, fish, powershell or elvish
    #[arg(value_name = "SHELL", hide_possible_values = true)]
    pub shell: Shell,
}

/// Writes the script that completes `program` in a shell.
pub fn run(args: &CompletionsArgs, program: Command) -> Result<Outcome, Failure> {
    let shell = args.shell;
    let mut command = columns::with_names(with_hints(program));
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command, NAME, &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    let script = match shell {
        Shell::Bash => bash(columns::bash(&script), &command),
        Shell::Zsh => zsh(&script),
        Shell::Fish => fish(columns::fish(script), &command),
        _ => script,
    };
    let mut out = Output::open(None)?;
    out.write_all(script.as_bytes())?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// Marks every value as a path, a word, or something that a shell cannot guess
/// and for which it must not offer files.
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

fn bash(script: String, command: &Command) -> String {
    let takes_sites: Vec<String> = site_commands(command)
        .iter()
        .map(|path| match path.contains(' ') {
            true => format!("\"{path}\""),
            false => format!("\"{path} \"*"),
        })
        .collect();
    let own = format!(
        r##"
# Names of the sites in the folders of the environment, each ended by a NUL. A
# name that no terminal shows, or that reads as an option, is left out.
_{NAME}_site_names() (
    set +f
    shopt -u failglob
    unset GLOBIGNORE
    while IFS= read -r -d : folder; do
        [[ -n $folder ]] || continue
        for file in "$folder"/*.toml "$folder"/*.csv "$folder"/*.gpx "$folder"/*.kml "$folder"/*.geojson; do
            [[ -f $file ]] || continue
            name=${{file##*/}}
            name=${{name%.*}}
            case $name in
                *.* | -* | *[[:cntrl:]]*) ;;
                *) printf '%s\0' "$name" ;;
            esac
        done
    done <<< "${{{variable}-}}:"
)

# Site files and folders that begin with a text, each ended by a NUL.
_{NAME}_site_files() (
    set +f
    shopt -u failglob
    unset GLOBIGNORE
    for file in "$1"*.toml "$1"*.csv "$1"*.gpx "$1"*.kml "$1"*.geojson "$1"*; do
        case $file in
            -* | *[[:cntrl:]]*) continue ;;
            *.toml | *.csv | *.gpx | *.kml | *.geojson) [[ -e $file ]] || continue ;;
            *) [[ -d $file ]] || continue; file+=/ ;;
        esac
        printf '%s\0' "$file"
    done
)

# The addresses in the file that a word with a # means, one a line; the program
# itself reads the file. More than a thousand are no help.
_{NAME}_addresses() {{
    [[ $1 == ?*'#'* ]] || return 0
    {variable}="${{{variable}-}}" command {NAME} sites list --addresses="$1" 2>/dev/null |
        command head -n 1000
}}

# Puts into `typed` what the beginning of a word means without its quotes, into
# `quote` the quote that is still open, into `before` what stands before that:
# the shell replaces only what follows it. Fails where a quote was closed.
# Nothing in the word is run.
_{NAME}_unquoted() {{
    local word=$1 letter i
    typed= quote= before=
    for ((i = 0; i < ${{#word}}; i++)); do
        letter=${{word:i:1}}
        case $quote$letter in
            \' | \") quote=$letter before=$typed ;;
            \'\' | \"\") return 1 ;;
            \\) i=$((i + 1)); typed+=${{word:i:1}} ;;
            \"\\)
                case ${{word:i+1:1}} in
                    [\$\`\"\\]) i=$((i + 1)); typed+=${{word:i:1}} ;;
                    *) typed+=$letter ;;
                esac
                ;;
            *) typed+=$letter ;;
        esac
    done
}}

# Puts into `quoted` a text as it stands for itself: behind an open `quote`, else
# with a backslash before each sign that may mean something to the shell.
_{NAME}_quoted() {{
    local text=$1 letter= i
    quoted=
    for ((i = 0; i < ${{#text}}; i++)); do
        letter=${{text:i:1}}
        case $quote$letter in
            \'\') quoted+="'\\''" ;;
            \"!) quoted+="\"'!'\"" ;;
            \"[\$\`\"\\]) quoted+="\\$letter" ;;
            [\'\"]?) quoted+=$letter ;;
            [][\ !\"#\$%\&\'\(\)*,:\;\<=\>?@^\`\{{\|\}}~\\]) quoted+="\\$letter" ;;
            *) quoted+=$letter ;;
        esac
    done
    # The shell closes the quote, unless the text ends in the same sign.
    case $quote$letter in
        \'\') quoted=${{quoted%\'}} ;;
        \"\") quoted=${{quoted%??}}'"\"' ;;
        \"!) quoted+='"' ;;
    esac
}}

# Adds sites, by name and as files, where a command takes them. Names are data:
# they are compared, never expanded, and quoted on their way to the line.
_{NAME}_or_site() {{
    local globs=on
    [[ $- == *f* ]] && globs=off
    set -f
    _{NAME} "$@"
    [[ $globs == on ]] && set +f
    local cur="${{COMP_WORDS[COMP_CWORD]}}" prev="${{COMP_WORDS[COMP_CWORD-1]}}"
    local word typed quote before quoted tilde= whole=
    local -a words=()
    [[ $cur == -* ]] && return 0
    case "$prev" in
        {valued}) return 0 ;;
    esac
    # The end of a longer word, such as an option with its value.
    [[ -n $prev && ${{COMP_LINE:0:${{COMP_POINT:-0}}}} == *"$prev$cur" ]] && return 0
    for word in "${{COMP_WORDS[@]:1:COMP_CWORD-1}}"; do
        [[ $word == -* ]] || words+=("$word")
    done
    case "${{words[0]-}} ${{words[1]-}}" in
        {takes_sites}) ;;
        *) return 0 ;;
    esac
    COMPREPLY=()
    compopt +o filenames 2>/dev/null
    _{NAME}_unquoted "$cur" || return 0
    while IFS= read -r -d '' word; do
        [[ $word == "$typed"* ]] || continue
        _{NAME}_quoted "${{word:${{#before}}}}"
        COMPREPLY+=("$quoted")
        whole=yes
    done < <(_{NAME}_site_names)
    # Only without quotes does a ~ mean the home folder.
    [[ $cur == '~/'* ]] && tilde='~' before=$HOME typed=$HOME${{typed:1}}
    while IFS= read -r -d '' word; do
        _{NAME}_quoted "${{word:${{#before}}}}"
        COMPREPLY+=("$tilde$quoted")
        [[ $word == */ ]] || whole=yes
    done < <(_{NAME}_site_files "$typed")
    while IFS= read -r word; do
        [[ $word == "$typed"* ]] || continue
        _{NAME}_quoted "${{word:${{#before}}}}"
        COMPREPLY+=("$tilde$quoted")
        whole=yes
    done < <(_{NAME}_addresses "$typed")
    # A folder is only the beginning of a word.
    [[ -n $whole ]] || compopt -o nospace 2>/dev/null
    return 0
}}

"##,
        variable = site_folders::VARIABLE,
        valued = valued_options(command).join("|"),
        takes_sites = takes_sites.join("|"),
    );
    let registered = format!("complete -F _{NAME} ");
    let ours = format!("complete -F _{NAME}_or_site ");
    let script = script.replace(&registered, &ours);
    let own = columns::bash_function() + &own;
    // Functions come before the lines that use them.
    match script.find("\nif [[ \"${BASH_VERSINFO[0]}\" -eq 4") {
        Some(at) => format!("{}{own}{}", &script[..at], &script[at + 1..]),
        None => script + &own,
    }
}

fn zsh(script: &str) -> String {
    let own = format!(
        r#"
# Puts into `reply` the names of the sites in the folders of the environment. A
# name that no terminal shows, or that reads as an option, is left out.
_{NAME}_site_names() {{
    emulate -L zsh
    local folder file name
    reply=()
    for folder in ${{(s.:.){variable}-}}; do
        for file in $folder/*.(toml|csv|gpx|kml|geojson)(N-.); do
            name=${{file:t:r}}
            case $name in
                (*.*|-*|*[[:cntrl:]]*) ;;
                (*) reply+=("$name") ;;
            esac
        done
    done
}}

# Puts into `reply` the addresses in the file that a word with a # means; the
# program itself reads the file.
_{NAME}_addresses() {{
    emulate -L zsh
    reply=()
    [[ $1 == ?*'#'* ]] || return 0
    reply=("${{(@f)$({variable}="${{{variable}-}}" command {NAME} sites list --addresses="$1" 2>/dev/null | command head -n 1000)}}")
    reply=("${{(@)reply:#}}")
}}

_{NAME}_sites() {{
    local -a reply expl
    _{NAME}_addresses "${{(Q)PREFIX}}"
    _wanted addresses expl address compadd -a reply
    _{NAME}_site_names
    _wanted sites expl site compadd -a reply
    _files -g '*.(toml|csv|gpx|kml|geojson)(-.)'
}}
"#,
        variable = site_folders::VARIABLE
    );
    let mut lines = Vec::new();
    for line in script.lines() {
        let of_sites = SITE_ARGUMENTS
            .iter()
            .any(|name| line.trim_start_matches(['\'', '*', ':']).starts_with(name));
        if of_sites {
            // With two colons, the shell would complete no option after a site.
            let line = line.replacen("'*::", "'*:", 1);
            lines.push(line.replace(":_files'", &format!(":_{NAME}_sites'")));
        } else {
            lines.push(columns::zsh(line.to_owned()));
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
        for file in $folder/*.toml $folder/*.csv $folder/*.gpx $folder/*.kml $folder/*.geojson
            test -f "$file"; or continue
            # No terminal shows such a name.
            string match -qr '[[:cntrl:]]' -- $file; and continue
            set -l name (string replace -r '.*/' '' -- $file | string replace -r '\.[^.]*$' '')
            # Nor one that reads as an option; and fish itself leaves a ~ in front
            # unquoted, which then is a home folder.
            string match -qr '\.|^[-~]' -- $name; or printf '%s\n' $name
        end
    end
    # The addresses in the file that a word with a # means; the program itself
    # reads the file.
    set -l typed (commandline -ct)
    set -l meant (string unescape -- $typed); or set meant (string replace -r '^["\']' '' -- $typed)
    if string match -qr '.#' -- "$meant"
        {variable}="${variable}" command {NAME} sites list --addresses="$meant" 2>/dev/null | command head -n 1000
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
    // The generator skips the words of a positional argument.
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
