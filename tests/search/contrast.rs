//! Windows of the rule on contrast against a plain sweep in small steps: no
//! bound on the change of the light is too tight.

use crate::common;

use chrono::NaiveDate;
use common::Dice;
use rakelight::{
    Brief, Dates, Planner, Site,
    ephemeris::{Direction, Moment},
    rule::{CONTRAST, LIGHT, MIN_MINUTES, SUN_ALTITUDE, TARGET, TARGET_ALTITUDE},
    scene::{Band, LightKind, SkyGlow},
};

/// Steps of the plain sweep, seconds.
const STEP: f64 = 30.0;

fn planner(seed: u64) -> Planner {
    let mut dice = Dice::new(seed);
    let latitude = dice.between(-75.0, 75.0);
    let mut site = Site::new(latitude, dice.between(-180.0, 180.0)).expect("a place");
    site.sky.zenith_mag_arcsec2 = dice.between(18.0, 22.0);
    site.sky.extinction_mag = dice.between(0.08, 0.6);
    for _ in 0..dice.below(3) {
        site.sky_glow.push(SkyGlow {
            bearing_deg: dice.between(0.0, 360.0),
            half_width_deg: dice.between(2.0, 60.0),
            top_altitude_deg: dice.between(3.0, 40.0),
            mag_arcsec2: dice.between(16.0, 21.0),
        });
    }
    let target = if dice.below(2) == 0 {
        Direction::Core
    } else {
        Direction::Galactic {
            longitude_deg: dice.between(0.0, 360.0),
            latitude_deg: dice.between(-25.0, 25.0),
        }
    };
    let low = (dice.between(0.01_f64.ln(), 1.3_f64.ln())).exp();
    let band = if dice.below(4) == 0 {
        Band::new(low, low * dice.between(1.05, 2.0))
    } else {
        Band::from(low)
    };
    let brief = Brief::default()
        .with(&LIGHT, LightKind::Any)
        .with(&TARGET, target)
        .with(&TARGET_ALTITUDE, Band::new(0.0, 90.0))
        .with(&SUN_ALTITUDE, Band::new(-90.0, -4.0))
        .with(&MIN_MINUTES, 0.0)
        .with(&CONTRAST, band);
    let first = NaiveDate::from_ymd_opt(2027, 1, 1).expect("a day")
        + chrono::Days::new(dice.below(700) as u64);
    let dates = Dates::new(first, first + chrono::Days::new(7)).expect("dates");
    Planner::new(site, &brief, dates).expect("a planner")
}

#[test]
fn every_instant_of_enough_contrast_is_in_a_window() {
    let (mut inside, mut wrong) = (0, Vec::new());
    for seed in 0..60 {
        let planner = planner(seed);
        let rules = planner.rules();
        let band = |rule| rules.get::<Band>(rule).expect("a band");
        let (contrast, sun) = (band(&CONTRAST), band(&SUN_ALTITUDE));
        let windows = planner.windows();
        for night in planner.nights() {
            let (start, end) = (night.start.seconds(), night.end.seconds());
            let mut t = start + 2.0;
            while t < end - 2.0 {
                let conditions = planner.at(Moment::from_seconds(t)).expect("conditions");
                let found = conditions.light.milky_way_contrast;
                let holds = sun.contains(conditions.sky.sun.altitude_deg)
                    && conditions.sky.target.apparent_altitude_deg >= 0.0
                    && found.is_none_or(|found| contrast.contains(found));
                let covered = |by: f64| {
                    windows
                        .iter()
                        .any(|w| t + by >= w.interval.start && t - by <= w.interval.end)
                };
                // A second to each side of an edge is left to the solver.
                let same = if holds { covered(1.0) } else { !covered(-1.0) };
                inside += usize::from(holds);
                if !same {
                    wrong.push(format!(
                        "seed {seed}, {t}: {found:?} of {contrast}, holds {holds}"
                    ));
                }
                t += STEP;
            }
        }
    }
    assert!(inside > 10_000, "{inside}");
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(20)].join("\n")
    );
}

/// A town nearby takes from every night, whatever the Moon does: a factor that
/// only compares a night with the same night without Moon would not see it.
#[test]
fn a_brighter_sky_makes_no_better_night() {
    use chrono::NaiveDate;
    use rakelight::{
        demo_site,
        rule::Brief,
        scene::{DarkSky, Dates},
        search::Planner,
    };
    let day = |m, d| NaiveDate::from_ymd_opt(2027, m, d).expect("a date");
    let best = |class: u32| {
        let mut site = demo_site().expect("the demo site");
        site.sky.zenith_mag_arcsec2 = DarkSky::zenith_mag_of_bortle(class);
        let dates = Dates::new(day(5, 1), day(8, 31)).expect("dates");
        let planner = Planner::new(site, &Brief::default(), dates).expect("a planner");
        planner.windows().first().map(|window| window.score)
    };
    let scores: Vec<Option<f64>> = (1..=9).map(best).collect();
    assert!(scores[0].expect("a night under a dark sky") > 70.0);
    for (brighter, darker) in scores.iter().skip(1).zip(&scores) {
        match (brighter, darker) {
            (Some(brighter), Some(darker)) => assert!(brighter < darker, "{scores:?}"),
            (Some(_), None) => panic!("{scores:?}"),
            (None, _) => {}
        }
    }
    // Bright suburbs and worse: nothing is left beside a Moon.
    assert_eq!(scores[6..], [None, None, None]);
}
