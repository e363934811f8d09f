//! A site and its windows as features of a map.

use rakelight::{
    plan::WindowMap,
    report::{Record, SiteId, map},
    search::{Planner, Window},
};

/// The features of a site and its windows, joined.
pub fn features(planner: &Planner, id: &SiteId, windows: &[&Window]) -> String {
    let site = planner.site();
    let mut features = WindowMap::places(site)
        .map(|(camera, subject)| map::site_features(site, id, camera, subject))
        .unwrap_or_default();
    for window in windows {
        if let Some(drawn) = WindowMap::of(planner, window) {
            features.extend(map::window_features(&Record { site, window }, id, &drawn));
        }
    }
    map::joined(&features)
}
