//! Exposure, trails, framing and panoramas against published values.

use approx::assert_abs_diff_eq as near;
use rakelight::light::{
    ExposureAims, IsoRange, LightError, Optics, Orientation, Panorama, Pointing, Reach, TrailLimit,
    View,
    exposure::{DEFAULT_SKY_PLACEMENT_STOPS, ISO_SCALE, SHUTTER_SCALE_S, printed_shutter_s},
    panorama::{PanoramaSpan, arch_width_deg},
    photometry::{
        EV100_ZERO_CD_M2, EV100_ZERO_LUX, ev100_of_illuminance, ev100_of_luminance,
        ev100_of_settings, luminance_cd_m2, stops_between,
    },
    plan_exposure, trail,
};

fn optics(focal_mm: f64, f_number: f64, pitch_um: f64) -> Optics {
    Optics::new(focal_mm, f_number, [36.0, 24.0], pitch_um).unwrap()
}

/// ISO 2720:1974 with K = 12.5, C = 250.
#[test]
fn exposure_values_follow_the_meter_equations() {
    near!(EV100_ZERO_CD_M2 * 15f64.exp2(), 4096.0, epsilon = 1e-9);
    near!(EV100_ZERO_LUX * 15f64.exp2(), 81_920.0, epsilon = 1e-9);
    for (lux, ev) in [(0.3, -3.059), (0.1, -4.644), (0.05, -5.644), (0.01, -7.966)] {
        near!(ev100_of_illuminance(lux), ev, epsilon = 1e-3);
    }
    for (n, t, iso, ev) in [
        (2.8, 15.0, 6400.0, -6.936),
        (1.4, 10.0, 3200.0, -7.351),
        (4.0, 30.0, 1600.0, -4.907),
    ] {
        near!(ev100_of_settings(n, t, iso), ev, epsilon = 1e-3);
    }
    for (mag, ev) in [
        (20.0, -6.85),
        (20.5, -7.52),
        (21.0, -8.18),
        (21.5, -8.85),
        (22.0, -9.51),
    ] {
        near!(
            ev100_of_luminance(luminance_cd_m2(mag)),
            ev,
            epsilon = 0.006
        );
    }
    // A reflected reading of an 18 % surface is 0.197 EV above the incident one.
    let reflected = ev100_of_luminance(0.18 / std::f64::consts::PI);
    near!(reflected - ev100_of_illuminance(1.0), 0.197, epsilon = 1e-3);
    near!(stops_between(8.0, 1.0), 3.0, epsilon = 1e-12);
}

/// Sidereal rate and pixel scale; f mm, p um, dec, t s, trail ", um, px.
#[test]
fn trails_match_the_worked_values() {
    for (focal, pitch, dec, shutter, arcsec, um, px) in [
        (14.0, 4.35, -29.0, 15.0, 197.3, 13.39, 3.08),
        (20.0, 5.90, 0.0, 20.0, 300.8, 29.17, 4.94),
        (24.0, 4.35, -29.0, 10.0, 131.6, 15.31, 3.52),
        (35.0, 3.76, -29.0, 8.0, 105.2, 17.86, 4.75),
        (50.0, 4.35, -29.0, 5.0, 65.8, 15.95, 3.67),
    ] {
        let lens = optics(focal, 2.8, pitch);
        near!(trail::trail_arcsec(shutter, dec), arcsec, epsilon = 0.06);
        near!(trail::trail_um(&lens, shutter, dec), um, epsilon = 0.006);
        near!(trail::trail_px(&lens, shutter, dec), px, epsilon = 0.006);
        // There and back.
        let back = trail::shutter_for_trail_s(&lens, dec, trail::trail_px(&lens, shutter, dec));
        near!(back, shutter, epsilon = 1e-9);
    }
    near!(
        trail::SIDEREAL_RATE_ARCSEC_S,
        360.0 * 3600.0 / 86_164.090_5,
        epsilon = 1e-6
    );
    near!(trail::trail_arcsec(30.0, 90.0), 0.0, epsilon = 1e-9);
}

/// F. Michaud's NPF rule; N, p, f, dec, short, full with factor 1.
#[test]
fn npf_rule_matches_the_worked_values() {
    for (n, pitch, focal, dec, short, full) in [
        (2.8, 4.35, 14.0, -29.0, 16.32, 8.840),
        (1.8, 5.9, 20.0, 0.0, 12.00, 5.662),
        (1.4, 4.35, 24.0, -29.0, 7.479, 4.080),
        (2.8, 3.76, 35.0, -29.0, 6.023, 3.340),
        (1.8, 4.35, 50.0, -29.0, 3.870, 2.172),
    ] {
        let lens = optics(focal, n, pitch);
        near!(trail::shutter_npf_short_s(&lens), short, epsilon = 0.0055);
        near!(trail::shutter_npf_s(&lens, dec, 1.0), full, epsilon = 0.001);
        near!(
            trail::shutter_npf_s(&lens, dec, 3.0),
            3.0 * full,
            epsilon = 0.003
        );
        let px = trail::trail_px(&lens, trail::shutter_npf_s(&lens, dec, 1.0), dec);
        // "1.4 to 2.0 px", known to one decimal.
        assert!((14..=20).contains(&((10.0 * px).round() as i32)), "{px}");
    }
    let lens = optics(24.0, 2.8, 4.35);
    let ratio = trail::shutter_npf_s(&lens, -29.0, 1.0) / trail::shutter_npf_s(&lens, 0.0, 1.0);
    near!(ratio, 1.1434, epsilon = 1e-4);
}

/// Common practice; on 36 x 24 mm it always trails 36.5 um at declination 0.
#[test]
fn the_500_rule_trails_the_same_for_every_lens() {
    for focal in [14.0, 24.0, 50.0] {
        let lens = optics(focal, 2.8, 4.35);
        let shutter = trail::shutter_500_s(&lens);
        near!(shutter, 500.0 / focal, epsilon = 1e-9);
        near!(trail::trail_um(&lens, shutter, 0.0), 36.5, epsilon = 0.05);
    }
    let small = Optics::new(24.0, 2.8, [23.5, 15.6], 3.9).unwrap();
    near!(small.crop_factor(), 1.534, epsilon = 1e-3);
}

#[test]
fn shutter_is_continuous_in_declination_and_finite_at_the_pole() {
    let lens = optics(24.0, 2.8, 4.35);
    let mut last = trail::shutter_npf_s(&lens, 0.0, 1.0);
    for step in 1..=9000 {
        let dec = f64::from(step) / 100.0;
        let shutter = trail::shutter_npf_s(&lens, dec, 1.0);
        assert!(shutter >= last && shutter / last < 1.003);
        near!(shutter, trail::shutter_npf_s(&lens, -dec, 1.0));
        last = shutter;
    }
    assert!(last < 80.0);
    assert!(trail::shutter_for_trail_s(&lens, 90.0, 3.0).is_finite());
    assert_eq!(trail::fastest_declination_deg(-29.0, 42.0), 0.0);
    near!(
        trail::fastest_in_frame_deg(&lens, 80.0),
        80.0 - 42.03,
        epsilon = 0.01
    );
    near!(
        trail::fastest_in_frame_deg(&lens, -80.0),
        42.03 - 80.0,
        epsilon = 0.01
    );
    near!(trail::fastest_declination_deg(80.0, 20.0), 60.0);
}

/// A star in the frame may be faster than the target. 14 mm at f/2.8 with 6 um
/// pixels: (16.856 x 2.8 + 0.0997 x 14 + 13.713 x 6)/14 = 9.348 s, since the
/// equator is in any frame 57 deg from the core; 200 mm reaches 6.17 deg.
#[test]
fn the_fastest_star_in_the_frame_sets_the_shutter() {
    let wide = optics(14.0, 2.8, 6.0);
    near!(
        TrailLimit::Npf(1.0).longest_shutter_s(&wide, -29.0),
        9.348,
        epsilon = 1e-3
    );
    let long = optics(200.0, 2.8, 6.0);
    let half_diagonal = (21.633f64 / 200.0).atan();
    let cos = (29f64.to_radians() - half_diagonal).cos();
    near!(
        TrailLimit::Npf(2.0).longest_shutter_s(&long, -29.0),
        2.0 * (47.1968 + 19.94 + 82.278) / (200.0 * cos),
        epsilon = 1e-3
    );
    near!(
        TrailLimit::Pixels(3.0).longest_shutter_s(&long, 29.0),
        3.0 * 6e-6 / 0.2 / (std::f64::consts::TAU / 86_164.090_5 * cos),
        epsilon = 1e-3
    );
}

/// Facts of the sphere: the pole stands as high as the latitude, the equator
/// crosses east and west, the zenith has the latitude.
#[test]
fn a_direction_has_its_declination() {
    for latitude in [-67.0, -31.4, 0.0, 45.0, 80.0] {
        let dec = |azimuth, altitude| Pointing::new(azimuth, altitude).declination_deg(latitude);
        near!(dec(0.0, latitude), 90.0, epsilon = 1e-5);
        near!(dec(180.0, -latitude), -90.0, epsilon = 1e-5);
        near!(dec(90.0, 0.0), 0.0, epsilon = 1e-9);
        near!(dec(270.0, 0.0), 0.0, epsilon = 1e-9);
        near!(dec(123.0, 90.0), latitude, epsilon = 1e-9);
        near!(
            dec(180.0, 20.0),
            (latitude - 70.0f64).max(-180.0 - (latitude - 70.0)),
            epsilon = 1e-9
        );
    }
}

/// Rectilinear fields, degrees.
#[test]
fn fields_of_view_match() {
    let level = Pointing::new(0.0, 0.0);
    for (focal, width, height) in [
        (14.0, 104.25, 81.20),
        (20.0, 83.97, 61.93),
        (24.0, 73.74, 53.13),
        (35.0, 54.43, 37.85),
        (50.0, 39.60, 26.99),
        (85.0, 23.91, 16.07),
    ] {
        let lens = optics(focal, 2.8, 4.35);
        let view = View::new(&lens, Orientation::Landscape, level);
        near!(view.width_deg(), width, epsilon = 0.01);
        near!(view.height_deg(), height, epsilon = 0.01);
        let upright = View::new(&lens, Orientation::Portrait, level);
        near!(upright.width_deg(), height, epsilon = 0.01);
    }
    let view = View::new(&optics(24.0, 2.8, 4.35), Orientation::Landscape, level);
    near!(view.diagonal_deg(), 84.06, epsilon = 0.01);
    let small = Optics::new(24.0, 2.8, [23.5, 15.6], 3.9).unwrap();
    let view = View::new(&small, Orientation::Landscape, level);
    near!(view.width_deg(), 52.17, epsilon = 0.01);
    near!(view.height_deg(), 36.01, epsilon = 0.01);
}

#[test]
fn the_frame_holds_what_it_should() {
    let lens = optics(24.0, 2.8, 4.35);
    let north = View::new(&lens, Orientation::Landscape, Pointing::new(0.0, 0.0));
    assert!(north.holds(Pointing::new(36.8, 0.0)));
    assert!(!north.holds(Pointing::new(36.9, 0.0)));
    assert!(north.holds(Pointing::new(323.2, 0.0)));
    assert!(north.holds(Pointing::new(0.0, 26.5)));
    assert!(!north.holds(Pointing::new(0.0, 26.6)));
    assert!(!north.holds(Pointing::new(180.0, 0.0)));
    assert_eq!(north.position(Pointing::new(90.0, 0.0)), None);
    // A level straight lens: at 30 deg aside a star at altitude h stands
    // tan h / cos 30 above the middle line.
    let star = north.position(Pointing::new(30.0, 20.0)).unwrap();
    near!(
        star.across,
        30f64.to_radians().tan() / 0.75,
        epsilon = 1e-12
    );
    near!(
        star.up,
        20f64.to_radians().tan() / 30f64.to_radians().cos() / 0.5,
        epsilon = 1e-12
    );
    // Pitched up, the axis is the centre and the horizon leaves at the bottom.
    let raised = View::new(&lens, Orientation::Landscape, Pointing::new(200.0, 26.5));
    let centre = raised.position(Pointing::new(200.0, 26.5)).unwrap();
    near!(centre.across, 0.0, epsilon = 1e-12);
    near!(centre.up, 0.0, epsilon = 1e-12);
    assert!(raised.holds(Pointing::new(200.0, 0.0)));
    assert!(!raised.holds(Pointing::new(200.0, -0.2)));
    let between = Pointing::between(Pointing::new(350.0, 0.0), Pointing::new(10.0, 0.0)).unwrap();
    near!(
        between.azimuth_deg.rem_euclid(360.0).min(1.0),
        0.0,
        epsilon = 1e-9
    );
    let middle = Pointing::between(Pointing::new(90.0, 0.0), Pointing::new(90.0, 40.0)).unwrap();
    near!(middle.altitude_deg, 20.0, epsilon = 1e-9);
    assert_eq!(
        Pointing::between(Pointing::new(0.0, 0.0), Pointing::new(180.0, 0.0)),
        None
    );
}

fn frames(focal: f64, orientation: Orientation, width_deg: f64, overlap: f64) -> u32 {
    let span = PanoramaSpan {
        width_deg,
        height_deg: 1.0,
        bottom_deg: -0.5,
    };
    Panorama::cover(&optics(focal, 2.8, 4.35), orientation, &span, overlap)
        .unwrap()
        .frames_per_row
}

#[test]
fn panoramas_match_the_worked_values() {
    use Orientation::{Landscape, Portrait};
    assert_eq!(frames(24.0, Landscape, 180.0, 0.30), 4);
    assert_eq!(frames(24.0, Portrait, 180.0, 0.30), 5);
    assert_eq!(frames(35.0, Landscape, 120.0, 0.30), 3);
    assert_eq!(frames(35.0, Portrait, 120.0, 0.30), 5);
    assert_eq!(frames(20.0, Landscape, 200.0, 0.40), 4);
    assert_eq!(frames(20.0, Portrait, 200.0, 0.40), 5);
    assert_eq!(frames(24.0, Portrait, 360.0, 0.30), 10);
    assert_eq!(frames(24.0, Landscape, 60.0, 0.30), 1);
}

#[test]
fn panoramas_cover_and_never_shrink() {
    for orientation in [Orientation::Landscape, Orientation::Portrait] {
        for focal in [14.0, 20.0, 24.0, 35.0, 50.0, 85.0] {
            for overlap in [0.2, 0.3, 0.4, 0.5] {
                for width in [40.0, 90.0, 137.0, 200.0, 300.0] {
                    let n = frames(focal, orientation, width, overlap);
                    assert!(frames(focal * 1.3, orientation, width, overlap) >= n);
                    assert!(frames(focal, orientation, width, overlap + 0.1) >= n);
                    let view = View::new(
                        &optics(focal, 2.8, 4.35),
                        orientation,
                        Pointing::new(0.0, 0.0),
                    );
                    let step = view.width_deg() * (1.0 - overlap);
                    let covered = f64::from(n - 1) * step + view.width_deg();
                    assert!(covered + 1e-6 >= width || f64::from(n) * step >= 360.0);
                }
            }
        }
    }
}

#[test]
fn the_arch_from_foot_to_foot() {
    near!(arch_width_deg([100.0, 280.0], 190.0), 180.0);
    near!(arch_width_deg([300.0, 120.0], 30.0), 180.0);
    near!(arch_width_deg([60.0, 150.0], 20.0), 270.0);
    near!(arch_width_deg([60.0, 150.0], 100.0), 90.0);
    let span = PanoramaSpan::arch([100.0, 280.0], 190.0, 40.0, 10.0);
    near!(span.width_deg, 200.0);
    near!(span.height_deg, 60.0);
    near!(span.bottom_deg, -10.0);
    let plan =
        Panorama::cover(&optics(24.0, 2.8, 4.35), Orientation::Landscape, &span, 0.3).unwrap();
    // 60 deg of height in rows of 53: two, each with half the height in its
    // middle.
    assert_eq!(plan.rows, 2);
    near!(plan.lowest_pitch_deg, 5.0, epsilon = 1e-9);
    near!(plan.pitch_step_deg, 30.0, epsilon = 1e-9);
    let refused = Panorama::cover(
        &optics(24.0, 2.8, 4.35),
        Orientation::Landscape,
        &PanoramaSpan {
            width_deg: f64::NAN,
            ..span
        },
        0.3,
    );
    assert!(matches!(refused, Err(LightError::OutOfRange { .. })));
}

#[test]
fn the_printed_scales_are_third_stops() {
    for pair in ISO_SCALE.windows(2) {
        let step = (f64::from(pair[1]) / f64::from(pair[0])).log2();
        near!(step, 1.0 / 3.0, epsilon = 0.04);
    }
    for pair in SHUTTER_SCALE_S.windows(2) {
        let step = (pair[0] / pair[1]).log2();
        near!(step, 1.0 / 3.0, epsilon = 0.17);
    }
    // Thirds add up: from 30 s to 1/4000 s are 17 stops less rounding.
    let all = (SHUTTER_SCALE_S[0] / SHUTTER_SCALE_S[51]).log2();
    near!(all, 51.0 / 3.0, epsilon = 0.15);
    assert_eq!(printed_shutter_s(8.84), Some(8.0));
    assert_eq!(printed_shutter_s(20.0), Some(20.0));
    assert_eq!(printed_shutter_s(400.0), Some(30.0));
    assert_eq!(printed_shutter_s(1e-9), None);
}

/// The default placement in the sRGB curve (IEC 61966-2-1): a quarter from the
/// left of the histogram.
#[test]
fn default_placement_is_a_quarter_of_the_histogram() {
    let linear: f64 = 0.18 * DEFAULT_SKY_PLACEMENT_STOPS.exp2();
    let shown = 1.055 * linear.powf(1.0 / 2.4) - 0.055;
    near!(shown, 0.24, epsilon = 0.01);
    // f/2.8, 15 s, ISO 6400, common practice for the Milky Way.
    let sky_mag = 21.6;
    let sky = luminance_cd_m2(sky_mag);
    let plan = plan_exposure(
        &optics(14.0, 2.8, 4.35),
        15.0,
        sky,
        sky,
        &ExposureAims::default(),
    );
    assert_eq!((plan.shutter_s, plan.iso), (15.0, 6400));
    assert_eq!(plan.reach, Reach::Reached);
    near!(plan.sky_placement_stops, -2.0, epsilon = 0.2);
}

#[test]
fn what_no_camera_can_be_set_to_is_said() {
    let lens = optics(24.0, 5.6, 4.35);
    let sky = luminance_cd_m2(22.0);
    let aims = ExposureAims {
        iso: IsoRange::new(100, 6400).unwrap(),
        ..ExposureAims::default()
    };
    let dark = plan_exposure(&lens, 8.0, sky, sky, &aims);
    assert_eq!(dark.iso, 6400);
    let Reach::TooDark { stops_short } = dark.reach else {
        panic!("{dark:?}");
    };
    near!(stops_short, -2.0 - dark.sky_placement_stops, epsilon = 1e-9);
    // Dusk: the shutter is shortened instead.
    let dusk = plan_exposure(&lens, 8.0, 20.0, 1.0, &aims);
    assert_eq!(dusk.reach, Reach::Reached);
    assert!(dusk.shutter_s < 8.0 && dusk.iso == 100, "{dusk:?}");
    near!(dusk.sky_placement_stops, -2.0, epsilon = 1.0 / 3.0);
    near!(
        dusk.land_placement_stops - dusk.sky_placement_stops,
        stops_between(1.0, 20.0),
        epsilon = 1e-9
    );
    let wide_open = optics(24.0, 1.4, 4.35);
    let day = plan_exposure(&wide_open, 8.0, 20_000.0, 5_000.0, &aims);
    assert!(matches!(day.reach, Reach::TooBright { stops_over } if stops_over > 0.0));
    assert!(IsoRange::new(100, 110).is_err());
    assert!(IsoRange::new(6400, 100).is_err());
}

#[test]
fn impossible_optics_are_refused_with_reasons() {
    let message = Optics::new(0.0, 2.8, [36.0, 24.0], 4.35)
        .unwrap_err()
        .to_string();
    assert_eq!(message, "focal length (mm) is 0, but must be 1 to 3000");
    assert!(Optics::new(24.0, f64::NAN, [36.0, 24.0], 4.35).is_err());
    assert!(Optics::new(24.0, 2.8, [f64::INFINITY, 24.0], 4.35).is_err());
    assert!(Optics::new(24.0, 2.8, [36.0, 24.0], -1.0).is_err());
}
