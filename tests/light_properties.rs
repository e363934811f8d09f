//! What must hold for every instant.

use proptest::prelude::*;
use rakelight::light::{
    Assessment, ExposureAims, LightInput, LitSide, MoonEclipse, Optics, assess, plan_exposure,
};

/// Conditions a night can have.
fn night() -> impl Strategy<Value = LightInput> {
    (
        (-90.0..-18.0, -20.0..90.0, 0.0..360.0, 0.0..180.0),
        (350_000.0..410_000.0, 0.0..90.0, 0.0..360.0, 0.3..180.0),
        (17.5..22.1, 0.05..0.6, 0.02..0.9, any::<bool>()),
    )
        .prop_map(|(a, b, c)| LightInput {
            sun_altitude_deg: a.0,
            moon_altitude_deg: a.1,
            moon_azimuth_deg: a.2,
            moon_phase_angle_deg: a.3,
            moon_distance_km: b.0,
            target_altitude_deg: b.1,
            target_azimuth_deg: 180.0,
            facing_deg: b.2,
            moon_target_separation_deg: b.3,
            zenith_mag_arcsec2: c.0,
            extinction_mag: c.1,
            reflectance: c.2,
            moon_shaded: c.3,
            ..LightInput::default()
        })
}

fn numbers(a: &Assessment) -> [f64; 17] {
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
        a.milky_way_contrast,
        a.contrast_kept,
        a.land_cd_m2,
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
    fn every_number_is_finite(
        v in proptest::array::uniform13(any_finite()),
        moon_shaded: bool,
        penumbral: bool,
    ) {
        let a = assess(&LightInput {
            sun_altitude_deg: v[0],
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
            milky_way_mag_arcsec2: v[12],
            moon_shaded,
            eclipse: if penumbral { MoonEclipse::Penumbral } else { MoonEclipse::None },
        });
        for (i, number) in numbers(&a).into_iter().enumerate() {
            prop_assert!(number.is_finite(), "number {} of {:?}", i, a);
        }
        prop_assert!(a.moonlight_lux >= 0.0 && a.face_lux >= 0.0 && a.sky_loss_mag >= 0.0);
        prop_assert!(a.contrast_kept > 0.0 && a.contrast_kept <= 1.0);
        let lens = Optics::new(20.0, 2.8, [36.0, 24.0], 5.0).unwrap();
        let plan = plan_exposure(&lens, v[0], a.sky_cd_m2, a.land_cd_m2, &ExposureAims::default());
        prop_assert!(plan.land_placement_stops.is_finite() && plan.exact_iso.is_finite());
    }

    #[test]
    fn moonlight_never_darkens_the_sky(c in night()) {
        let lit = assess(&c);
        let moonless = assess(&LightInput { moon_altitude_deg: -10.0, ..c });
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
    fn a_fuller_or_nearer_moon_gives_more(c in night(), by in 1.0..60.0f64) {
        let thin = assess(&c);
        let full = assess(&LightInput {
            moon_phase_angle_deg: (c.moon_phase_angle_deg - by).max(0.0),
            ..c
        });
        let near = assess(&LightInput { moon_distance_km: c.moon_distance_km - 5000.0, ..c });
        for more in [full, near] {
            // At the very edge of setting a nearer, larger disc may show less.
            if c.moon_altitude_deg.abs() > 0.3 {
                prop_assert!(more.beam_lux >= thin.beam_lux);
                prop_assert!(more.sky_cd_m2 >= thin.sky_cd_m2);
                prop_assert!(more.milky_way_contrast <= thin.milky_way_contrast);
            }
        }
    }

    #[test]
    fn contrast_falls_with_extinction_and_sky_glow(c in night(), by in 0.01..0.5) {
        let moonless = LightInput { moon_altitude_deg: -10.0, ..c };
        let clear = assess(&moonless);
        let hazy = assess(&LightInput { extinction_mag: c.extinction_mag + by, ..moonless });
        prop_assert!(hazy.milky_way_contrast < clear.milky_way_contrast);
        let town = assess(&LightInput { zenith_mag_arcsec2: c.zenith_mag_arcsec2 - by, ..c });
        prop_assert!(town.milky_way_contrast < assess(&c).milky_way_contrast);
        let dusk = assess(&LightInput { sun_altitude_deg: -17.0 + 10.0 * by, ..c });
        prop_assert!(dusk.milky_way_contrast < assess(&c).milky_way_contrast);
    }

    #[test]
    fn contrast_rises_with_altitude_in_a_moonless_natural_sky(
        altitude in 0.0..89.0, by in 0.01..1.0, extinction_mag in 0.1..0.3,
    ) {
        let at = |target_altitude_deg| {
            assess(&LightInput {
                target_altitude_deg,
                extinction_mag,
                zenith_mag_arcsec2: 22.0,
                ..LightInput::default()
            })
            .milky_way_contrast
        };
        prop_assert!(at(altitude + by) >= at(altitude));
    }

    #[test]
    fn nothing_comes_from_a_moon_that_is_down_or_eclipsed(c in night(), below in 0.3..60.0f64) {
        let down = assess(&LightInput { moon_altitude_deg: -below, ..c });
        let umbral = assess(&LightInput { eclipse: MoonEclipse::Umbral, ..c });
        for a in [down, umbral] {
            prop_assert_eq!(a.beam_lux, 0.0);
            prop_assert_eq!(a.moonlight_lux, 0.0);
            prop_assert_eq!(a.face_lux, 0.0);
            prop_assert_eq!(a.sky_cd_m2, a.dark_sky_cd_m2);
            prop_assert_eq!(a.lit_side, LitSide::Unlit);
            prop_assert_eq!(a.shadow_length_per_height, None);
        }
        let penumbral = assess(&LightInput { eclipse: MoonEclipse::Penumbral, ..c });
        prop_assert_eq!(penumbral, assess(&c));
    }

    #[test]
    fn terrain_takes_the_beam_and_leaves_the_glow(c in night()) {
        let shaded = assess(&LightInput { moon_shaded: true, ..c });
        let open = assess(&LightInput { moon_shaded: false, ..c });
        prop_assert_eq!(shaded.sky_cd_m2, open.sky_cd_m2);
        prop_assert_eq!(shaded.ambient_lux, open.ambient_lux);
        prop_assert_eq!(shaded.beam_lux, 0.0);
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
    fn nothing_jumps_as_the_moon_moves(c in night(), low in -0.6..6.0) {
        // A ten-millionth of a degree: even where a full Moon rises 0.3 degrees
        // from the target, and the glow there is steepest, only a jump can
        // change a thousandth in so small a step.
        let step = 1e-7;
        for altitude in [low, -0.26, -0.001, 0.0, 0.26, 5.0 - 0.5 * step] {
            let here = assess(&LightInput { moon_altitude_deg: altitude, ..c });
            let there = assess(&LightInput { moon_altitude_deg: altitude + step, ..c });
            prop_assert!((here.sky_mag_arcsec2 - there.sky_mag_arcsec2).abs() < 1e-3);
            prop_assert!((here.land_vs_sky_stops - there.land_vs_sky_stops).abs() < 1e-3);
            prop_assert!((here.beam_lux - there.beam_lux).abs() < 1e-5);
        }
        for separation in [8.45, 10.0 - 0.5 * step, c.moon_target_separation_deg] {
            let here = assess(&LightInput { moon_target_separation_deg: separation, ..c });
            let there = assess(&LightInput { moon_target_separation_deg: separation + step, ..c });
            prop_assert!((here.sky_mag_arcsec2 - there.sky_mag_arcsec2).abs() < 1e-3);
        }
        for azimuth in [c.facing_deg, c.facing_deg + 90.0, c.facing_deg + 180.0] {
            let here = assess(&LightInput { moon_azimuth_deg: azimuth - step, ..c });
            let there = assess(&LightInput { moon_azimuth_deg: azimuth + step, ..c });
            prop_assert!((here.land_vs_sky_stops - there.land_vs_sky_stops).abs() < 1e-3);
        }
    }

    #[test]
    fn more_light_on_the_land_lifts_the_balance(c in night(), by in 0.01..0.1) {
        let dark = assess(&c);
        let pale = assess(&LightInput { reflectance: c.reflectance + by, ..c });
        prop_assert!(pale.land_vs_sky_stops > dark.land_vs_sky_stops);
    }
}
