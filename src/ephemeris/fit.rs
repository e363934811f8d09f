//! Geocentric directions over a range of dates, fitted once and cheap to
//! evaluate.

use super::{
    Moment, bounded::Bounded, direction::Direction, moon_phase::illuminated_fraction,
    time_scale::tt_minus_utc_seconds, track::Track,
};
use crate::parallel;
use glam::{DMat3, DVec3};
use std::sync::Arc;

/// Julian date of J2000.
const J2000_JD: f64 = 2_451_545.0;
const DAY_SECONDS: f64 = 86_400.0;
/// Astronomical unit, kilometres (IAU 2012 resolution B2).
pub(crate) const AU_KM: f64 = 149_597_870.7;
/// Speed of light, kilometres a second (exact).
pub(crate) const LIGHT_KM_S: f64 = 299_792.458;
/// Days from J2000 within which `epv00` is valid, less a small margin.
const EPV00_DAYS: f64 = 36_524.999;
/// Gaussian gravitational constant, au^1.5 a day (IAU 1976; its square is the
/// Sun's mass parameter).
const GAUSSIAN_CONSTANT: f64 = 0.017_202_098_95;
/// First and last moments that any span may reach, seconds: the nights of
/// 1900-01-01 and 2099-12-31 in every longitude, with a day to spare.
const EARLIEST_SECONDS: f64 = -36_526.0 * DAY_SECONDS;
const LATEST_SECONDS: f64 = 36_527.0 * DAY_SECONDS;
/// Mass of the Earth over that of the Moon (DE421 and DE430 agree to these
/// digits: Folkner et al., IPN Progress Report 42-196, 2014).
const EARTH_OVER_MOON_MASS: f64 = 81.300_57;

/// Moon: terms and length of a piece. Length and terms of every track are the
/// longest and fewest that hold the fit within 0.1" (a test measures it).
type MoonTrack = Track<12>;
const MOON_PIECE_DAYS: f64 = 12.0;
/// The Moon's illuminated fraction, on the Moon's pieces; with so many terms an
/// edge set by it moves by less than a twentieth of a second.
type FractionTrack = Track<16, f64>;
/// Anything that moves no faster than the Sun, including the fortnightly
/// nutation.
pub(crate) type SlowTrack = Track<7>;
const SLOW_PIECE_DAYS: f64 = 16.0;
/// The barycentre of Earth and Moon nearly follows an ellipse.
type OrbitTrack = Track<12>;
const ORBIT_PIECE_DAYS: f64 = 186.0;

/// Greatest change of the illuminated fraction, a second: half the greatest
/// rate of the phase angle, 15.4 degrees a day and some parallax of the Sun.
const FRACTION_RATE: f64 = 1.6e-6;
/// Greatest change of that rate, a second squared: for (1 + cos i) / 2 it is at
/// most half of i'^2 and i'' together, and 15.4 degrees a day, squared, is
/// 4.8e-12. A test measures both bounds.
const FRACTION_BEND: f64 = 6e-12;

/// Where Sun, Moon and stars stand, seen from the Earth's centre, over a range
/// of dates.
///
/// Built once, read only, shared by every site and thread. Vectors are in the
/// frame of the celestial intermediate pole and origin (CIRS), in which the
/// Earth's rotation is one angle linear in UT1, here set equal to UTC. Light
/// time and annual aberration are included.
///
/// Range: 1900 to 2100 (the span itself may begin and end a few weeks beyond).
/// Errors against JPL DE421 over 1972 to 2050, 600 instants: Moon within 11"
/// (rms 3"), Sun and stars within 0.1"; see `docs/accuracy.md`.
///
/// # Source
///
/// IAU SOFA: `moon98`, `epv00`, precession-nutation IAU 2000B with the CIO
/// locator `s00`.
#[derive(Debug, Clone)]
pub struct Ephemeris {
    from: Moment,
    to: Moment,
    orientation: SlowTrack,
    velocity: OrbitTrack,
    moon: Arc<MoonTrack>,
    sun: SlowTrack,
    galactic_pole: DirectionTrack,
    galactic_origin: DirectionTrack,
    ecliptic_pole: SlowTrack,
    moon_fraction: FractionTrack,
}

/// A direction followed through a span, as seen from the centre of the moving
/// Earth.
#[derive(Debug, Clone)]
pub struct DirectionTrack(Followed);

/// What is followed.
#[derive(Debug, Clone)]
enum Followed {
    /// A direction among the stars.
    Star(SlowTrack),
    /// The Moon.
    Moon(Arc<MoonTrack>),
}

impl Ephemeris {
    /// The span from `from` to `to`, kept within 1899-12-31 to 2100-01-03.
    ///
    /// It takes 2 ms a year on two cores, 4 on one; see `docs/performance.md`.
    pub fn covering(from: Moment, to: Moment) -> Self {
        // One entry into the thread pool for all fits.
        parallel::inside(|| Self::fit(from, to))
    }

    fn fit(from: Moment, to: Moment) -> Self {
        let bounded =
            |m: Moment| Moment::from_seconds(m.seconds().clamp(EARLIEST_SECONDS, LATEST_SECONDS));
        let (from, to) = (bounded(from), bounded(to));
        let (start, end) = (tt(from), tt(to).max(tt(from) + 1.0));
        let ([barycentre, velocity], (orientation, moon)) = parallel::join(
            || OrbitTrack::fit_each(start, end, ORBIT_PIECE_DAYS * DAY_SECONDS, orbit),
            || {
                let orientation =
                    SlowTrack::fit(start, end, SLOW_PIECE_DAYS * DAY_SECONDS, orientation_xys);
                let moon = MoonTrack::fit(start, end, MOON_PIECE_DAYS * DAY_SECONDS, |t| {
                    matrix(orientation.at(t)) * moon_gcrs_km(t)
                });
                (orientation, moon)
            },
        );
        let sun = SlowTrack::fit(start, end, SLOW_PIECE_DAYS * DAY_SECONDS, |t| {
            let to_cirs = matrix(orientation.at(t));
            let moon_gcrs = to_cirs.transpose() * moon.at(t);
            let earth = barycentre.at(t) - moon_gcrs / (1.0 + EARTH_OVER_MOON_MASS);
            to_cirs * aberrated(-earth, velocity.at(t))
        });
        // The Milky Way's great circle is computed without aberration.
        let [galactic_pole, galactic_origin] = [90.0, 0.0].map(|latitude_deg| {
            let direction = Direction::Galactic {
                longitude_deg: 0.0,
                latitude_deg,
            };
            DirectionTrack::star(start, end, |t| {
                matrix(orientation.at(t)) * direction.icrs(t).unwrap_or_default()
            })
        });
        let ecliptic_pole = SlowTrack::fit(start, end, SLOW_PIECE_DAYS * DAY_SECONDS, |t| {
            let epoch = 2000.0 + t / (365.25 * DAY_SECONDS);
            matrix(orientation.at(t)) * DVec3::from(sofars::pnp::ltpecl(epoch))
        });
        let moon_fraction = FractionTrack::fit(start, end, MOON_PIECE_DAYS * DAY_SECONDS, |t| {
            illuminated_fraction(sun.at(t), moon.at(t))
        });
        Self {
            from,
            to,
            orientation,
            velocity,
            moon: Arc::new(moon),
            sun,
            galactic_pole,
            galactic_origin,
            ecliptic_pole,
            moon_fraction,
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

    /// `direction` followed through the span, with annual aberration; a copy
    /// for the Moon shares its track.
    pub fn star(&self, direction: Direction) -> DirectionTrack {
        if direction.is_moon() {
            return DirectionTrack(Followed::Moon(Arc::clone(&self.moon)));
        }
        DirectionTrack::star(tt(self.from), tt(self.to), |t| {
            let to_cirs = matrix(self.orientation.at(t));
            let direction = direction.icrs(t).unwrap_or_default();
            to_cirs * aberrated(direction, self.velocity.at(t))
        })
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

impl DirectionTrack {
    fn star(start: f64, end: f64, function: impl Fn(f64) -> DVec3 + Sync) -> Self {
        let length = SLOW_PIECE_DAYS * DAY_SECONDS;
        Self(Followed::Star(SlowTrack::fit(start, end, length, function)))
    }

    /// The unit vector at `moment`, CIRS, geocentric.
    #[inline]
    pub fn at(&self, moment: Moment) -> DVec3 {
        match &self.0 {
            Followed::Star(track) => track.at(tt(moment)),
            Followed::Moon(track) => track.at(tt(moment)).normalize_or_zero(),
        }
    }

    /// Whether it is the Moon, which moves among the stars and is so near that
    /// its direction depends on the place.
    #[inline]
    pub fn is_moon(&self) -> bool {
        matches!(self.0, Followed::Moon(_))
    }
}

/// Terrestrial Time, seconds since J2000 on that scale.
#[inline]
pub(crate) fn tt(moment: Moment) -> f64 {
    moment.seconds() + tt_minus_utc_seconds(moment)
}

/// Celestial intermediate pole x, y and the CIO locator s, radians.
fn orientation_xys(t: f64) -> DVec3 {
    let (x, y, s) = sofars::pnp::xys00b(J2000_JD, t / DAY_SECONDS);
    DVec3::new(x, y, s)
}

/// GCRS to CIRS.
fn matrix(xys: DVec3) -> DMat3 {
    let rows = sofars::pnp::c2ixys(xys.x, xys.y, xys.z);
    DMat3::from_cols_array_2d(&rows).transpose()
}

/// The Moon in the GCRS as its light arrives.
///
/// To the first order in the Earth's speed the annual aberration of the Moon
/// and the Earth's own motion during the light time cancel, so only the
/// Moon's geocentric motion in those 1.3 s is left.
fn moon_gcrs_km(t: f64) -> DVec3 {
    let [position, velocity] = sofars::eph::moon98(J2000_JD, t / DAY_SECONDS);
    let position = DVec3::from(position) * AU_KM;
    let velocity_km_s = DVec3::from(velocity) * (AU_KM / DAY_SECONDS);
    position - velocity_km_s * (position.length() / LIGHT_KM_S)
}

/// The Earth at `t`: heliocentric position in au, barycentric velocity in au a
/// day.
///
/// `epv00` ends 100 Julian years from J2000, half a day before the last night
/// of 2099 ends. Those hours are bridged by the two-body series for position
/// and velocity (f and g to the third order, Bate, Mueller & White,
/// *Fundamentals of Astrodynamics*, 1971, section 5.2): 0.004" at two days.
fn earth(t: f64) -> (DVec3, DVec3) {
    let days = t / DAY_SECONDS;
    let inside = days.clamp(-EPV00_DAYS, EPV00_DAYS);
    let Some((heliocentric, barycentric)) = sofars::eph::epv00(J2000_JD, inside) else {
        // Impossible: `inside` is within the theory's range.
        return (DVec3::X, DVec3::ZERO);
    };
    let (r, v) = (DVec3::from(heliocentric[0]), DVec3::from(heliocentric[1]));
    let sun_to_barycentre_rate = DVec3::from(barycentric[1]) - v;
    let dt = days - inside;
    if dt == 0.0 {
        return (r, v + sun_to_barycentre_rate);
    }
    let u = GAUSSIAN_CONSTANT * GAUSSIAN_CONSTANT / r.length().powi(3);
    let p = r.dot(v) / r.length_squared();
    let f = 1.0 - u * dt * dt / 2.0 + u * p * dt.powi(3) / 2.0;
    let g = dt - u * dt.powi(3) / 6.0;
    let f_rate = -u * dt + 1.5 * u * p * dt * dt;
    let g_rate = 1.0 - u * dt * dt / 2.0;
    (
        f * r + g * v,
        f_rate * r + g_rate * v + sun_to_barycentre_rate,
    )
}

/// Heliocentric position of the barycentre of Earth and Moon (km), and the
/// Earth's barycentric velocity over that of light.
fn orbit(t: f64) -> [DVec3; 2] {
    let moon = sofars::eph::moon98(J2000_JD, t / DAY_SECONDS)[0];
    let (position, velocity) = earth(t);
    [
        (position + DVec3::from(moon) / (1.0 + EARTH_OVER_MOON_MASS)) * AU_KM,
        velocity * (AU_KM / DAY_SECONDS / LIGHT_KM_S),
    ]
}

/// `vector` turned toward the velocity as aberration does, its length kept;
/// the terms left out, of the order of (v/c)^2, are below 0.001".
fn aberrated(vector: DVec3, velocity_over_c: DVec3) -> DVec3 {
    let length = vector.length();
    (vector / length + velocity_over_c).normalize() * length
}

#[cfg(test)]
mod tests {
    use super::*;

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
