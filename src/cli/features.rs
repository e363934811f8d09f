//! A site and its windows as features of a map.

use rakelight::{
    plan::WindowMap,
    report::{Record, SiteCounts, SiteId, map},
    search::{NightMark, Planner, Window},
};

/// The features of a site and those of its windows that are shown, joined;
/// `all` are counted.
pub fn features(planner: &Planner, id: &SiteId, shown: &[&Window], all: &[Window]) -> String {
    let site = planner.site();
    let light = planner.rules().light;
    let counts = SiteCounts::of_windows(site, &[light], all.iter().map(|window| (light, window)));
    let mut features = WindowMap::places(site)
        .map(|(camera, subject)| map::site_features(site, id, camera, subject, &counts))
        .unwrap_or_default();
    for window in shown {
        if let Some(drawn) = WindowMap::of(planner, window) {
            let record = Record { site, window };
            features.extend(map::window_features(&record, light, id, &drawn));
        }
    }
    map::joined(&features)
}

/// The point of a site with the counts of its season.
pub fn season_feature(planners: &[Planner], id: &SiteId, nights: &[NightMark]) -> String {
    let Some(site) = planners.first().map(Planner::site) else {
        return String::new();
    };
    let kinds: Vec<_> = planners.iter().map(|of| of.rules().light).collect();
    let counts = SiteCounts::of_season(site, &kinds, nights);
    let point =
        WindowMap::places(site).map(|(camera, _)| map::camera_feature(site, id, camera, &counts));
    map::joined(point.as_slice())
}
