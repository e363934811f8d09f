//! Near misses, advice and sectors of one evening: what is offered can be
//! typed.

use super::evening::Evening;
use chrono::Days;
use rakelight::scan::{Season, turns};

pub fn run(data: &[u8]) {
    let Some(evening) = Evening::read(data) else {
        return;
    };
    let Evening { date, site, rules } = &evening;
    let season = Season::new(*date, *date + Days::new(1));
    if let Some(study) = season.study(site, rules) {
        for miss in season.near_misses(site, rules, &study, 3) {
            let mut loosened = rules.clone();
            for loosening in &miss.loosenings {
                let (key, text) = (loosening.rule.key, &loosening.value);
                loosened = match loosened.typed(key, text) {
                    Ok(rules) => rules,
                    Err(error) => panic!("{} is offered and refused: {error}", loosening.option()),
                };
            }
            let night = season.of_night(miss.window.night);
            assert!(!night.windows(site, &loosened).is_empty(), "{miss:?}");
        }
        let _ = season.advice(site, rules, &study);
    }
    for sector in turns(&season, site, rules) {
        assert!(sector.best.nights <= 2);
    }
}
