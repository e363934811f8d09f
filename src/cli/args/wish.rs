//! Values of options that are also keys of a brief.

use clap::{
    Arg, Command, Error,
    builder::{PossibleValue, TypedValueParser},
};
use rakelight::scene::{Brief, Facing, LightKind, Side};
use std::ffi::OsStr;

const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Checks a wish by the one parser that files use too, so that what is no band
/// is refused even where it begins with a minus sign like an option. Shells
/// are told the words among its values.
#[derive(Debug, Clone, Copy)]
pub struct Wish(&'static str);

/// The wish of a key.
pub const fn wish(key: &'static str) -> Wish {
    Wish(key)
}

impl TypedValueParser for Wish {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        arg: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, Error> {
        let check = |text: &str| {
            Brief::default()
                .set(self.0, text)
                .map(|()| text.to_string())
                .map_err(|error| error.to_string())
        };
        check.parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let words: Vec<&str> = match self.0 {
            "light" => LightKind::ALL.iter().map(|(word, _)| *word).collect(),
            "light_side" => Side::ALL.iter().map(|(word, _)| *word).collect(),
            "facing" => Facing::WORDS.iter().map(|(word, _)| *word).collect(),
            "target" => vec!["core"],
            "weekdays" => WEEKDAYS.to_vec(),
            _ => return None,
        };
        Some(Box::new(words.into_iter().map(PossibleValue::new)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_that_shells_are_told_is_taken() {
        let mut told = 0;
        for key in Brief::keys() {
            for word in wish(key).possible_values().into_iter().flatten() {
                let set = Brief::default().set(key, word.get_name());
                assert_eq!(set, Ok(()), "{key} {}", word.get_name());
                told += 1;
            }
        }
        assert!(told > 15);
    }
}
