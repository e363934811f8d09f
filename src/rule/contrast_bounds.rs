//! How fast a contrast can change, so that a search over time can take long
//! steps and still miss nothing.

use super::lighting::{ECLIPSE_WITHIN_DEG, Lighting};
use crate::{
    ephemeris::{LightGeometry, SKY_RATE},
    light::{
        LightInput, SkyBehind,
        air_mass::{extinction_path_slope, shell_path},
        dark_sky::AIRGLOW_PART,
        moon_below::{NO_GLOW_DEG, glow_factor_below_horizon},
        scattered::{LOW_MOON_DEG, moon_transmission},
        twilight,
    },
};

/// No body rises or sinks faster, degrees a second: the sky's rate, the Moon's
/// own motion, and the change of refraction near the horizon.
const FASTEST_RISE: f64 = 1.35 * SKY_RATE * 180.0 / std::f64::consts::PI;
/// Natural logarithm of a magnitude.
const LN_PER_MAG: f64 = 0.4 * std::f64::consts::LN_10;
/// Steepest change of the shell path, per degree, and the altitude where that
/// is, degrees.
const SHELL_SLOPE: (f64, f64) = (0.164, 8.3);
/// Steepest change of the glow of a Moon from the horizon to 5 degrees, per
/// degree: that of the logarithm of the path on the horizon, and of the part
/// of its glow that is left there.
const LOW_MOON_SLOPE: f64 = 0.5;
/// The most that snow adds to that.
const SNOW_SLOPE: f64 = 0.03;
/// Steepest change of twilight's logarithm, per degree of the Sun's altitude,
/// and of its factor toward the Sun, per degree of the target's.
const TWILIGHT_SLOPE: f64 = 1.7;
/// What twilight can do to the logarithm of the contrast.
#[derive(Default)]
struct Twilight {
    fall: f64,
    rise: f64,
    rate: f64,
}

/// Which changes of a contrast matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Change {
    /// It is within its band: both.
    Either,
    /// It is too low: that it rises.
    Rise,
    /// It is too high: that it falls.
    Fall,
}

/// Times over which changes are bounded, seconds.
const LOOK_AHEAD_SECONDS: [f64; 4] = [3600.0, 1200.0, 300.0, 20.0];
/// Steepest change of the logarithm of twilight's factor toward the Sun, per
/// degree that the sky turns.
const DIRECTION_SLOPE: f64 = 0.15;
/// The night that the twilight fit contains, cd/m2: 21.94 mag/arcsec2.
const FIT_NIGHT_CD_M2: f64 = 1.81e-4;
/// Fastest change of the angle between Moon and target, degrees a second: the
/// Moon's own motion and its parallax.
const SEPARATION_RATE: f64 = 3e-4;
/// Fastest change of the light by the phase, per second.
const PHASE_RATE: f64 = 1e-5;
/// Fastest change of the light in an eclipse, per second: 25 magnitudes a
/// diameter, a diameter in three quarters of an hour.
const ECLIPSE_RATE: f64 = 0.0086;

impl Lighting {
    /// How long the logarithm of the Milky Way's contrast is sure to change by
    /// less than `distance` from an instant on, in the way that matters,
    /// seconds.
    ///
    /// The sky is a sum of lights, so its logarithm changes no faster than that
    /// of the light that changes fastest. Slopes are per degree of altitude;
    /// nothing rises faster than [`FASTEST_RISE`]. The longer one looks ahead,
    /// the wider the bounds.
    pub fn safe_seconds(
        &self,
        input: &LightInput,
        behind: &SkyBehind,
        sky: &LightGeometry,
        distance: f64,
        change: Change,
    ) -> f64 {
        let within = |seconds: f64| {
            let rate = self.fastest_change(input, behind, sky, seconds);
            let twilight = self.twilight_change(input, behind, seconds);
            let size = match change {
                Change::Either => twilight.fall.max(twilight.rise),
                Change::Rise => twilight.rise,
                Change::Fall => twilight.fall,
            };
            let by_size = (distance - size) / rate;
            let by_rate = distance / (rate + twilight.rate);
            by_size.max(by_rate).min(seconds)
        };
        let mut surest = 0.0_f64;
        for seconds in LOOK_AHEAD_SECONDS {
            // No look is sure of more than its own length.
            if surest >= seconds {
                break;
            }
            surest = surest.max(within(seconds));
        }
        surest
    }

    /// The fastest that it can change within `seconds`, per second, but for
    /// twilight.
    fn fastest_change(
        &self,
        input: &LightInput,
        behind: &SkyBehind,
        sky: &LightGeometry,
        seconds: f64,
    ) -> f64 {
        let reach_deg = FASTEST_RISE * seconds;
        let k = LN_PER_MAG * self.extinction_mag;
        let lowest_deg = (input.target_altitude_deg - reach_deg).max(0.0);
        // A target below the horizon counts as on it.
        let moves = match input.target_altitude_deg + reach_deg < 0.0 {
            true => 0.0,
            false => 1.0,
        };
        let milky_way = moves * k * extinction_path_slope(lowest_deg);
        // 1.5: zodiacal light may be taken away from the growing sky.
        let path_slope = moves * steepest_shell_slope(lowest_deg);
        let path = shell_path(input.target_altitude_deg + reach_deg);
        let growth = AIRGLOW_PART * path_slope / (1.0 - AIRGLOW_PART + AIRGLOW_PART * path);
        let dark = 1.5 * (growth + k * path_slope);
        // The air toward the target scatters no faster than its path grows.
        let scattered = path_slope / path;
        let falling = match input.moon_altitude_deg - reach_deg {
            m if m >= LOW_MOON_DEG => k * steepest_shell_slope(m) + SNOW_SLOPE,
            m if m >= 0.0 => LOW_MOON_SLOPE + SNOW_SLOPE,
            m => LOW_MOON_SLOPE + 0.40 + 0.17 * m.abs().min(12.0 + reach_deg),
        };
        let moon_slope = falling + scattered;
        let least_cd_m2 = least_sky_cd_m2(input, behind, reach_deg);
        let moon_share = moon_share(input, behind, reach_deg, least_cd_m2);
        let lights = dark.max(moon_share * moon_slope) + self.glow_slope(lowest_deg);
        let separation_deg =
            (input.moon_target_separation_deg - SEPARATION_RATE * seconds).max(0.25);
        let eclipse = if sky.phase_angle_deg < ECLIPSE_WITHIN_DEG + SEPARATION_RATE * seconds {
            ECLIPSE_RATE
        } else {
            0.0
        };
        let beside =
            moon_share * (SEPARATION_RATE * (0.1 + 2.0 / separation_deg) + PHASE_RATE + eclipse);
        FASTEST_RISE * (milky_way + lights) + beside
    }

    /// The most by which twilight can change that logarithm within `seconds`: by
    /// how much the contrast can fall, by how much it can rise, and how fast.
    fn twilight_change(&self, input: &LightInput, behind: &SkyBehind, seconds: f64) -> Twilight {
        let reach_deg = FASTEST_RISE * seconds;
        let highest_deg = input.sun_altitude_deg + reach_deg;
        if highest_deg <= twilight::END_DEG {
            return Twilight::default();
        }
        let lowest_deg = (input.target_altitude_deg - reach_deg).max(0.0);
        let brightest = twilight::direction_factor(lowest_deg, 0.0);
        let darkest_cd_m2 = 0.5 * behind.dark_cd_m2;
        let now_cd_m2 = behind.twilight_cd_m2;
        let most_cd_m2 = {
            let zenith_cd_m2 = twilight::sky_cd_m2(highest_deg);
            let grown = zenith_cd_m2 / twilight::sky_cd_m2(input.sun_altitude_deg);
            let turned = (DIRECTION_SLOPE * reach_deg).exp();
            // Before twilight nothing is known of its direction.
            let from_now = now_cd_m2 * grown * turned;
            match from_now.is_finite() {
                true => from_now.max(now_cd_m2).min(brightest * zenith_cd_m2),
                false => brightest * zenith_cd_m2,
            }
        };
        let come = (darkest_cd_m2 + most_cd_m2) / (darkest_cd_m2 + now_cd_m2);
        let least_cd_m2 = least_twilight_cd_m2(input, behind, reach_deg);
        let gone = behind.sky_cd_m2() / (behind.sky_cd_m2() - now_cd_m2 + least_cd_m2);
        // The fit is a difference that goes to 0: its slope is that of its
        // whole.
        let whole = brightest * FIT_NIGHT_CD_M2 / darkest_cd_m2;
        Twilight {
            fall: come.ln(),
            rise: gone.ln(),
            rate: FASTEST_RISE * TWILIGHT_SLOPE * (1.0 + whole),
        }
    }
}

/// The least twilight while the Sun sinks by `reach_deg`, cd/m2: what is left
/// of it, and no less than in the zenith.
fn least_twilight_cd_m2(input: &LightInput, behind: &SkyBehind, reach_deg: f64) -> f64 {
    if behind.twilight_cd_m2 == 0.0 {
        return 0.0;
    }
    let zenith_cd_m2 = twilight::sky_cd_m2(input.sun_altitude_deg - reach_deg);
    let left = zenith_cd_m2 / twilight::sky_cd_m2(input.sun_altitude_deg);
    let turned = (-DIRECTION_SLOPE * reach_deg).exp();
    (behind.twilight_cd_m2 * left * turned)
        .max(zenith_cd_m2)
        .min(behind.twilight_cd_m2)
}

/// The darkest that the sky can be meanwhile, cd/m2: the dark sky changes by
/// less than half.
fn least_sky_cd_m2(input: &LightInput, behind: &SkyBehind, reach_deg: f64) -> f64 {
    0.5 * behind.dark_cd_m2 + least_twilight_cd_m2(input, behind, reach_deg)
}

/// The steepest change of the shell path from an altitude upward, per degree.
fn steepest_shell_slope(lowest_deg: f64) -> f64 {
    let (steepest, at_deg) = SHELL_SLOPE;
    if lowest_deg <= at_deg {
        return steepest;
    }
    let (sin, cos) = lowest_deg.min(90.0).to_radians().sin_cos();
    let path = shell_path(lowest_deg);
    (0.96 * sin * cos * path * path * path).to_radians()
}

/// The most that the Moon's glow can be of a sky that is no darker than
/// `least_cd_m2` while the Moon rises by `reach_deg`, 0 to 1.
fn moon_share(input: &LightInput, behind: &SkyBehind, reach_deg: f64, least_cd_m2: f64) -> f64 {
    let altitude_deg = input.moon_altitude_deg;
    let highest_deg = altitude_deg + reach_deg;
    if highest_deg < NO_GLOW_DEG {
        return 0.0;
    }
    // Close to the Moon the sky changes by its place more than by its height.
    if input.moon_target_separation_deg < 10.0 {
        return 1.0;
    }
    let most_cd_m2 = if altitude_deg < NO_GLOW_DEG {
        // Nothing is known of its phase: a full Moon on the horizon gives less
        // than fifty dark skies.
        50.0 * behind.dark_cd_m2 * glow_factor_below_horizon(highest_deg)
    } else {
        let through = |altitude_deg| moon_transmission(altitude_deg, input.extinction_mag);
        // 2.5: over snow a high Moon has up to twice the glow of a low one.
        2.5 * behind.moonlit_cd_m2 * through(highest_deg) / through(altitude_deg)
    };
    (most_cd_m2 / least_cd_m2).min(1.0)
}
