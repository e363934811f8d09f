//! What can go wrong in the field, chosen from what the site says.

use super::trip::Trip;
use crate::scene::Site;
use chrono::{Datelike, NaiveDate};

/// What a caution is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum CautionTopic {
    /// Tide and swell.
    Tide,
    /// Avalanches.
    Avalanche,
    /// An edge to fall from.
    Edge,
    /// A road that weather closes.
    Way,
    /// Animals.
    Wildlife,
    /// Gates, permits, opening hours.
    Access,
    /// Far from help.
    Remote,
    /// Frost.
    Cold,
    /// Thin air.
    Height,
    /// Hot days.
    Heat,
    /// Local rules and people.
    Local,
    /// Driving after a night awake.
    Drive,
}

impl CautionTopic {
    /// Its name in machine formats.
    pub fn key(self) -> &'static str {
        match self {
            Self::Tide => "tide",
            Self::Avalanche => "avalanche",
            Self::Edge => "edge",
            Self::Way => "way",
            Self::Wildlife => "wildlife",
            Self::Access => "access",
            Self::Remote => "remote",
            Self::Cold => "cold",
            Self::Height => "height",
            Self::Heat => "heat",
            Self::Local => "local",
            Self::Drive => "drive",
        }
    }
}

/// The reason for a caution.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Because {
    /// None: it is always given.
    Always,
    /// A word of the site's name, notes or subject, in small letters.
    Word(String),
    /// Height and latitude in the cold half of the year.
    Winter {
        /// Elevation above sea level, metres.
        elevation_m: f64,
        /// Geodetic latitude, degrees, north positive.
        latitude_deg: f64,
        /// The night, by its civil date.
        night: NaiveDate,
    },
    /// Height alone.
    Height {
        /// Elevation above sea level, metres.
        elevation_m: f64,
    },
    /// Latitude in the warm half of the year.
    Summer {
        /// Geodetic latitude, degrees, north positive.
        latitude_deg: f64,
        /// The night, by its civil date.
        night: NaiveDate,
    },
}

/// A caution, and why.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Caution {
    /// What it is about.
    pub topic: CautionTopic,
    /// The reason for it.
    pub because: Because,
}

/// The cautions of a trip as a whole, beside those of its nights: a trip with a
/// move means a drive after a night awake.
pub fn trip_cautions(trip: &Trip) -> impl Iterator<Item = Caution> + use<> {
    let drive = (trip.moves() > 0).then_some(Caution {
        topic: CautionTopic::Drive,
        because: Because::Always,
    });
    drive.into_iter()
}

/// At most so many are given, so that they are read.
const MOST: usize = 4;
/// Height at which thin air is felt, metres. Common practice, no source.
const HIGH_M: f64 = 2500.0;

struct Topic {
    topic: CautionTopic,
    /// Words of the site, in the singular, that trigger it.
    words: &'static [&'static str],
}

/// The most pressing first.
const TOPICS: [Topic; 7] = [
    Topic {
        topic: CautionTopic::Tide,
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
        topic: CautionTopic::Avalanche,
        words: &["avalanche", "cornice"],
    },
    Topic {
        topic: CautionTopic::Edge,
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
        topic: CautionTopic::Way,
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
        topic: CautionTopic::Wildlife,
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
        topic: CautionTopic::Access,
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
        topic: CautionTopic::Remote,
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

/// The caution that is always given, last.
const ALWAYS: Caution = Caution {
    topic: CautionTopic::Local,
    because: Because::Always,
};

/// The cautions for a night at a site, most pressing first, at most four and
/// the one that is always given.
pub fn cautions(site: &Site, night: NaiveDate) -> Vec<Caution> {
    let mut chosen: Vec<Caution> = TOPICS
        .iter()
        .filter_map(|topic| {
            let word = site_words(site).find(|word| calls_for(word, topic.words))?;
            Some(Caution {
                topic: topic.topic,
                because: Because::Word(word),
            })
        })
        .collect();
    // Numbers are more certain than words, but weather is the milder danger.
    let by_numbers = [cold(site, night), height(site), heat(site, night)];
    let after = chosen.len().min(2);
    chosen.splice(after..after, by_numbers.into_iter().flatten());
    chosen.truncate(MOST);
    chosen.push(ALWAYS);
    chosen
}

/// The words of a site's name, view, notes and subject, in small letters.
fn site_words(site: &Site) -> impl Iterator<Item = String> {
    let subject = site.subject.as_ref().and_then(|s| s.name.as_deref());
    let (name, view) = (Some(site.name.as_str()), site.view.as_deref());
    let texts = [site.notes.as_deref(), name, view, subject];
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
    (guess_c < 6.0 || site.air.temperature_c < 2.0).then_some(Caution {
        topic: CautionTopic::Cold,
        because: Because::Winter {
            elevation_m: site.elevation_m,
            latitude_deg: site.latitude_deg,
            night,
        },
    })
}

fn height(site: &Site) -> Option<Caution> {
    (site.elevation_m >= HIGH_M).then_some(Caution {
        topic: CautionTopic::Height,
        because: Because::Height {
            elevation_m: site.elevation_m,
        },
    })
}

fn heat(site: &Site, night: NaiveDate) -> Option<Caution> {
    let dry_belt = (15.0..38.0).contains(&site.latitude_deg.abs());
    let summer = months_from_winter(site.latitude_deg, night) >= 5.0;
    (dry_belt && summer && site.elevation_m < 1500.0).then_some(Caution {
        topic: CautionTopic::Heat,
        because: Because::Summer {
            latitude_deg: site.latitude_deg,
            night,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn topics(site: &Site, date: &str) -> Vec<&'static str> {
        let date = date.parse().expect("a date");
        cautions(site, date).iter().map(|c| c.topic.key()).collect()
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
        // Part of a word does not count: no tide in "stride", no edge in
        // "hedge".
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
