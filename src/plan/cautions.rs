//! What can go wrong in the field, chosen by what the site says.

use crate::{Figure, scene::Site};
use chrono::{Datelike, NaiveDate};

/// A short word of care.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Caution {
    /// What it is about, one word.
    pub topic: &'static str,
    /// The caution.
    pub text: &'static str,
    /// What in the site's own words or numbers called for it; empty for the one
    /// that always stands.
    pub because: String,
}

/// At most so many are chosen, so that they are read.
const MOST: usize = 4;
/// Height at which thin air is felt, metres. Common practice, no source.
const HIGH_M: f64 = 2500.0;

struct Topic {
    topic: &'static str,
    text: &'static str,
    /// Words of the site, in the singular, that call for it.
    words: &'static [&'static str],
}

/// The most pressing first.
const TOPICS: [Topic; 7] = [
    Topic {
        topic: "tide",
        text: "Tide and swell are not in this plan: look them up, and keep a dry way back.",
        words: &[
            "tide",
            "tidal",
            "surf",
            "swell",
            "wave",
            "beach",
            "shore",
            "shoreline",
            "coast",
            "coastal",
            "sea",
            "reef",
            "rockpool",
            "slip",
            "slipway",
            "jetty",
            "pier",
            "causeway",
            "estuary",
            "mudflat",
            "cove",
            "bay",
        ],
    },
    Topic {
        topic: "avalanche",
        text: "Read the avalanche bulletin for the day; a slope that was safe by day may not be.",
        words: &["avalanche", "cornice"],
    },
    Topic {
        topic: "edge",
        text: "Learn the edge by daylight and keep off it in the dark.",
        words: &[
            "cliff",
            "rim",
            "edge",
            "gorge",
            "canyon",
            "ravine",
            "precipice",
            "ledge",
            "quarry",
        ],
    },
    Topic {
        topic: "way",
        text: "Ask whether the way is open; after rain or snow it may not be, nor the way back.",
        words: &[
            "track",
            "clay",
            "mud",
            "impassable",
            "ford",
            "wash",
            "flood",
            "river",
            "creek",
            "4wd",
            "pan",
            "sand",
            "unsealed",
            "gravel",
            "rain",
        ],
    },
    Topic {
        topic: "wildlife",
        text: "Wildlife comes first: keep to the rules for it, and no light on animals.",
        words: &[
            "bird",
            "nest",
            "nesting",
            "seal",
            "turtle",
            "bear",
            "snake",
            "crocodile",
            "penguin",
            "wildlife",
            "colony",
            "breeding",
            "elephant",
            "lion",
            "moose",
        ],
    },
    Topic {
        topic: "access",
        text: "Check that the place is open at night and whether a permit is needed.",
        words: &[
            "gate",
            "gated",
            "park",
            "reserve",
            "private",
            "permit",
            "closed",
            "closing",
            "fee",
            "ranger",
            "sanctuary",
            "military",
            "farm",
        ],
    },
    Topic {
        topic: "remote",
        text: "Tell someone where you stand and when you will be back; do not count on a signal.",
        words: &[
            "foot",
            "mile",
            "remote",
            "desert",
            "outback",
            "trail",
            "path",
            "hike",
            "mesa",
            "wilderness",
            "hut",
            "backcountry",
            "summit",
        ],
    },
];

/// What always stands, last.
const ALWAYS: Caution = Caution {
    topic: "local",
    text: "Local rules, and people who know the place, come before this plan.",
    because: String::new(),
};

/// The cautions for a night at a site, most pressing first, at most four and
/// the one that always stands.
pub fn cautions(site: &Site, night: NaiveDate) -> Vec<Caution> {
    let mut chosen: Vec<Caution> = TOPICS
        .iter()
        .filter_map(|topic| {
            let word = site_words(site).find(|word| calls_for(word, topic.words))?;
            Some(Caution {
                topic: topic.topic,
                text: topic.text,
                because: word,
            })
        })
        .collect();
    // Numbers are surer than words, but weather is the milder danger.
    let by_numbers = [cold(site, night), height(site), heat(site, night)];
    let after = chosen.len().min(2);
    chosen.splice(after..after, by_numbers.into_iter().flatten());
    chosen.truncate(MOST);
    chosen.push(ALWAYS);
    chosen
}

/// The words of a site's name, notes and subject, in small letters.
fn site_words(site: &Site) -> impl Iterator<Item = String> {
    let subject = site.subject.as_ref().and_then(|s| s.name.as_deref());
    let texts = [site.notes.as_deref(), Some(site.name.as_str()), subject];
    texts
        .into_iter()
        .flatten()
        .flat_map(|text| text.split(|c: char| !c.is_alphanumeric()))
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect::<Vec<_>>()
        .into_iter()
}

fn calls_for(word: &str, words: &[&str]) -> bool {
    let plural_of = |end: &str| word.strip_suffix(end).is_some_and(|w| words.contains(&w));
    words.contains(&word) || plural_of("s") || plural_of("es")
}

/// Months from the middle of the local winter, 0 to 6.
fn months_from_winter(latitude_deg: f64, night: NaiveDate) -> f64 {
    let middle = if latitude_deg >= 0.0 { 1.0 } else { 7.0 };
    let away = (f64::from(night.month()) - middle).abs();
    away.min(12.0 - away)
}

fn cold(site: &Site, night: NaiveDate) -> Option<Caution> {
    // A rough climate of the project's own, no source: a yearly mean that falls
    // with latitude beyond the tropics and by 6.5 C a kilometre (the standard
    // atmosphere's), and a year that swings with latitude.
    let beyond = (site.latitude_deg.abs() - 20.0).max(0.0);
    let season = months_from_winter(site.latitude_deg, night) / 6.0 * std::f64::consts::PI;
    let mean_c = 22.0 - 0.4 * beyond - 0.0065 * site.elevation_m.max(0.0);
    let guess_c = mean_c - 0.25 * beyond * season.cos();
    (guess_c < 6.0 || site.air.temperature_c < 2.0).then(|| Caution {
        topic: "cold",
        text: "Frost is likely: clothes for standing still, a dew band, spare batteries kept warm.",
        because: format!(
            "{:.0} m at {:.0} degrees {} in {}",
            Figure(site.elevation_m),
            site.latitude_deg.abs(),
            if site.latitude_deg < 0.0 {
                "south"
            } else {
                "north"
            },
            night.format("%B")
        ),
    })
}

fn height(site: &Site) -> Option<Caution> {
    (site.elevation_m >= HIGH_M).then(|| Caution {
        topic: "height",
        text: "The air is thin: give yourself time, and turn back at a headache that grows.",
        because: format!("{:.0} m", site.elevation_m),
    })
}

fn heat(site: &Site, night: NaiveDate) -> Option<Caution> {
    let dry_belt = (15.0..38.0).contains(&site.latitude_deg.abs());
    let summer = months_from_winter(site.latitude_deg, night) >= 5.0;
    (dry_belt && summer && site.elevation_m < 1500.0).then(|| Caution {
        topic: "heat",
        text: "Days may be hot: carry water for a breakdown, not for the walk alone.",
        because: format!(
            "{:.0} degrees of latitude in {}",
            site.latitude_deg.abs(),
            night.format("%B")
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn topics(site: &Site, date: &str) -> Vec<&'static str> {
        let date = date.parse().expect("a date");
        cautions(site, date).iter().map(|c| c.topic).collect()
    }

    #[test]
    fn they_follow_from_what_the_site_says() {
        let mut site = Site::new(-31.4, 139.2).expect("a place");
        assert_eq!(topics(&site, "2027-05-13"), ["local"]);
        assert_eq!(topics(&site, "2027-01-13"), ["heat", "local"]);
        site.notes = Some("clay track, impassable after rain".to_owned());
        assert_eq!(topics(&site, "2027-05-13"), ["way", "local"]);
        site.notes = Some("Nesting birds; keep back from the CLIFFS at high tide".to_owned());
        assert_eq!(
            topics(&site, "2027-05-13"),
            ["tide", "edge", "wildlife", "local"]
        );
        // Part of a word is no word: no tide in "stride", no edge in "hedge".
        site.notes = Some("a stride beyond the hedge".to_owned());
        assert_eq!(topics(&site, "2027-05-13"), ["local"]);
    }

    #[test]
    fn they_follow_from_height_and_season_and_stay_few() {
        let mut alps = Site::new(46.6, 8.1).expect("a place");
        alps.elevation_m = 2600.0;
        assert_eq!(topics(&alps, "2027-02-01"), ["cold", "height", "local"]);
        let far_north = Site::new(69.6, 20.6).expect("a place");
        assert_eq!(topics(&far_north, "2027-12-20"), ["cold", "local"]);
        assert_eq!(topics(&far_north, "2027-07-20"), ["local"]);
        alps.notes = Some("avalanche cliff gate path bird river beach".to_owned());
        assert_eq!(
            topics(&alps, "2027-02-01"),
            ["tide", "avalanche", "cold", "height", "local"]
        );
    }
}
