//! The ids of a site's records in a calendar and on a map: no two in one output
//! are the same, and every run gives the same ids.

use crate::{
    ephemeris::Moment,
    scene::{LightKind, Site, SubjectPlace},
};
use chrono::NaiveDate;
use std::collections::HashMap;

/// Gives each site of an output its id, in the order of the sites.
#[derive(Debug, Default)]
pub struct SiteIds {
    /// How many earlier sites had the same identity.
    named: HashMap<u128, usize>,
    seen: HashMap<u128, usize>,
}

/// What distinguishes the records of one site from those of the others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteId {
    /// The name, with `/` and `%` percent-encoded, and `#` with the view's;
    /// followed by `/2` if it is the second site so named.
    path: String,
    /// Digest of what identifies the site.
    digest: u128,
    /// Which of the sites with that digest it is, from 1.
    copy: usize,
}

impl SiteIds {
    /// The id of the next site. A site that is the same as an earlier one, such
    /// as a repeated row of a table, gets a number.
    pub fn of(&mut self, site: &Site) -> SiteId {
        let digest = identity(site);
        let copy = next(&mut self.seen, digest);
        let encoded = |name: &str| name.replace('%', "%25").replace('/', "%2F");
        let path = match &site.view {
            Some(view) => format!("{}#{}", encoded(&site.name), encoded(view)),
            None => encoded(&site.name),
        };
        let name = Digest::default().text(&path).0;
        let path = match next(&mut self.named, name) {
            1 => path,
            number => format!("{path}/{number}"),
        };
        SiteId { path, digest, copy }
    }
}

fn next(counts: &mut HashMap<u128, usize>, key: u128) -> usize {
    let count = counts.entry(key).or_insert(0);
    *count += 1;
    *count
}

impl SiteId {
    /// The id of a site that is the only one in its output.
    pub fn of(site: &Site) -> Self {
        SiteIds::default().of(site)
    }

    /// The `UID` of a window (RFC 5545, section 3.8.4.7): the evening, its start
    /// in UTC, the kind of light, and the digest of name, place, subject and
    /// view.
    pub fn uid(&self, night: NaiveDate, start: Moment, light: LightKind) -> String {
        let start = start.to_utc().format("%Y%m%dT%H%M%SZ");
        let copy = match self.copy {
            1 => String::new(),
            copy => format!("_{copy}"),
        };
        format!(
            "{night}_{start}_{light}_{:032x}{copy}@rakelight",
            self.digest
        )
    }

    /// The `id` of a feature (RFC 7946, section 3.2) of this site.
    pub fn feature(&self, what: &str) -> String {
        format!("{}/{what}", self.path)
    }
}

/// Digest of what distinguishes one camera position from another: the site's
/// name, its coordinates, its subject and its view.
fn identity(site: &Site) -> u128 {
    let mut digest = Digest::default()
        .text(&site.name)
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
    if let Some(view) = &site.view {
        digest = digest.text("view").text(view);
    }
    digest.0
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
                for _ in 0..2 {
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
        let night = NaiveDate::from_ymd_opt(2027, 5, 13).expect("a day");
        let all = || {
            let mut ids = SiteIds::default();
            let mut told = Vec::new();
            for site in &sites {
                let id = ids.of(site);
                told.push(id.uid(night, Moment::from_seconds(8e8), LightKind::Any));
                told.push(id.feature("camera"));
                told.push(id.feature("2027-05-13/start/sector"));
            }
            told
        };
        let told = all();
        let different: BTreeSet<&String> = told.iter().collect();
        assert_eq!(different.len(), told.len());
        assert_eq!(told, all(), "a second run");
        // RFC 7986, section 5.3: no more than 255 octets.
        let uids = || told.iter().filter(|id| id.ends_with("@rakelight"));
        assert!(uids().count() == sites.len());
        assert!(uids().all(|uid| uid.is_ascii() && uid.len() < 255));
    }
}
