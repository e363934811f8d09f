//! Every key of a site, with the check of its value; TOML and CSV both use it.

use super::fault::{Fault, Place};
use super::meant_key::{Layout, unknown_site_key};
use super::own_column::{OWN, own_name};
use super::read_glow::glow_of_field;
use super::share::clear_nights;
use super::site_draft::SiteDraft;
use super::value::{Kind, Value};
use crate::rule::{Brief, Rule, given_twice};
use crate::scene::ValueError;
use crate::scene::Zone;
use crate::scene::limits::{
    DISTANCES_M, ELEVATIONS_M, EXTINCTIONS_MAG, FOCAL_LENGTHS_MM, HEIGHTS_M, PRESSURES_HPA,
    REFLECTANCES, TEMPERATURES_C, WIDTHS_M, ZENITH_MAGS,
};
use crate::scene::name::{check_name, check_notes};
use crate::scene::number::{number, tidy};
use crate::scene::position::Axis;
use crate::scene::{Position, parse_date};
use chrono::NaiveDate;
use std::borrow::Cow;

/// The tables of a site file.
pub(crate) const TABLES: [&str; 8] = [
    "subject", "sky", "air", "climate", "camera", "skyline", "brief", OWN,
];

/// One key, dotted for tables.
pub(super) struct SiteKey {
    name: &'static str,
    set: fn(&mut SiteDraft, &Value<'_>) -> Result<(), ValueError>,
}

/// A key: its name, and the check that gives the value for the draft.
macro_rules! key {
    ($name:literal, $($field:ident).+, |$value:ident| $read:expr) => {
        SiteKey {
            name: $name,
            set: |draft, $value| {
                draft.$($field).+ = Some($read?);
                Ok(())
            },
        }
    };
}

static KEYS: [SiteKey; 35] = [
    key!("name", name, |value| check_name(
        value.text("a name in quotes")?
    )),
    // In a site file a view is a table of its own, [[view]].
    key!("view", view, |value| check_name(
        value.text("the name of a view in quotes")?
    )),
    // The range is checked when both are known, so that swapped values are
    // noticed.
    key!("position", position, |value| position(value)),
    key!("latitude_deg", latitude_deg, |value| value
        .coordinate(Axis::Latitude)),
    key!("longitude_deg", longitude_deg, |value| value
        .coordinate(Axis::Longitude)),
    key!("elevation_m", elevation_m, |value| value
        .metres_within(ELEVATIONS_M)),
    // An offset such as -8 is a number.
    key!("time_zone", zone, |value| Zone::named(match value.kind {
        Kind::Number(_) => value.written,
        _ => value.text("an IANA time zone in quotes")?,
    })),
    key!("notes", notes, |value| check_notes(
        value.text("text in quotes")?
    )),
    key!("log", log_file, |value| file_name(value)),
    key!("subject.name", subject.name, |value| check_name(
        value.text("a name in quotes")?
    )),
    key!("subject.bearing_deg", subject.bearing, |value| value
        .bearing()),
    key!("subject.distance_m", subject.distance_m, |value| value
        .metres_within(DISTANCES_M)),
    key!("subject.position", subject.position, |value| position(
        value
    )),
    key!("subject.latitude_deg", subject.latitude_deg, |value| value
        .coordinate(Axis::Latitude)),
    key!("subject.longitude_deg", subject.longitude_deg, |value| {
        value.coordinate(Axis::Longitude)
    }),
    key!("subject.elevation_m", subject.elevation_m, |value| value
        .metres_within(ELEVATIONS_M)),
    key!("subject.height_m", subject.height_m, |value| value
        .metres_within(HEIGHTS_M)),
    key!("subject.width_m", subject.width_m, |value| value
        .metres_within(WIDTHS_M)),
    key!("subject.reflectance", subject.reflectance, |value| {
        in_other_unit(value, REFLECTANCES, "as a share of 1", |percent| {
            percent / 100.0
        })
    }),
    key!(
        "subject.reflectance_measured",
        subject.reflectance_measured,
        |value| { date(value) }
    ),
    key!("sky.zenith_mag_arcsec2", zenith_mag_arcsec2, |value| value
        .number_within(ZENITH_MAGS)),
    key!("sky.bortle", bortle, |value| value.whole_within(1, 9)),
    key!("sky.extinction_mag", extinction_mag, |value| value
        .number_within(EXTINCTIONS_MAG)),
    key!("sky.towns", towns, |value| value.flag()),
    key!("sky.glow", sky_glow, |value| glow_of_field(value)),
    key!("air.pressure_hpa", pressure_hpa, |value| {
        in_other_unit(value, PRESSURES_HPA, "in hectopascals", |pascals| {
            pascals / 100.0
        })
    }),
    key!("air.temperature_c", temperature_c, |value| {
        in_other_unit(value, TEMPERATURES_C, "in degrees Celsius", |kelvins| {
            kelvins - 273.15
        })
    }),
    key!("climate.clear_nights", clear_nights, |value| clear_nights(
        value
    )),
    key!("climate.file", climate_file, |value| file_name(value)),
    key!("camera.sensor_mm", sensor_mm, |value| value
        .pair("a width and a height in millimetres", |side| side
            .number_within((1.0, 200.0)))),
    key!("camera.pixels", pixels, |value| value
        .pair("pixels across and down", |side| side
            .whole_within(1, 1_000_000))),
    key!("camera.focal_mm", focal_mm, |value| value
        .number_within(FOCAL_LENGTHS_MM)),
    key!("camera.f_number", f_number, |value| value
        .number_within((0.5, 64.0))),
    key!("skyline.file", skyline_file, |value| file_name(value)),
    key!("skyline.subject_file", subject_skyline_file, |value| {
        file_name(value)
    }),
];

/// A key as it is given, ready to be set for many sites.
pub(super) struct GivenKey {
    pub name: String,
    /// What sets it, if it is one of [`KEYS`].
    known: Option<&'static SiteKey>,
}

impl GivenKey {
    /// The key of this name (dotted for tables).
    pub fn of(name: String) -> Self {
        let known = KEYS.iter().find(|known| known.name == name);
        Self { name, known }
    }
}

impl SiteDraft {
    /// Sets the value of `key` (dotted for tables), which is at `place`.
    pub fn set(&mut self, file: &str, key: &str, value: &Value<'_>, place: Place) {
        let given = GivenKey::of(key.to_owned());
        self.set_given(file, &given, value, place);
    }

    /// The same of a key that was looked up.
    pub fn set_given(&mut self, file: &str, given: &GivenKey, value: &Value<'_>, place: Place) {
        let GivenKey { name: key, known } = given;
        if let Some(other) = self.alias_given(key) {
            let error = given_twice(key, &other);
            return self.fault(Fault::at(file, place, Some(key), error));
        }
        match known.map(|known| known.name) {
            Some(name) => {
                self.places.put(Cow::Borrowed(name), place);
                if let Some((table, _)) = name.split_once('.') {
                    self.begin_table(table, place);
                }
            }
            None => {
                self.places.put(Cow::Owned(key.clone()), place);
                if let Some((table, _)) = key.split_once('.') {
                    self.begin_table(table.to_owned(), place);
                }
            }
        }
        let set = match known {
            Some(known) => (known.set)(self, value),
            None => set_other(self, key, value),
        };
        if let Err(error) = set {
            self.fault(Fault::at(file, place, Some(key), error));
        }
    }
}

impl SiteDraft {
    /// The other key of the same rule, if the file gives it too.
    fn alias_given(&self, key: &str) -> Option<String> {
        fn rule_key(key: &str) -> Option<&str> {
            key.strip_prefix("brief.").map(Rule::key_of)
        }
        let rule = rule_key(key)?;
        let mut given = self.places.keys();
        given
            .find(|other| *other != key && rule_key(other) == Some(rule))
            .map(str::to_owned)
    }
}

/// Checks the value of a key that is not in [`KEYS`] and puts it into the draft.
///
/// # Errors
///
/// An unknown key, or a value that the key does not accept.
fn set_other(draft: &mut SiteDraft, key: &str, value: &Value<'_>) -> Result<(), ValueError> {
    if let Some(name) = own_name(key) {
        return draft.own.set(name, value.own_text()?);
    }
    match key.strip_prefix("brief.") {
        Some(rule) if Rule::of_key(rule).is_some() => draft.brief.set(rule, &value.brief_text()?),
        _ => Err(unknown_site_key(key, Layout::Tables)),
    }
}

/// The key of a site that `key` means; `None` if no site has it.
pub(crate) fn site_key(key: &str) -> Option<String> {
    let plain = match key.strip_prefix("brief.") {
        Some(rule) => format!("brief.{}", Rule::key_of(rule)),
        None => key.to_owned(),
    };
    let is_own = own_name(key).is_some();
    site_keys()
        .find(|known| *known == plain)
        .or_else(|| is_own.then_some(plain))
}

/// How many keys a site can have.
pub(crate) fn site_key_count() -> usize {
    site_keys().count()
}

/// Every key that a site can have, as a column name of a table: dotted for
/// tables, those of the brief last.
pub fn site_keys() -> impl Iterator<Item = String> {
    let plain = KEYS.iter().map(|key| key.name.to_owned());
    plain.chain(Brief::keys().map(|rule| format!("brief.{rule}")))
}

/// A position in any notation, in quotes.
fn position(value: &Value<'_>) -> Result<Position, ValueError> {
    let expected = "a position in quotes";
    let text = match value.kind {
        Kind::List(_) => {
            let inner = value.written.trim_matches(['[', ']']).trim();
            let error = ValueError::new(value.written, expected);
            return Err(error.with_hint(
                inner
                    .parse::<Position>()
                    .ok()
                    .map(|_| format!("write \"{inner}\"")),
            ));
        }
        _ => value.text(expected)?,
    };
    text.parse()
}

/// A date, in quotes or as TOML has it.
fn date(value: &Value<'_>) -> Result<NaiveDate, ValueError> {
    let text = match value.kind {
        Kind::Text(text) => text,
        _ => value.written,
    };
    parse_date(text)
}

/// A number from `low` to `high`; for one that would be right in another unit,
/// which `convert` converts, the error says what to write.
fn in_other_unit(
    value: &Value<'_>,
    (low, high): (f64, f64),
    unit: &str,
    convert: impl Fn(f64) -> f64,
) -> Result<f64, ValueError> {
    value.number_within((low, high)).map_err(|error| {
        let meant = number(value.written)
            .filter(|number| *number > high)
            .map(|number| tidy(convert(number)))
            .filter(|meant| (low..=high).contains(meant));
        error.with_hint(meant.map(|meant| format!("{unit}: write {meant}")))
    })
}

/// The longest path of a file beside it, characters: the project's choice, far above
/// any in use.
const LONGEST_PATH: usize = 500;

fn file_name(value: &Value<'_>) -> Result<String, ValueError> {
    let expected = "the path of a CSV file, seen from the site file";
    let path = value.text(expected)?;
    if path.trim().is_empty() {
        return Err(
            ValueError::new(path, expected).with_remedy("give its path, or take the key out")
        );
    }
    if path.contains('\0') {
        return Err(ValueError::new(path, expected).with_remedy("take the character \\0 out"));
    }
    // Messages show a path in full.
    if path.chars().count() > LONGEST_PATH {
        let expected = format!("a path of at most {LONGEST_PATH} characters");
        return Err(ValueError::new(path, expected));
    }
    Ok(path.to_owned())
}
