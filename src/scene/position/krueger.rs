//! The transverse Mercator projection of the WGS84 ellipsoid, by Krüger's
//! series.
//!
//! # Source
//!
//! C. F. F. Karney, *Transverse Mercator with an accuracy of a few nanometers*,
//! J. Geodesy 85, 475 (2011): equations 7 to 15 and 19 to 21, the series 35 and
//! 36 to the sixth order. Within 35 degrees of the central meridian it is good
//! to a nanometre, far more than a zone of UTM needs.

const EQUATOR_M: f64 = 6_378_137.0;
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// Scale on the central meridian of UTM.
const SCALE: f64 = 0.9996;
const N: f64 = FLATTENING / (2.0 - FLATTENING);
/// Eccentricity squared.
const E2: f64 = FLATTENING * (2.0 - FLATTENING);

/// Coefficients of n, n^2 .. n^6 in the series of each harmonic; equation 35.
const ALPHA: [[f64; 6]; 6] = [
    [
        1.0 / 2.0,
        -2.0 / 3.0,
        5.0 / 16.0,
        41.0 / 180.0,
        -127.0 / 288.0,
        7891.0 / 37_800.0,
    ],
    [
        0.0,
        13.0 / 48.0,
        -3.0 / 5.0,
        557.0 / 1440.0,
        281.0 / 630.0,
        -1_983_433.0 / 1_935_360.0,
    ],
    [
        0.0,
        0.0,
        61.0 / 240.0,
        -103.0 / 140.0,
        15_061.0 / 26_880.0,
        167_603.0 / 181_440.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        49_561.0 / 161_280.0,
        -179.0 / 168.0,
        6_601_661.0 / 7_257_600.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        0.0,
        34_729.0 / 80_640.0,
        -3_418_889.0 / 1_995_840.0,
    ],
    [0.0, 0.0, 0.0, 0.0, 0.0, 212_378_941.0 / 319_334_400.0],
];

/// The same for the way back; equation 36.
const BETA: [[f64; 6]; 6] = [
    [
        1.0 / 2.0,
        -2.0 / 3.0,
        37.0 / 96.0,
        -1.0 / 360.0,
        -81.0 / 512.0,
        96_199.0 / 604_800.0,
    ],
    [
        0.0,
        1.0 / 48.0,
        1.0 / 15.0,
        -437.0 / 1440.0,
        46.0 / 105.0,
        -1_118_711.0 / 3_870_720.0,
    ],
    [
        0.0,
        0.0,
        17.0 / 480.0,
        -37.0 / 840.0,
        -209.0 / 4480.0,
        5569.0 / 90_720.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        4397.0 / 161_280.0,
        -11.0 / 504.0,
        -830_251.0 / 7_257_600.0,
    ],
    [
        0.0,
        0.0,
        0.0,
        0.0,
        4583.0 / 161_280.0,
        -108_847.0 / 3_991_680.0,
    ],
    [0.0, 0.0, 0.0, 0.0, 0.0, 20_648_693.0 / 638_668_800.0],
];

/// Radius of the rectifying sphere times the scale, metres; equation 14.
fn radius_m() -> f64 {
    let n2 = N * N;
    SCALE * EQUATOR_M / (1.0 + N) * (1.0 + n2 / 4.0 + n2 * n2 / 64.0 + n2 * n2 * n2 / 256.0)
}

/// The sum of a series' harmonics at `xi`, `eta`: what is added to each.
fn harmonics(series: &[[f64; 6]; 6], xi: f64, eta: f64) -> (f64, f64) {
    let mut sum = (0.0, 0.0);
    for (row, order) in series.iter().zip([2.0, 4.0, 6.0, 8.0, 10.0, 12.0]) {
        let coefficient = row.iter().rev().fold(0.0, |sum, term| (sum + term) * N);
        sum.0 += coefficient * (order * xi).sin() * (order * eta).cosh();
        sum.1 += coefficient * (order * xi).cos() * (order * eta).sinh();
    }
    sum
}

/// The tangent of the conformal latitude for that of the latitude; equations 7
/// to 9.
fn conformal(tau: f64) -> f64 {
    let root = tau.hypot(1.0);
    let e = E2.sqrt();
    let sigma = (e * (e * tau / root).atanh()).sinh();
    tau * sigma.hypot(1.0) - sigma * root
}

/// Metres east of the central meridian and north of the equator, of a latitude
/// and of degrees east of that meridian.
pub(super) fn project(latitude_deg: f64, east_deg: f64) -> (f64, f64) {
    let (latitude, east) = (latitude_deg.to_radians(), east_deg.to_radians());
    let tau = conformal(latitude.tan());
    let xi = tau.atan2(east.cos());
    let eta = (east.sin() / tau.hypot(east.cos())).asinh();
    let (more_xi, more_eta) = harmonics(&ALPHA, xi, eta);
    (radius_m() * (eta + more_eta), radius_m() * (xi + more_xi))
}

/// The way back: latitude and degrees east of the central meridian.
pub(super) fn unproject(east_m: f64, north_m: f64) -> (f64, f64) {
    let (xi, eta) = (north_m / radius_m(), east_m / radius_m());
    let (less_xi, less_eta) = harmonics(&BETA, xi, eta);
    let (xi, eta) = (xi - less_xi, eta - less_eta);
    let wanted = xi.sin() / eta.sinh().hypot(xi.cos());
    let east = eta.sinh().atan2(xi.cos());
    // Newton's method, equations 19 to 21; two steps reach the last digit.
    let mut tau = wanted;
    for _ in 0..5 {
        let reached = conformal(tau);
        let slope = (1.0 + (1.0 - E2) * tau * tau) / ((1.0 - E2) * tau.hypot(1.0));
        tau += (wanted - reached) / reached.hypot(1.0) * slope;
    }
    (tau.atan().to_degrees(), east.to_degrees())
}
