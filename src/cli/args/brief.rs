//! The options of the rules, made from the list of rules.

use super::headings::{DARK, LIGHT, PRINT, STAND, WHERE};
use super::typed_rule::TypedRule;
use clap::{Arg, ArgMatches, Args, Command, Error, FromArgMatches, ValueHint};
use rakelight::rule::{Asked, FACING, Rule, TARGET, Topic, Typed, typed_rules};
use std::path::PathBuf;

/// Hides rules from `-h`, but not from `--help`, in commands that are not about
/// them.
pub fn rules_in_long_help(arg: Arg) -> Arg {
    if Rule::of_key(arg.get_id().as_str()).is_some() {
        arg.hide_short_help(true)
    } else {
        arg
    }
}

/// Hides the brief file from `-h`, but not from `--help`, in a command that takes
/// no other rules.
pub fn brief_in_long_help(arg: Arg) -> Arg {
    if arg.get_id() == "brief" || arg.get_id() == "base_brief" {
        arg.hide_short_help(true)
    } else {
        arg
    }
}

/// Rules that were typed, with their text.
pub type TypedRules = Vec<(&'static Rule, String)>;

/// The rules of one run: files of them, and those typed.
#[derive(Debug)]
pub struct BriefArgs {
    /// Files of rules.
    pub brief: BriefFile,
    /// The rules typed.
    pub typed: TypedRules,
}

/// Target and camera direction, for commands that need no other rules of those
/// that can be typed.
#[derive(Debug)]
pub struct ViewArgs {
    /// Files of rules.
    pub brief: BriefFile,
    /// The rules typed.
    pub typed: TypedRules,
}

/// The brief files alone, for commands in which no rule is typed.
#[derive(Debug, Args)]
pub struct BriefFile {
    /// Rules from a TOML file
    ///
    /// Keys are spelled like the options, with _ for -. An option overrides the
    /// file, the file overrides the site's own [brief]. Its time_zone, [camera],
    /// [sky], [air] and [subject] are for sites that say nothing of them, such as
    /// the points of a map. scan and trip take several: each is asked by itself,
    /// and each window has the name of its brief.
    #[arg(long, value_name = "FILE", help_heading = WHERE)]
    pub brief: Vec<PathBuf>,

    /// Rules for what options, brief and site leave open
    ///
    /// A file like that of --brief which overrides nothing: it only fills gaps,
    /// before the defaults do.
    #[arg(long, value_name = "FILE", hide_short_help = true, help_heading = WHERE)]
    pub base_brief: Option<PathBuf>,
}

fn heading(topic: Topic) -> &'static str {
    match topic {
        Topic::When => WHERE,
        Topic::Stand => STAND,
        Topic::Dark => DARK,
        Topic::Light => LIGHT,
        Topic::Print => PRINT,
    }
}

/// Characters that fit beside an option in the short help.
const SHORT_HELP: usize = 50;

/// The option of a rule.
fn option(rule: &'static Rule, typed: &'static Typed) -> Arg {
    let mut help = typed.help.to_owned();
    let mut more = typed.more.to_owned();
    // This is the default for a raking night and no subject; where another kind
    // or direction has another default, the long help says so.
    if let Some(default) = (rule.default)(Asked::NOTHING) {
        let default = format!(" [default: {default}]");
        let fits = help.len() + default.len() <= SHORT_HELP;
        let line = if fits { &mut help } else { &mut more };
        line.push_str(&default);
    }
    let arg = Arg::new(rule.key)
        .long(rule.option_name())
        .value_name(typed.value_name)
        .value_parser(TypedRule(typed))
        .help_heading(heading(typed.topic))
        .hide_possible_values(true)
        .hide_short_help(typed.seldom)
        .allow_hyphen_values(typed.may_be_negative)
        .value_hint(match typed.value_name {
            "FILE" | "DATES" => ValueHint::FilePath,
            _ => ValueHint::Unknown,
        });
    let arg = match rule.alias_name() {
        Some(alias) => {
            more.push_str(&format!(" --{alias} means the same."));
            arg.alias(alias)
        }
        None => arg,
    };
    let more = more.trim_start();
    if more.is_empty() {
        arg.help(help)
    } else {
        let long = format!("{help}\n\n{more}");
        arg.help(help).long_help(long)
    }
}

/// Whether a rule is one of [`ViewArgs`].
fn of_view(rule: &Rule) -> bool {
    *rule == TARGET || *rule == FACING
}

/// A command with the options of some rules.
fn with_options(command: Command, wanted: fn(&Rule) -> bool) -> Command {
    let mut rules: Vec<_> = typed_rules().filter(|(rule, _)| wanted(rule)).collect();
    // The help shows headings in the order in which they first occur.
    rules.sort_by_key(|(_, typed)| typed.topic);
    command.args(rules.into_iter().map(|(rule, typed)| option(rule, typed)))
}

/// What was typed of some rules.
fn typed_in(matches: &ArgMatches, wanted: fn(&Rule) -> bool) -> TypedRules {
    typed_rules()
        .filter(|(rule, _)| wanted(rule))
        .filter_map(|(rule, _)| Some((rule, matches.get_one::<String>(rule.key)?.clone())))
        .collect()
}

impl Args for BriefArgs {
    fn augment_args(command: Command) -> Command {
        with_options(BriefFile::augment_args(command), |_| true)
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for BriefArgs {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        Ok(Self {
            brief: BriefFile::from_arg_matches(matches)?,
            typed: typed_in(matches, |_| true),
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl Args for ViewArgs {
    fn augment_args(command: Command) -> Command {
        with_options(BriefFile::augment_args(command), of_view)
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for ViewArgs {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        Ok(Self {
            brief: BriefFile::from_arg_matches(matches)?,
            typed: typed_in(matches, of_view),
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}
