//! How fast bodies rise and sink from an instant on.

use crate::ephemeris::{
    Horizontal, LightGeometry, MOON_STRAY, NEAR_ZENITH_DEG, SKY_RATE, STAR_STRAY, SUN_STRAY,
    TWILIGHT_FROM_DEG, sine_off, turning,
};

/// The sky's rate, degrees a second.
pub(super) const TURN: f64 = SKY_RATE * 180.0 / std::f64::consts::PI;
/// Greatest change of apparent altitude with the true one below
/// [`LOW_AIR_DEG`], where refraction comes up from nothing.
const LOW_AIR_FACTOR: f64 = 1.35 / 1.07;
const LOW_AIR_DEG: f64 = -1.0;

/// The fastest that an altitude rises and sinks within some time, degrees a
/// second, 0 or more.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pace {
    pub up: f64,
    pub down: f64,
}

impl Pace {
    /// At any time, for a body that has so much motion of its own.
    fn at_most(cos_latitude: f64, stray: f64) -> Self {
        let fastest = TURN * (cos_latitude + stray);
        Self {
            up: fastest,
            down: fastest,
        }
    }

    /// Within `seconds` of an instant. A body rises by the sky's rate, times the
    /// cosine of the latitude, times the sine of its azimuth; and the azimuth
    /// turns the faster, the nearer the body is to the zenith or the nadir.
    fn within(seconds: f64, body: &Moving, (sin_latitude, cos_latitude): (f64, f64)) -> Self {
        let any = Self::at_most(cos_latitude, body.stray);
        let steepest_deg = body.altitude_deg.abs() + any.up * seconds;
        let Some((sin, cos)) = body.azimuth.filter(|_| steepest_deg < NEAR_ZENITH_DEG) else {
            return any;
        };
        let turning = turning((sin_latitude, cos_latitude), steepest_deg, body.stray);
        let turned = SKY_RATE * turning * seconds;
        let off = sine_off(sin, cos, turned);
        let pace = |sine: f64| TURN * (cos_latitude * sine.min(1.0) + body.stray).max(0.0);
        Self {
            up: pace(sin + off),
            down: pace(off - sin),
        }
    }

    /// The same of an apparent altitude that may come this low.
    fn in_air(self, lowest_deg: f64) -> Self {
        let factor = match lowest_deg < LOW_AIR_DEG {
            true => LOW_AIR_FACTOR,
            false => 1.0,
        };
        Self {
            up: factor * self.up,
            down: factor * self.down,
        }
    }

    /// The faster of the two.
    pub fn either(self) -> f64 {
        self.up.max(self.down)
    }
}

/// A body as its pace depends on it.
struct Moving {
    altitude_deg: f64,
    /// Sine and cosine, if it is known.
    azimuth: Option<(f64, f64)>,
    stray: f64,
}

impl Moving {
    fn of(place: &Horizontal) -> Self {
        Self {
            altitude_deg: place.altitude_deg,
            azimuth: Some(place.azimuth_deg.to_radians().sin_cos()),
            stray: match place.distance_km {
                Some(_) => MOON_STRAY,
                None => STAR_STRAY,
            },
        }
    }
}

/// The sky at an instant, as paces depend on it.
pub(crate) struct MovingSky {
    sun: Moving,
    moon: Moving,
    target: Moving,
    /// Sine and cosine of the latitude.
    latitude: (f64, f64),
}

impl MovingSky {
    pub fn of(sky: &LightGeometry, latitude: (f64, f64)) -> Self {
        let seen = sky.sun_altitude_deg > TWILIGHT_FROM_DEG;
        Self {
            sun: Moving {
                altitude_deg: sky.sun_altitude_deg,
                azimuth: seen.then(|| sky.sun_azimuth_deg.to_radians().sin_cos()),
                stray: SUN_STRAY,
            },
            moon: Moving::of(&sky.moon),
            target: Moving::of(&sky.target),
            latitude,
        }
    }

    /// The paces of all bodies within `seconds`.
    pub fn paces(&self, seconds: f64) -> Paces {
        let of = |body: &Moving| Pace::within(seconds, body, self.latitude);
        let in_air = |body: &Moving| {
            let pace = of(body);
            pace.in_air(body.altitude_deg - pace.down * seconds)
        };
        Paces {
            seconds,
            sun: of(&self.sun),
            moon: in_air(&self.moon),
            target: in_air(&self.target),
        }
    }
}

/// The paces of all bodies over some time from an instant on.
pub(crate) struct Paces {
    pub seconds: f64,
    pub sun: Pace,
    pub moon: Pace,
    pub target: Pace,
}

impl Paces {
    /// How far a pace goes, degrees.
    pub fn reach_deg(&self, pace: f64) -> f64 {
        pace * self.seconds
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::{Direction, Ephemeris, Moment, Observer, Refraction, Sky};

    #[test]
    fn nothing_rises_or_sinks_faster_than_its_pace() {
        let start = Moment::from_seconds(26.2 * 365.25 * 86_400.0);
        let ephemeris = Ephemeris::covering(start, start.plus_seconds(70.0 * 86_400.0));
        let star = ephemeris.star(Direction::Core);
        let air = Refraction::new(1010.0, 10.0);
        let (mut told, mut slow) = (0, 0);
        for latitude in [-90.0, -61.0, -29.0, -1.0, 12.0, 47.0, 69.0] {
            let observer = Observer::new(latitude, 17.0, 0.0);
            let sky = Sky::new(&ephemeris, &star, observer, air);
            for step in 0..600 {
                let from = start.plus_seconds(f64::from(step) * 9_371.0);
                let before = sky.light_geometry(from);
                let moving = MovingSky::of(&before, observer.latitude_sin_cos());
                for seconds in [3600.0, 1200.0, 300.0, 20.0] {
                    let paces = moving.paces(seconds);
                    let fastest = Pace::at_most(1.0, MOON_STRAY).up;
                    let mut last = before;
                    for part in 1..=4 {
                        let passed = 0.25 * seconds * f64::from(part);
                        let now = sky.light_geometry(from.plus_seconds(passed));
                        let apparent = |sky: &LightGeometry| {
                            [
                                (sky.sun_altitude_deg, paces.sun),
                                (sky.moon.apparent_altitude_deg, paces.moon),
                                (sky.target.apparent_altitude_deg, paces.target),
                            ]
                        };
                        for ((now, pace), (last, _)) in apparent(&now).iter().zip(apparent(&last)) {
                            let rate = (now - last) / (0.25 * seconds);
                            let holds = -pace.down - 1e-9 <= rate && rate <= pace.up + 1e-9;
                            assert!(holds, "{latitude} {step} {seconds} {rate:e} {pace:?}");
                            told += 1;
                            slow += i32::from(pace.up < 0.3 * fastest);
                        }
                        last = now;
                    }
                }
            }
        }
        // They must say something: many bodies surely do not rise.
        assert!(slow * 3 > told, "{slow} of {told}");
    }
}
