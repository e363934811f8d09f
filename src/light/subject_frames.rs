//! Frames that hold the subject, and which of them hold a target as well.

use super::{
    framing::{Orientation, Pointing, View},
    held_frame::{Edges, HeldFrame},
    held_frames::{HeldFrames, Toward},
    optics::Optics,
    panorama::Panorama,
    panorama_reach::{panorama_of, panorama_reach},
    seen::Seen,
};
use smallvec::SmallVec;

/// Share of the frame's side that stays free at each edge. Common practice, no
/// source.
pub const EDGE_SHARE: f64 = 0.05;
/// Rows and columns beyond which nobody turns a panorama at night: the sky
/// turns while it is taken. Common practice, no source.
pub const MOST_ROWS: u32 = 4;
/// See [`MOST_ROWS`].
pub const MOST_COLUMNS: u32 = 12;
/// Beyond this angle to the side something stands behind the camera, degrees.
pub const BEHIND_DEG: f64 = 90.0;

/// Steps in which a camera is pitched, degrees: the largest of which a frame's
/// height has at least [`STEPS_A_FRAME`].
const STEPS_DEG: [f64; 7] = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];
const STEPS_A_FRAME: f64 = 24.0;
/// How far outside its frame a direction still counts as on the edge, radians:
/// edges in time are found to a tenth of a second.
const ON_EDGE: f64 = 1e-5;

/// What the frame must hold of the land: its bearing is where turns are counted
/// from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LandInFrame {
    /// Apparent altitude of its foot, degrees.
    pub foot_deg: f64,
    /// Apparent altitude of its top, degrees.
    pub top_deg: f64,
    /// Half its width, degrees of azimuth.
    pub half_width_deg: f64,
}

impl LandInFrame {
    /// A point of the level horizon: where no subject is known.
    pub const LEVEL: Self = Self {
        foot_deg: 0.0,
        top_deg: 0.0,
        half_width_deg: 0.0,
    };

    fn corners(&self) -> [Seen; 4] {
        let half_deg = self.half_width_deg;
        [
            Seen::new(-half_deg, self.foot_deg),
            Seen::new(-half_deg, self.top_deg),
            Seen::new(half_deg, self.foot_deg),
            Seen::new(half_deg, self.top_deg),
        ]
    }
}

/// How a camera is held and pointed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Landscape or portrait.
    pub orientation: Orientation,
    /// Turn of its axis from the land's bearing, degrees, right positive.
    pub turn_deg: f64,
    /// Pitch of its axis, degrees, upward positive.
    pub pitch_deg: f64,
}

/// Why no single frame holds land and target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[non_exhaustive]
pub enum NotOneFrame {
    /// The target stands behind the camera.
    Behind,
    /// The land alone is larger than the frame.
    LandTooLarge,
    /// The target stands too high above the land's foot.
    TooHigh,
    /// The target stands too far to the side.
    TooFarAside,
}

/// Frames that hold the land, one for each pitch in steps and each way of
/// holding the camera.
#[derive(Debug, Clone, PartialEq)]
pub struct SubjectFrames {
    optics: Optics,
    land: LandInFrame,
    /// Where the land's corners are seen.
    corners: [Seen; 4],
    step_deg: f64,
    frames: HeldFrames,
    panorama_reach_deg: Option<(f64, f64)>,
}

impl SubjectFrames {
    /// The frames of a lens that hold some land with [`EDGE_SHARE`] to spare.
    ///
    /// A pitch has whole steps: of a degree for a frame 24 degrees high, finer
    /// for a narrower one.
    pub fn new(optics: &Optics, land: LandInFrame) -> Self {
        let orientations = [Orientation::Landscape, Orientation::Portrait];
        let whole =
            |orientation, pitch_deg| View::new(optics, orientation, Pointing::new(0.0, pitch_deg));
        let view = |orientation, pitch_deg| whole(orientation, pitch_deg).within_edges(EDGE_SHARE);
        let lowest_field_deg = orientations
            .map(|orientation| view(orientation, 0.0).height_deg())
            .into_iter()
            .fold(180.0, f64::min);
        let step_deg = STEPS_DEG
            .into_iter()
            .find(|step| step * STEPS_A_FRAME <= lowest_field_deg)
            .unwrap_or(0.01);
        let mut frames = Vec::new();
        for orientation in orientations {
            let level = view(orientation, 0.0);
            let half_deg = 0.5 * level.height_deg();
            let first = ((land.top_deg - half_deg).max(-90.0) / step_deg).ceil() as i32;
            let last = ((land.foot_deg + half_deg).min(90.0) / step_deg).floor() as i32;
            let (kept, whole) = (Edges::of(&level), Edges::of(&whole(orientation, 0.0)));
            for pitch in first..=last {
                // Divided, so that a pitch prints as it is set.
                let pitch_deg = f64::from(pitch) / (1.0 / step_deg).round();
                let reach = view(orientation, pitch_deg)
                    .half_width_between_deg(land.foot_deg, land.top_deg)
                    .map(|half_deg| half_deg - land.half_width_deg);
                let Some(turn_deg) = reach.filter(|turn_deg| *turn_deg >= 0.0) else {
                    continue;
                };
                let (sin_pitch, cos_pitch) = pitch_deg.to_radians().sin_cos();
                let (sin_turn, cos_turn) = turn_deg.to_radians().sin_cos();
                frames.push(HeldFrame {
                    orientation,
                    pitch_deg,
                    sin_pitch,
                    cos_pitch,
                    turn_deg,
                    sin_turn,
                    cos_turn,
                    kept,
                    whole,
                });
            }
        }
        Self {
            optics: *optics,
            land,
            corners: land.corners(),
            step_deg,
            frames: HeldFrames::new(frames),
            panorama_reach_deg: panorama_reach(optics, &land),
        }
    }

    /// The lens.
    pub fn optics(&self) -> &Optics {
        &self.optics
    }

    /// The land that they hold.
    pub fn land(&self) -> &LandInFrame {
        &self.land
    }

    /// How far inside the best of the frames a direction stands, as the sine of
    /// the angle to the nearest edge, the free share left out; negative where
    /// no frame holds it. A direction that moves by some angle changes it by no
    /// more than that angle in radians.
    ///
    /// Each frame is turned toward the direction as far as the land lets it.
    pub fn room(&self, seen: Seen) -> f64 {
        self.frames.room(seen)
    }

    /// The same for frames that also hold another direction (`wanted`), or that
    /// keep it out, with a disc of the Moon's size about it and of the free
    /// share at the edges too.
    ///
    /// The frames are turned in steps of the same size as their pitch, and toward
    /// the direction.
    pub fn room_with(&self, seen: Seen, other: Seen, wanted: bool) -> f64 {
        let toward = Toward::new(seen);
        let mut best = -1.0;
        for frame in self.frames.as_slice() {
            let most = toward.room_in(frame);
            if most <= best {
                continue;
            }
            for turn in self.turns(frame, seen) {
                if best >= most {
                    break;
                }
                let turn = turn.to_radians().sin_cos();
                let suits = frame.suits(turn, other, wanted);
                best = frame.room(turn, seen).min(suits).max(best);
            }
        }
        best
    }

    /// The turns of a frame that hold the land: first toward a direction, then in
    /// steps, the ends included.
    fn turns(&self, frame: &HeldFrame, seen: Seen) -> impl Iterator<Item = f64> + use<> {
        let (turn_deg, step_deg) = (frame.turn_deg, self.step_deg);
        let steps = (turn_deg / step_deg).floor() as i32;
        let inner = (-steps..=steps).map(move |step| f64::from(step) * step_deg);
        let toward = seen.offset_deg().clamp(-turn_deg, turn_deg);
        std::iter::once(toward)
            .chain(inner)
            .chain([-turn_deg, turn_deg])
    }

    /// The frame that leaves most room around land and target, with the target
    /// on one side of the middle of those that hold both; `None` where none
    /// does.
    ///
    /// Of each way of holding the camera the middle pitch counts, and the
    /// middle bearing. Where another direction must be in the frame or out of
    /// it, every pitch and bearing is tried.
    pub fn best(&self, seen: Seen, other: Option<(Seen, bool)>) -> Option<Aim> {
        let candidates = match other {
            None => self.middles(seen),
            Some((other, wanted)) => self.all_with(seen, other, wanted),
        };
        candidates
            .into_iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(aim, _)| aim)
    }

    fn middles(&self, seen: Seen) -> Vec<(Aim, f64)> {
        [Orientation::Landscape, Orientation::Portrait]
            .into_iter()
            .filter_map(|orientation| {
                let holding = self.frames.with_room(orientation, seen, -ON_EDGE);
                let holding: SmallVec<[&[HeldFrame]; 16]> = holding.collect();
                let count: usize = holding.iter().map(|piece| piece.len()).sum();
                let middle = count.checked_sub(1)? / 2;
                let frame = holding.into_iter().flatten().nth(middle)?;
                let turn_deg = self.middle_turn_deg(frame, seen);
                Some(self.aimed(frame, turn_deg, seen))
            })
            .collect()
    }

    /// The middle of the turns at which a frame holds land and target.
    fn middle_turn_deg(&self, frame: &HeldFrame, seen: Seen) -> f64 {
        let view = View::new(
            &self.optics,
            frame.orientation,
            Pointing::new(0.0, frame.pitch_deg),
        );
        let altitude_deg = seen.altitude_deg();
        let half_deg = view
            .within_edges(EDGE_SHARE)
            .half_width_between_deg(altitude_deg, altitude_deg)
            .unwrap_or(0.0);
        let offset_deg = seen.offset_deg();
        let low = (offset_deg - half_deg).max(-frame.turn_deg);
        let high = (offset_deg + half_deg).min(frame.turn_deg);
        (0.5 * (low + high)).clamp(-frame.turn_deg, frame.turn_deg)
    }

    fn all_with(&self, seen: Seen, other: Seen, wanted: bool) -> Vec<(Aim, f64)> {
        let mut all = Vec::new();
        for frame in self.frames.as_slice() {
            for turn_deg in self.turns(frame, seen) {
                let turn = turn_deg.to_radians().sin_cos();
                let suits = frame.suits(turn, other, wanted);
                if suits >= -ON_EDGE && frame.room(turn, seen) >= -ON_EDGE {
                    all.push(self.aimed(frame, turn_deg, seen));
                }
            }
        }
        all
    }

    /// A frame as it is aimed, with the least room around land and target.
    fn aimed(&self, frame: &HeldFrame, turn_deg: f64, seen: Seen) -> (Aim, f64) {
        let aim = Aim {
            orientation: frame.orientation,
            turn_deg,
            pitch_deg: frame.pitch_deg,
        };
        let turn = turn_deg.to_radians().sin_cos();
        let points = self.corners.into_iter().chain([seen]);
        let rooms = points.map(|point| frame.room(turn, point));
        (aim, rooms.fold(1.0, f64::min))
    }

    /// Whether a camera held this way holds land and target at some pitch.
    pub fn holds(&self, orientation: Orientation, seen: Seen) -> bool {
        self.has_room(orientation, seen, 0.0)
    }

    /// Whether one of the frames held this way has so much [`room`](Self::room).
    pub(crate) fn has_room(&self, orientation: Orientation, seen: Seen, least: f64) -> bool {
        let mut with_room = self.frames.with_room(orientation, seen, least);
        with_room.next().is_some()
    }

    /// Whether a level one does.
    pub fn holds_level(&self, orientation: Orientation, seen: Seen) -> bool {
        let level = self.frames.level(orientation);
        level.is_some_and(|frame| Toward::new(seen).room_in(frame) >= 0.0)
    }

    /// Why no single frame holds land and target; asked only where none does.
    pub fn why_not(&self, seen: Seen) -> NotOneFrame {
        if seen.offset_deg().abs() > BEHIND_DEG {
            NotOneFrame::Behind
        } else if self.frames.as_slice().is_empty() {
            NotOneFrame::LandTooLarge
        } else if self.room(Seen::new(0.0, seen.altitude_deg())) < 0.0 {
            NotOneFrame::TooHigh
        } else {
            NotOneFrame::TooFarAside
        }
    }

    /// Width and height of a level frame, degrees.
    pub fn field_deg(&self, orientation: Orientation) -> (f64, f64) {
        let view = View::new(&self.optics, orientation, Pointing::new(0.0, 0.0));
        (view.width_deg(), view.height_deg())
    }

    /// Whether a panorama holds land and target: within its reach.
    pub fn panorama_reaches(&self, seen: Seen) -> bool {
        self.panorama_reach_deg.is_some_and(|(side_deg, top_deg)| {
            seen.offset_deg().abs() <= side_deg && seen.altitude_deg() <= top_deg
        })
    }

    /// How far to the side and how high a target may stand so that at most
    /// [`MOST_COLUMNS`] by [`MOST_ROWS`] frames hold it with the land, and
    /// nothing stands behind the camera: degrees of azimuth from the land's
    /// bearing, and apparent altitude. `None` where not even the land fits.
    ///
    /// The height is what goes straight above the land; the side is for a target
    /// as high as that.
    pub fn panorama_reach_deg(&self) -> Option<(f64, f64)> {
        self.panorama_reach_deg
    }

    /// The panorama with the fewest frames that holds land and target, and the
    /// offset of its centre from the land's bearing, degrees; `None` beyond
    /// [`MOST_COLUMNS`] by [`MOST_ROWS`].
    pub fn panorama(&self, seen: Seen) -> Option<(f64, Panorama)> {
        panorama_of(
            &self.optics,
            &self.land,
            seen.offset_deg(),
            seen.altitude_deg(),
        )
    }
}
