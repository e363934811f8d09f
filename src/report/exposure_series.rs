//! The land's own frame, a tracked sky, star trails and a time-lapse.

use super::{
    exposure_lines::Lines,
    json::{self, list},
    rows::series,
    words::{
        clock_text, duration_text, hours_text, mid_tone_words, plural, settings_of, settings_text,
        shutter_text,
    },
};
use crate::{
    ephemeris::Moment,
    light::{Exposure, ExposureSheet, Reach, StarTrails, TimeLapse, Tracked},
    plan::LightChange,
    scene::{North, Zone},
    search::{FramePlan, Interval},
};
use serde_json::{Map, Value};

/// What a sheet says of a site beside its light.
#[derive(Debug, Clone, Copy)]
pub struct AtSite {
    /// The site's zone.
    pub zone: Zone,
    /// The instant that was asked about.
    pub moment: Moment,
    /// The window it lies in, by the site's rules.
    pub window: Option<Interval>,
    /// The settings of a time-lapse from the first frame to the last.
    pub light: Option<LightChange>,
    /// How the lens gets land and target into the picture; `None` where the camera
    /// faces the arch.
    pub plan: Option<FramePlan>,
    /// What the target is called.
    pub target: &'static str,
    /// The north that its bearings are told from.
    pub north: North,
}

impl AtSite {
    /// From the instant to the end of its window, seconds.
    pub(super) fn left_s(&self) -> Option<f64> {
        let window = self.window?;
        Some(window.end - self.moment.seconds())
    }
}

/// What keeps settings from their aim, after a semicolon; nothing where they
/// reach it.
pub(super) fn reach_words(reach: Reach, bright: &str, dark: &str) -> String {
    match reach {
        Reach::Reached => String::new(),
        Reach::TooDark { stops_short } => {
            format!("; {dark} leaves it {stops_short:.1} stops too dark")
        }
        Reach::TooBright { stops_over } => {
            format!("; {bright} leaves it {stops_over:.1} stops too bright")
        }
    }
}

fn sky_words(exposure: &Exposure) -> String {
    format!(
        "{}: sky {}{}",
        settings_text(exposure),
        mid_tone_words(exposure.sky_placement_stops),
        reach_words(exposure.reach, "the lowest ISO", "the highest ISO")
    )
}

/// Adds the lines of a sheet.
pub(super) fn add(lines: &mut Lines, sheet: &ExposureSheet, at: Option<&AtSite>) {
    let pause = shutter_text_or_none(sheet.question.pause_s);
    if let Some(at) = at {
        window(lines, at);
    }
    land(lines, sheet, &pause);
    if let Some(tracked) = &sheet.tracked {
        tracked_sky(lines, sheet, tracked);
    }
    if let Some((trails, frame)) = &sheet.star_trails {
        star_trails(lines, trails, frame, &pause);
    }
    if let Some((time_lapse, frame)) = &sheet.time_lapse {
        film(lines, time_lapse, frame, at);
    }
}

/// A pause in words.
fn shutter_text_or_none(pause_s: f64) -> String {
    if pause_s > 0.0 {
        format!("a pause of {}", duration_text(pause_s))
    } else {
        "no pause".to_owned()
    }
}

fn window(lines: &mut Lines, at: &AtSite) {
    let text = match (at.window, at.left_s()) {
        (Some(window), Some(left_s)) => format!(
            "{} by the site's rules; {} left",
            hours_text(at.zone, window, false),
            duration_text(left_s)
        ),
        _ => "none at this time by the site's rules".to_owned(),
    };
    lines.row("window", &text);
}

fn land(lines: &mut Lines, sheet: &ExposureSheet, pause: &str) {
    let land = &sheet.land;
    let long = format!(
        "the longest time, {},",
        duration_text(sheet.question.land.longest_shutter_s)
    );
    let dark = format!("the highest ISO with {long}");
    let mut text = format!(
        "{}: land {}{}",
        settings_of(land.f_number, land.shutter_s, land.iso),
        mid_tone_words(land.placement_stops),
        reach_words(land.reach, "the shortest exposure", &dark)
    );
    if land.frames > 1 {
        text.push_str(&format!(
            "; {} frames with {pause} between two take {}",
            land.frames,
            duration_text(land.total_s)
        ));
    }
    lines.row("land alone", &text);
}

fn tracked_sky(lines: &mut Lines, sheet: &ExposureSheet, tracked: &Tracked) {
    let frame = &tracked.exposure;
    lines.row("tracked sky", &sky_words(frame));
    let stops = (f64::from(sheet.exposure.iso) / f64::from(frame.iso)).log2();
    let iso = match format!("{:.1}", stops.abs()).as_str() {
        "0.0" => "the same ISO as untracked".to_owned(),
        size if stops > 0.0 => format!("{size} stops less ISO than untracked"),
        size => format!("{size} stops more ISO than untracked"),
    };
    let blur = tracked.land_blur_px;
    lines.row("", &format!("{iso}; the land blurs by {blur:.1} px"));
}

fn star_trails(lines: &mut Lines, trails: &StarTrails, frame: &Exposure, pause: &str) {
    lines.row(
        "star trails",
        &format!(
            "{:.1}° around the pole in {}: up to {:.0} px long",
            trails.turn_deg,
            duration_text(trails.total_s),
            trails.length_px
        ),
    );
    let mut text = plural(trails.frames.into(), "frame", "frames");
    if trails.frames > 1 {
        text.push_str(&format!(
            " with {pause} between two, a gap of {:.1} px",
            trails.gap_px
        ));
    }
    lines.row("  frames", &text);
    lines.row("  each", &sky_words(frame));
}

fn film(lines: &mut Lines, film: &TimeLapse, frame: &Exposure, at: Option<&AtSite>) {
    lines.row(
        "time-lapse",
        &format!(
            "{}, every {} for {}: {:.1} s of film at {} per second",
            plural(film.frames.into(), "frame", "frames"),
            duration_text(film.interval_s),
            duration_text(film.total_s),
            film.film_s,
            film.frame_rate
        ),
    );
    let Some((light, zone)) = at.and_then(|at| Some((at.light?, at.zone))) else {
        lines.row("  each", &sky_words(frame));
        return;
    };
    let clock = |moment| clock_text(zone, moment, false);
    let at = |moment, exposure: &Exposure| format!("{} {}", clock(moment), sky_words(exposure));
    lines.row("  first", &at(light.from, &light.first));
    lines.row("  last", &at(light.to, &light.last));
    let [lowest, highest] = light.iso;
    let iso = match lowest == highest {
        true => format!("ISO {lowest} from the first to the last"),
        false => format!("ISO {lowest} to {highest} from the first to the last"),
    };
    let shutter = match light.first.shutter_s == light.last.shutter_s {
        true => String::new(),
        false => format!(
            "; the shutter time goes from {} to {}",
            shutter_text(light.first.shutter_s),
            shutter_text(light.last.shutter_s)
        ),
    };
    lines.row("  light", &format!("{iso}{shutter}"));
}

/// Adds the objects of a sheet to its document.
pub(super) fn add_objects(
    whole: &mut Map<String, Value>,
    sheet: &ExposureSheet,
    at: Option<&AtSite>,
) {
    if let Some(at) = at {
        let window = at.window.map_or(Value::Null, |_| list(series::WINDOW, &at));
        whole.insert("window".into(), window);
    }
    whole.insert("land".into(), list(series::LAND, &&sheet.land));
    let with = |frame: &Exposure, more: Map<String, Value>| {
        let mut object = json::object(series::FRAME, &frame);
        object.extend(more);
        object
    };
    if let Some(tracked) = &sheet.tracked {
        let more = json::object(series::TRACKED, &tracked);
        whole.insert("tracked".into(), with(&tracked.exposure, more).into());
    }
    if let Some((trails, frame)) = &sheet.star_trails {
        let more = json::object(series::STAR_TRAILS, &trails);
        whole.insert("star_trails".into(), with(frame, more).into());
    }
    if let Some((film, frame)) = &sheet.time_lapse {
        let mut object = with(frame, json::object(series::TIME_LAPSE, &film));
        let light = at.and_then(|at| at.light);
        let change = light.map_or(Value::Null, |light| list(series::LIGHT_CHANGE, &&light));
        object.insert("light_change".into(), change);
        whole.insert("time_lapse".into(), object.into());
    }
}
