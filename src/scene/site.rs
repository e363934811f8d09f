//! A place, what stands there, and what the photographer brings.

use super::{brief::Brief, zone::Zone};

/// Where the camera stands and what it looks at.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Printable name, at most 80 characters.
    pub name: String,
    /// Geodetic latitude (WGS84), degrees, north positive.
    pub latitude_deg: f64,
    /// Geodetic longitude (WGS84), degrees, east positive, -180 to 180.
    pub longitude_deg: f64,
    /// Height above the ellipsoid (taken equal to that above the sea), metres.
    pub elevation_m: f64,
    /// Civil time at the place.
    pub zone: Zone,
    /// The site's own words.
    pub notes: Option<String>,
    /// What the camera looks at.
    pub subject: Option<Subject>,
    /// The moonless night sky.
    pub sky: DarkSky,
    /// Air for refraction.
    pub air: Air,
    /// The camera.
    pub camera: Option<Camera>,
    /// The site's standing wishes.
    pub brief: Brief,
}

/// The thing in the foreground.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// What it is.
    pub name: Option<String>,
    /// Where it stands as seen from the camera.
    pub place: SubjectPlace,
    /// Height of its top above its foot, metres.
    pub height_m: Option<f64>,
    /// Diffuse reflectance, 0 to 1.
    pub reflectance: Option<f64>,
}

/// Where a subject stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SubjectPlace {
    /// True bearing from the camera and, where known, the distance.
    Bearing {
        /// Degrees from true north through east.
        bearing_deg: f64,
        /// Metres over the ground.
        distance_m: Option<f64>,
    },
    /// Geodetic coordinates (WGS84).
    Coordinates {
        /// Degrees, north positive.
        latitude_deg: f64,
        /// Degrees, east positive.
        longitude_deg: f64,
        /// Height of its foot, metres; the camera's where not given.
        elevation_m: Option<f64>,
    },
}

/// The moonless night sky and its air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DarkSky {
    /// Zenith brightness, V mag/arcsec2.
    pub zenith_mag_arcsec2: f64,
    /// Whether that comes from a Bortle class (approximate) or is a guess,
    /// rather than a meter reading.
    pub approximate: bool,
    /// Extinction, V magnitudes per air mass.
    pub extinction_mag: f64,
}

/// Air at the camera, for refraction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Pressure, hPa.
    pub pressure_hpa: f64,
    /// Temperature, degrees Celsius.
    pub temperature_c: f64,
}

/// The camera and its lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Sensor width and height, millimetres.
    pub sensor_mm: [f64; 2],
    /// Pixels across and down.
    pub pixels: [u32; 2],
    /// Focal length, millimetres.
    pub focal_mm: f64,
    /// f-number.
    pub f_number: f64,
}

impl Site {
    /// A site of which only the place is known: sea level, UTC, and every
    /// default.
    pub fn at(latitude_deg: f64, longitude_deg: f64) -> Self {
        Self {
            name: "place".to_string(),
            latitude_deg,
            longitude_deg,
            elevation_m: 0.0,
            zone: Zone::UTC,
            notes: None,
            subject: None,
            sky: DarkSky {
                zenith_mag_arcsec2: 21.8,
                approximate: true,
                extinction_mag: 0.2,
            },
            air: Air::standard(0.0),
            camera: None,
            brief: Brief::default(),
        }
    }
}

impl Air {
    /// 10 C and the standard atmosphere's pressure at `elevation_m`, from
    /// 1010 hPa at sea level.
    ///
    /// The fall with height is that of the ISO 2533:1975 / ICAO standard
    /// atmosphere, `(1 - 2.25577e-5 h)^5.25588` (values from memory).
    pub fn standard(elevation_m: f64) -> Self {
        let fall = (1.0 - 2.25577e-5 * elevation_m).max(0.0);
        Self {
            pressure_hpa: 1010.0 * fall.powf(5.25588),
            temperature_c: 10.0,
        }
    }
}
