//! Sites of one run that have the same name, which their results do not tell
//! apart.

use super::{manners::say, site_stream::Given};
use rakelight::{
    plain_words::printable,
    scene::{Site, shown},
};
use std::{
    collections::{HashMap, hash_map::RandomState},
    hash::BuildHasher,
};

/// The most names that are remembered, so that memory does not grow with the
/// number of sites; a longer table is checked as far as that.
const MOST_KNOWN: usize = 100_000;
/// The most names that are told: nobody reads more.
const MOST_TOLD: usize = 10;
/// The most places that are told of each.
const MOST_PLACES: usize = 3;

/// The names of the sites so far.
#[derive(Default)]
pub struct Namesakes {
    hasher: RandomState,
    /// By the digest of a name.
    known: HashMap<u64, Known>,
    files: Vec<String>,
    /// The names to tell, in the order in which they came again.
    told: Vec<Told>,
    /// How many more names several sites have.
    untold: usize,
}

/// Where a name stood first, or what is told of it.
enum Known {
    Once(Place),
    Told(usize),
    Untold,
}

/// A file, by its number, and a line.
#[derive(Clone, Copy)]
struct Place(u32, Option<u32>);

struct Told {
    name: String,
    places: Vec<Place>,
    sites: usize,
}

impl Namesakes {
    /// Takes note of a site.
    pub fn note(&mut self, site: &Site, given: &Given) {
        let place = self.place(given);
        let name = self.hasher.hash_one((&site.name, &site.view));
        let room = self.known.len() < MOST_KNOWN;
        let told = self.told.len();
        match self.known.get_mut(&name) {
            None if room => {
                self.known.insert(name, Known::Once(place));
            }
            None | Some(Known::Untold) => {}
            Some(Known::Told(index)) => {
                if let Some(told) = self.told.get_mut(*index) {
                    told.sites += 1;
                    if told.places.len() < MOST_PLACES {
                        told.places.push(place);
                    }
                }
            }
            Some(known @ Known::Once(_)) if told >= MOST_TOLD => {
                *known = Known::Untold;
                self.untold += 1;
            }
            Some(known) => {
                let Known::Once(first) = *known else {
                    return;
                };
                *known = Known::Told(told);
                self.told.push(Told {
                    name: shown(&site.title()),
                    places: vec![first, place],
                    sites: 2,
                });
            }
        }
    }

    fn place(&mut self, given: &Given) -> Place {
        let file = given.file.as_deref().unwrap_or_default();
        if self.files.last().is_none_or(|last| last != file) {
            self.files.push(file.to_owned());
        }
        let line = given.whence.line.and_then(|line| line.try_into().ok());
        let number = self.files.len().saturating_sub(1);
        Place(number.try_into().unwrap_or(u32::MAX), line)
    }

    fn words(&self, Place(file, line): Place) -> String {
        let file = usize::try_from(file).ok().and_then(|at| self.files.get(at));
        let file = printable(file.map_or("", String::as_str));
        match line {
            Some(line) => format!("{file}:{line}"),
            None => file,
        }
    }

    /// Says which names several sites have, a line for each.
    pub fn say(&self) {
        for told in &self.told {
            let places: Vec<String> = told.places.iter().map(|at| self.words(*at)).collect();
            let more = if told.sites > places.len() {
                ", ..."
            } else {
                ""
            };
            say(&format!(
                "{} sites are called {}: {}{more}",
                told.sites,
                told.name,
                places.join(", ")
            ));
        }
        match self.untold {
            0 => {}
            1 => say("1 more name is that of several sites"),
            more => say(&format!("{more} more names are those of several sites")),
        }
    }
}
