//! The towns around a place, as far as they matter there.

use super::sky_glow::SkyGlow;
use crate::terrain::Town;

/// What the list of towns says about a place.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct TownSky {
    /// The town by which people know the place; `None` where none is near.
    pub near: Option<NearTown>,
    /// The domes of towns that a law, not a reading, gives the place; the
    /// brightest first.
    pub domes: Vec<TownDome>,
    /// Natural sky at the zenith that the site's own was made of with the light
    /// of towns, V mag/arcsec2; `None` where somebody gave the site's.
    pub natural_zenith_mag_arcsec2: Option<f64>,
}

/// A town near a place.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct NearTown {
    /// The town.
    pub town: Town,
    /// How far its middle is, km over the ellipsoid.
    pub distance_km: f64,
    /// True bearing of the place from its middle, degrees, 0 to 360.
    pub bearing_from_deg: f64,
}

/// The dome of a town, or of several that stand in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TownDome {
    /// The town that gives most of its light.
    pub town: Town,
    /// How far that town's middle is, km over the ellipsoid.
    pub distance_km: f64,
    /// True bearing of that town's middle, degrees, 0 to 360.
    pub bearing_deg: f64,
    /// How many other towns are in it.
    pub others: usize,
    /// Its form; its middle is that of all its light.
    pub dome: SkyGlow,
    /// The sky toward its middle at [`TownDome::SAID_AT_DEG`], with all domes,
    /// V mag/arcsec2.
    pub sky_mag_arcsec2: f64,
    /// The natural sky at that altitude, V mag/arcsec2.
    pub natural_mag_arcsec2: f64,
}

impl TownDome {
    /// The altitude at which the brightness of a dome is told, degrees: where
    /// the core is low.
    pub const SAID_AT_DEG: f64 = 15.0;
    /// Brighter than the natural sky by so many magnitudes, a dome counts as
    /// glow in which a target stands: half the natural sky added.
    const SEEN_MAG: f64 = 0.44;

    /// Whether it is bright enough for a target in it to be called in its glow.
    pub fn is_seen(&self) -> bool {
        self.natural_mag_arcsec2 - self.sky_mag_arcsec2 >= Self::SEEN_MAG
    }

    /// Whether a direction stands in it and it is bright enough to be seen.
    ///
    /// From true azimuth and apparent altitude, degrees.
    pub fn is_under(&self, azimuth_deg: f64, altitude_deg: f64) -> bool {
        self.is_seen() && self.dome.contains(azimuth_deg, altitude_deg)
    }
}
