//! Every key of a site, with the check of its value; TOML and CSV both use it.

use super::fault::{Fault, Place};
use super::own_column::{OWN, own_name};
use super::read_glow::glow_of_field;
use super::read_views::VIEW;
use super::share::clear_nights;
use super::site_draft::SiteDraft;
use super::value::{Kind, Value};
use crate::rule::{Brief, Rule, given_twice, typed_rules};
use crate::scene::ValueError;
use crate::scene::Zone;
use crate::scene::limits::{
    DISTANCES_M, ELEVATIONS_M, EXTINCTIONS_MAG, FOCAL_LENGTHS_MM, HEIGHTS_M, PRESSURES_HPA,
    REFLECTANCES, TEMPERATURES_C, WIDTHS_M, ZENITH_MAGS,
};
use crate::scene::name::{check_name, check_notes};
use crate::scene::nearest;
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
struct SiteKey {
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

impl SiteDraft {
    /// Sets the value of `key` (dotted for tables), which is at `place`.
    pub fn set(&mut self, file: &str, key: &str, value: &Value<'_>, place: Place) {
        if let Some(other) = self.alias_given(key) {
            let error = given_twice(key, &other);
            return self.fault(Fault::at(file, place, Some(key), error));
        }
        let known = KEYS.iter().find(|known| known.name == key);
        match known.map(|known| known.name) {
            Some(name) => {
                self.places.put(Cow::Borrowed(name), place);
                if let Some((table, _)) = name.split_once('.') {
                    self.begin_table(table, place);
                }
            }
            None => {
                self.places.put(Cow::Owned(key.to_owned()), place);
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

/// How a file shows which table a key belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Layout {
    /// By the line `[table]` above it.
    Tables,
    /// By the name of its column.
    Columns,
}

/// Every key, and the other words for those of the brief. In a site file the
/// views are tables.
fn known_keys(layout: Layout) -> Vec<String> {
    let aliases = typed_rules().map(|(_, typed)| typed.alias);
    let aliases = aliases.filter(|alias| !alias.is_empty());
    site_keys()
        .filter(|key| layout == Layout::Columns || key != VIEW)
        .chain(aliases.map(|alias| format!("brief.{alias}")))
        .collect()
}

/// The tables that a file can have.
fn tables(layout: Layout) -> impl Iterator<Item = &'static str> {
    let view = (layout == Layout::Tables).then_some(VIEW);
    TABLES.into_iter().chain(view)
}

/// The table and the last part of a key.
fn parts(key: &str) -> (&str, &str) {
    key.split_once('.').unwrap_or(("", key))
}

/// The last parts of the keys in the table of `key`.
fn siblings<'a>(known: &'a [String], key: &str) -> Vec<&'a str> {
    let (table, _) = key.rsplit_once('.').unwrap_or(("", key));
    let of_table = known.iter().map(|name| parts(name));
    of_table
        .filter(|(of, _)| *of == table)
        .map(|(_, last)| last)
        .collect()
}

/// The key or the table that was probably meant by a key that no site has.
pub(super) fn meant_site_key(key: &str, layout: Layout) -> Option<String> {
    let (table, last) = key.rsplit_once('.').unwrap_or(("", key));
    let known = known_keys(layout);
    // The right key in the wrong table is more likely than a misspelt key.
    let elsewhere = known.iter().find(|name| parts(name).1 == last);
    let sibling = nearest(last, siblings(&known, key)).map(|near| match table {
        "" => near.to_owned(),
        table => format!("{table}.{near}"),
    });
    let meant = elsewhere
        .cloned()
        .or(sibling)
        .or_else(|| {
            // Many words are near "own", such as owner.
            let tables = tables(layout).filter(|table| *table != OWN);
            let table = nearest(key, tables).filter(|_| table.is_empty());
            table.map(str::to_owned)
        })
        .or_else(|| nearest(key, known.iter().map(String::as_str)).map(str::to_owned));
    meant.map(|name| site_key(&name).unwrap_or(name))
}

/// The error for a key that no site has, with the one probably meant.
pub(crate) fn unknown_site_key(key: &str, layout: Layout) -> ValueError {
    let error = ValueError::new(key, "a key of a site");
    if key.contains('=') {
        return error.with_remedy("a table of sites is CSV; a site in TOML goes into a .toml file");
    }
    if number(key).is_some() {
        return error.with_remedy("begin the table with a line of the columns' names");
    }
    let (table, _) = key.rsplit_once('.').unwrap_or(("", key));
    let known = known_keys(layout);
    let near = siblings(&known, key);
    match meant_site_key(key, layout) {
        Some(name) => {
            let mut remedy = format!("did you mean {name}?");
            // The line with the table's name was forgotten.
            if let (Layout::Tables, Some((of, _))) = (layout, name.split_once('.'))
                && of != table
            {
                remedy += &format!(" It belongs below a line [{of}]");
            }
            error.with_remedy(remedy)
        }
        None if near.is_empty() => {
            let tables: Vec<&str> = tables(layout).collect();
            error.with_remedy(format!("the tables are {}", tables.join(", ")))
        }
        None => {
            let own = match table {
                "" => format!("; a key of your own goes below a line [{OWN}]"),
                _ => String::new(),
            };
            error.with_remedy(format!("known here: {}{own}", near.join(", ")))
        }
    }
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
