//! JSON of calendar months and years: the counts of each, and its best window.

use super::{
    json::{object, window_object},
    row::Field,
    rows::{
        calendar::{SitePeriod, SitePeriods},
        window::{Record, SITE, VIEW},
    },
};
use crate::{scene::Site, search::CalendarPeriod};
use serde_json::Value;

/// The field with the best window of a period.
pub const BEST: &str = "best";

/// The periods of a site as an array: the `fields` of each but the names of
/// site and view, and its best window or null.
pub fn array(
    fields: &'static [Field<SitePeriods>],
    site: &Site,
    periods: &[CalendarPeriod<'_>],
) -> Value {
    let named = [SITE, VIEW];
    let one = |period: &CalendarPeriod<'_>| {
        let counted = SitePeriod { site, period };
        let of_period = fields.iter().filter(|field| !named.contains(&field.name));
        let mut whole = object(of_period, &counted);
        let best = period.best.map(|window| Record { site, window });
        let best = best.map_or(Value::Null, |record| window_object(&record));
        whole.insert(BEST.to_owned(), best);
        Value::Object(whole)
    };
    periods.iter().map(one).collect()
}
