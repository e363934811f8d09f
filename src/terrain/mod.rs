//! The shape of the land: distances and bearings over the ellipsoid, the angle
//! to a far summit, where a compass points, and the horizon from elevation
//! tiles.
//!
//! Pure computation but for [`ElevationTile::read`]. Bearings and azimuths are
//! true, from north through east, unless called magnetic; heights are metres
//! above the sea.

mod curved_earth;
mod elevation_tile;
mod geodesic;
mod horizon_profile;
mod horizon_settings;
mod magnetic;
mod mosaic;
mod ray;
mod tile_error;
mod tile_layout;

pub use curved_earth::{CurvedEarth, EARTH_RADIUS_M, REFRACTION_COEFFICIENT};
pub use elevation_tile::{ElevationTile, TileCorner};
pub use geodesic::{CoordinateError, Destination, GeodesicLine, GroundPoint};
pub use horizon_profile::{HorizonPoint, HorizonProfile, Ridge};
pub use horizon_settings::{AbsentTiles, Eye, HorizonError, HorizonSettings};
pub use magnetic::{
    CompassZone, MAGNETIC_MODEL, MAGNETIC_MODEL_YEARS, MagneticError, MagneticField, decimal_year,
};
pub use mosaic::{ElevationMosaic, Ground};
pub use tile_error::TileError;
pub use tile_layout::GROUND_HEIGHTS_M;
