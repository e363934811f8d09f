//! One evening scanned, every column filled and the night written out.

use super::evening::Evening;
use rakelight::scene::Dates;
use rakelight::{
    plan::PlanSettings,
    report::{Cell, CsvLayout, Record, WINDOW_FIELDS, markdown, night, night_csv, night_json},
    rule::Conditions,
    search::{Interval, Night, Season, Window},
};

pub fn run(data: &[u8]) {
    let Some(mut evening) = Evening::read(data) else {
        return;
    };
    // The user's own words may be any, NaN too.
    evening.site.name = "Place".to_owned();
    evening.site.notes = None;
    if let Some(subject) = &mut evening.site.subject {
        subject.name = None;
    }
    let Evening { date, site, rules } = &evening;
    let season = Season::new(Dates::new(*date, *date).expect("dates"));
    let windows = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    for (index, window) in windows.iter().enumerate() {
        assert_eq!(window.rank, index + 1);
        assert_eq!(window.night, *date);
        check(window, rules.min_minutes());
        filled(&Record { site, window });
    }
    assert!(windows.is_sorted_by(|a, b| a.score >= b.score));
    let mut stretches: Vec<Interval> = windows.iter().map(|window| window.interval).collect();
    stretches.sort_by(|a, b| a.start.total_cmp(&b.start));
    assert!(
        stretches
            .windows(2)
            .all(|pair| pair[0].end <= pair[1].start)
    );
    let Some(the_night) = Night::of(site, *date) else {
        assert!(windows.is_empty());
        return;
    };
    let planner = season
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let _ = planner
        .reasons(the_night.date)
        .expect("a night of the season");
    let Ok(plan) = planner.plan(the_night.date, &PlanSettings::default()) else {
        return;
    };
    let moments: Vec<f64> = plan.order.iter().map(|e| e.moment().seconds()).collect();
    assert!(moments.is_sorted() && moments.iter().all(|moment| moment.is_finite()));
    assert!(
        plan.steps
            .is_sorted_by_key(|look| look.instant.moment().seconds())
    );
    assert_eq!(plan.windows.len(), windows.len());
    let mut out = Vec::new();
    assert!(night::write(&mut out, &plan, 80).is_ok());
    assert!(night_csv::write(&mut out, std::slice::from_ref(&plan), &CsvLayout::default()).is_ok());
    assert!(night_json::write(&mut out, &plan, &serde_json::Value::Null, None).is_ok());
    assert!(markdown::write_night(&mut out, &plan).is_ok());
    let out = String::from_utf8_lossy(&out);
    assert!(!out.contains("NaN"), "{out}");
}

fn check(window: &Window, min_minutes: f64) {
    let interval = &window.interval;
    assert!(interval.start < interval.end && interval.minutes() >= min_minutes);
    assert!((0.0..=100.0).contains(&window.score), "{}", window.score);
    within(&window.best, interval);
    let factors = &window.factors;
    for factor in [
        factors.contrast,
        factors.balance,
        factors.raking,
        factors.position,
        factors.length,
    ]
    .into_iter()
    .flatten()
    {
        assert!((0.0..=1.0).contains(&factor), "{factor}");
    }
    if let Some(land) = &window.land {
        assert!(land.interval.start < land.interval.end);
        within(&land.best, &land.interval);
    }
}

fn within(best: &Conditions, interval: &Interval) {
    let best = best.moment().seconds();
    assert!((interval.start - 1e-6..=interval.end + 1e-6).contains(&best));
}

fn filled(record: &Record<'_>) {
    for column in WINDOW_FIELDS {
        let cell = column.cell(record);
        if let Cell::Number(number, _) = cell {
            assert!(number.is_finite(), "{} is {number}", column.name);
        }
        assert!(!cell.to_text().contains('\n'), "{}", column.name);
    }
}
