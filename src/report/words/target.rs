//! What must be in the sky.

use crate::{ephemeris::Direction, plan::NightPlan, report::row::Common, search::Window};

/// The name of the target of some windows; `target` if they differ.
pub(in crate::report) fn target_of<'a>(
    windows: impl IntoIterator<Item = &'a Window>,
) -> &'static str {
    let mut names = windows.into_iter().map(|window| window.best.target_name());
    let first = names.next().unwrap_or("target");
    if names.all(|name| name == first) {
        first
    } else {
        "target"
    }
}

/// What a target is: a direction that has no name of its own as it is typed,
/// `target gal:80,0`.
pub fn target_words(target: &Direction) -> String {
    let name = target.name();
    match target {
        Direction::Core | Direction::Moon => name.to_owned(),
        other => format!("{name} {other}"),
    }
}

/// What the columns of some windows depend on.
pub(in crate::report) fn common_of<'a>(
    windows: impl Iterator<Item = &'a Window> + Clone,
) -> Common {
    let mut pairs = windows.clone().zip(windows.clone().skip(1));
    let mut kinds = pairs.clone();
    Common {
        blend: windows.clone().any(|window| window.land.is_some()),
        of_moon: target_of(windows) == Direction::MOON_NAME,
        several_kinds: kinds.any(|(one, other)| one.light != other.light),
        several_briefs: pairs.any(|(one, other)| one.brief != other.brief),
    }
}

/// What the columns of a night depend on.
pub(in crate::report) fn night_common(plan: &NightPlan<'_>) -> Common {
    Common {
        of_moon: plan.rules.target.is_moon(),
        ..Common::default()
    }
}

/// A heading written for the core, with the name of another target.
pub(in crate::report) fn heading_for(heading: &str, target: &str) -> String {
    let words = heading.split(' ');
    let words: Vec<&str> = words
        .map(|w| if w == "core" { target } else { w })
        .collect();
    words.join(" ")
}

/// A word at the beginning of a sentence.
pub(in crate::report) fn capitalised(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_word_itself_is_replaced() {
        assert_eq!(
            heading_for("  core off centre", "target"),
            "  target off centre"
        );
        assert_eq!(heading_for("score", "target"), "score");
        assert_eq!(capitalised("target"), "Target");
        assert_eq!(capitalised(""), "");
    }
}
