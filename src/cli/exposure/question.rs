//! From arguments to the question that is answered.

use super::{ExposureArgs, There, args::LONGEST_INTERVAL_S};
use crate::cli::manners::Failure;
use anyhow::anyhow;
use rakelight::{
    ephemeris::Direction,
    light::{
        ExposureAims, ExposureQuestion, ExposureSheet, IsoRange, LandAims, LightError, Optics,
        TimeLapseAims, TrailLimit,
        panorama::{DEFAULT_ARCH_MARGIN_DEG, PanoramaSpan},
        photometry::{diffuse_luminance_cd_m2, luminance_cd_m2},
        time_lapse::DEFAULT_FRAME_RATE,
    },
    scene::Camera,
    search::{exposure_aims, frame_centre_declination_deg},
};

/// A good dark sky, V mag/arcsec2, where no sky is named.
pub const DEFAULT_SKY_MAG: f64 = 21.8;

/// Refuses options that mean nothing without another.
pub fn check_together(args: &ExposureArgs) -> Result<(), Failure> {
    let film = args.time_lapse.is_some();
    let alone = [
        (
            args.interval.is_some() && !film,
            "--interval needs --time-lapse: add --time-lapse 2h",
        ),
        (
            args.frame_rate.is_some() && !film,
            "--frame-rate needs --time-lapse: add --time-lapse 2h",
        ),
        (
            args.frame_shutter.is_some() && !film && args.trails.is_none(),
            "--frame-shutter needs --trails or --time-lapse: add --trails 60min or --time-lapse 2h",
        ),
    ];
    let several = args.focal_mm.len() > 1;
    let more = [
        (args.tracked.is_some(), "--tracked"),
        (args.trails.is_some(), "--trails"),
        (film, "--time-lapse"),
        (args.land_measured.is_some(), "--land-measured"),
    ];
    if let Some((_, option)) = more.iter().find(|(given, _)| several && *given) {
        return Err(Failure::Reported(anyhow!(
            "{option} is planned for one lens: give one --focal-mm"
        )));
    }
    if let Some((_, message)) = alone.iter().find(|(is_alone, _)| *is_alone) {
        return Err(Failure::Reported(anyhow!("{message}")));
    }
    Ok(())
}

/// The answer, or what is wrong in the words of the options.
pub fn sheet(question: ExposureQuestion) -> Result<ExposureSheet, Failure> {
    ExposureSheet::new(question).map_err(|error| {
        Failure::Reported(match error {
            LightError::IntervalTooShort {
                interval_s,
                least_s,
            } => {
                let fits_s = (least_s - 1e-9).ceil();
                let remedy = match fits_s <= LONGEST_INTERVAL_S {
                    true => format!("write {fits_s}s"),
                    false => "give a shorter --frame-shutter or --pause".to_owned(),
                };
                anyhow!(
                    "--interval: found {interval_s}s, expected at least {least_s}s, the shutter \
                     time and the pause; {remedy}"
                )
            }
            LightError::TimeLapseTooShort {
                total_s,
                interval_s,
            } => anyhow!(
                "--time-lapse: found {total_s}s, expected at least {interval_s}s, one interval; \
                 write {interval_s}s"
            ),
            error => anyhow!("{error}"),
        })
    })
}

pub fn optics(
    args: &ExposureArgs,
    mut camera: Camera,
    focal_mm: Option<f64>,
) -> Result<Optics, Failure> {
    camera.focal_mm = focal_mm.unwrap_or(camera.focal_mm);
    camera.f_number = args.f_number.unwrap_or(camera.f_number);
    camera.sensor_mm = args.sensor_mm.unwrap_or(camera.sensor_mm);
    camera.pixels[0] = args.pixels_across.unwrap_or(camera.pixels[0]);
    Optics::try_from(&camera.lying()).map_err(|error| Failure::Reported(anyhow!("{error}")))
}

pub fn question(
    args: &ExposureArgs,
    optics: Optics,
    there: Option<&There>,
) -> Result<ExposureQuestion, Failure> {
    let light = there.map(|there| &there.instant.light);
    let sky_cd_m2 = match (args.sky_mag, light) {
        (Some(mag), _) => luminance_cd_m2(mag),
        (None, Some(light)) => light.sky_cd_m2,
        (None, None) => luminance_cd_m2(DEFAULT_SKY_MAG),
    };
    let land_cd_m2 = match (args.land_lux, light) {
        (Some(lux), _) => diffuse_luminance_cd_m2(lux, args.reflectance),
        (None, Some(light)) => light.land_cd_m2,
        // The even sky's own light on the land.
        (None, None) => sky_cd_m2 * args.reflectance,
    };
    let iso = match args.iso {
        Some([lowest, highest]) => {
            IsoRange::new(lowest, highest).map_err(|error| anyhow!("--iso: {error}"))?
        }
        None => IsoRange::default(),
    };
    let arch = there.and_then(|there| there.instant.sky.arch);
    let facing_deg = there.map(|there| there.instant.facing_deg);
    let (panorama, panorama_centre_deg) = match (args.panorama, arch) {
        (Some([width_deg, height_deg]), _) => {
            let bottom_deg = -DEFAULT_ARCH_MARGIN_DEG;
            let span = PanoramaSpan {
                width_deg,
                height_deg,
                bottom_deg,
            };
            (span, facing_deg)
        }
        (None, Some(arch)) => {
            let span = PanoramaSpan::arch(
                arch.feet.map(|foot| foot.azimuth_deg),
                arch.top_azimuth_deg,
                arch.top_altitude_deg,
                DEFAULT_ARCH_MARGIN_DEG,
            );
            (span, Some(arch.top_azimuth_deg))
        }
        (None, None) => (PanoramaSpan::HALF_THE_HORIZON, facing_deg),
    };
    let centre_declination_deg = args
        .declination
        .or(there.map(|there| {
            let plan = there.planner.frame_plan_with(&optics, &there.instant);
            frame_centre_declination_deg(&there.site, &there.instant, plan.as_ref())
        }))
        .or_else(|| Direction::Core.declination_deg())
        .unwrap_or_default();
    let plain = ExposureQuestion::new(optics, centre_declination_deg, sky_cd_m2, land_cd_m2);
    let land = plain.land;
    Ok(ExposureQuestion {
        trail_limit: match args.trail_px {
            Some(pixels) => TrailLimit::Pixels(pixels),
            None => TrailLimit::Npf(args.npf_factor),
        },
        aims: ExposureAims {
            sky_placement_stops: args.sky_placement.unwrap_or_else(|| {
                there
                    .map_or(plain.aims, |there| exposure_aims(&there.instant))
                    .sky_placement_stops
            }),
            iso,
        },
        land: LandAims {
            placement_stops: args.land_placement.unwrap_or(land.placement_stops),
            f_number: args.land_f_number,
            longest_shutter_s: args.land_shutter.unwrap_or(land.longest_shutter_s),
            frames: args.land_frames.unwrap_or(land.frames),
            iso,
        },
        pause_s: args.pause.unwrap_or(plain.pause_s),
        tracked_s: args.tracked,
        star_trails: args.trails,
        time_lapse: args.time_lapse.map(|total_s| TimeLapseAims {
            total_s,
            interval_s: args.interval,
            frame_rate: args.frame_rate.unwrap_or(DEFAULT_FRAME_RATE),
        }),
        frame_shutter_s: args.frame_shutter,
        panorama,
        panorama_centre_deg,
        overlap: args.overlap.unwrap_or(plain.overlap),
        ..plain
    })
}
