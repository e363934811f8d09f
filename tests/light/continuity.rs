//! No light jumps.

use crate::conditions;

use conditions::night;
use proptest::prelude::*;
use rakelight::light::{Assessment, LightInput, assess};

/// What may not jump, in stops and magnitudes; light in microlux, where it goes
/// to 0.
fn smooth(a: &Assessment) -> [f64; 14] {
    [
        1e6 * a.moonlight_lux,
        1e6 * a.beam_lux,
        1e6 * a.face_lux,
        a.ambient_lux.log2(),
        a.shadow_depth_stops,
        a.dark_sky_cd_m2.log2(),
        a.sky_cd_m2.log2(),
        a.sky_loss_mag,
        a.milky_way_contrast.unwrap_or(1.0).log2(),
        a.land_cd_m2.log2(),
        a.level_cd_m2.log2(),
        a.toward_moon_cd_m2.log2(),
        a.away_cd_m2.log2(),
        a.face_cd_m2.log2(),
    ]
}

/// The largest jump of one of [`smooth`] between `low` and `high`: in each of
/// 300 steps the interval is halved, toward the half that changes more, until
/// it is too small for anything but a jump.
fn largest_jump(low: f64, high: f64, change: impl Fn(f64) -> LightInput) -> (f64, f64, usize) {
    const STEPS: u32 = 300;
    let at = |value: f64| smooth(&assess(&change(value)));
    let mut worst = (0.0, low, 0);
    let mut left = (low, at(low));
    for step in 1..=STEPS {
        let value = low + (high - low) * f64::from(step) / f64::from(STEPS);
        let right = (value, at(value));
        for i in 0..left.1.len() {
            let (mut from, mut to) = ((left.0, left.1[i]), (right.0, right.1[i]));
            for _ in 0..40 {
                if (to.1 - from.1).abs() < 1e-4 {
                    break;
                }
                let middle = 0.5 * (from.0 + to.0);
                let here = (middle, at(middle)[i]);
                if (here.1 - from.1).abs() > (to.1 - here.1).abs() {
                    to = here;
                } else {
                    from = here;
                }
            }
            let jump = (to.1 - from.1).abs();
            if jump > worst.0 {
                worst = (jump, to.0, i);
            }
        }
        left = right;
    }
    worst
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20))]

    /// No light jumps along any of the conditions: not as the Moon's disc
    /// crosses the horizon or the terrain's edge, not where a published law
    /// hands over to another.
    #[test]
    fn nothing_jumps(c in night(), sun in -19.0..0.0f64, low in -0.6..6.0f64) {
        // The Moon near the horizon, where it can; in half the nights twilight.
        let low_moon = LightInput { moon_altitude_deg: low, ..c };
        let twilit = LightInput { sun_altitude_deg: sun, sun_azimuth_deg: 60.0, ..c };
        type Change = fn(&LightInput, f64) -> LightInput;
        let inputs: [(&str, f64, f64, Change); 18] = [
            ("sun altitude", -20.0, 6.0, |c, v| LightInput { sun_altitude_deg: v, ..*c }),
            ("sun azimuth", -10.0, 730.0, |c, v| LightInput { sun_azimuth_deg: v, ..*c }),
            ("moon altitude", -15.0, 91.0, |c, v| LightInput { moon_altitude_deg: v, ..*c }),
            ("low moon", -0.6, 0.6, |c, v| LightInput { moon_altitude_deg: v, ..*c }),
            ("moon azimuth", -10.0, 730.0, |c, v| LightInput { moon_azimuth_deg: v, ..*c }),
            ("phase", -5.0, 185.0, |c, v| LightInput { moon_phase_angle_deg: v, ..*c }),
            ("distance", 330_000.0, 430_000.0, |c, v| LightInput { moon_distance_km: v, ..*c }),
            ("target altitude", -2.0, 91.0, |c, v| LightInput { target_altitude_deg: v, ..*c }),
            ("target azimuth", -10.0, 730.0, |c, v| LightInput { target_azimuth_deg: v, ..*c }),
            ("separation", 0.0, 180.0, |c, v| LightInput { moon_target_separation_deg: v, ..*c }),
            ("facing", -10.0, 730.0, |c, v| LightInput { facing_deg: v, ..*c }),
            ("zenith", 9.0, 26.0, |c, v| LightInput { zenith_mag_arcsec2: v, ..*c }),
            ("extinction", -0.1, 3.1, |c, v| LightInput { extinction_mag: v, ..*c }),
            ("reflectance", 0.0, 1.1, |c, v| LightInput { reflectance: v, ..*c }),
            ("zodiacal light", -10.0, 10_100.0, |c, v| LightInput { zodiacal_s10: v, ..*c }),
            ("glow", -1e-4, 1e-2, |c, v| LightInput { glow_cd_m2: v, ..*c }),
            ("skyline", -1.0, 91.0, |c, v| LightInput { skyline_altitude_deg: v, ..*c }),
            ("eclipse", -1.0, 21.0, |c, v| LightInput { eclipse_drop_mag: v, ..*c }),
        ];
        for scene in [c, low_moon, twilit] {
            for (name, from, to, change) in inputs {
                let (jump, at, what) = largest_jump(from, to, |v| change(&scene, v));
                prop_assert!(jump < 1e-4, "{}: {} jumps by {} at {}", name, what, jump, at);
            }
        }
    }
}
