//! What identifies an entry of a calendar.

use super::record_id::SiteKey;
use crate::{
    rule::Rules,
    scene::{LightKind, parse_date},
    search::Window,
};
use chrono::NaiveDate;
use std::{
    fmt::{self, Display, Formatter},
    str::FromStr,
};

/// The kinds of nights whose entries are kept apart: a calendar of dark nights
/// and one of blends can stand side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NightKind(&'static str);

/// The kind whose target is the Moon itself.
const OF_MOON: &str = "moon";

impl NightKind {
    /// The kind of night that rules ask for.
    pub fn of(rules: &Rules) -> Self {
        if rules.target.is_moon() {
            return Self(OF_MOON);
        }
        Self(rules.light.word())
    }

    fn named(word: &str) -> Option<Self> {
        let mut words = LightKind::WORDS.iter().copied().chain([OF_MOON]);
        words.find(|known| *known == word).map(Self)
    }
}

/// The `UID` of a window (RFC 5545, section 3.8.4.7). Nothing in it depends on
/// a limit, a time or a score, so that an entry keeps it when these change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EventUid {
    /// The evening.
    pub night: NaiveDate,
    /// Which of the night's windows it is in order of time, from 1.
    pub number: usize,
    /// The kind of night.
    pub kind: NightKind,
    /// The site and its view.
    pub site: SiteKey,
}

impl Display for EventUid {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let Self {
            night,
            number,
            kind: NightKind(kind),
            site,
        } = self;
        write!(f, "{night}_{number}_{kind}_{site}@rakelight")
    }
}

/// Not a `UID` of this program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ForeignUid;

impl FromStr for EventUid {
    type Err = ForeignUid;

    fn from_str(text: &str) -> Result<Self, ForeignUid> {
        let parts = text
            .strip_suffix("@rakelight")
            .map(|text| text.split('_').collect::<Vec<_>>());
        let Some([night, number, kind, site]) = parts.as_deref() else {
            return Err(ForeignUid);
        };
        let read = || {
            Some(Self {
                night: parse_date(night).ok()?,
                number: number.parse().ok()?,
                kind: NightKind::named(kind)?,
                site: SiteKey::read(site)?,
            })
        };
        // Another spelling of the same would be another UID.
        let uid = read().filter(|uid| uid.to_string() == text);
        uid.ok_or(ForeignUid)
    }
}

/// The numbers of a site's windows within their nights.
pub(super) struct NightNumbers(Vec<(NaiveDate, f64)>);

impl NightNumbers {
    /// Those of all windows of a site, in any order.
    pub(super) fn of(windows: &[&Window]) -> Self {
        let start = |window: &&Window| (window.night, window.interval.start);
        let mut starts: Vec<_> = windows.iter().map(start).collect();
        starts.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        Self(starts)
    }

    /// The number of one of them, from 1.
    pub(super) fn number(&self, window: &Window) -> usize {
        let (night, start) = (window.night, window.interval.start);
        let before = |(of, at): &(NaiveDate, f64)| *of < night || (*of == night && *at < start);
        let earlier = self.0.partition_point(before);
        let of_earlier_nights = self.0.partition_point(|(of, _)| *of < night);
        earlier - of_earlier_nights + 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{report::SiteId, scene::Site};

    #[test]
    fn a_uid_is_read_as_it_is_written_and_no_other_way() {
        let mut site = Site::new(1.0, 2.0).expect("a place");
        site.name = "北門 📷".to_owned();
        let uid = EventUid {
            night: NaiveDate::from_ymd_opt(2027, 5, 29).expect("a day"),
            number: 12,
            kind: NightKind("blend"),
            site: SiteId::of(&site).key(),
        };
        let text = uid.to_string();
        assert_eq!(text.parse(), Ok(uid));
        // RFC 7986, section 5.3: no more than 255 octets.
        assert!(text.is_ascii() && text.len() < 255);
        for other in [
            text.to_uppercase(),
            text.replace("_12_", "_012_"),
            text.replace("_12_", "_+12_"),
            text.replace("2027-", " 2027-"),
            text.replace("blend", "dim"),
            text.replace("@rakelight", "@elsewhere"),
            text.replace("@", "0@"),
            String::new(),
        ] {
            assert_eq!(other.parse::<EventUid>(), Err(ForeignUid), "{other}");
        }
    }
}
