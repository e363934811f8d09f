//! Distances and bearings over the ellipsoid, the angle to a far summit, and
//! where a compass points.
//!
//! Pure computation. Bearings and azimuths are
//! true, from north through east, unless called magnetic; heights are metres
//! above the sea.

mod curved_earth;
mod geodesic;
mod magnetic;

pub use curved_earth::{CurvedEarth, EARTH_RADIUS_M, REFRACTION_COEFFICIENT};
pub use geodesic::{CoordinateError, Destination, GeodesicLine, GroundPoint};
pub use magnetic::{CompassZone, MagneticError, MagneticField, decimal_year};
