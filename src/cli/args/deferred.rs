//! Arguments of a command that are built only when it was typed.

use clap::{ArgMatches, Args, Command, Error, FromArgMatches};
use std::ops::Deref;

/// The arguments of one of several commands.
///
/// A parser built by `augment_subcommands` has them all, for its help and its
/// tips. One built by `augment_subcommands_for_update`, which nothing else here
/// needs, leaves each command without arguments until its name is met.
#[derive(Debug)]
pub struct Deferred<T>(Box<T>);

impl<T> Deferred<T> {
    pub fn into_inner(self) -> T {
        *self.0
    }
}

impl<T> Deref for Deferred<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

impl<T: FromArgMatches> FromArgMatches for Deferred<T> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        T::from_arg_matches(matches).map(|args| Self(Box::new(args)))
    }

    fn from_arg_matches_mut(matches: &mut ArgMatches) -> Result<Self, Error> {
        T::from_arg_matches_mut(matches).map(|args| Self(Box::new(args)))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        self.0.update_from_arg_matches(matches)
    }
}

impl<T: Args> Args for Deferred<T> {
    fn augment_args(command: Command) -> Command {
        T::augment_args(command)
    }

    fn augment_args_for_update(command: Command) -> Command {
        command.defer(T::augment_args)
    }
}
