//! Frames of the land, on a mount, in trails and in a time-lapse, against the
//! meter's equation and the sidereal day.

use approx::assert_abs_diff_eq as near;
use rakelight::light::{
    ExposureAims, ExposureQuestion, ExposureSheet, IsoRange, LandAims, LightError, Optics, Reach,
    TimeLapseAims, TrailLength, exposure::SHUTTER_SCALE_S, exposure_at, exposure_within,
    plan_land_frame, plan_star_trails, plan_time_lapse, plan_tracked,
};
use std::f64::consts::TAU;

/// A sidereal day, seconds.
const DAY_S: f64 = 86_164.090_5;

fn lens() -> Optics {
    Optics::new(14.0, 2.8, [36.0, 24.0], 6.0).unwrap()
}

/// Pixels that the celestial equator moves on the axis.
fn moves_px(seconds: f64) -> f64 {
    TAU / DAY_S * seconds * 14.0 / 6e-3
}

/// ISO 2720:1974 with K = 12.5: L = K N^2 / (t S) is mid-tone.
#[test]
fn the_land_falls_where_it_is_wanted() {
    let iso = IsoRange::new(100, 6400).unwrap();
    for (land_cd_m2, f_number, placement) in [
        (1e-3, None, 0.0),
        (2.5e-4, Some(4.0), -1.0),
        (0.02, Some(8.0), -1.5),
        (3.0, None, 1.0),
    ] {
        let aims = LandAims {
            placement_stops: placement,
            f_number,
            iso,
            ..LandAims::default()
        };
        let frame = plan_land_frame(&lens(), land_cd_m2, &aims, 2.0).unwrap();
        let n = f_number.unwrap_or(2.8);
        assert_eq!(frame.f_number, n);
        assert_eq!(frame.reach, Reach::Reached);
        let shown_cd_m2 = 12.5 * n * n / (frame.shutter_s * f64::from(frame.iso));
        let falls = (land_cd_m2 / shown_cd_m2).log2();
        near!(falls, frame.placement_stops, epsilon = 1e-9);
        let rounding = if frame.shutter_s > 30.0 { 0.02 } else { 0.2 };
        near!(falls, placement, epsilon = rounding);
        assert!(frame.shutter_s <= 240.0);
        // Bulb is in whole seconds, shorter times are on the scale.
        let printed = SHUTTER_SCALE_S.contains(&frame.shutter_s);
        assert!(printed || frame.shutter_s.fract() == 0.0, "{frame:?}");
        // No lower ISO had done.
        let lower = f64::from(frame.iso) * (-1.0f64 / 3.0).exp2();
        let longer_s = 12.5 * n * n * placement.exp2() / (land_cd_m2 * lower);
        assert!(frame.iso == 100 || longer_s > 240.0 * 0.99, "{frame:?}");
    }
}

/// ANSI PH2.7 exposure guide (after Jones & Condit): land under a full Moon is
/// EV -3 at ISO 100, so 7.84 x 8 = 63 s at f/2.8.
#[test]
fn land_under_a_full_moon_takes_a_minute() {
    let aims = LandAims {
        iso: IsoRange::new(100, 100).unwrap(),
        frames: 4,
        ..LandAims::default()
    };
    let frame = plan_land_frame(&lens(), 0.125 / 8.0, &aims, 10.0).unwrap();
    assert_eq!((frame.shutter_s, frame.iso), (63.0, 100));
    near!(frame.total_s, 4.0 * 63.0 + 3.0 * 10.0);
}

#[test]
fn land_that_no_setting_reaches_is_said() {
    let aims = LandAims {
        iso: IsoRange::new(100, 800).unwrap(),
        longest_shutter_s: 60.0,
        ..LandAims::default()
    };
    // 12.5 x 7.84 / (60 x 800) cd/m2 would be mid-tone.
    let limit = 12.5 * 7.84 / (60.0 * 800.0);
    let dark = plan_land_frame(&lens(), limit / 8.0, &aims, 0.0).unwrap();
    assert_eq!((dark.shutter_s, dark.iso), (60.0, 800));
    let Reach::TooDark { stops_short } = dark.reach else {
        panic!("{dark:?}");
    };
    near!(stops_short, 3.0, epsilon = 1e-9);
    near!(dark.placement_stops, -3.0, epsilon = 1e-9);
    let bright = plan_land_frame(&lens(), 1e5, &aims, 0.0).unwrap();
    assert!(
        matches!(bright.reach, Reach::TooBright { .. }),
        "{bright:?}"
    );
    for (wrong, what) in [
        (
            LandAims {
                longest_shutter_s: f64::NAN,
                ..aims
            },
            "shutter",
        ),
        (
            LandAims {
                longest_shutter_s: 7200.0,
                ..aims
            },
            "shutter",
        ),
        (
            LandAims {
                f_number: Some(0.0),
                ..aims
            },
            "f-number",
        ),
        (LandAims { frames: 0, ..aims }, "frames"),
    ] {
        let error = plan_land_frame(&lens(), 1e-3, &wrong, 0.0).unwrap_err();
        assert!(error.to_string().contains(what), "{error}");
    }
}

/// What a mount keeps still is the sky, so the land moves by the sidereal rate.
#[test]
fn a_mount_lowers_the_iso_and_moves_the_land() {
    let aims = ExposureAims::default();
    let still = exposure_at(&lens(), 8.0, 2e-4, 5e-5, &aims);
    let tracked = plan_tracked(&lens(), 120.0, 0.0, 2e-4, 5e-5, &aims).unwrap();
    near!(
        still.exact_iso / tracked.exposure.exact_iso,
        15.0,
        epsilon = 1e-9
    );
    near!(tracked.land_blur_px, moves_px(120.0), epsilon = 1e-4);
    let at_60 = plan_tracked(&lens(), 120.0, -60.0, 2e-4, 5e-5, &aims).unwrap();
    near!(at_60.land_blur_px, 0.5 * moves_px(120.0), epsilon = 1e-4);
    // 600 s at dusk are too long for ISO 100, and it is said.
    let dusk = plan_tracked(&lens(), 600.0, 0.0, 1.0, 1.0, &aims).unwrap();
    let Reach::TooBright { stops_over } = dusk.exposure.reach else {
        panic!("{dusk:?}");
    };
    near!(
        stops_over,
        2.0 + dusk.exposure.sky_placement_stops,
        epsilon = 1e-9
    );
    assert!(plan_tracked(&lens(), f64::NAN, 0.0, 1.0, 1.0, &aims).is_err());
}

#[test]
fn trails_turn_with_the_sidereal_day() {
    let plan =
        |length, shutter, pause| plan_star_trails(&lens(), length, shutter, pause, 0.0).unwrap();
    // The whole circle, frame to frame.
    let circle = plan(TrailLength::Degrees(360.0), 30.0, 0.0);
    assert_eq!(circle.frames, (DAY_S / 30.0).ceil() as u32);
    near!(
        circle.turn_deg,
        360.0 * circle.total_s / DAY_S,
        epsilon = 1e-4
    );
    for (length, shutter, pause) in [
        (TrailLength::Degrees(20.0), 30.0, 2.0),
        (TrailLength::Seconds(3600.0), 30.0, 2.0),
        (TrailLength::Seconds(3600.0), 60.0, 0.0),
        (TrailLength::Seconds(3600.0), 240.0, 5.0),
        (TrailLength::Degrees(0.1), 30.0, 1.0),
    ] {
        let trails = plan(length, shutter, pause);
        let asked_s = match length {
            TrailLength::Seconds(seconds) => seconds,
            TrailLength::Degrees(degrees) => degrees / 360.0 * DAY_S,
        };
        let frames = f64::from(trails.frames);
        near!(
            trails.total_s,
            frames * shutter + (frames - 1.0) * pause,
            epsilon = 1e-9
        );
        // Long enough, and one frame less were too short.
        assert!(trails.total_s >= asked_s - 1e-6, "{trails:?}");
        assert!(trails.frames == 1 || trails.total_s - shutter - pause < asked_s);
        near!(
            trails.turn_deg,
            360.0 * trails.total_s / DAY_S,
            epsilon = 1e-4
        );
        near!(trails.length_px, moves_px(trails.total_s), epsilon = 0.01);
        let gap = if trails.frames > 1 {
            moves_px(pause)
        } else {
            0.0
        };
        near!(trails.gap_px, gap, epsilon = 1e-4);
    }
    for wrong in [TrailLength::Degrees(361.0), TrailLength::Seconds(f64::NAN)] {
        assert!(plan_star_trails(&lens(), wrong, 30.0, 0.0, 0.0).is_err());
    }
    let short = TrailLength::Degrees(1.0);
    assert!(plan_star_trails(&lens(), short, 30.0, -1.0, 0.0).is_err());
}

#[test]
fn a_film_has_its_frames() {
    let aims = TimeLapseAims {
        total_s: 7200.0,
        interval_s: Some(15.0),
        frame_rate: 25.0,
    };
    let film = plan_time_lapse(&aims, 8.0, 2.0).unwrap();
    // Frames begin at 0, 15 ... 7185 s; the last ends at 7193.
    assert_eq!(film.frames, 480);
    near!(film.film_s, 19.2, epsilon = 1e-12);
    near!(film.total_s, 7193.0, epsilon = 1e-9);
    // 1.3 s and 2 s fit in 4 s, no fewer whole seconds.
    let own = TimeLapseAims {
        interval_s: None,
        ..aims
    };
    near!(plan_time_lapse(&own, 1.3, 2.0).unwrap().interval_s, 4.0);
    near!(plan_time_lapse(&own, 8.0, 2.0).unwrap().interval_s, 10.0);
    let refused = plan_time_lapse(&aims, 14.0, 2.0).unwrap_err();
    let expected = LightError::IntervalTooShort {
        interval_s: 15.0,
        least_s: 16.0,
    };
    assert_eq!(refused, expected);
    let long = TimeLapseAims {
        total_s: 60.0,
        interval_s: Some(61.0),
        ..aims
    };
    assert!(matches!(
        plan_time_lapse(&long, 8.0, 2.0),
        Err(LightError::TimeLapseTooShort { .. })
    ));
    let nan = TimeLapseAims {
        interval_s: Some(f64::NAN),
        ..aims
    };
    assert!(plan_time_lapse(&nan, 8.0, 2.0).is_err());
}

/// A frame of many keeps its time until the lowest ISO is too much.
#[test]
fn a_time_is_shortened_only_for_a_bright_sky() {
    let aims = ExposureAims::default();
    let dark = exposure_within(&lens(), 7.0, 2e-4, 5e-5, &aims);
    assert_eq!((dark.shutter_s, dark.reach), (7.0, Reach::Reached));
    let dusk = exposure_within(&lens(), 7.0, 30.0, 5.0, &aims);
    assert_eq!((dusk.iso, dusk.reach), (100, Reach::Reached));
    assert!(dusk.shutter_s < 1.0);
}

/// Whoever asks with the defaults gets what the single plans give.
#[test]
fn a_sheet_holds_the_plans() {
    let (sky, land) = (2e-4, 5e-5);
    let mut question = ExposureQuestion::new(lens(), -29.0, sky, land);
    let plain = ExposureSheet::new(question).unwrap();
    assert!(plain.tracked.is_none() && plain.star_trails.is_none() && plain.time_lapse.is_none());
    assert_eq!(
        plain.land,
        plan_land_frame(&lens(), land, &LandAims::default(), 2.0).unwrap()
    );
    question.tracked_s = Some(120.0);
    question.star_trails = Some(TrailLength::Degrees(20.0));
    question.time_lapse = Some(TimeLapseAims {
        total_s: 3600.0,
        interval_s: None,
        frame_rate: 25.0,
    });
    let sheet = ExposureSheet::new(question).unwrap();
    near!(
        sheet.tracked.unwrap().land_blur_px,
        moves_px(120.0),
        epsilon = 1e-4
    );
    let (trails, frame) = sheet.star_trails.unwrap();
    assert_eq!((trails.frames, frame.shutter_s), (150, 30.0));
    // 8 s is the longest within 9.35 s; with the pause 10 s.
    let (film, frame) = sheet.time_lapse.unwrap();
    assert_eq!((film.interval_s, frame.shutter_s), (10.0, 8.0));
    question.pause_s = f64::NAN;
    assert!(ExposureSheet::new(question).is_err());
}
