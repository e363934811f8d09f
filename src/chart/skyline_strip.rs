//! A stretch of the land round a place: where it is on the sheet.

use super::placer::Room;
use crate::{ephemeris::Horizontal, rule::offset_deg};

/// A stretch of azimuth, with altitude upward.
#[derive(Debug, Clone, Copy)]
pub struct Strip {
    /// True bearing of its middle, degrees.
    pub middle_deg: f64,
    /// Azimuth to either side, degrees.
    pub half_deg: f64,
    /// Highest altitude, degrees.
    pub top_deg: f64,
    /// Left edge, pixels.
    pub left: f64,
    /// Upper edge, pixels.
    pub top: f64,
    /// Pixels per degree of azimuth.
    pub across: f64,
    /// Pixels per degree of altitude.
    pub up: f64,
    /// Land drawn below the level horizon, pixels.
    pub depth: f64,
}

impl Strip {
    /// Its rectangle.
    pub fn room(&self) -> Room {
        Room {
            left: self.left,
            top: self.top,
            width: 2.0 * self.half_deg * self.across,
            height: self.top_deg * self.up + self.depth,
        }
    }

    /// Its lower edge, pixels.
    pub fn bottom(&self) -> f64 {
        let room = self.room();
        room.top + room.height
    }

    /// Degrees right of its middle.
    pub fn offset_deg(&self, azimuth_deg: f64) -> f64 {
        offset_deg(azimuth_deg, self.middle_deg)
    }

    /// Whether it shows an azimuth.
    pub fn reaches(&self, azimuth_deg: f64) -> bool {
        self.offset_deg(azimuth_deg).abs() <= self.half_deg
    }

    /// The point of an offset from its middle and an apparent altitude, degrees.
    pub fn at_offset(&self, offset_deg: f64, altitude_deg: f64) -> (f64, f64) {
        (
            self.left + (offset_deg + self.half_deg) * self.across,
            self.top + (self.top_deg - altitude_deg) * self.up,
        )
    }

    /// The point of a direction.
    pub fn at(&self, azimuth_deg: f64, altitude_deg: f64) -> (f64, f64) {
        self.at_offset(self.offset_deg(azimuth_deg), altitude_deg)
    }

    /// The point of a body.
    pub fn of(&self, place: &Horizontal) -> (f64, f64) {
        self.at(place.azimuth_deg, place.apparent_altitude_deg)
    }

    /// A line of azimuths and altitudes in pieces, cut where it leaves the strip
    /// by more than a step and at the seam opposite its middle.
    pub fn pieces(&self, directions: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
        let near = |offset: &f64| offset.abs() <= self.half_deg;
        let offsets: Vec<f64> = directions
            .iter()
            .map(|(azimuth, _)| self.offset_deg(*azimuth))
            .collect();
        let mut pieces: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
        let mut before: Option<f64> = None;
        for (index, (offset, (_, altitude))) in offsets.iter().zip(directions).enumerate() {
            // The neighbours of what is inside belong to it: the line is cut at
            // the edge.
            let beside = [index.checked_sub(1), index.checked_add(1)]
                .into_iter()
                .flatten()
                .filter_map(|index| offsets.get(index))
                .any(|other| near(other) && (other - offset).abs() < 180.0);
            let jumps = before.is_some_and(|before| (offset - before).abs() > 180.0);
            if jumps || !(near(offset) || beside) {
                pieces.push(Vec::new());
            }
            before = Some(*offset);
            if (near(offset) || beside)
                && let Some(piece) = pieces.last_mut()
            {
                piece.push(self.at_offset(*offset, *altitude));
            }
        }
        pieces.retain(|piece| piece.len() > 1);
        pieces
    }
}
