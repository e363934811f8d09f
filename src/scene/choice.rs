//! Values that are one of a few words.

use super::nearest::nearest;
use super::value_error::ValueError;

/// The value whose word is `text`, letter case ignored.
pub(super) fn choose<T: Copy>(text: &str, words: &[(&str, T)]) -> Result<T, ValueError> {
    let text = text.trim();
    let found = words
        .iter()
        .find(|(word, _)| word.eq_ignore_ascii_case(text));
    if let Some((_, value)) = found {
        return Ok(*value);
    }
    let names = || words.iter().map(|(word, _)| *word);
    let mut expected = String::from("one of ");
    for (index, word) in names().enumerate() {
        if index > 0 {
            expected.push_str(", ");
        }
        expected.push_str(word);
    }
    let remedy = nearest(text, names()).map(|word| format!("did you mean {word}?"));
    Err(ValueError::new(text, expected).with_hint(remedy))
}
