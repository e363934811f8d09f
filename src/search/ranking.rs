//! One ranking over several sites.

use super::window::Window;

/// Ranks the windows of several sites together, each site's in its own slice:
/// fills in their ranks and returns the indices of site and window, best score
/// first. Equal scores keep the order of the sites.
pub fn rank_together(sites: &mut [&mut [Window]]) -> Vec<(usize, usize)> {
    let mut order: Vec<(usize, usize, f64)> = sites
        .iter()
        .enumerate()
        .flat_map(|(site, windows)| {
            let scores = windows.iter().map(|window| window.score);
            scores
                .enumerate()
                .map(move |(window, score)| (site, window, score))
        })
        .collect();
    order.sort_by(|a, b| b.2.total_cmp(&a.2));
    for (rank, (site, window, _)) in order.iter().enumerate() {
        let found = sites
            .get_mut(*site)
            .and_then(|windows| windows.get_mut(*window));
        if let Some(found) = found {
            found.rank = rank + 1;
        }
    }
    order
        .into_iter()
        .map(|(site, window, _)| (site, window))
        .collect()
}
