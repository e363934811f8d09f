//! One moment of a night, in few words.

use super::{
    clock::{clock_text, hours_text, night_words},
    light::{duration_text, land_words, settings_of, settings_text, side_word},
    target::capitalised,
};
use crate::{
    Figure,
    ephemeris::Moment,
    plan::{CautionTopic, Gloom, NightNow, NightPlan, NightStep, OpenWindow},
    search::Window,
};

/// A time from one moment to a later one: `14 min`, `2 h 5 min`.
pub(in crate::report) fn countdown(from: Moment, to: Moment) -> String {
    let minutes = ((to.seconds() - from.seconds()) / 60.0).round().max(0.0);
    match minutes {
        0.0 => "0 min".to_owned(),
        minutes => duration_text(60.0 * minutes),
    }
}

/// The answer in a line or two: what is open, or when something opens.
pub(in crate::report) fn answer_lines(
    plan: &NightPlan<'_>,
    now: &NightNow,
    later: Option<&Window>,
) -> Vec<String> {
    let moment = now.step.instant.moment();
    let clock = |at: Moment| clock_text(plan.site.zone, at, plan.clocks_change);
    let several = plan.windows.len() > 1;
    let name = |window: &OpenWindow| match (window.is_land, several) {
        (true, false) => "Moonlit land".to_owned(),
        (true, true) => format!("Moonlit land {}", window.number),
        (false, false) => "Window".to_owned(),
        (false, true) => format!("Window {}", window.number),
    };
    if let Some(window) = now.open() {
        let end = window.interval.last();
        let mut lines = vec![format!(
            "{} open until {}, {}",
            name(window),
            clock(end),
            countdown(moment, end)
        )];
        if window.best > moment {
            let best = window.best;
            lines.push(format!(
                "Best {}, in {}",
                clock(best),
                countdown(moment, best)
            ));
        }
        return lines;
    }
    if let Some(window) = &now.window {
        let begin = window.interval.first();
        let clock = clock(begin);
        let wait = countdown(moment, begin);
        return vec![format!("{} opens {clock}, in {wait}", name(window))];
    }
    let over = match (now.is_over, plan.windows.is_empty()) {
        (true, _) => "The night is over.",
        (false, true) => "No window tonight.",
        (false, false) => "No more window tonight.",
    };
    vec![over.to_owned(), later_words(plan, later)]
}

/// Nights that are searched for the next window.
pub const NIGHTS_AHEAD: u64 = 60;

fn later_words(plan: &NightPlan<'_>, later: Option<&Window>) -> String {
    match later {
        Some(_) => format!("Next window: {}", next_words(plan, later)),
        None => format!("{}.", capitalised(&next_words(plan, later))),
    }
}

/// The next window of a night without one: `night of Sat 2027-06-05,
/// 21:30-22:10`, or that there is none.
pub(in crate::report) fn next_words(plan: &NightPlan<'_>, next: Option<&Window>) -> String {
    match next {
        Some(window) => format!(
            "night of {}, {}",
            night_words(window.night),
            hours_text(plan.site.zone, window.interval, false)
        ),
        None => format!("none in the next {NIGHTS_AHEAD} nights"),
    }
}

/// What goes on: darkness, Moon and target.
pub(in crate::report) fn state_lines(plan: &NightPlan<'_>, now: &NightNow) -> Vec<String> {
    let sky = match now.gloom {
        Gloom::Day => "daylight",
        Gloom::Civil => "civil twilight",
        Gloom::Nautical => "nautical twilight",
        Gloom::Astronomical => "astronomical twilight",
        Gloom::Dark if now.step.instant.is_moonlit() && now.step.moon_clear => "dark, moonlit",
        Gloom::Dark => "dark",
    };
    let mut lines = vec![format!("Sky: {sky}")];
    let moment = now.step.instant.moment();
    let cloud = plan.site.cloud_percent_at(moment);
    lines.extend(cloud.map(|percent| format!("Cloud: {percent:.0}%, by the forecast")));
    if !plan.rules.target.is_moon() {
        lines.push(moon_line(&now.step));
    }
    lines.push(target_line(plan, &now.step));
    lines
}

fn moon_line(step: &NightStep) -> String {
    let instant = &step.instant;
    if !instant.moon_is_up() {
        return "Moon: down".to_owned();
    }
    let altitude = Figure(instant.sky.moon.apparent_altitude_deg.round());
    if !step.moon_clear {
        return format!("Moon: {altitude:.0}° up, behind the ridge");
    }
    let angle = instant.signed_light_angle_deg();
    let side = side_word(angle);
    format!(
        "Moon: {altitude:.0}° up, {:.0}° {side} of view",
        angle.abs()
    )
}

fn target_line(plan: &NightPlan<'_>, step: &NightStep) -> String {
    let target = &step.instant.sky.target;
    let name = capitalised(plan.rules.target_name());
    let altitude = target.apparent_altitude_deg;
    if altitude <= 0.0 {
        return format!("{name}: below the horizon");
    }
    let altitude = Figure(altitude.round());
    if !step.target_clear {
        return format!("{name}: {altitude:.0}° up, behind the ridge");
    }
    let azimuth = target.azimuth_deg.round().rem_euclid(360.0);
    format!("{name}: {altitude:.0}° up, toward {azimuth:.0}°")
}

/// The settings of the moment for the sky and for the land; none by day.
pub(in crate::report) fn settings_lines(now: &NightNow) -> Vec<String> {
    if matches!(now.gloom, Gloom::Day | Gloom::Civil) {
        return Vec::new();
    }
    let mut lines = vec![format!("Sky {}", settings_text(&now.step.frame.exposure))];
    if let Some(land) = &now.land {
        let settings = settings_of(land.f_number, land.shutter_s, land.iso);
        lines.push(format!("Land {settings}"));
    }
    let stops = land_words(now.step.instant.light.land_vs_sky_stops);
    lines.push(format!("Land {stops} the sky"));
    lines
}

/// What to take care of, a word each.
pub(in crate::report) fn care_words(plan: &NightPlan<'_>) -> String {
    let words: Vec<&str> = plan
        .cautions
        .iter()
        .map(|caution| match caution.topic {
            CautionTopic::Tide => "tide",
            CautionTopic::Avalanche => "avalanches",
            CautionTopic::Edge => "the edge",
            CautionTopic::Way => "the way back",
            CautionTopic::Wildlife => "wildlife",
            CautionTopic::Access => "permits",
            CautionTopic::Remote => "no signal",
            CautionTopic::Cold => "frost",
            CautionTopic::Height => "thin air",
            CautionTopic::Heat => "heat",
            CautionTopic::Local => "local rules",
            CautionTopic::Drive => "sleep before you drive",
        })
        .collect();
    words.join(", ")
}
