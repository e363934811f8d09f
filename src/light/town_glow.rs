//! The glow of a town in the sky: light that leaves it upward and is scattered
//! once toward the observer.
//!
//! # Source
//! Garstang, R.H., *PASP* 98, 364 (1986), 101, 306 (1989) and 103, 1109 (1991),
//! as Cinzano, P., Falchi, F., Elvidge, C.D. & Baugh, K.E., *MNRAS* 318, 641
//! (2000) restate it. The geometry is plain vectors and not the papers' long
//! formulas. The papers themselves were not at hand: each constant says whether
//! it is second hand (from public code that cites them by equation) or from
//! memory.

use std::f64::consts::PI;

/// Radius of the Earth, km.
const EARTH_KM: f64 = 6371.0;
/// The air ends here, km.
const TOP_KM: f64 = 60.0;
/// Molecules in a cubic centimetre of air at the sea (second hand) times their
/// cross section for V light, cm2 (4.6e-27, from memory: with it average air
/// dims the zenith by 0.33 mag, as the papers are remembered to say), per km.
const MOLECULES_PER_KM: f64 = 2.55e19 * 4.6e-27 * 1e5;
/// How fast molecules thin out, per km (second hand).
const MOLECULE_SCALE: f64 = 0.104;
/// Scattering and extinction of aerosols over those of molecules, for clarity 1
/// at the ground (second hand).
const AEROSOL_SCATTERING: f64 = 11.11;
const AEROSOL_EXTINCTION: f64 = 11.778;

/// Light of the lamps of a town, lumens per head (from memory: Garstang's
/// classic value). Measured at Flagstaff in 2003: 210 to 310 lm upward per head
/// (Luginbuhl et al., *PASP* 121, 185, 2009, with its population from memory),
/// this value gives 278.
pub const LUMENS_PER_HEAD: f64 = 1000.0;
/// Share of the lamps' light that is sent straight above the horizon, and
/// reflectance of the ground below them (both from memory).
pub const SENT_UP: f64 = 0.15;
/// See [`SENT_UP`].
pub const GROUND_REFLECTANCE: f64 = 0.15;
/// Radius of a town of one person, km: 2200 people per square kilometre (the
/// project's choice, no source).
const RADIUS_KM_PER_ROOT: f64 = 0.012;
/// Points on each ring of a town that is near.
const RING_POINTS: u8 = 24;

/// The air and the lamps of a town.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TownLight {
    /// Garstang's clarity K, 0 or more: aerosols over molecules. 0.25 is very
    /// clear air, 0.5 clear, 1 average, 2 hazy.
    pub clarity: f64,
    /// Share sent straight above the horizon, 0 to 1.
    pub sent_up: f64,
    /// Diffuse reflectance of the ground, 0 to 1.
    pub ground_reflectance: f64,
    /// Height of the observer above the town's plain, km, 0 or more.
    pub observer_km: f64,
    /// Whether light that is scattered twice is counted, by the papers' factor.
    pub scattered_twice: bool,
}

impl Default for TownLight {
    /// Clear air and the lamps of an ordinary town, on a plain.
    fn default() -> Self {
        Self {
            clarity: 0.5,
            sent_up: SENT_UP,
            ground_reflectance: GROUND_REFLECTANCE,
            observer_km: 0.0,
            scattered_twice: true,
        }
    }
}

/// Where somebody looks from, and which way, as seen from a town.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TownView {
    /// Distance of the town along the ground, km, above 0.
    pub distance_km: f64,
    /// Altitude of the direction, degrees, 0 to 90.
    pub altitude_deg: f64,
    /// Azimuth of the direction from that of the town, degrees.
    pub azimuth_deg: f64,
}

type Vector = glam::DVec3;

/// Where a function is read, from 0 to 1, and how much that counts.
type Node = (f64, f64);

/// Gauss-Legendre quadrature on 0 to 1.
fn gauss<const N: usize>() -> [Node; N] {
    std::array::from_fn(|index| {
        // Newton's method on the Legendre polynomial from the usual start.
        let n = N as f64;
        let mut x = (PI * (index as f64 + 0.75) / (n + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..8 {
            let (mut before, mut value) = (1.0, x);
            for degree in 2..=N {
                let d = degree as f64;
                (before, value) = (
                    value,
                    ((2.0 * d - 1.0) * x * value - (d - 1.0) * before) / d,
                );
            }
            slope = n * (x * value - before) / (x * x - 1.0);
            x -= value / slope;
        }
        (0.5 * (1.0 - x), 1.0 / ((1.0 - x * x) * slope * slope))
    })
}

impl TownLight {
    /// Luminance that a point of one lamp lumen adds to a direction.
    ///
    /// cd/m2 per lumen, 0 where the town's light does not reach the ray; within
    /// 0.05 % of a fine quadrature.
    ///
    /// # Source
    /// See the module.
    pub fn luminance_per_lumen(&self, view: &TownView) -> f64 {
        let Some(ray) = Ray::of(self, view) else {
            return 0.0;
        };
        let (inner, outer, legs) = (gauss::<6>(), gauss::<12>(), gauss::<8>());
        // Nodes crowd at the point nearest the town, where the light is, and
        // where the ray begins.
        let middle = 0.5 * (ray.first_km + ray.nearest_km);
        let parts: [(f64, f64, &[Node]); 3] = [
            (ray.first_km, middle, &inner),
            (ray.nearest_km, middle, &inner),
            (ray.nearest_km, ray.last_km, &outer),
        ];
        let sum: f64 = parts
            .into_iter()
            .map(|(from, to, nodes)| {
                let along = |&(x, weight): &Node| {
                    let at_km = from + (to - from) * x * x;
                    2.0 * x * weight * self.scattered_at(&ray, at_km, &legs)
                };
                (to - from).abs() * nodes.iter().map(along).sum::<f64>()
            })
            .sum();
        // Per km of ray and km2 of spreading to metres.
        1e-6 * sum
    }

    /// What a km of the ray at `at_km` sends to the observer, cd/km3 per lumen.
    fn scattered_at(&self, ray: &Ray, at_km: f64, legs: &[(f64, f64)]) -> f64 {
        let here = ray.observer + at_km * ray.view;
        let from_town = here - ray.town;
        let leg_km = from_town.length();
        let cos_emission = from_town.dot(ray.up) / leg_km;
        if cos_emission.is_nan() || cos_emission <= 0.0 {
            return 0.0;
        }
        let cos_turn = (-from_town.dot(ray.view) / leg_km).clamp(-1.0, 1.0);
        let height_km = here.length() - EARTH_KM;
        let scale = self.aerosol_scale();
        let town_leg = columns(ray.town, here, scale, legs);
        let eye_leg = columns(ray.observer, here, scale, legs);
        let depth = |(molecules, aerosols): (f64, f64)| {
            MOLECULES_PER_KM * (molecules + AEROSOL_EXTINCTION * self.clarity * aerosols)
        };
        let twice = match self.scattered_twice {
            true => {
                1.0 + MOLECULES_PER_KM
                    * (AEROSOL_SCATTERING * self.clarity * town_leg.1 + town_leg.0 / 3.0)
            }
            false => 1.0,
        };
        let scattering = MOLECULES_PER_KM
            * ((-MOLECULE_SCALE * height_km).exp() * molecule_phase(cos_turn)
                + AEROSOL_SCATTERING
                    * self.clarity
                    * (-scale * height_km).exp()
                    * aerosol_phase(cos_turn.acos().to_degrees()));
        self.emission(cos_emission) / (leg_km * leg_km)
            * (-depth(town_leg) - depth(eye_leg)).exp()
            * twice
            * scattering
    }

    /// Light of a lamp lumen toward an angle from the vertical, cd.
    fn emission(&self, cos_emission: f64) -> f64 {
        let angle = cos_emission.clamp(-1.0, 1.0).acos();
        let reflected = 2.0 * self.ground_reflectance * (1.0 - self.sent_up) * cos_emission;
        // 0.554 makes the share sent up what it is said to be.
        (reflected + 0.554 * self.sent_up * angle.powi(4)) / (2.0 * PI)
    }

    /// How fast aerosols thin out, per km (second hand).
    fn aerosol_scale(&self) -> f64 {
        0.657 + 0.059 * self.clarity
    }

    /// Dimming of a star at the zenith in this air, V magnitudes.
    pub fn extinction_mag(&self) -> f64 {
        let depth = MOLECULES_PER_KM
            * (1.0 / MOLECULE_SCALE + AEROSOL_EXTINCTION * self.clarity / self.aerosol_scale());
        depth * 2.5 * std::f64::consts::LOG10_E
    }

    /// The glow of a whole town: that of its middle, or, within three radii of
    /// it, the mean over its disc.
    ///
    /// From its people and lumens per head to cd/m2.
    pub fn luminance(&self, view: &TownView, people: f64, lumens_per_head: f64) -> f64 {
        let of_part = |part: TownPart| {
            let view = TownView {
                distance_km: part.distance_km,
                azimuth_deg: view.azimuth_deg - part.aside_deg,
                ..*view
            };
            part.share * self.luminance_per_lumen(&view)
        };
        let parts = parts(view.distance_km, people).into_iter();
        people * lumens_per_head * parts.map(of_part).sum::<f64>()
    }
}

/// Radius of a town, km: it is taken for a disc of even density.
pub fn radius_km(people: f64) -> f64 {
    RADIUS_KM_PER_ROOT * people.max(0.0).sqrt()
}

/// A point that stands for a part of a town.
#[derive(Debug, Clone, Copy)]
pub(super) struct TownPart {
    /// From the observer, km.
    pub distance_km: f64,
    /// Of the town's middle, degrees.
    pub aside_deg: f64,
    /// Of the town, 0 to 1.
    pub share: f64,
}

/// Points that stand for a town at a distance: one from three radii on, else
/// four rings.
pub(super) fn parts(distance_km: f64, people: f64) -> Vec<TownPart> {
    let radius_km = radius_km(people);
    if distance_km >= 3.0 * radius_km {
        return vec![TownPart {
            distance_km,
            aside_deg: 0.0,
            share: 1.0,
        }];
    }
    let ring = |(out, weight): (f64, f64)| {
        (0..RING_POINTS).map(move |index| {
            let turn = 2.0 * PI * (f64::from(index) + 0.5) / f64::from(RING_POINTS);
            let x = distance_km + radius_km * out * turn.cos();
            let y = radius_km * out * turn.sin();
            TownPart {
                // Never under one's own lamp.
                distance_km: x.hypot(y).max(0.05 * radius_km),
                aside_deg: y.atan2(x).to_degrees(),
                share: 2.0 * out * weight / f64::from(RING_POINTS),
            }
        })
    };
    gauss::<4>().into_iter().flat_map(ring).collect()
}

/// A line of sight, in km from the Earth's centre.
struct Ray {
    observer: Vector,
    town: Vector,
    up: Vector,
    view: Vector,
    /// Where the ray rises above the town's horizon, where it is nearest to the
    /// town, and where the air ends, km from the observer.
    first_km: f64,
    nearest_km: f64,
    last_km: f64,
}

impl Ray {
    /// `None` where the town's light reaches no part of it, and for numbers that
    /// are no view.
    fn of(light: &TownLight, view: &TownView) -> Option<Self> {
        let angle = view.distance_km / EARTH_KM;
        let (sin_z, cos_z) = (90.0 - view.altitude_deg).to_radians().sin_cos();
        let (sin_b, cos_b) = view.azimuth_deg.to_radians().sin_cos();
        let observer = Vector::new(0.0, 0.0, EARTH_KM + light.observer_km);
        let up = Vector::new(angle.sin(), 0.0, angle.cos());
        let town = EARTH_KM * up;
        let direction = Vector::new(sin_z * cos_b, sin_z * sin_b, cos_z);
        let rise = direction.dot(up);
        if rise.is_nan() || rise <= 0.0 || view.distance_km <= 0.0 {
            return None;
        }
        let first_km = ((EARTH_KM - observer.dot(up)) / rise).max(0.0);
        let along = observer.dot(direction);
        let top = EARTH_KM + TOP_KM;
        let last_km = -along + (along * along + top * top - observer.length_squared()).sqrt();
        if first_km.is_nan() || last_km.is_nan() || first_km >= last_km {
            return None;
        }
        let nearest_km = (town - observer).dot(direction).clamp(first_km, last_km);
        Some(Self {
            observer,
            town,
            up,
            view: direction,
            first_km,
            nearest_km,
            last_km,
        })
    }
}

/// Molecules and aerosols along a straight leg from the ground up, km of ground
/// air.
fn columns(start: Vector, end: Vector, aerosol_scale: f64, nodes: &[(f64, f64)]) -> (f64, f64) {
    let leg = end - start;
    let (mut molecules, mut aerosols) = (0.0, 0.0);
    for (x, weight) in nodes {
        let height_km = (start + x * x * leg).length() - EARTH_KM;
        let share = 2.0 * x * weight;
        molecules += share * (-MOLECULE_SCALE * height_km).exp();
        aerosols += share * (-aerosol_scale * height_km).exp();
    }
    let leg_km = leg.length();
    (molecules * leg_km, aerosols * leg_km)
}

/// Light that molecules send into an angle, per steradian.
fn molecule_phase(cos_turn: f64) -> f64 {
    3.0 * (1.0 + cos_turn * cos_turn) / (16.0 * PI)
}

/// Light that aerosols send into an angle (degrees, 0 to 180), per steradian.
///
/// # Source
/// Second hand; its integral over the sphere is 1.0027.
pub fn aerosol_phase(turn_deg: f64) -> f64 {
    let square = turn_deg * turn_deg;
    if turn_deg <= 10.0 {
        7.5 * (-0.1249 * square / (1.0 + 0.04996 * square)).exp()
    } else if turn_deg <= 124.0 {
        1.88 * (-0.07226 * turn_deg + 0.0002406 * square).exp()
    } else {
        0.025 + 0.015 * (2.25 * turn_deg - 369.0).to_radians().sin()
    }
}
