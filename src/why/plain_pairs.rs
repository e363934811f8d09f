//! Near misses of two rules the plain way, to check the search against: every
//! pair of rules on every night, each combination searched anew.

use super::{
    loosening::{Loosening, first},
    loosening_steps::{End, LooseningSteps},
    near_miss::{NearMiss, nearest, sort_near_misses},
};
use crate::{
    rule::{Brief, Rules},
    scene::{Dates, Site},
    search::{Constraint, Intervals, Night, Planner, Season, whole},
};
use chrono::{Days, NaiveDate};

fn long(held: &Intervals, minutes: f64) -> bool {
    held.as_slice().iter().any(|i| i.minutes() >= minutes)
}

/// The two loosenings, closest in total, that admit a night without a window.
fn pair(planner: &Planner, constraints: &[Constraint], night: &Night) -> Option<Vec<Loosening>> {
    let whole = whole(night);
    let minutes = planner.rules().min_minutes();
    let held: Vec<Intervals> = constraints
        .iter()
        .map(|constraint| planner.held(constraint, night, &whole))
        .collect();
    let all_but = |a: usize, b: usize| {
        let others = held.iter().enumerate();
        let others = others.filter(|(index, _)| *index != a && *index != b);
        others.fold(whole.clone(), |left, (_, held)| left.and(held))
    };
    if long(&all_but(usize::MAX, usize::MAX), minutes) {
        return None;
    }
    let sum = |pair: &[Loosening]| pair.iter().map(Loosening::steps_off).sum::<f64>();
    let ladders = |index: usize| {
        LooseningSteps::of(planner.rules(), constraints[index].rule, night)
            .into_iter()
            .filter(|ladder| ladder.end != End::Both && ladder.rungs > 0)
    };
    let mut best: Option<Vec<Loosening>> = None;
    for a in 0..constraints.len() {
        for b in a + 1..constraints.len() {
            let others = all_but(a, b);
            for one in ladders(a) {
                for two in ladders(b) {
                    let found = balanced(planner, night, [&one, &two], &others);
                    let less =
                        |pair: &Vec<Loosening>| best.as_deref().is_none_or(|b| sum(pair) < sum(b));
                    best = found.filter(less).or(best);
                }
            }
        }
    }
    best
}

/// Both rules loosened in step until the night is admitted, then each tightened
/// as far as the other allows.
fn balanced(
    planner: &Planner,
    night: &Night,
    [one, two]: [&LooseningSteps; 2],
    others: &Intervals,
) -> Option<Vec<Loosening>> {
    let typed = |rules: &Rules, ladder: &LooseningSteps, rung: i64| {
        let typed = rules.typed(ladder.rule.key, &ladder.text(rung));
        typed.expect("a value of a ladder can be typed")
    };
    let loose = |a: i64, b: i64| typed(&typed(planner.rules(), one, a), two, b);
    let admits = |a: i64, b: i64| {
        let loose = loose(a, b);
        let limits = [one.rule, two.rule].map(|rule| planner.constraint(&loose, rule));
        let limits = limits.iter().flatten();
        let left = limits.fold(others.clone(), |left, limit| {
            planner.held(limit, night, &left)
        });
        long(&left, loose.min_minutes())
    };
    if !admits(one.rungs, two.rungs) {
        return None;
    }
    let way = |ladder: &LooseningSteps| Loosening::at(ladder, ladder.rungs).steps_off();
    let farthest = way(one).max(way(two));
    let rung = |ladder: &LooseningSteps, part: i64| {
        let share = farthest * part as f64 / 1000.0 / way(ladder);
        ((ladder.rungs as f64 * share).ceil() as i64).clamp(1, ladder.rungs)
    };
    let part = first(1, 1000, |part| admits(rung(one, part), rung(two, part)));
    let (mut a, mut b) = (rung(one, part), rung(two, part));
    a = first(1, a, |rung| admits(rung, b));
    b = first(1, b, |rung| admits(a, rung));
    let windows = planner.with_rules(&loose(a, b)).night_windows(night);
    (!windows.is_empty()).then(|| vec![Loosening::at(one, a), Loosening::at(two, b)])
}

/// Some numbers from 0 to 1, the same in each run.
fn numbers(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
    move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// A planner somewhere with rules that hardly any night keeps.
pub(super) fn anywhere(seed: u64) -> Planner {
    let mut number = numbers(seed);
    let mut between = move |low: f64, high: f64| low + (high - low) * number();
    let site = Site::new(between(-60.0, 50.0), between(-180.0, 180.0)).expect("a place");
    let mut brief = Brief::default();
    let band = |low: f64, width: f64| format!("{:.1}..{:.1}", low, low + width);
    let light = ["raking", "dark", "any"][between(0.0, 3.0) as usize];
    let mut given = vec![
        ("light", light.to_owned()),
        ("facing", format!("{:.0}", between(0.0, 359.0))),
        ("min_minutes", format!("{:.0}", between(15.0, 90.0))),
        (
            "target_altitude",
            band(between(0.0, 40.0), between(5.0, 30.0)),
        ),
    ];
    if between(0.0, 1.0) < 0.5 {
        let more = [
            (
                "target_offset",
                band(between(-60.0, 40.0), between(5.0, 40.0)),
            ),
            ("contrast", format!("{:.2}..", between(0.1, 0.9))),
        ];
        given.extend(more);
    }
    if between(0.0, 1.0) < 0.3 {
        given.push(("weekdays", "fri,sat".to_owned()));
        given.push(("clock", "21:30..23:15".to_owned()));
    }
    for (key, value) in given {
        brief.set(key, &value).expect("a rule");
    }
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date");
    let first = first + Days::new(between(0.0, 300.0) as u64);
    let dates = Dates::new(first, first + Days::new(15)).expect("dates");
    let rules = Rules::new(&brief, &site).expect("rules");
    Season::new(dates).planner(site, rules).expect("a planner")
}

/// Night, score and options of each.
fn told(misses: &[NearMiss]) -> Vec<(NaiveDate, f64, Vec<String>)> {
    let told = misses.iter().map(|miss| {
        let options = miss.loosenings.iter().map(Loosening::option);
        (miss.window.night, miss.window.score, options.collect())
    });
    told.collect()
}

#[test]
fn no_pair_is_lost_or_invented() {
    const COUNT: usize = 3;
    let mut found = 0;
    for seed in 1..=24 {
        let planner = anywhere(seed);
        let study = planner.study().expect("no blend");
        let constraints = planner.constraints(planner.rules());
        let nights = planner.nights();
        let nights = nights.filter(|night| !study.misses.iter().any(|m| m.night == *night));
        let all = nights.filter_map(|night| Some((night, pair(&planner, &constraints, &night)?)));
        let plain = nearest(&planner, all.collect(), COUNT);
        let asked = planner.double_misses(&study, COUNT);
        assert_eq!(told(&asked), told(&plain), "seed {seed}");
        found += plain.len();
        // Beside nights that fail one rule, the nearest of both.
        let mut both = planner.near_misses(&study, COUNT);
        both.extend(plain);
        sort_near_misses(&mut both);
        both.truncate(COUNT);
        let asked = planner.near_misses_by(&study, COUNT, 2);
        assert_eq!(told(&asked), told(&both), "seed {seed}");
    }
    assert!(found >= 24, "{found} pairs");
}
