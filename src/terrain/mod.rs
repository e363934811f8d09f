//! The shape of the land: distances and bearings over the ellipsoid, the angle
//! to a far summit, where a compass points, and the skyline from elevation
//! tiles and GeoTIFFs.
//!
//! Pure computation except [`ElevationTile::read`] and [`ElevationMosaic`],
//! which reads on while it is asked. Bearings and azimuths are
//! true, from north through east, unless called magnetic; heights are metres
//! above the sea.

mod block_cache;
mod curved_earth;
mod elevation_file;
mod elevation_shelf;
mod elevation_tile;
mod gdal_metadata;
mod geo_keys;
mod geodesic;
mod geotiff;
mod geotiff_place;
mod height_facts;
mod lattice;
mod layers;
mod magnetic;
mod mosaic;
mod mosaic_files;
mod opening;
mod raster_set;
mod ray;
mod refused;
mod skyline_profile;
mod skyline_settings;
mod tiff_directory;
mod tiff_samples;
mod tile_error;
mod tile_layout;
mod towns;
mod utm;

pub use curved_earth::{CurvedEarth, EARTH_RADIUS_M, REFRACTION_COEFFICIENT};
pub use elevation_file::{ELEVATION_ENDINGS, ElevationFile};
pub use elevation_shelf::ElevationShelf;
pub use elevation_tile::{ElevationTile, TileCorner};
pub(crate) use geodesic::full_circle;
pub use geodesic::{CoordinateError, Destination, GeodesicLine, GroundPoint};
pub use height_facts::HeightFact;
pub(crate) use magnetic::usual_declination_deg;
pub use magnetic::{
    CompassZone, MAGNETIC_MODEL, MAGNETIC_MODEL_YEARS, MAGNETIC_YEAR, MagneticError, MagneticField,
    decimal_year,
};
pub use mosaic::{ElevationMosaic, Ground};
pub use skyline_profile::{Ridge, SkylinePoint, SkylineProfile};
pub use skyline_settings::{AbsentTiles, Eye, SkylineError, SkylineSettings};
pub use tile_error::TileError;
pub use tile_layout::GROUND_HEIGHTS_M;
pub use towns::{TOWNS_SOURCE, Town, TownSeen, towns_around};
pub use utm::UtmZone;
