//! A direction followed through a span.

use super::{
    Moment, Observer,
    diurnal_circle::{DiurnalCircle, SPARE},
    equator_places::EquatorPlaces,
    fit::{MoonTrack, SlowTrack, tt},
};
use glam::DVec3;
use std::sync::Arc;

/// A direction followed through a span, as seen from the centre of the moving
/// Earth.
#[derive(Debug, Clone)]
pub struct DirectionTrack(Followed);

/// What is followed.
#[derive(Debug, Clone)]
enum Followed {
    /// A direction among the stars, with its places if it may be a target.
    Star(SlowTrack, Option<EquatorPlaces>),
    /// The Moon.
    Moon(Arc<MoonTrack>),
}

impl DirectionTrack {
    /// Of a star, which rises and sets.
    pub(super) fn star(track: SlowTrack) -> Self {
        // From one piece to the next the fortnightly nutation leaves a line by
        // 2e-6 and aberration by 1e-6; diurnal aberration adds as much.
        let places = EquatorPlaces::of(track.in_steps(1), SPARE);
        Self(Followed::Star(track, Some(places)))
    }

    /// Of a pole, or another direction of which altitudes are not asked.
    pub(super) fn pole(track: SlowTrack) -> Self {
        Self(Followed::Star(track, None))
    }

    /// Of the Moon.
    pub(super) fn moon(track: &Arc<MoonTrack>) -> Self {
        Self(Followed::Moon(Arc::clone(track)))
    }

    /// The unit vector at `moment`, CIRS, geocentric.
    #[inline]
    pub fn at(&self, moment: Moment) -> DVec3 {
        match &self.0 {
            Followed::Star(track, _) => track.at(tt(moment)),
            Followed::Moon(track) => track.at(tt(moment)).normalize_or_zero(),
        }
    }

    /// Whether it is the Moon, which moves among the stars and is so near that
    /// its direction depends on the place.
    #[inline]
    pub fn is_moon(&self) -> bool {
        matches!(self.0, Followed::Moon(_))
    }

    /// A star's way over the sky of an observer for half a day about a moment,
    /// if its places tell it.
    #[inline]
    pub(super) fn circle(&self, observer: &Observer, moment: Moment) -> Option<DiurnalCircle> {
        match &self.0 {
            Followed::Star(_, places) => places.as_ref()?.circle(observer, moment),
            Followed::Moon(_) => None,
        }
    }
}
