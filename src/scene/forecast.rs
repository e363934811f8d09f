//! How much cloud is foretold.

use crate::ephemeris::Moment;

/// The longest time between two rows over which a forecast holds, seconds: 6
/// hours, the widest step in which weather services publish their models. The
/// project's choice.
pub const LONGEST_GAP_SECONDS: f64 = 6.0 * 3600.0;

/// A mean cloud above this is mostly cloud, percent. The project's choice.
pub const MOSTLY_CLOUD_PERCENT: f64 = 50.0;

/// A forecast of cloud over a place: values at some times, straight lines
/// between them, nothing before the first, after the last, and between two that
/// are more than [`LONGEST_GAP_SECONDS`] apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Forecast(
    /// Seconds of a [`Moment`] and percent of the sky, in order of time.
    Vec<(f64, f64)>,
);

/// The cloud foretold over a period.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct CloudOver {
    /// The mean, percent of the sky.
    pub mean_percent: f64,
    /// The most, percent of the sky.
    pub most_percent: f64,
}

impl CloudOver {
    /// Whether the mean is above [`MOSTLY_CLOUD_PERCENT`].
    pub fn is_mostly_cloud(&self) -> bool {
        self.mean_percent > MOSTLY_CLOUD_PERCENT
    }
}

impl Forecast {
    /// A forecast of these values: times, and percent of the sky that is
    /// covered. Of several at one time the last counts; a percentage outside 0
    /// to 100 counts as its nearer end, NaN is left out.
    pub fn new(values: impl IntoIterator<Item = (Moment, f64)>) -> Self {
        let mut points: Vec<(f64, f64)> = values
            .into_iter()
            .map(|(moment, percent)| (moment.seconds(), percent.clamp(0.0, 100.0)))
            .filter(|(seconds, percent)| seconds.is_finite() && !percent.is_nan())
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        points.dedup_by(|later, kept| {
            let same = later.0 == kept.0;
            if same {
                kept.1 = later.1;
            }
            same
        });
        Self(points)
    }

    /// The cloud at a moment, percent of the sky; `None` where there is no
    /// forecast.
    pub fn cloud_percent_at(&self, moment: Moment) -> Option<f64> {
        let seconds = moment.seconds();
        let after = self.0.partition_point(|(at, _)| *at <= seconds);
        let before = self.0.get(after.checked_sub(1)?)?;
        if before.0 == seconds {
            return Some(before.1);
        }
        let next = self.0.get(after)?;
        is_near(*before, *next).then(|| between(*before, *next, seconds))
    }

    /// The cloud over a period; `None` if a part of it has no forecast.
    pub fn cloud_over(&self, from: Moment, to: Moment) -> Option<CloudOver> {
        let (from, to) = (from.seconds(), to.seconds());
        let first = self.cloud_percent_at(Moment::from_seconds(from))?;
        let last = self.cloud_percent_at(Moment::from_seconds(to))?;
        let begin = self.0.partition_point(|(at, _)| *at <= from);
        let end = self.0.partition_point(|(at, _)| *at < to);
        let inside = self.0.get(begin..end.max(begin)).unwrap_or_default();
        let mut before = (from, first);
        let mut most = first;
        let mut area = 0.0;
        for point in inside.iter().copied().chain([(to, last)]) {
            if !is_near(before, point) {
                return None;
            }
            area += (point.0 - before.0) * f64::midpoint(before.1, point.1);
            most = most.max(point.1);
            before = point;
        }
        let mean = if to > from { area / (to - from) } else { first };
        Some(CloudOver {
            mean_percent: mean,
            most_percent: most,
        })
    }
}

/// Whether a forecast holds between two rows.
fn is_near(before: (f64, f64), next: (f64, f64)) -> bool {
    next.0 - before.0 <= LONGEST_GAP_SECONDS
}

/// The value on the line through two rows.
fn between(before: (f64, f64), next: (f64, f64), seconds: f64) -> f64 {
    let share = (seconds - before.0) / (next.0 - before.0);
    before.1 + share * (next.1 - before.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn hour(hours: f64) -> Moment {
        Moment::from_seconds(3600.0 * hours)
    }

    fn forecast(rows: &[(f64, f64)]) -> Forecast {
        Forecast::new(rows.iter().map(|(hours, percent)| (hour(*hours), *percent)))
    }

    #[test]
    fn lines_between_rows_and_nothing_beyond() {
        let cloud = forecast(&[(0.0, 10.0), (2.0, 30.0), (3.0, 90.0)]);
        let at = |hours: f64| cloud.cloud_percent_at(hour(hours));
        assert_eq!(at(-0.001), None);
        assert_eq!(at(0.0), Some(10.0));
        assert_eq!(at(0.5), Some(15.0));
        assert_eq!(at(2.0), Some(30.0));
        assert_eq!(at(2.5), Some(60.0));
        assert_eq!(at(3.0), Some(90.0));
        assert_eq!(at(3.001), None);
        let over = |from: f64, to: f64| cloud.cloud_over(hour(from), hour(to));
        let whole = over(0.0, 3.0).expect("known");
        // Two hours of 20 on average, one of 60.
        assert!((whole.mean_percent - 100.0 / 3.0).abs() < 1e-9);
        assert_eq!(whole.most_percent, 90.0);
        assert!(!whole.is_mostly_cloud());
        assert!(over(2.5, 3.0).is_some_and(|over| over.is_mostly_cloud()));
        assert_eq!(over(0.0, 3.5), None);
        assert_eq!(over(-0.5, 3.0), None);
        let instant = over(1.0, 1.0).expect("known");
        assert_eq!((instant.mean_percent, instant.most_percent), (20.0, 20.0));
        assert_eq!(forecast(&[]).cloud_percent_at(hour(0.0)), None);
    }

    #[test]
    fn a_wide_gap_is_no_forecast() {
        let cloud = forecast(&[(0.0, 10.0), (6.0, 40.0), (12.01, 0.0), (13.0, 0.0)]);
        let at = |hours: f64| cloud.cloud_percent_at(hour(hours));
        assert_eq!(at(3.0), Some(25.0));
        assert_eq!(at(6.0), Some(40.0));
        assert_eq!(at(6.001), None);
        assert_eq!(at(12.01), Some(0.0));
        assert_eq!(cloud.cloud_over(hour(5.0), hour(12.5)), None);
        assert_eq!(cloud.cloud_over(hour(6.0), hour(12.01)), None);
        assert!(cloud.cloud_over(hour(12.01), hour(12.5)).is_some());
    }

    proptest! {
        /// The mean and the most are those of many samples.
        #[test]
        fn a_period_is_the_sum_of_its_moments(
            rows in prop::collection::vec((0.0_f64..48.0, 0.0_f64..=100.0), 2..30),
            from in -1.0_f64..49.0,
            length in 0.01_f64..12.0,
        ) {
            let cloud = forecast(&rows);
            let samples: Vec<Option<f64>> = (0..2000)
                .map(|n| cloud.cloud_percent_at(hour(from + length * (f64::from(n) + 0.5) / 2000.0)))
                .collect();
            match cloud.cloud_over(hour(from), hour(from + length)) {
                Some(over) => {
                    let known: Vec<f64> = samples.iter().filter_map(|s| *s).collect();
                    prop_assert_eq!(known.len(), 2000);
                    let mean = known.iter().sum::<f64>() / 2000.0;
                    // Steep lines between close rows fall between samples.
                    prop_assert!((mean - over.mean_percent).abs() < 1.5);
                    let most = known.iter().copied().fold(0.0, f64::max);
                    prop_assert!(most <= over.most_percent + 1e-9);
                }
                // A gap at an edge may be narrower than the samples.
                None => prop_assert!(
                    samples.iter().any(Option::is_none)
                        || cloud.cloud_percent_at(hour(from)).is_none()
                        || cloud.cloud_percent_at(hour(from + length)).is_none()
                ),
            }
        }
    }
}
