//! The shape of the land: distances and bearings over the ellipsoid, the angle
//! to a far summit, where a compass points, and the skyline from elevation
//! tiles.
//!
//! Pure computation except [`ElevationTile::read`]. Bearings and azimuths are
//! true, from north through east, unless called magnetic; heights are metres
//! above the sea.

mod curved_earth;
mod elevation_tile;
mod geodesic;
mod magnetic;
mod mosaic;
mod ray;
mod skyline_profile;
mod skyline_settings;
mod tile_error;
mod tile_layout;

pub use curved_earth::{CurvedEarth, EARTH_RADIUS_M, REFRACTION_COEFFICIENT};
pub use elevation_tile::{ElevationTile, TileCorner};
pub use geodesic::{CoordinateError, Destination, GeodesicLine, GroundPoint};
pub use magnetic::{
    CompassZone, MAGNETIC_MODEL, MAGNETIC_MODEL_YEARS, MagneticError, MagneticField, decimal_year,
};
pub use mosaic::{ElevationMosaic, Ground};
pub use skyline_profile::{Ridge, SkylinePoint, SkylineProfile};
pub use skyline_settings::{AbsentTiles, Eye, SkylineError, SkylineSettings};
pub use tile_error::TileError;
pub use tile_layout::GROUND_HEIGHTS_M;
