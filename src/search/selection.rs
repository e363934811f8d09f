//! Which of a site's windows are shown, and in what order.

use super::window::Window;
use chrono::Datelike;
use std::collections::HashMap;

/// The order in which windows are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// Best score first.
    #[default]
    Score,
    /// In order of time, the best ones.
    Date,
    /// In order of time, the earliest ones.
    Next,
}

/// Which windows are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Selection {
    /// At most so many per site; all if `None`.
    pub top: Option<usize>,
    /// At most so many per calendar month (by the night's date).
    pub per_month: Option<usize>,
    /// In what order.
    pub order: Order,
}

impl Selection {
    /// What is shown of `ranked`, which is in order of rank with one window per
    /// item. Ranks are kept, so that each window still shows its place among
    /// all.
    pub fn of<T>(&self, mut ranked: Vec<T>, window: impl Fn(&T) -> &Window) -> Vec<T> {
        let by_time = |a: &T, b: &T| {
            let start = |item| window(item).interval.start;
            start(a).total_cmp(&start(b))
        };
        if self.order == Order::Next {
            ranked.sort_by(by_time);
        }
        let mut months: HashMap<(i32, u32), usize> = HashMap::new();
        let mut chosen: Vec<T> = ranked
            .into_iter()
            .filter(|item| {
                let Some(most) = self.per_month else {
                    return true;
                };
                let night = window(item).night;
                let count = months.entry((night.year(), night.month())).or_default();
                *count += 1;
                *count <= most
            })
            .take(self.top.unwrap_or(usize::MAX))
            .collect();
        if self.order == Order::Date {
            chosen.sort_by(by_time);
        }
        chosen
    }
}
