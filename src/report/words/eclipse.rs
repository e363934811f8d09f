//! An eclipse of the Moon with its times.

use super::{
    clock::{clock, hours_text},
    light::eclipse_word,
    target::capitalised,
};
use crate::{
    ephemeris::{Eclipse, EclipseKind, Moment, UmbraOnDisc},
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
pub fn moon_lit_words(instant: &Conditions, umbra: Option<&UmbraOnDisc>) -> String {
    match umbra {
        Some(_) => "eclipsed".to_owned(),
        None => format!("{:.0}% lit", 100.0 * instant.sky.phase.illuminated_fraction),
    }
}
