//! `rakelight exposure`.

use super::{
    args::{Format, Formats, OutputArgs, PRINT, SiteArgs, WHERE, format},
    asked_rules::AskedRules,
    manners::{Failure, Outcome, Output},
    one_site::OneSite,
    values,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    ephemeris::Direction,
    light::{
        ExposureAims, IsoRange, Optics, Sheet, SheetQuestion, TrailLimit,
        panorama::{DEFAULT_ARCH_MARGIN_DEG, DEFAULT_OVERLAP, Span},
        photometry::{diffuse_luminance_cd_m2, luminance_cd_m2},
    },
    plan::InFrame,
    report::{Key, exposure, json, sky::SkyReport},
    rule::Conditions,
    scene::{Camera, Site},
};
use serde_json::Value;
use std::{
    io::{self, Write as _},
    sync::Arc,
};

const LENS: &str = "Lens and sensor";
const SETTINGS: &str = "Settings and frames";

#[derive(Debug, Args)]
pub struct ExposureArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// RFC 3339, or local time (2027-05-13T21:30)
    ///
    /// The instant whose light it is, at a site.
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: Option<String>,

    /// Focal length, mm [default: the site's, else 14]
    #[arg(long, value_name = "MM", value_parser = values::number(1.0, 3000.0), help_heading = LENS)]
    pub focal_mm: Option<f64>,

    /// f-number [default: the site's, else 2.8]
    #[arg(long, value_name = "N", value_parser = values::number(0.5, 128.0), help_heading = LENS)]
    pub f_number: Option<f64>,

    /// Sensor size, mm [default: the site's, else 36x24]
    ///
    /// Width and height, mm.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true, value_parser = values::pair(1.0, 200.0), help_heading = LENS)]
    pub sensor_mm: Option<[f64; 2]>,

    /// Pixels across [default: the site's, else 6000]
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(1, 1_000_000), help_heading = LENS)]
    pub pixels_across: Option<u32>,

    /// Declination of the target, degrees [default: the core's]
    #[arg(long, hide_short_help = true, value_name = "DEG", allow_hyphen_values = true, value_parser = values::number(-90.0, 90.0), help_heading = SETTINGS)]
    pub declination: Option<f64>,

    /// NPF rule, 1 strict to 3 lenient
    #[arg(long, value_name = "K", default_value = "1", value_parser = values::number(0.1, 10.0), help_heading = SETTINGS)]
    pub npf_factor: f64,

    /// Allow a trail of so many pixels instead
    #[arg(long, hide_short_help = true, value_name = "PX", value_parser = values::number(0.1, 1000.0), help_heading = SETTINGS)]
    pub trail_px: Option<f64>,

    /// Sky, V mag/arcsec2 [default: computed, else 21.8]
    ///
    /// Behind the target; by default as at the site's instant, else 21.8.
    #[arg(long, value_name = "MAG", value_parser = values::number(10.0, 25.0), help_heading = SETTINGS)]
    pub sky_mag: Option<f64>,

    /// Light on the land, lux [default: computed]
    ///
    /// By default as at the site's instant, else the dark sky's own.
    #[arg(long, value_name = "LUX", value_parser = values::number(0.0, 200_000.0), help_heading = SETTINGS)]
    pub land_lux: Option<f64>,

    /// Reflectance of the land with --land-lux, 0.01 to 1
    #[arg(long, hide_short_help = true, value_name = "R", default_value = "0.15", value_parser = values::number(0.01, 1.0), help_heading = SETTINGS)]
    pub reflectance: f64,

    /// Where the sky should fall, stops from mid-tone [default: -2]
    #[arg(long, hide_short_help = true, value_name = "STOPS", allow_hyphen_values = true, value_parser = values::number(-10.0, 10.0), help_heading = SETTINGS)]
    pub sky_placement: Option<f64>,

    /// ISO speeds to choose from [default: 100..25600]
    #[arg(long, value_name = "A..B", value_parser = values::iso, help_heading = SETTINGS)]
    pub iso: Option<[u32; 2]>,

    /// Panorama, degrees [default: the arch, else 180x0]
    ///
    /// Width and height, degrees; by default the arch at the site's instant.
    #[arg(long, value_name = "WxH", value_parser = values::pair(0.0, 360.0), help_heading = SETTINGS)]
    pub panorama: Option<[f64; 2]>,

    /// Overlap of neighbouring frames [default: 0.3]
    #[arg(long, hide_short_help = true, value_name = "SHARE", value_parser = values::number(0.0, 0.9), help_heading = SETTINGS)]
    pub overlap: Option<f64>,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: OutputArgs,
}

/// A good dark sky, V mag/arcsec2, if neither option nor site gives one.
const DEFAULT_SKY_MAG: f64 = 21.8;
/// Default width of a panorama, degrees: a whole arch on a flat horizon.
const DEFAULT_PANORAMA_DEG: f64 = 180.0;

/// A site at an instant.
struct There {
    site: Arc<Site>,
    instant: Conditions,
}

pub fn run(args: &ExposureArgs) -> Result<Outcome, Failure> {
    let there = there(args)?;
    let camera = there
        .as_ref()
        .and_then(|there| there.site.camera)
        .unwrap_or_default();
    let optics = optics(args, camera)?;
    let question = question(args, optics, there.as_ref())?;
    let sheet = Sheet::new(question).map_err(|error| anyhow!("{error}"))?;
    let mut out = Output::open(args.output.output.as_deref())?;
    let answer = Answer {
        sheet,
        there,
        sky_assumed: args.sky_mag.is_none(),
        quiet: args.output.quiet,
    };
    let (_, write) = args.output.format(FORMATS, args.format);
    write(&answer, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// What the command writes.
struct Answer {
    sheet: Sheet,
    there: Option<There>,
    /// Whether nobody gave the sky's brightness.
    sky_assumed: bool,
    quiet: bool,
}

type Write = fn(&Answer, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[(Format::Table, write_table), (Format::Json, write_json)];

fn write_table(answer: &Answer, out: &mut Output) -> io::Result<()> {
    let width = out.width();
    if let Some(there) = &answer.there {
        report(there).write_table(out, width)?;
        if !answer.quiet {
            Key::Sky.write(out, width)?;
        }
        writeln!(out)?;
    } else if answer.sky_assumed {
        writeln!(
            out,
            "For a moonless natural sky of {DEFAULT_SKY_MAG} mag/arcsec2; --sky-mag gives another\n"
        )?;
    }
    exposure::write_table(out, &answer.sheet, width)?;
    if let Some(there) = &answer.there {
        let target = there.instant.target_name();
        exposure::write_in_frame(out, &in_frame(answer, there), target, width)?;
    }
    if answer.quiet {
        return Ok(());
    }
    Key::Exposure.write(out, width)
}

fn write_json(answer: &Answer, out: &mut Output) -> io::Result<()> {
    let mut object = exposure::object(&answer.sheet);
    if let (Some(there), Value::Object(fields)) = (&answer.there, &mut object) {
        let ways = in_frame(answer, there);
        fields.insert("in_frame".into(), exposure::in_frame(&ways));
        fields.insert("sky".into(), report(there).to_json());
    }
    let document = json::document(json::query("exposure"), object);
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn in_frame(answer: &Answer, there: &There) -> Vec<InFrame> {
    InFrame::each(&there.site, &answer.sheet.question.optics, &there.instant)
}

fn report(there: &There) -> SkyReport<'_> {
    SkyReport {
        site: &there.site,
        instant: there.instant,
        age_days: None,
        // The sheet below gives the settings.
        frame: None,
    }
}

/// The site's instant, if a site is given.
fn there(args: &ExposureArgs) -> Result<Option<There>, Failure> {
    if args.place.sites.is_empty() && args.place.place.is_none() {
        if args.time.is_some() {
            return Err(Failure::Reported(anyhow!(
                "--time needs a site: give a site file or --place"
            )));
        }
        return Ok(None);
    }
    let place = OneSite::read(&args.place, AskedRules::default(), args.output.quiet)?;
    let Some(time) = &args.time else {
        return Err(Failure::Reported(anyhow!(
            "a site's light needs an instant: --time, as RFC 3339 or local time"
        )));
    };
    let moment = place.moment(time)?;
    let instant = place.planner_at(moment, 0)?.at(moment)?;
    let site = place.site;
    Ok(Some(There { site, instant }))
}

fn optics(args: &ExposureArgs, mut camera: Camera) -> Result<Optics, Failure> {
    camera.focal_mm = args.focal_mm.unwrap_or(camera.focal_mm);
    camera.f_number = args.f_number.unwrap_or(camera.f_number);
    camera.sensor_mm = args.sensor_mm.unwrap_or(camera.sensor_mm);
    camera.pixels[0] = args.pixels_across.unwrap_or(camera.pixels[0]);
    Optics::try_from(&camera).map_err(|error| Failure::Reported(anyhow!("{error}")))
}

fn question(
    args: &ExposureArgs,
    optics: Optics,
    there: Option<&There>,
) -> Result<SheetQuestion, Failure> {
    let light = there.map(|there| &there.instant.light);
    let sky_cd_m2 = match (args.sky_mag, light) {
        (Some(mag), _) => luminance_cd_m2(mag),
        (None, Some(light)) => light.sky_cd_m2,
        (None, None) => luminance_cd_m2(DEFAULT_SKY_MAG),
    };
    let land_cd_m2 = match (args.land_lux, light) {
        (Some(lux), _) => diffuse_luminance_cd_m2(lux, args.reflectance),
        (None, Some(light)) => light.land_cd_m2,
        // The land in the light of an evenly bright sky.
        (None, None) => sky_cd_m2 * args.reflectance,
    };
    let iso = match args.iso {
        Some([lowest, highest]) => {
            IsoRange::new(lowest, highest).map_err(|error| anyhow!("--iso: {error}"))?
        }
        None => IsoRange::default(),
    };
    let defaults = ExposureAims::default();
    let arch = there.and_then(|there| there.instant.sky.arch);
    let panorama = match (args.panorama, arch) {
        (Some([width_deg, height_deg]), _) => Span {
            width_deg,
            height_deg,
            bottom_deg: -DEFAULT_ARCH_MARGIN_DEG,
        },
        (None, Some(arch)) => Span::arch(
            arch.feet.map(|foot| foot.azimuth_deg),
            arch.top_azimuth_deg,
            arch.top_altitude_deg,
            DEFAULT_ARCH_MARGIN_DEG,
        ),
        (None, None) => Span {
            width_deg: DEFAULT_PANORAMA_DEG,
            height_deg: 0.0,
            bottom_deg: 0.0,
        },
    };
    let declination_deg = args
        .declination
        .or(there.map(|there| there.instant.sky.target_declination_deg))
        .unwrap_or_else(|| Direction::Core.declination_deg());
    Ok(SheetQuestion {
        optics,
        declination_deg,
        trail_limit: match args.trail_px {
            Some(pixels) => TrailLimit::Pixels(pixels),
            None => TrailLimit::Npf(args.npf_factor),
        },
        sky_cd_m2,
        land_cd_m2,
        aims: ExposureAims {
            sky_placement_stops: args.sky_placement.unwrap_or(defaults.sky_placement_stops),
            iso,
        },
        panorama,
        overlap: args.overlap.unwrap_or(DEFAULT_OVERLAP),
    })
}
