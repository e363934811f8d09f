//! Waypoints from GPX 1.0 and 1.1.

use super::fault::{Fault, Place};
use super::points::{LeftOut, NextPoint, RawPoint, Written};
use super::xml::{Element, Piece, Xml};
use crate::scene::ValueError;
use std::io::Read;

/// The waypoints of a GPX file. Tracks and routes are passed over: their points
/// are a way, and nobody stops at each to take a picture.
pub(super) struct Gpx<R> {
    xml: Xml<R>,
    left_out: LeftOut,
    ended: bool,
}

/// What a point of a map has, while its element is read.
#[derive(Default)]
struct Texts {
    name: Option<String>,
    description: Option<String>,
    comment: Option<String>,
    elevation: Option<Written>,
}

impl<R: Read> Gpx<R> {
    pub fn new(file: &str, reader: R) -> Self {
        Self {
            xml: Xml::new(file, reader),
            left_out: LeftOut::default(),
            ended: false,
        }
    }

    /// The next waypoint, well formed or not; an outer error ends the file.
    fn read(&mut self) -> Result<Option<Result<RawPoint, Box<Fault>>>, Box<Fault>> {
        while let Some((line, piece)) = self.xml.next_piece()? {
            let Piece::Open(element) = piece else {
                continue;
            };
            match (self.xml.depth(), element.name.as_str()) {
                (1, "gpx") => {}
                (1, _) => return Err(self.xml.other_root(line, &element, "gpx", "GPX")),
                (2, "wpt") => return self.waypoint(line, &element).map(Some),
                (2, name) => {
                    match name {
                        "trk" => self.left_out.add(["track", "tracks"]),
                        "rte" => self.left_out.add(["route", "routes"]),
                        _ => {}
                    }
                    self.xml.pass_over()?;
                }
                _ => self.xml.pass_over()?,
            }
        }
        Ok(None)
    }

    fn waypoint(
        &mut self,
        line: usize,
        tag: &Element,
    ) -> Result<Result<RawPoint, Box<Fault>>, Box<Fault>> {
        let mut texts = Texts::default();
        let within = self.xml.depth();
        while let Some((line, piece)) = self.xml.next_piece()? {
            match piece {
                Piece::Close if self.xml.depth() < within => break,
                Piece::Open(element) => {
                    let text = self
                        .xml
                        .text_of(&element, &["name", "desc", "cmt", "ele"])?;
                    let Some(text) = text else { continue };
                    match element.name.as_str() {
                        "name" => texts.name = Some(text),
                        "desc" => texts.description = Some(text),
                        "cmt" => texts.comment = Some(text),
                        _ => texts.elevation = Some(Written { line, text }),
                    }
                }
                _ => {}
            }
        }
        let coordinate = |name: &str| match tag.attribute(name) {
            Some(text) => Ok(Written {
                line,
                text: text.to_owned(),
            }),
            None => {
                let error = ValueError::new("", format!("the attribute {name} of <wpt>"))
                    .with_remedy("give it lat=\"...\" and lon=\"...\", in degrees");
                Err(Fault::boxed(
                    self.xml.file(),
                    Place::line(line),
                    Some(name),
                    error,
                ))
            }
        };
        let place = coordinate("lat").and_then(|lat| Ok((lat, coordinate("lon")?)));
        Ok(place.map(|(latitude, longitude)| RawPoint {
            line,
            of: None,
            name: texts.name,
            notes: texts.description.or(texts.comment),
            latitude,
            longitude,
            elevation: texts.elevation.filter(is_known),
        }))
    }
}

/// Whether an elevation is told: programs write an empty element or NaN for one
/// that they do not know.
pub(super) fn is_known(elevation: &Written) -> bool {
    let text = elevation.text.trim();
    !text.is_empty() && !text.eq_ignore_ascii_case("nan")
}

impl<R: Read> NextPoint for Gpx<R> {
    fn next_point(&mut self) -> Option<Result<RawPoint, Box<Fault>>> {
        if self.ended {
            return None;
        }
        let next = self.read().unwrap_or_else(|fault| {
            self.ended = true;
            Some(Err(fault))
        });
        self.ended |= next.is_none();
        next
    }

    fn left_out(&self) -> &LeftOut {
        &self.left_out
    }
}
