//! The words around the picture of a night.

use super::{
    Size,
    caption::clock,
    head::Head,
    night::{NightChart, Stretch},
    sheet::Type,
    text_width::shortened,
};
use crate::{
    plan::{NightEvent, NightStep},
    report::words::{
        darkness_fact, doubts_fact, eclipse_fact, exposure_facts, frame_fact, happening_words,
        moon_fact, no_window_answer, phase_fact, target_fact, window_answer, without_fact,
    },
    search::Window,
    why::PeriodKind,
};

/// Title, answer and facts.
pub fn head(charts: &[NightChart<'_>], size: Size) -> Head {
    let Some(first) = charts.first() else {
        return Head::default();
    };
    let room = 1.9 * (size.right() - size.left());
    let night = first.plan.night.date.format("%a %-d %B %Y");
    if let [chart] = charts {
        let name = chart.plan.site.title();
        let name = shortened(&name, Type::TITLE.size, true, room - 190.0);
        return Head {
            title: format!("{name}, {night}"),
            answer: answers(chart),
            facts: facts(chart).into_iter().chain(of_place(charts)).collect(),
        };
    }
    let name = shortened(&first.plan.site.name, Type::TITLE.size, true, room - 190.0);
    let mut head = Head {
        title: format!("{name}, {night}"),
        ..Head::default()
    };
    for chart in charts {
        let view = chart.plan.site.view.as_deref().unwrap_or("no view");
        let view = shortened(view, Type::ANSWER.size, true, 0.5 * room);
        head.answer
            .push(format!("{view}: {}", answers(chart).join("; ")));
        let mut of_view = facts(chart);
        of_view.extend(ends(chart));
        let ended = of_view.iter().map(|fact| fact.trim_end_matches('.'));
        head.facts
            .push(format!("{view}: {}.", ended.collect::<Vec<_>>().join("; ")));
    }
    head.facts.retain(|fact| !fact.ends_with(": ."));
    head.facts.extend(of_place(charts));
    head
}

/// What is the same for every view: the Moon's phase where a view has no window
/// that tells it, an eclipse.
fn of_place(charts: &[NightChart<'_>]) -> Vec<String> {
    let none = charts.iter().find(|chart| chart.plan.windows.is_empty());
    let phase = none.and_then(|chart| phase_fact(chart.plan));
    let eclipse = charts.first().and_then(|chart| eclipse_fact(chart.plan));
    phase.into_iter().chain(eclipse).collect()
}

fn answers(chart: &NightChart<'_>) -> Vec<String> {
    let plan = chart.plan;
    if plan.windows.is_empty() {
        let why = plan.no_window.iter();
        return why.map(|why| no_window_answer(plan.rules, why)).collect();
    }
    let several = plan.windows.len() > 1;
    let numbered = (1..).zip(&plan.windows);
    numbered
        .map(|(number, window)| window_answer(plan, window, several.then_some(number)))
        .collect()
}

/// The best window and its number.
fn best<'c>(chart: &'c NightChart<'_>) -> Option<(usize, &'c Window)> {
    let numbered = (1..).zip(&chart.plan.windows);
    numbered.min_by_key(|(_, window)| window.rank)
}

fn facts(chart: &NightChart<'_>) -> Vec<String> {
    let plan = chart.plan;
    let Some((number, window)) = best(chart) else {
        let mut facts: Vec<String> = Vec::new();
        facts.extend(darkness_fact(plan));
        facts.extend(without_fact(plan, &chart.periods));
        return facts;
    };
    let mut facts = Vec::new();
    let sky = chart.step(NightEvent::WindowBest(number));
    let land = chart.step(NightEvent::LandBest(number));
    let of_target = |step: &NightStep| target_fact(plan.site, plan.rules, &step.instant, None);
    let at = |fact: String, step: &NightStep| {
        let clock = clock(plan.site, step.instant.moment());
        format!("At {clock}: {fact}")
    };
    match (land, sky) {
        (Some(land), Some(sky)) => {
            let pair = [at(moon_fact(plan, land), land), at(of_target(sky), sky)];
            let [land_words, sky_words] = pair;
            match window.moonlight_is_first() {
                true => facts.extend([land_words, sky_words]),
                false => facts.extend([sky_words, land_words]),
            }
        }
        (None, Some(sky)) => {
            let several = plan.windows.len() > 1;
            let first = match plan.rules.target.is_moon() {
                true => of_target(sky),
                false => moon_fact(plan, sky),
            };
            facts.push(match several {
                true => at(first, sky),
                false => first,
            });
            if !plan.rules.target.is_moon() {
                facts.push(of_target(sky));
            }
        }
        _ => {}
    }
    facts.extend(exposure_facts(plan));
    facts.extend(doubts_fact(window));
    facts.extend(frame_fact(window, plan.rules, plan));
    facts
}

/// What opens and closes the windows, for those who have no room beside them.
fn ends(chart: &NightChart<'_>) -> Vec<String> {
    let words = |stretch: &Stretch| {
        let name = match stretch.kind {
            PeriodKind::Both => "",
            PeriodKind::Moonlit => "moonlit land ",
            PeriodKind::Dark => "dark sky ",
        };
        let opens = stretch.opens.as_ref();
        let closes = stretch.closes.as_ref();
        let opens = opens.map(|words| format!("{name}opens: {words}"));
        let closes = closes.map(|words| format!("{name}closes: {words}"));
        opens.into_iter().chain(closes).collect::<Vec<_>>()
    };
    chart.stretches().iter().flat_map(words).collect()
}

/// What stands below the picture.
pub fn caption(charts: &[NightChart<'_>]) -> String {
    let Some(first) = charts.first() else {
        return String::new();
    };
    let plan = first.plan;
    let of_moon = plan.rules.target.is_moon();
    let mut words = format!(
        "Time runs down ({}), direction from the camera across; figures: degrees up. ",
        plan.site.zone.name()
    );
    let sunlit = |chart: &NightChart<'_>| chart.plan.steps_below_sun_deg.is_none();
    if !of_moon && !charts.iter().all(sunlit) {
        let target = plan.rules.target_name();
        words.push_str(&format!(
            "The {target}'s line is as wide as the contrast it keeps. "
        ));
    }
    words.push_str("The Moon's line is wider by the same step for each doubling of its light. ");
    if charts.iter().any(|chart| chart.plan.site.skyline.is_some()) {
        words.push_str("Broken line: behind the ridge. ");
    }
    let eclipsed =
        |chart: &NightChart<'_>| !chart.eclipses.is_empty() && eclipse_fact(chart.plan).is_some();
    if charts.iter().any(eclipsed) {
        words.push_str("Hatched: the Moon in the umbra, empty: total. ");
    }
    words.push_str("Bars: when each rule holds; a window is where all do.");
    let costs = |chart: &NightChart<'_>| {
        let mut periods = chart.periods.iter();
        periods.any(|period| period.reasons.groups().iter().any(|one| one.rejects_alone))
    };
    if charts.iter().any(costs) {
        words.push_str(
            " Bold, with a dotted box: a rule that alone costs the window, and when it would be.",
        );
    }
    words
}

/// The timetable of the picture in words, for those who hear it.
pub fn told(charts: &[NightChart<'_>]) -> String {
    let mut text = String::from("Time runs down, direction from the camera runs across. ");
    for chart in charts {
        let plan = chart.plan;
        if charts.len() == 1 {
            for words in ends(chart) {
                text.push_str(&format!("It {words}. "));
            }
        }
        for entry in plan.card() {
            let words = happening_words(entry.event, plan.rules.target_name(), plan.windows.len());
            text.push_str(&format!("{} {words}. ", clock(plan.site, entry.moment())));
        }
    }
    text.trim_end().to_owned()
}
