//! The domes of the towns around a site, where nobody has read its sky toward
//! them.

use super::{
    dark_sky,
    photometry::{luminance_cd_m2, mag_arcsec2},
    sky_glow,
    town_dome_table::{FARTHEST_KM, HALF_WIDTH_DEG, LN_GLOW, NEAREST_KM, TOP_DEG},
    town_glow::{self, LUMENS_PER_HEAD},
};
use crate::{
    scene::{DarkSky, NearTown, Site, SkyGlow, TownDome, TownSky},
    terrain::{GroundPoint, TownSeen, towns_around},
    turn::turn_deg,
};
use std::sync::Arc;

/// The altitude at which a town's light is weighed, degrees: the lowest that
/// matters to a picture.
const WEIGHED_AT_DEG: f64 = 10.0;
/// Share of the natural sky there that a dome must add to count, and a single
/// town to be looked at.
const DOME_SHARE: f64 = 0.05;
const TOWN_SHARE: f64 = 0.002;
/// At most so many domes.
const MOST_DOMES: usize = 8;
/// Towns nearer than this to the middle of a brighter one's dome are in it,
/// degrees.
const ONE_DOME_DEG: f64 = 12.0;
/// Nobody is under the lamps alone: a dome is that of a town no nearer than this
/// share of its radius.
const INSIDE_SHARE: f64 = 0.6;
/// Least and greatest brightness that a dome and a zenith of a site may have,
/// see `scene/limits.rs`.
const BRIGHTEST_MAG: f64 = 14.0;

/// Where a town's light is meant.
#[derive(Debug, Clone, Copy)]
enum Part {
    Zenith,
    /// The middle of its dome at the horizon.
    Dome,
}

/// Light that a lamp lumen at a distance (km) adds to a part of the sky, cd/m2.
///
/// # Source
/// The project's fit to [`town_glow`] in clear air at 10 to 45 degrees of
/// altitude and all azimuths: an evenly brighter sky and one dome. Toward the
/// town it is within a factor of 1.5 from 15 degrees up, half of the law at 10;
/// within 45 degrees of it within a factor of 2, rms 1.2 to 1.4.
fn glow_per_lumen_cd_m2(part: Part, distance_km: f64) -> f64 {
    let last = (LN_GLOW.len() - 1) as f64;
    let km = distance_km.clamp(NEAREST_KM, FARTHEST_KM);
    let at = last * (km / NEAREST_KM).ln() / (FARTHEST_KM / NEAREST_KM).ln();
    let index = (at as usize).min(LN_GLOW.len() - 2);
    let share = at - index as f64;
    match LN_GLOW.get(index..index + 2) {
        Some([from, to]) => {
            let of_part = |[zenith, dome]: [f64; 2]| match part {
                Part::Zenith => zenith,
                Part::Dome => dome,
            };
            let (from, to) = (of_part(*from), of_part(*to));
            (from + share * (to - from)).exp()
        }
        _ => 0.0,
    }
}

/// What a dome of this brightness at the horizon leaves at an altitude, cd/m2.
fn upward(low_cd_m2: f64, altitude_deg: f64) -> f64 {
    low_cd_m2 * 10_f64.powf(-altitude_deg / TOP_DEG)
}

/// The natural sky of a place at an altitude, cd/m2.
fn natural_cd_m2(extinction_mag: f64, altitude_deg: f64) -> f64 {
    luminance_cd_m2(DarkSky::NATURAL_ZENITH_MAG)
        * dark_sky::growth(altitude_deg, extinction_mag, dark_sky::AIRGLOW_PART)
}

/// Towns whose light is one dome.
struct Cluster {
    /// The brightest town, its distance and bearing.
    seen: TownSeen,
    distance_km: f64,
    bearing_deg: f64,
    others: usize,
    /// Light in its middle at the horizon, cd/m2.
    low_cd_m2: f64,
    /// Sum of light times degrees aside of the brightest town.
    moment: f64,
}

impl Cluster {
    /// Where the middle of its light stands, degrees.
    fn middle_deg(&self) -> f64 {
        (self.bearing_deg + self.moment / self.low_cd_m2).rem_euclid(360.0)
    }
}

impl Site {
    /// This site with the towns around it: the one by which people know the
    /// place, and the domes of those that brighten its sky, by a law and not by
    /// a reading.
    ///
    /// A town toward which the site has a dome of its own adds none. The zenith
    /// stays as it was given; a natural one ([`DarkSky::natural`]) gets the light
    /// of towns too. Expect a factor of 2 to 3 in the light of one town.
    ///
    /// # Source
    /// Towns: [`TOWNS_SOURCE`](crate::terrain::TOWNS_SOURCE). Law:
    /// [`town_glow`], with [`LUMENS_PER_HEAD`]. Which towns count, and that
    /// neighbours are joined, is the project's choice.
    #[must_use]
    pub fn with_towns(mut self) -> Self {
        let Ok(place) = GroundPoint::new(self.latitude_deg, self.longitude_deg) else {
            return self;
        };
        let is_natural =
            self.sky.approximate && self.sky.zenith_mag_arcsec2 == DarkSky::NATURAL_ZENITH_MAG;
        let (clusters, zenith_cd_m2) = self.clusters(place);
        if is_natural {
            let light = luminance_cd_m2(DarkSky::NATURAL_ZENITH_MAG) + zenith_cd_m2;
            // To the thousandth, as it is printed.
            let mag = (1000.0 * mag_arcsec2(light)).round() / 1000.0;
            self.sky.zenith_mag_arcsec2 = mag.max(BRIGHTEST_MAG);
        }
        let mut domes: Vec<TownDome> = clusters.iter().map(|c| self.dome(c)).collect();
        let lights: Vec<f64> = domes
            .iter()
            .map(|dome| self.sky_toward_mag(&domes, dome))
            .collect();
        for (dome, mag) in domes.iter_mut().zip(lights) {
            dome.sky_mag_arcsec2 = mag;
        }
        self.towns = Some(Arc::new(TownSky {
            near: near_town(place),
            domes,
            natural_zenith_mag_arcsec2: is_natural.then_some(DarkSky::NATURAL_ZENITH_MAG),
        }));
        self
    }

    /// The towns that brighten its sky, joined, the brightest first, and what
    /// all of them add at the zenith, cd/m2.
    fn clusters(&self, place: GroundPoint) -> (Vec<Cluster>, f64) {
        let natural = natural_cd_m2(self.sky.extinction_mag, WEIGHED_AT_DEG);
        // What must stand at the horizon for a town to be looked at.
        let least_low = TOWN_SHARE * natural / upward(1.0, WEIGHED_AT_DEG);
        let dome_per_lumen = |km: f64| glow_per_lumen_cd_m2(Part::Dome, km);
        let least_people = |km: f64| least_low / (LUMENS_PER_HEAD * dome_per_lumen(km));
        let mut zenith_cd_m2 = 0.0;
        let mut seen: Vec<(f64, TownSeen)> = towns_around(place, FARTHEST_KM, least_people)
            .into_iter()
            .filter(|seen| !seen.town.is_part)
            .map(|seen| {
                let people = f64::from(seen.town.population);
                let lumens = LUMENS_PER_HEAD * people;
                zenith_cd_m2 += lumens * zenith_per_lumen(seen.distance_km, people);
                let inside_km = INSIDE_SHARE * town_glow::radius_km(people);
                (
                    lumens * dome_per_lumen(seen.distance_km.max(inside_km)),
                    seen,
                )
            })
            .collect();
        // The same order whatever the order of the list.
        seen.sort_by(|(a, s), (b, t)| b.total_cmp(a).then(s.town.name.cmp(t.town.name)));
        let mut clusters: Vec<Cluster> = Vec::new();
        for (low_cd_m2, seen) in seen {
            let line = seen.line_from(place);
            let (distance_km, bearing_deg) = line.unwrap_or((seen.distance_km, 0.0));
            let is_read = |glow: &SkyGlow| {
                turn_deg(glow.bearing_deg, bearing_deg).abs() <= glow.half_width_deg
            };
            if self.sky_glow.iter().any(is_read) {
                continue;
            }
            let aside = |cluster: &Cluster| turn_deg(cluster.bearing_deg, bearing_deg);
            let joined = clusters.iter_mut().find(|c| aside(c).abs() <= ONE_DOME_DEG);
            match joined {
                Some(cluster) => {
                    cluster.moment += low_cd_m2 * aside(cluster);
                    cluster.low_cd_m2 += low_cd_m2;
                    cluster.others += 1;
                }
                None => clusters.push(Cluster {
                    seen,
                    distance_km,
                    bearing_deg,
                    others: 0,
                    low_cd_m2,
                    moment: 0.0,
                }),
            }
        }
        clusters.retain(|c| upward(c.low_cd_m2, WEIGHED_AT_DEG) >= DOME_SHARE * natural);
        clusters.sort_by(|a, b| b.low_cd_m2.total_cmp(&a.low_cd_m2));
        clusters.truncate(MOST_DOMES);
        (clusters, zenith_cd_m2)
    }

    fn dome(&self, cluster: &Cluster) -> TownDome {
        let low_sky = sky_glow::sky_under_domes_cd_m2(&self.sky);
        let at = TownDome::SAID_AT_DEG;
        TownDome {
            town: cluster.seen.town,
            distance_km: cluster.distance_km,
            bearing_deg: cluster.bearing_deg,
            others: cluster.others,
            dome: SkyGlow {
                bearing_deg: cluster.middle_deg(),
                half_width_deg: HALF_WIDTH_DEG,
                top_altitude_deg: TOP_DEG,
                mag_arcsec2: mag_arcsec2(low_sky + cluster.low_cd_m2).clamp(BRIGHTEST_MAG, 22.0),
            },
            sky_mag_arcsec2: 0.0,
            natural_mag_arcsec2: mag_arcsec2(natural_cd_m2(self.sky.extinction_mag, at)),
        }
    }

    /// The sky toward the middle of a dome, with all of them, V mag/arcsec2.
    fn sky_toward_mag(&self, domes: &[TownDome], dome: &TownDome) -> f64 {
        let at = TownDome::SAID_AT_DEG;
        let low_sky = sky_glow::sky_under_domes_cd_m2(&self.sky);
        let dark = luminance_cd_m2(self.sky.zenith_mag_arcsec2)
            * dark_sky::growth(at, self.sky.extinction_mag, dark_sky::AIRGLOW_PART);
        let all = self
            .sky_glow
            .iter()
            .chain(domes.iter().map(|town| &town.dome));
        let added: f64 = all
            .map(|glow| sky_glow::added_cd_m2(glow, low_sky, dome.dome.bearing_deg, at))
            .sum();
        mag_arcsec2(dark + added)
    }
}

/// What a lumen of a town adds at the zenith, the town a disc where it is near.
fn zenith_per_lumen(distance_km: f64, people: f64) -> f64 {
    let parts = town_glow::parts(distance_km, people);
    parts
        .into_iter()
        .map(|part| part.share * glow_per_lumen_cd_m2(Part::Zenith, part.distance_km))
        .sum()
}

/// Distances within which a town is looked for, one after the other, km.
const LOOKED_FOR_KM: [f64; 4] = [30.0, 100.0, 300.0, 600.0];
/// A town of so many times the people names a place although it is farther, up
/// to so many times as far.
const MUCH_LARGER: u32 = 5;
const NOT_MUCH_FARTHER: f64 = 2.0;

/// The town by which people know a place: the nearest, or one of five times its
/// people at most twice as far.
fn near_town(place: GroundPoint) -> Option<NearTown> {
    let least_people = |_: f64| 0.0;
    let around = LOOKED_FOR_KM
        .into_iter()
        .map(|km| (km, towns_around(place, km, least_people)))
        .find(|(_, towns)| !towns.is_empty());
    let (looked_km, mut towns) = around?;
    let by_distance = |a: &TownSeen, b: &TownSeen| a.distance_km.total_cmp(&b.distance_km);
    let nearest = towns.iter().copied().min_by(by_distance)?;
    let farthest_km = NOT_MUCH_FARTHER * nearest.distance_km;
    if farthest_km > looked_km {
        towns = towns_around(place, farthest_km, least_people);
    }
    let largest = towns
        .into_iter()
        .filter(|seen| seen.distance_km <= farthest_km)
        .filter(|seen| seen.town.population >= nearest.town.population.saturating_mul(MUCH_LARGER))
        .max_by_key(|seen| seen.town.population);
    let seen = largest.unwrap_or(nearest);
    let middle = GroundPoint::new(seen.town.latitude_deg, seen.town.longitude_deg).ok()?;
    let line = middle.line_to(place);
    Some(NearTown {
        town: seen.town,
        distance_km: line.map_or(0.0, |line| line.distance_m / 1000.0),
        bearing_from_deg: line.map_or(0.0, |line| line.bearing_deg),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::{
        sky_glow::added_cd_m2,
        town_glow::{TownLight, TownView},
    };

    /// Between the rows of the table too; the factors are those that the docs
    /// state.
    #[test]
    fn the_form_is_near_the_law() {
        let law = TownLight::default();
        for distance_km in [2.2, 7.0, 15.0, 33.0, 80.0, 140.0, 320.0] {
            let at = |altitude_deg, azimuth_deg| {
                1e9 * law.luminance_per_lumen(&TownView {
                    distance_km,
                    altitude_deg,
                    azimuth_deg,
                })
            };
            let [zenith, low] = [Part::Zenith, Part::Dome]
                .map(|part| 1e9 * glow_per_lumen_cd_m2(part, distance_km));
            assert!(
                (zenith / at(90.0, 0.0) - 1.0).abs() < 0.02,
                "{distance_km} km"
            );
            for altitude_deg in [10.0, 15.0, 20.0, 30.0, 45.0] {
                for azimuth_deg in [0.0, 10.0, 20.0, 30.0, 45.0] {
                    // An even sky of no light of its own, so that the dome's
                    // brightness is its own.
                    let dome = SkyGlow {
                        bearing_deg: 0.0,
                        half_width_deg: HALF_WIDTH_DEG,
                        top_altitude_deg: TOP_DEG,
                        mag_arcsec2: 18.0,
                    };
                    let share =
                        added_cd_m2(&dome, 0.0, azimuth_deg, altitude_deg) / luminance_cd_m2(18.0);
                    let even = dark_sky::growth(altitude_deg, 0.2, dark_sky::AIRGLOW_PART);
                    let ratio = (zenith * even + low * share) / at(altitude_deg, azimuth_deg);
                    let most = match azimuth_deg == 0.0 && altitude_deg >= 15.0 {
                        true => 1.5,
                        false => 2.05,
                    };
                    assert!(
                        ratio.max(1.0 / ratio) < most,
                        "{distance_km} km, {altitude_deg}, {azimuth_deg}: {ratio}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_place_is_known_by_a_larger_town_that_is_not_much_farther() {
        let near = |latitude, longitude| {
            let place = GroundPoint::new(latitude, longitude).expect("a place");
            near_town(place).map(|near| near.town.name)
        };
        // In the ocean there is none.
        assert_eq!(near(0.0, -150.0), None);
        assert_eq!(near(-23.5, 133.0), Some("Alice Springs"));
        assert_eq!(near(36.3, -117.0), Some("Las Vegas"));
    }

    #[test]
    fn towns_that_are_no_site_s_neighbours_change_nothing() {
        let far = Site::new(-23.0, 127.0).expect("a place").with_towns();
        assert!(far.town_domes().is_empty());
        let light = luminance_cd_m2(far.sky.zenith_mag_arcsec2);
        assert!(light / luminance_cd_m2(DarkSky::NATURAL_ZENITH_MAG) < 1.001);
        // The middle of a city and both poles are places too.
        for (latitude, longitude) in [(48.85341, 2.3488), (90.0, 0.0), (-90.0, 180.0)] {
            let site = Site::new(latitude, longitude)
                .expect("a place")
                .with_towns();
            assert!(site.check().is_ok());
            assert!(site.town_domes().len() <= MOST_DOMES);
        }
    }
}
