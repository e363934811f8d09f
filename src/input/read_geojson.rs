//! Points from GeoJSON (RFC 7946), feature by feature.

use super::fault::{Fault, Place};
use super::geojson_parts::{Position, Thing};
use super::json_scan::Scanner;
use super::points::{LeftOut, NextPoint, RawPoint, Written};
use crate::scene::ValueError;
use std::collections::VecDeque;
use std::io::Read;

/// Members of the outermost object that matter if it is no list of features.
const OWN: [&str; 5] = [
    "type",
    "geometry",
    "properties",
    "coordinates",
    "geometries",
];

/// The points of a GeoJSON file.
pub(super) struct GeoJson<R> {
    scanner: Scanner<R>,
    at: At,
    /// What [`OWN`] names, as it is written.
    own: Vec<u8>,
    features: usize,
    left_out: LeftOut,
    /// Points of the last feature that are not given yet.
    ready: VecDeque<Result<RawPoint, Box<Fault>>>,
}

/// Where the reader is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum At {
    Start,
    /// Before a member of the outermost object.
    Member,
    /// Behind one.
    MemberEnd,
    /// Before a feature.
    Feature,
    End,
}

impl<R: Read> GeoJson<R> {
    pub fn new(file: &str, reader: R) -> Self {
        Self {
            scanner: Scanner::new(file, reader),
            at: At::Start,
            own: Vec::new(),
            features: 0,
            left_out: LeftOut::default(),
            ready: VecDeque::new(),
        }
    }

    /// Makes the next points ready; none are at the end of the file.
    fn read(&mut self) -> Result<(), Box<Fault>> {
        while self.ready.is_empty() && self.at != At::End {
            self.at = self.step()?;
        }
        Ok(())
    }

    /// Reads what comes next; the result is where the reader then is.
    fn step(&mut self) -> Result<At, Box<Fault>> {
        match self.at {
            At::Start => {
                self.scanner.begin()?;
                self.scanner.sign(b"{", "{, the beginning of GeoJSON")?;
                // An empty object has no point.
                Ok(match self.scanner.takes(b'}')? {
                    true => At::End,
                    false => At::Member,
                })
            }
            At::Member => {
                let key = self.scanner.key()?;
                self.scanner.sign(b":", "a : behind the name")?;
                if key == "features" && self.scanner.takes(b'[')? {
                    return Ok(match self.scanner.takes(b']')? {
                        true => At::MemberEnd,
                        false => At::Feature,
                    });
                }
                match OWN.iter().find(|own| **own == key) {
                    Some(own) => {
                        let (_, value) = self.scanner.value()?;
                        let parted = if self.own.is_empty() { "" } else { "," };
                        self.own.extend(format!("{parted}\"{own}\":").bytes());
                        self.own.extend(value);
                    }
                    None => self.scanner.pass_over()?,
                }
                Ok(At::MemberEnd)
            }
            At::MemberEnd => {
                if self.scanner.sign(b",}", "a comma or }")? == b',' {
                    return Ok(At::Member);
                }
                self.scanner.end()?;
                if self.features == 0 && !self.own.is_empty() {
                    let own = [b"{", self.own.as_slice(), b"}"].concat();
                    self.thing(1, &own)?;
                }
                Ok(At::End)
            }
            At::Feature => {
                let (line, feature) = self.scanner.value()?;
                self.features = self.features.saturating_add(1);
                self.thing(line, &feature)?;
                Ok(match self.scanner.sign(b",]", "a comma or ]")? {
                    b',' => At::Feature,
                    _ => At::MemberEnd,
                })
            }
            At::End => Ok(At::End),
        }
    }

    /// Reads a feature or a geometry, which begins on this line.
    fn thing(&mut self, line: usize, json: &[u8]) -> Result<(), Box<Fault>> {
        let thing: Thing =
            serde_json::from_slice(json).map_err(|error| self.scanner.slip(line, json, &error))?;
        let mut positions = Vec::new();
        let geometry = match (&thing.geometry, thing.kind.as_deref()) {
            (Some(geometry), _) => geometry,
            (None, Some("Feature")) => {
                self.left_out
                    .add(["feature without a place", "features without a place"]);
                return Ok(());
            }
            (None, _) => &thing,
        };
        self.collect(geometry, &mut positions);
        let properties = thing.properties.as_ref();
        let name = properties.and_then(|properties| properties.name.clone());
        let notes = properties.and_then(|properties| properties.notes.clone());
        let elevation = properties.and_then(|properties| properties.elevation_m.clone());
        let several = positions.len() > 1;
        for (index, position) in positions.into_iter().enumerate() {
            let name = match (&name, several) {
                (Some(name), true) => Some(format!("{name} ({})", index + 1)),
                (name, _) => name.clone(),
            };
            let read = self.raw(line, position).map(|raw| RawPoint {
                name,
                notes: notes.clone(),
                elevation: raw
                    .elevation
                    .or(elevation.clone().map(|text| Written { line, text })),
                ..raw
            });
            self.ready.push_back(read);
        }
        Ok(())
    }

    /// The positions of the points in a geometry.
    fn collect(&mut self, geometry: &Thing, into: &mut Vec<Position>) {
        match geometry.kind.as_deref() {
            Some("Point") => into.push(geometry.coordinates.as_point()),
            Some("MultiPoint") => into.extend(geometry.coordinates.as_points()),
            Some("GeometryCollection") => {
                for part in &geometry.geometries {
                    self.collect(part, into);
                }
            }
            Some("LineString" | "MultiLineString") => self.left_out.add(["line", "lines"]),
            Some("Polygon" | "MultiPolygon") => self.left_out.add(["area", "areas"]),
            // A list of no features is no geometry either.
            Some("FeatureCollection") => {}
            _ => self
                .left_out
                .add(["object of another kind", "objects of another kind"]),
        }
    }

    fn raw(&self, line: usize, position: Position) -> Result<RawPoint, Box<Fault>> {
        let of = (self.features > 0).then(|| format!("feature {}", self.features));
        let number = |value: f64| Written {
            line,
            text: value.to_string(),
        };
        let [Some(longitude), Some(latitude)] = [position.number(0), position.number(1)] else {
            let error = ValueError::new(&position.to_string(), "[longitude, latitude] in degrees")
                .with_remedy("give two or three numbers, longitude first");
            let key = match of {
                Some(of) => format!("{of}: coordinates"),
                None => "coordinates".to_owned(),
            };
            let place = Place::line(line);
            return Err(Fault::boxed(self.scanner.file(), place, Some(&key), error));
        };
        Ok(RawPoint {
            line,
            of,
            name: None,
            notes: None,
            latitude: number(latitude),
            longitude: number(longitude),
            elevation: position.number(2).map(number),
        })
    }
}

impl<R: Read> NextPoint for GeoJson<R> {
    fn next_point(&mut self) -> Option<Result<RawPoint, Box<Fault>>> {
        if let Err(fault) = self.read() {
            self.at = At::End;
            return Some(Err(fault));
        }
        self.ready.pop_front()
    }

    fn left_out(&self) -> &LeftOut {
        &self.left_out
    }
}
