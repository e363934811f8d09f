//! The best instant of a window against a look at every half minute: no part of
//! the window is much better than what is called its best.

use crate::common;

use chrono::NaiveDate;
use common::Dice;
use rakelight::{
    Brief, Dates, Planner, Site,
    ephemeris::Moment,
    rule::{LIGHT, MOON_ALTITUDE, MOON_FRACTION, SUN_ALTITUDE, TARGET_ALTITUDE},
    scene::{Band, LightKind},
};

/// Steps of the look at every instant, seconds.
const STEP: f64 = 30.0;
/// Points of the score by which an instant may be better: less than a table
/// shows.
const LEAST_MISSED: f64 = 0.1;

fn planner(seed: u64) -> Planner {
    let mut dice = Dice::new(seed);
    let latitude = dice.between(-68.0, 58.0);
    let mut site = Site::new(latitude, dice.between(-180.0, 180.0)).expect("a place");
    site.sky.zenith_mag_arcsec2 = dice.between(19.5, 22.0);
    site.sky.extinction_mag = dice.between(0.1, 0.4);
    let kinds = [
        LightKind::Any,
        LightKind::Any,
        LightKind::Raking,
        LightKind::Dark,
    ];
    let light = kinds[dice.below(kinds.len())];
    let mut brief = Brief::default().with(&LIGHT, light);
    if light == LightKind::Any && seed.is_multiple_of(2) {
        brief = brief
            .with(&SUN_ALTITUDE, Band::new(-90.0, -6.0))
            .with(&TARGET_ALTITUDE, Band::new(5.0, 40.0));
    }
    if light == LightKind::Raking {
        brief = brief
            .with(&MOON_ALTITUDE, Band::new(-1.0, 60.0))
            .with(&MOON_FRACTION, Band::new(0.0, 1.0));
    }
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a day")
        + chrono::Days::new(dice.below(700) as u64);
    let dates = Dates::new(first, first + chrono::Days::new(20)).expect("dates");
    Planner::new(site, &brief, dates).expect("a planner")
}

#[test]
fn no_instant_of_a_window_is_much_better_than_its_best() {
    let (mut windows, mut worst) = (0, (0.0_f64, String::new()));
    for seed in 0..24 {
        let planner = planner(seed);
        for window in planner.windows() {
            windows += 1;
            let interval = window.interval;
            let steps = ((interval.end - interval.start) / STEP) as u32;
            for step in 0..=steps {
                let t = interval.start + f64::from(step) * STEP;
                let instant = planner.at(Moment::from_seconds(t)).expect("in the season");
                let factors = planner.factors(&instant, interval.minutes());
                let score = factors.score_under(planner.rules());
                if score - window.score > worst.0 {
                    let found = window.best.moment();
                    let text = format!(
                        "seed {seed}, {}: {score:.2} at {:?}, but {:.2} at {found:?}",
                        window.night,
                        instant.moment(),
                        window.score
                    );
                    worst = (score - window.score, text);
                }
            }
        }
    }
    assert!(windows > 200, "{windows} windows");
    assert!(worst.0 < LEAST_MISSED, "{}", worst.1);
}
