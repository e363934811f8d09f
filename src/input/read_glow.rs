//! The domes of towns in a site: `[[sky.glow]]` in TOML, a field in a table.

use super::decimal::with_point;
use super::value::{Kind, Value};
use crate::scene::{
    SkyGlow, ValueError,
    bearing::Bearing,
    limits::{GLOW_ALTITUDES_DEG, GLOW_HALF_WIDTHS_DEG, GLOW_MAGS},
    nearest,
    number::number,
};

/// A dome as far as it was given.
#[derive(Default)]
pub(crate) struct GlowDraft {
    bearing: Option<Bearing>,
    half_width_deg: Option<f64>,
    altitude_deg: Option<f64>,
    mag_arcsec2: Option<f64>,
}

/// A dome whose bearing may be magnetic.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TypedGlow {
    bearing: Bearing,
    /// All but the bearing.
    glow: SkyGlow,
}

impl TypedGlow {
    /// The dome as it is seen from a place (degrees, metres).
    ///
    /// # Errors
    ///
    /// A magnetic bearing where a compass is of no use.
    pub fn at(
        self,
        (latitude_deg, longitude_deg): (f64, f64),
        elevation_m: f64,
    ) -> Result<SkyGlow, ValueError> {
        Ok(SkyGlow {
            bearing_deg: self
                .bearing
                .true_deg(latitude_deg, longitude_deg, elevation_m)?,
            ..self.glow
        })
    }
}

/// The keys of a `[[sky.glow]]`.
pub(crate) const GLOW_KEYS: [&str; 4] = [
    "bearing_deg",
    "half_width_deg",
    "altitude_deg",
    "mag_arcsec2",
];

/// Half width of a dome where none is given, degrees: of a town some 20 km off.
/// The project's choice.
const USUAL_HALF_WIDTH_DEG: f64 = 20.0;
/// How high a dome reaches where nothing is said, degrees. The project's
/// choice.
const USUAL_ALTITUDE_DEG: f64 = 15.0;

impl GlowDraft {
    /// Sets one key.
    ///
    /// # Errors
    ///
    /// An unknown key, or a value that it does not accept.
    pub fn set(&mut self, key: &str, value: &Value<'_>) -> Result<(), ValueError> {
        match key {
            "bearing_deg" => self.bearing = Some(value.bearing()?),
            "half_width_deg" => {
                self.half_width_deg = Some(value.number_within(GLOW_HALF_WIDTHS_DEG)?);
            }
            "altitude_deg" => self.altitude_deg = Some(value.number_within(GLOW_ALTITUDES_DEG)?),
            "mag_arcsec2" => self.mag_arcsec2 = Some(value.number_within(GLOW_MAGS)?),
            _ => {
                let error = ValueError::new(key, "a key of [[sky.glow]]");
                return Err(match nearest(key, GLOW_KEYS) {
                    Some(meant) => error.with_remedy(format!("did you mean {meant}?")),
                    None => error.with_remedy(format!("known here: {}", GLOW_KEYS.join(", "))),
                });
            }
        }
        Ok(())
    }

    /// The dome.
    ///
    /// # Errors
    ///
    /// The first key that it cannot do without.
    pub fn finish(&self) -> Result<TypedGlow, (&'static str, ValueError)> {
        let missing = |key: &'static str, what: &str, remedy: &str| {
            (key, ValueError::new("", what).with_remedy(remedy))
        };
        let bearing = self.bearing.ok_or_else(|| {
            let what = "a true bearing from 0 to 360";
            missing("bearing_deg", what, "add bearing_deg, toward the town")
        })?;
        let glow = SkyGlow {
            bearing_deg: 0.0,
            half_width_deg: self.half_width_deg.unwrap_or(USUAL_HALF_WIDTH_DEG),
            top_altitude_deg: self.altitude_deg.unwrap_or(USUAL_ALTITUDE_DEG),
            mag_arcsec2: self.mag_arcsec2.ok_or_else(|| {
                let what = format!("a number from {} to {}", GLOW_MAGS.0, GLOW_MAGS.1);
                missing(
                    "mag_arcsec2",
                    &what,
                    "add mag_arcsec2, as measured toward it",
                )
            })?,
        };
        Ok(TypedGlow { bearing, glow })
    }
}

/// What is said of a value that is no table of a dome.
pub(crate) fn no_dome(value: &Value<'_>) -> ValueError {
    ValueError::new(value.written, "a table [[sky.glow]]")
        .with_remedy("give each town a line [[sky.glow]], its keys below it")
}

const FIELD: &str = "BEARING HALF_WIDTH ALTITUDE MAG, the next after a semicolon";

/// The domes in a field of a table: `70 20 15 20.5; 210 30 20 19.8`.
///
/// # Errors
///
/// What is wrong with it.
pub(crate) fn glow_of_field(value: &Value<'_>) -> Result<Vec<TypedGlow>, ValueError> {
    let (text, number): (&str, fn(&str) -> Option<f64>) = match value.kind {
        Kind::Field => (value.written, number),
        Kind::CommaField => (value.written, |text| number(&with_point(text))),
        Kind::Text(text) => (text, number),
        _ => return Err(no_dome(value)),
    };
    text.split(';').map(|dome| dome_of(dome, number)).collect()
}

/// The dome that four numbers tell, each read by `number`.
fn dome_of(text: &str, number: fn(&str) -> Option<f64>) -> Result<TypedGlow, ValueError> {
    let refuse = || ValueError::new(text.trim(), FIELD).with_remedy("for example 70 20 15 20.5");
    let words: Vec<&str> = text.split_whitespace().collect();
    let &[bearing, half_width, altitude, mag] = words.as_slice() else {
        return Err(refuse());
    };
    let read = |word: &str, what: &str, (low, high): (f64, f64)| {
        let value = number(word).ok_or_else(refuse)?;
        let expected = || ValueError::new(word, format!("{what} from {low} to {high}"));
        (low..=high)
            .contains(&value)
            .then_some(value)
            .ok_or_else(expected)
    };
    let bearing = match Bearing::with_north(bearing) {
        Some(bearing) => bearing,
        None => Bearing::True(read(bearing, "a BEARING", (0.0, 360.0))?),
    };
    let glow = SkyGlow {
        bearing_deg: 0.0,
        half_width_deg: read(half_width, "a HALF_WIDTH", GLOW_HALF_WIDTHS_DEG)?,
        top_altitude_deg: read(altitude, "an ALTITUDE", GLOW_ALTITUDES_DEG)?,
        mag_arcsec2: read(mag, "a MAG", GLOW_MAGS)?,
    };
    Ok(TypedGlow { bearing, glow })
}
