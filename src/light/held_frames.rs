//! Cameras held and pitched in many ways, of which only a few have to be asked.

use super::{framing::Orientation, held_frame::HeldFrame, seen::Seen};

/// More than any two rooms differ: a frame in landscape tells nothing of one in
/// portrait.
const HELD_OTHERWISE: f64 = 3.0;
/// What rounding may add to the difference of two rooms.
const SPARE: f64 = 1e-12;

/// Frames by rising pitch, those in landscape before those in portrait.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeldFrames {
    frames: Vec<HeldFrame>,
    /// How far the camera is pitched and turned on the way from the first frame
    /// to each, radians. A direction moves in the frame by no more than the
    /// camera does, and so changes its room by no more.
    ways: Vec<f64>,
}

impl HeldFrames {
    pub fn new(frames: Vec<HeldFrame>) -> Self {
        let mut way = 0.0;
        let mut ways = Vec::with_capacity(frames.len());
        for (index, frame) in frames.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|before| frames.get(before));
            way += before.map_or(0.0, |before| apart(before, frame));
            ways.push(way);
        }
        Self { frames, ways }
    }

    pub fn as_slice(&self) -> &[HeldFrame] {
        &self.frames
    }

    /// The most room that any of the frames has for a direction, and at least -1.
    pub fn room(&self, seen: Seen) -> f64 {
        let toward = Toward::new(seen);
        // A frame pitched toward it is a good one, and what is far worse need not
        // be asked.
        let pitched = [Orientation::Landscape, Orientation::Portrait].map(|orientation| {
            let [first, end] = self.range_of(orientation);
            let held = self.frames.get(first..end)?;
            let above = held.partition_point(|frame| frame.sin_pitch < seen.up);
            held.get(above).or(held.last())
        });
        let good = pitched.into_iter().flatten();
        let mut best = good.map(|frame| toward.room_in(frame)).fold(-1.0, f64::max);
        let mut next = 0;
        while let Some(frame) = self.frames.get(next) {
            let room = toward.room_in(frame);
            best = best.max(room);
            next = self.after(next, best - room);
        }
        best
    }

    /// The frames held in one way that have at least so much room for a
    /// direction: in order, in pieces.
    pub fn with_room(
        &self,
        orientation: Orientation,
        seen: Seen,
        least: f64,
    ) -> impl Iterator<Item = &[HeldFrame]> {
        let toward = Toward::new(seen);
        let [mut next, end] = self.range_of(orientation);
        std::iter::from_fn(move || {
            while next < end {
                let first = next;
                let over = toward.room_in(self.frames.get(first)?) - least;
                next = self.after(first, over.abs()).min(end);
                if over >= 0.0 {
                    return self.frames.get(first..next);
                }
            }
            None
        })
    }

    /// The one that is held in one way and level.
    pub fn level(&self, orientation: Orientation) -> Option<&HeldFrame> {
        let [first, end] = self.range_of(orientation);
        let held = self.frames.get(first..end)?;
        let index = held.partition_point(|frame| frame.pitch_deg < 0.0);
        held.get(index).filter(|frame| frame.pitch_deg == 0.0)
    }

    /// The next frame whose room may differ by so much from that of one.
    fn after(&self, index: usize, room: f64) -> usize {
        let (_, after) = self.ways.split_at(self.ways.len().min(index + 1));
        let from = self.ways.get(index).copied().unwrap_or_default();
        let near = after.iter().take_while(|way| **way - from < room - SPARE);
        index + 1 + near.count()
    }

    /// The first of those held in one way, and the end of them.
    fn range_of(&self, orientation: Orientation) -> [usize; 2] {
        let is_landscape = |frame: &HeldFrame| frame.orientation == Orientation::Landscape;
        let middle = self.frames.partition_point(is_landscape);
        match orientation {
            Orientation::Landscape => [0, middle],
            Orientation::Portrait => [middle, self.frames.len()],
        }
    }
}

/// How far a camera is moved from one way of holding it to another, radians.
fn apart(one: &HeldFrame, other: &HeldFrame) -> f64 {
    if one.orientation != other.orientation {
        return HELD_OTHERWISE;
    }
    let pitched_deg = (one.pitch_deg - other.pitch_deg).abs();
    // Either is turned no farther than this from where the other is.
    let turned_deg = (one.turn_deg - other.turn_deg).abs();
    (pitched_deg + turned_deg).to_radians()
}

/// A direction that frames are turned toward.
#[derive(Clone, Copy)]
pub(super) struct Toward {
    ahead: f64,
    aside: f64,
    level: f64,
    up: f64,
}

impl Toward {
    pub fn new(seen: Seen) -> Self {
        Self {
            ahead: seen.ahead,
            aside: seen.right.abs(),
            level: seen.ahead.hypot(seen.right),
            up: seen.up,
        }
    }

    /// How far inside a frame it stands that is turned toward it as far as the
    /// land lets it.
    #[inline]
    pub fn room_in(&self, frame: &HeldFrame) -> f64 {
        frame.room_toward(self.ahead, self.aside, self.level, self.up)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::{
        Optics,
        framing::{Pointing, View},
        held_frame::Edges,
    };
    use proptest::prelude::*;

    /// Frames from the lowest pitch on: steps to the next and turns, degrees.
    fn held(orientation: Orientation, lowest_deg: f64, steps: &[(f64, f64)]) -> Vec<HeldFrame> {
        let optics = Optics::try_from(&crate::scene::Camera::default()).expect("a lens");
        let view = View::new(&optics, orientation, Pointing::new(0.0, 0.0));
        let mut pitch_deg = lowest_deg;
        let frame = |(step_deg, turn_deg): &(f64, f64)| {
            pitch_deg += step_deg;
            let (sin_pitch, cos_pitch) = pitch_deg.to_radians().sin_cos();
            let (sin_turn, cos_turn) = turn_deg.to_radians().sin_cos();
            HeldFrame {
                orientation,
                pitch_deg,
                sin_pitch,
                cos_pitch,
                turn_deg: *turn_deg,
                sin_turn,
                cos_turn,
                kept: Edges::of(&view),
                whole: Edges::of(&view),
            }
        };
        steps.iter().map(frame).collect()
    }

    fn steps() -> impl Strategy<Value = Vec<(f64, f64)>> {
        let turns = prop_oneof![Just(50.0), 49.0..51.0_f64, 0.0..180.0_f64];
        proptest::collection::vec((0.05..2.5_f64, turns), 0..60)
    }

    proptest! {
        #[test]
        fn frames_that_are_not_asked_change_nothing(
            wide in steps(),
            high in steps(),
            lowest_deg in -85.0..-10.0_f64,
            (offset_deg, altitude_deg) in (-180.0..180.0_f64, -90.0..90.0_f64),
            least in -0.5..0.5_f64,
        ) {
            let mut all = held(Orientation::Landscape, lowest_deg, &wide);
            all.extend(held(Orientation::Portrait, lowest_deg, &high));
            let frames = HeldFrames::new(all.clone());
            let seen = Seen::new(offset_deg, altitude_deg);
            let toward = Toward::new(seen);
            let rooms = all.iter().map(|frame| toward.room_in(frame));
            prop_assert_eq!(frames.room(seen), rooms.fold(-1.0, f64::max));
            for orientation in [Orientation::Landscape, Orientation::Portrait] {
                let found = frames.with_room(orientation, seen, least).flatten();
                let of_way = all.iter().filter(|frame| frame.orientation == orientation);
                let with_room = of_way.filter(|frame| toward.room_in(frame) >= least);
                prop_assert!(found.eq(with_room));
            }
        }
    }
}
