//! A site and its windows as features of a map.

use rakelight::{
    plan::WindowMap,
    report::{Record, SiteCounts, SiteId, SpanCounts, map},
    rule::Rules,
    scene::Site,
    search::{NightMark, Planner, SitePlanners, Window, WindowSpan, kinds_of},
};

/// The counts of a site's windows.
pub fn night_counts(planners: &SitePlanners, windows: &[Window]) -> SpanCounts {
    let spans: Vec<WindowSpan> = windows.iter().map(WindowSpan::of).collect();
    SpanCounts::of(&planners.kinds(), &spans)
}

/// The features of a site and those of its windows that are shown, joined;
/// `all` has its best, and the counts of all. `id_of` gives the id of a window.
pub fn features(
    planners: &SitePlanners,
    id: &SiteId,
    shown: &[&Window],
    (all, counts): (&[Window], SpanCounts),
    id_of: impl Fn(&Window) -> SiteId,
) -> String {
    let site = planners.site();
    let with_light = all.iter().map(|window| (window.light, window));
    let best = SiteCounts::of_windows(site, &planners.kinds(), with_light);
    let counts = best.counting(counts);
    let mut features = WindowMap::places(site)
        .map(|(camera, subject)| map::site_features(site, id, camera, subject, &counts))
        .unwrap_or_default();
    for window in shown {
        if let Some(drawn) = WindowMap::of(planners.of(window), window) {
            let record = Record { site, window };
            features.extend(map::window_features(&record, &id_of(window), &drawn));
        }
    }
    map::joined(&features)
}

/// The point of a site with the counts of its season.
pub fn season_feature(planners: &[Planner], id: &SiteId, nights: &[NightMark]) -> String {
    let Some(site) = planners.first().map(Planner::site) else {
        return String::new();
    };
    let weighed = Rules::are_weighed(planners.iter().map(Planner::rules));
    let counts = SiteCounts::of_season(site, &kinds_of(planners), weighed, nights);
    counts_feature(site, id, &counts)
}

/// The point of a site with its counts.
pub fn counts_feature(site: &Site, id: &SiteId, counts: &SiteCounts<'_>) -> String {
    let point =
        WindowMap::places(site).map(|(camera, _)| map::camera_feature(site, id, camera, counts));
    map::joined(point.as_slice())
}
