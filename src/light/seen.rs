//! A direction as a camera on the land sees it.

/// A direction relative to the land's bearing: a unit vector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Level and along the bearing.
    pub ahead: f64,
    /// Level and to the right.
    pub right: f64,
    /// Upward.
    pub up: f64,
}

impl Seen {
    /// From the azimuth relative to the bearing (right positive) and the
    /// apparent altitude, degrees.
    pub fn new(offset_deg: f64, altitude_deg: f64) -> Self {
        let (right, ahead) = offset_deg.to_radians().sin_cos();
        let (up, level) = altitude_deg.to_radians().sin_cos();
        Self {
            ahead: level * ahead,
            right: level * right,
            up,
        }
    }

    /// The azimuth relative to the bearing, degrees, right positive.
    pub fn offset_deg(&self) -> f64 {
        self.right.atan2(self.ahead).to_degrees()
    }

    /// The apparent altitude, degrees.
    pub fn altitude_deg(&self) -> f64 {
        self.up.atan2(self.ahead.hypot(self.right)).to_degrees()
    }
}
