//! A place, what stands there, and what the photographer brings.

use super::calendar::Calendar;
use super::climate::Climate;
use super::conventions::Conventions;
use super::extinction::extinction_at_elevation_mag;
use super::forecast::Forecast;
use super::own::OwnValues;
use super::site_log::SiteLog;
use super::sky_glow::SkyGlow;
use super::skyline::Skyline;
use super::town_sky::{TownDome, TownSky};
use super::zone::Zone;
use super::zone_of_place::ZoneFrom;
use crate::ephemeris::Refraction;
use chrono::NaiveDate;
use std::{borrow::Cow, sync::Arc};

/// Where the camera stands and what it looks at.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Site {
    /// Printable name, at most 80 characters.
    pub name: String,
    /// Which of several pictures of the place it is; printable, at most 80
    /// characters.
    pub view: Option<String>,
    /// Geodetic latitude (WGS84), degrees, north positive.
    pub latitude_deg: f64,
    /// Geodetic longitude (WGS84), degrees, east positive, -180 to 180.
    pub longitude_deg: f64,
    /// Height above the ellipsoid (assumed equal to that above the sea),
    /// metres.
    pub elevation_m: f64,
    /// Civil time at the place.
    pub zone: Zone,
    /// How that is known.
    pub zone_from: ZoneFrom,
    /// The photographer's own notes.
    pub notes: Option<String>,
    /// What the camera looks at.
    pub subject: Option<Subject>,
    /// The moonless night sky.
    pub sky: DarkSky,
    /// The domes of towns on the horizon that somebody measured or judged.
    pub sky_glow: Vec<SkyGlow>,
    /// The towns around it by the list of towns; `None` if they were not looked
    /// up, see [`Site::with_towns`].
    pub towns: Option<Arc<TownSky>>,
    /// Air for refraction.
    pub air: Air,
    /// How often its nights are clear, if that is known.
    pub climate: Option<Climate>,
    /// What cloud is foretold for it, if that is known.
    pub forecast: Option<Arc<Forecast>>,
    /// The camera.
    pub camera: Option<Camera>,
    /// The skyline seen from the camera.
    pub skyline: Option<Skyline>,
    /// The skyline seen from the subject.
    pub subject_skyline: Option<Skyline>,
    /// The site's standing rules, by key, as they are typed; the rule layer
    /// reads them.
    pub standing_rules: Vec<(&'static str, String)>,
    /// What the user keeps beside it, passed through to the output.
    pub own: OwnValues,
    /// What the files list that the standing rules name, each with its path as
    /// it stands there.
    pub calendars: Vec<(String, Arc<Calendar>)>,
    /// What came of past nights.
    pub log: Option<Arc<SiteLog>>,
    /// How texts about it are written for people.
    pub conventions: Conventions,
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
    /// Its width as seen from the camera, metres.
    pub width_m: Option<f64>,
    /// Diffuse reflectance, 0 to 1.
    pub reflectance: Option<f64>,
    /// When the reflectance was found from a frame taken there, if it was.
    pub reflectance_measured: Option<NaiveDate>,
}

impl Subject {
    /// The subject at the start of a sentence: `The water tank`. A name that
    /// has its own article gets no second one.
    pub fn at_sentence_start(&self) -> String {
        let words = self.within_sentence();
        match words.strip_prefix("the ") {
            Some(rest) => format!("The {rest}"),
            None => words,
        }
    }

    /// The subject within a sentence: `the water tank`.
    pub fn within_sentence(&self) -> String {
        let name = self.name.as_deref().map_or("", str::trim);
        if name.is_empty() {
            return "the subject".to_string();
        }
        match name.split_once(char::is_whitespace) {
            Some((first, rest)) if first.eq_ignore_ascii_case("the") => {
                format!("the {}", rest.trim_start())
            }
            _ => format!("the {name}"),
        }
    }
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

impl SubjectPlace {
    /// Height of its foot, metres, if it is given.
    pub(crate) fn elevation_m(&self) -> Option<f64> {
        match self {
            Self::Bearing { .. } => None,
            Self::Coordinates { elevation_m, .. } => *elevation_m,
        }
    }
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
    /// Whether nobody gave that, so that it is the usual one of the elevation.
    pub extinction_assumed: bool,
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

impl Air {
    /// The refraction of this air.
    pub(crate) fn refraction(&self) -> Refraction {
        Refraction::new(self.pressure_hpa, self.temperature_c)
    }

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

impl Site {
    /// What people read: the place's name, and the view's if it has one:
    /// `Tinaja Mesa, north wall`.
    pub fn title(&self) -> Cow<'_, str> {
        match &self.view {
            Some(view) => Cow::Owned(format!("{}, {view}", self.name)),
            None => Cow::Borrowed(&self.name),
        }
    }

    /// Whether `other` is the same place, whatever its view.
    pub fn shares_place(&self, other: &Self) -> bool {
        let place = |site: &Self| (site.latitude_deg, site.longitude_deg, site.elevation_m);
        self.name == other.name && place(self) == place(other) && self.zone == other.zone
    }

    /// The domes of towns that a law gives the place.
    pub fn town_domes(&self) -> &[TownDome] {
        self.towns.as_ref().map_or(&[], |towns| &towns.domes)
    }

    /// Every dome: those given, then those of the law.
    pub(crate) fn domes(&self) -> impl Iterator<Item = &SkyGlow> {
        let lawful = self.town_domes().iter().map(|town| &town.dome);
        self.sky_glow.iter().chain(lawful)
    }

    /// A site known by its place alone.
    pub(crate) fn bare(
        name: String,
        latitude_deg: f64,
        longitude_deg: f64,
        elevation_m: f64,
        (zone, zone_from): (Zone, ZoneFrom),
    ) -> Self {
        Self {
            name,
            view: None,
            latitude_deg,
            longitude_deg,
            elevation_m,
            zone,
            zone_from,
            notes: None,
            subject: None,
            sky: DarkSky::natural(elevation_m),
            sky_glow: Vec::new(),
            towns: None,
            air: Air::standard(elevation_m),
            climate: None,
            forecast: None,
            camera: None,
            skyline: None,
            subject_skyline: None,
            standing_rules: Vec::new(),
            own: OwnValues::default(),
            calendars: Vec::new(),
            log: None,
            conventions: Conventions::default(),
        }
    }
}

impl DarkSky {
    /// Zenith brightness of a natural sky, V mag/arcsec2 (common practice, no
    /// source).
    pub const NATURAL_ZENITH_MAG: f64 = 21.8;

    /// A natural sky away from towns at an elevation (metres):
    /// [`Self::NATURAL_ZENITH_MAG`] at the zenith, and the air usual there, see
    /// [`extinction_at_elevation_mag`].
    pub fn natural(elevation_m: f64) -> Self {
        Self {
            zenith_mag_arcsec2: Self::NATURAL_ZENITH_MAG,
            approximate: true,
            // To the thousandth, as it is printed.
            extinction_mag: (1000.0 * extinction_at_elevation_mag(elevation_m)).round() / 1000.0,
            extinction_assumed: true,
        }
    }

    /// The zenith brightness that observers' tables give a Bortle class, V
    /// mag/arcsec2: the middle of the class's range.
    ///
    /// Bortle (*Sky & Telescope*, February 2001) gives no photometry; the
    /// ranges are a later convention, and tables disagree by some 0.3 mag.
    /// Class 9 is open-ended: 17.25 is this project's choice. A class below 1
    /// counts as 1, one above 9 as 9.
    pub fn zenith_mag_of_bortle(class: u32) -> f64 {
        match class {
            0 | 1 => 21.88,
            2 => 21.675,
            3 => 21.45,
            4 => 20.85,
            5 => 19.75,
            6 => 18.8,
            7 => 18.25,
            8 => 17.75,
            _ => 17.25,
        }
    }
}

impl Camera {
    /// The same camera in landscape: the long side of sensor and pixels first.
    #[must_use]
    pub fn lying(mut self) -> Self {
        self.sensor_mm.sort_by(|a, b| b.total_cmp(a));
        self.pixels.sort_by(|a, b| b.cmp(a));
        self
    }
}

impl Default for Camera {
    /// A full-frame camera of 24 megapixels with a 14 mm f/2.8 lens.
    fn default() -> Self {
        Self {
            sensor_mm: [36.0, 24.0],
            pixels: [6000, 4000],
            focal_mm: 14.0,
            f_number: 2.8,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_subject_has_one_article() {
        for (name, start, within) in [
            (Some("water tank"), "The water tank", "the water tank"),
            (Some("the old barn"), "The old barn", "the old barn"),
            (Some("The  Needle"), "The Needle", "the Needle"),
            (Some("thermal vent"), "The thermal vent", "the thermal vent"),
            (None, "The subject", "the subject"),
        ] {
            let subject = Subject {
                name: name.map(str::to_string),
                place: SubjectPlace::Bearing {
                    bearing_deg: 0.0,
                    distance_m: None,
                },
                height_m: None,
                width_m: None,
                reflectance: None,
                reflectance_measured: None,
            };
            assert_eq!(subject.at_sentence_start(), start);
            assert_eq!(subject.within_sentence(), within);
        }
    }
}
