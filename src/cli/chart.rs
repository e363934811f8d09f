//! `rakelight chart`.

use super::{
    Outcome,
    args::{
        ChartCommand, ChartFrameArgs, ChartNightArgs, ChartSeasonArgs, Paper, PictureArgs,
        PictureFormat,
    },
    failure::Failure,
    inputs::{self, Wishes},
    night::night_of,
    output::{Output, check_standard, is_standard},
    png, scan, season, season_limit,
};
use anyhow::anyhow;
use rakelight::{
    chart::{FrameChart, NightChart, Palette, Picture, SeasonChart, SeasonPanel},
    ephemeris::Moment,
    input::Faults,
    rule::Rules,
    scene::{LightKind, Site, ValueError, Zone},
    search::{LUNATION_DAYS, Lunation, NightCourse, Planner, Season, Vista, lunations},
    terrain::{MagneticField, decimal_year},
};
use std::{
    io::{IsTerminal, Write},
    path::Path,
    sync::Arc,
};

/// Steps of a night's course: one in three minutes.
pub const STEPS: usize = 480;

pub fn run(command: &ChartCommand) -> Result<Outcome, Failure> {
    let picture = match command {
        ChartCommand::Night(args) => &args.picture,
        ChartCommand::Frame(args) => &args.picture,
        ChartCommand::Season(args) => &args.picture,
    };
    format(picture)?;
    match command {
        ChartCommand::Night(args) => night(args),
        ChartCommand::Frame(args) => frame(args),
        ChartCommand::Season(args) => seasons(args),
    }
}

fn palette(args: &PictureArgs) -> Palette {
    match args.paper {
        Paper::Light => Palette::Light,
        Paper::Dark => Palette::Dark,
    }
}

/// The file that the picture goes to; none for standard output.
fn file(args: &PictureArgs) -> Option<&Path> {
    let path = args.output.output.as_deref();
    path.filter(|path| !is_standard(path))
}

/// The format asked for, or that the file's name ends in.
fn format(args: &PictureArgs) -> Result<PictureFormat, Failure> {
    let path = file(args);
    let ending = path.and_then(|path| path.extension());
    match (args.format, ending) {
        (Some(format), _) => Ok(format),
        (None, None) => Ok(PictureFormat::Svg),
        (None, Some(ending)) if ending.eq_ignore_ascii_case("svg") => Ok(PictureFormat::Svg),
        (None, Some(ending)) if ending.eq_ignore_ascii_case("png") => Ok(PictureFormat::Png),
        (None, Some(ending)) => {
            let found = format!("a name that ends in .{}", ending.to_string_lossy());
            let error = ValueError::new(&found, "one that ends in .svg or .png")
                .with_remedy("name the picture so, or choose --format svg or png");
            Err(Failure::option("output", &error))
        }
    }
}

fn write(picture: &Picture, args: &PictureArgs) -> Result<Outcome, Failure> {
    let path = file(args);
    if format(args)? == PictureFormat::Svg {
        let mut out = Output::open(path)?;
        out.write_all(picture.svg.as_bytes())?;
        out.finish()?;
        return Ok(Outcome::Done);
    }
    let bytes = png::encode(picture)?;
    if let Some(path) = path {
        let mut out = Output::open_binary(path)?;
        out.write_all(&bytes)?;
        out.finish()?;
    } else {
        check_standard()?;
        // Past the stream that looks after terminal styles: pixels are no
        // text.
        let mut out = std::io::stdout().lock();
        if out.is_terminal() {
            return Err(Failure::Said(anyhow!(
                "a PNG is no text for a terminal; name a file with -o"
            )));
        }
        out.write_all(&bytes)?;
        out.flush()?;
    }
    Ok(Outcome::Done)
}

fn night(args: &ChartNightArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::read(&args.brief)?;
    let site = inputs::one_site(&args.place, args.picture.output.quiet)?;
    if !args.picture.output.quiet {
        inputs::say_assumed_zone(&site);
    }
    let rules = inputs::rules(&wishes, &site)?;
    let night = night_of(&site, args.on)?;
    let planner = inputs::planner(site, rules, inputs::one_night(args.on)?)?;
    let course = NightCourse::of(&planner, &night, STEPS);
    let picture = NightChart {
        site: planner.site(),
        rules: planner.rules(),
        course: &course,
    }
    .draw(palette(&args.picture));
    write(&picture, &args.picture)
}

fn frame(args: &ChartFrameArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::read(&args.brief)?;
    let site = inputs::one_site(&args.place, args.picture.output.quiet)?;
    if !args.picture.output.quiet {
        inputs::say_assumed_zone(&site);
    }
    let rules = inputs::rules(&wishes, &site)?;
    let moment = site
        .zone
        .parse_time(&args.time)
        .map_err(|error| Failure::option("time", &error))?;
    let date = Zone::UTC.local_date(moment);
    let planner = inputs::planner(site, rules, inputs::one_night(date)?)?;
    let vista = Vista::at(&planner, moment);
    let picture = FrameChart {
        site: planner.site(),
        rules: planner.rules(),
        vista: &vista,
        magnetic_declination_deg: declination_deg(planner.site(), moment),
    }
    .draw(palette(&args.picture));
    write(&picture, &args.picture)
}

/// What the compass is off by; `None` outside the model's years.
pub fn declination_deg(site: &Site, moment: Moment) -> Option<f64> {
    MagneticField::at(
        site.latitude_deg,
        site.longitude_deg,
        site.elevation_m,
        decimal_year(moment),
    )
    .ok()
    .map(|field| field.declination_deg)
}

fn seasons(args: &ChartSeasonArgs) -> Result<Outcome, Failure> {
    let wishes = Wishes::read(&args.brief)?;
    let mut faults = Faults::default();
    let mut places: Vec<(Arc<Site>, Vec<Rules>)> = Vec::new();
    for site in inputs::sites(&args.place, args.picture.output.quiet)? {
        match site.and_then(|site| season::kinds(&wishes, &site).map(|rules| (site, rules))) {
            Ok((site, rules)) => places.push((Arc::new(site), rules)),
            Err(wrong) => faults.extend(wrong),
        }
    }
    if !faults.0.is_empty() {
        return Err(faults.into());
    }
    let zone = places.first().map_or(Zone::UTC, |(site, _)| site.zone);
    let dates = scan::evenings_between(args.range, zone)?;
    season_limit::check(
        format(&args.picture)?,
        places.len(),
        dates.first(),
        dates.last(),
    )?;
    let season = Season::new(dates.widened(LUNATION_DAYS));
    let mut rows: Vec<(Vec<Planner>, Vec<Lunation>)> = Vec::new();
    for (site, rules) in places {
        let planners = season::planners(&season, &site, rules)?;
        let lunations = lunations(&planners, dates);
        rows.push((planners, lunations));
    }
    let mut kinds: Vec<LightKind> = Vec::new();
    for planner in rows.iter().flat_map(|(planners, _)| planners) {
        if !kinds.contains(&planner.rules().light) {
            kinds.push(planner.rules().light);
        }
    }
    let panels = rows
        .iter()
        .filter_map(|(planners, lunations)| {
            let planner = planners.first()?;
            Some(SeasonPanel {
                site: planner.site(),
                rules: planner.rules(),
                lunations,
            })
        })
        .collect();
    let picture = SeasonChart {
        first: dates.first(),
        last: dates.last(),
        kinds,
        panels,
    }
    .draw(palette(&args.picture));
    write(&picture, &args.picture)
}
