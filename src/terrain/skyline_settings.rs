//! How a skyline is computed, and why it may fail.

use super::{CoordinateError, CurvedEarth, ElevationMosaic, Ground, GroundPoint, TileCorner};
use crate::{Figure, plain_words::printable_path};

/// Where the camera is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Eye {
    /// Metres above the ground of the tiles, 0 to 1000.
    AboveGround(f64),
    /// Metres above the sea, -500 to 9000; not below the ground of the tiles.
    AboveSea(f64),
}

/// What a tile that is not given means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AbsentTiles {
    /// Nothing is known there.
    Unknown,
    /// Open sea: sets of tiles leave out those without land.
    Sea,
}

/// How the skyline is computed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkylineSettings {
    /// Height of the camera. By default 1.6 m above the ground.
    pub eye: Eye,
    /// Azimuths are this far apart, degrees, 0.01 to 30. By default 0.5.
    pub azimuth_step_deg: f64,
    /// Ground nearer than this is left out, metres, 0 or more: the tiles' error
    /// of some metres makes degrees there. By default 100.
    pub nearest_m: f64,
    /// How far to look, metres, up to 300 km. By default 60 km.
    pub farthest_m: f64,
    /// Curvature and refraction. By default a coefficient of 0.13.
    pub earth: CurvedEarth,
    /// What lies outside the tiles. By default it is unknown.
    pub absent_tiles: AbsentTiles,
}

impl Default for SkylineSettings {
    fn default() -> Self {
        Self {
            eye: Eye::AboveGround(1.6),
            azimuth_step_deg: 0.5,
            nearest_m: 100.0,
            farthest_m: 60_000.0,
            earth: CurvedEarth::default(),
            absent_tiles: AbsentTiles::Unknown,
        }
    }
}

/// Why there is no skyline.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SkylineError {
    /// A setting out of its range.
    #[error("{name}: found {found}, expected {expected}")]
    Setting {
        /// Which.
        name: &'static str,
        /// Its value.
        found: f64,
        /// Its range.
        expected: &'static str,
    },
    /// Too near to a pole.
    #[error(
        "found latitude {0}, expected one from -85 to 85; nearer to a pole no skyline is computed"
    )]
    Polar(f64),
    /// The tiles do not say how high the camera stands.
    #[error(
        "found no tile that holds {latitude_deg}, {longitude_deg}, expected the camera's own; add {tile}"
    )]
    GroundUnknown {
        /// The tile that is missing.
        tile: String,
        /// Latitude of the camera, degrees.
        latitude_deg: f64,
        /// Longitude of the camera, degrees.
        longitude_deg: f64,
    },
    /// The tile of the camera has a void there.
    #[error(
        "found a void at {latitude_deg}, {longitude_deg} in {tile}, expected the height of the ground; take a tile whose voids are filled"
    )]
    GroundVoid {
        /// The tile.
        tile: String,
        /// Latitude of the camera, degrees.
        latitude_deg: f64,
        /// Longitude of the camera, degrees.
        longitude_deg: f64,
    },
    /// The camera is inside the hill.
    #[error(
        "found a camera {eye_m} m above the sea, expected one above the ground, which the tiles put at {:.1} m; raise it",
        Figure(*.ground_m)
    )]
    EyeBelowGround {
        /// The eye, metres above the sea.
        eye_m: f64,
        /// The ground, metres above the sea.
        ground_m: f64,
    },
    /// A file with a part that cannot be read or used, in the words of
    /// [`TileError`](super::TileError).
    #[error("{0}")]
    File(String),
    /// A coordinate that went wrong during the computation.
    #[error(transparent)]
    Coordinate(#[from] CoordinateError),
}

impl SkylineSettings {
    pub(super) fn check(&self) -> Result<(), SkylineError> {
        let within = |name, found: f64, least: f64, most: f64, expected| {
            if (least..=most).contains(&found) {
                Ok(())
            } else {
                Err(SkylineError::Setting {
                    name,
                    found,
                    expected,
                })
            }
        };
        within(
            "azimuth step",
            self.azimuth_step_deg,
            0.01,
            30.0,
            "0.01 to 30 degrees",
        )?;
        within(
            "farthest distance",
            self.farthest_m,
            1.0,
            300_000.0,
            "1 to 300000 m",
        )?;
        within(
            "nearest distance",
            self.nearest_m,
            0.0,
            // The next number below, so that there is some distance to search.
            self.farthest_m.next_down(),
            "0 m up to less than the farthest distance",
        )?;
        match self.eye {
            Eye::AboveGround(height) => within(
                "height above the ground",
                height,
                0.0,
                1000.0,
                "0 to 1000 m",
            ),
            Eye::AboveSea(height) => within(
                "height above the sea",
                height,
                -500.0,
                9000.0,
                "-500 to 9000 m",
            ),
        }
    }

    pub(super) fn eye_above_sea(
        &self,
        mosaic: &ElevationMosaic,
        camera: GroundPoint,
    ) -> Result<f64, SkylineError> {
        let known = mosaic
            .ground(camera)
            .map_err(|error| SkylineError::File(error.to_string()))?;
        let ground = match known {
            Ground::Height(height) => Some(height),
            Ground::NoTile if self.absent_tiles == AbsentTiles::Sea => Some(0.0),
            Ground::NoTile | Ground::Void => None,
        };
        match (self.eye, ground) {
            (Eye::AboveGround(height), Some(ground)) => Ok(ground + height),
            (Eye::AboveGround(_), None) => {
                let (latitude_deg, longitude_deg) = (camera.latitude_deg(), camera.longitude_deg());
                let tile = TileCorner {
                    south_deg: latitude_deg.floor() as i16,
                    west_deg: longitude_deg.floor() as i16,
                }
                .file_name();
                let tile = match (mosaic.file_over(camera), known) {
                    (Some(path), Ground::Void) => printable_path(&path),
                    _ if mosaic.has_rasters() => format!("it ({tile}, or a GeoTIFF of that place)"),
                    _ => tile,
                };
                Err(if known == Ground::Void {
                    SkylineError::GroundVoid {
                        tile,
                        latitude_deg,
                        longitude_deg,
                    }
                } else {
                    SkylineError::GroundUnknown {
                        tile,
                        latitude_deg,
                        longitude_deg,
                    }
                })
            }
            (Eye::AboveSea(eye_m), Some(ground_m)) if eye_m < ground_m => {
                Err(SkylineError::EyeBelowGround { eye_m, ground_m })
            }
            (Eye::AboveSea(eye_m), _) => Ok(eye_m),
        }
    }
}
