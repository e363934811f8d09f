//! The lines around the tables of a night: place, Moon, compass, camera.

use super::{
    clock::clock_text,
    town::town_glow_lines,
    weather::{clear_nights_line, cloud_line},
};
use crate::{
    plan::{NightPlan, NightStep, PlaceLine},
    report::night::in_window,
    scene::{LogEntry, TownDome, offset_text},
    terrain::CompassZone,
};

/// The lines above a card: place, night, Moon, compass, camera, notes.
pub(in crate::report) fn heading_lines(plan: &NightPlan<'_>) -> Vec<String> {
    let mut lines = place_lines(plan);
    lines.extend(view_lines(plan));
    lines
}

/// Those that are the same for every view of a place: night, Moon, compass.
pub(in crate::report) fn place_lines(plan: &NightPlan<'_>) -> Vec<String> {
    let site = plan.site;
    let next = plan.night.date.succ_opt().unwrap_or(plan.night.date);
    let offsets = {
        let changes = site.zone.offset_changes(plan.night.start, plan.night.end);
        let first = offset_text(site.zone.offset_seconds_at(plan.night.start));
        changes.iter().fold(first, |text, (_, offset)| {
            format!("{text}, then {}", offset_text(*offset))
        })
    };
    let mut lines = vec![format!(
        "Night of {} to {}, times in {} (UTC {offsets})",
        plan.night.date.format("%a %-d %B %Y"),
        next.format("%a %-d"),
        site.zone.name(),
    )];
    lines.extend(moon_phase_words(plan).map(|moon| format!("Moon {moon}")));
    lines.extend(clear_nights_line(site, plan.night.date));
    lines.push(compass_text(plan));
    lines.extend(town_lines(plan));
    lines
}

/// `37% lit at 23:15, waxing`: the Moon in the middle of a night.
pub(super) fn moon_phase_words(plan: &NightPlan<'_>) -> Option<String> {
    let middle = plan.darkness.darkest;
    let away = |step: &NightStep| (step.instant.moment().seconds() - middle.seconds()).abs();
    let steps = plan.order.iter().map(|entry| &entry.step);
    let step = steps.min_by(|a, b| away(a).total_cmp(&away(b)))?;
    let phase = step.instant.sky.phase;
    Some(format!(
        "{:.0}% lit at {}, {}",
        100.0 * phase.illuminated_fraction,
        clock_text(plan.site.zone, step.instant.moment(), plan.clocks_change),
        if phase.waxing { "waxing" } else { "waning" }
    ))
}

/// The towns that brighten the sky, first those under the target at the best
/// instant of a window.
fn town_lines(plan: &NightPlan<'_>) -> Vec<String> {
    let stands_over = |dome: &TownDome| {
        plan.windows.iter().any(|window| {
            let target = &window.best.sky.target;
            dome.is_under(target.azimuth_deg, target.apparent_altitude_deg)
        })
    };
    town_glow_lines(plan.site, |dome| {
        stands_over(dome).then(|| format!("under the {} at best", plan.rules.target_name()))
    })
}

/// Those of a view: camera, notes.
pub(in crate::report) fn view_lines(plan: &NightPlan<'_>) -> Vec<String> {
    let camera = &plan.lens.camera;
    let mut lines = vec![format!(
        "Settings for {} mm at f/{} on {} x {} mm, {:.0} MP{}; shutter by the full NPF rule, \
         factor {}",
        camera.focal_mm,
        camera.f_number,
        camera.sensor_mm[0],
        camera.sensor_mm[1],
        f64::from(camera.pixels[0]) * f64::from(camera.pixels[1]) / 1e6,
        if plan.lens.assumed {
            " (assumed: the site names no [camera])"
        } else {
            ""
        },
        plan.lens.npf_factor,
    )];
    lines.extend(cloud_line(plan));
    if let Some(notes) = &plan.site.notes {
        lines.push(format!("Notes: {notes}"));
    }
    let log = plan.site.log.iter();
    let entries = log.flat_map(|log| log.about(plan.site.view.as_deref()).take(LOG_SHOWN));
    lines.extend(entries.map(|entry| log_line(plan, entry)));
    lines
}

/// The entries of a site's log that a night shows.
pub(in crate::report) const LOG_SHOWN: usize = 3;

/// What came of a past night.
fn log_line(plan: &NightPlan<'_>, entry: &LogEntry) -> String {
    let date = entry.date.format("%a %-d %B %Y");
    // Of a site without views every entry is shown, with its own.
    let view = entry.view.as_ref().filter(|_| plan.site.view.is_none());
    let view = view.map_or_else(String::new, |view| format!(", {view}"));
    let more = entry.more.iter();
    let more: Vec<String> = more.map(|(name, text)| format!("{name} {text}")).collect();
    let more = match more.is_empty() {
        true => String::new(),
        false => format!(" ({})", more.join("; ")),
    };
    let found = match entry.found.is_empty() {
        true => "-",
        false => entry.found.as_str(),
    };
    format!("Log, {date}{view}: {found}{more}")
}

/// What a view is called beside the others of its place.
pub(in crate::report) fn view_name<'a>(plan: &'a NightPlan<'_>) -> &'a str {
    plan.site.view.as_deref().unwrap_or("no view")
}

/// What a line of the timetable of a place is about.
pub(in crate::report) fn line_view<'a>(line: &PlaceLine<'a>) -> &'a str {
    match line.of_place {
        true => "",
        false => view_name(line.plan),
    }
}

fn compass_text(plan: &NightPlan<'_>) -> String {
    match &plan.compass {
        Ok(field) => {
            let size = field.declination_deg.abs();
            let side = if field.declination_deg < 0.0 {
                "west"
            } else {
                "east"
            };
            let trust = match field.zone {
                CompassZone::Reliable => "",
                CompassZone::Caution => "; near the magnetic pole, trust a compass little",
                CompassZone::Blackout => "; at the magnetic pole, a compass is of no use",
            };
            format!(
                "Compass: true bearing {} {size:.1}° (declination {size:.1}° {side}, WMM2025, \
                 2025 to 2030){trust}",
                if field.declination_deg < 0.0 {
                    "plus"
                } else {
                    "less"
                }
            )
        }
        Err(error) => format!("Compass: {error}"),
    }
}

/// What the lines of light and settings show, and which `mark` those within a
/// window have, if there are any.
pub(in crate::report) fn steps_note(plan: &NightPlan<'_>, below_deg: f64, mark: &str) -> String {
    let of_moon = plan.rules.target.is_moon();
    let note = format!(
        "With the Sun {}; light 79°L: Moon 79° left of the camera direction, R right; sky mag: \
         mag/arcsec2 {} the {} (at the horizon while that is down); {}land stops: - darker than \
         the sky",
        sun_words(plan, below_deg),
        if of_moon { "beside" } else { "behind" },
        plan.rules.target_name(),
        if of_moon {
            "disc stops: brighter than the land; "
        } else {
            ""
        },
    );
    if plan.steps.iter().any(|step| in_window(plan, step)) {
        format!("{note}, {mark} within a window")
    } else {
        note
    }
}

/// Where the Sun is in the lines of light and settings.
pub(in crate::report) fn sun_words(plan: &NightPlan<'_>, below_deg: f64) -> &'static str {
    match below_deg {
        _ if plan.rules.target.is_moon() => "below the horizon",
        h if h <= -12.0 => "below -12°",
        h if h <= -6.0 => "below -6° (it goes no lower than -12°)",
        _ => "below the horizon (it goes no lower than -6°)",
    }
}
