//! How fast a contrast can change, so that a search over time can take long
//! steps and still miss nothing.

use super::{
    contrast_known::{SEPARATION_RATE, ZODIACAL_RATE},
    lighting::{ECLIPSE_WITHIN_DEG, Lighting},
    pace::{MovingSky, Paces},
};
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

/// The fastest that the logarithm of a contrast falls and rises, per second.
struct Changes {
    fall: f64,
    rise: f64,
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

/// Times over which changes are bounded, seconds. What can be told of longer ones
/// is told from their middle, see [`Lighting::is_contrast_within`].
const LOOK_AHEAD_SECONDS: [f64; 3] = [20.0, 150.0, 900.0];
/// Steepest change of the logarithm of twilight's factor toward the Sun, per
/// degree that the sky turns.
const DIRECTION_SLOPE: f64 = 0.15;
/// The night that the twilight fit contains, cd/m2: 21.94 mag/arcsec2.
const FIT_NIGHT_CD_M2: f64 = 1.81e-4;
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
    /// of the light that changes fastest. Slopes are per degree of altitude; how
    /// fast bodies rise and sink depends on where they stand. The longer one
    /// looks ahead, the wider the bounds. `latitude`: its sine and cosine.
    pub fn safe_seconds(
        &self,
        input: &LightInput,
        behind: &SkyBehind,
        sky: &LightGeometry,
        latitude: (f64, f64),
        distance: f64,
        change: Change,
    ) -> f64 {
        let moving = MovingSky::of(sky, latitude);
        let within = |seconds: f64| {
            let paces = moving.paces(seconds);
            let rates = self.fastest_changes(input, behind, sky, &paces);
            let twilight = self.twilight_change(input, behind, &paces);
            let (rate, size) = match change {
                Change::Either => (rates.fall.max(rates.rise), twilight.fall.max(twilight.rise)),
                Change::Rise => (rates.rise, twilight.rise),
                Change::Fall => (rates.fall, twilight.fall),
            };
            let by_size = (distance - size) / rate;
            let by_rate = distance / (rate + twilight.rate);
            by_size.max(by_rate).min(seconds)
        };
        let mut surest = 0.0_f64;
        for seconds in LOOK_AHEAD_SECONDS {
            surest = surest.max(within(seconds));
            // A longer look has wider bounds.
            if surest < seconds {
                break;
            }
        }
        surest
    }

    /// The fastest that it can change, per second, but for twilight. Where the
    /// target rises, the Milky Way grows brighter and the moonlit sky before it
    /// darker; where the Moon rises, the sky grows brighter.
    fn fastest_changes(
        &self,
        input: &LightInput,
        behind: &SkyBehind,
        sky: &LightGeometry,
        paces: &Paces,
    ) -> Changes {
        let Paces { moon, target, .. } = paces;
        let k = LN_PER_MAG * self.extinction_mag;
        let lowest_deg = (input.target_altitude_deg - paces.reach_deg(target.down)).max(0.0);
        let highest_deg = input.target_altitude_deg + paces.reach_deg(target.up);
        // A target below the horizon counts as on it.
        let moves = match highest_deg < 0.0 {
            true => 0.0,
            false => 1.0,
        };
        let milky_way = moves * k * extinction_path_slope(lowest_deg);
        let path_slope = moves * steepest_shell_slope(lowest_deg);
        let path = shell_path(highest_deg);
        let growth = AIRGLOW_PART * path_slope / (1.0 - AIRGLOW_PART + AIRGLOW_PART * path);
        // 1.5: zodiacal light may be taken away from the growing sky.
        let dark = 1.5 * (growth + k * path_slope) * target.either() + ZODIACAL_RATE;
        // The air toward the target scatters no faster than its path grows.
        let scattered = path_slope / path;
        let moonrise = match input.moon_altitude_deg - paces.reach_deg(moon.down) {
            m if m >= LOW_MOON_DEG => k * steepest_shell_slope(m),
            m if m >= 0.0 => LOW_MOON_SLOPE,
            m => LOW_MOON_SLOPE + 0.40 + 0.17 * m.abs().min(12.0 + paces.reach_deg(moon.up)),
        };
        let moon_share = moon_share(input, behind, lowest_deg, paces);
        let seconds = paces.seconds;
        let separation_deg =
            (input.moon_target_separation_deg - SEPARATION_RATE * seconds).max(0.25);
        let eclipse = if sky.phase_angle_deg < ECLIPSE_WITHIN_DEG + SEPARATION_RATE * seconds {
            ECLIPSE_RATE
        } else {
            0.0
        };
        let beside =
            moon_share * (SEPARATION_RATE * (0.1 + 2.0 / separation_deg) + PHASE_RATE + eclipse);
        let always = FASTEST_RISE * self.glow_slope(lowest_deg) + beside;
        let snow = SNOW_SLOPE * moon.either();
        let sky_grows = |moon_up: f64, target_down: f64| {
            let moonlit = moon_up * moonrise + snow + target_down * scattered;
            dark.max(moon_share * moonlit)
        };
        Changes {
            fall: target.down * milky_way + sky_grows(moon.up, target.down) + always,
            rise: target.up * milky_way + sky_grows(moon.down, target.up) + always,
        }
    }

    /// The most by which twilight can change that logarithm meanwhile: by how
    /// much the contrast can fall, by how much it can rise, and how fast.
    fn twilight_change(&self, input: &LightInput, behind: &SkyBehind, paces: &Paces) -> Twilight {
        let highest_deg = input.sun_altitude_deg + paces.reach_deg(paces.sun.up);
        if highest_deg <= twilight::END_DEG {
            return Twilight::default();
        }
        let lowest_deg = (input.target_altitude_deg - paces.reach_deg(paces.target.down)).max(0.0);
        let brightest = twilight::direction_factor(lowest_deg, 0.0);
        let darkest_cd_m2 = 0.5 * behind.dark_cd_m2;
        let now_cd_m2 = behind.twilight_cd_m2;
        let most_cd_m2 = {
            let zenith_cd_m2 = twilight::sky_cd_m2(highest_deg);
            let grown = zenith_cd_m2 / twilight::sky_cd_m2(input.sun_altitude_deg);
            let turned = (DIRECTION_SLOPE * paces.reach_deg(FASTEST_RISE)).exp();
            // Before twilight nothing is known of its direction.
            let from_now = now_cd_m2 * grown * turned;
            match from_now.is_finite() {
                true => from_now.max(now_cd_m2).min(brightest * zenith_cd_m2),
                false => brightest * zenith_cd_m2,
            }
        };
        let come = (darkest_cd_m2 + most_cd_m2) / (darkest_cd_m2 + now_cd_m2);
        let least_cd_m2 = least_twilight_cd_m2(input, behind, paces);
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

/// The least twilight while the Sun sinks, cd/m2: what is left of it, and no
/// less than in the zenith.
fn least_twilight_cd_m2(input: &LightInput, behind: &SkyBehind, paces: &Paces) -> f64 {
    if behind.twilight_cd_m2 == 0.0 {
        return 0.0;
    }
    let sunk_deg = input.sun_altitude_deg - paces.reach_deg(paces.sun.down);
    let zenith_cd_m2 = twilight::sky_cd_m2(sunk_deg);
    let left = zenith_cd_m2 / twilight::sky_cd_m2(input.sun_altitude_deg);
    let turned = (-DIRECTION_SLOPE * paces.reach_deg(FASTEST_RISE)).exp();
    (behind.twilight_cd_m2 * left * turned)
        .max(zenith_cd_m2)
        .min(behind.twilight_cd_m2)
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

/// The most that the Moon's glow can be of the sky meanwhile, 0 to 1, with a
/// target that sinks to `lowest_deg`. The dark sky changes by less than half.
fn moon_share(input: &LightInput, behind: &SkyBehind, lowest_deg: f64, paces: &Paces) -> f64 {
    let altitude_deg = input.moon_altitude_deg;
    let highest_deg = altitude_deg + paces.reach_deg(paces.moon.up);
    if highest_deg < NO_GLOW_DEG {
        return 0.0;
    }
    // Close to the Moon the sky changes by its place more than by its height.
    if input.moon_target_separation_deg < 10.0 {
        return 1.0;
    }
    let least_cd_m2 = 0.5 * behind.dark_cd_m2 + least_twilight_cd_m2(input, behind, paces);
    let most_cd_m2 = if altitude_deg < NO_GLOW_DEG {
        // Nothing is known of its phase: a full Moon on the horizon gives less
        // than fifty dark skies.
        50.0 * behind.dark_cd_m2 * glow_factor_below_horizon(highest_deg)
    } else {
        let through = |altitude_deg| moon_transmission(altitude_deg, input.extinction_mag);
        let deeper = shell_path(lowest_deg) / shell_path(input.target_altitude_deg);
        // 3: over snow a high Moon has up to twice the glow of a low one; the
        // rest is for its way toward the target.
        3.0 * behind.moonlit_cd_m2 * deeper * through(highest_deg) / through(altitude_deg)
    };
    (most_cd_m2 / least_cd_m2).min(1.0)
}
