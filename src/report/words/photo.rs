//! A photograph in English: when, where, and its settings against the plan.

use super::{duration_text, mid_tone_words, settings_text, shutter_text};
use crate::report::rows::photo::PhotoReport;
use crate::scene::{PhotoTimeFrom, Site};

/// A photograph may be so far from its site without a word, metres.
const FAR_M: f64 = 1000.0;

/// A shutter is too long from so many times the limit on: the printed shutters
/// are rounded by as much.
const TOO_LONG: f64 = 1.02;

/// What to say about a photograph taken at `site`.
pub(in crate::report) fn photo_sentences(report: &PhotoReport, site: &Site) -> Vec<String> {
    let mut all = vec![format!("The photo: {}", facts(report, site))];
    all.extend(clock_sentences(report, site));
    if let Some(away_m) = report.away_m.filter(|away_m| *away_m > FAR_M) {
        all.push(format!(
            "The photo was taken {:.1} km from the site; all this is for where it was taken",
            away_m / 1000.0
        ));
    }
    all.extend(settings_sentences(report, site));
    all
}

fn facts(report: &PhotoReport, site: &Site) -> String {
    let photo = &report.photo;
    let time = match report.time.from {
        PhotoTimeFrom::Given => "at the time given".to_owned(),
        PhotoTimeFrom::Gps => "time from its GPS".to_owned(),
        PhotoTimeFrom::Offset => "time from the camera's clock with its offset".to_owned(),
        PhotoTimeFrom::Zone => format!("time from the camera's clock in {}", site.zone.name()),
    };
    let facts = [
        photo.f_number.map(|f_number| format!("f/{f_number}")),
        photo.shutter_s.map(shutter_text),
        photo.iso.map(|iso| format!("ISO {iso}")),
        photo.focal_mm.map(|focal_mm| format!("{focal_mm} mm")),
        Some(time),
    ];
    facts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn clock_sentences(report: &PhotoReport, site: &Site) -> Vec<String> {
    let (photo, time) = (&report.photo, &report.time);
    let believed = match time.from {
        PhotoTimeFrom::Given => "the time given",
        PhotoTimeFrom::Gps => "GPS time",
        PhotoTimeFrom::Offset => "the camera's clock with its offset",
        PhotoTimeFrom::Zone => "the camera's clock",
    };
    let mut all = Vec::new();
    if let Some(ahead_s) = time.clock_wrong_by_s() {
        let size = duration_text(ahead_s.abs());
        let way = if ahead_s > 0.0 { "ahead of" } else { "behind" };
        all.push(format!(
            "The camera's clock was {size} {way} {believed}; {believed} counts"
        ));
    }
    if let Some((camera, zone)) = photo.offsets_that_differ(time) {
        all.push(format!(
            "The camera's offset from UTC was {camera}, that of {} {zone}; {believed} counts",
            site.zone.name()
        ));
    }
    all
}

fn settings_sentences(report: &PhotoReport, site: &Site) -> Vec<String> {
    let Some(settings) = report.settings else {
        return vec!["Neither photo nor site gives a lens, so no plan to compare with".to_owned()];
    };
    let limit = shutter_text(settings.longest_shutter_s);
    let mut all = Vec::new();
    all.push(match settings.of_longest {
        Some(times) if times > TOO_LONG => {
            format!("Its shutter was {times:.1} times the longest without trails, {limit}")
        }
        Some(_) => format!("Its shutter was within the longest without trails, {limit}"),
        None => format!("The longest shutter without trails was {limit}"),
    });
    if let Some((sky, land)) = settings.placements_stops {
        all.push(format!(
            "It put the sky {}, the land {}",
            mid_tone_words(sky),
            mid_tone_words(land)
        ));
    }
    let planned = &settings.planned.exposure;
    // The sensor is the site's, else the usual one: Exif does not say.
    let [width_mm, height_mm] = site.camera.unwrap_or_default().sensor_mm;
    all.push(format!(
        "The plan for its lens on a sensor of {width_mm} by {height_mm} mm: {}, the sky {}, the \
         land {}",
        settings_text(planned),
        mid_tone_words(planned.sky_placement_stops),
        mid_tone_words(planned.land_placement_stops)
    ));
    all
}
