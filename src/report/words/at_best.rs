//! A night's answer, and what it rests on at its best instant.

use super::{
    advice::advice_sentence,
    answer::answer,
    card::moon_phase_words,
    clock::{clock_text, hours_text},
    doubt::doubt_phrases,
    eclipse::{lit_words, moon_lit_words},
    framing::framing_sentence,
    light::{eclipse_word, lux, moon_height_words, side_word},
    rule::{no_window_words, rule_option, unmet_words},
    target::capitalised,
};
use crate::{
    Figure,
    ephemeris::{Moment, UmbraOnDisc},
    light::milky_way::{Visibility, visibility},
    plan::{Advice, NightEvent, NightPlan, NightStep, NoWindow},
    rule::{Conditions, Rules, SUN_ALTITUDE},
    scene::{Band, Facing, Site},
    search::{Interval, Window},
    why::{PeriodKind, PeriodReasons},
};
use chrono::Datelike;

/// A window of a night that has several, or one: `Window 03:27-04:27 (Sunday),
/// best 03:45`; of a blend both its periods in order of time.
pub fn window_answer(plan: &NightPlan<'_>, window: &Window, number: Option<usize>) -> String {
    let of = |name: &str, interval: Interval, best: Moment| {
        format!(
            "{name} {}{}, best {}",
            hours_text(plan.site.zone, interval, plan.clocks_change),
            weekday_words(plan, interval.first()),
            clock_text(plan.site.zone, best, plan.clocks_change)
        )
    };
    let number = number.map_or_else(String::new, |number| format!(" {number}"));
    let best = window.best.moment();
    let Some(land) = &window.land else {
        return of(&format!("Window{number}"), window.interval, best);
    };
    let land_words = of("moonlit land", land.interval, land.best.moment());
    let sky = of("dark sky", window.interval, best);
    let (first, then) = match window.moonlight_is_first() {
        true => (land_words, sky),
        false => (sky, land_words),
    };
    format!("Window{number}: {first}; {then}")
}

/// The day of the week of a moment, in brackets, where it is not that of the
/// evening.
fn weekday_words(plan: &NightPlan<'_>, moment: Moment) -> String {
    let date = plan.site.zone.local_date(moment);
    match date == plan.night.date {
        true => String::new(),
        false => format!(" ({})", full_weekday(date.weekday())),
    }
}

fn full_weekday(day: chrono::Weekday) -> &'static str {
    use chrono::Weekday as Day;
    match day {
        Day::Mon => "Monday",
        Day::Tue => "Tuesday",
        Day::Wed => "Wednesday",
        Day::Thu => "Thursday",
        Day::Fri => "Friday",
        Day::Sat => "Saturday",
        Day::Sun => "Sunday",
    }
}

/// That a night has no window, and the rule that fails: where it is too light,
/// in degrees of the Sun; of a blend for the period that fails.
pub fn no_window_answer(rules: &Rules, why: &NoWindow) -> String {
    let sun = rules.get::<Band>(&SUN_ALTITUDE).unwrap_or(Band::ANY);
    if why.lowest_sun_deg > sun.high {
        let limit = Figure(sun.high);
        return format!("No window: the Sun never sinks below {limit}°");
    }
    let what = match why.period {
        PeriodKind::Both => return no_window_words(rules, Some(why.rule)),
        PeriodKind::Moonlit => "moonlit land",
        PeriodKind::Dark => "dark sky",
    };
    format!(
        "No blend window, no {what}: {} ({})",
        unmet_words(why.rule, rules.target_name()),
        rule_option(why.rule, rules)
    )
}

/// How dark a night without full darkness gets; `None` where it is dark.
pub fn darkness_fact(plan: &NightPlan<'_>) -> Option<String> {
    let told = |advice: &&Advice| matches!(advice, Advice::NotDark(_) | Advice::Sunless);
    let advice = plan.advice.iter().find(told)?;
    Some(advice_sentence(plan, advice))
}

/// Where the Moon stands and what it gives: `Moon 11° up, 79° left, 32% lit,
/// 0.0012 lux` on level ground.
pub fn moon_fact(plan: &NightPlan<'_>, step: &NightStep) -> String {
    let instant = &step.instant;
    if !instant.moon_is_up() {
        return "Moon down, no moonlight".to_owned();
    }
    let height = moon_height_words(instant);
    let angle = instant.signed_light_angle_deg();
    let lit = lit_words(plan, instant);
    let behind = match step.moon_clear {
        true => "",
        false => " behind the ridge",
    };
    let light = match instant.is_moonlit() {
        true => format!(", {} lux", lux(instant.light.moonlight_lux)),
        false => String::new(),
    };
    format!(
        "Moon {height}{behind}, {:.0}° {}, {lit}{light}",
        angle.abs(),
        side_word(angle)
    )
}

/// Where the target stands against what the camera faces, and how it stands out;
/// of a Moon, how much of it is lit, with the umbra where that is on it.
pub fn target_fact(
    site: &Site,
    rules: &Rules,
    instant: &Conditions,
    umbra: Option<&UmbraOnDisc>,
) -> String {
    let target = capitalised(rules.target_name());
    let altitude_deg = instant.sky.target.apparent_altitude_deg;
    if altitude_deg < 0.0 {
        return format!("{target} {:.0}° below the horizon", -altitude_deg);
    }
    let altitude = Figure(altitude_deg.round());
    let place = place_words(site, rules.facing, instant.target_offset_deg());
    let head = format!("{target} {altitude:.0}° up, {place}");
    if rules.target.is_moon() {
        return format!("{head}, {}", moon_lit_words(instant, umbra.is_some()));
    }
    let kept = 100.0 * instant.light.contrast_kept;
    let against = milky_way_words(instant).map(|words| format!("; {words}"));
    let against = against.unwrap_or_default();
    format!("{head}, keeps {kept:.0}% of its contrast{against}")
}

/// How bright the Milky Way is against the sky before it.
fn milky_way_words(instant: &Conditions) -> Option<String> {
    let contrast = instant.light.milky_way_contrast?;
    Some(format!("Milky Way {contrast:.2} of the sky"))
}

/// The same of a Milky Way that does not stand out clearly.
pub fn faint_words(instant: &Conditions) -> Option<String> {
    let contrast = instant.light.milky_way_contrast?;
    (visibility(contrast) != Visibility::Clear).then(|| milky_way_words(instant))?
}

fn place_words(site: &Site, facing: Facing, offset_deg: f64) -> String {
    let subject = match (facing, &site.subject) {
        (Facing::Subject, Some(subject)) => subject.within_sentence(),
        (Facing::Arch, _) => "the top of the arch".to_owned(),
        _ => "the camera direction".to_owned(),
    };
    let degrees = format!("{:.0}", offset_deg.abs());
    match (facing, degrees.as_str()) {
        (Facing::Target, "0") => "straight ahead".to_owned(),
        (_, "0") => format!("in line with {subject}"),
        (_, degrees) => format!("{degrees}° {} of {subject}", side_word(offset_deg)),
    }
}

/// The settings for sky and land at the best instant of the best window, and how
/// they stand to each other; none without a window.
pub fn exposure_facts(plan: &NightPlan<'_>) -> Vec<String> {
    let answer = answer(plan, None);
    let line = |name: &str| Some(format!("{name}: {}", answer.line(name)?));
    ["Sky", "Land"].into_iter().filter_map(line).collect()
}

/// How much of the Moon is lit.
pub fn phase_fact(plan: &NightPlan<'_>) -> Option<String> {
    moon_phase_words(plan).map(|words| format!("Moon {words}"))
}

/// What makes a window less certain; `None` without doubts.
pub fn doubts_fact(window: &Window) -> Option<String> {
    let doubts = window.doubts.of_the_night();
    doubts
        .any()
        .then(|| format!("Less certain: {}", doubt_phrases(doubts)))
}

/// A lunar eclipse that falls in the night with the Moon up, with its times
/// there.
pub fn eclipse_fact(plan: &NightPlan<'_>) -> Option<String> {
    let at = |event: NightEvent| {
        let mut order = plan.order.iter();
        let entry = order.find(|entry| entry.event == event)?;
        let clock = clock_text(plan.site.zone, entry.moment(), plan.clocks_change);
        Some(clock)
    };
    let period = |from: Option<String>, to: Option<String>| match (from, to) {
        (Some(from), Some(to)) => Some(format!("{from}-{to}")),
        (Some(from), None) => Some(format!("from {from}")),
        (None, Some(to)) => Some(format!("until {to}")),
        (None, None) => None,
    };
    let umbra = period(at(NightEvent::EclipseBegins), at(NightEvent::EclipseEnds));
    let total = period(at(NightEvent::TotalityBegins), at(NightEvent::TotalityEnds));
    let greatest = at(NightEvent::EclipseGreatest { penumbral: false });
    let faint = at(NightEvent::EclipseGreatest { penumbral: true });
    if let Some(total) = total {
        let umbra = umbra.map_or_else(String::new, |hours| format!("; in the umbra {hours}"));
        return Some(format!("Lunar eclipse: total {total}{umbra}"));
    }
    match (umbra, greatest, faint) {
        (Some(hours), greatest, _) => {
            let greatest = greatest.map_or_else(String::new, |at| format!(", greatest {at}"));
            Some(format!("Lunar eclipse: in the umbra {hours}{greatest}"))
        }
        (None, Some(at), _) => Some(format!("Lunar eclipse, greatest {at}")),
        (None, None, Some(at)) => Some(format!(
            "Penumbral lunar eclipse, greatest {at}: hardly seen"
        )),
        (None, None, None) => None,
    }
}

/// How the frame holds land and target in a window; `None` where the camera is
/// not known.
pub fn frame_fact(window: &Window, rules: &Rules, plan: &NightPlan<'_>) -> Option<String> {
    let frame = window.frame.as_ref()?.plan?;
    let north = plan.site.conventions.north;
    Some(framing_sentence(&frame, rules.target_name(), north))
}

/// What would give a window: a group of rules that alone costs it.
pub fn without_fact(plan: &NightPlan<'_>, periods: &[PeriodReasons]) -> Option<String> {
    let [period] = periods else { return None };
    let through = period.reasons.rules.iter().find(|one| one.rejects_alone)?;
    let others = period
        .reasons
        .rules
        .iter()
        .filter(|one| one.rule != through.rule)
        .fold(None, |left: Option<crate::search::Intervals>, one| {
            Some(left.map_or_else(|| one.held.clone(), |left| left.and(&one.held)))
        })?;
    let hours: Vec<String> = others
        .at_least_minutes(period.reasons.min_minutes)
        .as_slice()
        .iter()
        .map(|interval| hours_text(plan.site.zone, *interval, plan.clocks_change))
        .collect();
    Some(format!(
        "Without {} {} there would be one: {}",
        rule_option(through.rule, &period.rules),
        through.value,
        hours.join(", ")
    ))
}

/// The word for an eclipse at its greatest that a night sees.
pub fn eclipse_name(kind: crate::ephemeris::EclipseKind) -> String {
    format!("{} eclipse", eclipse_word(kind))
}
