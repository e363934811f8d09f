//! What must hold for every instant.

use crate::conditions;

use conditions::night;
use proptest::prelude::*;
use rakelight::light::{
    Assessment, ExposureAims, LightInput, LitSide, Optics, assess, plan_exposure, sky_behind,
};

/// A Moon so far below the horizon that nothing of it is left.
const MOON_AWAY_DEG: f64 = -13.0;

/// The contrast, which these conditions have.
fn contrast(c: &LightInput) -> f64 {
    assess(c).milky_way_contrast.expect("a contrast")
}

fn numbers(a: &Assessment) -> [f64; 21] {
    [
        a.moonlight_lux,
        a.beam_lux,
        a.face_lux,
        a.ambient_lux,
        a.twilight_lux,
        a.signed_light_angle_deg,
        a.shadow_azimuth_deg.unwrap_or(0.0),
        a.shadow_length_per_height.unwrap_or(0.0),
        a.shadow_depth_stops,
        a.dark_sky_cd_m2,
        a.sky_cd_m2,
        a.sky_mag_arcsec2,
        a.sky_loss_mag,
        a.milky_way_contrast.unwrap_or(0.0),
        a.contrast_kept,
        a.land_cd_m2,
        a.level_cd_m2,
        a.toward_moon_cd_m2,
        a.away_cd_m2,
        a.face_cd_m2,
        a.land_vs_sky_stops,
    ]
}

fn any_finite() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -400.0..400.0f64,
        1 => Just(0.0),
        1 => Just(90.0),
        1 => proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn every_number_is_finite(v in proptest::array::uniform18(any_finite()), unknown: bool) {
        let a = assess(&LightInput {
            sun_altitude_deg: v[0],
            sun_azimuth_deg: v[13],
            moon_altitude_deg: v[1],
            moon_azimuth_deg: v[2],
            moon_phase_angle_deg: v[3],
            moon_distance_km: 1000.0 * v[4],
            target_altitude_deg: v[5],
            target_azimuth_deg: v[6],
            moon_target_separation_deg: v[7],
            facing_deg: v[8],
            zenith_mag_arcsec2: v[9],
            extinction_mag: v[10],
            reflectance: v[11],
            milky_way_mag_arcsec2: (!unknown).then_some(v[12]),
            zodiacal_s10: 100.0 * v[14],
            glow_cd_m2: v[15],
            skyline_altitude_deg: v[16],
            eclipse_drop_mag: v[17],
        });
        for (i, number) in numbers(&a).into_iter().enumerate() {
            prop_assert!(number.is_finite(), "number {} of {:?}", i, a);
        }
        prop_assert_eq!(a.milky_way_contrast.is_none(), unknown);
        prop_assert!(a.moonlight_lux >= 0.0 && a.face_lux >= 0.0 && a.sky_loss_mag >= 0.0);
        prop_assert!(a.ambient_lux > 0.0 && a.dark_sky_cd_m2 > 0.0 && a.away_cd_m2 > 0.0);
        prop_assert!(a.contrast_kept > 0.0 && a.contrast_kept <= 1.0);
        let lens = Optics::new(20.0, 2.8, [36.0, 24.0], 5.0).unwrap();
        let plan = plan_exposure(&lens, v[0], a.sky_cd_m2, a.land_cd_m2, &ExposureAims::default());
        prop_assert!(plan.land_placement_stops.is_finite() && plan.exact_iso.is_finite());
    }

    #[test]
    fn moonlight_never_darkens_the_sky(c in night()) {
        let lit = assess(&c);
        let moonless = assess(&LightInput { moon_altitude_deg: MOON_AWAY_DEG, ..c });
        prop_assert!(lit.sky_cd_m2 >= moonless.sky_cd_m2);
        prop_assert!(lit.sky_mag_arcsec2 <= moonless.sky_mag_arcsec2);
        prop_assert!(lit.milky_way_contrast <= moonless.milky_way_contrast);
        prop_assert_eq!(moonless.sky_loss_mag, 0.0);
        prop_assert_eq!(moonless.contrast_kept, 1.0);
        // Loss and contrast kept are one fact told twice.
        prop_assert!((lit.sky_loss_mag + 2.5 * lit.contrast_kept.log10()).abs() < 1e-9);
        let change = moonless.sky_mag_arcsec2 - lit.sky_mag_arcsec2;
        prop_assert!((lit.sky_loss_mag - change).abs() < 1e-9);
    }

    #[test]
    fn sky_alone_is_that_of_the_whole_answer(c in night(), sun in -20.0..0.0f64, unknown: bool) {
        let mut c = LightInput { sun_altitude_deg: sun, ..c };
        if unknown {
            c.milky_way_mag_arcsec2 = None;
        }
        let (behind, whole) = (sky_behind(&c), assess(&c));
        prop_assert_eq!(behind.sky_cd_m2(), whole.sky_cd_m2);
        prop_assert_eq!(behind.dark_cd_m2, whole.dark_sky_cd_m2);
        prop_assert_eq!(behind.contrast(), whole.milky_way_contrast);
        let parts = behind.dark_cd_m2 + behind.moonlit_cd_m2 + behind.twilight_cd_m2;
        prop_assert_eq!(parts, whole.sky_cd_m2);
    }

    /// What is not known of the Milky Way changes nothing else.
    #[test]
    fn milky_way_is_apart_from_the_sky_before_it(c in night()) {
        let unknown = assess(&LightInput { milky_way_mag_arcsec2: None, ..c });
        prop_assert_eq!(unknown.milky_way_contrast, None);
        let mut known = assess(&c);
        known.milky_way_contrast = None;
        prop_assert_eq!(unknown, known);
    }

    #[test]
    fn a_fuller_or_nearer_moon_gives_more(c in night(), by in 1.0..60.0f64) {
        let thin = assess(&c);
        let full = assess(&LightInput {
            moon_phase_angle_deg: (c.moon_phase_angle_deg - by).max(0.0),
            ..c
        });
        let near = assess(&LightInput { moon_distance_km: c.moon_distance_km - 5000.0, ..c });
        for more in [full, near] {
            prop_assert!(more.sky_cd_m2 >= thin.sky_cd_m2);
            prop_assert!(more.milky_way_contrast <= thin.milky_way_contrast);
            // At the very edge of setting a nearer, larger disc may show less.
            let over_deg = c.moon_altitude_deg - c.skyline_altitude_deg.max(0.0);
            if over_deg.abs() > 0.3 {
                prop_assert!(more.beam_lux >= thin.beam_lux);
            }
        }
    }

    #[test]
    fn contrast_falls_with_extinction_and_every_light(c in night(), by in 0.01..0.5) {
        let moonless = LightInput { moon_altitude_deg: MOON_AWAY_DEG, ..c };
        let hazy = LightInput { extinction_mag: c.extinction_mag + by, ..moonless };
        prop_assert!(contrast(&hazy) < contrast(&moonless));
        let before = contrast(&c);
        for lighter in [
            LightInput { zenith_mag_arcsec2: c.zenith_mag_arcsec2 - by, ..c },
            LightInput { sun_altitude_deg: -17.0 + 10.0 * by, ..c },
            LightInput { glow_cd_m2: c.glow_cd_m2 + 1e-3 * by, ..c },
            LightInput { zodiacal_s10: c.zodiacal_s10 * (1.0 + by), ..c },
        ] {
            prop_assert!(contrast(&lighter) < before, "{:?}", lighter);
        }
        // A Moon out of the shadow of the Earth, or over snow.
        for lighter in [
            LightInput { eclipse_drop_mag: 0.0, ..c },
            LightInput { reflectance: 0.9, ..c },
        ] {
            prop_assert!(contrast(&lighter) <= before, "{:?}", lighter);
        }
        let brighter = LightInput { milky_way_mag_arcsec2: Some(20.65 - by), ..c };
        prop_assert!(contrast(&brighter) > before);
    }

    #[test]
    fn twilight_is_brightest_toward_the_sun(
        c in night(), sun in -17.9..-5.0f64, near in 0.0..180.0f64, by in 0.0..90.0f64,
    ) {
        let at = |from_sun_deg: f64| {
            sky_behind(&LightInput {
                sun_altitude_deg: sun,
                sun_azimuth_deg: 300.0,
                target_azimuth_deg: 300.0 + from_sun_deg,
                ..c
            })
            .twilight_cd_m2
        };
        let far = (near + by).min(180.0);
        prop_assert!(at(near) >= at(far));
        prop_assert!((at(near) / at(-near) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn contrast_rises_with_altitude_in_a_moonless_natural_sky(
        altitude in 0.0..89.0, by in 0.01..1.0, extinction_mag in 0.1..0.3,
    ) {
        let at = |target_altitude_deg| {
            contrast(&LightInput {
                target_altitude_deg,
                extinction_mag,
                zenith_mag_arcsec2: 22.0,
                ..LightInput::default()
            })
        };
        prop_assert!(at(altitude + by) >= at(altitude));
    }

    #[test]
    fn a_moon_that_is_down_gives_no_beam(c in night(), below in 0.3..11.0f64, by in 0.01..1.0f64) {
        let down = assess(&LightInput { moon_altitude_deg: -below, ..c });
        prop_assert_eq!(down.beam_lux, 0.0);
        prop_assert_eq!(down.moonlight_lux, 0.0);
        prop_assert_eq!(down.face_lux, 0.0);
        prop_assert_eq!(down.lit_side, LitSide::Unlit);
        prop_assert_eq!(down.shadow_length_per_height, None);
        prop_assert_eq!(down.shadow_azimuth_deg, None);
        prop_assert_eq!(down.shadow_depth_stops, 0.0);
        // Its light in the air dies away, and is gone far below.
        let deeper = assess(&LightInput { moon_altitude_deg: -below - by, ..c });
        prop_assert!(deeper.sky_cd_m2 <= down.sky_cd_m2);
        prop_assert!(deeper.ambient_lux <= down.ambient_lux);
        prop_assert!(down.sky_cd_m2 > down.dark_sky_cd_m2 || down.sky_loss_mag == 0.0);
        let away = assess(&LightInput { moon_altitude_deg: MOON_AWAY_DEG, ..c });
        prop_assert_eq!(away.sky_cd_m2, away.dark_sky_cd_m2);
    }

    #[test]
    fn an_eclipse_dims_the_moon_by_its_magnitudes(c in night(), drop_mag in 0.0..12.0f64) {
        let with = |eclipse_drop_mag| LightInput { eclipse_drop_mag, ..c };
        let (out, eclipsed) = (assess(&with(0.0)), assess(&with(drop_mag)));
        let left = 10f64.powf(-0.4 * drop_mag);
        prop_assert!((eclipsed.beam_lux - left * out.beam_lux).abs() <= 1e-12 * out.beam_lux);
        let moonlit = |c: &LightInput| sky_behind(c).moonlit_cd_m2;
        let whole = moonlit(&with(0.0));
        prop_assert!((moonlit(&with(drop_mag)) - left * whole).abs() <= 1e-12 * whole);
        prop_assert_eq!(eclipsed.dark_sky_cd_m2, out.dark_sky_cd_m2);
    }

    #[test]
    fn terrain_takes_the_beam_and_leaves_the_glow(c in night()) {
        let shaded = assess(&LightInput { skyline_altitude_deg: 90.0, ..c });
        let open = assess(&LightInput { skyline_altitude_deg: -90.0, ..c });
        prop_assert_eq!(shaded.sky_cd_m2, open.sky_cd_m2);
        prop_assert_eq!(shaded.ambient_lux, open.ambient_lux);
        if c.moon_altitude_deg < 89.0 {
            prop_assert_eq!(shaded.beam_lux, 0.0);
        }
        prop_assert!(shaded.land_vs_sky_stops <= open.land_vs_sky_stops);
    }

    #[test]
    fn a_higher_moon_never_gives_less_beam(c in night(), by in 0.0001..5.0) {
        let low = assess(&c);
        let high = assess(&LightInput { moon_altitude_deg: c.moon_altitude_deg + by, ..c });
        prop_assert!(high.beam_lux >= low.beam_lux);
        prop_assert!(high.moonlight_lux >= low.moonlight_lux);
        prop_assert!(high.sky_cd_m2 >= low.sky_cd_m2);
    }

    #[test]
    fn a_face_toward_the_moon_is_never_darker(c in night(), sun in -20.0..0.0f64) {
        let light = assess(&LightInput { sun_altitude_deg: sun, ..c });
        prop_assert!(light.toward_moon_cd_m2 >= light.away_cd_m2);
        // The camera sees a face between the two.
        let face = light.face_cd_m2;
        prop_assert!(face <= light.toward_moon_cd_m2 * (1.0 + 1e-12));
        prop_assert!(face >= light.away_cd_m2 * (1.0 - 1e-12));
        // Turned to the Moon or away from it the camera's face is that face.
        for (facing_deg, at_camera) in [
            (c.moon_azimuth_deg + 180.0, light.toward_moon_cd_m2),
            (c.moon_azimuth_deg, light.away_cd_m2),
        ] {
            let turned = assess(&LightInput { sun_altitude_deg: sun, facing_deg, ..c });
            prop_assert!((turned.face_cd_m2 / at_camera - 1.0).abs() < 1e-9);
            prop_assert!((turned.level_cd_m2 / light.level_cd_m2 - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn more_light_on_the_land_lifts_the_balance(c in night(), by in 0.01..0.1) {
        // Snow brightens the sky too, so below it.
        let dark = LightInput { reflectance: c.reflectance.min(0.3), ..c };
        let pale = LightInput { reflectance: dark.reflectance + by, ..c };
        prop_assert!(assess(&pale).land_vs_sky_stops > assess(&dark).land_vs_sky_stops);
    }
}
