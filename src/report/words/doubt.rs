//! What makes some figures less certain than others.

use crate::{
    scene::MOSTLY_CLOUD_PERCENT,
    search::{Caveats, MOON_NEAR_HORIZON_DEG, TARGET_LOW_DEG},
};

/// The doubts in one word each, separated by a space; `None` if there are none.
pub fn doubt_words(doubts: Caveats) -> Option<&'static str> {
    let night = match (
        doubts.moon_near_horizon,
        doubts.target_low,
        doubts.sky_guessed,
    ) {
        (false, false, false) => ["", "cloud_forecast"],
        (true, false, false) => ["moon_near_horizon", "moon_near_horizon cloud_forecast"],
        (false, true, false) => ["target_low", "target_low cloud_forecast"],
        (true, true, false) => [
            "moon_near_horizon target_low",
            "moon_near_horizon target_low cloud_forecast",
        ],
        (false, false, true) => ["sky_guessed", "sky_guessed cloud_forecast"],
        (true, false, true) => [
            "moon_near_horizon sky_guessed",
            "moon_near_horizon sky_guessed cloud_forecast",
        ],
        (false, true, true) => [
            "target_low sky_guessed",
            "target_low sky_guessed cloud_forecast",
        ],
        (true, true, true) => [
            "moon_near_horizon target_low sky_guessed",
            "moon_near_horizon target_low sky_guessed cloud_forecast",
        ],
    };
    let [without, with] = night;
    Some(if doubts.cloud_forecast { with } else { without }).filter(|words| !words.is_empty())
}

/// A Moon so low that its figures are doubtful.
fn low_moon() -> String {
    format!("Moon is within {MOON_NEAR_HORIZON_DEG:.0}° of the horizon")
}

/// A target so low that its figures are doubtful.
fn low_target(target: &str) -> String {
    format!("{target} is below {TARGET_LOW_DEG:.0}°")
}

/// The doubts in plain words; empty if there are none.
pub fn doubt_phrases(doubts: Caveats) -> String {
    let phrases = [
        (doubts.moon_near_horizon, format!("the {}", low_moon())),
        (doubts.target_low, format!("the {}", low_target("target"))),
        (doubts.sky_guessed, "the dark sky is an estimate".to_owned()),
        (doubts.cloud_forecast, MOSTLY_CLOUD.to_owned()),
    ];
    let said = phrases.into_iter().filter(|(doubt, _)| *doubt);
    let said: Vec<String> = said.map(|(_, phrase)| phrase).collect();
    said.join(", ")
}

/// A window for which cloud is foretold.
const MOSTLY_CLOUD: &str = "mostly cloud is forecast";

/// Whether a score has the mark `~`: haze may hide Moon or target, or cloud is
/// foretold.
pub(crate) fn is_marked(doubts: Caveats) -> bool {
    doubts.moon_near_horizon || doubts.target_low || doubts.cloud_forecast
}

/// What the mark `~` means where cloud is foretold, given the `doubts` of all
/// marked rows; `None` if it is for none.
pub(crate) fn cloud_note(doubts: Caveats) -> Option<String> {
    let most = format!("{MOSTLY_CLOUD_PERCENT:.0}%");
    let note = || format!("~ {MOSTLY_CLOUD}: more than {most} of the sky over the window.");
    doubts.cloud_forecast.then(note)
}

/// What the mark `~` means, given the `doubts` of all marked rows; `None` if
/// nothing is marked.
pub(crate) fn haze_note(doubts: Caveats, target: &str) -> Option<String> {
    let mark = match (doubts.moon_near_horizon, doubts.target_low) {
        (false, false) => return None,
        (true, false) => low_moon(),
        (false, true) => low_target(target),
        (true, true) => format!("{} or the {}", low_moon(), low_target(target)),
    };
    Some(format!(
        "~ the {mark} at the best instant or for a quarter of the window; haze may hide it."
    ))
}

/// Says that these columns are approximate, because the sky brightness is not
/// from a meter; `None` if there are no such columns.
pub(in crate::report) fn meter_note(rough: &[&str]) -> Option<String> {
    let verb = if rough.len() == 1 && rough != ["stops"] {
        "is"
    } else {
        "are"
    };
    let columns = match rough {
        [] => return None,
        [one] => (*one).to_string(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    };
    Some(format!(
        "The sky brightness is an estimate, not a meter reading: {columns} {verb} approximate."
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A phrase gives the degrees at which its doubt begins.
    #[test]
    fn doubts_are_told_with_their_thresholds() {
        let mut doubts = Caveats::default();
        assert_eq!(doubt_phrases(doubts), "");
        doubts.moon_near_horizon = true;
        let moon = format!("the Moon is within {MOON_NEAR_HORIZON_DEG:.0}° of the horizon");
        assert_eq!(doubt_phrases(doubts), moon);
        doubts.target_low = true;
        let target = format!("the target is below {TARGET_LOW_DEG:.0}°");
        assert_eq!(doubt_phrases(doubts), format!("{moon}, {target}"));
        doubts = Caveats::default();
        doubts.sky_guessed = true;
        assert_eq!(doubt_phrases(doubts), "the dark sky is an estimate");
    }
}
