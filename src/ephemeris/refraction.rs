//! How the air lifts what is low in the sky.

use std::cell::RefCell;

/// Below this true altitude Saemundsson's formula is not used; it goes wrong
/// and soon diverges.
const LOWEST_DEG: f64 = -1.0;
/// Altitude at which refraction, tapered from its value at [`LOWEST_DEG`], has
/// reached zero. The taper only keeps apparent altitude continuous and
/// increasing where nothing can be seen anyway.
const TAPER_END_DEG: f64 = -4.0;
/// How fast the lift falls off with the altitude at the most, degrees a degree.
const LIFT_FALL: f64 = 0.18;
/// How fast it grows below [`LOWEST_DEG`].
const TAPER_GROWTH: f64 = 0.22;

/// Refraction of the air at one place.
///
/// True to apparent altitude by Saemundsson (*Sky & Telescope* 72, 70, 1986;
/// Meeus, *Astronomical Algorithms*, 2nd ed., eq. 16.4), proportional to
/// pressure and inversely to absolute temperature. Good to 0.07' above 5
/// degrees in standard air; at the horizon the real air differs by several
/// arc-minutes from night to night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refraction {
    factor: f64,
}

impl Refraction {
    /// No air.
    pub const NONE: Self = Self { factor: 0.0 };

    /// Refraction at `pressure_hpa` and `temperature_c`.
    ///
    /// The formula's own air is 1010 hPa and 10 C.
    pub fn new(pressure_hpa: f64, temperature_c: f64) -> Self {
        Self {
            factor: pressure_hpa / 1010.0 * 283.0 / (273.0 + temperature_c),
        }
    }

    /// How much higher than its true (geometric) altitude a body appears,
    /// degrees; never negative.
    pub fn lift_deg(&self, true_altitude_deg: f64) -> f64 {
        let from_formula = |h: f64| {
            let minutes = 1.02 / (h + 10.3 / (h + 5.11)).to_radians().tan();
            (minutes / 60.0).max(0.0)
        };
        let lift = if true_altitude_deg >= LOWEST_DEG {
            from_formula(true_altitude_deg)
        } else {
            let left = (true_altitude_deg - TAPER_END_DEG) / (LOWEST_DEG - TAPER_END_DEG);
            from_formula(LOWEST_DEG) * left.max(0.0)
        };
        lift * self.factor
    }

    /// Apparent altitude of a body at true (geometric) altitude, degrees.
    pub fn apparent_deg(&self, true_altitude_deg: f64) -> f64 {
        true_altitude_deg + self.lift_deg(true_altitude_deg)
    }

    /// Between which the apparent altitude changes with the true one, degrees a
    /// degree, from a true altitude on upward. The lift falls off, but below
    /// [`LOWEST_DEG`] it grows.
    pub(crate) fn slopes_above(&self, true_altitude_deg: f64) -> [f64; 2] {
        let growth = if true_altitude_deg < LOWEST_DEG {
            TAPER_GROWTH
        } else {
            0.0
        };
        [1.0 - LIFT_FALL * self.factor, 1.0 + growth * self.factor]
    }

    /// True (geometric) altitude of a body that appears at
    /// `apparent_altitude_deg`: the inverse of [`Self::apparent_deg`], not a
    /// second formula.
    pub fn true_deg(&self, apparent_altitude_deg: f64) -> f64 {
        let asked = [self.factor, apparent_altitude_deg].map(f64::to_bits);
        let known = LATELY.with_borrow(|lately| lately.of(asked));
        known.unwrap_or_else(|| {
            let found = self.searched_deg(apparent_altitude_deg);
            LATELY.with_borrow_mut(|lately| lately.keep(asked, found));
            found
        })
    }

    fn searched_deg(&self, apparent_altitude_deg: f64) -> f64 {
        // The lift lies between zero and its value at the lowest altitude,
        // and apparent altitude increases with the true one: bisect.
        let appears_below = |true_deg: f64| self.apparent_deg(true_deg) < apparent_altitude_deg;
        let mut low = apparent_altitude_deg - self.lift_deg(LOWEST_DEG) - 1e-9;
        let mut high = apparent_altitude_deg;
        // The lift changes slowly, so that taking it off again and again comes
        // close; what has come close is a narrower beginning.
        let near = (0..8).fold(high, |near, _| apparent_altitude_deg - self.lift_deg(near));
        for width in [1e-11, 1e-7] {
            let (below, above) = (near - width, near + width);
            if low < below && above < high && appears_below(below) && !appears_below(above) {
                (low, high) = (below, above);
                break;
            }
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if appears_below(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }
}

thread_local! {
    /// What this thread found lately. The rules of many sites ask for the same
    /// few altitudes in the same air, and each takes a search.
    static LATELY: RefCell<Lately> = const { RefCell::new(Lately::NOTHING) };
}

/// The most true altitudes that are kept: a site asks for some six with each
/// kind of light.
const MOST: usize = 16;

/// True altitudes found lately, by the bits of air and apparent altitude.
struct Lately {
    found: [([u64; 2], f64); MOST],
    /// Where the next goes, in place of the eldest.
    next: usize,
}

impl Lately {
    /// No air has a factor of these bits, which are those of no number.
    const NOTHING: Self = Self {
        found: [([u64::MAX; 2], f64::NAN); MOST],
        next: 0,
    };

    fn of(&self, asked: [u64; 2]) -> Option<f64> {
        let found = self.found.iter().find(|(of, _)| *of == asked);
        found.map(|(_, true_deg)| *true_deg)
    }

    fn keep(&mut self, asked: [u64; 2], true_deg: f64) {
        if let Some(place) = self.found.get_mut(self.next) {
            *place = (asked, true_deg);
        }
        self.next = (self.next + 1) % MOST;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    const STANDARD: Refraction = Refraction { factor: 1.0 };

    #[test]
    fn meeus_example_16_a_second_part() {
        // Meeus, Astronomical Algorithms, 2nd ed., example 16.a:
        // true altitude 33.246' gives 24.618'.
        assert_abs_diff_eq!(
            STANDARD.lift_deg(33.246 / 60.0) * 60.0,
            24.618,
            epsilon = 0.001
        );
    }

    #[test]
    fn saemundsson_table() {
        // Recomputed from Saemundsson 1986 (Meeus eq. 16.4), arc-minutes.
        for (altitude, minutes) in [
            (0.0, 28.982),
            (0.5, 25.004),
            (1.0, 21.744),
            (2.0, 16.926),
            (5.0, 9.674),
            (10.0, 5.408),
            (15.0, 3.675),
            (20.0, 2.741),
            (30.0, 1.746),
            (45.0, 1.013),
        ] {
            assert_abs_diff_eq!(STANDARD.lift_deg(altitude) * 60.0, minutes, epsilon = 0.001);
        }
        assert_eq!(STANDARD.lift_deg(90.0), 0.0);
    }

    #[test]
    fn bennett_takes_it_back_within_the_stated_tenth_of_a_minute() {
        // Bennett, J. Inst. Navigation 35, 255 (1982); Meeus eq. 16.3. The
        // published pair disagrees by at most 0.062' from 0 to 90 degrees.
        for step in 0..=900 {
            let true_deg = f64::from(step) * 0.1;
            let apparent = STANDARD.apparent_deg(true_deg);
            let bennett = 1.0 / (apparent + 7.31 / (apparent + 4.4)).to_radians().tan();
            let back = apparent - bennett.max(0.0) / 60.0;
            assert_abs_diff_eq!(back, true_deg, epsilon = 0.063 / 60.0);
        }
    }

    #[test]
    fn apparent_altitude_increases_and_inverts() {
        let air = Refraction::new(780.0, -5.0);
        let mut last = f64::NEG_INFINITY;
        for step in -9000..=9000 {
            let true_deg = f64::from(step) * 0.01;
            let apparent = air.apparent_deg(true_deg);
            assert!(apparent > last && apparent >= true_deg);
            assert_abs_diff_eq!(air.true_deg(apparent), true_deg, epsilon = 1e-9);
            last = apparent;
        }
    }

    #[test]
    fn no_slope_is_beyond_what_is_said_of_it() {
        for air in [STANDARD, Refraction::NONE, Refraction::new(1080.0, -60.0)] {
            let mut seen = [f64::INFINITY, f64::NEG_INFINITY];
            for step in (-9000..=9000).rev() {
                let low = f64::from(step) * 0.01;
                let [below, above] = [low, low + 0.01].map(|deg| air.apparent_deg(deg));
                let slope = (above - below) / 0.01;
                let [least, most] = air.slopes_above(low);
                assert!(least > 0.0 && least - 1e-9 <= slope && slope <= most + 1e-9);
                seen = [seen[0].min(slope), seen[1].max(slope)];
            }
            // They are no wider than they have to be.
            let [least, most] = air.slopes_above(-90.0);
            assert!(1.0 - seen[0] >= 0.9 * (1.0 - least), "{seen:?}");
            assert!(seen[1] - 1.0 >= 0.9 * (most - 1.0), "{seen:?}");
        }
    }

    #[test]
    fn what_is_known_is_what_is_searched() {
        let airs = [1010.0, 780.0].map(|pressure| Refraction::new(pressure, 10.0));
        for _ in 0..2 {
            for (air, altitude) in airs.into_iter().zip([[3.0, 10.0, -18.0]; 2]) {
                for apparent in altitude {
                    assert_eq!(air.true_deg(apparent), air.searched_deg(apparent));
                }
            }
        }
    }
}
