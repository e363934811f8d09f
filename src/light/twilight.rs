//! What the Sun below the horizon still gives land and sky.

use super::{
    air_mass,
    photometry::{ZERO_MAG_CD_M2, dimmed_by_mag},
};

/// Altitude of the Sun at which astronomical twilight ends, degrees.
pub const END_DEG: f64 = -18.0;

/// One stretch of the published curve: log10 lux as a cubic in altitude / 90.
struct Stretch {
    low_deg: f64,
    high_deg: f64,
    cubic: [f64; 4],
    /// What brings each end to the mean of the two stretches that meet there.
    low_mend: f64,
    high_mend: f64,
}

const fn cubic(c: &[f64; 4], altitude_deg: f64) -> f64 {
    let x = altitude_deg / 90.0;
    c[0] + x * (c[1] + x * (c[2] + x * c[3]))
}

const CUBICS: [[f64; 4]; 6] = [
    [13.84, 262.72, 1447.42, 2797.93],
    [2.70, 12.17, -431.69, -1899.83],
    [2.88, 21.81, -258.11, -858.36],
    [2.88, 22.26, -207.64, 1034.30],
    [3.05, 13.28, -45.98, 64.33],
    [3.74, 3.97, -4.07, 1.47],
];
const JOINS_DEG: [f64; 7] = [-18.0, -12.0, -5.0, -0.8, 5.0, 20.0, 90.0];

const fn half_step(lower: usize, at_deg: f64) -> f64 {
    0.5 * (cubic(&CUBICS[lower + 1], at_deg) - cubic(&CUBICS[lower], at_deg))
}

const STRETCHES: [Stretch; 6] = {
    const EMPTY: Stretch = Stretch {
        low_deg: 0.0,
        high_deg: 0.0,
        cubic: [0.0; 4],
        low_mend: 0.0,
        high_mend: 0.0,
    };
    let mut all = [EMPTY; 6];
    let mut i = 0;
    while i < 6 {
        all[i] = Stretch {
            low_deg: JOINS_DEG[i],
            high_deg: JOINS_DEG[i + 1],
            cubic: CUBICS[i],
            low_mend: if i == 0 {
                0.0
            } else {
                -half_step(i - 1, JOINS_DEG[i])
            },
            high_mend: if i == 5 {
                0.0
            } else {
                half_step(i, JOINS_DEG[i + 1])
            },
        };
        i += 1;
    }
    all
};

/// log10 of the lux that the published curve ends with, at -18 deg.
const NIGHT_LOG_LUX: f64 = cubic(&CUBICS[0], END_DEG);

/// Light on level ground under a clear sky, the night's own light included.
///
/// From the Sun's geometric altitude (degrees) to lux. Continuous and never
/// falling; from -18 deg down it stays at 6.45e-4, which is the moonless
/// night itself (an even sky of 21.8 mag/arcsec2 gives the same).
///
/// # Source
/// *Explanatory Supplement to the Astronomical Almanac* (Seidelmann, ed.,
/// 1992), Sun's cubics. The steps of up to 1 % where two of them meet are
/// shared out over both, at most 0.5 % of the printed value.
pub fn clear_sky_lux(sun_altitude_deg: f64) -> f64 {
    let altitude_deg = sun_altitude_deg.min(90.0);
    for stretch in &STRETCHES {
        if altitude_deg <= stretch.high_deg {
            if altitude_deg <= stretch.low_deg {
                break;
            }
            let along = (altitude_deg - stretch.low_deg) / (stretch.high_deg - stretch.low_deg);
            let mend = stretch.low_mend + along * (stretch.high_mend - stretch.low_mend);
            return dimmed_by_mag(-2.5 * (cubic(&stretch.cubic, altitude_deg) + mend));
        }
    }
    dimmed_by_mag(-2.5 * NIGHT_LOG_LUX)
}

/// What the Sun alone adds on level ground.
///
/// From its geometric altitude (degrees) to lux: [`clear_sky_lux`] less the
/// night that the curve ends with; 0 from -18 deg down, continuous there.
pub fn ground_lux(sun_altitude_deg: f64) -> f64 {
    if sun_altitude_deg <= END_DEG {
        return 0.0;
    }
    (clear_sky_lux(sun_altitude_deg) - dimmed_by_mag(-2.5 * NIGHT_LOG_LUX)).max(0.0)
}

/// Altitude of the Sun at which the fit to the zenith sky begins, degrees.
const FIT_BEGINS_DEG: f64 = -5.0;

/// Brightness of the zenith sky in twilight, night included.
///
/// From degrees of the Sun below -5 deg (0 to 13) to V mag/arcsec2.
///
/// # Source
/// Patat, Ugolnikov & Postylyakov, *A&A* 455, 385 (2006), V, Paranal; fitted
/// for 0 to 10 deg, scatter about 0.2 mag.
pub const fn zenith_fit_mag_arcsec2(below_5_deg: f64) -> f64 {
    11.84 + below_5_deg * (1.518 - 0.057 * below_5_deg)
}

/// What the Sun adds to the sky.
///
/// From its geometric altitude (degrees) to cd/m2 at the zenith; elsewhere times
/// [`direction_factor`]. 0 from -18 deg down, continuous, never falling with
/// altitude. By day it only says "bright".
///
/// # Source
/// [`zenith_fit_mag_arcsec2`] less its own value at -18 deg (21.94, the night
/// that the fit contains); above -5 deg in proportion to [`ground_lux`].
pub fn sky_cd_m2(sun_altitude_deg: f64) -> f64 {
    const NIGHT_MAG: f64 = zenith_fit_mag_arcsec2(FIT_BEGINS_DEG - END_DEG);
    if sun_altitude_deg <= END_DEG {
        return 0.0;
    }
    let below_deg = (FIT_BEGINS_DEG - sun_altitude_deg).max(0.0);
    let mag = zenith_fit_mag_arcsec2(below_deg);
    let in_fit = (ZERO_MAG_CD_M2 * (dimmed_by_mag(mag) - dimmed_by_mag(NIGHT_MAG))).max(0.0);
    if sun_altitude_deg <= FIT_BEGINS_DEG {
        in_fit
    } else {
        in_fit * ground_lux(sun_altitude_deg) / ground_lux(FIT_BEGINS_DEG)
    }
}

/// 1 - 1/X at the altitude of 20 deg, where the excess toward the Sun has its
/// measure.
const LOWNESS_WHERE_MEASURED: f64 = 0.609745;

/// How much brighter twilight is in a direction than at the zenith.
///
/// From the target's apparent altitude and the angle from the Sun's azimuth to
/// its (degrees) to a ratio for [`sky_cd_m2`]: exactly 1 at the zenith,
/// whatever the azimuth; at 20 deg 2.6 away from the Sun and 8.5 toward it.
/// Meant for the Sun at -8, fair from -6 to -12; the bright arch of a Sun
/// nearer to the horizon is narrower and stronger, and below 10 deg of
/// altitude haze decides. Continuous.
///
/// # Source
/// The project's fit at -8 deg to a computation that follows light through a
/// spherical atmosphere: [`air_mass::shell_path`] for the altitude, and 1.3
/// ((1 + cos a)/2)^3 magnitudes toward the Sun. The excess toward the Sun
/// grows here as 1 - 1/X, 1 at 20 deg: it has to vanish at the zenith, and
/// the height of the Earth's shadow along the line of sight departs from that
/// overhead in the same proportion (0.46 at 45 deg of that at 20).
pub fn direction_factor(target_altitude_deg: f64, azimuth_from_sun_deg: f64) -> f64 {
    let path = air_mass::shell_path(target_altitude_deg);
    let lowness = (1.0 - 1.0 / path) / LOWNESS_WHERE_MEASURED;
    let facing = 0.5 * (1.0 + azimuth_from_sun_deg.to_radians().cos());
    path * dimmed_by_mag(-1.3 * lowness * facing * facing * facing)
}
