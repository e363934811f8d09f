//! Near misses, advice and sectors of one evening: what is offered can be
//! typed.

use super::evening::Evening;
use chrono::Days;
use rakelight::scene::Dates;
use rakelight::search::Season;

pub fn run(data: &[u8]) {
    let Some(evening) = Evening::read(data) else {
        return;
    };
    let Evening { date, site, rules } = &evening;
    let dates = Dates::new(*date, *date + Days::new(1)).expect("dates");
    let season = Season::new(dates);
    let planner = season
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    if let Some(study) = planner.study() {
        for miss in planner.near_misses(&study, 3) {
            let mut loosened = rules.clone();
            for loosening in &miss.loosenings {
                let (key, text) = (loosening.rule.key, &loosening.value);
                loosened = match loosened.typed(key, text) {
                    Ok(rules) => rules,
                    Err(error) => panic!("{} is offered and refused: {error}", loosening.option()),
                };
            }
            let night = planner.of_night(miss.window.night).expect("a night of it");
            let loosened = night.season().planner(site.clone(), loosened);
            let windows = loosened.expect("a planner").windows();
            assert!(!windows.is_empty(), "{miss:?}");
        }
        let _ = planner.advice(&study);
    }
    for sector in planner.by_bearing() {
        assert!(sector.best.nights <= 2);
    }
}
