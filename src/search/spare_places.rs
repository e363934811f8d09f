//! The good nights after each at any of several sites, and other sites on the
//! same evening, in case of bad weather.

use super::window::Window;
use crate::{scene::Site, terrain::GroundPoint};
use chrono::{Days, NaiveDate};
use std::collections::{BTreeMap, HashMap};

/// The most places that are kept of an evening, the best (the project's choice:
/// nobody chooses among more).
const MOST_AN_EVENING: usize = 10;

/// A window at a site, with those that can stand in for it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SparePlaces<'a> {
    /// The site.
    pub site: &'a Site,
    /// Its window.
    pub window: &'a Window,
    /// In order of time, of an evening the best score first: the best window of
    /// each other place on the same evening and of each place on later ones, of
    /// an evening at most ten.
    pub spares: Vec<SparePlace<'a>>,
}

/// A window that can stand in for another.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SparePlace<'a> {
    /// Its site; of several views of a place the one with the best window.
    pub site: &'a Site,
    /// The window.
    pub window: &'a Window,
    /// From the camera of the first site to this one over the ellipsoid, km; 0
    /// at the same place, `None` where a position is none on Earth.
    pub distance_km: Option<f64>,
}

/// The best window of each evening at a place, whatever its view.
struct Place<'a> {
    site: &'a Site,
    best: BTreeMap<NaiveDate, (&'a Site, &'a Window)>,
}

/// For each of `chosen`, the windows at `sites` that can stand in for it, up to
/// `days` days later. Views of one place are one place. A night is the date of
/// its evening at its own site.
pub fn spare_places<'a>(
    chosen: &[(&'a Site, &'a Window)],
    sites: &[(&'a Site, &'a [Window])],
    days: u32,
) -> Vec<SparePlaces<'a>> {
    let places = places(sites);
    let mut distances: HashMap<(usize, usize), Option<f64>> = HashMap::new();
    let index = |site: &Site| {
        places
            .iter()
            .position(|place| place.site.shares_place(site))
    };
    chosen
        .iter()
        .map(|(site, window)| {
            let own = index(site).unwrap_or(usize::MAX);
            let last = window.night.checked_add_days(Days::new(days.into()));
            let nights = window.night..=last.unwrap_or(NaiveDate::MAX);
            let mut spares: Vec<SparePlace<'a>> = Vec::new();
            for (at, place) in places.iter().enumerate() {
                for (night, (of, spare)) in place.best.range(nights.clone()) {
                    if at == own && *night == window.night {
                        continue;
                    }
                    let distance = distances.entry((own, at));
                    spares.push(SparePlace {
                        site: of,
                        window: spare,
                        distance_km: *distance.or_insert_with(|| distance_km(site, of)),
                    });
                }
            }
            spares.sort_by(|a, b| {
                let by_night = a.window.night.cmp(&b.window.night);
                by_night.then(b.window.score.total_cmp(&a.window.score))
            });
            let mut of_evening = (NaiveDate::MIN, 0);
            spares.retain(|spare| {
                let night = spare.window.night;
                of_evening = match of_evening {
                    (of, count) if of == night => (of, count + 1),
                    _ => (night, 1),
                };
                of_evening.1 <= MOST_AN_EVENING
            });
            SparePlaces {
                site,
                window,
                spares,
            }
        })
        .collect()
}

/// The places, each once, in the order of their first sites.
fn places<'a>(sites: &[(&'a Site, &'a [Window])]) -> Vec<Place<'a>> {
    let mut places: Vec<Place<'a>> = Vec::new();
    // By name: sites of one place have the same.
    let mut named: HashMap<&str, Vec<usize>> = HashMap::new();
    for (site, windows) in sites {
        let same_name = named.entry(&site.name).or_default();
        let shares = |at: &usize| {
            let place = places.get(*at);
            place.is_some_and(|place| place.site.shares_place(site))
        };
        let known = same_name.iter().copied().find(shares);
        let known = known.unwrap_or_else(|| {
            places.push(Place {
                site,
                best: BTreeMap::new(),
            });
            same_name.push(places.len() - 1);
            places.len() - 1
        });
        let Some(place) = places.get_mut(known) else {
            continue;
        };
        for window in *windows {
            let best = place.best.entry(window.night).or_insert((site, window));
            if window.score > best.1.score {
                *best = (site, window);
            }
        }
    }
    places
}

/// The windows at `sites` that can stand in for any other, whichever that is: the
/// best of an evening at the best places, one place more than are shown, because
/// no window stands in for another at its own place on its own evening.
pub fn places_that_stand_in<'a>(sites: &[(&'a Site, &'a [Window])]) -> Vec<&'a Window> {
    let mut evenings: BTreeMap<NaiveDate, Vec<&'a Window>> = BTreeMap::new();
    for place in places(sites) {
        for (night, (_, window)) in place.best {
            evenings.entry(night).or_default().push(window);
        }
    }
    let mut best: Vec<&'a Window> = Vec::new();
    for mut windows in evenings.into_values() {
        windows.sort_by(|a, b| b.score.total_cmp(&a.score));
        best.extend(windows.into_iter().take(MOST_AN_EVENING + 1));
    }
    best
}

/// From one camera to another over the ellipsoid, km.
fn distance_km(from: &Site, to: &Site) -> Option<f64> {
    let point = |site: &Site| GroundPoint::new(site.latitude_deg, site.longitude_deg).ok();
    let line = point(from)?.line_to(point(to)?);
    Some(line.map_or(0.0, |line| line.distance_m / 1000.0))
}
