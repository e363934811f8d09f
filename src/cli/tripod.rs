//! `rakelight tripod`.

use super::{
    args::{
        BriefArgs, EyeArgs, Format, Formats, PRINT, STAND, SiteArgs, SiteOutputArgs, WHERE,
        day::day, format,
    },
    asked_rules::AskedRules,
    manners::{Failure, Outcome, Output},
    one_site::OneSite,
    values,
};
use anyhow::{Context, anyhow};
use chrono::NaiveDate;
use clap::Args;
use rakelight::{
    ephemeris::Moment,
    plan::{NoTripodPosition, TripodAims},
    report::{
        WaypointFile,
        tripod::TripodReport,
        words::{clock_text, hours_text},
    },
    scene::Day,
    search::{Lens, Planner},
};
use std::io::{self, Write as _};

/// What `rakelight tripod` takes.
#[derive(Debug, Args)]
pub struct TripodArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// Local time (2027-05-13T21:30), now, 21:30
    ///
    /// The instant: local time of the site, RFC 3339, now, or a time of day in
    /// the night that goes on.
    #[arg(
        long,
        value_name = "T",
        required_unless_present = "on",
        conflicts_with = "on",
        help_heading = WHERE
    )]
    pub time: Option<String>,

    /// Or the best instant of that evening
    ///
    /// Of the windows in which every rule holds: YYYY-MM-DD, tonight, today,
    /// tomorrow or a day of the week (the next one; today counts).
    #[arg(long, value_name = "DATE", value_parser = day, help_heading = WHERE)]
    pub on: Option<Day>,

    #[command(flatten)]
    pub brief: BriefArgs,

    /// Target above the subject, degrees
    ///
    /// Above its top; of the Moon its lower limb. [default: 5, with --target moon
    /// 0.25]
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = angle, help_heading = STAND)]
    pub clearance: Option<f64>,

    /// Target right of the subject, degrees
    ///
    /// Degrees of azimuth, left negative.
    #[arg(long, value_name = "DEG", default_value = "0", allow_hyphen_values = true, value_parser = angle, help_heading = STAND)]
    pub offset: f64,

    #[command(flatten)]
    pub eye: EyeArgs,

    #[arg(long, value_name = "FORMAT", help = format::help(FORMATS), value_parser = format::parser(FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: SiteOutputArgs,
}

type Write = fn(&TripodReport<'_>, &mut Output) -> io::Result<()>;

const FORMATS: Formats<Write> = &[
    (Format::Table, |report, out| {
        let width = out.width();
        report.write_table(out, width)
    }),
    (Format::Json, |report, out| report.write_json(out)),
    (Format::Geojson, |report, out| report.write_map(out)),
    (Format::Gpx, |report, out| {
        write!(out, "{}", WaypointFile::Gpx.whole(&report.waypoints()))
    }),
    (Format::Kml, |report, out| {
        write!(out, "{}", WaypointFile::Kml.whole(&report.waypoints()))
    }),
];

fn angle(text: &str) -> Result<f64, String> {
    values::measure(text, -90.0, 90.0, "degrees from -90 to 90")
}

/// When the target should be there.
enum When {
    Instant(Moment),
    /// At the best instant of the evening.
    Evening(NaiveDate),
}

pub fn run(args: &TripodArgs) -> Result<Outcome, Failure> {
    let asked_rules = AskedRules::read(&args.brief)?;
    let place = OneSite::read(&args.place, &asked_rules, &args.output)?;
    let when = match (&args.time, args.on) {
        (Some(text), _) => When::Instant(place.moment(text, args.output.quiet)?),
        (None, Some(on)) => When::Evening(place.evening(on)?),
        (None, None) => return Err(Failure::Reported(anyhow!("give --time or --on"))),
    };
    let lens = Lens::of(&place.site, 1.0)
        .with_context(|| format!("the camera of {}", place.site.title()))?;
    let usual = TripodAims::of(place.rules.target);
    let aims = TripodAims {
        clearance_deg: args.clearance.unwrap_or(usual.clearance_deg),
        offset_deg: args.offset,
        eye_height_m: args.eye.eye_height_m,
    };
    let mut out = args.output.open(FORMATS, args.format)?;
    let (planner, moment) = match when {
        When::Instant(moment) => (place.planner_at(moment, 1)?, moment),
        When::Evening(on) => {
            let planner = place.planner(on, 1)?;
            let best = best_of(&planner, on)?;
            (planner, best)
        }
    };
    let site = planner.site();
    let answer = planner
        .tripod(&lens, &aims, moment)
        .map_err(|error| refusal(&planner, &aims, moment, error))?;
    let report = TripodReport {
        site,
        lens: &lens,
        aims: &aims,
        stand: &answer,
        compass: site.magnetic_field(moment),
        target_word: planner.rules().target_name(),
    };
    let (_, write) = args.output.format(FORMATS, args.format);
    write(&report, &mut out)?;
    out.finish()?;
    Ok(Outcome::Done)
}

/// The best instant of the best window of an evening.
fn best_of(planner: &Planner, on: NaiveDate) -> Result<Moment, Failure> {
    let windows = planner.windows_of(on)?;
    windows
        .iter()
        .max_by(|a, b| a.score.total_cmp(&b.score))
        .map(|window| window.best.moment())
        .ok_or_else(|| {
            Failure::Reported(anyhow!(
                "no window keeps every rule on the night of {on}: give --time, or looser rules"
            ))
        })
}

/// Why there is no tripod position, and when there is one that night.
fn refusal(
    planner: &Planner,
    aims: &TripodAims,
    moment: Moment,
    error: NoTripodPosition,
) -> Failure {
    let zone = planner.site().zone;
    let by_sky = matches!(
        error,
        NoTripodPosition::TargetDown { .. }
            | NoTripodPosition::TooLow { .. }
            | NoTripodPosition::TooHigh { .. }
    );
    let at = clock_text(zone, moment, true);
    if !by_sky {
        return Failure::Reported(anyhow!("no tripod position: {error}"));
    }
    let hours = planner.tripod_hours(aims, moment).unwrap_or_default();
    let hours: Vec<String> = hours
        .into_iter()
        .map(|interval| hours_text(zone, interval, true))
        .collect();
    let when = if hours.is_empty() {
        "there is none within half a day of it".to_string()
    } else {
        format!(
            "within half a day of it there is one {}",
            hours.join(" and ")
        )
    };
    Failure::Reported(anyhow!("no tripod position at {at}: {error}; {when}"))
}
