//! What the light at a place depends on besides the time.

use super::ridge::Terrain;
use crate::{
    ephemeris::{Direction, Ephemeris, Horizontal, LightGeometry, SKY_RATE},
    light::{
        LandRange, LightInput, NO_SKYLINE_DEG, SkyBehind,
        air_mass::{extinction_path_slope, shell_path},
        assess, balance,
        dark_sky::{self, AIRGLOW_PART},
        eclipse_drop_mag,
        land_range::{ReflectanceKnown, half_width_stops},
        moon_below::{NO_GLOW_DEG, glow_factor_below_horizon},
        photometry::{luminance_cd_m2, s10_to_mag_arcsec2},
        scattered::LOW_MOON_DEG,
        sky_glow,
        starlight::{self, CORE_FIELD_S10, Field},
        twilight,
        zodiacal::zodiacal_s10,
    },
    scene::{Site, SkyGlow, Skyline},
};
use std::sync::Arc;

/// Phase angle beyond which the Moon is in no shadow of the Earth, degrees: the
/// penumbra and the Moon together reach 1.6 degrees from its axis.
const ECLIPSE_WITHIN_DEG: f64 = 2.0;

/// The size of the field over which the contrast of a target is meant,
/// degrees: that of the core's, see [`starlight::CORE_FIELD`].
const FIELD_DEG: (f64, f64) = (
    starlight::CORE_FIELD.width_deg,
    starlight::CORE_FIELD.height_deg,
);

/// Altitude at which the brightness of a dome is read, degrees.
const READ_AT_DEG: f64 = 5.0;
/// No body rises or sinks faster, degrees a second: the sky's rate, the Moon's
/// own motion, and the change of refraction near the horizon.
const FASTEST_RISE: f64 = 1.35 * SKY_RATE * 180.0 / std::f64::consts::PI;
/// Natural logarithm of a magnitude.
const LN_PER_MAG: f64 = 0.4 * std::f64::consts::LN_10;
/// Steepest change of the shell path, per degree, and the altitude where that
/// is, degrees.
const SHELL_SLOPE: (f64, f64) = (0.164, 8.3);
/// Steepest change of the glow of a Moon from the horizon to 5 degrees, per
/// degree: that of the logarithm of the path on the horizon.
const LOW_MOON_SLOPE: f64 = 0.4;
/// The most that snow adds to that.
const SNOW_SLOPE: f64 = 0.03;
/// Steepest change of twilight's logarithm, per degree of the Sun's altitude,
/// and of its factor toward the Sun, per degree of the target's.
const TWILIGHT_SLOPE: f64 = 1.7;
/// Times over which changes are bounded, seconds.
const LOOK_AHEAD_SECONDS: [f64; 4] = [3600.0, 1200.0, 400.0, 60.0];
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

/// How far a zenith brightness by Bortle class or a guess may be off,
/// magnitudes.
const UNSURE_ZENITH_MAG: f64 = 0.3;
/// How far a meter reading of another night may be off, magnitudes.
const UNSURE_METER_MAG: f64 = 0.2;
/// Clear and hazy air over the usual one of an elevation: 0.14 and 0.27 at the
/// sea.
const USUAL_AIR: [f64; 2] = [0.7, 1.35];
/// How far a given extinction may be off, magnitudes.
const UNSURE_AIR_MAG: [f64; 2] = [-0.03, 0.03];

/// The light of a place and a target, ready to be asked for any instant.
#[derive(Debug, Clone)]
pub(crate) struct Lighting {
    zenith_mag_arcsec2: f64,
    extinction_mag: f64,
    reflectance: f64,
    reflectance_known: ReflectanceKnown,
    zenith_approximate: bool,
    extinction_assumed: bool,
    milky_way_mag_arcsec2: Option<f64>,
    target_ecliptic_latitude_deg: f64,
    target_ecliptic_level: f64,
    skyline: Option<Arc<Skyline>>,
    sky_glow: Vec<SkyGlow>,
    /// The natural sky near the horizon, where domes are read, cd/m2.
    low_sky_cd_m2: f64,
    /// Steepest change of the logarithm of the domes' sky, per degree.
    glow_slope: f64,
}

impl Lighting {
    /// That of a site and a target.
    pub fn of(site: &Site, target: Direction, terrain: &Terrain) -> Self {
        let subject = site.subject.as_ref();
        let latitude_deg = target.ecliptic_latitude_deg();
        Self {
            zenith_mag_arcsec2: site.sky.zenith_mag_arcsec2,
            extinction_mag: site.sky.extinction_mag,
            reflectance: subject
                .and_then(|subject| subject.reflectance)
                .unwrap_or(balance::DEFAULT_REFLECTANCE),
            reflectance_known: match subject {
                Some(s) if s.reflectance.is_some() && s.reflectance_measured.is_some() => {
                    ReflectanceKnown::Calibrated
                }
                Some(s) if s.reflectance.is_some() => ReflectanceKnown::Given,
                _ => ReflectanceKnown::Default,
            },
            zenith_approximate: site.sky.approximate,
            extinction_assumed: site.sky.extinction_assumed,
            milky_way_mag_arcsec2: starlight_mag(target),
            target_ecliptic_latitude_deg: latitude_deg,
            target_ecliptic_level: latitude_deg.to_radians().cos().max(1e-6),
            skyline: terrain.subject.clone(),
            sky_glow: site.sky_glow.clone(),
            glow_slope: glow_slope(site),
            low_sky_cd_m2: luminance_cd_m2(site.sky.zenith_mag_arcsec2)
                * dark_sky::growth(READ_AT_DEG, site.sky.extinction_mag, dark_sky::AIRGLOW_PART),
        }
    }

    /// What the light depends on at an instant, for a camera that faces one
    /// way.
    pub fn input(&self, sky: &LightGeometry, ephemeris: &Ephemeris, facing_deg: f64) -> LightInput {
        let shadowed = sky.phase_angle_deg < ECLIPSE_WITHIN_DEG;
        LightInput {
            sun_altitude_deg: sky.sun_altitude_deg,
            sun_azimuth_deg: sky.sun_azimuth_deg,
            moon_altitude_deg: sky.moon.apparent_altitude_deg,
            moon_azimuth_deg: sky.moon.azimuth_deg,
            moon_phase_angle_deg: sky.phase_angle_deg,
            moon_distance_km: sky.moon.distance_km.unwrap_or(384_400.0),
            target_altitude_deg: sky.target.apparent_altitude_deg,
            target_azimuth_deg: sky.target.azimuth_deg,
            moon_target_separation_deg: sky.moon_target_separation_deg,
            facing_deg,
            zenith_mag_arcsec2: self.zenith_mag_arcsec2,
            extinction_mag: self.extinction_mag,
            reflectance: self.reflectance,
            milky_way_mag_arcsec2: self.milky_way_mag_arcsec2,
            zodiacal_s10: self.zodiacal_s10(sky.sun_target_cos),
            glow_cd_m2: self.glow_cd_m2(&sky.target),
            skyline_altitude_deg: self.skyline.as_ref().map_or(NO_SKYLINE_DEG, |skyline| {
                skyline.altitude_deg_at(sky.moon.azimuth_deg)
            }),
            eclipse_drop_mag: if shadowed {
                eclipse_drop_mag(ephemeris.shadow_magnitudes(sky.moment).umbral)
            } else {
                0.0
            },
        }
    }

    /// How sure the balance of land and sky of an instant is: from what is known
    /// of the land, and from the balances that an unsure zenith sky and unsure
    /// air would give.
    pub fn land_range(&self, input: &LightInput) -> LandRange {
        let stops = |input: &LightInput| assess(input).land_vs_sky_stops;
        let zenith = |mag: f64| {
            stops(&LightInput {
                zenith_mag_arcsec2: input.zenith_mag_arcsec2 + mag,
                ..*input
            })
        };
        let air = |mag: f64| {
            stops(&LightInput {
                extinction_mag: mag,
                ..*input
            })
        };
        let half = |a: f64, b: f64| 0.5 * (a - b).abs();
        let unsure_mag = if self.zenith_approximate {
            UNSURE_ZENITH_MAG
        } else {
            UNSURE_METER_MAG
        };
        let [clear, hazy] = if self.extinction_assumed {
            USUAL_AIR.map(|share| share * input.extinction_mag)
        } else {
            UNSURE_AIR_MAG.map(|mag| input.extinction_mag + mag)
        };
        let half_width = half_width_stops(
            self.reflectance_known,
            half(zenith(unsure_mag), zenith(-unsure_mag)),
            half(air(hazy), air(clear)),
        );
        LandRange::new(stops(input), half_width)
    }

    /// What the domes of towns add behind a place of the sky, cd/m2.
    fn glow_cd_m2(&self, place: &Horizontal) -> f64 {
        let domes = self.sky_glow.iter();
        domes
            .map(|glow| {
                let (azimuth, altitude) = (place.azimuth_deg, place.apparent_altitude_deg);
                sky_glow::added_cd_m2(glow, self.low_sky_cd_m2, azimuth, altitude)
            })
            .sum()
    }

    /// How long the logarithm of the Milky Way's contrast is sure to change by
    /// less than `distance` from an instant on, seconds.
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
    ) -> f64 {
        let within = |seconds: f64| {
            let rate = self.fastest_change(input, behind, sky, seconds);
            let (change, twilight_rate) = self.twilight_change(input, behind, seconds);
            let by_size = (distance - change) / rate;
            let by_rate = distance / (rate + twilight_rate);
            by_size.max(by_rate).min(seconds)
        };
        LOOK_AHEAD_SECONDS
            .into_iter()
            .map(within)
            .fold(0.0, f64::max)
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
        let milky_way = k * extinction_path_slope(lowest_deg);
        // 1.5: zodiacal light may be taken away from the growing sky.
        let path_slope = steepest_shell_slope(lowest_deg);
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
        let moon_share = moon_share(input.moon_altitude_deg, reach_deg, behind);
        let lights = dark.max(moon_share * moon_slope) + self.glow_slope;
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

    /// The most by which twilight can change that logarithm within `seconds`, at
    /// all and per second.
    fn twilight_change(&self, input: &LightInput, behind: &SkyBehind, seconds: f64) -> (f64, f64) {
        let reach_deg = FASTEST_RISE * seconds;
        let highest_deg = input.sun_altitude_deg + reach_deg;
        if highest_deg <= twilight::END_DEG {
            return (0.0, 0.0);
        }
        let lowest_deg = (input.target_altitude_deg - reach_deg).max(0.0);
        let brightest = twilight::direction_factor(lowest_deg, 0.0);
        // 2: the sky may be darker there, by less than half.
        let darkest_cd_m2 = 0.5 * behind.dark_cd_m2;
        let come = 1.0 + brightest * twilight::sky_cd_m2(highest_deg) / darkest_cd_m2;
        let gone = 1.0 + behind.twilight_cd_m2 / behind.dark_cd_m2;
        // The fit is a difference that goes to 0: its slope is that of its
        // whole.
        let whole = brightest * FIT_NIGHT_CD_M2 / darkest_cd_m2;
        let rate = FASTEST_RISE * TWILIGHT_SLOPE * (1.0 + whole);
        (come.ln() + gone.ln(), rate)
    }

    /// Zodiacal light behind the target. The Sun stands on the ecliptic, so the
    /// angle to it and the target's latitude give the longitude between them.
    fn zodiacal_s10(&self, sun_target_cos: f64) -> f64 {
        let cos = (sun_target_cos / self.target_ecliptic_level).clamp(-1.0, 1.0);
        zodiacal_s10(cos.acos().to_degrees(), self.target_ecliptic_latitude_deg)
    }
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

/// The steepest change of the domes' light over the site's own sky, per degree:
/// upward that of an exponential, sideways that of a cosine where azimuths turn
/// fastest, and the passing into a mean toward the zenith.
fn glow_slope(site: &Site) -> f64 {
    // 2: zodiacal light may have been taken away from the sky.
    let dark_cd_m2 = 0.5 * luminance_cd_m2(site.sky.zenith_mag_arcsec2);
    let domes = site.sky_glow.iter();
    domes
        .map(|glow| {
            let slope = 2.31 / glow.top_altitude_deg + 1.2 / glow.half_width_deg + 0.03;
            slope * luminance_cd_m2(glow.mag_arcsec2) / dark_cd_m2
        })
        .sum()
}

/// The most that the Moon's glow can be of the sky behind the target while the
/// Moon rises by `reach_deg` from an altitude, 0 to 1.
fn moon_share(altitude_deg: f64, reach_deg: f64, behind: &SkyBehind) -> f64 {
    let highest_deg = altitude_deg + reach_deg;
    if highest_deg < NO_GLOW_DEG {
        return 0.0;
    }
    if highest_deg >= 0.0 {
        return 1.0;
    }
    let glow = glow_factor_below_horizon;
    let most = if altitude_deg < NO_GLOW_DEG {
        // Nothing is known of its phase: a full Moon on the horizon gives less.
        50.0 * glow(highest_deg)
    } else {
        // 2: the dark sky may be darker there, by less than half.
        2.0 * behind.moonlit_cd_m2 / behind.dark_cd_m2 * glow(highest_deg) / glow(altitude_deg)
    };
    most.min(1.0)
}

/// Middles and radii of what the tables of starlight leave out, galactic
/// degrees: the Large and the Small Magellanic Cloud.
const UNKNOWN: [(f64, f64, f64); 2] = [(280.5, -32.9, 6.0), (302.8, -44.3, 4.0)];

/// Surface brightness of the Milky Way in a direction above the air, V
/// mag/arcsec2: the mean over a field as large as that of the core. `None`
/// where it is not known.
fn starlight_mag(target: Direction) -> Option<f64> {
    if target == Direction::Core {
        return Some(s10_to_mag_arcsec2(CORE_FIELD_S10));
    }
    let (longitude_deg, latitude_deg) = target.galactic_deg();
    let is_near = |(l, b, radius): (f64, f64, f64)| {
        let unit = |l: f64, b: f64| {
            let (l, b) = (l.to_radians(), b.to_radians());
            [b.cos() * l.cos(), b.cos() * l.sin(), b.sin()]
        };
        let (a, b) = (unit(l, b), unit(longitude_deg, latitude_deg));
        let cos: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
        cos > radius.to_radians().cos()
    };
    if UNKNOWN.into_iter().any(is_near) {
        return None;
    }
    let field = Field {
        longitude_deg,
        latitude_deg,
        width_deg: FIELD_DEG.0,
        height_deg: FIELD_DEG.1,
    };
    Some(s10_to_mag_arcsec2(starlight::mean_s10(&field)))
}
