//! The ids of a site's records in a calendar and on a map: no two in one output
//! are the same, and every run gives the same ids.

use crate::{
    rule::Rules,
    scene::{Site, SubjectPlace},
};
use std::{
    collections::{HashMap, HashSet},
    fmt::{self, Display, Formatter},
};

/// Gives each site of an output its id, in the order of the sites.
#[derive(Debug, Default)]
pub struct SiteIds {
    /// How many earlier sites had the same path.
    paths: HashMap<u128, usize>,
    /// How many earlier sites had the same name, view, place and subject.
    copies: HashMap<u128, u64>,
    /// The keys that earlier sites got.
    given: HashSet<SiteKey>,
    /// The keys in an earlier output that this one brings up to date.
    before: HashSet<SiteKey>,
}

/// What the entries of a site and view share in a calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SiteKey(u128);

impl SiteKey {
    /// The key that is written so.
    pub(super) fn read(text: &str) -> Option<Self> {
        u128::from_str_radix(text, 16).ok().map(Self)
    }
}

impl Display for SiteKey {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

/// What distinguishes the records of one site from those of the others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteId {
    /// The name, with `/` and `%` percent-encoded, and `#` with the view's;
    /// followed by `/2` if it is the second site so named.
    path: String,
    key: SiteKey,
}

impl SiteIds {
    /// The ids of an output that brings another up to date, in which sites had
    /// the keys `before`.
    pub fn after(before: HashSet<SiteKey>) -> Self {
        Self {
            before,
            ..Self::default()
        }
    }

    /// The id of the next site.
    ///
    /// Its key is that of its name and view, so that a corrected place or
    /// subject keeps it. A further site so named has the key of its place and
    /// subject too, as has one that had it in the output before, and one that is
    /// the same in every way, such as a repeated row of a table, a number.
    pub fn of(&mut self, site: &Site) -> SiteId {
        let path = path(site);
        let named = named(site);
        let placed = placed(named, site);
        let copies = self.copies.entry(placed.0).or_insert(0);
        *copies += 1;
        let by_name = SiteKey(named.0);
        let by_place = SiteKey(match *copies {
            1 => placed.0,
            copy => placed.bytes(&copy.to_le_bytes()).0,
        });
        let is_taken = self.given.contains(&by_name);
        let key = match is_taken || self.before.contains(&by_place) {
            true => by_place,
            false => by_name,
        };
        self.given.insert(key);
        let count = self
            .paths
            .entry(Digest::default().text(&path).0)
            .or_insert(0);
        *count += 1;
        let path = match *count {
            1 => path,
            number => format!("{path}/{number}"),
        };
        SiteId { path, key }
    }
}

impl SiteId {
    /// The id of a site that is the only one in its output.
    pub fn of(site: &Site) -> Self {
        Self {
            path: path(site),
            key: SiteKey(named(site).0),
        }
    }

    /// That of the entries that another brief finds at the site.
    #[must_use]
    pub fn of_brief(&self, name: &str) -> Self {
        let digest = Digest(self.key.0).text("brief").text(name);
        Self {
            path: format!("{}/{}", self.path, encoded(name)),
            key: SiteKey(digest.0),
        }
    }

    /// That of what some rules find at the site, where `first` are its first
    /// rules: of several briefs the first has the id of a run with it alone.
    #[must_use]
    pub fn of_rules(&self, rules: &Rules, first: &Rules) -> Self {
        match &rules.brief {
            Some(brief) if first.brief.as_ref() != Some(brief) => self.of_brief(brief),
            _ => self.clone(),
        }
    }

    /// That of the features of one kind of window.
    #[must_use]
    pub fn of_kind(&self, kind: &str) -> Self {
        Self {
            path: format!("{}/{kind}", self.path),
            key: self.key,
        }
    }

    /// What its entries share in a calendar.
    pub const fn key(&self) -> SiteKey {
        self.key
    }

    /// The `id` of a feature (RFC 7946, section 3.2) of this site.
    pub fn feature(&self, what: &str) -> String {
        [&self.path, "/", what].concat()
    }
}

/// The name of a site, with that of its view, as it stands in an id.
fn path(site: &Site) -> String {
    match &site.view {
        Some(view) => format!("{}#{}", encoded(&site.name), encoded(view)),
        None => encoded(&site.name),
    }
}

/// A name without the signs that separate the parts of an id.
fn encoded(name: &str) -> String {
    match name.contains(['%', '/']) {
        true => name.replace('%', "%25").replace('/', "%2F"),
        false => name.to_owned(),
    }
}

/// Digest of the names of a site and of its view.
fn named(site: &Site) -> Digest {
    let digest = Digest::default().text(&site.name);
    match &site.view {
        Some(view) => digest.text("view").text(view),
        None => digest,
    }
}

/// The same with its coordinates and its subject.
fn placed(named: Digest, site: &Site) -> Digest {
    let mut digest = named
        .text("place")
        .number(Some(site.latitude_deg))
        .number(Some(site.longitude_deg));
    if let Some(subject) = &site.subject {
        digest = digest.text(subject.name.as_deref().unwrap_or_default());
        digest = match subject.place {
            SubjectPlace::Bearing {
                bearing_deg,
                distance_m,
            } => digest
                .text("bearing")
                .number(Some(bearing_deg))
                .number(distance_m),
            SubjectPlace::Coordinates {
                latitude_deg,
                longitude_deg,
                elevation_m,
            } => digest
                .text("coordinates")
                .number(Some(latitude_deg))
                .number(Some(longitude_deg))
                .number(elevation_m),
        };
        digest = digest.number(subject.height_m);
    }
    digest
}

/// The 128-bit FNV-1a digest of bytes, the same on every machine and in every
/// version of the compiler.
///
/// # Source
///
/// G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, *The FNV Non-Cryptographic
/// Hash Algorithm* (offset basis and prime of 128 bits).
#[derive(Debug, Clone, Copy)]
struct Digest(u128);

impl Default for Digest {
    fn default() -> Self {
        Self(0x6c62_272e_07bb_0142_62b8_2175_6295_c58d)
    }
}

impl Digest {
    fn bytes(self, bytes: &[u8]) -> Self {
        const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
        let add = |sum: u128, byte: &u8| (sum ^ u128::from(*byte)).wrapping_mul(PRIME);
        Self(bytes.iter().fold(self.0, add))
    }

    /// Adds the text, followed by a byte that no text contains.
    fn text(self, text: &str) -> Self {
        self.bytes(text.as_bytes()).bytes(&[0xff])
    }

    fn number(self, number: Option<f64>) -> Self {
        match number {
            // Adding zero turns -0 into 0.
            Some(number) => self.bytes(&[1]).bytes(&(number + 0.0).to_le_bytes()),
            None => self.bytes(&[0]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Subject;
    use std::collections::BTreeSet;

    /// The authors' own test vectors.
    #[test]
    fn digests_are_those_of_the_algorithm() {
        for (text, digest) in [
            ("", 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d),
            ("a", 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964),
            ("foobar", 0x343e_1662_793c_64bf_6f0d_3597_ba44_6f18),
        ] {
            assert_eq!(Digest::default().bytes(text.as_bytes()).0, digest, "{text}");
        }
    }

    #[test]
    fn no_two_sites_of_an_output_share_an_id() {
        let mut sites = Vec::new();
        // Names that could be confused with the numbers and parts of an id.
        let names = [
            "北門",
            "南門",
            "A",
            "A/2",
            "A%2F2",
            "A/2/camera",
            "a",
            "-",
            "A#2",
        ];
        let views = [None, Some("2"), Some("2/camera"), Some("bearing")];
        for (name, view) in names.iter().flat_map(|n| views.map(|view| (*n, view))) {
            for bearing_deg in [0.0, 90.0] {
                for _ in 0..3 {
                    let mut site = Site::new(1.0, 2.0).expect("a place");
                    site.name = name.to_string();
                    site.view = view.map(str::to_owned);
                    site.subject = Some(Subject {
                        name: None,
                        place: SubjectPlace::Bearing {
                            bearing_deg,
                            distance_m: None,
                        },
                        height_m: None,
                        width_m: None,
                        reflectance: None,
                        reflectance_measured: None,
                    });
                    sites.push(site);
                }
            }
        }
        let all = || {
            let mut ids = SiteIds::default();
            let mut told = Vec::new();
            for site in &sites {
                let id = ids.of(site);
                told.push(id.key().to_string());
                told.push(id.feature("camera"));
                told.push(id.feature("2027-05-13/start/sector"));
            }
            told
        };
        let told = all();
        let different: BTreeSet<&String> = told.iter().collect();
        assert_eq!(different.len(), told.len());
        assert_eq!(told, all(), "a second run");
    }

    fn gate(latitude_deg: f64) -> Site {
        let mut site = Site::new(latitude_deg, 139.2).expect("a place");
        site.name = "北門".to_owned();
        site
    }

    #[test]
    fn a_corrected_place_keeps_the_key() {
        let before = SiteId::of(&gate(-31.4)).key();
        assert_eq!(before, SiteId::of(&gate(-31.5)).key());
        let mut other = gate(-31.4);
        other.view = Some("north".to_owned());
        assert_ne!(before, SiteId::of(&other).key());
    }

    #[test]
    fn two_sites_of_one_name_keep_their_keys_in_any_order_after_another_output() {
        let (here, there) = (gate(-31.4), gate(-20.0));
        let mut ids = SiteIds::default();
        let keys = [ids.of(&here).key(), ids.of(&there).key()];
        assert_ne!(keys[0], keys[1]);
        let after = || SiteIds::after(HashSet::from(keys));
        let mut ids = after();
        assert_eq!([ids.of(&here).key(), ids.of(&there).key()], keys);
        let mut ids = after();
        assert_eq!(
            [ids.of(&there).key(), ids.of(&here).key()],
            [keys[1], keys[0]]
        );
        // Each alone.
        assert_eq!(after().of(&there).key(), keys[1]);
        assert_eq!(after().of(&here).key(), keys[0]);
    }
}
