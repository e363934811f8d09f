//! Where the posts of a raster stand.

use super::utm::UtmZone;

/// The coordinates in which a raster's posts are evenly spaced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Frame {
    /// Longitude and latitude, degrees.
    Degrees,
    /// Easting and northing, metres.
    Utm(UtmZone),
}

/// Metres in a degree of latitude, near enough to compare resolutions (the
/// metre's first definition: 10,000 km from pole to equator).
pub(super) const METRES_PER_DEGREE: f64 = 111_111.0;

/// A grid of posts: that of row 0 and column 0 stands at `origin`, rows and
/// columns are `step` apart; both are x then y in the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lattice {
    pub frame: Frame,
    pub origin: [f64; 2],
    pub step: [f64; 2],
}

impl Lattice {
    /// Row and column, in posts, of a place in degrees. The longitude is taken
    /// as it is on a grid in degrees: see [`Lattice::turned`].
    pub fn posts(&self, latitude_deg: f64, longitude_deg: f64) -> [f64; 2] {
        let [x, y] = match self.frame {
            Frame::Degrees => [longitude_deg, latitude_deg],
            Frame::Utm(zone) => zone.from_degrees(latitude_deg, longitude_deg),
        };
        [
            (y - self.origin[1]) / self.step[1],
            (x - self.origin[0]) / self.step[0],
        ]
    }

    /// Latitude and longitude, degrees, of a row and a column.
    pub fn degrees(&self, [row, column]: [f64; 2]) -> [f64; 2] {
        let x = self.origin[0] + column * self.step[0];
        let y = self.origin[1] + row * self.step[1];
        match self.frame {
            Frame::Degrees => [y, x],
            Frame::Utm(zone) => zone.to_degrees(x, y),
        }
    }

    /// Distance between its rows, metres.
    pub fn resolution_m(&self) -> f64 {
        let step = self.step[1].abs();
        match self.frame {
            Frame::Degrees => step * METRES_PER_DEGREE,
            Frame::Utm(_) => step,
        }
    }

    /// The same moved east by so many degrees, if it is in degrees.
    pub fn turned(mut self, by_deg: f64) -> Self {
        if self.frame == Frame::Degrees {
            self.origin[0] += by_deg;
        }
        self
    }

    /// Where row 0 and column 0 of `other` stand on this one, in whole posts;
    /// `None` unless every post of the `extent` (rows and columns) of `other`
    /// falls on a post of this one.
    pub fn offset_of(&self, other: &Self, extent: [f64; 2]) -> Option<[i64; 2]> {
        if self.frame != other.frame {
            return None;
        }
        let mut offset = [0; 2];
        for (place, axis) in offset.iter_mut().zip([1, 0]) {
            let apart = (other.origin[axis] - self.origin[axis]) / self.step[axis];
            let grown = (other.step[axis] / self.step[axis] - 1.0).abs() * extent[1 - axis];
            let off = (apart - apart.round()).abs();
            // A hundredth of a cell is less than the digits of most headers.
            if !(off < 0.01 && grown < 0.01 && apart.abs() < 1e9) {
                return None;
            }
            *place = apart.round() as i64;
        }
        Some(offset)
    }
}

/// A rectangle in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounds {
    pub south_deg: f64,
    pub north_deg: f64,
    pub west_deg: f64,
    /// May exceed 180.
    pub east_deg: f64,
}

impl Bounds {
    /// What a lattice of so many rows and columns covers, with half a degree's
    /// hundredth around it.
    pub fn of(lattice: &Lattice, [rows, columns]: [f64; 2]) -> Self {
        const MARGIN_DEG: f64 = 0.005;
        // The edges of a grid in metres are curves in degrees.
        const ALONG: [f64; 9] = [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];
        let mut bounds = Self {
            south_deg: f64::INFINITY,
            north_deg: f64::NEG_INFINITY,
            west_deg: f64::INFINITY,
            east_deg: f64::NEG_INFINITY,
        };
        for v in ALONG {
            for u in ALONG {
                let [latitude, longitude] = lattice.degrees([v * rows, u * columns]);
                bounds.south_deg = bounds.south_deg.min(latitude - MARGIN_DEG);
                bounds.north_deg = bounds.north_deg.max(latitude + MARGIN_DEG);
                bounds.west_deg = bounds.west_deg.min(longitude - MARGIN_DEG);
                bounds.east_deg = bounds.east_deg.max(longitude + MARGIN_DEG);
            }
        }
        bounds
    }

    /// What lies within a distance of a place, a little too much.
    pub fn around(latitude_deg: f64, longitude_deg: f64, reach_m: f64) -> Self {
        // The shortest degree of latitude has 110,574 m, at the equator.
        let high = reach_m / 110_000.0;
        let farthest = (latitude_deg.abs() + high).min(89.0).to_radians();
        let wide = high / farthest.cos();
        Self {
            south_deg: latitude_deg - high,
            north_deg: latitude_deg + high,
            west_deg: longitude_deg - wide,
            east_deg: longitude_deg + wide,
        }
    }

    /// The whole turns, in degrees east, by which `self` must move to have
    /// something in common with `other`.
    pub fn turns_onto(self, other: Self) -> impl Iterator<Item = f64> {
        [0.0, 360.0, -360.0, 720.0, -720.0]
            .into_iter()
            .filter(move |turn| {
                self.south_deg <= other.north_deg
                    && other.south_deg <= self.north_deg
                    && self.west_deg + turn <= other.east_deg
                    && other.west_deg <= self.east_deg + turn
            })
    }
}
