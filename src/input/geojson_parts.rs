//! The parts of a GeoJSON feature that make a site. Whatever else a file has
//! there is passed over, in memory that is bounded by the length of the text.

use serde::de::{Deserialize, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
use std::fmt::{self, Display, Formatter};

/// A feature or a geometry.
#[derive(serde::Deserialize)]
pub(super) struct Thing {
    #[serde(rename = "type", default, deserialize_with = "text")]
    pub kind: Option<String>,
    #[serde(default)]
    pub geometry: Option<Box<Thing>>,
    #[serde(default)]
    pub properties: Option<Properties>,
    #[serde(default)]
    pub coordinates: Coordinates,
    #[serde(default)]
    pub geometries: Vec<Thing>,
}

/// What is read of the properties of a feature. Names of keys are compared
/// ignoring case; the first of several counts.
#[derive(Default)]
pub(super) struct Properties {
    pub name: Option<String>,
    pub notes: Option<String>,
    pub elevation_m: Option<String>,
}

/// Coordinates, as deep as points have them.
#[derive(Default)]
pub(super) struct Coordinates(Vec<Item>);

enum Item {
    /// A number, if it is one.
    Number(Option<f64>),
    List(Position),
}

/// A list that should be longitude, latitude and perhaps elevation.
#[derive(Clone, Copy, Default)]
pub(super) struct Position {
    /// The first three; `None` where something else stands or nothing.
    numbers: [Option<f64>; 3],
    count: usize,
}

impl Position {
    pub fn number(&self, index: usize) -> Option<f64> {
        self.numbers.get(index).copied().flatten()
    }

    fn push(&mut self, number: Option<f64>) {
        if let Some(place) = self.numbers.get_mut(self.count) {
            *place = number;
        }
        self.count = self.count.saturating_add(1);
    }
}

impl Display for Position {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self.count {
            0 => f.write_str("no coordinates"),
            1 => f.write_str("one coordinate"),
            _ => f.write_str("coordinates that are no numbers"),
        }
    }
}

impl Coordinates {
    /// Those of a point.
    pub fn as_point(&self) -> Position {
        let mut position = Position::default();
        for item in &self.0 {
            position.push(match item {
                Item::Number(number) => *number,
                Item::List(_) => None,
            });
        }
        position
    }

    /// Those of several points.
    pub fn as_points(&self) -> impl Iterator<Item = Position> {
        self.0.iter().map(|item| match item {
            Item::List(position) => *position,
            Item::Number(_) => Position::default(),
        })
    }
}

/// A number, a text, a list of such or anything else, without its depth.
enum Loose {
    Number(f64),
    Text(String),
    List(Position),
    Other,
}

struct LooseVisitor;

impl<'de> Visitor<'de> for LooseVisitor {
    type Value = Loose;

    fn expecting(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_f64<E>(self, value: f64) -> Result<Loose, E> {
        Ok(Loose::Number(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Loose, E> {
        Ok(Loose::Number(value as f64))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Loose, E> {
        Ok(Loose::Number(value as f64))
    }

    fn visit_str<E>(self, value: &str) -> Result<Loose, E> {
        Ok(Loose::Text(value.to_owned()))
    }

    fn visit_bool<E>(self, _: bool) -> Result<Loose, E> {
        Ok(Loose::Other)
    }

    fn visit_unit<E>(self) -> Result<Loose, E> {
        Ok(Loose::Other)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Loose, A::Error> {
        let mut position = Position::default();
        while let Some(item) = list.next_element::<Flat>()? {
            position.push(item.0);
        }
        Ok(Loose::List(position))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Loose, A::Error> {
        while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
        Ok(Loose::Other)
    }
}

impl<'de> Deserialize<'de> for Loose {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(LooseVisitor)
    }
}

/// A number; nothing for any other value, whatever is in it.
struct Flat(Option<f64>);

struct FlatVisitor;

impl<'de> Visitor<'de> for FlatVisitor {
    type Value = Flat;

    fn expecting(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_f64<E>(self, value: f64) -> Result<Flat, E> {
        Ok(Flat(Some(value)))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Flat, E> {
        Ok(Flat(Some(value as f64)))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Flat, E> {
        Ok(Flat(Some(value as f64)))
    }

    fn visit_str<E>(self, _: &str) -> Result<Flat, E> {
        Ok(Flat(None))
    }

    fn visit_bool<E>(self, _: bool) -> Result<Flat, E> {
        Ok(Flat(None))
    }

    fn visit_unit<E>(self) -> Result<Flat, E> {
        Ok(Flat(None))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Flat, A::Error> {
        while list.next_element::<IgnoredAny>()?.is_some() {}
        Ok(Flat(None))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Flat, A::Error> {
        while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
        Ok(Flat(None))
    }
}

impl<'de> Deserialize<'de> for Flat {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(FlatVisitor)
    }
}

impl<'de> Deserialize<'de> for Coordinates {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Items;
        impl<'de> Visitor<'de> for Items {
            type Value = Coordinates;

            fn expecting(&self, f: &mut Formatter<'_>) -> fmt::Result {
                f.write_str("a list of coordinates")
            }

            fn visit_unit<E>(self) -> Result<Coordinates, E> {
                Ok(Coordinates::default())
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Coordinates, A::Error> {
                let mut items = Vec::new();
                while let Some(item) = list.next_element::<Loose>()? {
                    items.push(match item {
                        Loose::Number(number) => Item::Number(Some(number)),
                        Loose::List(position) => Item::List(position),
                        Loose::Text(_) | Loose::Other => Item::Number(None),
                    });
                }
                Ok(Coordinates(items))
            }
        }
        deserializer.deserialize_any(Items)
    }
}

impl<'de> Deserialize<'de> for Properties {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Known;
        impl<'de> Visitor<'de> for Known {
            type Value = Properties;

            fn expecting(&self, f: &mut Formatter<'_>) -> fmt::Result {
                f.write_str("an object of properties")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Properties, A::Error> {
                let mut properties = Properties::default();
                while let Some(key) = map.next_key::<String>()? {
                    let place = match key.to_ascii_lowercase().as_str() {
                        "name" => &mut properties.name,
                        "description" | "desc" => &mut properties.notes,
                        "elevation_m" => &mut properties.elevation_m,
                        _ => {
                            map.next_value::<IgnoredAny>()?;
                            continue;
                        }
                    };
                    let value = said(map.next_value()?);
                    if place.is_none() {
                        *place = value;
                    }
                }
                Ok(properties)
            }
        }
        deserializer.deserialize_any(Known)
    }
}

/// The text of a value that is one, or a number; nothing for an empty one.
fn said(value: Loose) -> Option<String> {
    match value {
        Loose::Text(text) => Some(text).filter(|text| !text.trim().is_empty()),
        Loose::Number(number) => Some(number.to_string()),
        Loose::List(_) | Loose::Other => None,
    }
}

fn text<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<String>, D::Error> {
    Loose::deserialize(deserializer).map(said)
}
