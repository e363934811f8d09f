//! The only place that reads the clock.

use super::failure::Failure;
use anyhow::anyhow;
use rakelight::{
    ephemeris::Moment,
    scene::{ValueError, Zone},
};
use std::time::{SystemTime, UNIX_EPOCH};

/// Unix time of the zero of [`Moment`].
const MOMENT_ZERO_UNIX: f64 = 946_728_000.0;

/// Now, or `SOURCE_DATE_EPOCH` if that is set, so that a repeated run can give
/// the same bytes.
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

/// Refuses a `SOURCE_DATE_EPOCH` that [`now`] cannot use.
pub fn check() -> Result<(), Failure> {
    let Some(text) = std::env::var_os("SOURCE_DATE_EPOCH") else {
        return Ok(());
    };
    let text = text.to_string_lossy();
    // Unix times of the first and the last day that dates may have.
    let years = -2_208_988_800..4_102_444_800_i64;
    if text
        .parse()
        .is_ok_and(|seconds: i64| years.contains(&seconds))
    {
        return Ok(());
    }
    let error = ValueError::new(&text, "whole seconds from 1970-01-01, within 1900 to 2099")
        .with_remedy("unset it, or set it so");
    Err(Failure::Reported(anyhow!("SOURCE_DATE_EPOCH: {error}")))
}

/// Today's date in a zone.
pub fn today(zone: Zone) -> chrono::NaiveDate {
    zone.local_date(now())
}
