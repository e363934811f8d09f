//! A camera held and pitched in one way.

use super::{
    framing::{Orientation, View},
    seen::Seen,
};

/// Half the Moon's disc at its largest, 33.5 arcminutes across, as a sine. A
/// frame that keeps the Moon out keeps all of it out.
///
/// # Source
/// The radius over the distance at the nearest perigees: 1737.4 km, 356 400 km.
const HALF_DISC: f64 = 1_737.4 / 356_400.0;

/// The edges of a view: sine and cosine of half the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Edges {
    side: (f64, f64),
    upper: (f64, f64),
}

impl Edges {
    pub fn of(view: &View) -> Self {
        let half = |field_deg: f64| (0.5 * field_deg).to_radians().sin_cos();
        Self {
            side: half(view.width_deg()),
            upper: half(view.height_deg()),
        }
    }

    /// The sine of the angle from a direction to the nearest edge, negative
    /// outside.
    #[inline]
    fn room(&self, depth: f64, aside: f64, rise: f64) -> f64 {
        let to_side = self.side.0 * depth - self.side.1 * aside;
        let to_edge = self.upper.0 * depth - self.upper.1 * rise.abs();
        to_side.min(to_edge)
    }
}

/// A camera held and pitched in one way, so that it holds the land at some
/// bearings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HeldFrame {
    pub orientation: Orientation,
    pub pitch_deg: f64,
    pub sin_pitch: f64,
    pub cos_pitch: f64,
    /// How far it can turn to either side and still hold the land.
    pub turn_deg: f64,
    pub sin_turn: f64,
    pub cos_turn: f64,
    /// The edges within which land and target are kept.
    pub kept: Edges,
    /// Those of the whole frame.
    pub whole: Edges,
}

impl HeldFrame {
    /// How far inside its edges a direction stands if the frame is turned this
    /// far (sine and cosine), as the sine of the angle to the nearest edge;
    /// negative outside.
    #[inline]
    pub fn room(&self, turn: (f64, f64), seen: Seen) -> f64 {
        let (ahead, right) = turned(turn, seen);
        self.room_at(ahead, right.abs(), seen.up)
    }

    /// The same if it is turned toward the direction, as far as the land lets
    /// it.
    #[inline]
    pub fn room_toward(&self, ahead: f64, aside: f64, level: f64, up: f64) -> f64 {
        let turned = aside * self.cos_turn - ahead * self.sin_turn;
        if turned <= 0.0 {
            return self.room_at(level, 0.0, up);
        }
        let ahead = ahead * self.cos_turn + aside * self.sin_turn;
        self.room_at(ahead, turned, up)
    }

    /// How well another direction suits the frame: if it is wanted its room,
    /// else how far a disc of the Moon's size about it is out of the whole
    /// frame. Negative where it does not.
    #[inline]
    pub fn suits(&self, turn: (f64, f64), other: Seen, wanted: bool) -> f64 {
        if wanted {
            return self.room(turn, other);
        }
        let (ahead, right) = turned(turn, other);
        let (depth, rise) = self.along_axis(ahead, other.up);
        -self.whole.room(depth, right.abs(), rise) - HALF_DISC
    }

    #[inline]
    fn room_at(&self, ahead: f64, aside: f64, up: f64) -> f64 {
        let (depth, rise) = self.along_axis(ahead, up);
        self.kept.room(depth, aside, rise)
    }

    /// Along the axis, and across it upward.
    #[inline]
    fn along_axis(&self, ahead: f64, up: f64) -> (f64, f64) {
        (
            ahead * self.cos_pitch + up * self.sin_pitch,
            up * self.cos_pitch - ahead * self.sin_pitch,
        )
    }
}

/// A direction ahead and to the right of a camera that is turned this far.
#[inline]
fn turned((sin_turn, cos_turn): (f64, f64), seen: Seen) -> (f64, f64) {
    (
        seen.ahead * cos_turn + seen.right * sin_turn,
        seen.right * cos_turn - seen.ahead * sin_turn,
    )
}
