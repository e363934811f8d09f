//! `rakelight exposure`.

mod args;
mod question;

use super::{
    args::{Format, Formats},
    asked_rules::AskedRules,
    manners::{Failure, Outcome, Output},
    one_site::OneSite,
    photo::Photographed,
};
use anyhow::anyhow;
pub use args::ExposureArgs;
use question::DEFAULT_SKY_MAG;
use rakelight::{
    ephemeris::Moment,
    light::{ExposureSheet, TimeLapse},
    plan::{LightChange, PhotoSettings},
    report::{
        Key,
        exposure::{self, AtSite, Calibration},
        json,
        lenses::{self, LensRow},
        sky::{PhotoReport, SkyReport},
        words::clock_text,
    },
    rule::Conditions,
    scene::Site,
    search::Planner,
};
use serde_json::Value;
use std::{
    io::{self, Write as _},
    sync::Arc,
};

/// A site at an instant.
struct There {
    site: Arc<Site>,
    planner: Planner,
    moment: Moment,
    instant: Conditions,
    photo: Option<PhotoReport>,
}

pub fn run(args: &ExposureArgs) -> Result<Outcome, Failure> {
    question::check_together(args)?;
    let there = there(args)?;
    let camera = there
        .as_ref()
        .and_then(|there| there.site.camera)
        .unwrap_or_default();
    let sheet = |focal_mm: Option<f64>| {
        let optics = question::optics(args, camera, focal_mm)?;
        question::sheet(question::question(args, optics, there.as_ref())?)
    };
    if args.focal_mm.len() > 1 {
        let sheets = args.focal_mm.iter().map(|mm| sheet(Some(*mm)));
        return write_lenses(args, there.as_ref(), sheets.collect::<Result<_, _>>()?);
    }
    let sheet = sheet(args.focal_mm.first().copied())?;
    let at = there.as_ref().map(|there| at_site(args, &sheet, there));
    let at = at.transpose()?;
    let calibration = calibration(args, there.as_ref())?;
    let mut out = args.output.open(FORMATS, args.format)?;
    let answer = Answer {
        sheet,
        at,
        there,
        sky_assumed: args.sky_mag.is_none(),
        quiet: args.output.quiet,
        calibration,
    };
    let (_, write) = args.output.format(FORMATS, args.format);
    write(&answer, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// Writes several lenses side by side.
fn write_lenses(
    args: &ExposureArgs,
    there: Option<&There>,
    sheets: Vec<ExposureSheet>,
) -> Result<Outcome, Failure> {
    let lens = |sheet: ExposureSheet| {
        let optics = sheet.question.optics;
        let plan = there.and_then(|there| there.planner.frame_plan_with(&optics, &there.instant));
        LensRow { sheet, plan }
    };
    let lenses: Vec<LensRow> = sheets.into_iter().map(lens).collect();
    let target = there.map_or("target", |there| there.instant.target_name());
    let mut out = args.output.open(FORMATS, args.format)?;
    let (format, _) = args.output.format(FORMATS, args.format);
    if format == Format::Json {
        lenses::write_json(&mut out, &lenses)?;
    } else {
        let width = out.width();
        let place = there.map(|there| {
            let clock = clock_text(there.site.zone, there.moment, true);
            let date = there.site.zone.local_date(there.moment);
            format!("{}, {date} {clock}", there.site.title())
        });
        let given = args.sensor_mm.is_some() && args.f_number.is_some();
        let assumed = !given && there.is_none_or(|there| there.site.camera.is_none());
        let north = there.map(|there| there.site.conventions.north);
        let target = (target, north.unwrap_or_default());
        lenses::write_table(&mut out, &lenses, place.as_deref(), assumed, target, width)?;
        if !args.output.quiet {
            Key::Lenses.write(&mut out, width)?;
            if there.is_some() {
                Key::Frames.write(&mut out, width)?;
            }
        }
    }
    out.finish()?;
    Ok(Outcome::Done)
}

/// What a frame of the user's own says of the land.
fn calibration(args: &ExposureArgs, there: Option<&There>) -> Result<Option<Calibration>, Failure> {
    let Some(stops) = args.land_measured else {
        return Ok(None);
    };
    let Some(there) = there else {
        return Err(Failure::Reported(anyhow!(
            "--land-measured needs a site and the time of the frame: give a site file and --time"
        )));
    };
    let computed = there.instant.light.land_vs_sky_stops;
    let reflectance = there.planner.reflectance_of_frame(&there.instant, stops);
    let Some(reflectance) = reflectance else {
        return Err(Failure::Reported(anyhow!(
            "--land-measured: found {stops}, expected stops that a reflectance from 0.01 to 1 \
             gives (computed {computed:+.1}); check the frame, its time and the site's sky"
        )));
    };
    Ok(Some(Calibration {
        measured_stops: stops,
        computed_stops: computed,
        reflectance,
        date: there.site.zone.local_date(there.moment),
    }))
}

/// What is written.
struct Answer {
    sheet: ExposureSheet,
    at: Option<AtSite>,
    there: Option<There>,
    /// Whether nobody gave the sky's brightness.
    sky_assumed: bool,
    quiet: bool,
    calibration: Option<Calibration>,
}

type Write = fn(&Answer, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[(Format::Table, write_table), (Format::Json, write_json)];

fn write_table(answer: &Answer, out: &mut Output) -> io::Result<()> {
    let width = out.width();
    if let Some(there) = &answer.there {
        report(there).write_table(out, width)?;
        if !answer.quiet {
            report(there).write_key(out, width)?;
        }
        writeln!(out)?;
    } else if answer.sky_assumed {
        writeln!(
            out,
            "For a moonless natural sky of {DEFAULT_SKY_MAG} mag/arcsec2; --sky-mag gives another\n"
        )?;
    }
    if let Some(calibration) = &answer.calibration {
        calibration.write_table(out, width)?;
        writeln!(out)?;
    }
    exposure::write_table(out, &answer.sheet, answer.at.as_ref(), width)?;
    if answer.quiet {
        return Ok(());
    }
    Key::Exposure.write(out, width)
}

fn write_json(answer: &Answer, out: &mut Output) -> io::Result<()> {
    let mut object = exposure::object(&answer.sheet, answer.at.as_ref());
    if let (Some(there), Value::Object(fields)) = (&answer.there, &mut object) {
        let report = report(there);
        fields.extend(report.photo_json().map(|photo| ("photo".into(), photo)));
        fields.insert("sky".into(), report.to_json());
        let calibration = answer.calibration.as_ref();
        let calibration = calibration.map(Calibration::to_json);
        fields.insert("calibration".into(), calibration.into());
    }
    let document = json::document(json::query("exposure"), object);
    serde_json::to_writer_pretty(&mut *out, &document)?;
    writeln!(out)
}

fn report(there: &There) -> SkyReport<'_> {
    SkyReport {
        site: &there.site,
        instant: there.instant,
        age_days: None,
        land_range: there.planner.land_range(&there.instant),
        // The sheet below gives the settings.
        frame: None,
        photo: there.photo,
    }
}

/// The site's instant, if a site is given.
fn there(args: &ExposureArgs) -> Result<Option<There>, Failure> {
    let rules = AskedRules::read_file(&args.brief)?;
    if let Some(path) = &args.photo {
        let time = args.time.as_deref();
        let found = Photographed::read(path, &args.place, time, &rules, &args.output)?;
        let moment = found.report.time.moment;
        return there_at(found.place, moment, Some(found.report)).map(Some);
    }
    if args.place.sites.is_empty() && args.place.place.is_none() {
        if args.time.is_some() {
            return Err(Failure::Reported(anyhow!(
                "--time needs a site: give a site file or --place"
            )));
        }
        if !args.brief.brief.is_empty() || args.brief.base_brief.is_some() {
            return Err(Failure::Reported(anyhow!(
                "--brief needs a site: give a site file or --place"
            )));
        }
        return Ok(None);
    }
    let place = OneSite::read(&args.place, &rules, &args.output)?;
    let Some(time) = &args.time else {
        return Err(Failure::Reported(anyhow!(
            "a site's light needs an instant: --time, as RFC 3339 or local time"
        )));
    };
    let moment = place.moment(time, args.output.quiet)?;
    there_at(place, moment, None).map(Some)
}

fn there_at(
    place: OneSite,
    moment: Moment,
    mut photo: Option<PhotoReport>,
) -> Result<There, Failure> {
    // The window may be of the night before by the date in UTC, and a
    // time-lapse may last into the next.
    let planner = place.planner_at(moment, 1)?;
    let instant = planner.at(moment)?;
    if let Some(photo) = &mut photo {
        let planned = planner.own_settings(&instant);
        photo.settings = planned.map(|planned| PhotoSettings::of(&photo.photo, planned));
    }
    Ok(There {
        site: place.site,
        planner,
        moment,
        instant,
        photo,
    })
}

/// The window that the instant lies in, and how the settings of a time-lapse
/// change with the light.
fn at_site(args: &ExposureArgs, sheet: &ExposureSheet, there: &There) -> Result<AtSite, Failure> {
    let question = &sheet.question;
    let through = |film: &TimeLapse| {
        LightChange::through(
            &there.planner,
            there.moment,
            film.total_s - film.shutter_s,
            &question.optics,
            film.shutter_s,
            &question.aims,
        )
    };
    // A sky that was given stays as it is.
    let film = sheet.time_lapse.as_ref().filter(|_| args.sky_mag.is_none());
    Ok(AtSite {
        zone: there.site.zone,
        moment: there.moment,
        window: there.planner.period_at(there.moment),
        light: film.map(|(film, _)| through(film)).transpose()?,
        plan: there
            .planner
            .frame_plan_with(&question.optics, &there.instant),
        target: there.instant.target_name(),
        north: there.site.conventions.north,
    })
}
