//! The towns around a place: the one by which people know it, and those that
//! brighten its sky.

use super::measure::{bearing_words, far_words, place_words};
use crate::{
    light::milky_way::{self, Visibility},
    scene::{Conventions, Site, TownDome, compass_word},
};

/// At most so many domes are told in words.
const TOLD: usize = 3;
/// Nearer than this to its middle, a place is in a town, km.
const IN_TOWN_KM: f64 = 1.5;

/// Where a place lies as people say it: `34 km north-west of Vienna, AT`.
pub fn near_town_words(site: &Site) -> Option<String> {
    let near = site.towns.as_ref()?.near?;
    let (name, country) = (near.town.name, near.town.country);
    Some(match near.distance_km {
        km if km < IN_TOWN_KM => format!("in {name}, {country}"),
        km => format!(
            "{} {} of {name}, {country}",
            far_words(site.conventions.units, km),
            compass_word(near.bearing_from_deg)
        ),
    })
}

/// The place of a site behind its name, and the town near by.
pub(in crate::report) fn place_near_words(site: &Site) -> String {
    place_words(site) + &near_town_ending(site)
}

/// The same behind other words of a head; empty where no town is known.
pub(in crate::report) fn near_town_ending(site: &Site) -> String {
    near_town_words(site).map_or_else(String::new, |words| format!(", {words}"))
}

/// A town with distance and bearing: `Vienna, 80 km at 64°`.
pub(in crate::report) fn town_at_words(site: &Site, dome: &TownDome) -> String {
    format!("{}, {}", dome.town.name, away_words(site, dome))
}

/// How far a town is and where: `80 km at 64°`.
fn away_words(site: &Site, dome: &TownDome) -> String {
    let Conventions { units, north, .. } = site.conventions;
    format!(
        "{} at {}",
        far_words(units, dome.distance_km),
        bearing_words(north, dome.bearing_deg.round() % 360.0, 0)
    )
}

/// The towns whose domes a law gives a place, in sentences, and how sure they
/// are; none where no town matters. `under` says what stands over a town:
/// `under the core at best`; such towns come first.
pub fn town_glow_lines(site: &Site, under: impl Fn(&TownDome) -> Option<String>) -> Vec<String> {
    let mut told: Vec<(&TownDome, Option<String>)> = site
        .town_domes()
        .iter()
        .map(|dome| (dome, under(dome)))
        .filter(|(dome, under)| dome.is_seen() || under.is_some())
        .collect();
    told.sort_by_key(|(_, under)| under.is_none());
    told.truncate(TOLD);
    let mut lines: Vec<String> = told
        .into_iter()
        .map(|(dome, under)| dome_sentence(site, dome, under))
        .collect();
    match (lines.last_mut(), site.town_domes().first()) {
        (Some(last), _) => last.push_str(&format!("; {UNSURE}")),
        (None, Some(dome)) => lines.push(format!(
            "Glow of towns: slight, most toward {}; {UNSURE}",
            town_at_words(site, dome)
        )),
        (None, None) => {}
    }
    lines
}

/// What a town under the camera's direction does to a low core there.
pub fn toward_words(site: &Site, dome: &TownDome) -> String {
    let contrast = milky_way::core_contrast_over(dome, site.sky.extinction_mag);
    let washed_out = match milky_way::visibility(contrast) {
        Visibility::Clear => "",
        Visibility::WashedOut => ", where a low core is washed out",
        Visibility::Hopeless => ", where a low core is lost",
    };
    format!("in the camera's direction{washed_out}")
}

/// How sure the law is.
const UNSURE: &str = "by a law, not a reading: uncertain by a factor of 2 to 3";

fn dome_sentence(site: &Site, dome: &TownDome, under: Option<String>) -> String {
    let others = match dome.others {
        0 => String::new(),
        1 => " and another town".to_owned(),
        others => format!(" and {others} other towns"),
    };
    let under = under.map_or_else(String::new, |words| format!(", {words}"));
    format!(
        "Glow: {} ({} people, {}){others}{under}: sky there {:.1} mag/arcsec2 at \
         {:.0}°, natural {:.1}",
        dome.town.name,
        people_text(dome.town.population),
        away_words(site, dome),
        dome.sky_mag_arcsec2,
        TownDome::SAID_AT_DEG,
        dome.natural_mag_arcsec2,
    )
}

/// People, to the thousand from ten thousand on: `95 000`, `1.7 million`.
fn people_text(people: u32) -> String {
    let grouped = |people: u32| match (people / 1000, people % 1000) {
        (0, rest) => rest.to_string(),
        (thousands, rest) => format!("{thousands} {rest:03}"),
    };
    match people {
        0..10_000 => grouped(people),
        10_000..999_500 => grouped((people + 500) / 1000 * 1000),
        _ => format!("{:.1} million", f64::from(people) / 1e6),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_are_rounded() {
        for (people, text) in [
            (950, "950"),
            (1_000, "1 000"),
            (9_990, "9 990"),
            (94_870, "95 000"),
            (999_499, "999 000"),
            (1_691_470, "1.7 million"),
        ] {
            assert_eq!(people_text(people), text);
        }
    }
}
