//! What happens during a night.

use crate::{
    ephemeris::{Direction, EventKind},
    plan::NightEvent,
    scene::{Side, offset_text},
};

/// Rise, set, highest point or twilight, in the words of a card.
pub fn event_words(kind: EventKind, target: &str) -> String {
    use EventKind as Kind;
    match kind {
        Kind::Sunset => "sunset".to_owned(),
        Kind::CivilDusk => "civil dusk".to_owned(),
        Kind::NauticalDusk => "nautical dusk".to_owned(),
        Kind::AstronomicalDusk => "astronomical dusk: dark".to_owned(),
        Kind::AstronomicalDawn => "astronomical dawn".to_owned(),
        Kind::NauticalDawn => "nautical dawn".to_owned(),
        Kind::CivilDawn => "civil dawn".to_owned(),
        Kind::Sunrise => "sunrise".to_owned(),
        Kind::Moonrise => "moonrise".to_owned(),
        Kind::MoonTransit => "Moon highest".to_owned(),
        Kind::Moonset => "moonset".to_owned(),
        Kind::TargetRise => format!("{target} rises"),
        Kind::TargetTransit => format!("{target} highest"),
        Kind::TargetSet => format!("{target} sets"),
    }
}

/// The same for a picture, where there is little room.
pub fn sight_words(kind: EventKind, target: &str) -> String {
    use EventKind as Kind;
    match kind {
        Kind::AstronomicalDusk => "dark from".to_owned(),
        Kind::AstronomicalDawn => "dark until".to_owned(),
        other => event_words(other, target),
    }
}

/// A window of a night that has `windows`; it has a number only if there are
/// several.
fn window_words(number: usize, windows: usize) -> String {
    if windows > 1 {
        format!("window {number}")
    } else {
        "window".to_owned()
    }
}

/// The moonlit land that belongs to it.
fn land_words(number: usize, windows: usize) -> String {
    if windows > 1 {
        format!("moonlit land of window {number}")
    } else {
        "moonlit land".to_owned()
    }
}

/// A line of a timetable in words, in a night with this many windows.
pub fn happening_words(event: NightEvent, target: &str, windows: usize) -> String {
    let window = |number| window_words(number, windows);
    let land = |number| land_words(number, windows);
    let of_moon = target == Direction::MOON_NAME;
    let fixed = match event {
        NightEvent::TargetClearsRidge if of_moon => "Moon clears the ridge seen from the camera",
        NightEvent::TargetBehindRidge if of_moon => {
            "Moon goes behind the ridge seen from the camera"
        }
        NightEvent::MoonOverSubject => "Moon straight over the subject",
        NightEvent::LightAhead if of_moon => "Moon straight ahead",
        NightEvent::Arrive => "arrive, set up in daylight",
        NightEvent::Sky(kind) => return event_words(kind, target),
        NightEvent::MoonClearsRidge => "Moon clears the ridge",
        NightEvent::MoonBehindRidge => "Moon goes behind the ridge: land dark",
        NightEvent::TargetClearsRidge => return format!("{target} clears the ridge"),
        NightEvent::TargetBehindRidge => return format!("{target} goes behind the ridge"),
        NightEvent::MoonBehindSubject => "Moon goes behind the subject: backlight",
        NightEvent::MoonClearsSubject => "Moon clears the subject",
        NightEvent::TargetBehindSubject => return format!("{target} goes behind the subject"),
        NightEvent::TargetClearsSubject => return format!("{target} clears the subject"),
        NightEvent::TargetInPlace => return format!("{target} enters your limits"),
        NightEvent::TargetLeavesPlace => return format!("{target} leaves your limits"),
        NightEvent::WindowOpens(n) => return format!("{} opens", window(n)),
        NightEvent::WindowBest(n) => return format!("{}: best instant", window(n)),
        NightEvent::WindowCloses(n) => return format!("{} closes", window(n)),
        NightEvent::LandBegins(n) => return format!("{} begins", land(n)),
        NightEvent::LandBest(n) => return format!("{}: best", land(n)),
        NightEvent::LandEnds(n) => return format!("{} ends", land(n)),
        NightEvent::LightSquare(Side::Left) => "Moon exactly 90° to the left",
        NightEvent::LightSquare(_) => "Moon exactly 90° to the right",
        NightEvent::LightAhead => "Moon straight ahead: backlight",
        NightEvent::LightBehind => "Moon straight behind you: flat light",
        NightEvent::EclipseBegins => "eclipse: umbra touches the Moon",
        NightEvent::TotalityBegins => "eclipse: totality begins",
        NightEvent::EclipseGreatest { penumbral: false } => "eclipse: greatest",
        NightEvent::EclipseGreatest { penumbral: true } => "penumbral eclipse: greatest",
        NightEvent::TotalityEnds => "eclipse: totality ends",
        NightEvent::EclipseEnds => "eclipse: umbra leaves the Moon",
        NightEvent::ClocksChange(offset) => {
            return format!("clocks change: UTC {} from now on", offset_text(offset));
        }
    };
    fixed.to_string()
}
