//! How high a far summit appears over the curve of the Earth.

/// Mean radius of the Earth, metres (IUGG).
///
/// The radius of curvature of the ellipsoid differs from it by up to 0.6 per
/// cent with latitude and bearing: 1.5 m of drop, 0.0015 degrees, at 60 km.
pub const EARTH_RADIUS_M: f64 = 6_371_000.0;

/// Refraction coefficient of the air near the ground: the radius of the Earth
/// over that of a line of sight. Gauss's value (W. Torge, *Geodesy*).
///
/// At night near the ground it ranges from about 0 to 0.3: at 50 km that is
/// 0.03 degrees either way. Surveying texts also use 0.14.
pub const REFRACTION_COEFFICIENT: f64 = 0.13;

/// The Earth as a sphere on which lines of sight are straight: its radius is
/// `R / (1 - k)`, R the Earth's and k the refraction coefficient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvedEarth {
    radius_m: f64,
}

impl Default for CurvedEarth {
    fn default() -> Self {
        Self {
            radius_m: EARTH_RADIUS_M / (1.0 - REFRACTION_COEFFICIENT),
        }
    }
}

impl CurvedEarth {
    /// The Earth under air of that refraction coefficient; `None` unless it is
    /// from -1 to 0.9 (at 1 the Earth would look flat).
    pub fn new(refraction_coefficient: f64) -> Option<Self> {
        (-1.0..=0.9)
            .contains(&refraction_coefficient)
            .then(|| Self {
                radius_m: EARTH_RADIUS_M / (1.0 - refraction_coefficient),
            })
    }

    /// The radius on which lines of sight are straight, metres.
    pub const fn effective_radius_m(self) -> f64 {
        self.radius_m
    }

    /// How far the level surface falls below the tangent plane at a distance
    /// over the ground, metres: `(1 - k) d^2 / 2 R`.
    pub fn drop_m(self, distance_m: f64) -> f64 {
        distance_m * distance_m / (2.0 * self.radius_m)
    }

    /// Apparent angle above the level of the eye, degrees, of a point at
    /// height `top_m`, `distance_m` away over the ground, seen from height
    /// `eye_m`; -90 to 90.
    ///
    /// Height and distance in metres, both heights above the same level. With
    /// the right refraction coefficient it is good to 0.002 degrees at 60 km.
    ///
    /// # Example
    ///
    /// ```
    /// use rakelight::terrain::CurvedEarth;
    /// let angle_deg = CurvedEarth::default().elevation_angle_deg(500.0, 3000.0, 20_000.0);
    /// assert!((angle_deg - 7.0451).abs() < 1e-4);
    /// ```
    pub fn elevation_angle_deg(self, eye_m: f64, top_m: f64, distance_m: f64) -> f64 {
        let (rise, run) = self.rise_and_run(eye_m, top_m, distance_m);
        rise.atan2(run).to_degrees()
    }

    /// The point's height over the plane of the eye, and its distance along
    /// that plane, metres.
    #[inline]
    pub(super) fn rise_and_run(self, eye_m: f64, top_m: f64, distance_m: f64) -> (f64, f64) {
        let angle = distance_m / self.radius_m;
        let from_centre = self.radius_m + top_m;
        // 1 - cos without its cancellation.
        let half = (0.5 * angle).sin();
        let rise = (top_m - eye_m) - 2.0 * half * half * from_centre;
        (rise, from_centre * angle.sin())
    }

    /// Dip of the sea horizon below the level of the eye, degrees, seen from
    /// `eye_m` metres above the sea; 0 for an eye at or below it.
    ///
    /// *The Nautical Almanac*'s 1.76' times the root of the metres equals this
    /// with a coefficient of 0.165.
    pub fn sea_dip_deg(self, eye_m: f64) -> f64 {
        // acos(R / (R + h)) in a form that keeps its digits for small h.
        let height = eye_m.max(0.0);
        (height * (2.0 * self.radius_m + height))
            .sqrt()
            .atan2(self.radius_m)
            .to_degrees()
    }

    /// Distance over the ground to the sea horizon, metres, from `eye_m` metres
    /// above the sea.
    pub fn sea_horizon_m(self, eye_m: f64) -> f64 {
        self.sea_dip_deg(eye_m).to_radians() * self.radius_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn earth(refraction_coefficient: f64) -> CurvedEarth {
        CurvedEarth::new(refraction_coefficient).expect("a coefficient")
    }

    #[test]
    fn drop_below_the_tangent_plane() {
        // Torge, Geodesy (k = 0.13); Wolf & Ghilani, Elementary Surveying
        // (k = 0.14, 0.0675 m per km2).
        for (coefficient, table) in [
            (0.0, [0.0785, 1.962, 7.848, 31.39, 196.2, 784.8]),
            (0.13, [0.0683, 1.707, 6.828, 27.31, 170.7, 682.8]),
            (0.14, [0.0675, 1.687, 6.749, 27.00, 168.7, 674.9]),
        ] {
            for (km, metres) in [1.0, 5.0, 10.0, 20.0, 50.0, 100.0].into_iter().zip(table) {
                let ours = earth(coefficient).drop_m(km * 1000.0);
                // Half a unit of the table's last digit.
                assert_abs_diff_eq!(ours, metres, epsilon = 4e-4 * metres + 6e-5);
            }
        }
    }

    #[test]
    fn angle_to_a_far_summit() {
        // Direct arithmetic on the sphere of radius R/(1 - k).
        for (eye, top, distance, coefficient, degrees) in [
            (500.0, 3000.0, 20_000.0, 0.13, 7.0451),
            (500.0, 3000.0, 20_000.0, 0.0, 7.0331),
            (1500.0, 4000.0, 50_000.0, 0.13, 2.6657),
            (1500.0, 4000.0, 50_000.0, 0.0, 2.6363),
        ] {
            let ours = earth(coefficient).elevation_angle_deg(eye, top, distance);
            assert_abs_diff_eq!(ours, degrees, epsilon = 1e-4);
        }
        // The flat triangle is wrong by 0.2 degrees at 50 km, the short form
        // with the drop good to 0.003.
        let flat = (2500.0_f64 / 50_000.0).atan().to_degrees();
        assert_abs_diff_eq!(flat, 2.8624, epsilon = 1e-4);
        let dropped: f64 = 2500.0 - earth(0.13).drop_m(50_000.0);
        let short = (dropped / 50_000.0).atan().to_degrees();
        assert_abs_diff_eq!(short, 2.6673, epsilon = 1e-4);
    }

    #[test]
    fn dip_of_the_sea_horizon() {
        // Geometric 1.926' root of the metres; The Nautical Almanac 1.76'
        // (from memory), which is a coefficient of 0.165.
        for (eye, almanac, geometric) in [
            (10.0, 5.57, 6.09),
            (100.0, 17.6, 19.26),
            (1000.0, 55.7, 60.9),
            (3000.0, 96.4, 105.5),
        ] {
            let minutes = |coefficient| earth(coefficient).sea_dip_deg(eye) * 60.0;
            assert_abs_diff_eq!(minutes(0.165), almanac, epsilon = 0.05);
            assert_abs_diff_eq!(minutes(0.0), geometric, epsilon = 0.05);
        }
        // 3.57 root of the metres, in kilometres.
        assert_abs_diff_eq!(earth(0.0).sea_horizon_m(100.0), 35_700.0, epsilon = 10.0);
        assert_eq!(earth(0.0).sea_dip_deg(-3.0), 0.0);
    }

    #[test]
    fn the_sea_horizon_is_where_the_sea_stands_highest() {
        let earth = earth(0.13);
        let at = earth.sea_horizon_m(800.0);
        let angle = |distance| earth.elevation_angle_deg(800.0, 0.0, distance);
        assert_abs_diff_eq!(angle(at), -earth.sea_dip_deg(800.0), epsilon = 1e-9);
        assert!(angle(at * 0.99) < angle(at) && angle(at * 1.01) < angle(at));
    }

    #[test]
    fn coefficients_that_cannot_be_are_refused() {
        for coefficient in [f64::NAN, f64::INFINITY, 1.0, 0.91, -1.1] {
            assert_eq!(CurvedEarth::new(coefficient), None);
        }
        assert_eq!(CurvedEarth::new(0.13), Some(CurvedEarth::default()));
    }
}
