//! What can go wrong in the field.

use crate::{
    Figure,
    plan::{Because, Caution, CautionTopic},
};

/// A caution in a sentence.
pub fn caution_sentence(caution: &Caution) -> &'static str {
    match caution.topic {
        CautionTopic::Tide => {
            "Tide and swell are not in this plan: look them up, and keep a dry way back."
        }
        CautionTopic::Avalanche => {
            "Read the avalanche bulletin for the day; a slope that was safe by day may not be."
        }
        CautionTopic::Edge => "Find the edge in daylight and stay well back in the dark.",
        CautionTopic::Way => {
            "Ask whether the road is open; after rain or snow it may not be, nor the way back."
        }
        CautionTopic::Wildlife => {
            "Wildlife comes first: keep to the rules for it, and no light on animals."
        }
        CautionTopic::Access => {
            "Check that the place is open at night and whether a permit is needed."
        }
        CautionTopic::Remote => {
            "Tell someone where you will be and when you will be back; do not count on a phone signal."
        }
        CautionTopic::Cold => {
            "Frost is likely: clothes for standing still, a dew band, spare batteries kept warm."
        }
        CautionTopic::Height => "The air is thin: take your time, and go down if a headache grows.",
        CautionTopic::Heat => {
            "Days may be hot: carry water for a breakdown, not for the walk alone."
        }
        CautionTopic::Drive => {
            "Move by day, after sleep: do not drive on, or home, from a night awake. If you are \
             tired, stay."
        }
        CautionTopic::Local => "Local rules, and people who know the place, come before this plan.",
    }
}

/// Why it is given; `None` for the one that is always given.
pub fn caution_reason(caution: &Caution) -> Option<String> {
    Some(match &caution.because {
        Because::Always => return None,
        Because::Word(word) => word.clone(),
        Because::Winter {
            elevation_m,
            latitude_deg,
            night,
        } => format!(
            "{:.0} m at {:.0} degrees {} in {}",
            Figure(*elevation_m),
            latitude_deg.abs(),
            if *latitude_deg < 0.0 {
                "south"
            } else {
                "north"
            },
            night.format("%B")
        ),
        Because::Height { elevation_m } => format!("{elevation_m:.0} m"),
        Because::Summer {
            latitude_deg,
            night,
        } => format!(
            "{:.0} degrees of latitude in {}",
            latitude_deg.abs(),
            night.format("%B")
        ),
    })
}
