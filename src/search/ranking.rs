//! One ranking over several sites.

use super::window::Window;

/// The windows of several sites, each site's in its own slice, best score first:
/// the indices of site and window. Equal scores keep the order of the sites.
pub fn order_together<W: AsRef<[Window]>>(sites: &[W]) -> Vec<(usize, usize)> {
    let mut order: Vec<(usize, usize, f64)> = sites
        .iter()
        .enumerate()
        .flat_map(|(site, windows)| {
            let scores = windows.as_ref().iter().map(|window| window.score);
            scores
                .enumerate()
                .map(move |(window, score)| (site, window, score))
        })
        .collect();
    order.sort_by(|a, b| b.2.total_cmp(&a.2));
    order
        .into_iter()
        .map(|(site, window, _)| (site, window))
        .collect()
}

/// Ranks the windows of several sites together: fills in their ranks and returns
/// them in the order of [`order_together`].
pub fn rank_together(sites: &mut [&mut [Window]]) -> Vec<(usize, usize)> {
    let order = order_together(sites);
    for (rank, (site, window)) in order.iter().enumerate() {
        let found = sites
            .get_mut(*site)
            .and_then(|windows| windows.get_mut(*window));
        if let Some(found) = found {
            found.rank = rank + 1;
        }
    }
    order
}
