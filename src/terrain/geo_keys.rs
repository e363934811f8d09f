//! The keys of a GeoTIFF that say where its posts stand and in what unit its
//! heights are.
//!
//! # Source
//!
//! *OGC GeoTIFF Standard*, OGC 19-008r4 (2019), version 1.1; the numbers of
//! reference systems are those of the EPSG data set.

use super::{
    lattice::Frame,
    refused::{Refused, Remedy},
    utm::UtmZone,
};

const MODEL: u16 = 1024;
const RASTER: u16 = 1025;
const GEOGRAPHIC: u16 = 2048;
const ANGLES: u16 = 2054;
const PROJECTED: u16 = 3072;
const LENGTHS: u16 = 3076;
const VERTICAL: u16 = 4096;
const VERTICAL_UNIT: u16 = 4099;

/// International foot and the foot of the United States' survey, metres.
pub(super) const FOOT_M: f64 = 0.3048;
pub(super) const SURVEY_FOOT_M: f64 = 1200.0 / 3937.0;

const EXPECTED_FRAME: &str = "latitudes and longitudes (EPSG:4326 and the like) or a UTM grid";

/// What the keys say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GeoReference {
    pub frame: Frame,
    /// Whether the coordinates of a cell are those of its corner, not of the
    /// post inside it.
    pub area: bool,
    pub metres_per_unit: f64,
    /// Whether the heights are over the ellipsoid, not over the sea.
    pub over_ellipsoid: bool,
    /// The datum, if it is another than WGS84, within some metres of it.
    pub datum: Option<&'static str>,
}

/// The directory of keys.
pub(super) struct GeoKeys<'a>(pub &'a [u16]);

impl GeoKeys<'_> {
    /// The value of a key whose value stands in the directory itself.
    fn short(&self, key: u16) -> Option<u16> {
        let (entries, _) = self.0.get(4..)?.as_chunks::<4>();
        let found = entries
            .iter()
            .find(|[id, location, _, _]| *id == key && *location == 0);
        found.map(|[_, _, _, value]| *value)
    }

    pub fn read(&self) -> Result<GeoReference, Refused> {
        let (frame, datum, over_ellipsoid) = self.frame()?;
        let vertical = self.short(VERTICAL);
        // A system of three dimensions, as GDAL writes it, or an ellipsoid, as
        // GeoTIFF 1.0 numbers them.
        let over =
            |code| (5001..=5033).contains(&code) || datum_of(code).is_some_and(|(_, over)| over);
        let over_ellipsoid = over_ellipsoid || vertical.is_some_and(over);
        Ok(GeoReference {
            frame,
            area: self.short(RASTER) != Some(2),
            metres_per_unit: self.metres_per_unit(vertical)?,
            over_ellipsoid,
            datum,
        })
    }

    fn frame(&self) -> Result<(Frame, Option<&'static str>, bool), Refused> {
        let elsewhere = |found: String| Refused::new(found, EXPECTED_FRAME, Remedy::WARP);
        match self.short(MODEL) {
            Some(1) => {
                if let Some(unit @ (0..=9000 | 9002..)) = self.short(LENGTHS) {
                    return Err(elsewhere(format!("a grid in units EPSG:{unit}")));
                }
                let code = self.short(PROJECTED).unwrap_or(0);
                let (zone, datum) = zone_of(code).ok_or_else(|| {
                    elsewhere(match code {
                        0 | 32767 => "a grid of its own projection".to_owned(),
                        3857 | 3785 => format!("Web Mercator (EPSG:{code})"),
                        _ => format!("a grid in EPSG:{code}"),
                    })
                })?;
                Ok((Frame::Utm(zone), datum, false))
            }
            Some(2) => {
                if let Some(unit @ (0..=9101 | 9103..)) = self.short(ANGLES) {
                    return Err(elsewhere(format!("angles in units EPSG:{unit}")));
                }
                let code = self.short(GEOGRAPHIC).unwrap_or(0);
                let (datum, over_ellipsoid) = datum_of(code).ok_or_else(|| {
                    elsewhere(match code {
                        0 | 32767 => "degrees on a datum of its own".to_owned(),
                        _ => format!("degrees in EPSG:{code}"),
                    })
                })?;
                Ok((Frame::Degrees, datum, over_ellipsoid))
            }
            Some(model) => Err(elsewhere(format!("coordinates of model {model}"))),
            None => Err(Refused::new(
                "no reference system",
                EXPECTED_FRAME,
                Remedy::Convert(
                    "if it is in degrees, say so",
                    "gdal_translate -a_srs EPSG:4326",
                ),
            )),
        }
    }

    fn metres_per_unit(&self, vertical: Option<u16>) -> Result<f64, Refused> {
        // A unit that is not given is that of the vertical system.
        let unit = match (self.short(VERTICAL_UNIT), vertical) {
            (Some(unit), _) => unit,
            // NGVD29 and NAVD88 heights in feet.
            (None, Some(5702 | 6360)) => 9003,
            (None, Some(8228)) => 9002,
            (None, _) => 9001,
        };
        match unit {
            9001 => Ok(1.0),
            9002 => Ok(FOOT_M),
            9003 => Ok(SURVEY_FOOT_M),
            _ => Err(Refused::new(
                format!("heights in units EPSG:{unit}"),
                "heights in metres or feet",
                Remedy::Say("convert the heights to metres"),
            )),
        }
    }
}

/// The datum of a geographic system, `None` inside for WGS84 itself, and
/// whether its heights are over the ellipsoid.
fn datum_of(code: u16) -> Option<(Option<&'static str>, bool)> {
    Some(match code {
        4326 => (None, false),
        4979 => (None, true),
        4269 => (Some("NAD83"), false),
        6318 => (Some("NAD83(2011)"), false),
        6319 => (Some("NAD83(2011)"), true),
        4258 => (Some("ETRS89"), false),
        4937 => (Some("ETRS89"), true),
        4283 => (Some("GDA94"), false),
        7844 => (Some("GDA2020"), false),
        4167 => (Some("NZGD2000"), false),
        4674 => (Some("SIRGAS 2000"), false),
        _ => return None,
    })
}

/// The UTM zone of a projected system and its datum.
fn zone_of(code: u16) -> Option<(UtmZone, Option<&'static str>)> {
    let (first, south, datum) = match code {
        32601..=32660 => (32600, false, None),
        32701..=32760 => (32700, true, None),
        26901..=26923 => (26900, false, Some("NAD83")),
        // Zones 59 and 60, then 1 to 19.
        6328 | 6329 => (6269, false, Some("NAD83(2011)")),
        6330..=6348 => (6329, false, Some("NAD83(2011)")),
        25828..=25838 => (25800, false, Some("ETRS89")),
        28348..=28358 => (28300, true, Some("GDA94")),
        7846..=7859 => (7800, true, Some("GDA2020")),
        _ => return None,
    };
    let number = u8::try_from(code - first).ok()?;
    Some((UtmZone::new(number, south)?, datum))
}
