//! What stands in the way of a night, and what would include one.

use super::{
    clock::night_words,
    count::nights_words,
    rule::{rule_option, rule_words},
    town::town_at_words,
};
use crate::{
    Figure,
    rule::{CONTRAST, Rules},
    scene::Site,
    why::{Admission, Advice, Hindrance},
};

/// The advice in plain sentences, the most useful first.
pub fn sentences(advice: &Advice, site: &Site, rules: &Rules) -> Vec<String> {
    let mut said = vec![match advice.found {
        0 => "No window.".to_string(),
        found => format!("{} found.", nights_words(found)),
    }];
    let in_reach = advice
        .rules
        .first()
        .filter(|first| first.nights_in_reach > 0);
    if let Some(first) = in_reach {
        let fails = if first.nights_alone == 1 {
            "fails"
        } else {
            "fail"
        };
        let mut line = format!(
            "{} {fails} by {} alone",
            nights_words(first.nights_alone),
            rule_words(first.rule, rules)
        );
        if let Some(one) = &first.one {
            line += &format!("; {} would include {}", one.loosening.option(), which(one));
        }
        said.push(line + ".");
        let another = |one: &&Admission| one.loosening.rule != first.rule;
        if let Some(one) = advice.one.as_ref().filter(another) {
            said.push(format!(
                "The smallest change of all: {} would include {}.",
                one.loosening.option(),
                which(one)
            ));
        }
        if let Some(five) = advice.five.as_ref().filter(|five| said_new(five, advice)) {
            let more = if advice.found > 0 { " more" } else { "" };
            said.push(format!(
                "{} would include {}{more} nights.",
                five.loosening.option(),
                five.nights.len()
            ));
        }
        return said;
    }
    let impossible = |h: &Hindrance| hindrance_sentence(h, site, rules);
    said.extend(advice.hindrances.iter().map(impossible));
    if !advice.hindrances.is_empty() {
        if !advice.hindrances.iter().any(is_final) {
            said.push("No change of one rule alone helps.".to_string());
        }
        return said;
    }
    let alone = advice.rules.iter().max_by_key(|advice| advice.nights_alone);
    match alone.filter(|advice| advice.nights_alone > 0) {
        Some(rule) if advice.found == 0 => said.push(format!(
            "{} would be found without {}, but no sensible value of it admits one.",
            nights_words(rule.nights_alone),
            rule_option(rule.rule, rules)
        )),
        _ if advice.found == 0 => said.push(format!(
            "No rule stands in the way alone: {} two rules or more. \
             --near-misses 5 --failing-rules 2 looks for those that fail just two.",
            match advice.nights {
                1 => "the one night fails".to_string(),
                nights => format!("each of the {nights} nights fails"),
            }
        )),
        _ => said.push("No change of one rule alone brings another night.".to_string()),
    }
    said
}

/// Whether its sentence says that nothing helps.
fn is_final(hindrance: &Hindrance) -> bool {
    matches!(hindrance, Hindrance::TargetTooLow { greatest_altitude_deg, .. } if *greatest_altitude_deg < 0.0)
}

fn said_new(five: &Admission, advice: &Advice) -> bool {
    let before = advice.rules.first().and_then(|first| first.one.as_ref());
    [before, advice.one.as_ref()]
        .into_iter()
        .flatten()
        .all(|one| one.loosening.option() != five.loosening.option())
}

/// `Sat 2027-06-05`, `2 nights (Sat 2027-06-05 first)`.
fn which(admission: &Admission) -> String {
    match admission.nights.as_slice() {
        [one] => night_words(*one),
        [first, ..] => format!(
            "{}, {} the first",
            nights_words(admission.nights.len()),
            night_words(*first)
        ),
        [] => "a night".to_string(),
    }
}

/// A latitude with its hemisphere.
fn latitude(degrees: f64) -> String {
    let half = if degrees < 0.0 { "S" } else { "N" };
    format!("{:.1}° {half}", degrees.abs())
}

/// A declination to follow a minus sign.
fn less(degrees: f64) -> String {
    if degrees < 0.0 {
        format!("+ {:.1}°", -degrees)
    } else {
        format!("- {degrees:.1}°")
    }
}

/// One hindrance in a plain sentence that gives the physical limit.
pub fn hindrance_sentence(hindrance: &Hindrance, site: &Site, rules: &Rules) -> String {
    match hindrance {
        Hindrance::TargetTooLow {
            declination_deg,
            greatest_altitude_deg,
            wanted_deg,
            latitudes_deg,
        } => {
            let target = rules.target_name();
            let limit = format!(
                "The {target} never stands higher than {:.1}° at {} \
                 (90° - |{:.1}° {}|, plus refraction)",
                Figure(*greatest_altitude_deg),
                latitude(site.latitude_deg),
                Figure(site.latitude_deg),
                less(*declination_deg),
            );
            let (north, south) = *latitudes_deg;
            let where_it_does = match (south <= -90.0, north >= 90.0) {
                (true, _) => format!("south of {}", latitude(north)),
                (_, true) => format!("north of {}", latitude(south)),
                _ => format!("between {} and {}", latitude(south), latitude(north)),
            };
            let go = format!(
                "it reaches {:.1}° only {where_it_does}",
                Figure(*wanted_deg)
            );
            if *greatest_altitude_deg < 0.0 {
                format!("{limit}: no other value helps here, and {go}.")
            } else {
                format!("{limit}; {go}.")
            }
        }
        Hindrance::SunTooHigh {
            lowest_altitude_deg,
            wanted_deg,
            night,
        } => format!(
            "The Sun never sinks to {:.1}° in this range: at its lowest, {}, it stands \
             at {:.1}°. Other months are darker.",
            Figure(*wanted_deg),
            night_words(*night),
            Figure(*lowest_altitude_deg)
        ),
        Hindrance::NeverHolds {
            rule,
            value,
            longest_minutes,
            ..
        } if *longest_minutes == 0.0 => format!(
            "{} {value} holds on no night of this range, whatever the other rules say.{}",
            rule_option(rule, rules),
            match rule.key == CONTRAST.key {
                true => brightened_words(site),
                false => String::new(),
            }
        ),
        Hindrance::NeverHolds {
            rule,
            value,
            min_minutes,
            longest_minutes,
        } => format!(
            "{} {value} never holds for the {min_minutes} minutes of --min-minutes in this range, \
             but for {longest_minutes:.0} at most.",
            rule_option(rule, rules)
        ),
    }
}

/// Which towns brighten the sky of a site by a law, and what replaces it.
fn brightened_words(site: &Site) -> String {
    let seen = site.town_domes().iter().find(|dome| dome.is_seen());
    seen.map_or_else(String::new, |dome| {
        format!(
            " A law counts the glow of towns here, first of {}; a reading in [[sky.glow]] \
             replaces it.",
            town_at_words(site, dome)
        )
    })
}
