//! An eclipse of the Moon with its times.

use super::{
    clock::{clock, hours_text},
    light::eclipse_word,
    target::capitalised,
};
use crate::{
    ephemeris::{Eclipse, EclipseKind, Moment, UmbraOnDisc},
    plan::{NightEvent, NightPlan, TimetableEntry},
    rule::Conditions,
    scene::Site,
    search::Interval,
};

fn hours(site: &Site, [from, to]: [Moment; 2]) -> String {
    let interval = Interval::new(from.seconds(), to.seconds());
    hours_text(site.zone, interval, false)
}

/// An eclipse with its times, of a night that is named where it is not clear
/// which: `Total eclipse of the Moon, night of Wed 20 Dec: in the umbra
/// 21:50-01:10, total 22:50-00:02`.
pub fn eclipse_times_words(site: &Site, eclipse: &Eclipse, night: Option<&str>) -> String {
    let night = night.map_or_else(String::new, |night| format!(", night of {night}"));
    let name = format!(
        "{} eclipse of the Moon{night}",
        capitalised(eclipse_word(eclipse.kind))
    );
    let Some(umbra) = eclipse.partial else {
        let greatest = clock(site, eclipse.greatest);
        return format!("{name}: greatest at {greatest}, hardly seen");
    };
    let total = eclipse.total.map(|total| hours(site, total));
    let total = total.map_or_else(String::new, |total| format!(", total {total}"));
    format!("{name}: in the umbra {}{total}", hours(site, umbra))
}

/// The same, and what of it is on at an instant.
pub fn eclipse_words(site: &Site, eclipse: &Eclipse, umbra: Option<&UmbraOnDisc>) -> String {
    let mut words = eclipse_times_words(site, eclipse, None);
    if eclipse.kind == EclipseKind::Penumbral {
        return words;
    }
    words += &match umbra.map(UmbraOnDisc::magnitude) {
        None => "; now clear of the umbra".to_owned(),
        Some(whole) if whole >= 1.0 => "; now total".to_owned(),
        Some(part) => format!("; now {:.0}% of its diameter in it", 100.0 * part),
    };
    words
}

/// The name of an eclipse at the path of its Moon: `totality 22:50-00:02`;
/// none for one that is hardly seen.
pub fn eclipse_label(site: &Site, eclipse: &Eclipse) -> Option<String> {
    let times = eclipse.total.or(eclipse.partial)?;
    let word = match eclipse.kind {
        EclipseKind::Total => "totality",
        _ => "in shadow",
    };
    Some(format!("{word} {}", hours(site, times)))
}

/// How much of the Moon is lit: `39% lit`; `eclipsed` while the umbra is on its
/// disc.
pub fn moon_lit_words(instant: &Conditions, is_in_umbra: bool) -> String {
    match is_in_umbra {
        true => "eclipsed".to_owned(),
        false => format!("{:.0}% lit", 100.0 * instant.sky.phase.illuminated_fraction),
    }
}

/// The same at an instant of a plan, whose timetable has the eclipse. Its events
/// while the Moon is down may be missing.
pub fn lit_words(plan: &NightPlan<'_>, instant: &Conditions) -> String {
    let umbral = |entry: &&TimetableEntry| {
        matches!(
            entry.event,
            NightEvent::EclipseBegins
                | NightEvent::TotalityBegins
                | NightEvent::EclipseGreatest { penumbral: false }
                | NightEvent::TotalityEnds
                | NightEvent::EclipseEnds
        )
    };
    let events: Vec<&TimetableEntry> = plan.order.iter().filter(umbral).collect();
    let passed = events.partition_point(|entry| entry.moment() <= instant.moment());
    let before = passed.checked_sub(1).and_then(|last| events.get(last));
    let is_in_umbra = match (before, events.get(passed)) {
        (Some(before), _) => before.event != NightEvent::EclipseEnds,
        (None, Some(after)) => after.event != NightEvent::EclipseBegins,
        (None, None) => false,
    };
    moon_lit_words(instant, is_in_umbra)
}
