//! The next night that has a window.

use super::{planner::Planner, site_planners::SitePlanners, window::Window};

impl SitePlanners {
    /// The best window, of any brief and kind of light, of the first night on
    /// which one scores high enough; its rank is 0.
    ///
    /// It looks at one night after the other and stops at the first found.
    pub fn next_window(&self) -> Option<Window> {
        self.first().nights().find_map(|night| {
            let of_night = |planner: &Planner| {
                let least = planner.rules().min_score();
                let mut windows = planner.night_windows(&night);
                windows.retain(|window| window.score >= least);
                windows
            };
            let windows = self.iter().flat_map(of_night);
            windows.reduce(|best, next| if next.score > best.score { next } else { best })
        })
    }
}
