//! The sky over one place.

use super::{
    DirectionTrack, Ephemeris, Moment, MoonPhase, Observer, Refraction, SKY_RATE, altitude_deg,
    arch::{Arch, tilt_deg, top_of_arch},
    azimuth_deg,
    bounded::Bounded,
    diurnal_circle::Body,
    events::MOON_RADIUS_KM,
    observer::LocalFrame,
    separation_deg,
};
use glam::DVec3;

/// How far a body's motion in the local frame may differ from the plain
/// rotation of the sky, as a share of [`SKY_RATE`]: precession, nutation and
/// aberration for a star; a degree a day for the Sun; for the Moon its motion
/// of up to 15.4 degrees a day seen from at most 6 400 km nearer (0.044) and
/// the observer's own turning seen from the Moon (0.018).
pub(crate) const STAR_STRAY: f64 = 1e-5;
pub(crate) const SUN_STRAY: f64 = 0.003;
pub(crate) const MOON_STRAY: f64 = 0.07;

/// The sky over one place, with one target.
#[derive(Debug, Clone, Copy)]
pub struct Sky<'a> {
    ephemeris: &'a Ephemeris,
    target: &'a DirectionTrack,
    observer: Observer,
    refraction: Refraction,
}

/// A body's position as seen from a place.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Horizontal {
    /// Geometric (airless) altitude of the centre, degrees.
    pub altitude_deg: f64,
    /// Altitude of the centre with refraction, degrees.
    pub apparent_altitude_deg: f64,
    /// Azimuth from true north through east, degrees, 0 to 360.
    pub azimuth_deg: f64,
    /// Distance from the place, kilometres; `None` for stars.
    pub distance_km: Option<f64>,
}

impl Horizontal {
    /// Apparent radius of the Moon's disc at this distance, degrees, without
    /// refraction; 0 for a star. Mean radius: see [`super::Event`].
    pub fn moon_radius_deg(&self) -> f64 {
        self.distance_km.map_or(0.0, |distance_km| {
            (MOON_RADIUS_KM / distance_km)
                .clamp(0.0, 1.0)
                .asin()
                .to_degrees()
        })
    }
}

/// The sky at one instant and place.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct SkyState {
    /// When.
    pub moment: Moment,
    /// The Sun.
    pub sun: Horizontal,
    /// The Moon.
    pub moon: Horizontal,
    /// The target.
    pub target: Horizontal,
    /// Declination of the target on that date, geocentric, degrees.
    pub target_declination_deg: f64,
    /// The Moon's phase, geocentric.
    pub phase: MoonPhase,
    /// Angle between the Moon and the target as seen from the place, degrees,
    /// geometric; 0 where the target is the Moon.
    pub moon_target_separation_deg: f64,
    /// The Milky Way's arch; `None` where it lies along the whole horizon.
    pub arch: Option<Arch>,
    /// Angle between the Milky Way's plane and the horizon at the target,
    /// degrees, 0 to 90; `None` where it has no direction there, and where the
    /// target is the Moon.
    pub tilt_deg: Option<f64>,
}

impl SkyState {
    /// Apparent radius of the Moon's disc as seen from the place, degrees.
    pub fn moon_radius_deg(&self) -> f64 {
        self.moon.moon_radius_deg()
    }
}

/// A direction in the local frame, with bounds on the change of its components.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LocalVector {
    pub east: Bounded,
    pub north: Bounded,
    pub up: Bounded,
}

impl LocalVector {
    /// The direction alone.
    pub fn values(&self) -> DVec3 {
        DVec3::new(self.east.value, self.north.value, self.up.value)
    }
}

impl<'a> Sky<'a> {
    /// The sky over `observer` for the span of `ephemeris`, with `target`, which
    /// comes from that ephemeris.
    pub fn new(
        ephemeris: &'a Ephemeris,
        target: &'a DirectionTrack,
        observer: Observer,
        refraction: Refraction,
    ) -> Self {
        Self {
            ephemeris,
            target,
            observer,
            refraction,
        }
    }

    /// The ephemeris behind it.
    pub fn ephemeris(&self) -> &'a Ephemeris {
        self.ephemeris
    }

    /// The observer below it.
    pub fn observer(&self) -> &Observer {
        &self.observer
    }

    /// The air's refraction.
    pub fn refraction(&self) -> Refraction {
        self.refraction
    }

    /// Whether the target is the Moon.
    pub fn target_is_moon(&self) -> bool {
        self.target.is_moon()
    }

    /// The same sky, air and target over another place.
    #[must_use]
    pub fn seen_from(&self, observer: Observer) -> Self {
        Self { observer, ..*self }
    }

    /// Positions of everything at `moment`.
    pub fn at(&self, moment: Moment) -> SkyState {
        let frame = self.observer.frame_at(moment);
        let sun = frame.body(self.ephemeris.sun_km(moment));
        let moon = frame.body(self.ephemeris.moon_km(moment));
        let target_cirs = self.target.at(moment);
        let is_moon = self.target.is_moon();
        let target = if is_moon {
            moon
        } else {
            frame.star(target_cirs)
        };
        let pole = frame.star(self.ephemeris.galactic_pole().at(moment));
        let origin = frame.star(self.ephemeris.galactic_origin().at(moment));
        SkyState {
            moment,
            sun: self.place(sun, true),
            moon: self.place(moon, true),
            target: self.place(target, is_moon),
            target_declination_deg: target_cirs
                .z
                .atan2(target_cirs.x.hypot(target_cirs.y))
                .to_degrees(),
            phase: self.ephemeris.moon_phase(moment),
            moon_target_separation_deg: separation_deg(moon, target),
            arch: Arch::from_pole(pole, origin),
            tilt_deg: tilt_deg(target, pole).filter(|_| !is_moon),
        }
    }

    /// Azimuth of the target, degrees, as [`Self::at`] has it.
    pub(crate) fn target_azimuth_deg(&self, moment: Moment) -> f64 {
        let frame = self.observer.frame_at(moment);
        azimuth_deg(if self.target.is_moon() {
            frame.body(self.ephemeris.moon_km(moment))
        } else {
            frame.star(self.target.at(moment))
        })
    }

    /// Azimuth of the arch's highest point, degrees; see [`SkyState::arch`].
    pub(crate) fn arch_azimuth_deg(&self, moment: Moment) -> Option<f64> {
        let frame = self.observer.frame_at(moment);
        top_of_arch(frame.star(self.ephemeris.galactic_pole().at(moment))).map(azimuth_deg)
    }

    fn place(&self, local: DVec3, near: bool) -> Horizontal {
        let distance_km = near.then(|| local.length());
        self.placed(local, altitude_deg(local), distance_km)
    }

    pub(super) fn placed(
        &self,
        local: DVec3,
        altitude_deg: f64,
        distance_km: Option<f64>,
    ) -> Horizontal {
        Horizontal {
            altitude_deg,
            apparent_altitude_deg: self.refraction.apparent_deg(altitude_deg),
            azimuth_deg: azimuth_deg(local),
            distance_km,
        }
    }

    /// The sine of a body's altitude.
    pub(crate) fn up_of(&self, body: Body, t: f64) -> Bounded {
        let (u, stray) = self.direction_of(body, t);
        self.up(u, stray)
    }

    /// The target's own track.
    pub(super) fn target_track(&self) -> &'a DirectionTrack {
        self.target
    }

    /// A body's unit vector, east, north and up, and its stray.
    #[inline]
    pub(crate) fn direction_of(&self, body: Body, t: f64) -> (DVec3, f64) {
        let moment = Moment::from_seconds(t);
        let frame = self.observer.frame_at(moment);
        let near = |km, stray| {
            let local = frame.body(km);
            (local / local.length(), stray)
        };
        match body {
            Body::Sun => near(self.ephemeris.sun_km(moment), SUN_STRAY),
            Body::Target if !self.target.is_moon() => {
                (frame.star(self.target.at(moment)), STAR_STRAY)
            }
            Body::Moon | Body::Target => near(self.ephemeris.moon_km(moment), MOON_STRAY),
        }
    }

    pub(crate) fn sun_up(&self, t: f64) -> Bounded {
        self.up_of(Body::Sun, t)
    }

    pub(crate) fn moon(&self, t: f64) -> (LocalVector, f64) {
        let moment = Moment::from_seconds(t);
        let local = self
            .observer
            .frame_at(moment)
            .body(self.ephemeris.moon_km(moment));
        let distance_km = local.length();
        (self.moving(local / distance_km, MOON_STRAY), distance_km)
    }

    pub(crate) fn target(&self, t: f64) -> LocalVector {
        if self.target.is_moon() {
            return self.moon(t).0;
        }
        let (u, stray) = self.direction_of(Body::Target, t);
        self.moving(u, stray)
    }

    /// The galactic pole that makes the arch.
    pub(crate) fn galactic_pole(&self, t: f64) -> LocalVector {
        let moment = Moment::from_seconds(t);
        let frame: LocalFrame<'_> = self.observer.frame_at(moment);
        self.moving(
            frame.star(self.ephemeris.galactic_pole().at(moment)),
            STAR_STRAY,
        )
    }

    fn up(&self, u: DVec3, stray: f64) -> Bounded {
        // The sky turns about the pole k with -SKY_RATE: du/dt = -rate k x u.
        let c = self.observer.cos_latitude;
        let reach = c + stray;
        Bounded {
            value: u.z,
            rate: SKY_RATE * c * u.x,
            slack: SKY_RATE * stray,
            most: 1.0,
            fastest: SKY_RATE * reach,
            sharpest: SKY_RATE * SKY_RATE * (c + 2.0 * stray),
        }
    }

    fn moving(&self, u: DVec3, stray: f64) -> LocalVector {
        let (s, c) = (self.observer.sin_latitude, self.observer.cos_latitude);
        let component = |value: f64, rate: f64| Bounded {
            value,
            rate: SKY_RATE * rate,
            slack: SKY_RATE * stray,
            most: 1.0,
            fastest: SKY_RATE * (1.0 + stray),
            sharpest: SKY_RATE * SKY_RATE * (1.0 + 2.0 * stray),
        };
        LocalVector {
            east: component(u.x, s * u.y - c * u.z),
            north: component(u.y, -s * u.x),
            up: self.up(u, stray),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::Direction;

    #[test]
    fn stated_rates_and_bounds_hold_for_every_body() {
        let start = Moment::from_seconds(26.2 * 365.25 * 86_400.0);
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(60.0 * 86_400.0));
        let core = ephemeris.star(Direction::Core);
        let moon_track = ephemeris.star(Direction::Moon);
        for latitude in [-90.0, -66.0, -31.0, 0.0, 23.0, 51.0, 89.0] {
            let observer = Observer::new(latitude, 17.0, 1500.0);
            let sky = Sky::new(&ephemeris, &core, observer, Refraction::NONE);
            let of_moon = Sky::new(&ephemeris, &moon_track, observer, Refraction::NONE);
            for step in 0..3000 {
                let t = start.seconds() + 10.0 + f64::from(step) * 1700.0;
                let h = 2.0;
                let vectors = |t: f64| {
                    let (moon, target, pole) =
                        (of_moon.target(t), sky.target(t), sky.galactic_pole(t));
                    [
                        sky.sun_up(t),
                        moon.east,
                        moon.north,
                        moon.up,
                        target.east,
                        target.north,
                        target.up,
                        pole.north,
                    ]
                };
                let (before, now, after) = (vectors(t - h), vectors(t), vectors(t + h));
                for ((b, n), a) in before.iter().zip(&now).zip(&after) {
                    let rate = (a.value - b.value) / (2.0 * h);
                    let bend = (a.value - 2.0 * n.value + b.value) / (h * h);
                    // 1e-9 and 1e-11: the rounding of the differences.
                    assert!(
                        (rate - n.rate).abs() <= n.slack + 1e-9,
                        "{latitude} {n:?} {rate}"
                    );
                    assert!(rate.abs() <= n.fastest + 1e-9);
                    assert!(bend.abs() <= n.sharpest + 1e-10, "{latitude} {n:?} {bend}");
                }
            }
        }
    }
}
