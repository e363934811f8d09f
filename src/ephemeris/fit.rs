//! Geocentric directions over a range of dates, fitted once and cheap to
//! evaluate.

use super::{
    Moment, Observer,
    bounded::Bounded,
    direction::Direction,
    direction_track::DirectionTrack,
    diurnal_circle::DiurnalCircle,
    equator_places::EquatorPlaces,
    fraction_samples::FractionSamples,
    moon_phase::illuminated_fraction,
    sky_table::{MOON, ORIENTATION, SUN, VELOCITY},
    time_scale::tt_minus_utc_seconds,
    track::Track,
};
use crate::parallel;
use glam::{DMat3, DVec3};
use std::sync::Arc;

const DAY_SECONDS: f64 = 86_400.0;
/// Speed of light, kilometres a second (exact).
pub(crate) const LIGHT_KM_S: f64 = 299_792.458;
/// First and last moments that any span may reach, seconds: the nights of
/// 1900-01-01 and 2099-12-31 in every longitude, with a day to spare.
const EARLIEST_SECONDS: f64 = -36_526.0 * DAY_SECONDS;
const LATEST_SECONDS: f64 = 36_527.0 * DAY_SECONDS;

// What is fitted lies within pieces of what it is fitted to: each length
// divides the lengths of its sources.

pub(super) type MoonTrack = Track<11>;
/// The Moon's illuminated fraction; with so many terms an edge set by it moves
/// by less than a twentieth of a second.
type FractionTrack = Track<12, f64>;
const FRACTION_PIECE_DAYS: u32 = MOON.piece_days;
/// A star, a pole: anything that moves as slowly as the Sun, with the fortnightly
/// nutation.
pub(super) type SlowTrack = Track<7>;
const SLOW_PIECE_DAYS: u32 = ORIENTATION.piece_days;
/// The pole of the ecliptic among the stars, which moves by 1.6' in 200 years.
type EclipticTrack = Track<4>;
const ECLIPTIC_PIECE_DAYS: u32 = 36_528;

/// Places of the Sun in each piece, one in two days.
const SUN_STEPS: u32 = 8;
/// How far the Sun can be off the lines between them, radians: what its motion
/// bends in a step and half a day, and its parallax of 4e-5. A test finds 3.7e-4.
const SUN_OFF: f64 = 5e-4;

/// Greatest change of the illuminated fraction, a second: half the greatest
/// rate of the phase angle, 15.4 degrees a day and some parallax of the Sun.
const FRACTION_RATE: f64 = 1.6e-6;
/// Greatest change of that rate, a second squared: for (1 + cos i) / 2 it is at
/// most half of i'^2 and i'' together, and 15.4 degrees a day, squared, is
/// 4.8e-12. A test measures both bounds.
pub(super) const FRACTION_BEND: f64 = 6e-12;

/// Where Sun, Moon and stars stand, seen from the Earth's centre, over a range
/// of dates.
///
/// Built once, read only, shared by every site and thread. Vectors are in the
/// frame of the celestial intermediate pole and origin (CIRS), in which the
/// Earth's rotation is one angle linear in UT1, here set equal to UTC. Light
/// time and annual aberration are included. A moment has the same values, to
/// the last bit, in every span that holds it.
///
/// Range: 1900 to 2100 (the span itself may begin and end a few weeks beyond).
/// Errors against JPL DE421 over 1972 to 2050, 600 instants: see
/// [`super::EPHEMERIS_ERROR`] and `docs/accuracy.md`.
///
/// # Source
///
/// JPL DE423; precession-nutation IAU 2006/2000A; the galactic frame and the
/// ecliptic by the IAU SOFA collection.
#[derive(Debug, Clone)]
pub struct Ephemeris {
    from: Moment,
    to: Moment,
    orientation: SlowTrack,
    velocity: SlowTrack,
    moon: Arc<MoonTrack>,
    sun: SlowTrack,
    sun_places: EquatorPlaces,
    galactic_pole: DirectionTrack,
    galactic_origin: DirectionTrack,
    ecliptic_pole: SlowTrack,
    moon_fraction: FractionTrack,
    fraction_samples: FractionSamples,
}

impl Ephemeris {
    /// The span from `from` to `to`, kept within 1899-12-31 to 2100-01-03.
    ///
    /// For what it costs see `docs/performance.md`.
    pub fn covering(from: Moment, to: Moment) -> Self {
        // One entry into the thread pool for all fits.
        parallel::inside(|| Self::fit(from, to))
    }

    fn fit(from: Moment, to: Moment) -> Self {
        let bounded =
            |m: Moment| Moment::from_seconds(m.seconds().clamp(EARLIEST_SECONDS, LATEST_SECONDS));
        let (from, to) = (bounded(from), bounded(to));
        let (start, end) = (tt(from), tt(to));
        let orientation = ORIENTATION.track(start, end);
        // The Milky Way's great circle is computed without aberration.
        let galactic = |latitude_deg| {
            let direction = Direction::Galactic {
                longitude_deg: 0.0,
                latitude_deg,
            };
            direction.icrs(0.0).unwrap_or_default()
        };
        let (pole, origin) = (galactic(90.0), galactic(0.0));
        let ecliptic = EclipticTrack::fit(ECLIPTIC_PIECE_DAYS, start, end, |t| {
            DVec3::from(sofars::pnp::ltpecl(2000.0 + t / (365.25 * DAY_SECONDS)))
        });
        let ([galactic_pole, galactic_origin, ecliptic_pole], (moon, sun, moon_fraction)) =
            parallel::join(
                || {
                    SlowTrack::fit_each(SLOW_PIECE_DAYS, start, end, |t| {
                        let to_cirs = to_cirs(orientation.at(t));
                        [pole, origin, ecliptic.at(t)].map(|gcrs| to_cirs * gcrs)
                    })
                },
                || {
                    let (moon, sun) = (MOON.track(start, end), SUN.track(start, end));
                    let fraction = FractionTrack::fit(FRACTION_PIECE_DAYS, start, end, |t| {
                        illuminated_fraction(sun.at(t), moon.at(t))
                    });
                    (moon, sun, fraction)
                },
            );
        let fraction_samples = FractionSamples::of(from.seconds(), to.seconds(), |t| {
            moon_fraction.at(tt(Moment::from_seconds(t)))
        });
        Self {
            from,
            to,
            orientation,
            velocity: VELOCITY.track(start, end),
            moon: Arc::new(moon),
            sun_places: EquatorPlaces::of(sun.in_steps(SUN_STEPS), SUN_OFF),
            sun,
            galactic_pole: DirectionTrack::pole(galactic_pole),
            galactic_origin: DirectionTrack::pole(galactic_origin),
            ecliptic_pole,
            moon_fraction,
            fraction_samples,
        }
    }

    /// Its first moment.
    pub fn from(&self) -> Moment {
        self.from
    }

    /// Its last moment.
    pub fn to(&self) -> Moment {
        self.to
    }

    /// Whether `moment` lies in the span.
    pub fn contains(&self, moment: Moment) -> bool {
        self.from <= moment && moment <= self.to
    }

    /// The Moon's centre from the Earth's, kilometres, CIRS, as its light
    /// arrives.
    #[inline]
    pub fn moon_km(&self, moment: Moment) -> DVec3 {
        self.moon.at(tt(moment))
    }

    /// [`Self::moon_km`] and its change in kilometres a second.
    pub fn moon_km_with_rate(&self, moment: Moment) -> (DVec3, DVec3) {
        self.moon.at_with_rate(tt(moment))
    }

    /// The Sun's centre from the Earth's, kilometres, CIRS, apparent.
    #[inline]
    pub fn sun_km(&self, moment: Moment) -> DVec3 {
        self.sun.at(tt(moment))
    }

    /// The Sun's way over the sky of an observer for half a day about a moment.
    #[inline]
    pub(super) fn sun_circle(&self, observer: &Observer, moment: Moment) -> Option<DiurnalCircle> {
        self.sun_places.circle(observer, moment)
    }

    /// The Moon's illuminated fraction with bounds on its change; equal to that
    /// of [`Self::moon_phase`] to 6e-8.
    #[inline]
    pub(crate) fn moon_fraction(&self, t: f64) -> Bounded {
        let (value, rate) = self.moon_fraction.at_with_rate(tt(Moment::from_seconds(t)));
        Bounded {
            value,
            rate,
            slack: 0.0,
            most: 1.0,
            fastest: FRACTION_RATE,
            sharpest: FRACTION_BEND,
        }
    }

    /// The least and the most that [`Self::moon_fraction`] can be between two
    /// times of the span.
    #[inline]
    pub(crate) fn moon_fraction_between(&self, from: f64, to: f64) -> [f64; 2] {
        self.fraction_samples.between(from, to)
    }

    /// `direction` followed through the span, with annual aberration; a copy
    /// for the Moon shares its track.
    pub fn star(&self, direction: Direction) -> DirectionTrack {
        if direction.is_moon() {
            return DirectionTrack::moon(&self.moon);
        }
        let (start, end) = (tt(self.from), tt(self.to));
        let track = SlowTrack::fit(SLOW_PIECE_DAYS, start, end, |t| {
            let direction = direction.icrs(t).unwrap_or_default();
            to_cirs(self.orientation.at(t)) * aberrated(direction, self.velocity.at(t))
        });
        DirectionTrack::star(track)
    }

    /// The north pole of the galactic frame, without aberration: the pole of
    /// the great circle that the Milky Way follows.
    pub fn galactic_pole(&self) -> &DirectionTrack {
        &self.galactic_pole
    }

    /// Galactic longitude and latitude 0, without aberration.
    pub fn galactic_origin(&self) -> &DirectionTrack {
        &self.galactic_origin
    }

    /// The pole of the mean ecliptic of date, CIRS (Vondrak, Capitaine &
    /// Wallace, A&A 534, A22, 2011, by SOFA's `ltpecl`).
    pub fn ecliptic_pole(&self, moment: Moment) -> DVec3 {
        self.ecliptic_pole.at(tt(moment))
    }
}

/// Terrestrial Time, seconds since J2000 on that scale.
#[inline]
pub(crate) fn tt(moment: Moment) -> f64 {
    moment.seconds() + tt_minus_utc_seconds(moment)
}

/// GCRS to CIRS from the celestial intermediate pole x, y and the CIO locator s
/// (IERS Conventions 2010, eqs. 5.6 and 5.10).
fn to_cirs(xys: DVec3) -> DMat3 {
    let (x, y) = (xys.x, xys.y);
    let square = x * x + y * y;
    let a = 1.0 / (1.0 + (1.0 - square).sqrt());
    let (sin, cos) = xys.z.sin_cos();
    let (first, second) = (
        DVec3::new(1.0 - a * x * x, -a * x * y, -x),
        DVec3::new(-a * x * y, 1.0 - a * y * y, -y),
    );
    let rows = DMat3::from_cols(
        first * cos - second * sin,
        first * sin + second * cos,
        DVec3::new(x, y, 1.0 - a * square),
    );
    rows.transpose()
}

/// A direction turned toward the velocity as aberration does; the terms left
/// out, of the order of (v/c)^2, are below 0.001".
fn aberrated(direction: DVec3, velocity_over_c: DVec3) -> DVec3 {
    (direction + velocity_over_c).normalize()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::separation_deg;

    #[test]
    fn the_frame_is_that_of_sofa() {
        for xys in [
            DVec3::new(9.7e-3, -1.2e-4, 3e-7),
            DVec3::new(-9.8e-3, 1.0e-4, -2e-6),
            DVec3::ZERO,
        ] {
            let rows = sofars::pnp::c2ixys(xys.x, xys.y, xys.z);
            let theirs = DMat3::from_cols_array_2d(&rows).transpose();
            let off = to_cirs(xys) - theirs;
            assert!(off.abs_diff_eq(DMat3::ZERO, 1e-15), "{off:?}");
        }
    }

    /// Fifty times 80 days of two centuries.
    #[test]
    fn the_fits_are_what_they_are_fitted_to() {
        let directions = [
            Direction::Core,
            Direction::Icrs {
                right_ascension_deg: 0.0,
                declination_deg: 0.0,
            },
            Direction::Icrs {
                right_ascension_deg: 250.0,
                declination_deg: -90.0,
            },
        ];
        let arcsec = |a, b| 3600.0 * separation_deg(a, b);
        let [mut star, mut pole, mut ecliptic] = [0.0_f64; 3];
        for part in 0..50 {
            let start = EARLIEST_SECONDS + f64::from(part) * 1_461.0 * DAY_SECONDS;
            let (from, days) = (Moment::from_seconds(start), 80);
            let ephemeris =
                Ephemeris::covering(from, from.plus_seconds(f64::from(days) * DAY_SECONDS));
            let tracks = directions.map(|direction| ephemeris.star(direction));
            for step in 0..4 * days {
                let moment = from.plus_seconds(f64::from(step) * DAY_SECONDS / 4.0);
                let t = tt(moment);
                let frame = to_cirs(ephemeris.orientation.at(t));
                for (direction, track) in directions.iter().zip(&tracks) {
                    let icrs = direction.icrs(t).expect("a star");
                    let exact = frame * aberrated(icrs, ephemeris.velocity.at(t));
                    star = star.max(arcsec(track.at(moment), exact));
                }
                let galactic = Direction::Galactic {
                    longitude_deg: 0.0,
                    latitude_deg: 90.0,
                };
                let exact = frame * galactic.icrs(t).expect("a star");
                pole = pole.max(arcsec(ephemeris.galactic_pole.at(moment), exact));
                let years = t / (365.25 * DAY_SECONDS);
                let exact = frame * DVec3::from(sofars::pnp::ltpecl(2000.0 + years));
                ecliptic = ecliptic.max(arcsec(ephemeris.ecliptic_pole(moment), exact));
            }
        }
        // Found below 5e-5: the sources are such polynomials themselves.
        assert!(star < 2e-4, "{star}");
        assert!(pole < 2e-4, "{pole}");
        assert!(ecliptic < 2e-4, "{ecliptic}");
    }

    /// Five times 19 years, an instant every 1.7 hours.
    #[test]
    fn the_fraction_is_that_of_the_phase_and_keeps_its_bounds() {
        let [mut off, mut rate_off, mut fastest, mut sharpest] = [0.0_f64; 4];
        for start in [-100.0, -50.0, -1.0, 26.0, 80.0] {
            let start = start * 365.25 * DAY_SECONDS;
            let ephemeris = Ephemeris::covering(
                Moment::from_seconds(start),
                Moment::from_seconds(start + 19.0 * 365.25 * DAY_SECONDS),
            );
            let h = 2000.0;
            let last = ephemeris.to().seconds() - h;
            let mut t = ephemeris.from().seconds() + h;
            while t < last {
                let exact = |t: f64| {
                    ephemeris
                        .moon_phase(Moment::from_seconds(t))
                        .illuminated_fraction
                };
                let (before, here, after) = (exact(t - h), exact(t), exact(t + h));
                let told = ephemeris.moon_fraction(t);
                off = off.max((told.value - here).abs());
                let rate = (after - before) / (2.0 * h);
                rate_off = rate_off.max((told.rate - rate).abs());
                fastest = fastest.max(rate.abs());
                sharpest = sharpest.max(((after - 2.0 * here + before) / (h * h)).abs());
                t += 6_131.7;
            }
        }
        // Found 4.1e-8 and 7.8e-11, at most 1.336e-6 and 4.195e-12.
        assert!(off < 6e-8, "{off:.1e}");
        // The pieces of the Moon's own track meet within 0.1", 2.4e-7 of
        // fraction, here over 4000 s; the third derivative, of the order of
        // 1e-17, adds h^2 / 6 of it.
        assert!(rate_off < 1e-10, "{rate_off:.1e}");
        assert!(fastest < FRACTION_RATE, "{fastest:.3e}");
        assert!(sharpest < FRACTION_BEND, "{sharpest:.3e}");
    }
}
