//! Sunlight on the dust between the planets, behind the target.

use super::{
    interpolation::{between, cell},
    photometry::{S10_CD_M2, dimmed_by_mag},
};
use crate::turn::in_one_turn;

/// Zodiacal light that a reading of the zenith sky holds already, S10.
///
/// The zenith of a dark hour has 60 to 105 S10 of it. The project's choice
/// within that.
pub const IN_ZENITH_READING_S10: f64 = 80.0;

/// Part of the extinction of a star that zodiacal light suffers.
///
/// Half: what the air takes out of a light spread over the sky it mostly
/// scatters back in from beside. Practice of Noll et al., *A&A* 543, A92
/// (2012), from memory.
const EXTENDED_SOURCE_PART: f64 = 0.5;

const LONGITUDES_DEG: [f64; 19] = [
    0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0,
    135.0, 150.0, 165.0, 180.0,
];
const LATITUDES_DEG: [f64; 11] = [
    0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 45.0, 60.0, 75.0, 90.0,
];

/// Rows by longitude from the Sun, columns by latitude. The ten places nearest
/// to the Sun are blank in print; each has the value of its own latitude that
/// stands nearest to it.
#[rustfmt::skip]
const TABLE_S10: [[f64; 11]; 19] = [
    [9000.0, 5300.0, 3700.0, 2450.0, 1260.0, 770.0, 500.0, 215.0, 117.0, 78.0, 60.0],
    [9000.0, 5300.0, 3700.0, 2300.0, 1200.0, 740.0, 490.0, 212.0, 117.0, 78.0, 60.0],
    [9000.0, 5300.0, 3700.0, 1930.0, 1070.0, 675.0, 460.0, 206.0, 116.0, 78.0, 60.0],
    [9000.0, 5300.0, 2690.0, 1450.0, 870.0, 590.0, 410.0, 196.0, 114.0, 78.0, 60.0],
    [5000.0, 3500.0, 1880.0, 1100.0, 710.0, 495.0, 355.0, 185.0, 110.0, 77.0, 60.0],
    [3000.0, 2210.0, 1350.0, 860.0, 585.0, 425.0, 320.0, 174.0, 106.0, 76.0, 60.0],
    [1940.0, 1460.0, 955.0, 660.0, 480.0, 365.0, 285.0, 162.0, 102.0, 74.0, 60.0],
    [1290.0, 990.0, 710.0, 530.0, 400.0, 310.0, 250.0, 151.0, 98.0, 73.0, 60.0],
    [925.0, 735.0, 545.0, 415.0, 325.0, 264.0, 220.0, 140.0, 94.0, 72.0, 60.0],
    [710.0, 570.0, 435.0, 345.0, 278.0, 228.0, 195.0, 130.0, 91.0, 70.0, 60.0],
    [395.0, 345.0, 275.0, 228.0, 190.0, 163.0, 143.0, 105.0, 81.0, 67.0, 60.0],
    [264.0, 248.0, 210.0, 177.0, 153.0, 134.0, 118.0, 91.0, 73.0, 64.0, 60.0],
    [202.0, 196.0, 176.0, 151.0, 130.0, 115.0, 103.0, 81.0, 67.0, 62.0, 60.0],
    [166.0, 164.0, 154.0, 133.0, 117.0, 104.0, 93.0, 75.0, 64.0, 60.0, 60.0],
    [147.0, 145.0, 138.0, 120.0, 108.0, 98.0, 88.0, 70.0, 60.0, 58.0, 60.0],
    [140.0, 139.0, 130.0, 115.0, 105.0, 95.0, 86.0, 70.0, 60.0, 57.0, 60.0],
    [140.0, 139.0, 129.0, 116.0, 107.0, 99.0, 91.0, 75.0, 62.0, 56.0, 60.0],
    [153.0, 150.0, 140.0, 129.0, 118.0, 110.0, 102.0, 81.0, 64.0, 56.0, 60.0],
    [180.0, 166.0, 152.0, 139.0, 127.0, 116.0, 105.0, 82.0, 65.0, 56.0, 60.0],
];

/// Zodiacal light outside the air.
///
/// From ecliptic longitude less the Sun's and ecliptic latitude (both degrees,
/// any sign, any turn) to S10 in V, 56 to 9000. Continuous. Within 15 deg of
/// the Sun, where no night looks, it is held at the nearest printed value.
///
/// # Source
/// Leinert, Ch. et al., *A&AS* 127, 1 (1998), table 16 (500 nm), bilinear.
pub fn zodiacal_s10(longitude_from_sun_deg: f64, latitude_deg: f64) -> f64 {
    let turned = in_one_turn(longitude_from_sun_deg);
    let (row, along) = cell(&LONGITUDES_DEG, turned.min(360.0 - turned));
    let (column, across) = cell(&LATITUDES_DEG, latitude_deg.abs());
    let at = |row: usize| between(TABLE_S10[row][column], TABLE_S10[row][column + 1], across);
    between(at(row), at(row + 1), along)
}

/// What zodiacal light adds to the sky behind a target, over what the zenith
/// reading holds already.
///
/// From S10 outside the air ([`zodiacal_s10`]), extinction (V mag per air
/// mass) and the target's [`shell_path`](super::air_mass::shell_path) to
/// cd/m2. Negative, by 2e-5 at most, where the target has less than
/// [`IN_ZENITH_READING_S10`].
///
/// # Source
/// The project's: the difference to [`IN_ZENITH_READING_S10`], dimmed by half
/// the extinction of a star.
pub fn added_cd_m2(s10: f64, extinction_mag: f64, shell_path: f64) -> f64 {
    S10_CD_M2
        * (s10 - IN_ZENITH_READING_S10)
        * dimmed_by_mag(EXTENDED_SOURCE_PART * extinction_mag * shell_path)
}
