//! What is left of the moonlight as the disc sets, goes behind terrain or into
//! the shadow of the Earth.

use approx::assert_abs_diff_eq as near;
use rakelight::light::{
    LightInput, LitSide, assess, eclipse_drop_mag, moonlight::MEAN_DISTANCE_KM,
};

/// Pogson's law, on the disc and on moonlight in the sky alike. An eclipse took
/// all or nothing once.
#[test]
fn eclipses_take_the_light_as_said() {
    let with = |eclipse_drop_mag| {
        assess(&LightInput {
            moon_altitude_deg: 30.0,
            moon_phase_angle_deg: 1.0,
            eclipse_drop_mag,
            ..LightInput::default()
        })
    };
    let full = with(0.0);
    let full_sky = full.sky_cd_m2 - full.dark_sky_cd_m2;
    // Deep in the penumbra, half covered, just total, in the middle of it.
    for umbral_magnitude in [-0.05, 0.5, 1.0, 1.4] {
        let drop_mag = eclipse_drop_mag(umbral_magnitude);
        let left = 10f64.powf(-0.4 * drop_mag);
        let eclipsed = with(drop_mag);
        near!(eclipsed.beam_lux / full.beam_lux, left, epsilon = 1e-12);
        near!(
            eclipsed.moonlight_lux / full.moonlight_lux,
            left,
            epsilon = 1e-12
        );
        let sky = eclipsed.sky_cd_m2 - eclipsed.dark_sky_cd_m2;
        near!(sky / full_sky, left, epsilon = 1e-12);
    }
    // Ten magnitudes are a factor of 10 000: no moonlight to see by, and yet some.
    assert!(with(10.0).sky_loss_mag < 0.01);
    assert!(with(10.0).beam_lux > 0.0);
}

/// The beam is that of the part of the disc above the terrain, half of it when
/// the edge cuts the middle; the sky glows on.
#[test]
fn terrain_hides_the_disc_bit_by_bit() {
    let behind = |skyline_altitude_deg| {
        assess(&LightInput {
            moon_altitude_deg: 12.0,
            skyline_altitude_deg,
            ..LightInput::default()
        })
    };
    let open = behind(-90.0);
    let radius_deg = (1737.4 / MEAN_DISTANCE_KM).to_degrees();
    for (cut, share) in [
        // Area of a circle beyond a straight cut, by radii from its middle.
        (-1.001, 1.0),
        (-0.5, 0.804_498),
        (0.0, 0.5),
        (0.5, 0.195_501),
        (1.001, 0.0),
    ] {
        let light = behind(12.0 + cut * radius_deg);
        near!(light.beam_lux / open.beam_lux, share, epsilon = 1e-5);
        assert_eq!(light.sky_cd_m2, open.sky_cd_m2);
    }
    // A skyline below the horizon hides no more than the horizon does.
    assert_eq!(behind(-3.0), open);
}

/// The glow of a Moon on the horizon, whole as long as the air is lit, times
/// exp(-0.40 d - 0.085 d^2) d degrees below it: the fit to light followed
/// through a spherical atmosphere. The glow went with the disc once.
#[test]
fn sky_glows_on_while_the_moon_sets() {
    let at = |moon_altitude_deg| {
        assess(&LightInput {
            moon_altitude_deg,
            ..LightInput::default()
        })
    };
    let glow = |altitude_deg| {
        let light = at(altitude_deg);
        light.sky_cd_m2 - light.dark_sky_cd_m2
    };
    for below_deg in [0.1, 0.26, 0.3, 1.0, 2.0, 3.0, 4.0_f64] {
        let left = (-0.40 * below_deg - 0.085 * below_deg * below_deg).exp();
        near!(glow(-below_deg) / glow(0.0), left, epsilon = 1e-9);
    }
    // The disc has set, its light in the air lights the land on.
    assert_eq!(at(-0.3).beam_lux, 0.0);
    assert_eq!(at(-0.3).lit_side, LitSide::Unlit);
    assert!(at(-0.3).ambient_lux > at(-6.0).ambient_lux);
    assert_eq!(glow(-13.0), 0.0);
}
