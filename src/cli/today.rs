//! The only place that asks what time it is.

use rakelight::{ephemeris::Moment, scene::Zone};
use std::time::{SystemTime, UNIX_EPOCH};

/// Unix time of the zero of [`Moment`].
const MOMENT_ZERO_UNIX: f64 = 946_728_000.0;

/// Now, or `SOURCE_DATE_EPOCH` where that is set, so that a run can be
/// repeated to the byte.
pub fn now() -> Moment {
    let fixed = std::env::var("SOURCE_DATE_EPOCH")
        .ok()
        .and_then(|text| text.parse::<i64>().ok())
        .map(|seconds| seconds as f64);
    let unix = fixed.unwrap_or_else(|| {
        SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .map_or(0.0, |elapsed| elapsed.as_secs_f64())
    });
    Moment::from_seconds(unix - MOMENT_ZERO_UNIX)
}

/// Today in a zone.
pub fn today(zone: Zone) -> chrono::NaiveDate {
    zone.local_date(now())
}
