//! What is drawn against the numbers: coordinates are read back from the SVG.

use crate::common;

use common::svg::{attribute, tag};
use rakelight::{
    chart::{Look, Palette, SeasonChart, SeasonPanel, Size},
    input::read_sites,
    rule::{Brief, Rules},
    scene::{Dates, LightKind, Site},
    search::{LUNATION_DAYS, Season, lunations},
};
use std::path::Path;

fn saltbush() -> Site {
    let path = format!(
        "{}/demo-sites/saltbush-tank.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let mut read = read_sites(Path::new(&path)).expect("the demo site");
    read.next().expect("one site").expect("a sound site")
}

fn day(text: &str) -> chrono::NaiveDate {
    text.parse().expect("a date in the test")
}

#[test]
fn the_season_shows_the_windows_of_the_table() {
    let site = saltbush();
    let rules = Rules::new(&Brief::of_site(&site), &site).expect("rules");
    let (first, last) = (day("2027-01-01"), day("2027-12-31"));
    let dates = Dates::new(first, last).expect("dates");
    let planner = Season::new(dates.widened(LUNATION_DAYS))
        .planner(site.clone(), rules.clone())
        .expect("a planner");
    let rows = lunations(std::slice::from_ref(&planner), dates);
    let svg = SeasonChart {
        first,
        last,
        kinds: vec![LightKind::Raking],
        weighed: false,
        panels: vec![SeasonPanel {
            site: &site,
            rules: &rules,
            lunations: &rows,
        }],
    }
    .draw(Look::new(Palette::Light, Size::A4))
    .svg;
    let windows = Season::new(Dates::new(first, last).expect("dates"))
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    assert!(!windows.is_empty());
    for window in &windows {
        let mark = tag(&svg, &format!("data-night=\"{}\"", window.night));
        assert_eq!(
            attribute(mark, "data-score"),
            format!("{:.2}", window.score)
        );
    }
    assert_eq!(svg.matches("data-night=").count(), windows.len());
}
