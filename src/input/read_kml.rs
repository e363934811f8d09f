//! Placemarks from KML 2.

use super::fault::{Fault, Place};
use super::points::{LeftOut, NextPoint, RawPoint, Written};
use super::read_gpx::is_known;
use super::xml::{Piece, Xml};
use crate::scene::ValueError;
use std::collections::VecDeque;
use std::io::Read;

/// The most points of one placemark; a file may have any number of placemarks.
const MOST_POINTS: usize = 10_000;

/// The placemarks of a KML file that are points, in folders of any depth.
/// Nothing that a link in it names is fetched.
pub(super) struct Kml<R> {
    xml: Xml<R>,
    left_out: LeftOut,
    /// Points of the last placemark that are not given yet.
    ready: VecDeque<Result<RawPoint, Box<Fault>>>,
    ended: bool,
}

/// A placemark while its element is read.
#[derive(Default)]
struct Placemark {
    name: Option<String>,
    description: Option<String>,
    points: Vec<Point>,
}

/// A point of a placemark.
struct Point {
    line: usize,
    coordinates: Option<Written>,
    /// Whether its height counts from the ground and so is no elevation.
    above_ground: bool,
}

impl<R: Read> Kml<R> {
    pub fn new(file: &str, reader: R) -> Self {
        Self {
            xml: Xml::new(file, reader),
            left_out: LeftOut::default(),
            ready: VecDeque::new(),
            ended: false,
        }
    }

    /// Makes the next points ready; none are at the end of the file.
    fn read(&mut self) -> Result<(), Box<Fault>> {
        while self.ready.is_empty() {
            let Some((line, piece)) = self.xml.next_piece()? else {
                return Ok(());
            };
            let Piece::Open(element) = piece else {
                continue;
            };
            match (self.xml.depth(), element.name.as_str()) {
                (1, "kml") => {}
                (1, _) => return Err(self.xml.other_root(line, &element, "kml", "KML")),
                (_, "Placemark") => self.placemark()?,
                (_, "Folder" | "Document" | "Create" | "Update") => {}
                (_, name) => {
                    match name {
                        "NetworkLink" => self.left_out.add(["link", "links"]),
                        "GroundOverlay" | "PhotoOverlay" | "ScreenOverlay" => {
                            self.left_out.add(["picture", "pictures"]);
                        }
                        _ => {}
                    }
                    self.xml.pass_over()?;
                }
            }
        }
        Ok(())
    }

    fn placemark(&mut self) -> Result<(), Box<Fault>> {
        let mut placemark = Placemark::default();
        let within = self.xml.depth();
        while let Some((line, piece)) = self.xml.next_piece()? {
            match piece {
                Piece::Close if self.xml.depth() < within => break,
                Piece::Open(element) => match element.name.as_str() {
                    // Its parts are read as those of the placemark.
                    "MultiGeometry" => {}
                    "Point" => {
                        let point = self.point(line)?;
                        placemark.points.push(point);
                        if placemark.points.len() > MOST_POINTS {
                            let found = format!("more than {MOST_POINTS} points");
                            let error = ValueError::new(&found, "the points of one placemark")
                                .with_remedy("give each place a <Placemark> of its own");
                            return Err(self.fault(line, "Placemark", error));
                        }
                    }
                    "LineString" | "LinearRing" => self.pass("line", "lines")?,
                    "Polygon" => self.pass("area", "areas")?,
                    "Track" | "MultiTrack" => self.pass("track", "tracks")?,
                    "Model" => self.pass("model", "models")?,
                    _ => {
                        let text = self.xml.text_of(&element, &["name", "description"])?;
                        match (element.name.as_str(), text) {
                            ("name", Some(text)) => placemark.name = Some(text),
                            (_, Some(text)) => placemark.description = Some(text),
                            (_, None) => {}
                        }
                    }
                },
                _ => {}
            }
        }
        let several = placemark.points.len() > 1;
        for (index, point) in placemark.points.iter().enumerate() {
            let name = match (&placemark.name, several) {
                (Some(name), true) => Some(format!("{name} ({})", index + 1)),
                (name, _) => name.clone(),
            };
            let read = self.raw(point).map(|raw| RawPoint {
                name,
                notes: placemark.description.clone(),
                ..raw
            });
            self.ready.push_back(read);
        }
        Ok(())
    }

    fn pass(&mut self, one: &'static str, many: &'static str) -> Result<(), Box<Fault>> {
        self.left_out.add([one, many]);
        self.xml.pass_over()
    }

    fn point(&mut self, line: usize) -> Result<Point, Box<Fault>> {
        let mut point = Point {
            line,
            coordinates: None,
            above_ground: false,
        };
        let within = self.xml.depth();
        while let Some((line, piece)) = self.xml.next_piece()? {
            match piece {
                Piece::Close if self.xml.depth() < within => break,
                Piece::Open(element) => {
                    let text = self
                        .xml
                        .text_of(&element, &["coordinates", "altitudeMode"])?;
                    match (element.name.as_str(), text) {
                        ("coordinates", Some(text)) => {
                            point.coordinates = Some(Written { line, text });
                        }
                        (_, Some(text)) => {
                            // KML 2.2, section 9.20; from the sea floor in an extension.
                            let modes = ["relativeToGround", "relativeToSeaFloor"];
                            point.above_ground = modes.contains(&text.trim());
                        }
                        (_, None) => {}
                    }
                }
                _ => {}
            }
        }
        Ok(point)
    }

    fn fault(&self, line: usize, key: &str, error: ValueError) -> Box<Fault> {
        Fault::boxed(self.xml.file(), Place::line(line), Some(key), error)
    }

    /// The point of `longitude,latitude` or `longitude,latitude,altitude`.
    fn raw(&self, point: &Point) -> Result<RawPoint, Box<Fault>> {
        let none = Written {
            line: point.line,
            text: String::new(),
        };
        let Written { line, text } = point.coordinates.as_ref().unwrap_or(&none);
        let part = |text: &str| Written {
            line: *line,
            text: text.trim().to_owned(),
        };
        let parts: Vec<&str> = text.trim().split(',').take(4).collect();
        let (longitude, latitude, elevation) = match parts.as_slice() {
            [longitude, latitude] => (longitude, latitude, None),
            [longitude, latitude, altitude] => (longitude, latitude, Some(part(altitude))),
            _ => {
                let error = ValueError::new(text.trim(), "longitude,latitude[,altitude]")
                    .with_remedy("put a comma between the numbers and a point before decimals");
                return Err(self.fault(*line, "coordinates", error));
            }
        };
        Ok(RawPoint {
            line: point.line,
            of: None,
            name: None,
            notes: None,
            latitude: part(latitude),
            longitude: part(longitude),
            elevation: elevation.filter(|altitude| !point.above_ground && is_known(altitude)),
        })
    }
}

impl<R: Read> NextPoint for Kml<R> {
    fn next_point(&mut self) -> Option<Result<RawPoint, Box<Fault>>> {
        if self.ready.is_empty() && !self.ended {
            if let Err(fault) = self.read() {
                self.ended = true;
                return Some(Err(fault));
            }
            self.ended = self.ready.is_empty();
        }
        self.ready.pop_front()
    }

    fn left_out(&self) -> &LeftOut {
        &self.left_out
    }
}
