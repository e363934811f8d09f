//! The transverse Mercator grid of the UTM zones, both ways.
//!
//! # Source
//!
//! C. F. F. Karney, "Transverse Mercator with an accuracy of a few nanometers",
//! *Journal of Geodesy* 85, 475-485 (2011), equations 7 to 12, 19 to 21, 35 and
//! 36: the series of Krueger (1912) to the sixth order of the flattening. Zones,
//! scale and false origins: NGA, *The Universal Grids and the Transverse
//! Mercator and Polar Stereographic Map Projections* (NGA.SIG.0012, 2014).

/// Equatorial radius, metres, and flattening of WGS84 (NGA.STND.0036, 2014).
/// GRS80, the ellipsoid of NAD83 and ETRS89, is 0.1 mm flatter at the pole.
const RADIUS_M: f64 = 6_378_137.0;
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// Scale along the central meridian.
const SCALE: f64 = 0.9996;
const FALSE_EAST_M: f64 = 500_000.0;
/// Of the southern hemisphere's grids.
const FALSE_NORTH_M: f64 = 10_000_000.0;

/// One zone of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UtmZone {
    number: u8,
    south: bool,
}

impl UtmZone {
    /// Zone 1 to 60 of the northern or the southern hemisphere; `None` for any
    /// other number.
    pub const fn new(number: u8, south: bool) -> Option<Self> {
        if number >= 1 && number <= 60 {
            Some(Self { number, south })
        } else {
            None
        }
    }

    /// Longitude of its central meridian, degrees, east positive.
    pub fn central_meridian_deg(self) -> f64 {
        6.0 * f64::from(self.number) - 183.0
    }

    /// Easting and northing, metres, of a latitude and longitude in degrees;
    /// the longitude may be any number of turns away.
    ///
    /// Good to a micrometre within 35 degrees of the central meridian, as its
    /// source states; not meant beyond 80.
    ///
    /// # Example
    ///
    /// ```
    /// // By pyproj 3.7.2 (PROJ 9.5.1), EPSG:32632.
    /// use rakelight::terrain::UtmZone;
    /// let zone = UtmZone::new(32, false).expect("a zone");
    /// let [east_m, north_m] = zone.from_degrees(46.5, 8.0);
    /// assert!((east_m - 423_268.31).abs() < 0.01 && (north_m - 5_150_089.10).abs() < 0.01);
    /// ```
    pub fn from_degrees(self, latitude_deg: f64, longitude_deg: f64) -> [f64; 2] {
        let east_deg = longitude_deg - self.central_meridian_deg();
        let east = ((east_deg + 180.0).rem_euclid(360.0) - 180.0).to_radians();
        let tau = latitude_deg.to_radians().tan();
        let conformal = conformal_tangent(tau);
        let xi = conformal.atan2(east.cos());
        let eta = (east.sin() / conformal.hypot(east.cos())).asinh();
        let (mut north, mut across) = (xi, eta);
        for (k, alpha) in (1_u8..).zip(series(FORWARD)) {
            let k = 2.0 * f64::from(k);
            north += alpha * (k * xi).sin() * (k * eta).cosh();
            across += alpha * (k * xi).cos() * (k * eta).sinh();
        }
        let length = SCALE * rectifying_radius_m();
        [
            FALSE_EAST_M + length * across,
            self.false_north_m() + length * north,
        ]
    }

    /// Latitude and longitude, degrees, of an easting and northing in metres;
    /// the longitude is within 180 degrees of the central meridian.
    pub fn to_degrees(self, east_m: f64, north_m: f64) -> [f64; 2] {
        let length = SCALE * rectifying_radius_m();
        let xi = (north_m - self.false_north_m()) / length;
        let eta = (east_m - FALSE_EAST_M) / length;
        let (mut along, mut across) = (xi, eta);
        for (k, beta) in (1_u8..).zip(series(BACKWARD)) {
            let k = 2.0 * f64::from(k);
            along -= beta * (k * xi).sin() * (k * eta).cosh();
            across -= beta * (k * xi).cos() * (k * eta).sinh();
        }
        let conformal = along.sin() / across.sinh().hypot(along.cos());
        let east = across.sinh().atan2(along.cos());
        // Newton's method; each step doubles the digits.
        let mut tau = conformal;
        for _ in 0..5 {
            let found = conformal_tangent(tau);
            let squared = eccentricity().powi(2);
            let step = (conformal - found) / (1.0_f64.hypot(found) * 1.0_f64.hypot(tau))
                * (1.0 + (1.0 - squared) * tau * tau)
                / (1.0 - squared);
            tau += step;
        }
        [
            tau.atan().to_degrees(),
            self.central_meridian_deg() + east.to_degrees(),
        ]
    }

    fn false_north_m(self) -> f64 {
        if self.south { FALSE_NORTH_M } else { 0.0 }
    }
}

fn eccentricity() -> f64 {
    (FLATTENING * (2.0 - FLATTENING)).sqrt()
}

/// Tangent of the conformal latitude for that of the geographic one.
fn conformal_tangent(tau: f64) -> f64 {
    let e = eccentricity();
    let sigma = (e * (e * tau / 1.0_f64.hypot(tau)).atanh()).sinh();
    tau * 1.0_f64.hypot(sigma) - sigma * 1.0_f64.hypot(tau)
}

/// The third flattening.
fn third_flattening() -> f64 {
    FLATTENING / (2.0 - FLATTENING)
}

fn rectifying_radius_m() -> f64 {
    let n = third_flattening();
    let squared = n * n;
    RADIUS_M / (1.0 + n)
        * (1.0 + squared / 4.0 + squared * squared / 64.0 + squared.powi(3) / 256.0)
}

/// The coefficients of a series: of each, the factors of the powers of the
/// third flattening from its own order to the sixth.
fn series(of: [&[f64]; 6]) -> [f64; 6] {
    let n = third_flattening();
    let mut power = 1.0;
    of.map(|factors| {
        power *= n;
        power
            * factors
                .iter()
                .rev()
                .fold(0.0, |sum, factor| sum * n + factor)
    })
}

/// Equation 35.
const FORWARD: [&[f64]; 6] = [
    &[
        1.0 / 2.0,
        -2.0 / 3.0,
        5.0 / 16.0,
        41.0 / 180.0,
        -127.0 / 288.0,
        7_891.0 / 37_800.0,
    ],
    &[
        13.0 / 48.0,
        -3.0 / 5.0,
        557.0 / 1_440.0,
        281.0 / 630.0,
        -1_983_433.0 / 1_935_360.0,
    ],
    &[
        61.0 / 240.0,
        -103.0 / 140.0,
        15_061.0 / 26_880.0,
        167_603.0 / 181_440.0,
    ],
    &[
        49_561.0 / 161_280.0,
        -179.0 / 168.0,
        6_601_661.0 / 7_257_600.0,
    ],
    &[34_729.0 / 80_640.0, -3_418_889.0 / 1_995_840.0],
    &[212_378_941.0 / 319_334_400.0],
];

/// Equation 36.
const BACKWARD: [&[f64]; 6] = [
    &[
        1.0 / 2.0,
        -2.0 / 3.0,
        37.0 / 96.0,
        -1.0 / 360.0,
        -81.0 / 512.0,
        96_199.0 / 604_800.0,
    ],
    &[
        1.0 / 48.0,
        1.0 / 15.0,
        -437.0 / 1_440.0,
        46.0 / 105.0,
        -1_118_711.0 / 3_870_720.0,
    ],
    &[
        17.0 / 480.0,
        -37.0 / 840.0,
        -209.0 / 4_480.0,
        5_569.0 / 90_720.0,
    ],
    &[4_397.0 / 161_280.0, -11.0 / 504.0, -830_251.0 / 7_257_600.0],
    &[4_583.0 / 161_280.0, -108_847.0 / 3_991_680.0],
    &[20_648_693.0 / 638_668_800.0],
];
