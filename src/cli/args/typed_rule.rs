//! Values of options that are also keys of a brief.

use clap::{
    Arg, Command, Error,
    builder::{PossibleValue, TypedValueParser},
};
use rakelight::rule::Typed;
use std::ffi::OsStr;

/// Checks a value with the same parser that files use, so that it refuses what
/// is not a band even if that begins with a minus sign like an option. Shells
/// get the words among its values.
#[derive(Clone, Copy)]
pub struct TypedRule(pub &'static Typed);

impl TypedValueParser for TypedRule {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, Error> {
        let check = |text: &str| {
            (self.0.read)(text)
                .map(|_| text.to_string())
                .map_err(|error| error.to_string())
        };
        check.parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        if self.0.words.is_empty() {
            return None;
        }
        let words = self.0.words.iter().copied();
        Some(Box::new(words.map(PossibleValue::new)))
    }
}
