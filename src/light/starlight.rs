//! Light of the stars and of the dust they light, over the whole sky.

use super::interpolation::{between, cell};

const COARSE_LATITUDES_DEG: [f64; 13] = [
    -75.0, -45.0, -30.0, -20.0, -10.0, -5.0, 0.0, 5.0, 10.0, 20.0, 30.0, 45.0, 75.0,
];
/// Each 30 deg of longitude; the first stands at the end again, so that the
/// table closes.
const COARSE_LONGITUDES: usize = 12;
#[rustfmt::skip]
const COARSE_S10: [[f64; COARSE_LONGITUDES]; 13] = [
    [35.0, 38.0, 37.0, 33.0, 34.0, 34.0, 32.0, 35.0, 33.0, 34.0, 34.0, 36.0],
    [58.0, 55.0, 48.0, 46.0, 43.0, 40.0, 42.0, 45.0, 46.0, 50.0, 59.0, 56.0],
    [87.0, 86.0, 76.0, 68.0, 67.0, 55.0, 46.0, 69.0, 68.0, 92.0, 69.0, 86.0],
    [146.0, 114.0, 121.0, 107.0, 100.0, 82.0, 67.0, 99.0, 100.0, 106.0, 98.0, 140.0],
    [428.0, 204.0, 234.0, 182.0, 168.0, 124.0, 85.0, 120.0, 207.0, 190.0, 207.0, 311.0],
    [678.0, 305.0, 290.0, 261.0, 209.0, 133.0, 125.0, 178.0, 247.0, 276.0, 346.0, 431.0],
    [270.0, 173.0, 234.0, 235.0, 198.0, 108.0, 166.0, 220.0, 287.0, 218.0, 457.0, 304.0],
    [290.0, 120.0, 294.0, 174.0, 113.0, 119.0, 159.0, 214.0, 250.0, 209.0, 320.0, 262.0],
    [247.0, 157.0, 216.0, 167.0, 117.0, 89.0, 135.0, 157.0, 165.0, 167.0, 203.0, 220.0],
    [67.0, 108.0, 118.0, 103.0, 83.0, 85.0, 89.0, 94.0, 88.0, 94.0, 104.0, 115.0],
    [62.0, 73.0, 76.0, 67.0, 60.0, 60.0, 59.0, 63.0, 63.0, 61.0, 69.0, 74.0],
    [45.0, 48.0, 49.0, 47.0, 44.0, 42.0, 43.0, 42.0, 41.0, 43.0, 48.0, 47.0],
    [33.0, 33.0, 31.0, 32.0, 30.0, 32.0, 30.0, 30.0, 31.0, 31.0, 33.0, 31.0],
];

const FINE_LATITUDES_DEG: [f64; 12] = [
    -16.0, -12.0, -10.0, -8.0, -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0, 12.0,
];
const FINE_LONGITUDES_DEG: [f64; 11] = [
    -30.0, -20.0, -15.0, -10.0, -5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 30.0,
];
/// The fine table of the core, rows by latitude.
#[rustfmt::skip]
const FINE_S10: [[f64; 11]; 12] = [
    [198.0, 182.0, 207.0, 231.0, 217.0, 221.0, 207.0, 202.0, 190.0, 189.0, 141.0],
    [262.0, 254.0, 285.0, 304.0, 332.0, 356.0, 324.0, 249.0, 235.0, 268.0, 162.0],
    [301.0, 310.0, 343.0, 376.0, 462.0, 469.0, 412.0, 266.0, 311.0, 266.0, 199.0],
    [338.0, 396.0, 405.0, 482.0, 614.0, 618.0, 516.0, 384.0, 351.0, 278.0, 204.0],
    [441.0, 383.0, 495.0, 536.0, 687.0, 725.0, 781.0, 530.0, 387.0, 301.0, 226.0],
    [533.0, 289.0, 360.0, 400.0, 659.0, 732.0, 791.0, 531.0, 455.0, 302.0, 276.0],
    [634.0, 274.0, 241.0, 362.0, 333.0, 591.0, 459.0, 368.0, 421.0, 345.0, 215.0],
    [299.0, 372.0, 199.0, 229.0, 239.0, 264.0, 282.0, 327.0, 337.0, 171.0, 168.0],
    [237.0, 265.0, 370.0, 223.0, 246.0, 212.0, 271.0, 230.0, 205.0, 165.0, 127.0],
    [293.0, 192.0, 295.0, 324.0, 343.0, 149.0, 280.0, 275.0, 185.0, 88.0, 64.0],
    [265.0, 132.0, 151.0, 255.0, 393.0, 226.0, 191.0, 324.0, 130.0, 76.0, 122.0],
    [230.0, 154.0, 160.0, 174.0, 202.0, 176.0, 220.0, 135.0, 88.0, 67.0, 190.0],
];

/// A field on the sky by galactic coordinates, degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Galactic longitude of its middle.
    pub longitude_deg: f64,
    /// Galactic latitude of its middle.
    pub latitude_deg: f64,
    /// How far it reaches in longitude, from edge to edge.
    pub width_deg: f64,
    /// How far it reaches in latitude, from edge to edge.
    pub height_deg: f64,
}

/// The field over which the contrast of the core is meant: the bright half
/// below the plane, 10 by 6 deg, about a fist at arm's length.
///
/// The best 2 deg in it are a quarter of a magnitude brighter; the plane
/// itself at longitude 0 is a magnitude fainter, behind dust.
pub const CORE_FIELD: Field = Field {
    longitude_deg: 2.0,
    latitude_deg: -5.0,
    width_deg: 10.0,
    height_deg: 6.0,
};

/// Mean light of [`CORE_FIELD`] outside the air, S10 (20.65 V mag/arcsec2).
///
/// # Source
/// Mean of the map from which the tables of [`starlight_s10`] were drawn.
pub const CORE_FIELD_S10: f64 = 713.0;

/// Starlight and diffuse galactic light outside the air.
///
/// From galactic longitude (any turn) and latitude (held to -90..90), both
/// degrees, to S10 in V, 30 to 800. Stars brighter than 6.5 mag and the
/// Magellanic Clouds are left out. Good to 20-30 % over 10 deg, up to 50 % in
/// dark rifts and on single cells of 5 by 2 deg; clouds of a few degrees
/// outside the core (Scutum, Carina) come out up to half too faint.
/// Continuous, also where the fine table of the core passes into the coarse
/// one; beyond 75 deg of latitude it does not change any more.
///
/// # Source
/// The project's tables: stars to G = 10 from Gaia (ESA/Gaia/DPAC), the
/// fainter ones by the shape of Deep Star Maps 2020 (NASA/Goddard Space Flight
/// Center Scientific Visualization Studio; Gaia DR2), the mean of the sky set
/// to 105 S10 of stars (Seares 1925, as quoted by Roach & Megill, *ApJ* 133,
/// 228, 1961), times 1.25 for diffuse galactic light (Bianchi 2024, arXiv
/// 2409.15778: about a quarter).
pub fn starlight_s10(galactic_longitude_deg: f64, galactic_latitude_deg: f64) -> f64 {
    let turned = galactic_longitude_deg.rem_euclid(360.0);
    let signed = if turned > 180.0 {
        turned - 360.0
    } else {
        turned
    };
    let latitude_deg = galactic_latitude_deg.clamp(-90.0, 90.0);
    let weight = fine_weight(signed, latitude_deg);
    if weight <= 0.0 {
        coarse_ln(turned, latitude_deg).exp()
    } else if weight >= 1.0 {
        fine_ln(signed, latitude_deg).exp()
    } else {
        between(
            coarse_ln(turned, latitude_deg),
            fine_ln(signed, latitude_deg),
            weight,
        )
        .exp()
    }
}

/// Mean of [`starlight_s10`] over a field.
///
/// To S10. Sums 16 by 16 places, each as wide as it is on the sky: for targets
/// chosen once, not for each instant.
pub fn mean_s10(field: &Field) -> f64 {
    const STEPS: u32 = 16;
    let place = |middle: f64, size: f64, step: u32| {
        middle + size * ((f64::from(step) + 0.5) / f64::from(STEPS) - 0.5)
    };
    let (mut sum, mut area) = (0.0, 0.0);
    for row in 0..STEPS {
        let latitude_deg = place(field.latitude_deg, field.height_deg, row).clamp(-90.0, 90.0);
        let width = latitude_deg.to_radians().cos();
        for column in 0..STEPS {
            let longitude_deg = place(field.longitude_deg, field.width_deg, column);
            sum += width * starlight_s10(longitude_deg, latitude_deg);
            area += width;
        }
    }
    sum / area
}

/// ln S10 by the coarse table; longitude 0..360.
fn coarse_ln(longitude_deg: f64, latitude_deg: f64) -> f64 {
    const STEP_DEG: f64 = 360.0 / COARSE_LONGITUDES as f64;
    let turn = longitude_deg / STEP_DEG;
    // rem_euclid may round up to 360 itself: the last cell's end.
    let left = (turn as usize).min(COARSE_LONGITUDES - 1);
    let right = (left + 1) % COARSE_LONGITUDES;
    let along = turn - left as f64;
    let (row, up) = cell(&COARSE_LATITUDES_DEG, latitude_deg);
    let at = |row: usize| {
        between(
            COARSE_S10[row][left].ln(),
            COARSE_S10[row][right].ln(),
            along,
        )
    };
    between(at(row), at(row + 1), up)
}

/// ln S10 by the fine table; longitude -180..180.
fn fine_ln(longitude_deg: f64, latitude_deg: f64) -> f64 {
    let (column, along) = cell(&FINE_LONGITUDES_DEG, longitude_deg);
    let (row, up) = cell(&FINE_LATITUDES_DEG, latitude_deg);
    let at = |row: usize| {
        between(
            FINE_S10[row][column].ln(),
            FINE_S10[row][column + 1].ln(),
            along,
        )
    };
    between(at(row), at(row + 1), up)
}

/// How much the fine table counts: 1 inside, falling to 0 across the outermost
/// cells, which reach beyond their middles; longitude -180..180.
fn fine_weight(longitude_deg: f64, latitude_deg: f64) -> f64 {
    let east_west = (32.5 - longitude_deg.abs()) / 5.0;
    let north_south = (14.0 - latitude_deg).min(latitude_deg + 18.0) / 4.0;
    east_west.clamp(0.0, 1.0) * north_south.clamp(0.0, 1.0)
}
