//! Camera, subject and tripod as points of a map, with what is found there in
//! words. `waypoint_file` writes them.

use super::words::{advice_sentence, caution_sentence, place_lines, plural, window_line};
use crate::{
    plan::{NightPlan, WindowMap},
    scene::Site,
    search::Window,
    terrain::GroundPoint,
};

/// The most windows that a description lists: it is read on a small screen.
const MOST_LISTED: usize = 20;

/// A point of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Waypoint {
    /// Where it is.
    pub point: GroundPoint,
    /// Height above sea level, metres, if it is known.
    pub elevation_m: Option<f64>,
    /// What a map writes beside it.
    pub name: String,
    /// What it is.
    pub role: Role,
    /// What there is to say of it, a sentence or a window each.
    pub lines: Vec<String>,
}

/// What a point is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Where a site's camera stands.
    Camera,
    /// What the picture is of.
    Subject,
    /// Where the tripod has to be.
    Tripod,
}

impl Role {
    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Camera => "camera",
            Self::Subject => "subject",
            Self::Tripod => "tripod",
        }
    }
}

/// The camera of a site, with these `lines` and its notes.
pub(super) fn camera(site: &Site, point: GroundPoint, mut lines: Vec<String>) -> Waypoint {
    lines.extend(site.notes.as_ref().map(|notes| format!("Notes: {notes}")));
    Waypoint {
        point,
        elevation_m: Some(site.elevation_m),
        name: site.title().into_owned(),
        role: Role::Camera,
        lines,
    }
}

/// The subject of a site.
pub(super) fn subject(site: &Site, point: GroundPoint) -> Waypoint {
    let subject = site.subject.as_ref();
    let title = site.title();
    let name = subject.and_then(|subject| subject.name.clone());
    let mut lines = vec![format!("The subject of {title}")];
    if let Some(height_m) = subject.and_then(|subject| subject.height_m) {
        lines.push(format!("{height_m} m high"));
    }
    Waypoint {
        point,
        elevation_m: subject.and_then(|subject| subject.place.elevation_m()),
        name: name.unwrap_or_else(|| format!("{title}: subject")),
        role: Role::Subject,
        lines,
    }
}

/// Camera and subject, if the place of each is known.
fn places(site: &Site, lines: Vec<String>) -> Vec<Waypoint> {
    let Some((at, foot)) = WindowMap::places(site) else {
        return Vec::new();
    };
    let subject = foot.map(|foot| subject(site, foot));
    [camera(site, at, lines)]
        .into_iter()
        .chain(subject)
        .collect()
}

/// A site with the windows that a scan of so many evenings shows and found.
pub fn of_scan(site: &Site, shown: &[&Window], found: usize, evenings: i64) -> Vec<Waypoint> {
    let windows = plural(found as i64, "window", "windows");
    let nights = plural(evenings, "evening", "evenings");
    let mut lines = vec![format!(
        "{windows} in {nights}, times in {}",
        site.zone.name()
    )];
    lines.extend(listed(site, shown));
    places(site, lines)
}

/// A site with its night: the windows, what to do and what to take care of.
pub fn of_night(plan: &NightPlan<'_>) -> Vec<Waypoint> {
    let site = plan.site;
    let windows: Vec<&Window> = plan.windows.iter().collect();
    let mut lines = place_lines(plan);
    lines.push(plural(windows.len() as i64, "window", "windows"));
    lines.extend(listed(site, &windows));
    let advice = plan.advice.iter();
    lines.extend(advice.map(|advice| advice_sentence(plan, advice)));
    let cautions = plan.cautions.iter();
    lines.extend(cautions.map(|caution| caution_sentence(caution).to_owned()));
    places(site, lines)
}

/// A line for each window, the first ones of many.
fn listed(site: &Site, windows: &[&Window]) -> Vec<String> {
    let listed = windows.iter().take(MOST_LISTED);
    let mut lines: Vec<String> = listed.map(|window| window_line(site, window)).collect();
    let more = windows.len().saturating_sub(lines.len());
    if more > 0 {
        lines.push(format!("... and {more} more"));
    }
    lines
}
