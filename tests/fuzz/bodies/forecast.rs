//! A forecast of cloud.

use super::{pieces::Pieces, said};
use rakelight::{ephemeris::Moment, input::read_forecast};

/// Two weeks of 2027, and a moment: the ends of what is kept.
const PERIODS: [[f64; 2]; 2] = [[0.0, 14.0 * 86_400.0], [3600.0, 3600.0]];

pub fn run(data: &[u8]) {
    let begin = "2027-05-20T00:00:00Z".parse().map(Moment::from_utc);
    let begin = begin.expect("a time").seconds();
    for period in PERIODS {
        let period = period.map(|seconds| Moment::from_seconds(begin + seconds));
        let read = read_forecast("f.csv", data, period);
        for size in [1, 7] {
            let again = read_forecast("f.csv", Pieces(data, size), period);
            assert_eq!(again, read, "by {size} bytes");
        }
        let file = match read {
            Ok(file) => file,
            Err(faults) => {
                said::check_faults(&faults);
                continue;
            }
        };
        let [first, last] = file.reach.expect("a row");
        assert!(first <= last, "{first:?} {last:?}");
        let Some(forecast) = file.of.of("Salt Pan") else {
            continue;
        };
        let [from, to] = period;
        for hours in 0..14 * 24 {
            let moment = from.plus_seconds(3600.0 * f64::from(hours));
            let at = forecast.cloud_percent_at(moment);
            assert!(at.is_none_or(|percent| (0.0..=100.0).contains(&percent)));
            // Nothing is told beyond the rows of the file.
            assert!(at.is_none() || (first <= moment && moment <= last));
            let over = forecast.cloud_over(from, moment);
            assert!(over.is_none_or(|over| {
                over.mean_percent <= over.most_percent + 1e-9 && over.most_percent <= 100.0
            }));
        }
        let _ = forecast.cloud_over(from, to);
    }
}
