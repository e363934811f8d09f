//! The time zone of a site while it is being read.

use super::site_draft::{Context, SiteDraft};
use crate::scene::{Zone, ZoneFrom, zone_of_place};

impl SiteDraft {
    /// The zone, which the place tells where the file does not.
    pub(super) fn take_zone(
        &mut self,
        context: &Context<'_>,
        place: Option<(f64, f64)>,
    ) -> (Zone, ZoneFrom) {
        if let Some(zone) = self.zone {
            return (zone, ZoneFrom::Given);
        }
        let found =
            place.map(|(latitude_deg, longitude_deg)| zone_of_place(latitude_deg, longitude_deg));
        match found {
            Some(Ok(found)) => return found,
            Some(Err(unclear)) if context.well_formed && !self.has("time_zone") => {
                // Only a row of a table has no name of its own.
                let is_row = context.default_name.is_none() && !self.zone_by_brief;
                let mut error = unclear.to_error(|zone| match is_row {
                    true => zone.to_owned(),
                    false => format!("time_zone = \"{zone}\""),
                });
                let verb = match is_row {
                    true => "give time_zone:",
                    false if self.zone_by_brief => "give --brief a file with",
                    false => "add",
                };
                error.remedy = error.remedy.map(|typed| format!("{verb} {typed}"));
                self.complain(context, "time_zone", error);
            }
            _ => {}
        }
        // Not used: the file has faults.
        (Zone::UTC, ZoneFrom::Nobody)
    }
}
